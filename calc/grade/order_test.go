package grade

import (
	"fmt"
	"testing"

	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// TestBiggerBodyNeverGetsASmallerPiece makes each pattern in the sizes of each
// table one by one. A measurement that is to grow by a stitch or row does not
// shrink; one that is to stay may be a stitch or row less, where counts that
// hang on it make it so. (In a size run no count shrinks at all.)
func TestBiggerBodyNeverGetsASmallerPiece(t *testing.T) {
	for _, p := range pattern.House() {
		for _, name := range p.Tables {
			table, err := sizing.Named(name)
			if err != nil {
				t.Fatal(err)
			}
			for _, g := range gauges {
				var before *Garment
				for _, size := range table.Sizes {
					c, err := table.Complete(size.Body())
					if err != nil {
						t.Fatal(err)
					}
					made, err := Make(p, Order{Body: c.Body, Gauge: g})
					if err != nil {
						t.Fatalf("%s %s %s: %v", p.Name, name, size.Name, err)
					}
					if before != nil {
						compare(t, fmt.Sprintf("%s %s %s %gx%g", p.Name, name, size.Name, g.Stitches, g.Rows), before, made)
					}
					before = made
				}
			}
		}
	}
}

func compare(t *testing.T, name string, small, large *Garment) {
	t.Helper()
	for i, f := range small.Finished {
		grown, to, step := large.Finished[i], large.Finished[i].Target-f.Target, f.Unit
		if f.Name == "around the neck before the band" { // of a yoke of four panels, two and two alike
			step *= 2
		}
		if to >= step && grown.MM < f.MM-slack || to >= 0 && grown.MM < f.MM-step-slack {
			t.Errorf("%s: %s goes from %.1f to %.1f mm, though %.1f and %.1f are wanted", name, f.Name, f.MM, grown.MM, f.Target, grown.Target)
		}
	}
}
