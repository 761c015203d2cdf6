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
		err := clock.Move(c.to)
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
			rest := out.String()
			for _, w := range c.want {
				_, after, found := strings.Cut(rest, w)
				if !found {
					t.Fatalf("%q is not in (the rest of)\n%s", w, out)
				}
				rest = after
			}
			if c.absent != "" && strings.Contains(out.String(), c.absent) {
				t.Errorf("%q should not be in\n%s", c.absent, out)
			}
		})
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
