package store

import (
	"fmt"
	"testing"
	"time"
)

// A lease that runs out is taken up by another, who learns of the try before.
func TestLeaseRunsOut(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	c.add(60 * time.Hour)
	first := take(t, s, "a")
	c.add(59 * time.Second)
	if got := take(t, s, "b"); len(got) != 0 {
		t.Fatalf("taken within the lease: %s", keys(got))
	}
	c.add(time.Second)
	second := take(t, s, "b")
	if keys(second) != "milestone/0 (welcome)" || second[0].Attempts != 2 || !second[0].FirstTry.Equal(day.Add(60*time.Hour)) || second[0].Nonce != first[0].Nonce {
		t.Fatalf("the second try is %+v after %+v", second, first)
	}
	wantError(t, s.SentPost(ctx, "a", first[0].ID, "late", day), ErrConflict)
	wantError(t, s.SkipPost(ctx, "a", first[0].ID, "late"), ErrConflict)
	wantError(t, s.PutOff(ctx, "a", first[0].ID, day, true), ErrConflict)
	wantError(t, s.BlockMakeAlong(ctx, "a", first[0].ID, "late", "late"), ErrConflict)
	wantError(t, s.SentPost(ctx, "b", second[0].Merged[0].ID, "carried", day), ErrConflict)
	wantError(t, s.SentPost(ctx, "b", 999, "unknown", day), ErrNotFound)
	sent(t, s, "b", second)
	for range 2 { // whoever comes late with the same news is not contradicted
		sent(t, s, "b", second)
		sent(t, s, "a", first)
	}
	wantError(t, s.SkipPost(ctx, "b", first[0].ID, "after all"), ErrConflict)
	if got, want := states(t, s, m.ID), "welcome merged, milestone/0 sent, midway/0 planned, milestone/1 planned, midway/1 planned, farewell planned"; got != want {
		t.Errorf("states %s\nwant %s", got, want)
	}
	if p := must[[]Post](t)(s.MakeAlongPosts(ctx, m.ID))[1]; !p.SentAt.Equal(day) || p.Message != "message of milestone/0" {
		t.Errorf("sent as %+v", p)
	}
}

// What was tried is settled before another post goes to its channel, and
// carries what it carried.
func TestTriedIsSettledFirst(t *testing.T) {
	s, c := open(t)
	inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, append([]Post{at(200, "help/0", "host")}, sixWeeks...)...)
	c.add(48 * time.Hour)
	take(t, s, "a")
	c.add(48 * time.Hour) // killed, and a new milestone falls due
	taken := take(t, s, "b")
	if keys(taken) != "milestone/0 (welcome)" {
		t.Fatalf("taken %s", keys(taken))
	}
	if err := s.PutOff(t.Context(), "b", taken[0].ID, c.now().Add(300*time.Hour), true); err != nil {
		t.Fatal(err)
	}
	c.add(200 * time.Hour)
	if got := keys(take(t, s, "c")); got != "help/0" {
		t.Fatalf("taken %s beside what was put off", got)
	}
	c.add(100 * time.Hour)
	taken = take(t, s, "c")
	if keys(taken) != "milestone/0 (welcome), help/0" || taken[0].Attempts != 3 {
		t.Fatalf("taken %s at attempt %d", keys(taken), taken[0].Attempts)
	}
	sent(t, s, "c", taken)
	if got := keys(take(t, s, "c")); got != "farewell (midway/0, milestone/1, midway/1)" {
		t.Fatalf("taken %s", got)
	}
}

// What did not reach the channel is as if it had not been tried.
func TestPutOffUntried(t *testing.T) {
	s, c := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	c.add(48 * time.Hour)
	taken := take(t, s, "a")
	for range 2 {
		if err := s.PutOff(t.Context(), "a", taken[0].ID, c.now().Add(8*time.Hour), false); err != nil {
			t.Fatal(err)
		}
	}
	c.add(8*time.Hour - time.Millisecond)
	if got := take(t, s, "a"); len(got) != 0 {
		t.Fatalf("taken in quiet hours: %s", keys(got))
	}
	c.add(48 * time.Hour)
	taken = take(t, s, "a")
	if keys(taken) != "milestone/1 (welcome, milestone/0, midway/0)" || taken[0].Attempts != 1 || !taken[0].FirstTry.Equal(c.now()) {
		t.Fatalf("taken %+v", taken)
	}
	note := Post{Key: "host/1", Kind: "host", Milestone: 1, Due: c.now(), Recipient: "odile", Text: "You wrote yourself."}
	for range 2 {
		if err := s.SkipPost(t.Context(), "a", taken[0].ID, "the host wrote herself", note); err != nil {
			t.Fatal(err)
		}
	}
	if got, want := states(t, s, m.ID), "welcome skipped, milestone/0 skipped, midway/0 skipped, milestone/1 skipped, host/1 planned, midway/1 planned, farewell planned"; got != want {
		t.Errorf("states %s\nwant %s", got, want)
	}
	taken = take(t, s, "a")
	if keys(taken) != "host/1" || taken[0].Recipient != "odile" || taken[0].Text != note.Text || taken[0].Milestone != 1 {
		t.Fatalf("taken %+v", taken)
	}
	sent(t, s, "a", taken)
	for _, p := range must[[]Post](t)(s.MakeAlongPosts(t.Context(), m.ID)) {
		if p.Key == "host/1" && (p.Text != "" || p.State != PostSent) || p.State == PostSkipped && p.Why != "the host wrote herself" {
			t.Errorf("settled as %+v", p)
		}
	}
}

func TestBlocked(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, append([]Post{at(47, "event/0", "event")}, sixWeeks...)...)
	c.add(48 * time.Hour)
	taken := take(t, s, "a")
	if keys(taken) != "milestone/0 (welcome), event/0" {
		t.Fatalf("taken %s", keys(taken))
	}
	for range 2 { // each of them finds it out, and says so twice
		for _, p := range taken {
			if err := s.BlockMakeAlong(ctx, "a", p.ID, "no such channel", "Please name another channel."); err != nil {
				t.Fatal(err)
			}
		}
	}
	blocked := must[MakeAlong](t)(s.MakeAlong(ctx, m.ID))
	if blocked.State != AlongBlocked || blocked.Version != m.Version+1 {
		t.Fatalf("blocked %+v", blocked)
	}
	_, err := s.SaveMakeAlong(ctx, by("odile"), m, nil)
	wantError(t, err, ErrStale)
	c.add(1000 * time.Hour)
	note := take(t, s, "a")
	if keys(note) != "blocked/3" || note[0].Recipient != "odile" || note[0].Text != "Please name another channel." || note[0].MakeAlong.State != AlongBlocked {
		t.Fatalf("taken %+v", note)
	}
	sent(t, s, "a", note)
	if got := take(t, s, "a"); len(got) != 0 {
		t.Fatalf("a blocked one posts %s", keys(got))
	}
	opened := inState(t, s, blocked, AlongOpen, at(48, "milestone/0", "milestone"), at(5000, "milestone/1", "milestone"))
	again := take(t, s, "b")
	if keys(again) != "milestone/0" || again[0].Attempts != 1 {
		t.Fatalf("after it was opened again: %+v", again)
	}
	if err := s.BlockMakeAlong(ctx, "b", again[0].ID, "no such channel", "Once more."); err != nil {
		t.Fatal(err)
	}
	if got := keys(take(t, s, "b")); got != fmt.Sprint("blocked/", opened.Version+1) {
		t.Errorf("blocked anew, the host is told %q", got)
	}
}
