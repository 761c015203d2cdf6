package chat

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"strings"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
)

// Shards says which of the gateway's connections this process keeps. A server
// belongs to one of them by its number; direct messages belong to the first.
type Shards struct {
	Count int // of all processes together; 0: as many as the service advises
	First int // the first one of this process
	Last  int // the last one; with Count 0: all
}

// shard is one connection to the gateway, and what is needed to resume it.
type shard struct {
	service *Service
	number  int
	count   int
	log     *slog.Logger
	session *discordgo.Session // what can be resumed; nil: a new session is needed
	used    bool               // session was open before
	beat    heartbeat
	stuck   int // how often the library had to be given up

	mu       sync.Mutex
	state    Connection
	resumed  time.Time // when the session was last taken up again
	resumeAt string    // where to resume; empty: at the usual address
	lost     int       // attempts since that failed before a connection was there
}

// Connection is how a shard stands.
type Connection struct {
	Shard     int
	Connected bool
	Since     time.Time     // of this state
	Why       error         // of the last disconnection
	Latency   time.Duration // of a heartbeat; 0: not known
}

func (s *Service) newShard(number, count int) *shard {
	h := &shard{service: s, number: number, count: count, log: s.log}
	if count > 1 {
		h.log = s.log.With("shard", number)
	}
	h.state = Connection{Shard: number, Since: time.Now()}
	return h
}

// serve keeps a connection until ctx ends or the service forbids it.
func (h *shard) serve(ctx context.Context) error {
	timing := h.service.timing
	wait := timing.firstRetry
	for ctx.Err() == nil {
		w, err := h.open(ctx)
		if err == nil {
			h.turn(true, nil)
			h.log.Info("connected")
			started := time.Now()
			err = h.hold(ctx, w)
			if time.Since(started) > timing.steady {
				wait = timing.firstRetry
			}
		}
		h.turn(false, err)
		if ctx.Err() != nil {
			return nil
		}
		var stop *stopError
		if errors.As(err, &stop) {
			return err
		}
		rest, err := h.after(err, wait)
		if err != nil {
			return err
		}
		pause(ctx, rest)
		wait = min(2*wait, timing.longestRetry)
	}
	return nil
}

// after decides by what ended a connection whether its session is kept, and
// how long to wait before the next attempt.
func (h *shard) after(err error, wait time.Duration) (time.Duration, error) {
	timing := h.service.timing
	rest := wait/2 + rand.N(wait/2+1)
	var closed *closeError
	var invalid *invalidError
	switch {
	case errors.As(err, &closed):
		if advice, ok := fatal[closed.code]; ok {
			return 0, &stopError{&mendError{fmt.Errorf("%s (close code %d)", advice, closed.code)}}
		}
		switch closed.code {
		case 1000, 1001, 4003, 4007, 4009: // these end the session, by the documentation
			h.session = nil
		}
	case errors.As(err, &invalid) && !invalid.resumable:
		h.session = nil
		rest = timing.invalid/5 + rand.N(timing.invalid*4/5) // "a random amount of time between 1 and 5 seconds"
	case errors.Is(err, errStuck):
		h.session = nil
		if h.stuck++; h.stuck == mostStuck {
			return 0, &stopError{fmt.Errorf("the connection's library locked up %d times; start again", mostStuck)}
		}
	}
	h.log.Warn("disconnected; connecting again", "error", err, "in", rest.Round(time.Millisecond), "resume", h.session != nil)
	return rest, nil
}

// mostStuck is how often a library that is locked up for ever is left lying
// before the program ends, so that it is started afresh.
const mostStuck = 5

// stopError is an end that no other attempt would mend.
type stopError struct{ error }

// Unwrap returns what it is about.
func (e *stopError) Unwrap() error { return e.error }

// mendError is for the operator, who has to mend something first.
type mendError struct{ error }

// NeedsMending reports whether an error of Run stays until the operator has
// mended something, so that starting again by itself is of no use.
func NeedsMending(err error) bool {
	var m *mendError
	return errors.As(err, &m)
}

// turn notes that the connection is there, or gone and why.
func (h *shard) turn(connected bool, why error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if connected {
		h.lost = 0
	} else if !h.state.Connected {
		h.lost++
	}
	if h.state.Connected != connected {
		h.state.Connected, h.state.Since = connected, time.Now()
	}
	h.state.Why = why
	h.service.measures.connection(h.number, connected, why)
}

// standing is how the shard stands.
func (h *shard) standing() Connection {
	h.mu.Lock()
	defer h.mu.Unlock()
	c := h.state
	c.Latency = h.beat.took()
	return c
}

// open connects: to resume where there is a session, else to begin one.
func (h *shard) open(ctx context.Context) (*wire, error) {
	if h.session != nil {
		return h.connect(ctx, h.address())
	}
	g, err := h.service.gateway(ctx)
	if err != nil {
		return nil, err
	}
	free, err := h.service.starts.take(ctx, h.number%g.concurrency)
	if err != nil {
		return nil, err
	}
	defer free()
	if h.session, err = h.newSession(); err != nil {
		return nil, &stopError{err}
	}
	h.used = false
	h.leadTo("")
	return h.connect(ctx, g.address)
}

// address is where to resume. An address that fails twice is given up for the
// usual one: the service may have taken that machine away.
func (h *shard) address() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.resumeAt != "" && h.lost < 2 {
		return h.resumeAt
	}
	return h.service.usual()
}

func (h *shard) leadTo(address string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.resumeAt = address
}

// newSession makes a session of the library for this shard.
func (h *shard) newSession() (*discordgo.Session, error) {
	d, err := h.service.newSession()
	if err != nil {
		return nil, err
	}
	if h.count > 1 {
		d.Identify.Shard = &[2]int{h.number, h.count}
	}
	d.AddHandler(h.event)
	return d, nil
}

// connect opens the session at an address, or gives it up as stuck.
func (h *shard) connect(ctx context.Context, address string) (*wire, error) {
	plain, err := plainly(address)
	if err != nil {
		return nil, err
	}
	d := h.session
	client := *h.service.client
	client.Transport = &guide{next: client.Transport, gateway: discordgo.EndpointGateway, answer: func() string { return plain }}
	dialer, made := h.dialer(strings.HasPrefix(address, "wss:"))
	again := h.used
	h.used = true
	if again {
		h.mu.Lock()
		h.resumed = time.Now()
		h.mu.Unlock()
	}
	done := make(chan error, 1)
	go func() {
		if again {
			settle(d)
			d.Dialer = unreachable
			_ = d.Open() // fails, and forgets where it was last
		}
		d.Client, d.Dialer = &client, dialer
		done <- d.Open()
	}()
	timeout := time.NewTimer(h.service.timing.open)
	defer timeout.Stop()
	var w *wire
	select {
	case err = <-done:
	case <-timeout.C:
		err = errStuck
	case <-ctx.Done():
		err = ctx.Err()
	}
	select {
	case w = <-made:
	default:
	}
	switch {
	case w == nil && err == nil:
		return nil, errors.New("connected without a connection")
	case w == nil:
		return nil, err
	case err != nil:
		w.Close()
		if !errors.Is(err, errStuck) && !errors.Is(w.why, errLeft) {
			err = w.why
		}
		return nil, err
	}
	w.silence.Store(int64(h.service.timing.silence))
	return w, nil
}

// hold waits while the connection lasts. When ctx ends, it says goodbye and
// takes what was on its way.
func (h *shard) hold(ctx context.Context, w *wire) error {
	stop := make(chan struct{})
	defer close(stop)
	select {
	case <-w.closed:
		return w.why
	case <-h.service.stuck(h.session, stop):
		w.Close()
		return errStuck
	case <-ctx.Done():
	}
	if err := w.leave(); err != nil {
		w.end(err)
	}
	select {
	case <-w.closed:
	case <-time.After(h.service.timing.farewell):
		w.Close()
	}
	return nil
}

// event takes an event of the service. The library calls it on a goroutine of
// its own for each.
func (h *shard) event(_ *discordgo.Session, e *discordgo.Event) {
	switch e.Type {
	case "READY":
		var ready struct {
			ResumeAt string `json:"resume_gateway_url"`
		}
		if json.Unmarshal(e.RawData, &ready) == nil {
			h.leadTo(ready.ResumeAt)
		}
	case "GUILD_CREATE", "GUILD_DELETE":
		h.service.belongs(e)
	case "INTERACTION_CREATE":
		a, err := askOf(e.Struct, e.RawData, time.Now())
		h.mu.Lock()
		a.replayed = time.Since(h.resumed) < time.Minute
		h.mu.Unlock()
		h.service.take(a, err)
	}
}
