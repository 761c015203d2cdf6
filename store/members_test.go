package store

import (
	"errors"
	"strings"
	"testing"
	"time"
)

func TestSettings(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	if got := must[Settings](t)(s.Settings(ctx, "ines")); got != (Settings{}) {
		t.Errorf("settings of somebody unknown %+v", got)
	}
	_, err := s.Member(ctx, "ines")
	wantError(t, err, ErrNotFound)
	if err.Error() != `read member: member "ines": not found` {
		t.Errorf("error %q", err)
	}

	first := Settings{Units: "cm", Terms: "UK", Zone: "Europe/Lisbon", Level: "maker", Locale: "pt-PT"}
	got := must[Member](t)(s.SaveSettings(ctx, by("ines"), first))
	if want := (Member{"ines", first, day, day}); got != want {
		t.Errorf("saved %+v, want %+v", got, want)
	}
	c.add(time.Hour + 1500*time.Microsecond)
	second := Settings{Units: "in", Terms: "US"}
	got = must[Member](t)(s.SaveSettings(ctx, by("ines"), second))
	want := Member{"ines", second, day, day.Add(time.Hour + time.Millisecond)} // times are whole milliseconds
	if got != want {
		t.Errorf("saved %+v, want %+v", got, want)
	}
	if got := must[Member](t)(s.Member(ctx, "ines")); got != want {
		t.Errorf("read %+v, want %+v", got, want)
	}
	if got := must[Settings](t)(s.Settings(ctx, "mira")); got != (Settings{}) {
		t.Errorf("settings leak to another member: %+v", got)
	}
}

func TestSettingsOutOfRange(t *testing.T) {
	s, _ := open(t)
	good := Settings{Units: "cm", Terms: "US"}
	must[Member](t)(s.SaveSettings(t.Context(), by("ines"), good))
	for _, row := range []struct {
		name string
		by   By
		set  Settings
	}{
		{"units", by("ines"), Settings{Units: "ell"}},
		{"terms", by("ines"), Settings{Terms: "us"}},
		{"level", by("ines"), Settings{Level: "expert"}},
		{"zone too long", by("ines"), Settings{Zone: strings.Repeat("Z", 65)}},
		{"locale too long", by("ines"), Settings{Locale: strings.Repeat("x", 36)}},
		{"nobody", by(""), good},
		{"id too long", by(strings.Repeat("9", 65)), good},
		{"key too long", By{"ines", strings.Repeat("k", 101)}, Settings{Units: "in"}},
	} {
		if _, err := s.SaveSettings(t.Context(), row.by, row.set); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: error %v, want %v", row.name, err, ErrInvalid)
		}
	}
	if got := must[Settings](t)(s.Settings(t.Context(), "ines")); got != good {
		t.Errorf("a refused write left %+v", got)
	}
	if got := must[Export](t)(s.Export(t.Context(), "ines")); len(got.Log) != 1 {
		t.Errorf("%d log entries, want 1: refused writes leave none", len(got.Log))
	}
}
