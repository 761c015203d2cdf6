package grade

import (
	"math"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// What the same counts measure at another gauge. By hand: twice the stitches
// to a length halve what is stitches wide, and leave what is rows tall.
func TestFinishedAtAnotherGauge(t *testing.T) {
	p, ok := pattern.Find("hat")
	if !ok {
		t.Fatal("no hat")
	}
	made := gauge.Gauge{Stitches: 14, Rows: 10}
	g, err := Make(p, Order{Body: sizing.Body{sizing.Head: 56 * measure.Centimetre}, Gauge: made})
	if err != nil {
		t.Fatal(err)
	}
	wide, tall := false, false
	for _, f := range g.Finished {
		for _, c := range []struct {
			other gauge.Gauge
			want  float64
		}{
			{made, f.MM},
			{gauge.Gauge{Stitches: 28, Rows: 20}, f.MM / 2},
			{gauge.Gauge{Stitches: 28, Rows: 10}, f.MM - f.Across/2},
			{gauge.Gauge{Stitches: 14, Rows: 20}, f.Across + (f.MM-f.Across)/2},
		} {
			if got := f.At(made, c.other); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("%s at %v: %.3f mm, want %.3f", f.Name, c.other, got, c.want)
			}
		}
		if f.Across < 0 || f.Across > f.MM+1e-9 {
			t.Errorf("%s: %.1f of %.1f mm across", f.Name, f.Across, f.MM)
		}
		wide, tall = wide || f.Across == f.MM, tall || f.Across < f.MM
	}
	if !wide || !tall {
		t.Errorf("a hat is both around and tall; measured are %+v", g.Finished)
	}
}
