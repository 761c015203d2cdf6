// Package schedule reckons with dates and times of day as a calendar on a wall
// has them, and turns them into moments: through clock changes, leap days and
// years' ends.
//
// A Date has no zone and a Clock no date. Only together with a time zone are
// they a moment: see [At].
package schedule

import (
	"fmt"
	"time"
)

// Date is a day of the calendar, anywhere.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the date that a moment has in a zone.
func DateOf(at time.Time, zone *time.Location) Date {
	y, m, d := at.In(zone).Date()
	return Date{y, m, d}
}

// Add is the date so many days later, or earlier where days is below 0.
func (d Date) Add(days int) Date { return DateOf(d.noon().AddDate(0, 0, days), time.UTC) }

// Since is how many days d is after other.
func (d Date) Since(other Date) int { return int(d.noon().Sub(other.noon()) / (24 * time.Hour)) }

// Weekday is the day's.
func (d Date) Weekday() time.Weekday { return d.noon().Weekday() }

// String writes the date as ISO 8601 has it: 2027-01-10.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

func (d Date) noon() time.Time { return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC) }

// Clock is a time of day, in minutes after midnight: 0 to 1439.
type Clock int

// String writes the time as 09:05.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// Quiet is the hours in which nothing is sent. It may go over midnight; where
// From and To are equal, there are none.
type Quiet struct {
	From Clock `json:"from"`
	To   Clock `json:"to"`
}
