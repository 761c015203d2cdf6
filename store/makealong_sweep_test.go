package store

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// at is a post due some hours after the day on which the tests begin.
func at(hours int, key, kind string) Post {
	return Post{Key: key, Kind: kind, Milestone: -1, Due: day.Add(time.Duration(hours) * time.Hour)}
}

// sixWeeks are the posts of a small make-along, a day apart.
var sixWeeks = []Post{
	at(24, "welcome", "welcome"), at(48, "milestone/0", "milestone"), at(72, "midway/0", "midway"),
	at(96, "milestone/1", "milestone"), at(120, "midway/1", "midway"), at(144, "farewell", "farewell"),
}

func take(t testing.TB, s *Store, who string) []TakenPost {
	t.Helper()
	return must[[]TakenPost](t)(s.TakeDue(t.Context(), who, time.Minute, 100))
}

// keys are what was taken, in words: "milestone/1 (welcome, milestone/0)".
func keys(taken []TakenPost) string {
	var all []string
	for _, p := range taken {
		word := p.Key
		if len(p.Merged) > 0 {
			var merged []string
			for _, m := range p.Merged {
				merged = append(merged, m.Key)
			}
			word += " (" + strings.Join(merged, ", ") + ")"
		}
		all = append(all, word)
	}
	return strings.Join(all, ", ")
}

// states are the states of all posts, in order of when they are due.
func states(t testing.TB, s *Store, along int64) string {
	t.Helper()
	var all []string
	for _, p := range must[[]Post](t)(s.MakeAlongPosts(t.Context(), along)) {
		all = append(all, p.Key+" "+p.State)
	}
	return strings.Join(all, ", ")
}

// sent marks all of them.
func sent(t testing.TB, s *Store, who string, taken []TakenPost) {
	t.Helper()
	for _, p := range taken {
		if err := s.SentPost(t.Context(), who, p.ID, "message of "+p.Key, day); err != nil {
			t.Fatal(err)
		}
	}
}

func TestMerging(t *testing.T) {
	notes := []Post{at(1, "help/0", "host"), at(2, "event/0", "event"), at(3, "event/1", "event")}
	for _, row := range []struct {
		name  string
		posts []Post
		hours int
		want  string
	}{
		{"nothing is due", sixWeeks, 23, ""},
		{"due this moment", sixWeeks, 24, "welcome"},
		{"a milestone carries the welcome", sixWeeks, 71, "milestone/0 (welcome)"},
		{"a note halfway is told in the milestone before it", sixWeeks, 73, "milestone/0 (welcome, midway/0)"},
		{"the newest milestone carries", sixWeeks, 97, "milestone/1 (welcome, milestone/0, midway/0)"},
		{"the farewell carries all", sixWeeks, 1000, "farewell (welcome, milestone/0, midway/0, milestone/1, midway/1)"},
		{"even where it is due first", append([]Post{at(1, "farewell", "farewell")}, sixWeeks[:2]...), 1000, "farewell (welcome, milestone/0)"},
		{"without a milestone the newest carries", []Post{sixWeeks[0], sixWeeks[2]}, 1000, "midway/0 (welcome)"},
		{"notes and events go by themselves", slices.Concat(notes, sixWeeks[:2]), 1000, "milestone/0 (welcome), help/0, event/0, event/1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, c := open(t)
			m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, row.posts...)
			c.add(time.Duration(row.hours) * time.Hour)
			taken := take(t, s, "a")
			if got := keys(taken); got != row.want {
				t.Fatalf("taken %q, want %q", got, row.want)
			}
			for _, p := range taken {
				if p.MakeAlong.ID != m.ID || string(p.MakeAlong.Course) != string(socks) || p.Attempts != 1 || !p.FirstTry.Equal(c.now()) || p.State != PostTaken {
					t.Errorf("taken %+v", p)
				}
			}
			if got := take(t, s, "b"); len(got) != 0 {
				t.Errorf("taken twice: %s", keys(got))
			}
			sent(t, s, "a", taken)
			settled := 0
			for _, p := range must[[]Post](t)(s.MakeAlongPosts(t.Context(), m.ID)) {
				if p.State == PostSent && p.Message != "message of "+p.Key || p.State == PostMerged && p.Message == "" {
					t.Errorf("settled as %+v", p)
				}
				if p.State != PostPlanned {
					settled++
				}
			}
			if due, _, _ := s.PostBacklog(t.Context()); due != 0 {
				t.Errorf("%d are due still", due)
			}
			if want := strings.Count(row.want, ",") + min(1, len(row.want)) + strings.Count(row.want, "("); settled != want {
				t.Errorf("%d are settled, want %d", settled, want)
			}
		})
	}
}

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
	taken := take(t, s, "a")
	c.add(48 * time.Hour) // killed, and a new milestone falls due
	taken = take(t, s, "b")
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
	if got := take(t, s, "b"); len(got) != 0 {
		t.Errorf("a closed one posts %s", keys(got))
	}
	if got, want := states(t, s, m.ID), "host/0 sent, welcome sent, milestone/0 sent, host/1 sent, midway/0 merged, milestone/1 sent, midway/1 planned, farewell planned"; got != want {
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

func TestTakeDueInOrder(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	for i := range 7 {
		m := addAlong(t, s, "odile", "harbour", fmt.Sprint("Socks ", i))
		inState(t, s, m, AlongOpen, at(20-i, fmt.Sprint("milestone/", i), "milestone"), at(30, "event", "event"))
	}
	c.add(20 * time.Hour)
	if due, oldest, err := s.PostBacklog(ctx); due != 7 || oldest != 6*time.Hour || err != nil {
		t.Errorf("%d are due, the oldest for %v (%v)", due, oldest, err)
	}
	var got []string
	for range 4 {
		some := must[[]TakenPost](t)(s.TakeDue(ctx, "a", time.Hour, 2))
		got = append(got, keys(some))
	}
	if want := []string{"milestone/6, milestone/5", "milestone/4, milestone/3", "milestone/2, milestone/1", "milestone/0"}; !slices.Equal(got, want) {
		t.Errorf("taken %q, want %q", got, want)
	}
	if due, oldest, err := s.PostBacklog(ctx); due != 0 || oldest != 0 || err != nil {
		t.Errorf("%d are due, the oldest for %v (%v)", due, oldest, err)
	}
	c.add(20 * time.Hour)
	for range 2 {
		if some := must[[]TakenPost](t)(s.TakeDue(ctx, "b", time.Hour, 5)); len(some) != 5 {
			t.Errorf("%d of 5 taken: %s", len(some), keys(some))
		}
	}
	for _, call := range []struct {
		who   string
		lease time.Duration
		limit int
	}{{"", time.Hour, 1}, {"a", 0, 1}, {"a", time.Hour, 0}} {
		_, err := s.TakeDue(ctx, call.who, call.lease, call.limit)
		wantError(t, err, ErrInvalid)
	}
}

// Posts whose channel waits for another don't keep those of others back.
func TestWaitingDoesNotStarveOthers(t *testing.T) {
	s, c := open(t)
	for i := range 10 {
		inState(t, s, addAlong(t, s, "odile", "harbour", fmt.Sprint("Socks ", i)), AlongOpen, at(i, "milestone/0", "milestone"), at(10+i, "milestone/1", "milestone"))
	}
	inState(t, s, addAlong(t, s, "odile", "harbour", "Hats"), AlongOpen, at(30, "milestone/7", "milestone"))
	c.add(9 * time.Hour)
	taken := take(t, s, "a")
	for _, p := range taken {
		if err := s.PutOff(t.Context(), "a", p.ID, day.Add(1000*time.Hour), true); err != nil {
			t.Fatal(err)
		}
	}
	c.add(30 * time.Hour)
	if got := must[[]TakenPost](t)(s.TakeDue(t.Context(), "a", time.Hour, 2)); len(taken) != 10 || keys(got) != "milestone/7" {
		t.Errorf("%d taken, then %s", len(taken), keys(got))
	}
}

// What is due is found by its index, and costs nothing for what is not.
func TestDueIsFoundByIndex(t *testing.T) {
	s, _ := open(t)
	for _, row := range []struct {
		query string
		args  []any
		want  []string
	}{
		{dueAlongs, []any{1, 100}, []string{
			"SEARCH p USING INDEX makealong_posts_wake (wake_at<?)",
			"CORRELATED SCALAR SUBQUERY 1",
			"SEARCH o USING INDEX makealong_posts_key (makealong=?)",
			"SEARCH m USING INTEGER PRIMARY KEY (rowid=?)",
		}},
		{countDue, []any{1}, []string{"SEARCH makealong_posts USING COVERING INDEX makealong_posts_wake (wake_at<?)"}},
	} {
		rows, err := s.readers.Query(`EXPLAIN QUERY PLAN `+row.query, row.args...)
		plan := must[[]string](t)(collect(rows, err, func(row scanner) (step string, err error) {
			var a, b, c any
			err = row.Scan(&a, &b, &c, &step)
			return step, err
		}))
		if !reflect.DeepEqual(plan, row.want) {
			t.Errorf("plan:\n%s\nwant:\n%s", strings.Join(plan, "\n"), strings.Join(row.want, "\n"))
		}
	}
}

// A nonce is made once and fits the service's limit of 25 characters.
// Source: the chat service's published reference, Create Message: nonce.
func TestNonces(t *testing.T) {
	s, _ := open(t)
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	seen := map[string]bool{}
	for _, p := range must[[]Post](t)(s.MakeAlongPosts(t.Context(), m.ID)) {
		if n := len(p.Nonce); n < 16 || n > 25 || seen[p.Nonce] {
			t.Errorf("nonce %q", p.Nonce)
		}
		seen[p.Nonce] = true
	}
}
