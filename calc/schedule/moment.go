package schedule

import "time"

// farOff is more than any zone ever was from UTC.
const farOff = 48 * time.Hour

// At is the moment when clocks in a zone first show a date and time or a later
// one. Where clocks are put forward over the time, that is the first moment
// after; where they are put back so that it comes twice, the first.
func At(d Date, c Clock, zone *time.Location) time.Time {
	wanted := time.Date(d.Year, d.Month, d.Day, int(c)/60, int(c)%60, 0, 0, time.UTC)
	at := wanted.Add(-farOff).In(zone)
	for {
		// Between two changes the clocks run on evenly.
		start, end := bounds(at)
		_, offset := at.Zone()
		moment := wanted.Add(-time.Duration(offset) * time.Second)
		switch {
		case !start.IsZero() && moment.Before(start):
			return start.In(zone)
		case end.IsZero() || moment.Before(end):
			return moment.In(zone)
		}
		at = end.In(zone)
	}
}

// bounds are moments about one between which the clocks of its zone run on
// evenly; zero where they always do. In the package time, a leap year ends a day
// too soon where a rule goes on for ever: on its last day the end is not after
// the moment (seen in Go 1.26).
func bounds(at time.Time) (start, end time.Time) {
	start, end = at.ZoneBounds()
	if !end.IsZero() && !end.After(at) {
		end = end.Add(24 * time.Hour)
	}
	return start, end
}

// Next is the next moment, later than one given, at which it is a time of day
// in a zone: each day has one (see [At]). A day that a zone left out
// whole has none.
func Next(after time.Time, c Clock, zone *time.Location) time.Time {
	for d := DateOf(after, zone).Add(-1); ; d = d.Add(1) {
		if DateOf(At(d, 0, zone), zone) != d {
			continue
		}
		if at := At(d, c, zone); at.After(after) {
			return at
		}
	}
}

// Quiet is the hours in which nothing is sent. It may go over midnight; where
// From and To are equal, there are none.
type Quiet struct {
	From Clock `json:"from"`
	To   Clock `json:"to"`
}

// None reports that there are no quiet hours.
func (q Quiet) None() bool { return q.From == q.To }

// String writes the hours as 22:00–08:00, and none as "none".
func (q Quiet) String() string {
	if q.None() {
		return "none"
	}
	return q.From.String() + "–" + q.To.String()
}

// Has reports whether a time of day is quiet.
func (q Quiet) Has(c Clock) bool { return q.from(c) < q.long() }

// After is a moment itself where it is not quiet in a zone, and else the first
// moment later that is not.
func (q Quiet) After(at time.Time, zone *time.Location) time.Time {
	moment := at.In(zone)
	for {
		h, m, s := moment.Clock()
		passed := q.from(Clock(h*60 + m))
		if passed >= q.long() {
			return moment
		}
		left := time.Duration(q.long()-passed)*time.Minute - time.Duration(s)*time.Second - time.Duration(moment.Nanosecond())
		_, end := bounds(moment)
		if over := moment.Add(left); end.IsZero() || over.Before(end) {
			return over
		}
		moment = end.In(zone) // the clocks change before the quiet is over
	}
}

// from is the minutes from the beginning of the quiet hours to a time of day.
func (q Quiet) from(c Clock) int { return ((int(c)-int(q.From))%dayMinutes + dayMinutes) % dayMinutes }

// long is how many minutes the quiet hours last on a day without clock change.
func (q Quiet) long() int { return q.from(q.To) }
