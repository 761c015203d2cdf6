package chat

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"countwright/bot/chat/loopback"
)

func TestRoutes(t *testing.T) {
	for _, tt := range []struct{ method, path, template, major string }{
		{"POST", "channels/500000000000000001/messages", "POST/channels/:/messages", "500000000000000001"},
		{"GET", "channels/500000000000000001/messages", "GET/channels/:/messages", "500000000000000001"},
		{"GET", "channels/500000000000000001/messages/600000000000000001", "GET/channels/:/messages/:", "500000000000000001"},
		{"POST", "guilds/400000000000000001/scheduled-events", "POST/guilds/:/scheduled-events", "400000000000000001"},
		{"POST", "users/@me/channels", "POST/users/@me/channels", ""},
		{"POST", "applications/100000000000000001/guilds/400000000000000001/commands", "POST/applications/:/guilds/:/commands", "400000000000000001"},
	} {
		if got := routeOf(tt.method, tt.path); got != (route{tt.template, tt.major}) {
			t.Errorf("%s %s: %+v", tt.method, tt.path, got)
		}
	}
}

// answerWith are the headers of a bucket's answer.
func answerWith(bucket string, limit, left int, after float64) http.Header {
	return http.Header{"X-Ratelimit-Bucket": {bucket}, "X-Ratelimit-Limit": {fmt.Sprint(limit)},
		"X-Ratelimit-Remaining": {fmt.Sprint(left)}, "X-Ratelimit-Reset-After": {fmt.Sprint(after)}}
}

// TestNoSecondSeesMoreThanTheServiceTakes lets a crowd through and counts each
// second, wherever it begins.
func TestNoSecondSeesMoreThanTheServiceTakes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, requestsPerSecond)
		var mu sync.Mutex
		var at []time.Time
		var wait sync.WaitGroup
		for i := range 1000 {
			wait.Go(func() {
				done, err := q.admit(t.Context(), route{"POST", fmt.Sprint(i)}, false)
				if err != nil {
					t.Error(err)
					return
				}
				mu.Lock()
				at = append(at, time.Now())
				mu.Unlock()
				time.Sleep(150 * time.Millisecond) // as the network takes
				done(nil, nil)
			})
		}
		wait.Wait()
		slices.SortFunc(at, time.Time.Compare)
		for i := range at {
			if i >= 50 && at[i].Sub(at[i-50]) < time.Second {
				t.Fatalf("51 requests within %v", at[i].Sub(at[i-50]))
			}
		}
		if took := at[len(at)-1].Sub(at[0]); float64(len(at))/took.Seconds() < 0.9*50 {
			t.Errorf("%d requests took %v", len(at), took)
		}
	})
}

// TestBucketsAreKept: what the headers say of one channel is kept there, and
// does not hold up another.
func TestBucketsAreKept(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 1000)
		var inSpan, most atomic.Int32
		ends := time.Now()
		send := func(channel string) {
			done, err := q.admit(t.Context(), routeOf("POST", "channels/"+channel+"/messages"), false)
			if err != nil {
				t.Error(err)
				return
			}
			if !time.Now().Before(ends) {
				ends = time.Now().Add(5 * time.Second)
				inSpan.Store(0)
			}
			n := inSpan.Add(1)
			most.Store(max(most.Load(), n))
			left := time.Until(ends).Seconds()
			time.Sleep(30 * time.Millisecond)
			done(answerWith("b", 5, 5-int(n), left), nil)
		}
		start := time.Now()
		for range 20 {
			send("500000000000000001")
		}
		if most.Load() != 5 {
			t.Errorf("%d in a span of 5", most.Load())
		}
		if took := time.Since(start); took > 16*time.Second {
			t.Errorf("20 took %v", took)
		}
		other := time.Now()
		send("500000000000000002")
		if time.Since(other) > time.Second {
			t.Error("another channel waited")
		}
	})
}

func TestUnknownRoutesGetOneRequestAtATime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 1000)
		r := routeOf("POST", "channels/500000000000000001/messages")
		first, err := q.admit(t.Context(), r, false)
		if err != nil {
			t.Fatal(err)
		}
		came := make(chan struct{})
		go func() {
			done, err := q.admit(t.Context(), r, false)
			if err != nil {
				t.Error(err)
				return
			}
			close(came)
			done(nil, nil)
		}()
		synctest.Wait()
		select {
		case <-came:
			t.Fatal("two at a time")
		default:
		}
		first(answerWith("b", 5, 4, 5), nil)
		<-came
	})
}

func TestWaitingEndsWithItsContext(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 1000)
		r := route{"GET", "1"}
		done, _ := q.admit(t.Context(), r, false)
		done(answerWith("b", 1, 0, 10), nil)
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		if _, err := q.admit(ctx, r, false); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("got %v", err)
		}
		done, _ = q.admit(t.Context(), r, false)
		done(answerWith("b", 1, 0, 60), nil)
		var put *later
		if _, err := q.admit(t.Context(), r, false); !errors.As(err, &put) || put.after < 59*time.Second {
			t.Errorf("a long wait gave %v", err)
		}
	})
}

func TestCircuit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 1000)
		try := func(err error) error {
			done, refused := q.admit(t.Context(), route{"POST", "1"}, false)
			if refused == nil {
				done(nil, err)
			}
			return refused
		}
		for range failuresToOpen {
			if err := try(errors.New("500")); err != nil {
				t.Fatal(err)
			}
		}
		var put *later
		if err := try(nil); !errors.As(err, &put) || !errors.Is(put.why, errOpen) || q.ready() != firstPause {
			t.Fatalf("got %v, ready in %v", err, q.ready())
		}
		time.Sleep(firstPause)
		if err := try(errors.New("500")); err != nil || q.ready() != 2*firstPause {
			t.Errorf("one may try, and opens it for longer: %v, %v", err, q.ready())
		}
		time.Sleep(2 * firstPause)
		if err := try(nil); err != nil || q.ready() != 0 {
			t.Errorf("got %v, %v", err, q.ready())
		}
		if err := try(&blockedError{time.Hour}); err != nil || q.ready() != time.Hour {
			t.Errorf("the wall: %v, %v", err, q.ready())
		}
	})
}

func TestGlobalLimitHoldsAllRoutes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 1000)
		done, _ := q.admit(t.Context(), route{"POST", "1"}, false)
		done(nil, &limitError{after: 3 * time.Second, global: true})
		start := time.Now()
		done, err := q.admit(t.Context(), route{"POST", "2"}, false)
		if err != nil || time.Since(start) < 3*time.Second {
			t.Errorf("%v after %v", err, time.Since(start))
		}
		done(nil, nil)
	})
}

// TestUrgentRequestsGoAhead: the bot can connect while a crowd of posts waits.
func TestUrgentRequestsGoAhead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, requestsPerSecond)
		var all sync.WaitGroup
		for i := range 500 {
			all.Go(func() {
				done, err := q.admit(t.Context(), route{"POST", fmt.Sprint(i)}, false)
				if err != nil {
					t.Error(err)
					return
				}
				time.Sleep(200 * time.Millisecond)
				done(nil, nil)
			})
		}
		time.Sleep(time.Second)
		start := time.Now()
		for range 20 {
			done, err := q.admit(t.Context(), route{"GET", "gateway"}, true)
			if err != nil {
				t.Fatal(err)
			}
			done(nil, nil)
		}
		if took := time.Since(start); took > 10*time.Millisecond {
			t.Errorf("20 urgent ones took %v", took)
		}
		all.Wait()
		if took := time.Since(start); took.Seconds() < 500.0/50-1 {
			t.Errorf("the others did not make up for it: %v", took)
		}
	})
}

// TestProcessesShareTheLimit: three that know nothing of one another use the
// service's 50 a second well, with few refusals.
func TestProcessesShareTheLimit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var mu sync.Mutex
		var ends time.Time
		left, taken, refused := 0, 0, 0
		serve := func() error {
			mu.Lock()
			defer mu.Unlock()
			now := time.Now()
			if !now.Before(ends) {
				ends, left = now.Add(time.Second), 50
			}
			if left--; left < 0 {
				refused++
				return &limitError{after: ends.Sub(now), global: true}
			}
			taken++
			return nil
		}
		const span = 10 * time.Minute
		ctx, stop := context.WithTimeout(t.Context(), span)
		defer stop()
		var all sync.WaitGroup
		for range 3 {
			q := newQueue(time.Now, requestsPerSecond)
			for i := range 32 {
				all.Go(func() {
					for {
						done, err := q.admit(ctx, route{"POST", fmt.Sprint(i)}, false)
						if err != nil {
							return
						}
						time.Sleep(80 * time.Millisecond)
						done(nil, serve())
					}
				})
			}
		}
		all.Wait()
		used := float64(taken) / span.Seconds() / 50
		t.Logf("%.0f %% used, %d refusals", 100*used, refused)
		if used < 0.85 || refused > mostInvalid/2 {
			t.Errorf("%.0f %% used, %d refusals", 100*used, refused)
		}
	})
}

// TestMemoryIsBounded: channels that were written to once are not remembered.
func TestMemoryIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := newQueue(time.Now, 10_000)
		for i := range 20_000 {
			done, err := q.admit(t.Context(), routeOf("POST", fmt.Sprintf("channels/5%017d/messages", i)), false)
			if err != nil {
				t.Fatal(err)
			}
			done(answerWith("b", 5, 4, 0.005), nil)
		}
		if n := len(q.buckets); n > mostBuckets+1 {
			t.Errorf("%d buckets", n)
		}
	})
}

// TestAnswersDoNotEnterTheQueue: whoever waits for an answer is never held up
// by what nobody waits for.
func TestAnswersDoNotEnterTheQueue(t *testing.T) {
	t.Parallel()
	var s *Service
	fake, _ := serving(t, newStubs().set(), func(it *Service, _ *loopback.Service) { s = it })
	s.queue.mu.Lock()
	s.queue.open(time.Now(), time.Hour)
	before := len(s.queue.buckets)
	s.queue.mu.Unlock()
	for range 50 {
		answers(t, fake)
	}
	s.queue.mu.Lock()
	defer s.queue.mu.Unlock()
	if n := len(s.queue.buckets); n != before {
		t.Errorf("%d buckets more", n-before)
	}
}
