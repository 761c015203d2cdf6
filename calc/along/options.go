package along

import (
	"fmt"
	"time"

	"countwright/calc/schedule"
)

// RelaxedPace is stitches a day that leave time for a life: half an hour or
// so. Common practice, no source.
const RelaxedPace = 400

// Limits of what is proposed.
const (
	LowestPace     = 20
	HighestPace    = 20_000
	MostEvery      = 92 // days from one milestone to the next
	MostMilestones = 60
	MostPieces     = 500
	MostDays       = 3 * 365 // of the whole make-along
)

// Options say how milestones are to fall.
type Options struct {
	Start schedule.Date
	Pace  int            // stitches a day; 0: RelaxedPace
	Rest  []time.Weekday // days on which nobody works or meets
	Pause int            // and so many days a week more without work, whichever they are
	Every int            // days from one milestone to the next; 0: as the pieces fall
	Dates []schedule.Date
}

// RangeError says that a figure is outside what can be planned.
type RangeError struct {
	What      string
	Got       int
	Low, High int
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %d; %d to %d can be planned", e.What, e.Got, e.Low, e.High)
}

// DatesError says that dates of milestones do not follow each other.
type DatesError struct{ Before, After schedule.Date }

func (e *DatesError) Error() string {
	return fmt.Sprintf("%s is not after %s; dates of milestones go from the start on, each later than the one before", e.After, e.Before)
}

// check reports what can't be planned, and fills in the usual pace.
func (o *Options) check() error {
	if o.Pace == 0 {
		o.Pace = RelaxedPace
	}
	for _, limit := range []RangeError{
		{"stitches a day", o.Pace, LowestPace, HighestPace},
		{"days from one milestone to the next", o.Every, 0, MostEvery},
		{"dates", len(o.Dates), 0, MostMilestones},
		{"days of rest a week", o.Pause + o.restDays(), 0, 6},
		{"days of rest a week", o.Pause, 0, 6},
	} {
		if limit.Got < limit.Low || limit.Got > limit.High {
			return &limit
		}
	}
	if err := o.Start.Check(); err != nil {
		return err
	}
	before := o.Start
	for i, d := range o.Dates {
		if err := d.Check(); err != nil {
			return err
		}
		if d.Before(before) || i > 0 && d == before {
			return &DatesError{before, d}
		}
		before = d
	}
	return nil
}

// restDays is how many days of the week are days of rest.
func (o Options) restDays() int {
	n := 0
	for day := time.Sunday; day <= time.Saturday; day++ {
		if o.rests(day) {
			n++
		}
	}
	return n
}

func (o Options) rests(day time.Weekday) bool {
	for _, r := range o.Rest {
		if r == day {
			return true
		}
	}
	return false
}

// daily is the stitches of a day that is none of rest.
func (o Options) daily() float64 {
	working := 7 - o.restDays()
	return float64(o.Pace) * float64(working-o.Pause) / float64(working)
}

// meeting is a day itself, or the first after it that is none of rest.
func (o Options) meeting(d schedule.Date) schedule.Date {
	for o.rests(d.Weekday()) {
		d = d.Add(1)
	}
	return d
}

// between is the stitches of the days from one date up to another, which does
// not count.
func (o Options) between(from, to schedule.Date) float64 {
	sum := 0.
	for d := from; d.Before(to); d = d.Add(1) {
		if !o.rests(d.Weekday()) {
			sum += o.daily()
		}
	}
	return sum
}

// after is the first day, none of rest, before which so many stitches are
// worked from the start.
func (o Options) after(stitches float64) schedule.Date {
	d := o.meeting(o.Start)
	for stitches > slack {
		stitches -= o.daily()
		d = o.meeting(d.Add(1))
	}
	return d
}
