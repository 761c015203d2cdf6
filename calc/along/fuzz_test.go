package along

import (
	"testing"

	"countwright/calc/notation"
	"countwright/calc/pace"
)

// FuzzMilestones: whatever rows and rhythm come, either an error is told or the
// milestones hold all stitches, in order.
func FuzzMilestones(f *testing.F) {
	f.Add(jacket, 100, 0, 0)
	f.Add(jacket, 0, 7, 1)
	f.Add("A (make 90)\nRow 1: Ch 1, sc in next 1 st, turn. (1 st)\n\nB\nRow 2: Sc in next st. (1 st)", 20, 1, 0)
	f.Add("Left x\nRow 1: Sc in next 3 sts. (3 sts)\n\nRight x\n\nLeft x\nRow 2: Sc in next 3 sts.", 20, 92, 6)
	f.Fuzz(func(t *testing.T, text string, daily, every, pause int) {
		plan, err := pace.FromText(text, notation.Options{}, 0, notation.US)
		if err != nil {
			return
		}
		ms, err := Milestones(plan, Options{Start: start, Pace: daily, Every: every, Pause: pause})
		if err != nil {
			return
		}
		_, want := total(plan)
		sum := 0
		for i, m := range ms {
			sum += m.Stitches
			if m.Title == "" || i > 0 && !ms[i-1].Date.Before(m.Date) {
				t.Fatalf("%+v", ms)
			}
		}
		if sum != want {
			t.Fatalf("%d stitches of %d", sum, want)
		}
		done := make([]int, len(plan.Pieces()))
		for i, piece := range plan.Pieces() {
			done[i] = len(piece.Rows)
		}
		for i, targets := range AllTargets(plan, ms) {
			if len(ms[i].Goals) > 0 && !Reached(done, targets) {
				t.Fatalf("%q is out of reach: %v of %v", ms[i].Title, targets, done)
			}
		}
	})
}
