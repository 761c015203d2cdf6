package along_test

import (
	"fmt"
	"time"

	"countwright/calc/along"
	"countwright/calc/pace"
	"countwright/calc/schedule"
)

// A scarf of 4,000 stitches, for a group that meets on Saturdays.
func ExampleMilestones() {
	plan, _ := pace.Free("Scarf", 100, 40, 1)
	ms, err := along.Milestones(plan, along.Options{
		Start: schedule.Date{Year: 2027, Month: time.January, Day: 9},
		Every: 7, Pace: 200, Rest: []time.Weekday{time.Sunday},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range ms {
		fmt.Printf("%s: %s, %d stitches\n", m.Date.Short(), m.Title, m.Stitches)
	}
	// Output:
	// Sat 16 Jan: The first quarter of the scarf, 1000 stitches
	// Sat 23 Jan: The second quarter of the scarf, 1000 stitches
	// Sat 30 Jan: The third quarter of the scarf, 1000 stitches
	// Sat 6 Feb: The last quarter of the scarf, 1000 stitches
}

// A member whose rows are taller and fewer has the same milestones.
func ExampleAllTargets() {
	host, _ := pace.Free("Scarf", 100, 40, 1)
	member, _ := pace.Free("Scarf", 72, 33, 1)
	ms, _ := along.Milestones(host, along.Options{Start: schedule.Date{Year: 2027, Month: time.January, Day: 9}, Pace: 200})
	targets := along.AllTargets(member, ms)
	for i, m := range ms {
		fmt.Printf("%s: row %d\n", m.Title, targets[i][0].Rows)
	}
	reached, way := along.Progress([]int{45}, targets)
	fmt.Printf("after 45 rows: %d reached, %.0f %% of the way to the next\n", reached, way*100)
	// Output:
	// The first quarter of the scarf: row 18
	// The second quarter of the scarf: row 36
	// The third quarter of the scarf: row 54
	// The last quarter of the scarf: row 72
	// after 45 rows: 2 reached, 50 % of the way to the next
}

func ExampleShift() {
	start := schedule.Date{Year: 2027, Month: time.January, Day: 10}
	fmt.Println(along.Shift(start, start.Add(2)), along.Shift(start, start.Add(16)))
	// Output: 0 14
}
