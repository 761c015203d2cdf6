package spacing

import (
	"math"

	"countwright/calc/gauge"
	"countwright/calc/measure"
)

// Ratio is a rule for picking up: Pick stitches in every Every places.
type Ratio struct {
	Pick, Every int
	Stitches    int // what the rule makes on the whole edge, about
}

// Pickup is the stitches to pick up along an edge.
type Pickup struct {
	Stitches  int            // to pick up
	Exact     float64        // before rounding
	Over      int            // places along the edge: row ends or stitch tops; 0 for a bare length
	Length    measure.Length // of the edge
	Deviation measure.Length // how much longer the picked-up stitches lie than the edge
	Ratio     Ratio          // the rule; zero for a bare length
}

// RowEnds is the stitches to pick up along row ends: the edge's length times
// the stitch gauge of the edging. Errors are *LimitError and
// *gauge.RangeError.
func RowEnds(rows int, fabric, edging gauge.Gauge) (Pickup, error) {
	if err := checkEdge("row ends", rows, fabric, edging); err != nil {
		return Pickup{}, err
	}
	return pickup(rows, float64(rows)*edging.Stitches/fabric.Rows, fabric.Height(float64(rows)), edging), nil
}

// StitchTops is the stitches to pick up along the tops of stitches, or along a
// foundation. Errors are *LimitError and *gauge.RangeError.
func StitchTops(stitches int, fabric, edging gauge.Gauge) (Pickup, error) {
	if err := checkEdge("stitches", stitches, fabric, edging); err != nil {
		return Pickup{}, err
	}
	return pickup(stitches, float64(stitches)*edging.Stitches/fabric.Stitches, fabric.Width(float64(stitches)), edging), nil
}

// MaxEdge is the longest edge that is picked up along.
const MaxEdge = 100 * measure.Metre

// Along is the stitches to pick up along a length. Errors are
// *measure.RangeError and *gauge.RangeError.
func Along(length measure.Length, edging gauge.Gauge) (Pickup, error) {
	if err := edging.Check(); err != nil {
		return Pickup{}, err
	}
	if err := length.Check("edge", measure.Centimetre, MaxEdge); err != nil {
		return Pickup{}, err
	}
	return pickup(0, edging.StitchesIn(length), length, edging), nil
}

func checkEdge(what string, places int, fabric, edging gauge.Gauge) error {
	if err := fabric.Check(); err != nil {
		return err
	}
	if err := edging.Check(); err != nil {
		return err
	}
	return limit(what, places, 1, Most, "")
}

func pickup(over int, exact float64, length measure.Length, edging gauge.Gauge) Pickup {
	p := Pickup{Stitches: max(int(math.Round(exact)), 1), Exact: exact, Over: over, Length: length}
	p.Deviation = edging.Width(float64(p.Stitches)) - length
	if over > 0 {
		p.Ratio = ratio(exact, over)
	}
	return p
}

// A rule of thumb is short: over no more than longestRule places, and good
// enough when off by closeRule of the exact rate. Common practice, no source.
const (
	longestRule = 12
	closeRule   = 0.02
)

// ratio is the shortest rule that is close to the exact rate, else the closest
// one.
func ratio(exact float64, over int) Ratio {
	rate := exact / float64(over)
	var best Ratio
	nearest := math.Inf(1)
	for every := 1; every <= min(longestRule, over); every++ {
		pick := max(int(math.Round(rate*float64(every))), 1)
		off := math.Abs(float64(pick)/float64(every)/rate - 1)
		if off < nearest-1e-9 {
			nearest = off
			best = Ratio{pick, every, int(math.Round(float64(over) * float64(pick) / float64(every)))}
		}
		if nearest <= closeRule {
			break
		}
	}
	return best
}

// Spread is how many stitches go into each place along the edge, in order:
// mostly 1, 0 where a place is skipped. It is nil for a bare length.
func (p Pickup) Spread() []int {
	if p.Over == 0 {
		return nil
	}
	into := make([]int, p.Over)
	if p.Stitches < p.Over { // spread what is skipped, so that skips are even
		for i := range into {
			into[i] = 1
		}
		for _, at := range spread(p.Over, p.Over-p.Stitches, Row) {
			into[at-1] = 0
		}
		return into
	}
	for _, at := range spread(p.Over, p.Stitches, Row) {
		into[at-1]++
	}
	return into
}
