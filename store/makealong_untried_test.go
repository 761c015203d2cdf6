package store

import (
	"errors"
	"testing"
	"time"
)

// TestPostThatDidNotArrive begins anew: it is told in one with what fell due
// meanwhile.
func TestPostThatDidNotArrive(t *testing.T) {
	s, c := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	c.add(24 * time.Hour)
	first := take(t, s, "a")
	if err := s.PutOff(t.Context(), "a", first[0].ID, day.Add(25*time.Hour), true); err != nil {
		t.Fatal(err)
	}
	c.add(76 * time.Hour)
	again := take(t, s, "b")
	if got := keys(again); got != "welcome" || again[0].Attempts != 2 {
		t.Fatalf("taken: %s, attempts %d", got, again[0].Attempts)
	}
	if err := s.UntriedPost(t.Context(), "a", again[0].ID); !errors.Is(err, ErrConflict) {
		t.Errorf("somebody else's: %v", err)
	}
	if err := s.UntriedPost(t.Context(), "b", again[0].ID); err != nil {
		t.Fatal(err)
	}
	all := take(t, s, "b")
	if got := keys(all); got != "milestone/1 (welcome, milestone/0, midway/0)" || all[0].Attempts != 1 {
		t.Fatalf("taken: %s, attempts %d", got, all[0].Attempts)
	}
	sent(t, s, "b", all)
	if got, want := states(t, s, m.ID), "welcome merged, milestone/0 merged, midway/0 merged, milestone/1 sent, midway/1 planned, farewell planned"; got != want {
		t.Errorf("%s", got)
	}
}

func TestNextAndLastPosts(t *testing.T) {
	s, c := open(t)
	if _, planned, err := s.NextPost(t.Context()); planned || err != nil {
		t.Errorf("planned in an empty database: %v, %v", planned, err)
	}
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	for i, hours := range []int{24, 48, 72} {
		want := day.Add(time.Duration(hours) * time.Hour)
		if next, planned, err := s.NextPost(t.Context()); !planned || err != nil || !next.Equal(want) {
			t.Errorf("next %v, %v, %v; want %v", next, planned, err, want)
		}
		c.add(24 * time.Hour)
		for _, p := range take(t, s, "a") {
			if err := s.SentPost(t.Context(), "a", p.ID, "message", want); err != nil {
				t.Fatal(err)
			}
		}
		last, before, err := s.LastSent(t.Context(), m.ID)
		if err != nil || !last.Equal(want) || before.IsZero() != (i == 0) || i > 0 && !before.Equal(want.Add(-24*time.Hour)) {
			t.Errorf("after %d: last %v, before %v, %v", i+1, last, before, err)
		}
	}
}
