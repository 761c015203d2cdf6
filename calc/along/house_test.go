package along

import (
	"fmt"
	"sync"
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
func houses(t testing.TB) [][]sized {
	t.Helper()
	all, err := everyHouse()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

var everyHouse = sync.OnceValues(func() ([][]sized, error) {
	var all [][]sized
	for _, p := range pattern.House() {
		var sizes []sized
		for i, finer := range []float64{1, 1.3, 0.8} {
			one, err := made(p, float64(i)/2, finer)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p.Name, err)
			}
			sizes = append(sizes, one)
		}
		all = append(all, sizes)
	}
	return all, nil
})

// made is a pattern at a size, from 0 for the smallest to 1 for the largest, at
// a gauge so much finer than its own.
func made(p *pattern.Pattern, size, finer float64) (sized, error) {
	o := grade.Order{Gauge: gauge.Gauge{Stitches: p.Gauge.Stitches * finer, Rows: p.Gauge.Rows * finer}}
	name := fmt.Sprintf("%s at %.3gx%.3g", p.Name, o.Gauge.Stitches, o.Gauge.Rows)
	if len(p.Tables) > 0 {
		table, err := sizing.Named(p.Tables[0])
		if err != nil {
			return sized{}, err
		}
		chosen := table.Sizes[int(size*float64(len(table.Sizes)-1))]
		c, err := table.Complete(chosen.Body())
		if err != nil {
			return sized{}, err
		}
		o.Body = c.Body
		name += " in " + chosen.Name
	}
	g, err := grade.Make(p, o)
	if err != nil {
		return sized{}, err
	}
	plan, err := pace.FromText(notation.Print(g.Written, notation.PrintOptions{Terms: notation.US}), notation.Options{Terms: notation.US}, 0, notation.US)
	return sized{name, plan}, err
}

// written is the plan of written rows in US terms.
func written(t testing.TB, text string) pace.Plan {
	t.Helper()
	p, err := pace.FromText(text, notation.Options{Terms: notation.US}, 0, notation.US)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Every house pattern, at every size, gets milestones: a garment several, a
// small thing a few.
func TestHousePatternsHaveMilestones(t *testing.T) {
	for _, list := range houses(t) {
		for _, h := range list {
			ms, err := Milestones(h.plan, Options{Start: start})
			if err != nil || len(ms) < fewest || len(ms) > most {
				t.Errorf("%s: %d milestones, %v", h.name, len(ms), err)
			}
			if _, stitches := total(h.plan); stitches < 1500 && len(ms) > 4 {
				t.Errorf("%s: %d milestones for %d stitches", h.name, len(ms), stitches)
			}
		}
	}
}
