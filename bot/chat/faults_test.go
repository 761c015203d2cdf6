package chat

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/bot/chat/loopback"
)

// Each of these provokes a fault of the library (v0.29.0) or of a service,
// and sees that answers are given again. Those of close codes, of REST and of
// registering are in guards_test.go.

// A request to connect again as the first packet after resuming locks the
// library up for ever. Here the session even survives.
func TestReconnectRequestAfterResuming(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	fake.Next(loopback.Fault{On: "resume", Op: 7, Data: "null"})
	fake.Drop()
	waitFor(t, "another resume", func() bool { return fake.Count("resume") == 2 })
	fake.Online()
	answers(t, fake)
	if n := fake.Count("identify"); n != 1 {
		t.Errorf("the session was given up: %d identifies", n)
	}
}

// Silence at each step of connecting: the library would wait for ever with the
// session's lock held.
func TestSilenceWhileConnecting(t *testing.T) {
	for _, step := range []string{"connect", "identify", "resume"} {
		t.Run(step, func(t *testing.T) {
			t.Parallel()
			fake := loopback.Start(t)
			running(t, fake, func(s *Service) { s.timing.silence = 150 * time.Millisecond })
			if step == "resume" {
				fake.Online()
				fake.Next(loopback.Fault{On: step})
				fake.Drop()
				waitFor(t, "another resume", func() bool { return fake.Count("resume") == 2 })
			} else {
				fake.Next(loopback.Fault{On: step})
			}
			fake.Online()
			answers(t, fake)
			if n := fake.Count("identify"); step == "resume" && n != 1 {
				t.Errorf("the session was given up: %d identifies", n)
			}
		})
	}
}

// Acknowledgements stop while events still come: the library notices after
// five intervals, and closes with the code that ends the session.
func TestUnacknowledgedHeartbeat(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), func(s *Service, f *loopback.Service) {
		f.Heartbeat = 200 * time.Millisecond
		s.timing.silence = time.Hour
	})
	fake.Deaf(true)
	since := time.Now()
	for fake.Count("resume") == 0 {
		if time.Since(since) > 5*time.Second {
			t.Fatal("not noticed")
		}
		fake.Event("TYPING_START", map[string]any{"user_id": "1"})
		time.Sleep(5 * time.Millisecond)
	}
	fake.Deaf(false)
	fake.Online()
	answers(t, fake)
	if n := fake.Count("identify"); n != 1 {
		t.Errorf("the session was given up: %d identifies", n)
	}
}

// A connection that says nothing at all any more, though heartbeats are rare.
func TestConnectionThatGoesSilent(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), func(s *Service, _ *loopback.Service) { s.timing.silence = 200 * time.Millisecond })
	waitFor(t, "the reconnection", func() bool { return fake.Count("resume") > 0 })
	if n := fake.Count("identify"); n != 1 {
		t.Errorf("the session was given up: %d identifies", n)
	}
}

// The library identifies at once, whatever is said, and on the same
// connection. The documentation asks for a pause of one to five seconds, and
// to resume where that is possible.
func TestInvalidSession(t *testing.T) {
	for _, resumable := range []bool{true, false} {
		for _, when := range []string{"resuming", "connected"} {
			t.Run(fmt.Sprintf("%s, resumable %v", when, resumable), func(t *testing.T) {
				t.Parallel()
				fake, _ := serving(t, newStubs().set(), func(s *Service, _ *loopback.Service) { s.timing.invalid = time.Second })
				said := time.Now()
				resumes := 1
				if when == "resuming" {
					fake.Next(loopback.Fault{On: "resume", Op: 9, Data: fmt.Sprint(resumable)})
					fake.Drop()
					resumes = 2
				} else {
					fake.Send(9, fmt.Sprint(resumable))
				}
				if resumable {
					waitFor(t, "the resume", func() bool { return fake.Count("resume") == resumes })
				} else {
					waitFor(t, "a new session", func() bool { return fake.Count("identify") == 2 })
					if again := fake.Started()[1].At.Sub(said); again < 200*time.Millisecond {
						t.Errorf("it began anew after %v", again)
					}
				}
				fake.Online()
				answers(t, fake)
				if n := fake.Count("identify"); resumable && n != 1 {
					t.Errorf("%d identifies", n)
				}
			})
		}
	}
}

// These codes end a session, those others don't.
func TestCloseCodesThatKeepTheSession(t *testing.T) {
	for code, keeps := range map[int]bool{4000: true, 4001: true, 4002: true, 4005: true, 4008: true, 1006 + 6: true, 4003: false, 1001: false} {
		t.Run(fmt.Sprint(code), func(t *testing.T) {
			t.Parallel()
			fake, _ := serving(t, newStubs().set(), nil)
			fake.Close(code)
			waitFor(t, "another connection", func() bool { return fake.Count("connect") == 2 })
			fake.Online()
			answers(t, fake)
			if resumed := fake.Count("resume") == 1 && fake.Count("identify") == 1; resumed != keeps {
				t.Errorf("%d resumes, %d identifies", fake.Count("resume"), fake.Count("identify"))
			}
		})
	}
}

// The library resumes at the usual address, where sessions are cut more often.
func TestResumesWhereItIsTold(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	fake.Drop()
	fake.Offline()
	fake.Online()
	answers(t, fake)
	if n := fake.Count("resume address"); n != 1 {
		t.Errorf("asked the address for resuming %d times", n)
	}
}

// An address for resuming that is dead is left for the usual one.
func TestDeadAddressForResuming(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), func(_ *Service, f *loopback.Service) { f.ResumeAt = "ws://127.0.0.1:1" })
	fake.Drop()
	fake.Offline()
	fake.Online()
	answers(t, fake)
	if r, i := fake.Count("resume"), fake.Count("identify"); r != 1 || i != 1 {
		t.Errorf("%d resumes and %d identifies", r, i)
	}
}

// A request for a heartbeat is answered at once.
func TestHeartbeatOnRequest(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	waitFor(t, "the first heartbeat", func() bool { return fake.Count("heartbeat") == 1 })
	fake.Send(1, "null")
	waitFor(t, "the second", func() bool { return fake.Count("heartbeat") == 2 })
	answers(t, fake)
}

// A handler that calls the library while it connects locks it up, when events
// are handled in its reader.
func TestHandlerThatCallsTheLibraryWhileItConnects(t *testing.T) {
	t.Parallel()
	fake := loopback.Start(t)
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set(), Transport: fake.Transport()})
	if err != nil {
		t.Fatal(err)
	}
	d, err := s.newSession()
	if err != nil {
		t.Fatal(err)
	}
	called := make(chan error, 1)
	d.AddHandler(func(d *discordgo.Session, _ *discordgo.Ready) { called <- d.UpdateGameStatus(0, "with yarn") })
	opened := make(chan error, 1)
	go func() { opened <- d.Open() }()
	for _, c := range []chan error{opened, called} {
		select {
		case err := <-c:
			if err != nil {
				t.Error(err)
			}
		case <-time.After(5 * time.Second):
			t.Fatal("locked up")
		}
	}
	d.Close()
}

// Reading how a connection stands beside heartbeats, reconnects and answers:
// the library's own HeartbeatLatency races. Run with -race.
func TestStandingIsReadWithoutARace(t *testing.T) {
	t.Parallel()
	var s *Service
	fake, _ := serving(t, newStubs().set(), func(it *Service, f *loopback.Service) {
		s = it
		f.Heartbeat = 250 * time.Millisecond
	})
	stop := make(chan struct{})
	var reading sync.WaitGroup
	reading.Go(func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(time.Millisecond):
				s.Connections()
			}
		}
	})
	for range 3 {
		for range 50 {
			answers(t, fake)
		}
		fake.Drop()
		fake.Offline()
		fake.Online()
	}
	waitFor(t, "a heartbeat", func() bool { return s.Connections()[0].Latency > 0 })
	close(stop)
	reading.Wait()
	if c := s.Connections()[0]; !c.Connected || c.Latency > 5*time.Second {
		t.Errorf("%+v", c)
	}
}

// A panic beside a command's own code: the library would end the process.
func TestPanicWhileAnswering(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	fail := true
	fake, _ := serving(t, newStubs().set(), func(s *Service, _ *loopback.Service) {
		s.options.Now = func() time.Time {
			mu.Lock()
			defer mu.Unlock()
			if fail {
				panic("no clock")
			}
			return noon
		}
	})
	a := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "x"}})
	if m := a.Shown(); !a.ForOne() || !strings.Contains(m.Content, "reference") {
		t.Errorf("got %s", m.Content)
	}
	mu.Lock()
	fail = false
	mu.Unlock()
	answers(t, fake)
}

// Nothing that members ask is lost or answered twice while connections break:
// what was missed is replayed, and the stand-in fails the test that answers
// twice.
func TestNothingIsLostAcrossReconnects(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	var all []*loopback.Answer
	for round := range 4 {
		for n := range 40 {
			all = append(all, fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": fmt.Sprintf("round %d, %d", round, n)}}))
			if n == 20 {
				go fake.Drop()
			}
		}
		fake.Offline()
		fake.Online()
	}
	for _, a := range all {
		if a.Shown().Content == "" {
			t.Error("an empty answer")
		}
	}
	if n := stubs.runs(); n != len(all) {
		t.Errorf("%d asked, %d carried out", len(all), n)
	}
	if n := fake.Count("identify"); n != 1 {
		t.Errorf("%d identifies", n)
	}
}

// The same interaction delivered again is carried out once.
func TestDeliveredTwice(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "once"}})
	a.Wait()
	fake.Event("INTERACTION_CREATE", a.Event)
	answers(t, fake)
	if n := stubs.runs(); n != 2 {
		t.Errorf("carried out %d times, with the one that followed", n)
	}
}

// What comes so late that the member was told it failed is not carried out
// behind her back.
func TestTooLateAfterAReconnect(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	fake.Drop()
	fake.Offline()
	fake.Online()
	old := fake.Event // an interaction whose id says that it is a minute old
	event := map[string]any{"id": loopback.IDAt(time.Now().Add(-time.Minute)), "application_id": loopback.Application, "type": 2, "token": "t", "version": 1,
		"user": map[string]any{"id": "300000000000000001", "username": "m"}, "data": map[string]any{"id": "1", "name": "say", "type": 1}}
	old("INTERACTION_CREATE", event)
	answers(t, fake)
	if n := stubs.runs(); n != 1 {
		t.Errorf("carried out %d times, with the one that followed", n)
	}
}

// The pause before another attempt grows and is never the same, so that many
// bots do not come back in step.
func TestBackOff(t *testing.T) {
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set()})
	if err != nil {
		t.Fatal(err)
	}
	h := s.newShard(0, 1)
	seen := map[time.Duration]bool{}
	for wait := time.Second; wait <= 4*time.Minute; wait *= 2 {
		for range 20 {
			rest, err := h.after(errors.New("lost"), wait)
			if err != nil || rest < wait/2 || rest > wait {
				t.Fatalf("after %v: %v, %v", wait, rest, err)
			}
			seen[rest] = true
		}
	}
	if len(seen) < 150 {
		t.Errorf("only %d different pauses of 160", len(seen))
	}
}

// A library that locks up again and again ends the program, so that whoever
// watches over it starts it afresh.
func TestLockedUpAgainAndAgain(t *testing.T) {
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set()})
	if err != nil {
		t.Fatal(err)
	}
	h := s.newShard(0, 1)
	for n := 1; ; n++ {
		if _, err = h.after(errStuck, time.Second); err != nil {
			if n != mostStuck || !strings.Contains(err.Error(), "start again") {
				t.Errorf("after %d times: %v", n, err)
			}
			return
		}
	}
}
