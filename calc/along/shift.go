package along

import (
	"slices"

	"countwright/calc/schedule"
)

// Shift is how many days later than the group's a member's calendar is who
// joins on a day: as late as she came, to the nearest week, so that she has the
// same relaxed pace and meets on the same days of the week. Up to three days
// late are no shift, and none is early.
func Shift(start, joined schedule.Date) int {
	return max(0, (joined.Since(start)+3)/7*7)
}

// Shifted is milestones so many days later.
func Shifted(ms []Milestone, days int) []Milestone {
	out := slices.Clone(ms)
	for i := range out {
		out[i].Date = out[i].Date.Add(days)
	}
	return out
}
