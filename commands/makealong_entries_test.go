package commands

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/calendar"
)

// Whoever takes in a make-along's calendar file again after its milestones were
// added, moved and taken out has each of them once, on its own day, and what was
// taken out is struck out. Read back with an iCalendar reader of others.
func TestCalendarsFollow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := opened(schedule.Date{Year: 2027, Month: 1, Day: 3}, "Europe/Lisbon", 18*60, schedule.Date{Year: 2027, Month: 1, Day: 10}, schedule.Date{Year: 2027, Month: 1, Day: 24})
		for i := range m.Course.Milestones {
			m.Course.Milestones[i].Title = fmt.Sprint("first ", i)
		}
		if rapid.Bool().Draw(t, "made now") { // those made before keys were given have none
			m.Course = m.Course.keyed()
		}
		now := schedule.At(m.Course.Start, 0, m.zone())
		shift := rapid.SampledFrom([]int{0, 7}).Draw(t, "shift")
		theirs := map[string][2]string{} // a calendar that follows: by UID, the title and the day
		for i := range rapid.IntRange(1, 15).Draw(t, "edits") {
			m.follow(t, shift, theirs)
			n := rapid.IntRange(0, len(m.Course.Milestones)-1).Draw(t, "n")
			next, err := m, error(nil)
			switch rapid.IntRange(0, 3).Draw(t, fmt.Sprint("edit ", i)) {
			case 0:
				date := m.Course.Start.Add(rapid.IntRange(0, 120).Draw(t, "day"))
				next, _, err = m.with(along.Milestone{Title: fmt.Sprint("added ", i), Date: date}, now, nil)
			case 1:
				next, err = m.without(n, nil)
			case 2:
				other := m.Course.Milestones[n]
				other.Title, other.Key = fmt.Sprint("changed ", i), 99
				next, err = m.put(n, other, now, nil)
			case 3:
				next, err = m.later(n, rapid.IntRange(1, 20).Draw(t, "by"), now, nil)
			}
			if err == nil {
				m = next
			}
		}
		m.follow(t, shift, theirs)
		if len(theirs) != len(m.Course.Milestones) {
			t.Fatalf("a calendar has %v of %+v", theirs, m.Course.Milestones)
		}
		for _, stone := range m.Course.Milestones {
			found := false
			for _, has := range theirs {
				found = found || has == [2]string{"Harbour: " + stone.Title, stone.Date.Add(shift).String()}
			}
			if !found {
				t.Fatalf("%+v is not in %v", stone, theirs)
			}
		}
	})
}

// follow takes a make-along's file in as calendars do.
func (m MakeAlong) follow(t *rapid.T, shift int, theirs map[string][2]string) {
	entries := m.Course.entries("Harbour", shift, func(int, along.Milestone) string { return "" })
	body, err := calendar.File(calendar.Plan{Name: "Harbour", UID: "harbour", Entries: entries, Made: time.Unix(0, 0).UTC()})
	if err != nil {
		t.Fatalf("%+v: %v", m.Course, err)
	}
	cal, err := ics.ParseCalendar(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range cal.Events() {
		if e.GetProperty(ics.ComponentPropertyStatus).Value == string(ics.ObjectStatusCancelled) {
			delete(theirs, e.Id())
			continue
		}
		day, err := e.GetAllDayStartAt()
		if err != nil {
			t.Fatal(err)
		}
		theirs[e.Id()] = [2]string{e.GetProperty(ics.ComponentPropertySummary).Value, schedule.DateOf(day, time.UTC).String()}
	}
}
