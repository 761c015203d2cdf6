package chat

import (
	"context"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// running runs a service that may fail to connect.
func running(t *testing.T, fake *loopback.Service, change func(*Service)) <-chan error {
	t.Helper()
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set(), Transport: fake.Transport()})
	if err != nil {
		t.Fatal(err)
	}
	hasten(s)
	if change != nil {
		change(s)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	t.Cleanup(cancel)
	return ended
}

func answers(t *testing.T, fake *loopback.Service) {
	t.Helper()
	if m := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "back"}}).Shown(); !strings.Contains(m.Content, "back") {
		t.Errorf("got %s", m.Content)
	}
}

// The close codes after which connecting again is forbidden: the service's
// documentation, topics/opcodes-and-status-codes, as of August 2026.
func TestFatalCloseCodesEndIt(t *testing.T) {
	for code, says := range map[int]string{4004: "token", 4010: "shard", 4011: "sharded", 4012: "update", 4013: "intents", 4014: "intent"} {
		fake := loopback.Start(t)
		fake.Next(loopback.Fault{On: "identify", Close: code})
		select {
		case err := <-running(t, fake, nil):
			if err == nil || !strings.Contains(err.Error(), says) || !NeedsMending(err) {
				t.Errorf("%d: %v", code, err)
			}
		case <-time.After(5 * time.Second):
			t.Errorf("%d: it goes on", code)
		}
		if n := fake.Count("connect"); n != 1 {
			t.Errorf("%d: connected %d times", code, n)
		}
	}
}

func TestFatalCloseCodeWhileConnected(t *testing.T) {
	t.Parallel()
	fake := loopback.Start(t)
	ended := running(t, fake, nil)
	fake.Online()
	fake.Close(4004)
	if err := <-ended; err == nil || !strings.Contains(err.Error(), "token") {
		t.Errorf("got %v", err)
	}
}

func TestDroppedConnectionIsResumed(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	for _, lose := range []func(){func() { fake.Drop() }, fake.Reconnect, func() { fake.Close(4000) }} {
		lose()
		fake.Offline()
		fake.Online()
		answers(t, fake)
	}
	if r, i := fake.Count("resume"), fake.Count("identify"); r != 3 || i != 1 {
		t.Errorf("%d resumes and %d identifies", r, i)
	}
}

// A session that the service has forgotten is not resumed for ever, as the
// library would.
func TestForgottenSessionIsReplaced(t *testing.T) {
	for _, code := range []int{4007, 4009} {
		t.Run("", func(t *testing.T) {
			t.Parallel()
			fake, _ := serving(t, newStubs().set(), nil)
			fake.Next(loopback.Fault{On: "resume", Close: code})
			fake.Drop()
			waitFor(t, "a new session", func() bool { return fake.Count("identify") == 2 })
			fake.Online()
			answers(t, fake)
			if n := fake.Count("resume"); n != 1 {
				t.Errorf("%d: %d resumes", code, n)
			}
		})
	}
}

func TestInvalidSessionIsRenewed(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	fake.Next(loopback.Fault{On: "resume", Op: 9})
	fake.Drop()
	waitFor(t, "a new session", func() bool { return fake.Count("identify") == 2 })
	fake.Online()
	answers(t, fake)
}

func TestSilentServiceIsLeft(t *testing.T) {
	t.Parallel()
	fake := loopback.Start(t)
	fake.Next(loopback.Fault{On: "connect"})
	running(t, fake, func(s *Service) {
		s.timing.silence = 100 * time.Millisecond
		s.timing.longestRetry = 20 * time.Millisecond
	})
	fake.Online()
	if n := fake.Count("connect"); n != 2 {
		t.Errorf("connected %d times", n)
	}
}

func TestDeadLineIsNoticed(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), func(s *Service, f *loopback.Service) {
		f.Heartbeat = 50 * time.Millisecond
		s.timing.silence = 200 * time.Millisecond
	})
	fake.Deaf(true)
	waitFor(t, "the reconnection", func() bool { return fake.Count("resume") > 0 })
	fake.Deaf(false)
	fake.Online()
	answers(t, fake)
	if n := fake.Count("identify"); n != 1 {
		t.Errorf("the session was given up: %d identifies", n)
	}
}

// wall answers in place of the service.
func wall(n int, answer func(http.ResponseWriter)) (reply func(http.ResponseWriter, *http.Request) bool, asked *atomic.Int32) {
	asked = new(atomic.Int32)
	return func(w http.ResponseWriter, r *http.Request) bool {
		if !strings.HasSuffix(r.URL.Path, "/callback") && !strings.HasSuffix(r.URL.Path, "/@me") {
			return false
		}
		if int(asked.Add(1)) > n {
			return false
		}
		answer(w)
		return true
	}, asked
}

func TestWrongToken(t *testing.T) {
	fake := loopback.Start(t)
	s, err := New(Options{Token: "another", Set: newStubs().set(), Transport: fake.Transport()})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Run(t.Context()); !NeedsMending(err) || !strings.Contains(err.Error(), "copy it again from the developer portal") || strings.Contains(err.Error(), "another") {
		t.Errorf("got %v", err)
	}
	if _, err := New(Options{Token: "  ", Set: newStubs().set()}); err == nil {
		t.Error("an empty token was taken")
	}
}

func TestForbiddenRegistration(t *testing.T) {
	fake := loopback.Start(t)
	fake.Reply, _ = wall(1, func(w http.ResponseWriter) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(http.StatusForbidden)
		w.Write([]byte(`{"code":50001,"message":"Missing Access"}`))
	})
	if err := <-running(t, fake, nil); err == nil || !strings.Contains(err.Error(), "applications.commands") {
		t.Errorf("got %v", err)
	}
}

func TestFewStartsLeft(t *testing.T) {
	fake := loopback.Start(t)
	fake.Starts = 3
	if err := <-running(t, fake, nil); !NeedsMending(err) || !strings.Contains(err.Error(), "only 3 of today's connections are left; start again in 2h0m0s") {
		t.Errorf("got %v", err)
	}
	if n := fake.Count("connect"); n != 0 {
		t.Error("it connected")
	}
}

func TestAnswerIsTriedAgain(t *testing.T) {
	for name, trouble := range map[string]func(http.ResponseWriter){
		"busy": func(w http.ResponseWriter) {
			w.Header().Set("Content-Type", "application/json")
			w.Header().Set("Retry-After", "0.05")
			w.WriteHeader(http.StatusTooManyRequests)
			w.Write([]byte(`{"message":"You are being rate limited.","retry_after":0.05,"global":false}`))
		},
		"bad gateway": func(w http.ResponseWriter) { w.WriteHeader(http.StatusBadGateway) },
		"unavailable": func(w http.ResponseWriter) { w.WriteHeader(http.StatusServiceUnavailable) },
		"cut off": func(w http.ResponseWriter) {
			c, _, _ := w.(http.Hijacker).Hijack()
			c.Close()
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			fake, _ := serving(t, newStubs().set(), nil)
			var asked *atomic.Int32
			fake.Reply, asked = wall(2, trouble)
			answers(t, fake)
			if n := asked.Load(); n != 3 {
				t.Errorf("asked %d times", n)
			}
		})
	}
}

func TestWallIsNotStormed(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	var asked *atomic.Int32
	fake.Reply, asked = wall(100, func(w http.ResponseWriter) {
		w.Header().Set("Content-Type", "text/html")
		w.WriteHeader(http.StatusTooManyRequests)
		w.Write([]byte("<html>blocked</html>"))
	})
	fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "x"}})
	time.Sleep(300 * time.Millisecond)
	if n := asked.Load(); n != 1 {
		t.Errorf("asked %d times", n)
	}
}

func TestMeterStopsWhatNobodyWaitsFor(t *testing.T) {
	now := noon
	m := &meter{now: func() time.Time { return now }}
	for range mostInvalid + 1 {
		m.count()
	}
	if !m.tooMany() {
		t.Error("not stopped")
	}
	now = now.Add(11 * time.Minute)
	if m.tooMany() {
		t.Error("never starts again")
	}
}

func TestWatchdogSeesAHeldLock(t *testing.T) {
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set()})
	if err != nil {
		t.Fatal(err)
	}
	s.timing.stuck = 50 * time.Millisecond
	d, err := s.newSession()
	if err != nil {
		t.Fatal(err)
	}
	stop := make(chan struct{})
	defer close(stop)
	found := s.stuck(d, stop)
	select {
	case <-found:
		t.Fatal("found stuck while it is not")
	case <-time.After(100 * time.Millisecond):
	}
	d.Lock()
	defer d.Unlock()
	select {
	case <-found:
	case <-time.After(5 * time.Second):
		t.Error("not found")
	}
}

// Newer parts of a form can't be decoded by the library, whose own reader of
// them panics.
func TestUndecodableFormIsAnswered(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	label := map[string]any{"type": 18, "label": "L", "component": map[string]any{"type": 4, "custom_id": "text", "value": "x"}}
	for _, part := range []any{label, map[string]any{"type": 21}, map[string]any{"type": 10, "content": "x"}} {
		a := fake.Ask(loopback.Ask{Form: "cw10:/form text:given", Parts: []any{part}})
		if m := a.Shown(); m.Content == "" {
			t.Errorf("%v was answered with nothing", part)
		}
	}
	answers(t, fake)
}
