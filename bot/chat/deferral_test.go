package chat

import (
	"strings"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// hurried makes everything that waits wait less.
func hurried(s *Service, _ *loopback.Service) { s.timing.deferAfter = 20 * time.Millisecond }

func waitFor(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(5 * time.Second); !ok(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s did not come", what)
		}
	}
}

func TestQuickAnswerIsNotDeferred(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	a := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "hello"}}).Wait()
	if a.First != 4 || a.Private || !strings.Contains(a.Message.Content, "hello") {
		t.Errorf("got type %d, private %v: %+v", a.First, a.Private, a.Message)
	}
}

func TestSlowCommandIsDeferredAtOnce(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), func(s *Service, _ *loopback.Service) { s.timing.deferAfter = time.Hour })
	a := fake.Ask(loopback.Ask{Path: "slow", Options: map[string]string{"text": "done"}})
	<-stubs.entered
	if !a.Deferred() {
		t.Error("it began to work before it was deferred")
	}
	close(stubs.gate)
	if m := a.Shown(); !strings.Contains(m.Content, "done") || a.ForOne() || len(a.Followups) > 0 {
		t.Errorf("got %+v", a)
	}
}

func TestSlowPrivateCommandIsDeferredPrivately(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	close(stubs.gate)
	fake, _ := serving(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "secret", Options: map[string]string{"text": "psst"}})
	if m := a.Shown(); !a.ForOne() || !strings.Contains(m.Content, "psst") || a.Withdrawn {
		t.Errorf("got %+v", a)
	}
}

func TestAnyCommandIsDeferredWhenItTakesLong(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), hurried)
	a := fake.Ask(loopback.Ask{Path: "late", Options: map[string]string{"text": "at last"}})
	waitFor(t, "the deferral", a.Deferred)
	close(stubs.gate)
	if m := a.Shown(); !strings.Contains(m.Content, "at last") || a.ForOne() || a.Took > time.Second {
		t.Errorf("got %+v after %v", m, a.Took)
	}
}

func TestMistakeAfterPublicDeferralIsPrivate(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	close(stubs.gate)
	fake, _ := serving(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "slip"})
	if m := a.Shown(); !a.Withdrawn || len(a.Followups) != 1 || !m.Ephemeral() || !strings.Contains(m.Content, "it can't be") {
		t.Errorf("got %+v", a)
	}
}

func TestMistakesArePrivate(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	for _, ask := range []loopback.Ask{{Path: "mistake"}, {Path: "panic"}, {Path: "odd"}, {Path: "private"}, {Path: "desk open"}} {
		a := fake.Ask(ask).Wait()
		if !a.ForOne() || a.Shown().Content == "" {
			t.Errorf("/%s was answered to everyone: %+v", ask.Path, a.Message)
		}
	}
}

func TestLargeFilesAreDeferred(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	a := fake.Ask(loopback.Ask{Path: "big"}).Wait()
	if f, ok := a.Shown().File(".bin"); a.First != 5 || !ok || len(f.Body) != 3<<20 {
		t.Errorf("answered with type %d and %d bytes", a.First, len(f.Body))
	}
}

func TestInFlightIsAnsweredAtTheEnd(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, stop := serving(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "late", Options: map[string]string{"text": "in time"}})
	<-stubs.entered
	ended := make(chan error, 1)
	go func() { ended <- stop() }()
	fake.Offline() // nothing new comes in
	select {
	case <-ended:
		t.Fatal("it stopped with an answer owed")
	default:
	}
	close(stubs.gate)
	if m := a.Shown(); !strings.Contains(m.Content, "in time") {
		t.Errorf("got %s", m.Content)
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func TestWhatTakesTooLongIsToldSoAtTheEnd(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, stop := serving(t, stubs.set(), func(s *Service, _ *loopback.Service) { s.timing.drain = 50 * time.Millisecond })
	a := fake.Ask(loopback.Ask{Path: "slow"})
	<-stubs.entered
	if err := stop(); err != nil {
		t.Error(err)
	}
	if m := a.Shown(); !strings.Contains(m.Content, "longer than I may take") || !a.ForOne() {
		t.Errorf("got %s", m.Content)
	}
}

func TestBusy(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), func(s *Service, _ *loopback.Service) { s.slots = make(chan struct{}, 2) })
	first := []*loopback.Answer{fake.Ask(loopback.Ask{Path: "late"}), fake.Ask(loopback.Ask{Path: "late"})}
	<-stubs.entered
	<-stubs.entered
	a := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "me too"}})
	if m := a.Shown(); !a.ForOne() || !strings.Contains(m.Content, "busy") {
		t.Errorf("got %s", m.Content)
	}
	typing := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"yarn": "F"}, Typing: "yarn"}).Wait()
	if len(typing.Choices) != 0 {
		t.Errorf("offered %v", typing.Choices)
	}
	close(stubs.gate)
	for _, a := range first {
		a.Wait()
	}
}
