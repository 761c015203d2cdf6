package room

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/commands"
	"countwright/commands/reply"
)

var start = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// newRoom opens a room whose members nobody knows.
func newRoom(t *testing.T) (*Room, *strings.Builder) {
	t.Helper()
	out := &strings.Builder{}
	return &Room{
		Set: commands.All(commands.Services{}, nil), Out: out, Pictures: t.TempDir(),
		Clock: &Clock{Base: func() time.Time { return start }},
	}, out
}

func TestClockMoves(t *testing.T) {
	for _, c := range []struct {
		to   string
		want string // empty: refused
	}{
		{"+7d", "2026-03-08 09:00"},
		{"+36h", "2026-03-02 21:00"},
		{"+5m", "2026-03-01 09:05"},
		{"+2w", "2026-03-15 09:00"},
		{"2026-12-24 18:30", "2026-12-24 18:30"},
		{"2025-12-24 18:30", ""},
		{"7d", ""},
		{"+d", ""},
		{"+-3d", ""},
		{"+99999d", ""},
		{"+3y", ""},
		{"tomorrow", ""},
	} {
		clock := Clock{Base: func() time.Time { return start }}
		target, err := clock.Target(c.to)
		if err == nil {
			clock.to(target)
		}
		switch {
		case c.want == "" && (err == nil || !clock.Now().Equal(start)):
			t.Errorf("%q moved the clock to %s, error %v", c.to, clock.Now(), err)
		case c.want != "" && (err != nil || clock.Now().Format("2006-01-02 15:04") != c.want):
			t.Errorf("%q: the clock shows %s, error %v, want %s", c.to, clock.Now(), err, c.want)
		}
	}
}

func TestScript(t *testing.T) {
	for _, c := range []struct {
		name, in string
		want     []string // in order
		absent   string
	}{
		{"a comment and an empty line are passed over", "# hello\n\n", nil, "hello"},
		{"another speaker for one line, then you", "@mira /me show\n/me show\n", []string{"Your settings", "Your settings"}, ""},
		{"another speaker from now on", "@mira\n", []string{"You speak as mira now."}, ""},
		{"a name that is none", "@mi;ra /me show\n", []string{"letters and digits"}, "settings"},
		{"the clock", ":clock +7d\n", []string{"Sunday 8 March 2026, 09:00"}, ""},
		{"an unknown word", ":clokc\n", []string{"no :clokc"}, ""},
		{"the server's language", ":language de\n/me show\n", []string{"Deutsch now.", "Deine Einstellungen"}, "Your settings"},
		{"a language that nobody speaks here", ":language tlh\n", []string{"tlh", "es-419"}, ""},
		{"leaving", ":quit\n/me show\n", nil, "settings"},
		{"an unknown command", "/mee show\n", []string{"/me"}, ""},
		{"a value over several lines", "/me set zone:\"Europe/\nLisbon\"\n/me show\n", []string{"time zone", "Your settings"}, ""},
		{"a quote that is never closed ends before the next command", "/me set zone:\"Europe\n/me show\n", []string{"Your settings"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, out := newRoom(t)
			if err := r.Script(context.Background(), strings.NewReader(c.in)); err != nil {
				t.Fatal(err)
			}
			wantInOrder(t, out.String(), c.want, c.absent)
		})
	}
}

// wantInOrder wants texts one after the other in what was shown, and one
// nowhere, unless it is "".
func wantInOrder(t *testing.T, out string, want []string, absent string) {
	t.Helper()
	rest := out
	for _, w := range want {
		_, after, found := strings.Cut(rest, w)
		if !found {
			t.Fatalf("%q is not in (the rest of)\n%s", w, out)
		}
		rest = after
	}
	if absent != "" && strings.Contains(out, absent) {
		t.Errorf("%q should not be in\n%s", absent, out)
	}
}

func TestScriptAsJSON(t *testing.T) {
	r, out := newRoom(t)
	r.JSON = true
	if err := r.Script(context.Background(), strings.NewReader(":clock +1d\n@mira /me show\n/nothing here\n")); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 2 {
		t.Fatalf("want one line a reply and none about the room, got\n%s", out)
	}
	for i, want := range []bool{true, false} {
		var answer struct {
			OK    bool
			Error *struct{ Message, Example string }
		}
		if err := json.Unmarshal([]byte(lines[i]), &answer); err != nil {
			t.Fatal(err)
		}
		if answer.OK != want || (answer.Error == nil) != want {
			t.Errorf("line %d: %s", i+1, lines[i])
		}
	}
}

// diary is a calendar with something to tell at some moments.
type diary struct {
	clock *Clock
	at    []time.Time
	slow  int // how often it is not ready yet
}

func (d *diary) Next(context.Context) (time.Time, bool, error) {
	if len(d.at) == 0 {
		return time.Time{}, false, nil
	}
	return d.at[0], true, nil
}

func (d *diary) Due(context.Context) (shown []Shown, err error) {
	if d.slow > 0 {
		d.slow--
		return nil, nil
	}
	told := []string{}
	for len(d.at) > 0 && !d.at[0].After(d.clock.Now()) {
		told = append(told, d.at[0].Format("15:04"))
		d.at = d.at[1:]
	}
	if len(told) > 0 {
		shown = append(shown, Shown{Where: "in the channel", Reply: reply.Reply{Title: "Told " + strings.Join(told, " and "), Pings: []string{"mira"}}})
	}
	return shown, nil
}

// TestClockHaltsWhereSomethingFallsDue: each post is shown at its time; with
// the bot away, in one.
func TestClockHaltsWhereSomethingFallsDue(t *testing.T) {
	hours := func(n ...int) (at []time.Time) {
		for _, h := range n {
			at = append(at, start.Add(time.Duration(h)*time.Hour))
		}
		return at
	}
	for _, c := range []struct {
		name, in string
		at       []time.Time
		slow     int
		want     []string
		absent   string
	}{
		{"each at its time", ":clock +1d\n", hours(1, 3, 30), 0, []string{"Sun 1 Mar 2026, 10:00 UTC, in the channel, pings mira", "Told 10:00", "12:00 UTC, in the channel", "Told 12:00", "clock shows Monday 2 March 2026, 09:00"}, "15:00"},
		{"in one after the bot was away", ":away +1d\n", hours(1, 3, 30), 0, []string{"Mon 2 Mar 2026, 09:00 UTC, in the channel", "Told 10:00 and 12:00", "clock shows"}, "15:00"},
		{"what takes its time is waited for", ":clock +1d\n", hours(1), 3, []string{"10:03 UTC", "Told 10:00", "clock shows Monday 2 March 2026, 09:00"}, ""},
		{"what is asked for comes at once", "/me show\n", []time.Time{start.Add(30 * time.Second)}, 0, []string{"Your settings", "Told 09:00"}, ""},
		{"and nothing else does", "/me show\n", hours(1), 0, []string{"Your settings"}, "Told"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, out := newRoom(t)
			r.Calendar = &diary{clock: r.Clock, at: c.at, slow: c.slow}
			if err := r.Script(t.Context(), strings.NewReader(c.in)); err != nil {
				t.Fatal(err)
			}
			wantInOrder(t, out.String(), c.want, c.absent)
		})
	}
}

func TestPostsAsJSON(t *testing.T) {
	r, out := newRoom(t)
	r.JSON, r.Calendar = true, &diary{clock: r.Clock, at: []time.Time{start.Add(time.Hour)}}
	if err := r.Script(t.Context(), strings.NewReader(":clock +1d\n/me show\n")); err != nil {
		t.Fatal(err)
	}
	var post, answer struct {
		Title  string
		OK     bool
		Posted *struct {
			Where string
			At    time.Time
			Pings []string
		}
	}
	first, second, _ := strings.Cut(strings.TrimSpace(out.String()), "\n")
	if err := json.Unmarshal([]byte(first), &post); err != nil || !post.OK || post.Posted == nil || !post.Posted.At.Equal(start.Add(time.Hour)) || len(post.Posted.Pings) != 1 {
		t.Errorf("%v: %s", err, first)
	}
	if err := json.Unmarshal([]byte(second), &answer); err != nil || answer.Posted != nil {
		t.Errorf("%v: %s", err, second)
	}
}

func TestComplete(t *testing.T) {
	r, _ := newRoom(t)
	for _, c := range []struct {
		line, head, offer string
	}{
		{"/me s", "", "/me show "},
		{"/me set un", "/me set ", "units:"},
		{"/me set units:in", "/me set ", "units:inches "},
		{"@mira /me set te", "@mira /me set ", "terms:"},
		{":cl", "", ":clock "},
	} {
		head, offers := r.Complete(context.Background(), c.line)
		if head != c.head || !slices.Contains(offers, c.offer) {
			t.Errorf("%q: head %q, offers %q; want %q among them after %q", c.line, head, offers, c.offer, c.head)
		}
	}
	if _, offers := r.Complete(context.Background(), "/me set units:cm u"); slices.Contains(offers, "units:") {
		t.Errorf("an option that is given is offered again: %q", offers)
	}
}

func TestFilesAreKeptApart(t *testing.T) {
	r, _ := newRoom(t)
	for range 2 {
		if err := r.show(reply.Reply{Title: "x", Parts: []reply.Block{reply.File{Name: "../rows.txt", Body: []byte("Row 1")}}}); err != nil {
			t.Fatal(err)
		}
	}
	names, err := filepath.Glob(filepath.Join(r.Pictures, "*"))
	if err != nil || len(names) != 2 || filepath.Base(names[0]) != "001-rows.txt" {
		t.Fatalf("got %q, %v", names, err)
	}
	body, err := os.ReadFile(names[1])
	if err != nil || string(body) != "Row 1" {
		t.Errorf("got %q, %v", body, err)
	}
}
