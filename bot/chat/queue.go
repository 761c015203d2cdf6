package chat

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// queue paces the requests that nobody waits for: posts, events, registering.
// Answers to interactions never enter it, so that they are always ahead: the
// service does not count them with the others, and what the queue lets through
// at once leaves them room.
//
// What a route takes is learned from the headers of its answers; nothing is
// assumed. A route whose limits are not known yet gets one request at a time.
type queue struct {
	now  func() time.Time
	most float64 // requests a second, over all routes

	mu       sync.Mutex
	rate     float64            // requests a second as things stand: others may use the same token
	next     time.Time          // when the next request is due, over all routes
	halted   time.Time          // the service wants none before, over all routes
	flying   int                // requests under way
	buckets  map[string]*bucket // by name and top-level id
	names    map[string]string  // of a route's bucket, as the service calls it
	changed  chan struct{}      // closed when anything above may let a waiting one through
	line     chan struct{}      // held by the request whose turn is next
	failures int                // in a row, of the service itself
	closed   time.Time          // the circuit is open until then
	pause    time.Duration      // how long the circuit opens next time
}

// The service takes 50 requests a second of a bot. A few less are sent, evenly
// and with little to make up for, so that no second of the service's own clock
// sees more, whenever it begins and however the network bunches them.
const (
	requestsPerSecond = 47
	madeUpFor         = 2

	// Where several processes share the limit, each finds its share: less
	// after a refusal, a little more with each request that is taken.
	lessAfterRefusal = 0.8
	moreAfterSuccess = 0.02

	slack       = 20 * time.Millisecond // the service rounds, and clocks differ
	mostFlying  = 32                    // requests under way that nobody waits for
	patience    = 15 * time.Second      // a longer wait is told to the caller instead
	mostBuckets = 512                   // beyond, those with nothing to remember are forgotten

	failuresToOpen = 5
	firstPause     = 10 * time.Second
	longestPause   = 5 * time.Minute
	wallPause      = 10 * time.Minute // where the wall before the service does not say
)

func newQueue(now func() time.Time, perSecond int) *queue {
	return &queue{now: now, most: float64(perSecond), rate: float64(perSecond), buckets: map[string]*bucket{}, names: map[string]string{},
		changed: make(chan struct{}), line: make(chan struct{}, 1), pause: firstPause}
}

// interval is the time between two requests.
func (q *queue) interval() time.Duration { return time.Duration(float64(time.Second) / q.rate) }

// later is the wish that a request be made again when so much time has passed.
type later struct {
	after time.Duration
	why   error
}

func (l *later) Error() string {
	return fmt.Sprintf("later, in %s: %v", l.after.Round(time.Second), l.why)
}
func (l *later) Unwrap() error { return l.why }

var (
	errOpen    = errors.New("the service is in trouble")
	errLimit   = errors.New("the route's limit is used up")
	errInvalid = errors.New("too many requests were refused lately")
)

// admit waits until a request of a route may be made; done must be called with
// what came of it. It fails with a *later where the wait is long, or when ctx
// ends. An urgent one, of the few without which nothing is served, goes ahead
// of the others: they make up for it.
func (q *queue) admit(ctx context.Context, r route, urgent bool) (done func(http.Header, error), err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for {
		b := q.bucket(r)
		wait, why := q.wait(b, urgent)
		switch {
		case wait > patience:
			return nil, &later{wait, why}
		case wait != 0:
			err = q.sleep(ctx, b, wait, q.changed)
		default:
			var mine bool
			if mine, err = q.turn(ctx, b, urgent); mine {
				return func(h http.Header, err error) { q.done(b, r, h, err) }, nil
			}
		}
		if err != nil {
			return nil, err
		}
	}
}

// wait is how long a request must wait for its bucket; see bucket.wait.
func (q *queue) wait(b *bucket, urgent bool) (time.Duration, error) {
	now := q.now()
	if now.Before(q.closed) {
		return max(q.closed.Sub(now), patience+1), errOpen
	}
	if !urgent && (q.flying >= mostFlying || q.failures >= failuresToOpen && q.flying > 0) {
		return -1, nil // the one under way tells whether the service is back
	}
	return b.wait(now), errLimit
}

// turn waits for a turn over all routes, one request behind the other; an
// urgent one does not stand in line. It reports false where the service wants
// none by then, or ctx ends.
func (q *queue) turn(ctx context.Context, b *bucket, urgent bool) (mine bool, err error) {
	q.flying++
	b.flying++
	b.left--
	defer func() {
		if !mine {
			q.flying--
			b.flying--
			b.left++
			q.tell()
		}
	}()
	if !urgent {
		q.mu.Unlock()
		select {
		case q.line <- struct{}{}:
			defer func() { <-q.line }()
		case <-ctx.Done():
			err = ctx.Err()
		}
		q.mu.Lock()
	}
	for err == nil {
		now, at := q.now(), q.halted
		if early := q.next.Add(-madeUpFor * q.interval()); !urgent && early.After(at) {
			at = early
		}
		switch {
		case now.Before(q.closed):
			return false, nil
		case !now.Before(at):
			if q.next.Before(now) {
				q.next = now
			}
			q.next = q.next.Add(q.interval())
			return true, nil
		}
		err = q.sleep(ctx, b, at.Sub(now), nil)
	}
	return false, err
}

// tell wakes all that wait for something to change.
func (q *queue) tell() {
	close(q.changed)
	q.changed = make(chan struct{})
}

// sleep lets go of the lock for the time that it waits: until then, or until
// something changed.
func (q *queue) sleep(ctx context.Context, b *bucket, wait time.Duration, changed <-chan struct{}) error {
	b.waiting++
	q.mu.Unlock()
	var over <-chan time.Time
	if wait > 0 {
		timer := time.NewTimer(wait)
		defer timer.Stop()
		over = timer.C
	}
	var err error
	select {
	case <-ctx.Done():
		err = ctx.Err()
	case <-changed:
	case <-over:
	}
	q.mu.Lock()
	b.waiting--
	return err
}

// done takes what came of a request.
func (q *queue) done(b *bucket, r route, h http.Header, err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	now := q.now()
	q.flying--
	b.flying--
	if h != nil {
		b.learn(h, now)
		if name := h.Get("X-RateLimit-Bucket"); name != "" {
			q.names[r.template] = name
			if named := q.bucket(r); named != b { // it was not known by this name yet
				named.learn(h, now)
			}
		}
	}
	var limited *limitError
	var blocked *blockedError
	switch {
	case errors.As(err, &limited) && limited.global:
		if !now.Before(q.halted) { // several under way are refused together
			q.rate = max(1, q.rate*lessAfterRefusal)
		}
		q.halted = now.Add(limited.after)
		q.next = q.halted.Add(madeUpFor * q.interval())
	case errors.As(err, &limited):
		b.known, b.left, b.reset = true, 0, now.Add(limited.after)
	case errors.As(err, &blocked):
		q.open(now, max(blocked.after, firstPause))
	case err == nil || refused(err):
		q.failures, q.pause, q.rate = 0, firstPause, min(q.most, q.rate+moreAfterSuccess)
	case errors.Is(err, context.Canceled):
	default:
		if q.failures++; q.failures >= failuresToOpen {
			q.open(now, q.pause)
			q.pause = min(2*q.pause, longestPause)
		}
	}
	q.tell()
}

// open keeps all requests back for a while; then one tries.
func (q *queue) open(now time.Time, pause time.Duration) {
	q.failures = failuresToOpen
	if until := now.Add(pause); until.After(q.closed) {
		q.closed = until
	}
}

// ready is how long the circuit stays open, 0 where requests are made.
func (q *queue) ready() time.Duration {
	q.mu.Lock()
	defer q.mu.Unlock()
	return max(0, q.closed.Sub(q.now()))
}

// bucket finds or makes the bucket of a route.
func (q *queue) bucket(r route) *bucket {
	key := r.template + " " + r.major
	if name := q.names[r.template]; name != "" {
		key = name + " " + r.major
	}
	b := q.buckets[key]
	if b == nil {
		if len(q.buckets) >= mostBuckets {
			q.forget()
		}
		b = &bucket{}
		q.buckets[key] = b
	}
	return b
}

// forget drops the buckets that say nothing about the next request.
func (q *queue) forget() {
	now := q.now()
	for key, b := range q.buckets {
		if b.flying == 0 && b.waiting == 0 && !now.Before(b.reset) {
			delete(q.buckets, key)
		}
	}
}
