// Package loopback is a stand-in for the chat service on this machine, for
// tests: REST and gateway, with which a real session of the library connects.
// It knows the service's documented limits and fails the test that breaks
// one; it can also misbehave in the ways that services do.
//
// It is written from the service's developer documentation as of August 2026
// (interactions, application commands, messages, components, gateway), not
// from observation of the service.
package loopback

import (
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// Token is the bot's token that the service takes.
const Token = "token-of-the-loopback-bot"

// Application is the id of the bot's application.
const Application = "100000000000000001"

// Service is the stand-in. Make it with Start.
type Service struct {
	// Unchecked lets everything pass, for measuring a bare bot beside ours.
	Unchecked bool
	// Heartbeat is the interval that new connections are told; 0: 41.25 s.
	Heartbeat time.Duration
	// Starts is how many new sessions are left for the day; 0: 1000.
	Starts int
	// Endpoint, when set, is where interactions are brought, in place of the
	// gateway.
	Endpoint *Endpoint
	// Joined are the servers that are told when the bot asks for them, in the
	// order of their ids.
	Joined []Joined
	// Flags are the application's; EndpointURL is its address for interactions.
	Flags       int
	EndpointURL string
	// Personal says that members may install the application for themselves.
	Personal bool
	// Shards is how many connections the service advises; 0: 1.
	Shards int
	// Concurrency is how many sessions may begin at the same time; 0: 1.
	Concurrency int
	// GatewayAt is the gateway's address that is told; "": this service's.
	GatewayAt string
	// ResumeAt is the address that is told for resuming; "": this service's.
	ResumeAt string
	// Servers is how many servers the bot is in, with so many Members each, of
	// which it is told at the start.
	Servers, Members int
	// FileLimit is the attachment_size_limit of interactions; 0: 10 MiB.
	FileLimit int
	// Reply, when set, may answer a REST request in place of the service; it
	// reports whether it did.
	Reply func(http.ResponseWriter, *http.Request) bool
	// Meddle, when set, says what happens to a REST request in place of an
	// answer, but for those about interactions.
	Meddle func(*http.Request) Trouble
	// Limits enforces limits of requests, per route and over all.
	Limits bool
	// Observe, when set, sees the body of each "callback", "edit", "follow",
	// "command", "post", "direct" and "event" that comes in.
	Observe func(kind string, body []byte)
	// Now is the service's clock; nil: time.Now.
	Now func() time.Time

	tb     testing.TB
	server func() *httptest.Server // begins when it is first asked for

	mu       sync.Mutex
	lastID   int64
	lastPost int64
	commands map[string][]Command // by server, "" for global
	answers  map[string]*Answer   // by token
	files    map[string][]byte    // attachments, by path
	requests []string
	broken   []string
	channels map[string]*channel
	direct   map[string]string // channels of direct messages: id → "direct-" and the member
	events   map[string][]Event
	spans    map[string]*span
	second   span
	beyond   map[string]int
	handler  http.Handler
	gateway  gateway
}

// Start opens a service that ends with the test. At the end, each rule that
// was broken fails the test.
func Start(tb testing.TB) *Service {
	s := &Service{tb: tb, commands: map[string][]Command{}, answers: map[string]*Answer{}, files: map[string][]byte{}}
	s.gateway.sessions, s.gateway.live = map[string]*session{}, map[int]*line{}
	s.channels = map[string]*channel{Channel: {server: Server, nonces: map[string]*Posted{}}}
	s.direct, s.events = map[string]string{}, map[string][]Event{}
	s.spans, s.beyond = map[string]*span{}, map[string]int{}
	s.handler = s.routes()
	var started *httptest.Server
	s.server = sync.OnceValue(func() *httptest.Server {
		started = httptest.NewServer(s.handler)
		return started
	})
	tb.Cleanup(func() {
		s.gateway.closeAll()
		if started != nil {
			started.Close()
		}
		for _, b := range s.Broken() {
			tb.Error(b)
		}
	})
	return s
}

// URL is where the service listens.
func (s *Service) URL() string { return s.server().URL }

// Transport leads every request to this service, whatever its address.
func (s *Service) Transport() http.RoundTripper {
	address := strings.TrimPrefix(s.server().URL, "http://")
	return &detour{address: address, next: &http.Transport{
		MaxIdleConnsPerHost: 1024, DialContext: (&net.Dialer{Timeout: 5 * time.Second}).DialContext}}
}

type detour struct {
	address string
	next    http.RoundTripper
}

// RoundTrip sends a request to the stand-in; its host stays in the header.
func (d *detour) RoundTrip(r *http.Request) (*http.Response, error) {
	there := r.Clone(r.Context())
	there.Host = r.URL.Host
	there.URL.Scheme, there.URL.Host = "http", d.address
	there.Header.Set("X-Was-Scheme", r.URL.Scheme)
	return d.next.RoundTrip(there)
}

// Broken are the rules that were broken so far. Asking for them takes them
// off, so that a test can expect one.
func (s *Service) Broken() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	b := s.broken
	s.broken = nil
	return b
}

func (s *Service) breaks(where string, broken ...string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, b := range broken {
		s.broken = append(s.broken, where+": "+b)
	}
}

func (s *Service) observe(kind string, body []byte) {
	if s.Observe != nil {
		s.Observe(kind, body)
	}
}

// Requests are the REST requests so far, as "POST /path", without those about
// interactions. Asking for them takes them off.
func (s *Service) Requests() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	r := s.requests
	s.requests = nil
	return r
}

// Registered are the commands as registered for a server, or globally ("").
func (s *Service) Registered(server string) []Command {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]Command(nil), s.commands[server]...)
}

// id makes a new id; the caller holds the lock. As in the service's own, the
// time is in it: milliseconds since the start of 2015, before the lowest 22
// bits.
func (s *Service) id() string {
	s.lastID = max(s.lastID+1, moment(time.Now()))
	return strconv.FormatInt(s.lastID, 10)
}

func moment(t time.Time) int64 { return (t.UnixMilli() - 1420070400000) << 22 }

// IDAt is an id made at a time.
func IDAt(t time.Time) string { return strconv.FormatInt(moment(t), 10) }

// clock is the service's time.
func (s *Service) clock() time.Time {
	if s.Now == nil {
		return time.Now()
	}
	return s.Now()
}

// snowflake makes an id by the service's clock; the caller holds the lock.
func (s *Service) snowflake() string {
	s.lastPost = max(s.lastPost+1, moment(s.clock()))
	return strconv.FormatInt(s.lastPost, 10)
}

func (s *Service) newID() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.id()
}

func answerJSON(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	if v != nil {
		json.NewEncoder(w).Encode(v)
	}
}

// refuse answers as the service does when it refuses.
func refuse(w http.ResponseWriter, status, code int, format string, args ...any) {
	answerJSON(w, status, map[string]any{"code": code, "message": fmt.Sprintf(format, args...)})
}
