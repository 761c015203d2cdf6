package chat

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
)

// prepare checks the token and registers the commands. A service in trouble is
// no reason not to serve what is registered already; a refusal is.
func (s *Service) prepare(ctx context.Context) error {
	body, err := s.rest(ctx, http.MethodGet, discordgo.EndpointAPI+"applications/@me", nil)
	if err != nil {
		return explain("ask who this bot is", err)
	}
	var me struct {
		ID       string                     `json:"id"`
		Installs map[string]json.RawMessage `json:"integration_types_config"`
	}
	if err := json.Unmarshal(body, &me); err != nil || me.ID == "" {
		return errors.New("ask who this bot is: the answer can't be read")
	}
	_, personal := me.Installs[strconv.Itoa(byMember)]
	if err := s.register(ctx, me.ID, personal); err != nil {
		if refused(err) {
			return explain("register commands", err)
		}
		s.log.Warn("commands not registered; serving those that are", "error", err)
	}
	return nil
}

// serve keeps this process's connections until ctx ends or the service forbids
// one of them.
func (s *Service) serve(ctx context.Context) error {
	count, err := s.count(ctx)
	if err != nil || ctx.Err() != nil {
		return err
	}
	o := s.options.Shards
	last := o.Last
	if o.Count == 0 {
		last = count - 1
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var all sync.WaitGroup
	for n := o.First; n <= last; n++ {
		h := s.newShard(n, count)
		s.keep(h)
		all.Go(func() {
			if err := h.serve(ctx); err != nil {
				stop(err)
			}
		})
	}
	all.Wait()
	var forbidden *stopError
	if err := context.Cause(ctx); errors.As(err, &forbidden) {
		return forbidden.error
	}
	return nil
}

// count is how many connections all processes have together.
func (s *Service) count(ctx context.Context) (int, error) {
	if s.options.Shards.Count > 0 {
		return s.options.Shards.Count, nil
	}
	for wait := s.timing.firstRetry; ; wait = min(2*wait, s.timing.longestRetry) {
		g, err := s.gateway(ctx)
		if err == nil {
			return g.shards, nil
		}
		var stop *stopError
		if errors.As(err, &stop) {
			return 0, stop.error
		}
		s.log.Warn("the gateway's address is not known yet", "error", err)
		pause(ctx, wait/2+rand.N(wait/2+1))
		if ctx.Err() != nil {
			return 0, nil
		}
	}
}

// keep adds a shard to those whose standing can be asked for.
func (s *Service) keep(h *shard) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.shards = append(s.shards, h)
	h.observe()
}

// Connections say how each connection of this process stands.
func (s *Service) Connections() []Connection {
	s.mu.Lock()
	shards := slices.Clone(s.shards)
	s.mu.Unlock()
	all := make([]Connection, len(shards))
	for i, h := range shards {
		all[i] = h.standing()
	}
	return all
}

// drain waits until what is in flight is answered. What takes too long is told
// to stop, and says so.
func (s *Service) drain() {
	time.Sleep(50 * time.Millisecond) // the library's goroutines of the last events may not run yet
	timeout := time.AfterFunc(s.timing.drain, s.giveUp)
	defer timeout.Stop()
	late := time.NewTimer(s.timing.drain + 2*s.timing.callback)
	defer late.Stop()
	for range cap(s.slots) {
		select {
		case s.slots <- struct{}{}:
		case <-late.C:
			s.log.Warn("stopped before all was answered")
			return
		}
	}
}

// leastStarts of a day's new sessions are kept for the operator: when they are
// used up, the service resets the token.
const leastStarts = 20

// gateway is what the service says of its gateway.
type gateway struct {
	address     string
	shards      int // as it advises
	concurrency int // sessions that may begin at the same time
}

// gateway asks where the gateway is and how many sessions may begin, and
// refuses when few are left for the day.
func (s *Service) gateway(ctx context.Context) (gateway, error) {
	body, err := s.rest(ctx, http.MethodGet, discordgo.EndpointGatewayBot, nil)
	if err != nil {
		if refused(err) {
			return gateway{}, &stopError{explain("ask for the gateway", err)}
		}
		return gateway{}, fmt.Errorf("ask for the gateway: %w", err)
	}
	var answer struct {
		URL    string `json:"url"`
		Shards int    `json:"shards"`
		Limit  struct {
			Remaining   *int  `json:"remaining"`
			ResetMS     int64 `json:"reset_after"`
			Concurrency int   `json:"max_concurrency"`
		} `json:"session_start_limit"`
	}
	if err := json.Unmarshal(body, &answer); err != nil || answer.URL == "" {
		return gateway{}, errors.New("ask for the gateway: the answer can't be read")
	}
	if left := answer.Limit.Remaining; left != nil && *left < leastStarts {
		return gateway{}, &stopError{&mendError{fmt.Errorf("only %d of today's connections are left; start again in %s, and find out why it reconnected so often",
			*left, (time.Duration(answer.Limit.ResetMS) * time.Millisecond).Round(time.Minute))}}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.gatewayAt = answer.URL
	return gateway{address: answer.URL, shards: max(1, answer.Shards), concurrency: max(1, answer.Limit.Concurrency)}, nil
}

// usual is the gateway's address as last told.
func (s *Service) usual() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.gatewayAt
}

// starts spaces new sessions: in each of the service's buckets one may begin in
// five seconds.
type starts struct {
	every   time.Duration
	mu      sync.Mutex
	buckets map[int]*start
}

type start struct {
	free chan struct{} // holds a token while nobody starts
	last time.Time
}

// take waits for a bucket's turn. The caller gives it back when its session
// has begun.
func (s *starts) take(ctx context.Context, bucket int) (free func(), err error) {
	s.mu.Lock()
	b := s.buckets[bucket]
	if b == nil {
		b = &start{free: make(chan struct{}, 1)}
		b.free <- struct{}{}
		if s.buckets == nil {
			s.buckets = map[int]*start{}
		}
		s.buckets[bucket] = b
	}
	s.mu.Unlock()
	select {
	case <-b.free:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	free = func() {
		b.last = time.Now()
		b.free <- struct{}{}
	}
	if !b.last.IsZero() {
		pause(ctx, time.Until(b.last.Add(s.every)))
	}
	if ctx.Err() != nil {
		b.free <- struct{}{}
		return nil, ctx.Err()
	}
	return free, nil
}

func pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}
