package yarn

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"countwright/calc/measure"
)

// System is a system of yarn counts.
// Source: ISO 1144 and ASTM D861, definitions from memory.
type System string

const (
	Tex     System = "tex"  // grams of 1000 m
	Dtex    System = "dtex" // grams of 10 000 m
	Denier  System = "den"  // grams of 9000 m
	Metric  System = "Nm"   // metres of 1 g
	Cotton  System = "Ne"   // hanks of 840 yd in 1 lb
	Worsted System = "Nw"   // hanks of 560 yd in 1 lb
	Woollen System = "Ny"   // runs of 1600 yd in 1 lb
)

// Count is a yarn count: so many plies of one single.
type Count struct {
	System System
	Single float64 // the count of one single
	Plies  int     // 1 if not said
	// Assumed says that the order of plies and single was told by their size,
	// for countries write it either way.
	Assumed bool
}

var systems = map[string]System{
	"tex": Tex, "dtex": Dtex, "den": Denier, "denier": Denier, "td": Denier, "nm": Metric,
	"ne": Cotton, "nec": Cotton, "neb": Cotton, "nw": Worsted, "new": Worsted, "ny": Woollen,
}

// poundPerYard turns yards in a pound into tex: grams of 1000 m.
const poundPerYard = measure.Pound * 1000 / 0.9144

// hank is the yards of a hank of the English systems.
var hank = map[System]float64{Cotton: 840, Worsted: 560, Woollen: 1600}

// Tex is the resultant count in tex, grams of 1000 m.
func (c Count) Tex() float64 {
	plies := float64(c.Plies)
	switch c.System {
	case Tex:
		return c.Single * plies
	case Dtex:
		return c.Single * plies / 10
	case Denier:
		return c.Single * plies / 9
	case Metric:
		return 1000 / c.Single * plies
	}
	return poundPerYard / (hank[c.System] * c.Single) * plies
}

// MetresIn100g is the length of 100 g.
func (c Count) MetresIn100g() float64 { return 100_000 / c.Tex() }

const countExample = "Nm 2/28 or 250 tex"

// ParseCount reads a yarn count: "Nm 2/28", "250 tex", "Ne 20/2", "2250 den",
// "Nm 4". Of a pair the smaller number is taken for the plies, and the count
// marked as assumed. Errors are *measure.ParseError and *RangeError.
func ParseCount(text string) (Count, error) {
	fail := func(at int, reason string) (Count, error) {
		column := utf8.RuneCountInString(text[:at]) + 1
		return Count{}, &measure.ParseError{Text: text, Column: column, Reason: reason, Example: countExample}
	}
	if len(text) > 40 {
		text = strings.ToValidUTF8(text[:40], "")
		return fail(0, "too long for a yarn count")
	}
	letters := strings.ToLower(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, text))
	system, known := systems[letters]
	if !known {
		return fail(0, "a system is needed: tex, dtex, den, Nm, Ne, Nw or Ny")
	}
	start := strings.IndexAny(text, "0123456789")
	if start < 0 {
		return fail(len(text), "expected a number")
	}
	value, size, err := measure.Number(text[start:])
	if err != nil {
		return fail(start, "expected a number")
	}
	c := Count{System: system, Single: value, Plies: 1}
	rest := strings.TrimSpace(text[start+size:])
	if second, found := strings.CutPrefix(rest, "/"); found {
		other, _, err := measure.Number(second)
		if err != nil {
			return fail(len(text)-len(second), "expected a number after the stroke")
		}
		plies := min(value, other)
		if plies != float64(int(plies)) {
			return fail(start, "plies must be a whole number")
		}
		c = Count{System: system, Single: max(value, other), Plies: int(plies), Assumed: true}
	}
	if err := check("plies", float64(c.Plies), 1, 100); err != nil {
		return Count{}, err
	}
	if err := check(fmt.Sprintf("as a count in %s", system), c.Single, 0.01, 1e6); err != nil {
		return Count{}, err
	}
	return c, nil
}
