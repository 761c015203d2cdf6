// Package measure holds lengths and weights as makers write them: "42 1/2 in",
// "107,5 cm", `3'6"`, "50 g". A length is a whole number of nanometres, so that
// millimetres, inches and 64ths of an inch are all exact.
package measure

import "math"

// Length is a distance in nanometres. It may be negative (ease) and reaches
// beyond nine million kilometres either way.
type Length int64

// The units of length. An inch is 25.4 mm exactly, a yard 36 in.
// Source: international yard and pound agreement, 1959.
const (
	Nanometre  Length = 1
	Millimetre Length = 1_000_000
	Centimetre Length = 10 * Millimetre
	Metre      Length = 100 * Centimetre
	Inch       Length = 25_400_000
	Foot       Length = 12 * Inch
	Yard       Length = 3 * Foot
)

// Unit is the system in which a member reads and writes lengths.
type Unit uint8

const (
	Centimetres Unit = iota // centimetres; metres for long lengths. The zero value.
	Inches                  // inches with fractions; yards for long lengths
)

// Length is the size of one of the unit: a centimetre or an inch.
func (u Unit) Length() Length {
	if u == Inches {
		return Inch
	}
	return Centimetre
}

// String is the unit's name as makers abbreviate it: "cm" or "in".
func (u Unit) String() string {
	if u == Inches {
		return "in"
	}
	return "cm"
}

// FromMM is the length of that many millimetres, to the nearest nanometre.
// What does not fit saturates; NaN is zero.
func FromMM(mm float64) Length { return round(mm * float64(Millimetre)) }

// Of is the length of that many centimetres or inches, rounded as by FromMM.
func Of(value float64, u Unit) Length { return round(value * float64(u.Length())) }

func round(nm float64) Length {
	switch {
	case math.IsNaN(nm):
		return 0
	case nm >= math.MaxInt64:
		return math.MaxInt64
	case nm <= -math.MaxInt64:
		return -math.MaxInt64
	}
	return Length(math.Round(nm))
}

// MM is the length in millimetres.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// In is the length in centimetres or inches.
func (l Length) In(u Unit) float64 { return float64(l) / float64(u.Length()) }

// Scale is the length times a factor, to the nearest nanometre, saturating.
func (l Length) Scale(factor float64) Length { return round(float64(l) * factor) }

// Abs is the length without its sign.
func (l Length) Abs() Length {
	if l < 0 {
		return -l
	}
	return l
}

// Check is nil if the length lies from low to high, else a *RangeError that
// names the thing measured ("chest").
func (l Length) Check(what string, low, high Length) error {
	if l < low || l > high {
		return &RangeError{What: what, Length: l, Low: low, High: high}
	}
	return nil
}
