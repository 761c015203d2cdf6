package store

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestSwatch(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	_, err := s.DefaultSwatch(ctx, "ines")
	wantError(t, err, ErrNotFound)

	first := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	want := cotton
	want.ID, want.Member, want.MadeAt = first.ID, "ines", day
	if first != want || first.ID == 0 {
		t.Errorf("added %+v, want %+v", first, want)
	}
	c.add(time.Minute)
	second := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool))
	third := wool
	third.MadeAt = day.Add(-24 * time.Hour) // measured long ago
	third = must[Swatch](t)(s.AddSwatch(ctx, by("ines"), third))

	if got := must[[]Swatch](t)(s.Swatches(ctx, "ines")); !slices.Equal(got, []Swatch{second, first, third}) {
		t.Errorf("newest first: %+v", got)
	}
	if got := must[Swatch](t)(s.DefaultSwatch(ctx, "ines")); got != second {
		t.Errorf("default %+v, want the newest", got)
	}
	if got := must[Swatch](t)(s.SwatchNamed(ctx, "ines", "  sea   COTTON ")); got != first {
		t.Errorf("by name %+v", got)
	}

	// After a wash it is measured again, and is the newest.
	c.add(time.Hour)
	washed := first
	washed.Stitches, washed.MadeAt, washed.Name = 17, time.Time{}, "sea cotton"
	washed = must[Swatch](t)(s.UpdateSwatch(ctx, by("ines"), washed))
	if washed.ID != first.ID || washed.Stitches != 17 || !washed.MadeAt.Equal(c.now()) {
		t.Errorf("updated %+v", washed)
	}
	if got := must[Swatch](t)(s.DefaultSwatch(ctx, "ines")); got != washed {
		t.Errorf("default %+v, want what was measured last", got)
	}

	if got := must[Swatch](t)(s.DeleteSwatch(ctx, by("ines"), first.ID)); got != washed {
		t.Errorf("deleted %+v, want %+v", got, washed)
	}
	if got := must[Swatch](t)(s.DefaultSwatch(ctx, "ines")); got != second {
		t.Errorf("default %+v, want the newest that is left", got)
	}
	again := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	if again.ID <= third.ID {
		t.Errorf("id %d was used before", again.ID)
	}
}

func TestSwatchIsItsMembersAlone(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	hers := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	_, err := s.Swatch(ctx, "mira", hers.ID)
	wantError(t, err, ErrNotFound)
	_, err = s.SwatchNamed(ctx, "mira", cotton.Name)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateSwatch(ctx, by("mira"), hers)
	wantError(t, err, ErrNotFound)
	_, err = s.DeleteSwatch(ctx, by("mira"), hers.ID)
	wantError(t, err, ErrNotFound)
	if got := must[Swatch](t)(s.Swatch(ctx, "ines", hers.ID)); got != hers {
		t.Errorf("changed to %+v", got)
	}
	must[Swatch](t)(s.AddSwatch(ctx, by("mira"), cotton)) // the same name is free to her
}

func TestSwatchNames(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	must[Swatch](t)(s.AddSwatch(ctx, by("ines"), Swatch{Name: "Größe M", Stitches: 1, Rows: 1, Width: 1, Height: 1}))
	other := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool))
	must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool)) // any number may have no name
	for _, name := range []string{"Größe M", "GRÖßE M", "größe m", " Größe  M"} {
		other.Name = name
		if _, err := s.UpdateSwatch(ctx, by("ines"), other); !errors.Is(err, ErrConflict) {
			t.Errorf("%q: error %v, want %v", name, err, ErrConflict)
		}
	}
	_, err := s.AddSwatch(ctx, by("ines"), Swatch{Name: "größe M", Stitches: 1, Rows: 1, Width: 1, Height: 1})
	wantError(t, err, ErrConflict)
	if err.Error() != `add swatch: the name "größe M": already there` {
		t.Errorf("error %q", err)
	}
	_, err = s.SwatchNamed(ctx, "ines", " ")
	wantError(t, err, ErrNotFound)
}

func TestSwatchOutOfRange(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	kept := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	for name, spoil := range map[string]func(*Swatch){
		"no stitches":       func(sw *Swatch) { sw.Stitches = 0 },
		"negative stitches": func(sw *Swatch) { sw.Stitches = -4 },
		"stitches NaN":      func(sw *Swatch) { sw.Stitches = math.NaN() },
		"rows infinite":     func(sw *Swatch) { sw.Rows = math.Inf(1) },
		"rows huge":         func(sw *Swatch) { sw.Rows = 1e9 },
		"no width":          func(sw *Swatch) { sw.Width = 0 },
		"height negative":   func(sw *Swatch) { sw.Height = -1 },
		"height over 10 m":  func(sw *Swatch) { sw.Height = 10_000_000_001 },
		"hook negative":     func(sw *Swatch) { sw.Hook = -1 },
		"hook NaN":          func(sw *Swatch) { sw.Hook = math.NaN() },
		"grams negative":    func(sw *Swatch) { sw.Grams = -1 },
		"metres infinite":   func(sw *Swatch) { sw.Metres = math.Inf(1) },
		"name too long":     func(sw *Swatch) { sw.Name = strings.Repeat("é", 61) },
		"note too long":     func(sw *Swatch) { sw.Note = strings.Repeat("x", 2001) },
		"yarn too long":     func(sw *Swatch) { sw.Yarn = strings.Repeat("x", 201) },
		"stitch too long":   func(sw *Swatch) { sw.Stitch = strings.Repeat("x", 201) },
	} {
		sw := kept
		sw.Name = "another"
		spoil(&sw)
		if _, err := s.AddSwatch(ctx, by("ines"), sw); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: add: error %v, want %v", name, err, ErrInvalid)
		}
		if _, err := s.UpdateSwatch(ctx, by("ines"), sw); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: update: error %v, want %v", name, err, ErrInvalid)
		}
		if _, err := s.AddSwatch(ctx, by("new"), sw); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if got := must[[]Swatch](t)(s.Swatches(ctx, "ines")); !slices.Equal(got, []Swatch{kept}) {
		t.Errorf("refused writes left %+v", got)
	}
	_, err := s.Member(ctx, "new")
	wantError(t, err, ErrNotFound) // nothing half-saved
}

func TestSwatchLimit(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	for range MaxSwatches {
		must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool))
	}
	_, err := s.AddSwatch(ctx, by("ines"), wool)
	wantError(t, err, ErrLimit)
	if want := fmt.Sprintf("add swatch: %d swatches are kept: no more of these can be kept", MaxSwatches); err.Error() != want {
		t.Errorf("error %q, want %q", err, want)
	}
	must[Swatch](t)(s.AddSwatch(ctx, by("mira"), wool))
}
