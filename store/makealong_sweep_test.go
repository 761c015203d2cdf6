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
	fileOnly(t)
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
