// Package schedule reckons with dates and times of day as a calendar on a wall
// has them, and turns them into moments: through clock changes, leap days and
// years' ends.
//
// A Date has no zone and a Clock no date. Only together with a time zone are
// they a moment: see [At]. Where clocks are put forward, the times left out are
// the first moment after them; where clocks are put back, the times that come
// twice are meant the first time.
package schedule

import (
	"fmt"
	"time"
)

// Date is a day of the calendar, anywhere. The zero Date is none.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// The years that are reckoned with.
const (
	FirstYear = 1900
	LastYear  = 2200
)

// DateError says that a date is on no calendar, or outside the years reckoned
// with.
type DateError struct{ Date Date }

func (e *DateError) Error() string {
	d := e.Date
	switch {
	case d.Year < FirstYear || d.Year > LastYear:
		return fmt.Sprintf("the year %d; dates from %d to %d can be kept", d.Year, FirstYear, LastYear)
	case d.Month < time.January || d.Month > time.December:
		return fmt.Sprintf("there is no month %d", int(d.Month))
	default:
		return fmt.Sprintf("there is no %d %s %d; %s %d has %d days", d.Day, d.Month, d.Year, d.Month, d.Year, daysIn(d.Year, d.Month))
	}
}

// Check reports a date that is on no calendar as a *DateError.
func (d Date) Check() error {
	if d.Year < FirstYear || d.Year > LastYear || d.Month < time.January || d.Month > time.December || d.Day < 1 || d.Day > daysIn(d.Year, d.Month) {
		return &DateError{d}
	}
	return nil
}

func daysIn(year int, m time.Month) int { return time.Date(year, m+1, 0, 12, 0, 0, 0, time.UTC).Day() }

// DateOf is the date that a moment has in a zone.
func DateOf(at time.Time, zone *time.Location) Date {
	y, m, d := at.In(zone).Date()
	return Date{y, m, d}
}

// IsZero reports the zero Date, which is none.
func (d Date) IsZero() bool { return d == Date{} }

// Add is the date so many days later, or earlier where days is below 0.
func (d Date) Add(days int) Date { return DateOf(d.noon().AddDate(0, 0, days), time.UTC) }

// Since is how many days d is after other.
func (d Date) Since(other Date) int {
	return int((d.noon().Unix() - other.noon().Unix()) / (24 * 60 * 60))
}

// Before reports whether d is an earlier day than other.
func (d Date) Before(other Date) bool { return d.Compare(other) < 0 }

// Compare is -1, 0 or +1 as d is earlier than other, the same or later.
func (d Date) Compare(other Date) int { return d.noon().Compare(other.noon()) }

// Weekday is the day's.
func (d Date) Weekday() time.Weekday { return d.noon().Weekday() }

// String writes the date as ISO 8601 has it: 2027-01-10.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// Long writes the date for people: "Sunday 10 January 2027".
func (d Date) Long() string { return d.noon().Format("Monday 2 January 2006") }

// Short writes the date for people who know the year: "Sun 10 Jan".
func (d Date) Short() string { return d.noon().Format("Mon 2 Jan") }

// MarshalText writes the date as 2027-01-10, and the zero Date as nothing.
func (d Date) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, nil
	}
	if err := d.Check(); err != nil {
		return nil, err
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText writes, and nothing else.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	at, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return &TextError{What: "date", Text: string(text), Example: exampleDate}
	}
	got := DateOf(at, time.UTC)
	if err := got.Check(); err != nil {
		return err
	}
	*d = got
	return nil
}

func (d Date) noon() time.Time { return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC) }

// Clock is a time of day, in minutes after midnight: 0 to 1439.
type Clock int

const dayMinutes = 24 * 60

// String writes the time as 09:05.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// Valid reports whether the time is one of a day.
func (c Clock) Valid() bool { return c >= 0 && c < dayMinutes }

// MarshalText writes the time as 09:05.
func (c Clock) MarshalText() ([]byte, error) {
	if !c.Valid() {
		return nil, &TextError{What: "time of day", Text: fmt.Sprintf("%d minutes", int(c)), Example: exampleClock}
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads what MarshalText writes, and nothing else.
func (c *Clock) UnmarshalText(text []byte) error {
	at, err := time.Parse("15:04", string(text))
	if err != nil || len(text) != len("15:04") {
		return &TextError{What: "time of day", Text: string(text), Example: exampleClock}
	}
	*c = Clock(at.Hour()*60 + at.Minute())
	return nil
}
