package commands

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/calendar"
	"countwright/commands/words"
)

// mostMilestones is as many as a board can show.
const mostMilestones = 40

// with is the make-along with a milestone added, at the place that its date
// gives it.
func (m MakeAlong) with(stone along.Milestone, now time.Time, had []Post) (MakeAlong, int, error) {
	stones := m.Course.Milestones
	if len(stones) >= mostMilestones {
		return m, 0, &Mistake{Message: "there are %d milestones, and no more can be kept; take one out first", Args: []any{mostMilestones}, Example: "/makealong milestone n:1 remove:yes"}
	}
	at, taken := slices.BinarySearchFunc(stones, stone, func(a, b along.Milestone) int { return a.Date.Compare(b.Date) })
	if first := begun(had); at < first {
		return m, 0, dateMistake(stones[first-1].Date.Add(1), "“%s” was posted already, so a new milestone comes after it: from %s on", clip(stones[first-1].Title, 60), dayOn(stones[first-1].Date.Add(1)))
	}
	if taken {
		return m, 0, dateMistake(stone.Date.Add(1), "“%s” is on %s already; each milestone has a day of its own", clip(stones[at].Title, 60), dayOn(stone.Date))
	}
	stone.Key = 0
	m.Course = m.Course.keyed()
	m.Course.Milestones = slices.Insert(m.Course.Milestones, at, stone)
	m.Course = m.Course.keyed()
	m.Course.Texts = moved(m.Course.Texts, at, 1)
	return m, at, m.ordered(at, at, now)
}

// without is the make-along with a milestone taken out.
func (m MakeAlong) without(n int, had []Post) (MakeAlong, error) {
	stones := m.Course.Milestones
	switch {
	case n < 0 || n >= len(stones):
		return m, m.noMilestone(n)
	case n < begun(had):
		return m, Refused("“%s” was posted already, so it stays. Its title and note can still be changed.", stones[n].Title)
	case len(stones) == 1:
		return m, Refused("It is the only milestone, and a make-along needs one. Change it, or add another one first.")
	}
	m.Course = m.Course.keyed()
	if m.State != AlongDraft {
		gone := m.Course.Milestones[n]
		out := append(slices.Clone(m.Course.Out), along.Milestone{Title: gone.Title, Date: gone.Date, Key: gone.Key})
		m.Course.Out = out[max(0, len(out)-mostMilestones):]
	}
	m.Course.Milestones = slices.Delete(m.Course.Milestones, n, n+1)
	if n < len(m.Course.Milestones) { // its work belongs to the next one
		next := &m.Course.Milestones[n]
		if next.Stitches > 0 {
			next.Stitches += stones[n].Stitches
		}
		next.About = slices.Clone(next.About)
		for _, a := range stones[n].About {
			if !slices.Contains(next.About, a) {
				next.About = append(next.About, a)
			}
		}
	}
	m.Course.Texts = moved(m.Course.Texts, n, -1)
	return m, nil
}

// keyed is a course each of whose milestones has a key that none had before.
func (c Course) keyed() Course {
	c.Milestones = slices.Clone(c.Milestones)
	for i := range c.Milestones {
		if stone := &c.Milestones[i]; stone.Key == 0 {
			c.Keys++
			stone.Key = c.Keys
		}
	}
	return c
}

// entries are its milestones in a calendar, so many days later, each with a
// text of its own. Whatever a milestone's place, its key stays: calendars
// follow it, and strike out what was taken out.
func (c Course) entries(name string, shift int, text func(i int, stone along.Milestone) string) []calendar.Entry {
	var list []calendar.Entry
	c = c.keyed()
	for i, stone := range c.Milestones {
		list = append(list, calendar.Entry{Key: postKey(MilestonePost, stone.Key-1), Title: name + ": " + stone.Title, Text: text(i, stone), Date: stone.Date.Add(shift)})
	}
	for _, stone := range c.Out {
		list = append(list, calendar.Entry{Key: postKey(MilestonePost, stone.Key-1), Title: name + ": " + stone.Title, Date: stone.Date.Add(shift), Off: true})
	}
	return list
}

// put is the make-along with a milestone replaced, in its place.
func (m MakeAlong) put(n int, stone along.Milestone, now time.Time, had []Post) (MakeAlong, error) {
	stones := m.Course.Milestones
	if n < 0 || n >= len(stones) {
		return m, m.noMilestone(n)
	}
	stone.Key = stones[n].Key
	m.Course.Milestones = slices.Clone(stones)
	m.Course.Milestones[n] = stone
	if stone.Date == stones[n].Date {
		return m, nil
	}
	if n < settled(had) {
		return m, Refused("“%s” was posted already, so its date stays. Its title and note can still be changed.", stones[n].Title)
	}
	return m, m.ordered(n, n, now)
}

// later is the make-along with a milestone and all after it so many days later,
// or earlier where days is below 0.
func (m MakeAlong) later(n, days int, now time.Time, had []Post) (MakeAlong, error) {
	switch stones := m.Course.Milestones; {
	case n < 0 || n >= len(stones):
		return m, m.noMilestone(n)
	case n < settled(had):
		return m, Refused("“%s” was posted already, so its date stays.", stones[n].Title)
	}
	m.Course.Milestones = slices.Clone(m.Course.Milestones)
	for i := n; i < len(m.Course.Milestones); i++ {
		m.Course.Milestones[i].Date = m.Course.Milestones[i].Date.Add(days)
	}
	err := m.ordered(n, len(m.Course.Milestones)-1, now)
	var wrong *Mistake
	if errors.As(err, &wrong) {
		wrong.Option, wrong.Example = "by", "by:7"
	}
	return m, err
}

// ordered reports whether the dates of some milestones, from one to another,
// stand in order with those beside them, and are still to come.
func (m MakeAlong) ordered(from, to int, now time.Time) error {
	stones := m.Course.Milestones
	for i := from; i <= to; i++ {
		d := stones[i].Date
		switch {
		case d.Before(m.Course.Start):
			return dateMistake(m.Course.Start, "%s is before the start, %s", dayOn(d), dayOn(m.Course.Start))
		case m.State != AlongDraft && !schedule.At(d, m.Course.At, m.zone()).After(now):
			return dateMistake(m.today(now).Add(1), "%s at %s is past; a milestone that is still to be posted lies ahead", dayOn(d), m.Course.At)
		case d.Since(m.Course.Start) > along.MostDays:
			return dateMistake(m.Course.Start.Add(7), "%s is more than %d weeks after the start; that is as long as a make-along can be", dayOn(d), along.MostDays/7)
		case i > 0 && !stones[i-1].Date.Before(d):
			return dateMistake(stones[i-1].Date.Add(1), "%s is not after “%s”, %s; milestones keep their order, each on a day of its own", dayOn(d), clip(stones[i-1].Title, 60), dayOn(stones[i-1].Date))
		case i+1 < len(stones) && i == to && !d.Before(stones[i+1].Date):
			return dateMistake(stones[i+1].Date.Add(-1), "%s is not before “%s”, %s; by: moves it together with all that come after it", dayOn(d), clip(stones[i+1].Title, 60), dayOn(stones[i+1].Date))
		}
	}
	return nil
}

func dateMistake(example schedule.Date, message words.Key, args ...any) error {
	return &Mistake{Option: "date", Message: message, Args: args, Example: "date:" + example.String()}
}

func (m MakeAlong) noMilestone(n int) error {
	return &Mistake{Option: "n", Message: "there is no milestone %d; %s has 1 to %d", Args: []any{n + 1, m.Name, len(m.Course.Milestones)}, Example: "n:" + strconv.Itoa(len(m.Course.Milestones))}
}

// moved are the host's own texts after a milestone was put in at a place (by 1),
// or taken out there (by -1): they go with their milestones.
func moved(texts map[string]string, at, by int) map[string]string {
	out := map[string]string{}
	for key, text := range maps.All(texts) {
		kind, number, numbered := strings.Cut(key, "/")
		n, err := strconv.Atoi(number)
		switch {
		case !numbered || err != nil || n < at:
			out[key] = text
		case by < 0 && n == at:
		default:
			out[kind+"/"+strconv.Itoa(n+by)] = text
		}
	}
	return out
}
