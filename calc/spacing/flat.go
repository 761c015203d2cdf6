package spacing

import (
	"math"

	"countwright/calc/gauge"
)

// Flat is what keeps a round flat: the circumference grows by 2π row heights a
// round.
type Flat struct {
	Exact     float64 // stitches to add each round: 2π × row height / stitch width
	Increases int     // to the nearest whole stitch
	Excess    float64 // percent too many (ruffles) or, negative, too few (cups)
}

// FlatRound is the increases of a flat round at a gauge. The error is a
// *gauge.RangeError.
func FlatRound(g gauge.Gauge) (Flat, error) {
	if err := g.Check(); err != nil {
		return Flat{}, err
	}
	f := Flat{Exact: 2 * math.Pi * g.RowHeight() / g.StitchWidth()}
	f.Increases = max(int(math.Round(f.Exact)), 1)
	f.Excess = (float64(f.Increases)/f.Exact - 1) * 100
	return f, nil
}

// Total is the stitches of the n-th round that lies exactly flat, to the
// nearest whole stitch.
func (f Flat) Total(n int) int { return int(math.Round(f.Exact * float64(n))) }
