package gauge

import (
	"math"

	"countwright/calc/measure"
)

// Outcome is what one finished measurement becomes at another gauge.
type Outcome struct {
	Planned measure.Length // what the pattern promises
	Comes   measure.Length // what comes out
	Percent float64        // how much larger (+) or smaller (−) it comes out
}

// Deviation is what comes out less what was planned.
func (o Outcome) Deviation() measure.Length { return o.Comes - o.Planned }

// Advice says what to do about a gauge that differs from the pattern's.
type Advice uint8

const (
	Keep       Advice = iota // both agree within Close: follow the pattern
	LargerHook               // too many stitches: work looser, try a larger hook
	SmallerHook
	AdjustRows     // stitches agree, rows don't: work to lengths, not to row counts
	AdjustStitches // rows agree, stitches don't: convert the stitch counts
	ConvertCounts  // stitches and rows differ in opposite ways, or too far for a hook
)

// Close and Far bound what a change of hook mends, as parts of the gauge: a
// difference below Close vanishes in the measuring, one above Far asks for
// converted counts or another yarn. Common practice, no source.
const (
	Close = 0.02
	Far   = 0.15
)

// Followed is what comes out when a pattern is followed as written.
type Followed struct {
	Width, Length Outcome
	// Stitches and Rows are how many more (+) or fewer (−) the maker has to
	// the same length, as a part of the pattern's: 0.1 is ten in a hundred.
	Stitches, Rows float64
	Advice         Advice
}

// MaxFinished is the largest finished measurement that is followed.
const MaxFinished = 20 * measure.Metre

// Follow is what comes out when a pattern written at theirs is followed at
// mine. A zero width or length means not asked, and its outcome is zero in
// lengths; the percent holds all the same. Errors are *RangeError and
// *measure.RangeError.
func Follow(theirs, mine Gauge, width, length measure.Length) (Followed, error) {
	if err := theirs.Check(); err != nil {
		return Followed{}, err
	}
	if err := mine.Check(); err != nil {
		return Followed{}, err
	}
	if err := width.Check("width", 0, MaxFinished); err != nil {
		return Followed{}, err
	}
	if err := length.Check("length", 0, MaxFinished); err != nil {
		return Followed{}, err
	}
	f := Followed{
		Width:    outcome(width, theirs.Stitches/mine.Stitches),
		Length:   outcome(length, theirs.Rows/mine.Rows),
		Stitches: mine.Stitches/theirs.Stitches - 1,
		Rows:     mine.Rows/theirs.Rows - 1,
	}
	f.Advice = advise(f.Stitches, f.Rows)
	return f, nil
}

func outcome(planned measure.Length, factor float64) Outcome {
	return Outcome{Planned: planned, Comes: planned.Scale(factor), Percent: (factor - 1) * 100}
}

func advise(stitches, rows float64) Advice {
	near := func(v float64) bool { return math.Abs(v) <= Close }
	switch {
	case near(stitches) && near(rows):
		return Keep
	case near(stitches):
		return AdjustRows
	case math.Abs(stitches) > Far || math.Abs(rows) > Far:
		return ConvertCounts
	case near(rows):
		return AdjustStitches
	case stitches > 0 && rows > 0:
		return LargerHook
	case stitches < 0 && rows < 0:
		return SmallerHook
	}
	return ConvertCounts
}
