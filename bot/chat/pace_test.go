package chat

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"pgregory.net/rapid"

	"countwright/bot/chat/loopback"
)

func TestPaceOfAMember(t *testing.T) {
	p := &pace{}
	// By hand: 60 a minute, so one a second, and a quarter of a minute's, 15, at
	// once.
	for n := range 15 {
		if wait := p.take("a", 60, noon); wait > 0 {
			t.Fatalf("after %d: wait %v", n, wait)
		}
	}
	if wait := p.take("a", 60, noon); wait != time.Second {
		t.Errorf("the sixteenth waits %v", wait)
	}
	if wait := p.take("b", 60, noon); wait > 0 {
		t.Errorf("another waits %v", wait)
	}
	if wait := p.take("a", 60, noon.Add(time.Second)); wait > 0 {
		t.Errorf("a second later: %v", wait)
	}
	if wait := p.take("a", 60, noon.Add(time.Second)); wait != time.Second {
		t.Errorf("and at once again: %v", wait)
	}
	if wait := p.take("a", 0, noon); wait > 0 {
		t.Errorf("without a limit: %v", wait)
	}
	if wait := p.take("c", 1, noon) + p.take("c", 1, noon.Add(time.Minute)); wait > 0 {
		t.Errorf("one a minute: %v", wait)
	}
}

// TestPaceLaw: whatever the rhythm, no stretch of time sees more than its
// share and what may come at once, and who keeps to the pace is never stopped.
func TestPaceLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		perMinute := rapid.IntRange(1, 600).Draw(t, "limit")
		p := &pace{}
		now := noon
		var taken []time.Time
		for range rapid.IntRange(1, 200).Draw(t, "asks") {
			now = now.Add(time.Duration(rapid.IntRange(0, 3000).Draw(t, "pause")) * time.Millisecond)
			if p.take("a", perMinute, now) == 0 {
				taken = append(taken, now)
			}
		}
		for i := range taken {
			for j := i; j < len(taken); j++ {
				most := taken[j].Sub(taken[i]).Minutes()*float64(perMinute) + max(1, float64(perMinute)/4) + 1e-6
				if n := float64(j - i + 1); n > most+1 {
					t.Fatalf("%g taken within %v at %d a minute", n, taken[j].Sub(taken[i]), perMinute)
				}
			}
		}
		steady := &pace{}
		for n := range 50 {
			if wait := steady.take("a", perMinute, noon.Add(time.Duration(n)*(time.Minute/time.Duration(perMinute)))); wait > 0 {
				t.Fatalf("who keeps to the pace waits %v", wait)
			}
		}
	})
}

func TestPaceForgets(t *testing.T) {
	p := &pace{}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for n := range 5 * mostPaced {
		p.take(fmt.Sprint("member ", n), 60, noon.Add(time.Duration(n)*time.Millisecond))
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); len(p.due) > mostPaced || grown > 40<<20 {
		t.Errorf("%d keys, %d MB", len(p.due), grown>>20)
	}
}

func TestTooFastIsToldKindly(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), func(s *Service, _ *loopback.Service) { s.pace.limits = Limits{Member: 8, Server: 20} })
	say := func(member, server string) *loopback.Answer {
		return fake.Ask(loopback.Ask{Path: "say", Member: member, Server: server, Direct: server == "direct", Options: map[string]string{"text": "hello"}}).Wait()
	}
	told := func(a *loopback.Answer) string {
		if strings.Contains(a.Shown().Content, "hello") {
			return ""
		}
		if !a.ForOne() {
			t.Error("it was told to everyone")
		}
		return a.Shown().Content
	}
	const mira, odile, ben = "300000000000000001", "300000000000000002", "300000000000000003"
	here, there := loopback.Server, "400000000000000002"
	for n := range 3 {
		if s := told(say(mira, here)); n < 2 && s != "" || n == 2 && !strings.Contains(s, "more from you in 8 seconds") {
			t.Errorf("%d: %q", n, s)
		}
	}
	if s := told(say(mira, "direct")); !strings.Contains(s, "more from you") {
		t.Errorf("in a direct message: %q", s)
	}
	for n := range 3 {
		if s := told(say(odile, here)); n < 2 && s != "" || n == 2 && s == "" {
			t.Errorf("another member, %d: %q", n, s)
		}
	}
	if s := told(say(ben, here)) + told(say(ben, here)); !strings.Contains(s, "Many people are asking here") {
		t.Errorf("the server: %q", s)
	}
	if s := told(say("300000000000000004", there)); s != "" {
		t.Errorf("another server: %q", s)
	}
	typing := loopback.Ask{Path: "say", Member: mira, Options: map[string]string{"yarn": ""}, Typing: "yarn"}
	if a := fake.Ask(typing).Wait(); len(a.Choices) == 0 {
		t.Error("what is typed is counted with what is sent")
	}
}

func TestRecentForgets(t *testing.T) {
	var r recent
	if !r.first("a", noon) || r.first("a", noon) || r.first("a", noon.Add(recentHalf+time.Second)) {
		t.Error("forgotten too early")
	}
	if r.first("b", noon.Add(recentHalf+2*time.Second)); !r.first("a", noon.Add(3*recentHalf)) {
		t.Error("never forgotten")
	}
	for n := range 3 * recentMost {
		r.first(fmt.Sprint(n), noon.Add(3*recentHalf))
	}
	if n := len(r.young) + len(r.old); n > 2*recentMost {
		t.Errorf("%d are kept", n)
	}
}

func TestAge(t *testing.T) {
	s := &Service{meter: &meter{now: func() time.Time { return noon }}}
	a := ask{Interaction: &discordgo.Interaction{ID: loopback.IDAt(noon.Add(-5 * time.Second))}, came: noon}
	if got := s.age(a); got != 0 {
		t.Errorf("without the service's clock: %v", got)
	}
	// Our clock is a minute ahead.
	s.meter.compare(noon.Add(-time.Minute).UTC().Format("Mon, 02 Jan 2006 15:04:05 GMT"), noon, noon)
	if ahead, known := s.meter.ahead(); !known || ahead < 59*time.Second || ahead > 61*time.Second {
		t.Errorf("%v ahead, %v", ahead, known)
	}
	a.ID = loopback.IDAt(noon.Add(-time.Minute - 2*time.Second))
	if got := s.age(a); got < time.Second || got > 3*time.Second {
		t.Errorf("two seconds ago by the service's clock: %v", got)
	}
}
