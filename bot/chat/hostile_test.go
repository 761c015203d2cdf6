package chat

import (
	"context"
	"errors"
	"io"
	"net/http"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"
	"unicode"

	"pgregory.net/rapid"

	"countwright/bot/chat/loopback"
	"countwright/commands"
	"countwright/commands/reply"
)

// TestHeapsCantBeBuiltInPieces: what is dropped from between two heaps of marks,
// and what joins them, does not begin a new letter. UTS #39, 5.4.
func TestHeapsCantBeBuiltInPieces(t *testing.T) {
	four := "\u0301\u0302\u0303\u0304"
	for name, between := range map[string]string{
		"a joiner": "\u200D", "a non-joiner": "\u200C", "no width": "\u200B", "a turn": "\u202E", "a tag": "\U000E0041", "a control": "\x01", "a style": "\uFE0F", "a soft hyphen": "\u00AD",
	} {
		if got := clean("Z" + strings.Repeat(four+between, 2500)); len([]rune(got)) > 7 {
			t.Errorf("%s: %d characters stand on one letter", name, len([]rune(got)))
		}
	}
	if got := clean("漢" + strings.Repeat("\u200D", 1000) + "字"); got != "漢\u200D字" {
		t.Errorf("a run of joiners: %+q", got)
	}
	if got := clean("\u200D\u200D\u200D漢\u200D"); got != "漢" {
		t.Errorf("joiners of nothing: %+q", got)
	}
}

// TestCleanLaw: whatever comes in, what comes out is clean, and stays as it is.
func TestCleanLaw(t *testing.T) {
	piece := rapid.SampledFrom([]string{"a", "漢", "\u0301", "\u20DD", "\u200D", "\u200C", "\u200B", "\uFE0F", "\uFE0E", "\u202E", "\u2066", "🧶", "\r\n", "\n", "\t", " ", "\x00", "\x1b", "\xff", "\u09CD", "\U000E0100"})
	rapid.Check(t, func(t *rapid.T) {
		in := strings.Join(rapid.SliceOfN(piece, 0, 30).Draw(t, "pieces"), "")
		out := clean(in)
		if again := clean(out); again != out {
			t.Fatalf("%+q became %+q, and then %+q", in, out, again)
		}
		marks, hidden := 0, 0
		for _, r := range out {
			switch {
			case joiner(r), unicode.Is(unicode.Variation_Selector, r):
				hidden++
			case unicode.In(r, unicode.Mn, unicode.Me):
				marks++
				hidden = 0
			case r != '\n' && unseen(r):
				t.Fatalf("%U is left of %+q", r, in)
			default:
				marks, hidden = 0, 0
			}
			if marks > mostMarks || hidden > 2 {
				t.Fatalf("%+q became %+q", in, out)
			}
		}
	})
}

// TestValuesAreNoMarks: a name that looks like the mark of a post does not make
// a button of another message that post's, or it would never be sent.
func TestValuesAreNoMarks(t *testing.T) {
	for _, name := range []string{"post:7", "hat post:7 blue", `a" post:7 "b`, `a\" post:7`, "a\npost:7\nb", "post:7 x", `\`, `3" wide`} {
		line := commands.Line("pattern show", map[string]commands.Input{"name": {Text: name}})
		rows, _ := componentsOf([]reply.Action{reply.Button{Label: "Show", Line: line}})
		if (seen{Components: rows}).bears("post:7") {
			t.Errorf("%s bears the mark", line)
		}
		own := commands.Line("makealong answer", map[string]commands.Input{"milestone": {Text: name}, "post": {Text: "7"}})
		rows, _ = componentsOf([]reply.Action{reply.Button{Label: "On it", Line: own}})
		if !(seen{Components: rows}).bears("post:7") {
			t.Errorf("%s does not bear the mark", own)
		}
	}
}

// TestCustomIDInUnits: a hundred characters are counted as strictly as can be.
func TestCustomIDInUnits(t *testing.T) {
	line := "/say text:" + strings.Repeat("🧶", 50)
	if rows, spare := componentsOf([]reply.Action{reply.Button{Label: "Say", Line: line}}); len(rows) != 0 || len(spare) != 1 {
		t.Errorf("a line of %d units became a button", length(line))
	}
}

// TestWhatIsNotOffered: ids that no message of this version bears. Nobody is
// told more than that they no longer work, and what is for hosts stays theirs.
func TestWhatIsNotOffered(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	old := "from an earlier time"
	for name, tt := range map[string]struct {
		ask  loopback.Ask
		want string
	}{
		"a removed command":      {loopback.Ask{Button: "cw10:/gone"}, old},
		"a removed option":       {loopback.Ask{Button: "cw10:/say colour:red"}, old},
		"another version":        {loopback.Ask{Button: "cw20:/say text:x"}, old},
		"no line":                {loopback.Ask{Button: "cw10:"}, old},
		"an open quote":          {loopback.Ask{Button: `cw10:/say text:"x`}, old},
		"longer than any":        {loopback.Ask{Button: "cw10:/say text:" + strings.Repeat("x", 5000)}, "did not work"},
		"a choice not offered":   {loopback.Ask{Button: "cw11:", Value: "anything"}, old},
		"a choice of nothing":    {loopback.Ask{Button: "cw11:", Value: " "}, old},
		"a form that is gone":    {loopback.Ask{Form: "cw10:/gone", Fields: map[string]string{"text": "x"}}, old},
		"a field that is gone":   {loopback.Ask{Form: "cw10:/form", Fields: map[string]string{"nothing": "x"}}, "did not work"},
		"a form of no fields":    {loopback.Ask{Form: "cw10:/say text:x", Parts: []any{}}, "x"},
		"a number too large":     {loopback.Ask{Button: "cw1" + strings.Repeat("9", 80) + ":/say"}, old},
		"a host's command":       {loopback.Ask{Button: "cw10:/desk open"}, "for this server's hosts"},
		"a host's by a form":     {loopback.Ask{Form: "cw10:/desk open", Fields: map[string]string{"text": "x"}}, "did not work"},
		"a host's in a message":  {loopback.Ask{Button: "cw10:/desk open", Direct: true, Permissions: 1 << 3}, "for a server's hosts"},
		"turned writing":         {loopback.Ask{Button: "cw10:/say text:\u202E@everyone <@1>"}, `\<@1>`},
		"a name of two commands": {loopback.Ask{Button: "cw10:/say /desk open"}, old},
	} {
		m := fake.Ask(tt.ask).Shown()
		if !strings.Contains(m.Content, tt.want) {
			t.Errorf("%s was answered with %s", name, m.Content)
		}
		if strings.Contains(m.Content, "my side") || strings.Contains(m.Content, ".go") {
			t.Errorf("%s is told as a fault: %s", name, m.Content)
		}
	}
	stubs.mu.Lock()
	defer stubs.mu.Unlock()
	for _, c := range stubs.calls {
		if c.Path == "desk open" {
			t.Error("a host's command ran for a member")
		}
	}
}

// TestEveryWayIsPaced: buttons, menus and forms use up the same measure as
// commands; typing has its own, and does not fill it up again.
func TestEveryWayIsPaced(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), func(s *Service, _ *loopback.Service) { s.pace.limits = Limits{Member: 16} }) // 4 at once
	ways := []loopback.Ask{
		{Path: "say", Options: map[string]string{"text": "x"}}, {Button: "cw10:/say text:x"}, {Button: "cw11:", Value: "cw10:/say text:x"},
		{Form: "cw10:/form", Fields: map[string]string{"text": "x"}}, {Button: "nonsense"},
	}
	for i := range 20 {
		if i < 4 {
			fake.Ask(ways[i%len(ways)]).Wait()
			continue
		}
		fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"yarn": ""}, Typing: "yarn"}).Wait()
		if m := fake.Ask(ways[i%len(ways)]).Shown(); !strings.Contains(m.Content, "a lot at once") {
			t.Errorf("way %d was not stopped: %s", i%len(ways), m.Content)
		}
	}
}

// TestNothingIsLeftRunning: answers of every kind, broken ones too, leave no
// goroutine behind.
func TestNothingIsLeftRunning(t *testing.T) {
	stubs := newStubs()
	close(stubs.gate)
	fake, _ := overHTTP(t, stubs.set(), hurried)
	asks := []loopback.Ask{
		{Path: "say", Options: map[string]string{"text": "x"}}, {Path: "mistake"}, {Path: "panic"}, {Path: "odd"}, {Path: "picture"}, {Path: "form"}, {Button: "old"},
		{Button: "cw10:/gone"}, {Path: "say", Options: map[string]string{"yarn": ""}, Typing: "yarn"}, {Path: "read", Files: map[string]loopback.File{"file": {Name: "a.txt", Body: []byte("x")}}},
	}
	round := func(n int) int {
		for range n {
			for _, a := range asks {
				fake.Ask(a).Wait()
			}
		}
		least := runtime.NumGoroutine()
		for range 100 { // those that end are given the time
			time.Sleep(5 * time.Millisecond)
			least = min(least, runtime.NumGoroutine())
		}
		return least
	}
	before := round(2)
	if after := round(20); after > before+8 {
		t.Errorf("%d goroutines after 2 rounds, %d after 22", before, after)
	}
}

// large is a service whose attachments are as large as may be.
type large struct{ fetched atomic.Int32 }

func (l *large) RoundTrip(r *http.Request) (*http.Response, error) {
	l.fetched.Add(1)
	return &http.Response{StatusCode: http.StatusOK, Body: io.NopCloser(io.LimitReader(zeros{}, mostFetched)), Request: r}, nil
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return len(p), nil }

// TestFewLargeFilesAtOnce: however many members send large files at once, few
// are in memory, each until its answer is out.
func TestFewLargeFilesAtOnce(t *testing.T) {
	service := &large{}
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set(), Transport: service})
	if err != nil {
		t.Fatal(err)
	}
	answers := make(chan context.CancelFunc, 10)
	for range 10 {
		ctx, answered := context.WithCancel(t.Context())
		go func() {
			if body, err := s.fetch(ctx, "https://cdn.discordapp.com/attachments/1/a.png", mostFetched); err != nil || len(body) != mostFetched {
				t.Errorf("%d bytes, %v", len(body), err)
			}
			answers <- answered
		}()
	}
	for range 10 {
		answered := <-answers
		if n := service.fetched.Load(); n > mostHolding {
			t.Fatalf("%d are in memory", n)
		}
		service.fetched.Add(-1)
		answered()
	}
	if body, err := s.fetch(t.Context(), "https://cdn.discordapp.com/attachments/1/a.png", 10); err == nil {
		t.Errorf("more than was said was taken: %d bytes", len(body))
	}
	ended, end := context.WithCancel(t.Context())
	end()
	for range mostHolding {
		s.holding <- struct{}{}
	}
	if _, err := s.fetch(ended, "https://cdn.discordapp.com/attachments/1/a.png", mostFetched); !errors.Is(err, context.Canceled) {
		t.Errorf("waited for a place: %v", err)
	}
}
