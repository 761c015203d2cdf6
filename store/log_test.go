package store

import (
	"encoding/json"
	"fmt"
	"sync"
	"testing"
	"time"
)

func TestEveryWriteIsLogged(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	saved := must[Member](t)(s.SaveSettings(ctx, By{"ines", "k1"}, Settings{Units: "cm"}))
	c.add(time.Minute)
	added := must[Swatch](t)(s.AddSwatch(ctx, By{"ines", "k2"}, cotton))
	c.add(time.Minute)
	updated := added
	updated.Rows, updated.MadeAt = 11, time.Time{}
	updated = must[Swatch](t)(s.UpdateSwatch(ctx, By{"ines", "k3"}, updated))
	must[Swatch](t)(s.DeleteSwatch(ctx, by("ines"), added.ID))
	pattern := must[Pattern](t)(s.AddPattern(ctx, by("ines"), hat))
	must[[]Pattern](t)(s.RemovePattern(ctx, by("ines"), hat.Server, hat.Name, ""))

	text := func(v any) string { return string(must[[]byte](t)(json.Marshal(v))) }
	id := fmt.Sprint(added.ID)
	shown := head(pattern)
	want := []struct {
		kind, subject, before, after, key string
		at                                time.Time
	}{
		{"save settings", "ines", "", text(saved), "k1", day},
		{"add swatch", id, "", text(added), "k2", day.Add(time.Minute)},
		{"update swatch", id, text(added), text(updated), "k3", day.Add(2 * time.Minute)},
		{"delete swatch", id, text(updated), "", "", day.Add(2 * time.Minute)},
		{"add pattern", "loop-house/harbour-hat/1", "", text(shown), "", day.Add(2 * time.Minute)},
		{"remove pattern", "loop-house/harbour-hat", "[" + text(shown) + "]", "", "", day.Add(2 * time.Minute)},
	}
	got := must[Export](t)(s.Export(ctx, "ines")).Log
	if len(got) != len(want) {
		t.Fatalf("%d entries, want %d", len(got), len(want))
	}
	for i, e := range got {
		w := want[i]
		if e.Member != "ines" || e.Kind != w.kind || e.Subject != w.subject || string(e.Before) != w.before ||
			string(e.After) != w.after || e.Key != w.key || !e.At.Equal(w.at) {
			t.Errorf("entry %d: %s %s %s → %s, key %q at %v\nwant %+v", i, e.Kind, e.Subject, e.Before, e.After, e.Key, e.At, w)
		}
	}
}

func TestSecondDeliveryIsNotApplied(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	b := By{"ines", "interaction 1"}
	named := must[Swatch](t)(s.AddSwatch(ctx, b, cotton))
	c.add(time.Minute)
	// Even where the first application makes the second impossible.
	if got := must[Swatch](t)(s.AddSwatch(ctx, b, cotton)); got != named {
		t.Errorf("the second delivery gave %+v, want %+v", got, named)
	}
	saved := must[Member](t)(s.SaveSettings(ctx, b, Settings{Units: "in"})) // another kind of change
	must[Member](t)(s.SaveSettings(ctx, by("ines"), Settings{Units: "cm"}))
	if got := must[Member](t)(s.SaveSettings(ctx, b, Settings{Units: "in"})); got != saved {
		t.Errorf("the second delivery gave %+v, want %+v", got, saved)
	}
	if got := must[Settings](t)(s.Settings(ctx, "ines")).Units; got != "cm" {
		t.Errorf("units %q: an old delivery undid a newer choice", got)
	}
	pattern := must[Pattern](t)(s.AddPattern(ctx, b, hat))
	if got := must[Pattern](t)(s.AddPattern(ctx, b, hat)); got != pattern {
		t.Errorf("the second delivery gave %+v, want %+v", got, pattern)
	}
	// Keys of different members do not meet.
	if got := must[Swatch](t)(s.AddSwatch(ctx, By{"mira", b.Key}, cotton)); got.ID == named.ID {
		t.Error("another member's key counted")
	}
	// A delivery that was refused may be sent again.
	again := By{"ines", "interaction 2"}
	_, err := s.AddSwatch(ctx, again, cotton)
	wantError(t, err, ErrConflict)
	must[Swatch](t)(s.AddSwatch(ctx, again, wool))
	if n := len(must[Export](t)(s.Export(ctx, "ines")).Log); n != 5 {
		t.Errorf("%d log entries, want 5", n)
	}
}

func TestSameDeliveryManyTimesAtOnce(t *testing.T) {
	s, _ := open(t)
	var wg sync.WaitGroup
	ids := make([]int64, 32)
	for i := range ids {
		wg.Go(func() {
			sw, err := s.AddSwatch(t.Context(), By{"ines", fmt.Sprint("key ", i%2)}, wool)
			if err != nil {
				t.Error(err)
			}
			ids[i] = sw.ID
		})
	}
	wg.Wait()
	for i, id := range ids {
		if id != ids[i%2] {
			t.Errorf("delivery %d made %d, want %d", i, id, ids[i%2])
		}
	}
	if n := len(must[[]Swatch](t)(s.Swatches(t.Context(), "ines"))); n != 2 {
		t.Errorf("%d swatches of 2 keys", n)
	}
}
