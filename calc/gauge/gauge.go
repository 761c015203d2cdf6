// Package gauge holds how many stitches and rows a maker gets to a length, and
// what follows from it: the honest uncertainty of a swatch, what comes out when
// a pattern of one gauge is followed at another, and counts carried over from
// one gauge to another.
package gauge

import (
	"fmt"
	"math"
	"strconv"

	"countwright/calc/measure"
)

// Gauge is stitches and rows per 100 mm. (British patterns call it tension.)
type Gauge struct {
	Stitches, Rows float64
}

// Limits of a gauge, per 100 mm, both ends allowed: from rope on an arm to
// thread on the thinnest steel hook. Common practice, no source.
const (
	MinStitches, MaxStitches = 1, 80
	MinRows, MaxRows         = 1, 120
)

// span is the length that a Gauge counts over.
const span = 100 * measure.Millimetre

// RangeError says that a figure lies outside its limits.
type RangeError struct {
	What             string // what the figure is: "stitches in 10 cm"
	Value, Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %s: allowed are %s to %s", number(e.Value), e.What, number(e.Low), number(e.High))
}

// check is nil if the value lies from low to high; NaN never does.
func check(what string, value, low, high float64) error {
	if value >= low && value <= high {
		return nil
	}
	return &RangeError{What: what, Value: value, Low: low, High: high}
}

// Per is the gauge of so many stitches and rows over a length, checked.
func Per(stitches, rows float64, over measure.Length) (Gauge, error) {
	g := Gauge{stitches * float64(span) / float64(over), rows * float64(span) / float64(over)}
	return g, g.Check()
}

// Check is nil for a gauge within the limits, else a *RangeError.
func (g Gauge) Check() error {
	if err := check("stitches in 10 cm", g.Stitches, MinStitches, MaxStitches); err != nil {
		return err
	}
	return check("rows in 10 cm", g.Rows, MinRows, MaxRows)
}

// StitchWidth is the width of one stitch in millimetres.
func (g Gauge) StitchWidth() float64 { return 100 / g.Stitches }

// RowHeight is the height of one row in millimetres.
func (g Gauge) RowHeight() float64 { return 100 / g.Rows }

// StitchesIn is how many stitches make a length, before rounding.
func (g Gauge) StitchesIn(l measure.Length) float64 {
	return float64(l) * g.Stitches / float64(span)
}

// RowsIn is how many rows make a length, before rounding.
func (g Gauge) RowsIn(l measure.Length) float64 {
	return float64(l) * g.Rows / float64(span)
}

// Width is how wide so many stitches are.
func (g Gauge) Width(stitches float64) measure.Length {
	return measure.FromMM(stitches * 100 / g.Stitches)
}

// Height is how high so many rows are.
func (g Gauge) Height(rows float64) measure.Length {
	return measure.FromMM(rows * 100 / g.Rows)
}

// String is the gauge as Parse reads it: "14x10", with up to two decimals.
func (g Gauge) String() string { return number(g.Stitches) + "x" + number(g.Rows) }

// Text is the gauge in words: "14 sts and 10 rows in 10 cm", or in 4 in.
func (g Gauge) Text(u measure.Unit) string {
	over, per := "10 cm", 1.
	if u == measure.Inches {
		over, per = "4 in", float64(4*measure.Inch)/float64(span)
	}
	return fmt.Sprintf("%s sts and %s rows in %s", number(g.Stitches*per), number(g.Rows*per), over)
}

// number prints with up to two decimals.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}
