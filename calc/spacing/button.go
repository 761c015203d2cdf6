package spacing

import (
	"math"

	"countwright/calc/gauge"
	"countwright/calc/measure"
)

// Band is an edge that is to take buttonholes.
type Band struct {
	Stitches int // of the edge
	Buttons  int
	Diameter measure.Length // of a button
	Gauge    gauge.Gauge    // of the band; only its stitches matter
	Margin   measure.Length // kept at each end; zero means not said: Margin
}

// Margin is what a band keeps at each end where nothing is said; makers leave
// 1 to 2.5 cm, and Far is the upper of these. MinGap is the stitches that must
// stay between two holes. Common practice, no source.
const (
	Margin = 15 * measure.Millimetre
	Far    = 25 * measure.Millimetre
	MinGap = 2
)

// Limits of a button's diameter. Common practice, no source.
const (
	MinButton = 4 * measure.Millimetre
	MaxButton = 10 * measure.Centimetre
)

// Hole is one buttonhole.
type Hole struct {
	First int // the first stitch that is skipped, from 1
	Width int // stitches skipped, and chains made over them
}

// Holes is the buttonholes of a band.
type Holes struct {
	Band
	Holes     []Hole
	Hole      int            // width of each in stitches
	Width     measure.Length // the same as a length
	Gaps      []int          // stitches between neighbouring holes
	Before    int            // stitches before the first hole
	After     int            // stitches after the last
	Symmetric bool           // the band is its own mirror image
}

// Buttonholes spreads buttonholes over the band: equal gaps where the ends can
// take up what is left over, else gaps that differ by one stitch, as symmetric
// as arithmetic permits; a single one in the middle.
// A hole is as wide as the button, to the nearest stitch. Errors are
// *FitError, *LimitError, *measure.RangeError and *gauge.RangeError.
func Buttonholes(b Band) (Holes, error) {
	if err := limit("stitches", b.Stitches, 1, Most, ""); err != nil {
		return Holes{}, err
	}
	if err := limit("buttons", b.Buttons, 1, 1000, ""); err != nil {
		return Holes{}, err
	}
	if err := b.Diameter.Check("button", MinButton, MaxButton); err != nil {
		return Holes{}, err
	}
	if err := b.Gauge.Check(); err != nil {
		return Holes{}, err
	}
	if b.Margin == 0 {
		b.Margin = Margin
	}
	if err := b.Margin.Check("margin", 0, measure.Metre); err != nil {
		return Holes{}, err
	}
	hole := max(int(math.Ceil(b.Gauge.StitchesIn(b.Diameter)-0.5)), 1)
	margin := max(int(math.Round(b.Gauge.StitchesIn(b.Margin))), 1)
	room := b.Stitches - 2*margin
	if need := b.Buttons*hole + (b.Buttons-1)*MinGap; need > room {
		most := max(0, (room+MinGap)/(hole+MinGap))
		return Holes{}, &FitError{b.Buttons, most, b.Stitches, hole, margin}
	}
	return b.lay(hole, margin), nil
}

func (b Band) lay(hole, margin int) Holes {
	h := Holes{Band: b, Hole: hole, Width: b.Gauge.Width(float64(hole)), Before: margin}
	if b.Buttons == 1 {
		h.Before = (b.Stitches - hole) / 2
	} else {
		gaps := b.Buttons - 1
		free := b.Stitches - 2*margin - b.Buttons*hole
		if over := free % gaps; b.mayMove(margin, over) {
			h.Before += over / 2
			free -= over
		}
		h.Gaps = make([]int, gaps)
		for _, at := range spread(gaps, free, Row) {
			h.Gaps[at-1]++
		}
	}
	next := h.Before + 1
	for i := range b.Buttons {
		h.Holes = append(h.Holes, Hole{next, hole})
		next += hole
		if i < len(h.Gaps) {
			next += h.Gaps[i]
		}
	}
	h.After = b.Stitches - next + 1
	h.Symmetric = h.Before == h.After
	for i := range h.Gaps {
		h.Symmetric = h.Symmetric && h.Gaps[i] == h.Gaps[len(h.Gaps)-1-i]
	}
	return h
}

// mayMove says whether the stitches that equal gaps leave over can go to the
// ends: the first and last hole then stay within Far of them, or within one
// stitch of the margin asked for.
func (b Band) mayMove(margin, over int) bool {
	more := (over + 1) / 2
	return more <= 1 || b.Gauge.Width(float64(margin+more)) <= Far
}
