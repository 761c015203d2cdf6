package measure

import (
	"math"
	"strconv"
)

// Text is the length as makers write it: centimetres to one decimal ("107 cm",
// "107.5 cm") or inches to the nearest eighth ("42 1/4 in"). A length that
// rounds to nothing is "0 cm" or "0 in".
func (l Length) Text(u Unit) string {
	if u == Inches {
		return eighths(l) + " in"
	}
	return decimal(l.In(Centimetres), 1) + " cm"
}

// Signed is Text with a plus sign before a positive length, for ease and
// deviations: "+5 cm", "-1/2 in", "0 cm".
func (l Length) Signed(u Unit) string {
	text := l.Text(u)
	if l <= 0 || text == Length(0).Text(u) {
		return text
	}
	return "+" + text
}

// Long is a long length, such as yarn's: whole metres or yards ("820 m",
// "897 yd").
func (l Length) Long(u Unit) string {
	if u == Inches {
		return decimal(float64(l)/float64(Yard), 0) + " yd"
	}
	return decimal(float64(l)/float64(Metre), 0) + " m"
}

// String is the length in centimetres, for logs and tests.
func (l Length) String() string { return l.Text(Centimetres) }

// decimal prints to that many decimals, without trailing zeros or "-0".
func decimal(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	v = math.Round(v*scale) / scale
	if v == 0 {
		v = 0 // no negative zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func eighths(l Length) string {
	n := int64(math.Round(l.In(Inches) * 8))
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part, of := n/8, n%8, int64(8)
	for part != 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	digits := func(v int64) string { return strconv.FormatInt(v, 10) }
	switch {
	case part == 0:
		return sign + digits(whole)
	case whole == 0:
		return sign + digits(part) + "/" + digits(of)
	}
	return sign + digits(whole) + " " + digits(part) + "/" + digits(of)
}
