package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"reflect"
	"strings"
	"testing"
)

// life gives a member something of everything.
func life(t *testing.T, s *Store, member string) {
	t.Helper()
	ctx := t.Context()
	must[Member](t)(s.SaveSettings(ctx, by(member), Settings{Units: "cm", Zone: "Europe/Lisbon"}))
	sw := cotton
	sw.Note = "measured by " + member + ", secret word periwinkle"
	must[Swatch](t)(s.AddSwatch(ctx, By{member, "k"}, sw))
	gone := must[Swatch](t)(s.AddSwatch(ctx, by(member), wool))
	must[Swatch](t)(s.DeleteSwatch(ctx, by(member), gone.ID))
	p := hat
	p.Name = "hat of " + member
	must[Pattern](t)(s.AddPattern(ctx, by(member), p))
}

func TestExport(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	_, err := s.Export(ctx, "ines")
	wantError(t, err, ErrNotFound)
	life(t, s, "ines")
	life(t, s, "mira")

	got := must[Export](t)(s.Export(ctx, "ines"))
	if *got.Member != must[Member](t)(s.Member(ctx, "ines")) {
		t.Errorf("member %+v", got.Member)
	}
	if len(got.Swatches) != 1 || len(got.Patterns) != 1 || len(got.Log) != 5 {
		t.Errorf("%d swatches, %d patterns, %d entries", len(got.Swatches), len(got.Patterns), len(got.Log))
	}
	if got.Patterns[0].Text != hat.Text {
		t.Errorf("a pattern without its text: %+v", got.Patterns[0])
	}
	text := must[[]byte](t)(json.Marshal(got))
	if bytes.Contains(text, []byte("mira")) {
		t.Errorf("another member's data is in %s", text)
	}
	var back Export
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	back.Patterns[0].AddedBy = "ines" // the one field that JSON leaves out
	if !reflect.DeepEqual(back, got) {
		t.Errorf("JSON gives back %+v, want %+v", back, got)
	}

	// Somebody who only added patterns has an export too.
	must[Pattern](t)(s.AddPattern(ctx, by("host"), hat))
	if got := must[Export](t)(s.Export(ctx, "host")); got.Member != nil || len(got.Patterns) != 1 {
		t.Errorf("export of a host %+v", got)
	}
}

func TestErase(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	life(t, s, "ines")
	life(t, s, "mira")
	// Somebody else's log entry about her pattern must not name her either.
	draft := hat
	draft.Draft = true
	must[Pattern](t)(s.AddPattern(ctx, by("ines"), draft))
	must[Pattern](t)(s.AddPattern(ctx, by("mira"), draft))
	other := must[Export](t)(s.Export(ctx, "mira"))

	got := must[Erased](t)(s.Erase(ctx, By{"ines", "k"}))
	if want := (Erased{Members: 1, Swatches: 1, Patterns: 1, Entries: 6}); got != want {
		t.Errorf("erased %+v, want %+v", got, want)
	}
	_, err := s.Export(ctx, "ines")
	wantError(t, err, ErrNotFound)
	if got := must[Export](t)(s.Export(ctx, "mira")); !reflect.DeepEqual(got, other) {
		t.Errorf("another member's data changed: %+v", got)
	}
	kept := must[Pattern](t)(s.Pattern(ctx, hat.Server, "hat of ines", "1"))
	if kept.AddedBy != "" || kept.Text != hat.Text {
		t.Errorf("the server's pattern %+v", kept)
	}
	if got := must[Erased](t)(s.Erase(ctx, by("ines"))); got != (Erased{}) {
		t.Errorf("erased again %+v", got)
	}
	_, err = s.Erase(ctx, by(""))
	wantError(t, err, ErrInvalid)

	// The log keeps the counts without a name.
	var member, after string
	if err := s.readers.QueryRow(`SELECT member, after FROM log WHERE kind = 'erase member'`).Scan(&member, &after); err != nil {
		t.Fatal(err)
	}
	if member != "" || after != `{"members":1,"swatches":1,"patterns":1,"entries":6}` {
		t.Errorf("log: %q %s", member, after)
	}
	must[Swatch](t)(s.AddSwatch(ctx, By{"ines", "k"}, cotton)) // welcome back, old keys forgotten
}

// No byte of what was erased may be left in the files.
func TestErasedIsOverwritten(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	for range 40 {
		sw := wool
		sw.Note = strings.Repeat("periwinkle ", 100)
		must[Swatch](t)(s.AddSwatch(ctx, by("ines"), sw))
	}
	if !onDisk(t, s, "periwinkle") {
		t.Fatal("the word is not in the files before: the test shows nothing")
	}
	must[Erased](t)(s.Erase(ctx, by("ines")))
	if onDisk(t, s, "periwinkle") {
		t.Error("the word is still in the files")
	}
}

// onDisk tells whether a word is in the file, or in any row on the server.
func onDisk(t *testing.T, s *Store, word string) bool {
	t.Helper()
	if s.engine != sqlite {
		return inARow(t, s, word)
	}
	for _, side := range []string{"", "-wal"} {
		text, err := os.ReadFile(s.path + side)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
		if bytes.Contains(text, []byte(word)) {
			return true
		}
	}
	return false
}

func inARow(t *testing.T, s *Store, word string) bool {
	t.Helper()
	rows, err := s.readers.Query(s.engine.tables)
	for _, table := range must[[]string](t)(collect(rows, err, func(row scanner) (name string, err error) {
		return name, row.Scan(&name)
	})) {
		var n int
		if err := s.readers.QueryRow(`SELECT count(*) FROM `+table+` AS r WHERE CAST(r AS TEXT) LIKE $1`, "%"+word+"%").Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n > 0 {
			return true
		}
	}
	return false
}
