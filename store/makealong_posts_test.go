package store

import (
	"testing"
	"time"
)

// Paused, nothing is posted; resumed, what Save plans is, once.
func TestPausedAndResumed(t *testing.T) {
	s, c := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, append([]Post{at(1, "host/0", "host")}, sixWeeks...)...)
	c.add(24 * time.Hour)
	sent(t, s, "a", take(t, s, "a"))
	c.add(24 * time.Hour)
	tried := take(t, s, "a") // milestone/0, then the sweep is killed
	m = inState(t, s, m, AlongPaused, append([]Post{at(60, "host/1", "host")}, sixWeeks...)...)
	c.add(20 * 24 * time.Hour)
	if got := keys(take(t, s, "b")); got != "host/1" {
		t.Fatalf("a paused one posts %s", got)
	}
	var later []Post
	for _, p := range sixWeeks {
		p.Due = p.Due.Add(20 * 24 * time.Hour)
		later = append(later, p)
	}
	m = inState(t, s, m, AlongOpen, later...)
	again := take(t, s, "b")
	if keys(again) != "milestone/0" || again[0].Attempts != 2 || again[0].Nonce != tried[0].Nonce {
		t.Fatalf("resumed with %+v", again)
	}
	sent(t, s, "b", again)
	c.add(70 * time.Hour)
	sent(t, s, "b", take(t, s, "b"))
	inState(t, s, m, AlongClosed, later...)
	c.add(1000 * time.Hour)
	last := take(t, s, "b")
	if got := keys(last); got != "farewell" {
		t.Errorf("a closed one posts %s", got)
	}
	sent(t, s, "b", last)
	if got, want := states(t, s, m.ID), "host/0 sent, welcome sent, milestone/0 sent, host/1 sent, midway/0 merged, milestone/1 sent, midway/1 planned, farewell sent"; got != want {
		t.Errorf("states %s\nwant %s", got, want)
	}
}

// Posts are replaced, but for what was taken up.
func TestSaveReplacesPosts(t *testing.T) {
	s, c := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongDraft, sixWeeks...)
	c.add(1000 * time.Hour)
	if got := take(t, s, "a"); len(got) != 0 {
		t.Fatalf("a draft posts %s", keys(got))
	}
	m = inState(t, s, m, AlongOpen, at(1, "milestone/0", "milestone"), at(2, "event/0", "event"), at(5000, "milestone/1", "milestone"))
	taken := take(t, s, "a")
	m = inState(t, s, m, AlongOpen, at(3000, "milestone/0", "milestone"), at(4000, "milestone/2", "milestone"))
	if got, want := states(t, s, m.ID), "milestone/0 taken, event/0 taken, milestone/2 planned"; got != want {
		t.Errorf("states %s\nwant %s", got, want)
	}
	if err := s.PutOff(t.Context(), "a", taken[0].ID, c.now(), true); err != nil {
		t.Fatal(err)
	}
	m = inState(t, s, m, AlongOpen, at(3000, "milestone/0", "milestone")) // its try failed, so it moves
	if got := take(t, s, "a"); len(got) != 0 {
		t.Errorf("taken %s", keys(got))
	}
	c.add(2000 * time.Hour)
	again := take(t, s, "a")
	if len(again) != 2 || again[0].Key != "milestone/0" || again[0].Attempts != 2 || again[0].Nonce != taken[0].Nonce {
		t.Errorf("taken %+v", again)
	}
	for _, bad := range []Post{{Key: "x", Kind: "milestone"}, at(1, "", "host"), at(1, "x", "spam"), {Key: "x", Kind: "host", Milestone: -2, Due: day}} {
		_, err := s.SaveMakeAlong(t.Context(), by("odile"), m, []Post{bad})
		wantError(t, err, ErrInvalid)
	}
}

// A make-along that is closed says its farewell, after what was tried before is
// settled; nothing else of it goes out. Where its channel is gone, that is all.
func TestClosedSaysFarewell(t *testing.T) {
	s, c := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	c.add(24 * time.Hour)
	tried := take(t, s, "a") // welcome; then the sweep is killed
	m = inState(t, s, m, AlongClosed, at(25, "farewell", "farewell"), at(25, "event/3", "event"))
	c.add(24 * time.Hour)
	again := take(t, s, "b")
	if keys(again) != "welcome" || again[0].ID != tried[0].ID {
		t.Fatalf("took %s before the welcome was looked for", keys(again))
	}
	if err := s.UntriedPost(t.Context(), "b", again[0].ID); err != nil {
		t.Fatal(err)
	}
	last := take(t, s, "b")
	if keys(last) != "farewell" {
		t.Fatalf("took %s", keys(last))
	}
	if err := s.BlockMakeAlong(t.Context(), "b", last[0].ID, "gone", "note"); err != nil {
		t.Fatal(err)
	}
	c.add(1000 * time.Hour)
	if got := take(t, s, "b"); len(got) != 0 || must[MakeAlong](t)(s.MakeAlong(t.Context(), m.ID)).State != AlongClosed {
		t.Errorf("took %s of one that is closed, with its channel gone", keys(got))
	}
	if got, want := states(t, s, m.ID), "welcome planned, farewell skipped, event/3 planned"; got != want {
		t.Errorf("states %s\nwant %s", got, want)
	}
}
