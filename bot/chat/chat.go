// Package chat serves a community on the chat service: it registers the
// commands, takes interactions, and turns replies into messages. It is the
// only package that knows the service and its library.
//
//	session.go       connects, stays connected, stops; shard.go does so for one connection
//	guards.go        what keeps the library's and the network's faults away; wire.go, frame.go, dial.go
//	registration.go  declarations → slash commands, only what changed
//	http.go          interactions that come over HTTP
//	request.go       interaction → commands.Call
//	answer.go        which interaction gets which answer
//	pace.go          how much is taken from one member or server
//	deferral.go      the three-second rule, so that no handler knows it
//	rest.go          what is sent over REST
//	queue.go         when: the service's limits, for all that no member waits for; bucket.go
//	post.go          what is sent without being asked for; look.go, event.go
//	measures.go      what is counted, for those who run it
//	message.go       reply.Reply → message; blocks.go, text.go, shorten.go, components.go
package chat

import (
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"errors"
	"log/slog"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"countwright/commands"
)

// Options are what a Service needs.
type Options struct {
	Token     string        // the bot's token, without "Bot "; it never reaches a log
	Set       *commands.Set // the commands to serve
	Log       *slog.Logger  // nil: silent
	Server    string        // register for this server only (at once, for developing); empty: everywhere
	HostRoles []string      // ids of the roles that make a host, besides those who may manage events
	Now       func() time.Time
	Transport http.RoundTripper // nil: the network; tests lead it to a service of their own
	Shards    Shards            // the gateway's connections; zero: as many as the service advises
	PublicKey ed25519.PublicKey // the application's: interactions come over HTTP, to Interactions; nil: over the gateway
	Limits    Limits            // what is taken from one place
	Metrics   *metrics.Set      // where figures are counted; nil: nowhere that is seen
	// Belongs is told of each server that the bot is in, when it comes there and
	// at each start, and of each that it was removed from; nil: nobody is.
	Belongs func(server string, in bool)
}

// Service is a connection to the chat service. Make it with New.
type Service struct {
	options  Options
	log      *slog.Logger
	timing   timing
	meter    *meter
	measures measures
	client   *http.Client // REST
	files    *http.Client // attachments
	queue    *queue
	drawing  chan struct{} // a place for each post being composed
	turns    chan struct{} // a place for each answer whose picture is being drawn
	slots    chan struct{} // a place for each interaction being answered
	holding  chan struct{} // a place for each large attachment in memory
	work     context.Context
	giveUp   context.CancelFunc // ends work
	starts   starts
	roots    *x509.CertPool // that sign the gateway's certificate; nil: the system's
	noting   sync.Mutex     // held while a server is noted
	recent   recent         // interactions that were taken
	pace     pace

	mu        sync.Mutex
	shards    []*shard
	gatewayAt string
	prepared  bool // the token is good and the commands are registered
}

// timing is how long things may take. Tests shorten it.
type timing struct {
	deferAfter   time.Duration // a command that takes longer is deferred: the service waits 3 s
	callback     time.Duration // a first answer must be out by then, from when the interaction came
	complete     time.Duration // suggestions can't be deferred
	work         time.Duration // a deferred answer may take this long: the service forgets after 15 min
	farewell     time.Duration // a goodbye to the service takes no longer
	drain        time.Duration // what is in flight at the end is given this long
	silence      time.Duration // a connection without a byte for this long is dead
	open         time.Duration // connecting takes no longer
	stuck        time.Duration // the library's lock is never held this long
	firstRetry   time.Duration
	longestRetry time.Duration
	exchange     time.Duration // a REST request other than a first answer
	steady       time.Duration // a connection that lasts so long is good: the next attempt need not wait longer than the first
	begin        time.Duration // between two new sessions
	invalid      time.Duration // at most this long after a session was told invalid, and at least a fifth of it
}

var usualTiming = timing{
	deferAfter: time.Second, callback: 2500 * time.Millisecond, complete: 2500 * time.Millisecond, work: 14 * time.Minute,
	farewell: 2 * time.Second, drain: 20 * time.Second, silence: 90 * time.Second, open: 30 * time.Second, stuck: 30 * time.Second,
	firstRetry: time.Second, longestRetry: 5 * time.Minute, exchange: 20 * time.Second,
	steady: 10 * time.Second, begin: 5 * time.Second, invalid: 5 * time.Second,
}

// mostAtOnce bounds the interactions that are answered at the same time; more
// are told at once that it is busy.
const mostAtOnce = 64

// New readies a Service; nothing is sent before Run.
func New(o Options) (*Service, error) {
	o.Token = strings.TrimPrefix(strings.TrimSpace(o.Token), "Bot ")
	if o.Token == "" {
		return nil, errors.New("the bot's token is missing: copy it from the service's developer portal into the configuration")
	}
	if o.Set == nil {
		return nil, errors.New("there are no commands to serve")
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Metrics == nil {
		o.Metrics = metrics.NewSet()
	}
	s := &Service{options: o, measures: measures{o.Metrics}, log: o.Log, timing: usualTiming, slots: make(chan struct{}, mostAtOnce), holding: make(chan struct{}, mostHolding)}
	if o.Transport == nil {
		o.Transport = newTransport()
	}
	s.meter = &meter{next: o.Transport, now: time.Now}
	s.client = &http.Client{Transport: s.meter, Timeout: s.timing.open}
	s.files = &http.Client{Transport: o.Transport, CheckRedirect: func(*http.Request, []*http.Request) error {
		return errors.New("an attachment's address must not lead elsewhere")
	}}
	s.work, s.giveUp = context.WithCancel(context.Background())
	s.queue, s.drawing = newQueue(time.Now, requestsPerSecond), make(chan struct{}, drawers())
	s.pace.limits, s.turns = o.Limits, make(chan struct{}, runtime.GOMAXPROCS(0))
	s.observe()
	return s, nil
}

// Run connects, registers the commands and serves until ctx ends; then it
// answers what is in flight and disconnects. The error says what the operator
// should do, where that is known. A Service runs once.
func (s *Service) Run(ctx context.Context) error {
	if err := s.prepare(ctx); err != nil {
		if ctx.Err() != nil {
			return nil
		}
		return err
	}
	s.mu.Lock()
	s.prepared = true
	s.mu.Unlock()
	var err error
	if s.options.PublicKey == nil {
		s.starts.every = s.timing.begin
		err = s.serve(ctx)
	} else {
		s.log.Info("taking interactions over HTTP")
		<-ctx.Done()
	}
	s.drain()
	return err
}

// Prepared reports whether the token was found good and the commands are
// registered.
func (s *Service) Prepared() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.prepared
}
