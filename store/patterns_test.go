package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// hat is a pattern of an invented server.
var hat = Pattern{Server: "loop-house", Name: "harbour-hat", Version: "1", Title: "Harbour Hat", Author: "Ines",
	Licence: "CC BY 4.0", Format: "rows", Text: "Rnd 1: 6 sc in magic ring. [6]"}

// head is a pattern as lists and the log have it.
func head(p Pattern) Pattern {
	p.Text = ""
	return p
}

func TestPattern(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	_, err := s.Pattern(ctx, hat.Server, hat.Name, "")
	wantError(t, err, ErrNotFound)
	if err.Error() != `read pattern: pattern "harbour-hat": not found` {
		t.Errorf("error %q", err)
	}

	first := must[Pattern](t)(s.AddPattern(ctx, by("host"), hat))
	want := hat
	want.ID, want.AddedBy, want.AddedAt = first.ID, "host", day
	if first != want || first.ID == 0 {
		t.Errorf("added %+v, want %+v", first, want)
	}
	_, err = s.AddPattern(ctx, by("other"), hat)
	wantError(t, err, ErrConflict)
	if err.Error() != `add pattern: pattern "harbour-hat", version "1": already there` {
		t.Errorf("error %q", err)
	}

	// A draft of version 2 does not hide the finished version 1.
	c.add(time.Hour)
	draft := hat
	draft.Version, draft.Draft, draft.Text = "2", true, "Rnd 1: 7 sc in magic ring. [6]"
	draft = must[Pattern](t)(s.AddPattern(ctx, by("host"), draft))
	if got := must[Pattern](t)(s.Pattern(ctx, hat.Server, "HARBOUR-hat", "")); got != first {
		t.Errorf("newest finished %+v, want version 1", got)
	}
	if got := must[Pattern](t)(s.Pattern(ctx, hat.Server, hat.Name, "2")); got != draft {
		t.Errorf("version 2 %+v", got)
	}

	// Mended, it replaces the draft and is the newest.
	c.add(time.Hour)
	mended := draft
	mended.Draft, mended.Text = false, "Rnd 1: 7 sc in magic ring. [7]"
	mended = must[Pattern](t)(s.AddPattern(ctx, by("second host"), mended))
	if mended.ID != draft.ID || mended.AddedBy != "second host" || !mended.AddedAt.Equal(c.now()) {
		t.Errorf("mended %+v", mended)
	}
	if got := must[Pattern](t)(s.Pattern(ctx, hat.Server, hat.Name, "")); got != mended {
		t.Errorf("newest %+v, want version 2", got)
	}
	if got := must[[]Pattern](t)(s.PatternVersions(ctx, hat.Server, "Harbour-Hat")); !slices.Equal(got, []Pattern{head(mended), head(first)}) {
		t.Errorf("versions %+v", got)
	}
}

func TestPatternsOfAServer(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	add := func(server, name, version string, draft bool) Pattern {
		p := hat
		p.Server, p.Name, p.Version, p.Draft = server, name, version, draft
		return head(must[Pattern](t)(s.AddPattern(ctx, by("host"), p)))
	}
	add("a", "shawl", "1", false)
	shawl := add("a", "Shawl", "2", false)
	add("a", "shawl", "3", true)
	add("a", "bag", "1", true)
	bag := add("a", "bag", "2", true)
	elsewhere := add("b", "shawl", "1", false)
	if got := must[[]Pattern](t)(s.Patterns(ctx, "a")); !slices.Equal(got, []Pattern{bag, shawl}) {
		t.Errorf("server a has %+v", got)
	}
	if got := must[[]Pattern](t)(s.Patterns(ctx, "b")); !slices.Equal(got, []Pattern{elsewhere}) {
		t.Errorf("server b has %+v", got)
	}
	if got := must[[]Pattern](t)(s.Patterns(ctx, "c")); len(got) != 0 {
		t.Errorf("server c has %+v", got)
	}
}

func TestRemovePattern(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	var versions []Pattern
	for _, v := range []string{"1", "2", "3"} {
		p := hat
		p.Version = v
		versions = append(versions, head(must[Pattern](t)(s.AddPattern(ctx, by("host"), p))))
	}
	for i := range versions {
		versions[i].AddedBy = "host"
	}
	remove := func(key, server, version string) ([]Pattern, error) {
		return s.RemovePattern(ctx, By{"host", key}, server, "Harbour-Hat", version)
	}
	_, err := remove("", "another", "")
	wantError(t, err, ErrNotFound)
	_, err = remove("", hat.Server, "9")
	wantError(t, err, ErrNotFound)
	if got := must[[]Pattern](t)(remove("", hat.Server, "2")); !slices.Equal(got, versions[1:2]) {
		t.Errorf("removed %+v, want version 2", got)
	}
	got := must[[]Pattern](t)(remove("all", hat.Server, ""))
	slices.SortFunc(got, func(a, b Pattern) int { return int(a.ID - b.ID) })
	if !slices.Equal(got, []Pattern{versions[0], versions[2]}) {
		t.Errorf("removed %+v, want versions 1 and 3", got)
	}
	if got := must[[]Pattern](t)(remove("all", hat.Server, "")); len(got) != 2 {
		t.Errorf("the second delivery gave %+v", got)
	}
	if got := must[[]Pattern](t)(s.PatternVersions(ctx, hat.Server, hat.Name)); len(got) != 0 {
		t.Errorf("left over: %+v", got)
	}
	// The text is gone from the log too.
	var kept int
	if err := s.readers.QueryRow(`SELECT count(*) FROM log WHERE concat(before, after) LIKE '%magic ring%'`).Scan(&kept); err != nil || kept != 0 {
		t.Errorf("%d log entries hold the text (%v)", kept, err)
	}
}

func TestPatternOutOfRange(t *testing.T) {
	s, _ := open(t)
	for name, spoil := range map[string]func(*Pattern){
		"no server":     func(p *Pattern) { p.Server = "" },
		"no name":       func(p *Pattern) { p.Name = "" },
		"blank name":    func(p *Pattern) { p.Name = "  " },
		"name too long": func(p *Pattern) { p.Name = strings.Repeat("n", 61) },
		"no version":    func(p *Pattern) { p.Version = "" },
		"no text":       func(p *Pattern) { p.Text = "" },
		"text too long": func(p *Pattern) { p.Text = strings.Repeat("x", 1<<20+1) },
		"title":         func(p *Pattern) { p.Title = strings.Repeat("x", 201) },
	} {
		p := hat
		spoil(&p)
		got, err := s.AddPattern(t.Context(), by("host"), p)
		if !errors.Is(err, ErrInvalid) || got != (Pattern{}) {
			t.Errorf("%s: %+v, error %v, want %v", name, got, err, ErrInvalid)
		}
	}
	if got := must[[]Pattern](t)(s.Patterns(t.Context(), hat.Server)); len(got) != 0 {
		t.Errorf("refused writes left %+v", got)
	}
}

func TestPatternLimit(t *testing.T) {
	s := openWith(t, Options{})
	p := hat
	for i := range MaxPatterns {
		p.Version = fmt.Sprint(i)
		must[Pattern](t)(s.AddPattern(t.Context(), by("host"), p))
	}
	p.Version = "one more"
	_, err := s.AddPattern(t.Context(), by("host"), p)
	wantError(t, err, ErrLimit)
}
