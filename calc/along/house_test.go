package along

import (
	"fmt"
	"testing"
	"time"

	"countwright/calc/gauge"
	"countwright/calc/grade"
	"countwright/calc/notation"
	"countwright/calc/pace"
	"countwright/calc/pattern"
	"countwright/calc/schedule"
	"countwright/calc/sizing"
)

var start = schedule.Date{Year: 2027, Month: time.January, Day: 10} // a Sunday

// sized is a house pattern made at one size, pinned as a project is.
type sized struct {
	name string
	plan pace.Plan
}

// houses is every house pattern at its smallest, middle and largest size, each
// at a gauge of its own.
func houses(t testing.TB) map[string][]sized {
	t.Helper()
	out := map[string][]sized{}
	for _, p := range pattern.House() {
		for i, part := range []float64{0, 0.5, 1} {
			finer := []float64{1, 1.3, 0.8}[i]
			o := grade.Order{Gauge: gauge.Gauge{Stitches: p.Gauge.Stitches * finer, Rows: p.Gauge.Rows * finer}}
			name := fmt.Sprintf("%s at %gx%g", p.Name, o.Gauge.Stitches, o.Gauge.Rows)
			if len(p.Tables) > 0 {
				table, err := sizing.Named(p.Tables[0])
				if err != nil {
					t.Fatal(err)
				}
				size := table.Sizes[int(part*float64(len(table.Sizes)-1))]
				c, err := table.Complete(size.Body())
				if err != nil {
					t.Fatal(err)
				}
				o.Body = c.Body
				name += " " + size.Name
			}
			g, err := grade.Make(p, o)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			text := notation.Print(g.Written, notation.PrintOptions{Terms: notation.US})
			plan, err := pace.FromText(text, notation.Options{Terms: notation.US}, 0, notation.US)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			out[p.Name] = append(out[p.Name], sized{name, plan})
		}
	}
	return out
}


// Every house pattern, at every size, gets milestones.
func TestHousePatternsHaveMilestones(t *testing.T) {
	for _, list := range houses(t) {
		for _, h := range list {
			if ms, err := Milestones(h.plan, Options{Start: start}); err != nil || len(ms) < fewest || len(ms) > most {
				t.Errorf("%s: %d milestones, %v", h.name, len(ms), err)
			}
		}
	}
}
