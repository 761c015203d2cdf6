package grade

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// gauges of thin, usual and thick yarn, with flat and tall rows.
var gauges = []gauge.Gauge{{Stitches: 14, Rows: 10}, {Stitches: 13, Rows: 10}, {Stitches: 20, Rows: 14}, {Stitches: 9.5, Rows: 6.5}, {Stitches: 27, Rows: 22}}

// sweep is every house pattern in every size of its tables at every gauge,
// made once for all tests.
var sweep = sync.OnceValues(func() ([]swept, error) {
	var all []swept
	var wrong []error
	for _, p := range pattern.House() {
		for _, g := range gauges {
			list, err := orders(p)
			if err != nil {
				return nil, err
			}
			for _, o := range list {
				o.Gauge = g
				name := fmt.Sprintf("%s %s %gx%g", p.Name, o.name, g.Stitches, g.Rows)
				made, err := Make(p, o.Order)
				if err != nil {
					wrong = append(wrong, fmt.Errorf("%s: %w", name, err))
					continue
				}
				all = append(all, swept{name, made, o.Order})
			}
		}
	}
	return all, errors.Join(wrong...)
})

type swept struct {
	name    string
	garment *Garment
	order   Order
}

func everyGarment(t *testing.T, visit func(t *testing.T, name string, g *Garment, o Order)) {
	t.Helper()
	all, err := sweep()
	if err != nil {
		t.Error(err)
	}
	for _, s := range all {
		visit(t, s.name, s.garment, s.order)
	}
}

type named struct {
	Order
	name  string
	table string
}

func orders(p *pattern.Pattern) ([]named, error) {
	var all []named
	for _, name := range p.Tables {
		table, err := sizing.Named(name)
		if err != nil {
			return nil, err
		}
		for _, size := range table.Sizes {
			c, err := table.Complete(size.Body())
			if err != nil {
				return nil, err
			}
			all = append(all, named{Order{Body: c.Body}, name + " " + size.Name, name})
		}
	}
	if len(p.Tables) == 0 {
		for _, part := range []float64{0.02, 0.1, 0.3, 0.6, 1} { // of the way from the least to the most that it takes
			o := Order{Asks: map[string]measure.Length{}}
			for _, a := range p.Asks {
				low, err := constant(a.Low)
				if err != nil {
					return nil, err
				}
				high, err := constant(a.High)
				if err != nil {
					return nil, err
				}
				o.Asks[a.Name] = measure.FromMM(low + (high-low)*part)
			}
			all = append(all, named{o, fmt.Sprintf("%g of the way", part), "asks"})
		}
	}
	return all, nil
}

func TestEveryHousePatternInEverySize(t *testing.T) {
	n := 0
	everyGarment(t, func(t *testing.T, name string, g *Garment, o Order) {
		n++
		for _, f := range g.Finished {
			if off := f.MM - f.Target; (off > f.Unit/2+slack || off < -f.Unit/2-slack) && len(f.Forced) == 0 {
				t.Errorf("%s: %s is %.1f mm off, and nothing says why", name, f.Name, off)
			}
			if len(f.Forced) > 0 {
				t.Logf("%s: %s is %.1f of %.1f mm for %v", name, f.Name, f.MM, f.Target, f.Forced)
			}
		}
	})
	t.Logf("%d garments", n)
}

func constant(f pattern.Formula) (float64, error) {
	return f.Value(func(string) (float64, bool) { return 0, false })
}
