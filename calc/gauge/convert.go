package gauge

import (
	"fmt"
	"math"

	"countwright/calc/measure"
)

// Multiple is the counts that a stitch pattern allows: "multiple of 6 + 2" is
// {6, 2}: 8, 14, 20 and so on. The zero value allows every count.
type Multiple struct {
	Of   int // zero or one allows every count
	Plus int // from 0; may exceed Of
}

// Check is nil for a multiple that makes sense, else a *RangeError.
func (m Multiple) Check() error {
	if err := check("as a multiple", float64(m.Of), 0, 1000); err != nil {
		return err
	}
	return check("added to a multiple", float64(m.Plus), 0, 1000)
}

// Fits says whether the count is one that the multiple allows.
func (m Multiple) Fits(count int) bool {
	return count >= m.least() && (count-m.Plus)%m.step() == 0
}

// Nearest is the allowed count that is nearest to a wanted one; of two equally
// near ones the larger. It is at least one repeat.
func (m Multiple) Nearest(wanted float64) int {
	repeats := math.Floor((wanted-float64(m.Plus))/float64(m.step()) + 0.5)
	return max(m.Plus+int(repeats)*m.step(), m.least())
}

// Step is how far neighbouring counts are apart.
func (m Multiple) step() int { return max(m.Of, 1) }

// least is the smallest count with something in it: the remainder alone is
// not a pattern repeat.
func (m Multiple) least() int {
	if m.Of <= 1 {
		return max(m.Plus, 1)
	}
	return m.Plus + m.Of
}

// String is the multiple as patterns write it: "multiple of 6 + 2".
func (m Multiple) String() string {
	switch {
	case m.Of <= 1:
		return "any count"
	case m.Plus == 0:
		return fmt.Sprintf("multiple of %d", m.Of)
	}
	return fmt.Sprintf("multiple of %d + %d", m.Of, m.Plus)
}

// Count is a whole number of stitches or rows and what it comes to.
type Count struct {
	Count     int
	Size      measure.Length // its width or height at the new gauge
	Deviation measure.Length // Size less the wanted size
}

// Converted is a count carried over to another gauge.
type Converted struct {
	Count                // the nearest that is allowed
	Wanted       float64 // the exact count, not rounded
	Target       measure.Length
	Below, Above *Count // the allowed neighbours; Below is nil if there is none
}

// MaxConvert is the highest count that can be carried over.
const MaxConvert = 1_000_000

// ConvertStitches carries a stitch count from one gauge to another, keeping
// the width. Errors are *RangeError.
func ConvertStitches(from, to Gauge, stitches int, m Multiple) (Converted, error) {
	if err := checkConvert(from, to, "stitches to convert", stitches, m); err != nil {
		return Converted{}, err
	}
	return convert(float64(stitches), from.Stitches, to.Stitches, m), nil
}

// ConvertRows carries a row count from one gauge to another, keeping the
// height. Errors are *RangeError.
func ConvertRows(from, to Gauge, rows int, m Multiple) (Converted, error) {
	if err := checkConvert(from, to, "rows to convert", rows, m); err != nil {
		return Converted{}, err
	}
	return convert(float64(rows), from.Rows, to.Rows, m), nil
}

func checkConvert(from, to Gauge, what string, count int, m Multiple) error {
	if err := from.Check(); err != nil {
		return err
	}
	if err := to.Check(); err != nil {
		return err
	}
	if err := m.Check(); err != nil {
		return err
	}
	return check(what, float64(count), 1, MaxConvert)
}

func convert(count, from, to float64, m Multiple) Converted {
	wanted := count * to / from
	target := measure.FromMM(count * 100 / from)
	at := func(n int) Count {
		size := measure.FromMM(float64(n) * 100 / to)
		return Count{Count: n, Size: size, Deviation: size - target}
	}
	nearest := m.Nearest(wanted)
	above := at(nearest + m.step())
	c := Converted{Count: at(nearest), Wanted: wanted, Target: target, Above: &above}
	if nearest-m.step() >= m.least() {
		below := at(nearest - m.step())
		c.Below = &below
	}
	return c
}
