package commands

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
)

func date(t testing.TB, text string) schedule.Date {
	t.Helper()
	d, err := schedule.ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func opened(start schedule.Date, zone string, at schedule.Clock, dates ...schedule.Date) MakeAlong {
	m := MakeAlong{ID: 1, State: AlongOpen, Host: "mira", Course: Course{Start: start, Zone: zone, At: at, Midway: true}}
	for i, d := range dates {
		m.Course.Milestones = append(m.Course.Milestones, along.Milestone{Title: fmt.Sprintf("Part %d", i+1), Date: d})
	}
	return m
}

// TestPostsLocalTimes: the moments are worked by hand from the rules of the tz
// database. Source: IANA tz database 2026, zones Europe/Lisbon, America/New_York,
// Australia/Lord_Howe, Asia/Kathmandu.
func TestPostsLocalTimes(t *testing.T) {
	for _, c := range []struct {
		name, zone, start, day string
		at                     schedule.Clock
		quiet                  schedule.Quiet
		want, src              string
	}{
		{name: "winter", zone: "Europe/Lisbon", start: "2027-01-03", day: "2027-01-10", at: 18 * 60, want: "2027-01-10T18:00:00Z", src: "WET is UTC"},
		{name: "summer", zone: "Europe/Lisbon", start: "2027-06-06", day: "2027-06-13", at: 18 * 60, want: "2027-06-13T17:00:00Z", src: "WEST is UTC+1 from the last Sunday in March"},
		{name: "the hour that is left out", zone: "America/New_York", start: "2027-03-07", day: "2027-03-14", at: 2*60 + 30, want: "2027-03-14T07:00:00Z", src: "clocks go from 2:00 EST to 3:00 EDT, which is 7:00 UTC"},
		{name: "the hour that comes twice", zone: "America/New_York", start: "2027-10-31", day: "2027-11-07", at: 90, want: "2027-11-07T05:30:00Z", src: "the first 1:30 is EDT, UTC-4"},
		{name: "leap day", zone: "Europe/Lisbon", start: "2028-02-22", day: "2028-02-29", at: 10 * 60, want: "2028-02-29T10:00:00Z", src: "2028 is divisible by 4"},
		{name: "year's end", zone: "Asia/Kathmandu", start: "2026-12-25", day: "2027-01-01", at: 4 * 60, want: "2026-12-31T22:15:00Z", src: "UTC+5:45: the moment is in the old year"},
		{name: "half an hour of summer", zone: "Australia/Lord_Howe", start: "2027-01-03", day: "2027-01-10", at: 18 * 60, want: "2027-01-10T07:00:00Z", src: "UTC+11 in summer, +10:30 else"},
		{name: "quiet hours", zone: "Europe/Lisbon", start: "2027-01-03", day: "2027-01-10", at: 22 * 60, quiet: schedule.Quiet{From: 21 * 60, To: 8 * 60}, want: "2027-01-11T08:00:00Z", src: "22:00 is quiet, so at 8:00 in the morning"},
	} {
		m := opened(date(t, c.start), c.zone, c.at, date(t, c.day))
		m.Course.Quiet = c.quiet
		now := schedule.At(m.Course.Start, 12*60, m.zone())
		list := m.posts(now, nil)
		at := slices.IndexFunc(list, func(p Post) bool { return p.Key == "milestone/0" })
		if got := list[at].Due.Format(time.RFC3339); got != c.want {
			t.Errorf("%s: due %s, want %s (%s)", c.name, got, c.want, c.src)
		}
	}
}

func TestPostsOfAMakeAlong(t *testing.T) {
	m := opened(date(t, "2027-01-03"), "Europe/Lisbon", 18*60, date(t, "2027-01-10"), date(t, "2027-01-13"), date(t, "2027-01-31"))
	m.Course.Event = true
	now := schedule.At(m.Course.Start, 12*60, m.zone())
	var got []string
	for _, p := range m.posts(now, nil) {
		got = append(got, p.Due.Format("0102 15:04 ")+p.Key)
	}
	// By hand: halfway of 7 days is 3 days on, of 18 days 9; 3 days have no note
	// halfway. Events are made 7 days before, the first ones at once or on the
	// day they can be.
	want := []string{
		"0103 12:00 welcome", "0103 18:00 event/0", "0106 18:00 midway/0", "0106 18:00 event/1", "0110 18:00 milestone/0", "0112 18:00 help/0",
		"0113 18:00 milestone/1", "0115 18:00 help/1", "0122 18:00 midway/2", "0124 18:00 event/2", "0131 18:00 milestone/2", "0202 18:00 help/2", "0207 18:00 farewell",
		"0207 18:00 help/end",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	for _, state := range []MakeAlongState{AlongDraft, AlongPaused, AlongBlocked, AlongClosed} {
		m.State = state
		if list := m.posts(now, nil); len(list) > 0 {
			t.Errorf("%s: %d posts are planned", state, len(list))
		}
	}
}

func TestRestMovesWhatIsLeft(t *testing.T) {
	m := opened(date(t, "2027-01-03"), "Europe/Lisbon", 18*60, date(t, "2027-01-10"), date(t, "2027-01-24"), date(t, "2027-02-07"))
	had := m.posts(schedule.At(m.Course.Start, 12*60, m.zone()), nil)
	for i := range had {
		had[i].State = PostPlanned
		if had[i].Due.Before(schedule.At(date(t, "2027-01-11"), 0, m.zone())) {
			had[i].State = PostSent
		}
	}
	rest, none := m.rested(schedule.At(date(t, "2027-01-11"), 9*60, m.zone()), had)
	if len(none) > 0 || rest.State != AlongPaused || rest.Course.PausedOn != date(t, "2027-01-11") {
		t.Fatalf("at rest: %d posts, %s, since %s", len(none), rest.State, rest.Course.PausedOn)
	}
	on, posts, days := rest.resumed(schedule.At(date(t, "2027-01-25"), 9*60, m.zone()), had[:4], false)
	if days != 14 || on.Course.Milestones[0].Date != date(t, "2027-01-10") || on.Course.Milestones[1].Date != date(t, "2027-02-07") || on.Course.Milestones[2].Date != date(t, "2027-02-21") {
		t.Errorf("after %d days: %v", days, on.Course.Milestones)
	}
	if at := slices.IndexFunc(posts, func(p Post) bool { return p.Key == "milestone/0" }); at >= 0 {
		t.Error("what was sent is planned again")
	}
	kept, late, days := rest.resumed(schedule.At(date(t, "2027-01-25"), 9*60, m.zone()), had[:4], true)
	if days != 0 || kept.Course.Milestones[1].Date != date(t, "2027-01-24") {
		t.Errorf("dates were to be kept: %d days, %v", days, kept.Course.Milestones)
	}
	if at := slices.IndexFunc(late, func(p Post) bool { return p.Key == "milestone/1" }); at < 0 || late[at].Due.After(schedule.At(date(t, "2027-01-25"), 0, m.zone())) {
		t.Error("what fell due meanwhile is lost")
	}
}

// walk is a make-along lived through: posts are kept, sent and counted as the
// store and the sweep do it.
type walk struct {
	t     *rapid.T
	m     MakeAlong
	now   time.Time
	posts []Post
	sent  map[string]int
}

func (w *walk) save(posts []Post) {
	w.posts = slices.DeleteFunc(w.posts, func(p Post) bool { return p.State == PostPlanned })
	for _, p := range posts {
		if slices.ContainsFunc(w.posts, func(o Post) bool { return o.Key == p.Key }) {
			w.t.Fatalf("%s is planned though it is %v", p.Key, w.posts)
		}
		if local := p.Due.In(w.m.zone()); !p.Due.Before(w.now) && w.m.Course.Quiet.Has(schedule.Clock(local.Hour()*60+local.Minute())) {
			w.t.Fatalf("%s is due in quiet hours: %s", p.Key, local)
		}
		p.State = PostPlanned
		w.posts = append(w.posts, p)
	}
}

func (w *walk) sweep() {
	for i := range w.posts {
		if p := &w.posts[i]; p.State == PostPlanned && !p.Due.After(w.now) && w.m.State == AlongOpen {
			p.State = PostSent
			w.sent[p.Key]++
		}
	}
}

func (w *walk) step(i int) {
	zones := []string{"Europe/Lisbon", "America/New_York", "Asia/Tokyo", "Pacific/Apia", "Australia/Lord_Howe", "UTC"}
	switch rapid.SampledFrom([]string{"wait", "wait", "sweep", "sweep", "zone", "clock", "quiet", "move", "rest", "add", "remove"}).Draw(w.t, fmt.Sprint("step ", i)) {
	case "wait":
		w.now = w.now.Add(time.Duration(rapid.IntRange(1, 24*6).Draw(w.t, "hours")) * time.Hour)
	case "sweep":
		w.sweep()
	case "zone":
		w.m.Course.Zone = rapid.SampledFrom(zones).Draw(w.t, "zone")
		w.save(w.m.posts(w.now, w.posts))
	case "clock":
		w.m.Course.At = schedule.Clock(rapid.IntRange(0, 1439).Draw(w.t, "at"))
		w.save(w.m.posts(w.now, w.posts))
	case "quiet":
		w.m.Course.Quiet = schedule.Quiet{From: schedule.Clock(rapid.IntRange(0, 1439).Draw(w.t, "from")), To: schedule.Clock(rapid.IntRange(0, 1439).Draw(w.t, "to"))}
		w.save(w.m.posts(w.now, w.posts))
	case "move", "add", "remove":
		w.edit(i)
	case "rest":
		rest, none := w.m.rested(w.now, w.posts)
		w.m = rest
		w.save(none)
		w.now = w.now.Add(time.Duration(rapid.IntRange(0, 24*20).Draw(w.t, "rest")) * time.Hour)
		w.sweep()
		on, posts, _ := w.m.resumed(w.now, w.posts, rapid.Bool().Draw(w.t, "keep"))
		w.m = on
		w.save(posts)
	}
}

func (w *walk) edit(i int) {
	n := rapid.IntRange(0, len(w.m.Course.Milestones)).Draw(w.t, "which")
	days := rapid.IntRange(1, 30).Draw(w.t, "days")
	var next MakeAlong
	var err error
	switch rapid.SampledFrom([]string{"later", "add", "remove"}).Draw(w.t, "edit") {
	case "later":
		next, err = w.m.later(n, days, w.now, w.posts)
	case "add":
		next, _, err = w.m.with(along.Milestone{Title: fmt.Sprint("More ", i), Date: w.m.today(w.now).Add(days)}, w.now, w.posts)
	case "remove":
		next, err = w.m.without(n, w.posts)
	}
	if err != nil {
		return // it is not allowed any more
	}
	w.m = next
	w.save(w.m.posts(w.now, w.posts))
}

// TestNothingLostNothingTwice lives through make-alongs in which the bot sleeps
// for days, and the host changes zone, hours and dates, rests and goes on: in
// the end each milestone was posted once.
func TestNothingLostNothingTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := schedule.Date{Year: 2026, Month: 12, Day: 1}.Add(rapid.IntRange(0, 900).Draw(t, "start"))
		var dates []schedule.Date
		for d, n := start, rapid.IntRange(1, 6).Draw(t, "milestones"); len(dates) < n; {
			d = d.Add(rapid.IntRange(1, 21).Draw(t, "gap"))
			dates = append(dates, d)
		}
		w := &walk{t: t, m: opened(start, "Europe/Lisbon", 18*60, dates...), sent: map[string]int{}}
		w.m.Course.Event = true
		w.now = schedule.At(start, 8*60, w.m.zone())
		w.save(w.m.posts(w.now, nil))
		for i := range rapid.IntRange(0, 25).Draw(t, "steps") {
			w.step(i)
		}
		for range 3 {
			w.now = w.now.AddDate(2, 0, 0)
			w.sweep()
		}
		for i := range w.m.Course.Milestones {
			if key := postKey(MilestonePost, i); w.sent[key] != 1 {
				t.Fatalf("%s was sent %d times; the dates are %v", key, w.sent[key], w.m.Course.Milestones)
			}
		}
		for key, n := range w.sent {
			if n != 1 || strings.HasPrefix(key, "milestone/") && key >= postKey(MilestonePost, len(w.m.Course.Milestones)) && len(w.m.Course.Milestones) < 10 {
				t.Fatalf("%s was sent %d times", key, n)
			}
		}
		if w.sent["welcome"] != 1 || w.sent["farewell"] != 1 {
			t.Fatalf("welcome %d times, farewell %d times", w.sent["welcome"], w.sent["farewell"])
		}
	})
}

// What is asked after the last note on help reaches the hosts with the
// farewell, whether the calendar has ended or a host closes it early.
func TestLastCallsReachHosts(t *testing.T) {
	m := opened(date(t, "2027-01-03"), "Europe/Lisbon", 18*60, date(t, "2027-01-10"), date(t, "2027-01-17"))
	m.Course.Quiet = schedule.Quiet{From: 21 * 60, To: 8 * 60}
	now := schedule.At(date(t, "2027-01-12"), 22*60, m.zone())
	due := func(posts []Post, key string) string {
		at := slices.IndexFunc(posts, func(p Post) bool { return p.Key == key && p.To == m.Host && p.Kind == HostNote })
		if at < 0 {
			return "not planned"
		}
		return posts[at].Due.In(m.zone()).Format("2006-01-02 15:04")
	}
	had := m.posts(schedule.At(m.Course.Start, 0, m.zone()), nil)
	if got := due(had, "help/end"); got != "2027-01-24 18:00" {
		t.Errorf("at the calendar's end: %s", got)
	}
	if got := due(m.ending(now, had), "help/end"); got != "2027-01-13 08:00" { // after the quiet hours
		t.Errorf("closed early: %s", got)
	}
	for i := range had {
		had[i].State = PostSent
	}
	if n := settled(had); n != 2 {
		t.Errorf("%d milestones are settled", n)
	}
}
