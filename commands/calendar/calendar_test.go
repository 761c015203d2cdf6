package calendar

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/emersion/go-ical"
	"pgregory.net/rapid"

	"countwright/calc/schedule"
)

var update = flag.Bool("update", false, "rewrite the golden file")

var made = time.Date(2027, time.January, 3, 8, 30, 0, 0, time.UTC)

// spring is an invented make-along with everything that a line can trip over.
func spring() Plan {
	return Plan{
		Name: "Spring cardigan, together", UID: "server 1, make-along 7", Version: 3, Made: made,
		Entries: []Entry{
			{Key: "milestone/0", Title: "The back, up to the upper back", Text: "About 3,600 stitches.\nMark both ends; the armholes begin there. A path: C:\\yarn", Date: schedule.Date{Year: 2027, Month: time.January, Day: 17}},
			{Key: "milestone/1", Title: "Спинка до проймы: вязать медленно, отдыхать чаще, считать петли в каждом ряду", Text: strings.Repeat("編み物は楽しい。", 12), Date: schedule.Date{Year: 2028, Month: time.February, Day: 29}},
			{Key: "checkin/1", Title: "Check-in 🧶", At: time.Date(2027, time.March, 28, 1, 0, 0, 0, time.UTC)},
			{Key: "milestone/2", Title: "Taken out", Date: schedule.Date{Year: 2027, Month: time.December, Day: 31}, Off: true},
		},
	}
}

func file(t testing.TB, p Plan) []byte {
	t.Helper()
	out, err := File(p)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestGolden(t *testing.T) {
	const golden = "testdata/spring.ics"
	got := file(t, spring())
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; -update rewrites it:\n%s", golden, got)
	}
	again := file(t, spring())
	if !bytes.Equal(got, again) {
		t.Error("the same plan gave other bytes")
	}
}

// check holds a file to the lines of RFC 5545 and to its plan, as another
// library reads it.
func check(t rapid.TB, p Plan, out []byte) {
	t.Helper()
	text := string(out)
	// RFC 5545, 3.1: lines end in CRLF and have 75 octets at most, the line end
	// apart; we never cut a character in two.
	if !strings.HasSuffix(text, "\r\n") || strings.Count(text, "\n") != strings.Count(text, "\r\n") || strings.Count(text, "\r") != strings.Count(text, "\r\n") {
		t.Error("a line does not end in CRLF")
	}
	for _, l := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(l) > 75 || !utf8.ValidString(l) || l == "" {
			t.Errorf("%d octets: %q", len(l), l)
		}
	}
	cal, err := ical.NewDecoder(bytes.NewReader(out)).Decode()
	if err != nil {
		t.Fatalf("%v in\n%s", err, out)
	}
	if name, err := cal.Props.Text("NAME"); err != nil || name != line(p.Name) {
		t.Errorf("name %q %v, want %q", name, err, line(p.Name))
	}
	if v, err := cal.Props.Text(ical.PropVersion); err != nil || v != "2.0" {
		t.Errorf("version %q %v", v, err)
	}
	events := cal.Events()
	if len(events) != len(p.Entries) {
		t.Fatalf("%d events of %d", len(events), len(p.Entries))
	}
	for i, e := range p.Entries {
		same(t, p, e, events[i])
	}
}

func same(t rapid.TB, p Plan, e Entry, event ical.Event) {
	t.Helper()
	title, err := event.Props.Text(ical.PropSummary)
	if err != nil || title != line(e.Title) {
		t.Errorf("title %q %v, want %q", title, err, line(e.Title))
	}
	if text, err := event.Props.Text(ical.PropDescription); err != nil || text != clean(e.Text) {
		t.Errorf("text %q %v, want %q", text, err, clean(e.Text))
	}
	start := event.Props.Get(ical.PropDateTimeStart)
	day := start.ValueType() == ical.ValueDate
	at, err := start.DateTime(time.UTC)
	switch {
	case err != nil:
		t.Error(err)
	case day != !e.Date.IsZero():
		t.Errorf("%s: whole day: %t", e.Key, day)
	case day && schedule.DateOf(at, time.UTC) != e.Date:
		t.Errorf("%s: on %v, want %v", e.Key, at, e.Date)
	case !day && !at.Equal(e.At.Truncate(time.Second)):
		t.Errorf("%s: at %v, want %v", e.Key, at, e.At)
	}
	if n, err := event.Props.Get(ical.PropSequence).Int(); err != nil || n != p.Version {
		t.Errorf("sequence %d %v, want %d", n, err, p.Version)
	}
	if stamp, err := event.Props.DateTime(ical.PropDateTimeStamp, time.UTC); err != nil || !stamp.Equal(p.Made) {
		t.Errorf("stamp %v %v, want %v", stamp, err, p.Made)
	}
	if status, err := event.Status(); err != nil || (status == ical.EventCancelled) != e.Off {
		t.Errorf("status %q %v", status, err)
	}
}

func TestAnotherLibraryReadsTheSame(t *testing.T) { check(t, spring(), file(t, spring())) }

func TestManyEntries(t *testing.T) {
	p := spring()
	p.Entries = nil
	for i := range 100 {
		p.Entries = append(p.Entries, Entry{Key: fmt.Sprint(i), Title: strings.Repeat("ряд ", i), Date: schedule.Date{Year: 2027, Month: 1, Day: 1}.Add(7 * i)})
	}
	check(t, p, file(t, p))
}

func TestNotWritten(t *testing.T) {
	day := schedule.Date{Year: 2027, Month: time.May, Day: 1}
	if _, err := File(Plan{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("no entries: %v", err)
	}
	for name, entries := range map[string][]Entry{
		"twice":      {{Key: "a", Date: day}, {Key: "a", Date: day}},
		"no day":     {{Key: "a"}},
		"impossible": {{Key: "a", Date: schedule.Date{Year: 2027, Month: time.February, Day: 29}}},
	} {
		var wrong *EntryError
		if _, err := File(Plan{Made: made, Entries: entries}); !errors.As(err, &wrong) || wrong.Key != "a" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Calendars know an entry again by its UID: it stays with the entry whatever
// else changes, and no two share one.
func TestUIDs(t *testing.T) {
	// Source: RFC 9562, 5.5: version 5, variant 10.
	form := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	seen := map[string]string{}
	for _, plan := range []string{"server 1, make-along 7", "server 1, make-along 77", "server 17", "1", "1/"} {
		for _, key := range []string{"milestone/0", "milestone/1", "/milestone/1", "7", ""} {
			id := uid(plan, key)
			if !form.MatchString(id) {
				t.Errorf("%q is no UUID of version 5", id)
			}
			if other, ok := seen[id]; ok {
				t.Errorf("%s and %s %s have the same UID", other, plan, key)
			}
			seen[id] = plan + " " + key
		}
	}
	p := spring()
	before := file(t, p)
	p.Version, p.Name, p.Made = 9, "Renamed", made.Add(time.Hour)
	p.Entries[0].Title, p.Entries[0].Date = "Later", p.Entries[0].Date.Add(7)
	after := file(t, p)
	ids := regexp.MustCompile(`UID:\S+`)
	if a, b := ids.FindAllString(string(before), -1), ids.FindAllString(string(after), -1); len(a) != 4 || strings.Join(a, " ") != strings.Join(b, " ") {
		t.Errorf("UIDs changed: %v, %v", a, b)
	}
}

func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Plan{Name: rapid.String().Draw(t, "name"), UID: "x", Version: rapid.IntRange(0, 1000).Draw(t, "version"), Made: made}
		for i := range rapid.IntRange(1, 5).Draw(t, "entries") {
			e := Entry{Key: fmt.Sprint(i), Title: rapid.String().Draw(t, "title"), Text: rapid.StringN(0, 300, -1).Draw(t, "text"), Off: rapid.Bool().Draw(t, "off")}
			if days := rapid.IntRange(0, 100_000).Draw(t, "day"); rapid.Bool().Draw(t, "whole day") {
				e.Date = schedule.Date{Year: 1900, Month: 1, Day: 1}.Add(days)
			} else {
				e.At = made.Add(time.Duration(days) * time.Minute)
			}
			p.Entries = append(p.Entries, e)
		}
		out, err := File(p)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, out)
	})
}

// TestEntriesCantTurnTheCalendar: marks of UTS #55's examples, and line ends
// that would begin a property of their own (RFC 5545, 3.1).
func TestEntriesCantTurnTheCalendar(t *testing.T) {
	trick := "a\u202Eb\u2066c\u200B\U000E0041d\r\nATTACH:https://example.org\nEND:VEVENT\u2028X:1\x00;,\\"
	body, err := File(Plan{Name: trick, UID: trick, Entries: []Entry{{Key: trick, Title: trick, Text: trick, Date: schedule.Date{Year: 2027, Month: 3, Day: 1}}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range string(body) {
		if unicode.In(r, unicode.Cf, unicode.Zl) || unicode.IsControl(r) && r != '\r' && r != '\n' {
			t.Errorf("%U is in the file", r)
		}
	}
	for _, property := range []string{"\r\nATTACH", "\r\nX:1"} {
		if strings.Contains(string(body), property) {
			t.Errorf("%q was smuggled in", property)
		}
	}
	if n := strings.Count(string(body), "\r\nEND:VEVENT"); n != 1 {
		t.Errorf("%d events end", n)
	}
}

func FuzzFile(f *testing.F) {
	for _, e := range spring().Entries {
		f.Add(spring().Name, e.Title, e.Text)
	}
	f.Add("a\x00b", "\xff\xfe;,:\\\"", "one\r\ntwo\rthree\u2028four")
	f.Add(" ", strings.Repeat("\\", 80), strings.Repeat("é", 80)+" "+strings.Repeat("<>", 90))
	f.Fuzz(func(t *testing.T, name, title, text string) {
		p := Plan{Name: name, UID: name, Made: made, Entries: []Entry{{Key: title, Title: title, Text: text, Date: schedule.Date{Year: 2027, Month: 1, Day: 1}}}}
		check(t, p, file(t, p))
	})
}
