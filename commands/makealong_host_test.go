package commands

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/reply"
)

func TestHostWords(t *testing.T) {
	sunday := schedule.Date{Year: 2026, Month: 3, Day: 1}
	day := func(text string) (string, error) {
		d, err := readDay(text, Settings{})
		return d.on(sunday).String(), err
	}
	every := func(text string) (string, error) {
		n, err := readEvery(text, Settings{})
		return fmt.Sprint(n), err
	}
	rest := func(text string) (string, error) {
		d, err := readRest(text, Settings{})
		return fmt.Sprint(d.on, d.any), err
	}
	dates := func(text string) (string, error) {
		list, err := readDates(text, Settings{})
		return fmt.Sprint(list), err
	}
	for _, c := range []struct {
		read    func(string) (string, error)
		text    string
		want    string
		mistake string
	}{
		{read: day, text: "today", want: "2026-03-01"},
		{read: day, text: "Tomorrow", want: "2026-03-02"},
		{read: day, text: "next Sunday", want: "2026-03-08"}, // 1 March 2026 is a Sunday
		{read: day, text: "sat", want: "2026-03-07"},
		{read: day, text: "in 2 weeks", want: "2026-03-15"},
		{read: day, text: "in a week", want: "2026-03-08"},
		{read: day, text: "in 1 day", want: "2026-03-02"},
		{read: day, text: "10 January 2027", want: "2027-01-10"},
		{read: day, text: "20 Dec", want: "2026-12-20"},
		{read: day, text: "Jan 10th", want: "2027-01-10"}, // this year's is past
		{read: day, text: "29 February", want: "2028-02-29"},
		{read: day, text: "12/20", mistake: "the year is missing"},
		{read: day, text: "29 February 2027", mistake: "has 28 days"},
		{read: day, text: "soon", mistake: "no date"},
		{read: every, text: "week", want: "7"},
		{read: every, text: "2 weeks", want: "14"},
		{read: every, text: "every 10 days", want: "10"},
		{read: every, text: "weekly", want: "7"},
		{read: every, text: "fortnightly", want: "14"},
		{read: every, text: "3", want: "21"},
		{read: every, text: "0 days", mistake: "1 day to 13 weeks"},
		{read: every, text: "40 weeks", mistake: "1 day to 13 weeks"},
		{read: every, text: "month", mistake: "weeks or days"},
		{read: every, text: "", mistake: "weeks or days"},
		{read: rest, text: "2", want: "[] 2"},
		{read: rest, text: "Saturday, Sunday", want: "[Saturday Sunday] 0"},
		{read: rest, text: "sundays and wed", want: "[Sunday Wednesday] 0"},
		{read: rest, text: "7", mistake: "0 to 6"},
		{read: rest, text: "mon tue wed thu fri sat sun", mistake: "one day to six"},
		{read: rest, text: "holidays", mistake: "neither a number nor days"},
		{read: dates, text: "2027-01-24, 2027-02-07", want: "[2027-01-24 2027-02-07]"},
		{read: dates, text: "January 24, 2027, February 7, 2027", want: "[2027-01-24 2027-02-07]"},
		{read: dates, text: "24 Jan 2027; 7 Feb 2027;", want: "[2027-01-24 2027-02-07]"},
		{read: dates, text: " , ", mistake: "no date"},
		{read: dates, text: "2027-01-24, whenever", mistake: "no date"},
		{read: zoneSaid, text: "lisbon", want: "Europe/Lisbon"},
		{read: zoneSaid, text: "new york", want: "America/New_York"},
		{read: zoneSaid, text: "Asia/Kathmandu", want: "Asia/Kathmandu"},
		{read: zoneSaid, text: "america/argentina/buenos_aires", want: "America/Argentina/Buenos_Aires"},
		{read: zoneSaid, text: "utc", want: "UTC"},
		{read: zoneSaid, text: "EST", mistake: "no summer time"},
		{read: zoneSaid, text: "../etc/passwd", mistake: "don't know"},
		{read: zoneSaid, text: "", mistake: "don't know"},
	} {
		got, err := c.read(c.text)
		switch {
		case c.mistake == "" && (err != nil || got != c.want):
			t.Errorf("%q: got %s, %v; want %s", c.text, got, err, c.want)
		case c.mistake != "" && (err == nil || !strings.Contains(err.Error(), c.mistake)):
			t.Errorf("%q: got %s, %v; want a mistake with %q", c.text, got, err, c.mistake)
		}
	}
}

// FuzzHostWords reads whatever a host may type: it is understood within the
// limits, or it is a mistake that says so.
func FuzzHostWords(f *testing.F) {
	for _, text := range []string{"in 999 weeks", "next", "sun sun", "6", "2 weeks", "1 January 2027, ; 2028", "europe/lisbon", "..", "\x00", "<#123456789012345678>", "#hosts"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if d, err := readDay(text, Settings{}); err == nil && d.date.IsZero() && (d.days < 0 || d.days > 7*999) {
			t.Errorf("%q is %+v", text, d)
		}
		if n, err := readEvery(text, Settings{}); err == nil && (n < 1 || n > along.MostEvery) {
			t.Errorf("%q is every %d days", text, n)
		}
		if r, err := readRest(text, Settings{}); err == nil && len(r.on)+r.any > 6 {
			t.Errorf("%q is %+v", text, r)
		}
		if list, err := readDates(text, Settings{}); err == nil && len(list) == 0 {
			t.Errorf("%q is no date, and no mistake", text)
		}
		if z, err := zoneSaid(text); err == nil {
			if _, err := time.LoadLocation(z); err != nil || z == "Local" {
				t.Errorf("%q is %q: %v", text, z, err)
			}
		}
	})
}

// run asks a line as somebody, once, with a call of its own.
func run(m *memory, call Call, line string) reply.Reply {
	m.alongs.now, m.projects.now = call.Now, call.Now
	return All(m.services(), nil).RunLine(context.Background(), call, line)
}

func TestChannels(t *testing.T) {
	number := asker
	number.Channel = "123456789012345678"
	for _, c := range []struct {
		call    Call
		text    string
		want    string
		mistake bool
	}{
		{call: number, text: "here", want: "123456789012345678"},
		{call: number, text: "<#223456789012345678>", want: "223456789012345678"},
		{call: number, text: "223456789012345678", want: "223456789012345678"},
		{call: number, text: "#general", mistake: true}, // the service did not turn it into a number
		{call: number, text: "12", mistake: true},
		{call: asker, text: "#general", want: "general"},
		{call: asker, text: "<#>", mistake: true},
		{call: asker, text: "two words", mistake: true},
	} {
		m := withSwatch()
		r := run(m, c.call, "/makealong create name:Hats pattern:hat start:tomorrow zone:UTC channel:"+quoted(c.text))
		if c.mistake {
			if r.Error == nil || r.Error.Option != "channel" {
				t.Errorf("%q: %+v", c.text, r.Error)
			}
			continue
		}
		if r.Error != nil || m.alongs.list[len(m.alongs.list)-1].Channel != c.want {
			t.Errorf("%q: %+v, %q", c.text, r.Error, m.alongs.list[len(m.alongs.list)-1].Channel)
		}
	}
}

// TestCallsDeliveredTwice delivers each call twice, as the service may.
func TestCallsDeliveredTwice(t *testing.T) {
	for _, lines := range [][]string{
		{"/makealong create name:Hats pattern:hat start:tomorrow zone:UTC"},
		{`/makealong milestone title:"Tea" date:2026-04-08`},
		{"/makealong milestone n:3 by:7"},
		{"/makealong change at:19:00"},
		{"/makealong pause all:yes"},
		{"/makealong pause"},
	} {
		once, twice := withSwatch(), withSwatch()
		for i, line := range lines {
			call := asker
			call.ID = fmt.Sprintf("call-%d", i)
			run(once, call, line)
			run(twice, call, line)
			run(twice, call, line)
		}
		once.alongs.around, twice.alongs.around = nil, nil
		once.alongs.seen, twice.alongs.seen = nil, nil
		if !reflect.DeepEqual(once.alongs, twice.alongs) {
			t.Errorf("%q, delivered twice, is not one", lines)
		}
	}
}

// elsewhere is a store in which somebody else is always quicker.
type elsewhere struct{ MakeAlongs }

func (elsewhere) Save(context.Context, string, string, MakeAlong, []Post) (MakeAlong, error) {
	return MakeAlong{}, ErrChanged
}

func TestTwoHostsAtOnce(t *testing.T) {
	for _, line := range []string{
		"/makealong open makealong:Fog shawl", "/makealong milestone n:3 by:7", "/makealong change at:19:00", "/makealong pause all:yes", "/makealong close sure:yes",
	} {
		m := withSwatch()
		s := m.services()
		s.MakeAlongs = elsewhere{&m.alongs}
		r := All(s, nil).RunLine(context.Background(), asker, line)
		if r.Error == nil || !strings.Contains(r.Error.Message, "Somebody else changed") {
			t.Errorf("%s: %+v", line, r.Error)
		}
	}
}

// TestOnlyHostsHost has somebody else try what is for hosts, in the server and
// in a direct message.
func TestOnlyHostsHost(t *testing.T) {
	for _, line := range []string{
		"/makealong create name:Hats pattern:hat start:tomorrow zone:UTC", "/makealong open makealong:Fog shawl", "/makealong open makealong:2", "/makealong milestone n:1", "/makealong milestone n:1 remove:yes",
		"/makealong change at:9:00", "/makealong close sure:yes", "/makealong pause all:yes", "/makealong dates makealong:2",
	} {
		for _, server := range []string{asker.Server, ""} {
			m := withSwatch()
			before := asKept(m.alongs.list)
			call := asker
			call.Member, call.Host, call.Server = Member{ID: "odile", Name: "odile"}, false, server
			if r := run(m, call, line); r.Error == nil {
				t.Errorf("%s in %q: %s", line, server, r.Title)
			}
			if !reflect.DeepEqual(before, asKept(m.alongs.list)) {
				t.Errorf("%s in %q changed something", line, server)
			}
		}
	}
}

func TestOwnTextsGoWithTheirMilestones(t *testing.T) {
	m := withSwatch()
	for _, line := range []string{
		`/makealong milestone n:3 text:"Sleeves!"`, `/makealong milestone n:4 post:midway text:"Halfway to the buttons."`, `/makealong milestone post:farewell text:"Goodbye."`,
		`/makealong milestone title:"Tea" date:2026-03-29`, // a new third one
		`/makealong milestone n:2 remove:yes`,
	} {
		if r := run(m, asker, line); r.Error != nil {
			t.Fatalf("%s: %+v", line, r.Error)
		}
	}
	want := map[string]string{"milestone/2": "Sleeves!", "midway/3": "Halfway to the buttons.", "farewell": "Goodbye."}
	if got := m.alongs.at(1).Course.Texts; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if r := run(m, asker, `/makealong milestone n:3 text:none`); r.Error != nil || m.alongs.at(1).Course.Texts["milestone/2"] != "" {
		t.Errorf("none takes a text away: %+v", r.Error)
	}
}

// TestWhatWasPostedStays moves on to the day after the first milestone.
func TestWhatWasPostedStays(t *testing.T) {
	later := asker
	later.Now = asker.Now.AddDate(0, 0, 8)
	posted := func() *memory {
		m := withSwatch()
		for _, key := range []string{"milestone/0"} {
			m.alongs.sent(1, key)
		}
		return m
	}
	for line, refused := range map[string]string{
		"/makealong milestone n:1 date:2026-03-20":                      "so its date stays",
		"/makealong milestone n:1 by:7":                                 "so its date stays",
		"/makealong milestone n:1 remove:yes":                           "so it stays",
		`/makealong milestone n:1 text:"Too soon"`:                      "was sent already",
		`/makealong milestone title:"Tea" date:2026-03-07`:              "comes after it",
		"/makealong change start:2026-04-01":                            "has begun",
		`/makealong milestone n:1 note:"You did it." title:"The backs"`: "",
		"/makealong milestone n:2 date:2026-03-25":                      "",
		`/makealong milestone title:"Tea" date:2026-03-12`:              "",
	} {
		m := posted()
		r := run(m, later, line)
		switch {
		case refused == "" && r.Error != nil:
			t.Errorf("%s: %+v", line, r.Error)
		case refused != "" && (r.Error == nil || !strings.Contains(r.Error.Message, refused)):
			t.Errorf("%s: %+v; want %q", line, r.Error, refused)
		}
		posts, err := m.alongs.Posts(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range posts {
			if p.Key == "milestone/0" && p.State != PostSent {
				t.Errorf("%s: what was sent is %s", line, p.State)
			}
		}
	}
}

// TestAnotherZone lets a make-along that runs go by another clock, an hour
// before a post is due.
func TestAnotherZone(t *testing.T) {
	now := asker
	now.Now = time.Date(2026, 3, 8, 17, 0, 0, 0, time.UTC) // 18:00 in Lisbon is in an hour
	m := withSwatch()
	if r := run(m, now, "/makealong change zone:Asia/Tokyo"); r.Error != nil {
		t.Fatal(r.Error)
	}
	posts, _ := m.alongs.Posts(context.Background(), 1)
	at := slices.IndexFunc(posts, func(p Post) bool { return p.Key == "milestone/0" })
	// 18:00 in Tokyo, UTC+9 the year round, was at 9:00 UTC: it is due at once.
	if at < 0 || !posts[at].Due.Equal(time.Date(2026, 3, 8, 9, 0, 0, 0, time.UTC)) {
		t.Errorf("the first milestone's post is %+v", posts[at])
	}
	sent := 0
	for _, p := range posts {
		if p.State == PostSent {
			sent++
		}
	}
	if sent != 2 { // the welcome, and the note halfway
		t.Errorf("%d posts are sent", sent)
	}
}

// TestBlockedGoesOnElsewhere gives a make-along whose channel is gone another.
func TestBlockedGoesOnElsewhere(t *testing.T) {
	m := withSwatch()
	m.alongs.at(1).State = AlongBlocked
	later := asker
	later.Now = asker.Now.AddDate(0, 0, 10) // a milestone fell due meanwhile
	r := run(m, later, "/makealong change channel:elsewhere")
	if a := m.alongs.at(1); r.Error != nil || a.State != AlongOpen || a.Channel != "elsewhere" {
		t.Fatalf("%+v, %s in %s", r.Error, a.State, a.Channel)
	}
	posts, _ := m.alongs.Posts(context.Background(), 1)
	if at := slices.IndexFunc(posts, func(p Post) bool { return p.Key == "milestone/0" }); at < 0 || posts[at].State != PostPlanned {
		t.Error("what fell due meanwhile is lost")
	}
}

// TestWholeRest lets a make-along rest for three weeks.
func TestWholeRest(t *testing.T) {
	m := withSwatch()
	if r := run(m, asker, "/makealong pause all:yes"); r.Error != nil || r.Private {
		t.Fatalf("%+v; private: %t", r.Error, r.Private)
	}
	back := asker
	back.Now = asker.Now.AddDate(0, 0, 21)
	if r := run(m, back, "/makealong pause all:yes resume:yes"); r.Error != nil {
		t.Fatal(r.Error)
	}
	if got := m.alongs.at(1).Course.Milestones[0].Date.String(); got != "2026-03-29" { // 8 March and 21 days
		t.Errorf("the first milestone is on %s", got)
	}
}

// TestEditedInOrder makes any edits, allowed or not: dates stay in order, each
// on its own day, and the texts' keys stay within the milestones.
func TestEditedInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := opened(schedule.Date{Year: 2027, Month: 1, Day: 3}, "Europe/Lisbon", 18*60, schedule.Date{Year: 2027, Month: 1, Day: 10}, schedule.Date{Year: 2027, Month: 1, Day: 24})
		m.State = rapid.SampledFrom([]MakeAlongState{AlongDraft, AlongOpen}).Draw(t, "state")
		m.Course.Texts = map[string]string{"milestone/1": "x", "welcome": "y"}
		now := schedule.At(m.Course.Start, 0, m.zone())
		for i := range rapid.IntRange(1, 20).Draw(t, "edits") {
			n := rapid.IntRange(-1, len(m.Course.Milestones)).Draw(t, "n")
			date := m.Course.Start.Add(rapid.IntRange(-20, 120).Draw(t, "day"))
			next, err := m, error(nil)
			switch rapid.IntRange(0, 3).Draw(t, fmt.Sprint("edit ", i)) {
			case 0:
				next, _, err = m.with(along.Milestone{Title: "More", Date: date}, now, nil)
			case 1:
				next, err = m.without(n, nil)
			case 2:
				next, err = m.put(n, along.Milestone{Title: "Other", Date: date}, now, nil)
			case 3:
				next, err = m.later(n, rapid.IntRange(-30, 60).Draw(t, "by"), now, nil)
			}
			if err == nil {
				m = next
			}
			if err := m.ordered(0, len(m.Course.Milestones)-1, now); err != nil {
				t.Fatalf("%v: %v", m.Course.Milestones, err)
			}
			for key := range m.Course.Texts {
				var at int
				if n, _ := fmt.Sscanf(key, "milestone/%d", &at); n == 1 && (at < 0 || at >= len(m.Course.Milestones)) {
					t.Fatalf("a text for %s of %d milestones", key, len(m.Course.Milestones))
				}
			}
		}
	})
}

// TestOtherSizes changes what a tester call asks for, while one size has its
// tester.
func TestOtherSizes(t *testing.T) {
	for line, want := range map[string]string{
		`/makealong change makealong:Harbour test sizes:"woman S, woman M, woman L, man M"`: "",
		`/makealong change makealong:Harbour test sizes:"woman M, woman L"`:                 "woman S has its tester",
		`/makealong change makealong:Harbour test sizes:"woman S, woman Q"`:                 "no size",
		`/makealong change makealong:Harbour test sizes:"woman S, woman s"`:                 "named twice",
		`/makealong change makealong:harbour make-along sizes:"woman S"`:                    "no tester call",
	} {
		m := withSwatch()
		r := run(m, asker, line)
		if want == "" && (r.Error != nil || len(m.alongs.at(3).Course.Sizes) != 4) || want != "" && (r.Error == nil || !strings.Contains(r.Error.Message, want)) {
			t.Errorf("%s: %+v, %q; want %q", line, r.Error, m.alongs.at(3).Course.Sizes, want)
		}
	}
}

// TestEventsOfTheServer says it where dates move for which the server's own
// events were made.
func TestEventsOfTheServer(t *testing.T) {
	for line, want := range map[string]string{
		"/makealong milestone n:1 by:7":            "One of the server's own events",
		"/makealong milestone n:1 date:2026-03-10": "One of the server's own events",
		"/makealong milestone n:2 by:7":            "",
		"/makealong milestone n:1 note:Soon":       "",
	} {
		m := withSwatch()
		run(m, asker, "/makealong change event:yes")
		m.alongs.sent(1, "event/0")
		r := run(m, asker, line)
		text, err := reply.Plain(r)
		if err != nil || r.Error != nil || strings.Contains(strings.Join(strings.Fields(text), " "), "server's own events were made for") || strings.Contains(strings.Join(strings.Fields(text), " "), "One of the server's own events") != (want != "") {
			t.Errorf("%s: %+v, %v; want %q in\n%s", line, r.Error, err, want, text)
		}
	}
}
