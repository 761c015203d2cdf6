package schedule

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseDate(t *testing.T) {
	for text, want := range map[string]string{
		"2027-01-10": "2027-01-10", " 2027-1-9 ": "2027-01-09", "2027/12/31": "2027-12-31", "2027.12.31.": "2027-12-31",
		"10 Jan 2027": "2027-01-10", "10 January 2027": "2027-01-10", "10th of January, 2027": "2027-01-10", "the 1st of May 2027": "2027-05-01",
		"January 10 2027": "2027-01-10", "Jan. 10, 2027": "2027-01-10", "JAN 10TH 2027": "2027-01-10", "Sept 3 2027": "2027-09-03",
		"10. January 2027": "2027-01-10", "10-Jan-2027": "2027-01-10", "2 feb  2027": "2027-02-02",
		"Sunday 10 January 2027": "2027-01-10", "Sun, Jan 10, 2027": "2027-01-10", "sun. 10 jan. 2027": "2027-01-10",
		"29 Feb 2028": "2028-02-29", "29 feb 2000": "2000-02-29", "31.12.2027": "2027-12-31", "12/31/2027": "2027-12-31", "31 / 12 / 2027": "2027-12-31",
		"7.7.2027": "2027-07-07", "1900-01-01": "1900-01-01", "2200-12-31": "2200-12-31",
	} {
		if d, err := ParseDate(text); err != nil || d.String() != want {
			t.Errorf("%q: %v %v, want %s", text, d, err, want)
		}
	}
}

func TestNoDate(t *testing.T) {
	var unread *TextError
	var two *AmbiguousError
	var never *DateError
	for _, c := range []struct {
		text string
		as   any
		says string // part of the message
	}{
		{"", &unread, "write it as 2027-01-10"}, {"soon", &unread, `"soon" is no date`}, {"next Sunday", &unread, "no date"},
		{"10 Jan", &unread, "the year is missing"}, {"January 10", &unread, "the year is missing"}, {"10.01.", &unread, "the year is missing"},
		{"10.01.27", &unread, "the year needs four digits"}, {"10 Janvember 2027", &unread, "no date"}, {"10 Ja 2027", &unread, "no date"},
		{"Monday 10 January 2027", &unread, "that day is a Sunday"}, {"J 10 2027", &unread, "no date"}, {strings.Repeat("1", 500), &unread, "…"},
		{"03/04/2027", &two, "3 April 2027 or Thursday 4 March 2027"}, {"3.4.2027", &two, "write 2027-04-03 or 2027-03-04"},
		{"2027-02-29", &never, "there is no 29 February 2027; February 2027 has 28 days"}, {"31 April 2027", &never, "April 2027 has 30 days"},
		{"29 Feb 2100", &never, "28 days"}, {"2027-13-01", &never, "there is no month 13"}, {"31/31/2027", &never, "no month"}, {"0.0.2027", &never, "no month 0"},
		{"10 Jan 1899", &never, "dates from 1900 to 2200"}, {"2201-01-01", &never, "1900 to 2200"}, {"0000-00-00", &never, "the year 0"},
	} {
		d, err := ParseDate(c.text)
		if !errors.As(err, c.as) || !strings.Contains(err.Error(), c.says) || d != (Date{}) {
			t.Errorf("%q: %v, %v; want %q", c.text, d, err, c.says)
		}
	}
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]string{
		"10:00": "10:00", "9:05": "09:05", "9.30": "09:30", "00:00": "00:00", "23:59": "23:59", "7pm": "19:00", "7 PM": "19:00", "7:30 p.m.": "19:30",
		"7.30pm": "19:30", "12am": "00:00", "12 pm": "12:00", "12:15 a.m.": "00:15", "19h": "19:00", "19h30": "19:30", "19 h": "19:00", "0h": "00:00",
		"noon": "12:00", "Midday": "12:00", "midnight": "00:00", " 8 : 05 ": "08:05",
	} {
		if c, err := ParseClock(text); err != nil || c.String() != want {
			t.Errorf("%q: %v %v, want %s", text, c, err, want)
		}
	}
	for text, says := range map[string]string{
		"": "is no time of day", "tea time": "is no time of day", "7": "morning or evening", "7 o'clock": "morning or evening", "24:00": "hours go from 0 to 23",
		"10:60": "minutes 00 to 59", "13pm": "1 to 12", "0am": "1 to 12", "10:5": "no time", "1930": "no time", "-1:00": "no time", "10:00:00": "no time", "19:00 h": "no time",
		strings.Repeat("9", 400): "…",
	} {
		var unread *TextError
		if c, err := ParseClock(text); !errors.As(err, &unread) || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "19:00") {
			t.Errorf("%q: %v %v, want %q", text, c, err, says)
		}
	}
}

func TestParseQuiet(t *testing.T) {
	for text, want := range map[string]string{
		"22:00-08:00": "22:00–08:00", "22:00 – 8:00": "22:00–08:00", "10pm to 8am": "22:00–08:00", "from 10 pm until 8 am": "22:00–08:00", "13h-14h30": "13:00–14:30",
		"midnight-7am": "00:00–07:00", "none": "none", "No": "none", "off": "none",
	} {
		if q, err := ParseQuiet(text); err != nil || q.String() != want || q.None() != (want == "none") {
			t.Errorf("%q: %v %v, want %s", text, q, err, want)
		}
	}
	for text, says := range map[string]string{
		"": "is no quiet hours", "night": "22:00-08:00, or none", "22-8": "morning or evening", "22:00-22:00": "begin and end at the same time", "22:00": "quiet hours",
		"22:00-23:00-24:00": "quiet hours", "22:00-25:00": "hours go from 0 to 23",
	} {
		var unread *TextError
		if q, err := ParseQuiet(text); !errors.As(err, &unread) || !strings.Contains(err.Error(), says) || !q.None() {
			t.Errorf("%q: %v %v, want %q", text, q, err, says)
		}
	}
}

func TestQuietHas(t *testing.T) {
	night, noon := Quiet{22 * 60, 8 * 60}, Quiet{12 * 60, 13 * 60}
	for _, c := range []struct {
		q    Quiet
		at   Clock
		want bool
	}{
		{night, 22 * 60, true}, {night, 23*60 + 59, true}, {night, 0, true}, {night, 8*60 - 1, true}, {night, 8 * 60, false}, {night, 22*60 - 1, false},
		{noon, 12 * 60, true}, {noon, 13 * 60, false}, {noon, 0, false}, {Quiet{}, 0, false}, {Quiet{60, 60}, 60, false},
	} {
		if got := c.q.Has(c.at); got != c.want {
			t.Errorf("%s has %s: %t", c.q, c.at, got)
		}
	}
}

// Days are counted as a proleptic Gregorian calendar counts them. By hand: ISO
// 8601 weekdays and day numbers; 2028 is a leap year, 2100 is none.
func TestDates(t *testing.T) {
	newYear := Date{2028, time.January, 1}
	for _, c := range []struct {
		days int
		want string
	}{{0, "2028-01-01"}, {59, "2028-02-29"}, {60, "2028-03-01"}, {365, "2028-12-31"}, {366, "2029-01-01"}, {-1, "2027-12-31"}} {
		d := newYear.Add(c.days)
		if d.String() != c.want || d.Since(newYear) != c.days || d.Before(newYear) != (c.days < 0) {
			t.Errorf("%d days after %s: %s, %d", c.days, newYear, d, d.Since(newYear))
		}
	}
	if n := (Date{2200, 12, 31}).Since(Date{1900, 1, 1}); n != 301*365+73-1 { // 301 years with 73 leap days: 1904 to 2196, without 2100 and with 2000
		t.Errorf("%d days of 301 years", n)
	}
	d := Date{2027, time.January, 10}
	if d.Weekday() != time.Sunday || d.Long() != "Sunday 10 January 2027" || d.Short() != "Sun 10 Jan" || d.IsZero() || !(Date{}).IsZero() || d.Compare(d) != 0 {
		t.Errorf("%s: %s, %s", d, d.Long(), d.Short())
	}
}

func TestWrittenAndReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Date{FirstYear, time.January, 1}.Add(rapid.IntRange(0, 109_000).Draw(t, "day"))
		c := Clock(rapid.IntRange(0, dayMinutes-1).Draw(t, "clock"))
		q := Quiet{c, Clock(rapid.IntRange(0, dayMinutes-1).Draw(t, "to"))}
		for _, text := range []string{d.String(), d.Long(), fmt.Sprintf("%s %d, %d", d.Month, d.Day, d.Year), strings.ToUpper(d.Long())} {
			if got, err := ParseDate(text); err != nil || got != d {
				t.Fatalf("%q: %v %v", text, got, err)
			}
		}
		if got, err := ParseClock(c.String()); err != nil || got != c {
			t.Fatalf("%s: %v %v", c, got, err)
		}
		if got, err := ParseQuiet(q.String()); err != nil || got != q && !q.None() {
			t.Fatalf("%s: %v %v", q, got, err)
		}
		type all struct {
			D Date
			N Date `json:",omitzero"`
			C Clock
			Q Quiet
		}
		text, err := json.Marshal(all{D: d, C: c, Q: q})
		if err != nil {
			t.Fatal(err)
		}
		var back all
		if err := json.Unmarshal(text, &back); err != nil || back != (all{D: d, C: c, Q: q}) {
			t.Fatalf("%s: %+v %v", text, back, err)
		}
	})
}

func TestNotKept(t *testing.T) {
	for _, v := range []any{Date{2027, 2, 29}, Date{2027, 0, 1}, Date{1, 1, 1}, Clock(-1), Clock(dayMinutes), Quiet{From: 2000}} {
		if text, err := json.Marshal(v); err == nil {
			t.Errorf("%#v is written %s", v, text)
		}
	}
	for _, text := range []string{`"2027-02-29"`, `"10 Jan 2027"`, `"2027-1-1"`, `20270101`, `"1899-12-31"`} {
		var d Date
		if err := json.Unmarshal([]byte(text), &d); err == nil || !d.IsZero() {
			t.Errorf("%s is read as %v", text, d)
		}
	}
	for _, text := range []string{`""`, `"9:00"`, `"24:00"`, `"7pm"`, `600`, `"009:0"`} {
		var c Clock
		if err := json.Unmarshal([]byte(text), &c); err == nil || c != 0 {
			t.Errorf("%s is read as %v", text, c)
		}
	}
	var d Date
	if err := json.Unmarshal([]byte(`""`), &d); err != nil || !d.IsZero() {
		t.Errorf("nothing is read as %v, %v", d, err)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"2027-01-10", "10th of January, 2027", "Sun, Jan 10, 2027", "03/04/2027", "31.12.2027", "10 Jan", "7:30 p.m.", "19h30", "noon", "10pm to 8am", "22:00–08:00", "none"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if d, err := ParseDate(text); err == nil {
			if again, err := ParseDate(d.String()); err != nil || again != d {
				t.Fatalf("%q: %v, then %v %v", text, d, again, err)
			}
		} else if d != (Date{}) || len(err.Error()) > 500 {
			t.Fatalf("%q: %v %v", text, d, err)
		}
		if c, err := ParseClock(text); err == nil && !c.Valid() {
			t.Fatalf("%q: %d", text, c)
		}
		if q, err := ParseQuiet(text); err == nil && (!q.From.Valid() || !q.To.Valid()) {
			t.Fatalf("%q: %v", text, q)
		}
	})
}
