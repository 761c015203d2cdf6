package schedule

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

const (
	exampleDate  = "2027-01-10"
	exampleClock = "19:00"
	exampleQuiet = "22:00-08:00"
	longest      = 60 // characters that are looked at
)

// TextError says that a text is not what it should be.
type TextError struct {
	What    string // "date", "time of day", "quiet hours"
	Text    string
	Wrong   string // what is amiss; empty: it can't be read at all
	Example string
}

func (e *TextError) Error() string {
	text := clipped(e.Text)
	if e.Wrong != "" {
		return fmt.Sprintf("%q: %s; write it as %s", text, e.Wrong, e.Example)
	}
	return fmt.Sprintf("%q is no %s; write it as %s", text, e.What, e.Example)
}

// AmbiguousError says that a date can be read in two ways: countries differ in
// whether day or month stands first.
type AmbiguousError struct {
	Text                 string
	DayFirst, MonthFirst Date
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q can be %s or %s, as countries differ in writing the day or the month first; write %s or %s",
		e.Text, e.DayFirst.Long(), e.MonthFirst.Long(), e.DayFirst, e.MonthFirst)
}

var (
	yearFirst  = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})\.?$`)
	yearLast   = regexp.MustCompile(`^(\d{1,2})\s*[-/.]\s*(\d{1,2})\s*[-/.]\s*(\d{4})$`)
	dayMonth   = regexp.MustCompile(`^(?:(\pL+)\.?,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]*(?:of\s+)?(\pL+)\.?,?[\s-]+(\d{4})$`)
	monthDay   = regexp.MustCompile(`^(?:(\pL+)\.?,?\s+)?(\pL+)\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})$`)
	noYear     = regexp.MustCompile(`^(?:\d{1,2}(?:st|nd|rd|th|\.)?\s*\pL{3,}|\pL{3,}\.?\s*\d{1,2}(?:st|nd|rd|th)?|\d{1,2}[-/.]\d{1,2}\.?)$`)
	shortYear  = regexp.MustCompile(`^\d{1,2}[-/.]\d{1,2}[-/.]\d{2}$`)
	clockText  = regexp.MustCompile(`^(\d{1,2})(?:\s*[:.h]\s*(\d{2}))?\s*(h|am|pm|o'clock)?$`)
	quietParts = regexp.MustCompile(`\s*(?:-|–|—|\bto\b|\buntil\b|\btill\b)\s*`)
)

// ParseDate reads a date: 2027-01-10, 10 Jan 2027, January 10, 2027, and
// 31.12.2026 or 12/31/2026 where only one reading is a date. The day of the
// week may stand before the words, and must be right. Errors are *TextError,
// *AmbiguousError and *DateError.
func ParseDate(text string) (Date, error) {
	s := strings.TrimPrefix(strings.ToLower(strings.Join(strings.Fields(text), " ")), "the ")
	wrong := func(why string) error {
		return &TextError{What: "date", Text: strings.TrimSpace(text), Wrong: why, Example: exampleDate}
	}
	if len(s) > 4*longest {
		return Date{}, wrong("")
	}
	if m := yearFirst.FindStringSubmatch(s); m != nil {
		return checked(Date{number(m[1]), time.Month(number(m[2])), number(m[3])})
	}
	if m := yearLast.FindStringSubmatch(s); m != nil {
		return either(strings.TrimSpace(text), number(m[1]), number(m[2]), number(m[3]))
	}
	weekday, d := worded(s)
	switch {
	case d.Month != 0:
	case noYear.MatchString(s):
		return Date{}, wrong("the year is missing")
	case shortYear.MatchString(s):
		return Date{}, wrong("the year needs four digits")
	default:
		return Date{}, wrong("")
	}
	if _, err := checked(d); err != nil {
		return Date{}, err
	}
	if weekday != "" && !begins(d.Weekday().String(), weekday) {
		return Date{}, wrong("that day is a " + d.Weekday().String())
	}
	return d, nil
}

// worded reads a date whose month is a word, with the day of the week where it
// is said; the zero month: it is none.
func worded(s string) (weekday string, d Date) {
	if m := dayMonth.FindStringSubmatch(s); m != nil {
		weekday, d = m[1], Date{number(m[4]), month(m[3]), number(m[2])}
	}
	if m := monthDay.FindStringSubmatch(s); m != nil && d.Month == 0 {
		weekday, d = m[1], Date{number(m[4]), month(m[2]), number(m[3])}
	}
	return weekday, d
}

func checked(d Date) (Date, error) {
	if err := d.Check(); err != nil {
		return Date{}, err
	}
	return d, nil
}

// either reads two numbers as day and month, in whichever order is a date.
func either(text string, a, b, year int) (Date, error) {
	dayFirst, monthFirst := Date{year, time.Month(b), a}, Date{year, time.Month(a), b}
	switch {
	case monthFirst.Check() != nil:
		return checked(dayFirst)
	case dayFirst.Check() != nil || dayFirst == monthFirst:
		return monthFirst, nil
	default:
		return Date{}, &AmbiguousError{text, dayFirst, monthFirst}
	}
}

// number reads digits of which there are few.
func number(digits string) int {
	n, _ := strconv.Atoi(digits) // the patterns let only digits through; 0 is no month and no day
	return n
}

// month reads a month's name or its first letters, three at least.
func month(name string) time.Month {
	for m := time.January; m <= time.December; m++ {
		if begins(m.String(), name) || m == time.September && name == "sept" {
			return m
		}
	}
	return 0
}

// begins reports whether a short form of a name is its beginning.
func begins(name, short string) bool {
	return len(short) >= 3 && strings.HasPrefix(strings.ToLower(name), short)
}

// ParseClock reads a time of day: 10:00, 9.30, 7pm, 7:30 p.m., 19h, 19h30,
// noon, midnight. A bare number is refused, for it may be morning or evening.
func ParseClock(text string) (Clock, error) {
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	wrong := func(why string) (Clock, error) {
		return 0, &TextError{What: "time of day", Text: strings.TrimSpace(text), Wrong: why, Example: exampleClock}
	}
	switch s {
	case "noon", "midday":
		return 12 * 60, nil
	case "midnight":
		return 0, nil
	}
	s = strings.NewReplacer("a.m.", "am", "p.m.", "pm", "a.m", "am", "p.m", "pm").Replace(s)
	m := clockText.FindStringSubmatch(s)
	if m == nil {
		return wrong("")
	}
	hour, minute, half := number(m[1]), number(m[2]), m[3]
	switch {
	case minute > 59:
		return wrong("an hour has minutes 00 to 59")
	case half == "am" || half == "pm":
		if hour < 1 || hour > 12 {
			return wrong("with am and pm, hours go from 1 to 12")
		}
		if hour %= 12; half == "pm" {
			hour += 12
		}
	case hour > 23:
		return wrong("hours go from 0 to 23")
	case m[2] == "" && half != "h":
		return wrong("it can be morning or evening")
	case m[2] != "" && half != "":
		return wrong("")
	}
	return Clock(hour*60 + minute), nil
}

// ParseQuiet reads quiet hours: 22:00-08:00, 10pm to 8am, or none.
func ParseQuiet(text string) (Quiet, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	if s == "none" || s == "no" || s == "off" {
		return Quiet{}, nil
	}
	wrong := &TextError{What: "quiet hours", Text: strings.TrimSpace(text), Example: exampleQuiet + ", or none"}
	parts := quietParts.Split(strings.TrimPrefix(s, "from "), -1)
	if len(s) > 4*longest || len(parts) != 2 {
		return Quiet{}, wrong
	}
	from, err := ParseClock(parts[0])
	if err != nil {
		return Quiet{}, err
	}
	to, err := ParseClock(parts[1])
	if err != nil {
		return Quiet{}, err
	}
	if from == to {
		wrong.Wrong = "they begin and end at the same time"
		return Quiet{}, wrong
	}
	return Quiet{from, to}, nil
}
