// Package yarn holds the weight classes of yarn with their published ranges,
// yarn counts, how much yarn a piece takes, and whether there is enough.
package yarn

import (
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"countwright/calc/entry"
)

// Range is a published range. A zero Low means "and fewer", a zero High "and
// more".
type Range struct {
	Low, High float64
}

// Holds says whether the value lies in the range, ends included.
func (r Range) Holds(v float64) bool { return r.Off(v) == 0 }

// Off is how far a value lies outside: 0 within, positive above, negative
// below.
func (r Range) Off(v float64) float64 {
	switch {
	case v < r.Low:
		return v - r.Low
	case r.High != 0 && v > r.High:
		return v - r.High
	}
	return 0
}

// Middle is halfway between the ends; of an open range its end.
func (r Range) Middle() float64 {
	switch {
	case r.High == 0:
		return r.Low
	case r.Low == 0:
		return r.High
	}
	return (r.Low + r.High) / 2
}

// String is the range as tables print it: "12-17", "5 and fewer".
func (r Range) String() string {
	n := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	switch {
	case r.High == 0:
		return n(r.Low) + " and more"
	case r.Low == 0:
		return n(r.High) + " and fewer"
	}
	return n(r.Low) + "-" + n(r.High)
}

// Class is a weight class of yarn.
// Source: weight.toml names the source of each column.
type Class struct {
	Number  int
	Name    string
	Types   []string // trade names of such yarns
	Stitch  string   // the stitch, in US terms, that Crochet is counted in: sc, for class 0 dc
	Crochet Range    // stitches in 10 cm
	Knit    Range    // knitted stitches in 10 cm, stocking stitch
	Hook    Range    // millimetres
	Metres  Range    // in 100 g
	Wraps   Range    // to the inch
}

// trade is a British or Australian trade name.
type trade struct {
	Name    string
	Aliases []string
	Class   int
	Also    []int
	Metres  Range
}

//go:embed weight.toml
var weightFile []byte

type weights struct {
	Weight []Class
	Trade  []trade
}

var load = sync.OnceValue(func() weights {
	var w weights
	if err := entry.Decode("weight.toml", weightFile, &w); err != nil {
		panic(err)
	}
	return w
})

// Classes is every class, from lace to jumbo. They are shared: don't change
// their lists.
func Classes() []Class { return slices.Clone(load().Weight) }

// Match is a class that a figure points to.
type Match struct {
	Class
	Off float64 // how far the figure lies outside the class's range; 0 within
}

// RangeError says that a figure lies outside its limits.
type RangeError struct {
	What             string // "wraps to the inch"
	Value, Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%v %s: allowed are %v to %v", e.Value, e.What, e.Low, e.High)
}

func check(what string, value, low, high float64) error {
	if value >= low && value <= high {
		return nil
	}
	return &RangeError{what, value, low, high}
}

// ByGauge is the classes whose published range holds a count of single crochet
// (US) in 10 cm, rounded to a quarter of a stitch. The ranges overlap, so there
// can be two; in the gap between two classes, or beyond the last, it is the
// nearest one with Off. Class 0 is stated in double crochet and stands for
// anything finer than class 1. The error is a *RangeError.
func ByGauge(scInTen float64) ([]Match, error) {
	if err := check("sc in 10 cm", scInTen, 1, 80); err != nil {
		return nil, err
	}
	return matches(math.Round(scInTen*4)/4, func(c Class) Range {
		if c.Number == 0 {
			return Range{Low: load().Weight[1].Crochet.High + 0.25}
		}
		return c.Crochet
	}), nil
}

// ByWraps is the classes of a count of wraps to the inch, as ByGauge.
func ByWraps(wraps float64) ([]Match, error) {
	if err := check("wraps to the inch", wraps, 1, 100); err != nil {
		return nil, err
	}
	return matches(wraps, func(c Class) Range { return c.Wraps }), nil
}

// ByLength is the classes of so many metres in 100 g, as ByGauge.
func ByLength(metresIn100g float64) ([]Match, error) {
	if err := check("m in 100 g", metresIn100g, 5, 5000); err != nil {
		return nil, err
	}
	return matches(metresIn100g, func(c Class) Range { return c.Metres }), nil
}

// matches is the classes that hold a value, else the nearest.
func matches(v float64, column func(Class) Range) []Match {
	var best []Match
	least := math.Inf(1)
	for _, c := range load().Weight {
		m := Match{c, column(c).Off(v)}
		if off := math.Abs(m.Off); off < least {
			best, least = []Match{m}, off
		} else if off == least {
			best = append(best, m)
		}
	}
	return best
}

// NameError says that no yarn goes by a name.
type NameError struct{ Name string }

func (e *NameError) Error() string {
	return fmt.Sprintf("no yarn weight is called %q; for example DK, 4 ply, worsted, or 3", e.Name)
}

// ByName is the classes that go by a name: "DK", "worsted", "4 ply", "aran",
// "3", "bulky". Trade names are loose, so there can be several. The error is a
// *NameError.
func ByName(name string) ([]Class, error) {
	key := plain(name)
	found := map[int]bool{}
	for _, c := range load().Weight {
		for _, known := range append([]string{c.Name, strconv.Itoa(c.Number), "class " + strconv.Itoa(c.Number)}, c.Types...) {
			found[c.Number] = found[c.Number] || plain(known) == key
		}
	}
	for _, t := range load().Trade {
		for _, known := range append([]string{t.Name}, t.Aliases...) {
			if plain(known) == key {
				for _, number := range append([]int{t.Class}, t.Also...) {
					found[number] = true
				}
			}
		}
	}
	var classes []Class
	for _, c := range load().Weight {
		if found[c.Number] {
			classes = append(classes, c)
		}
	}
	if classes == nil {
		return nil, &NameError{name}
	}
	return classes, nil
}

// TradeNames is the British and Australian names of a class's yarns.
func (c Class) TradeNames() []string {
	var names []string
	for _, t := range load().Trade {
		if t.Class == c.Number || slices.Contains(t.Also, c.Number) {
			names = append(names, t.Name)
		}
	}
	return names
}

// Names is every name that ByName knows, for suggestions, in order of the
// alphabet.
func Names() []string {
	seen := map[string]string{}
	add := func(names ...string) {
		for _, n := range names {
			if _, known := seen[plain(n)]; !known {
				seen[plain(n)] = n
			}
		}
	}
	for _, c := range load().Weight {
		add(c.Name)
		add(c.Types...)
	}
	for _, t := range load().Trade {
		add(t.Name)
		add(t.Aliases...)
	}
	names := make([]string, 0, len(seen))
	for _, n := range seen {
		names = append(names, n)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a), strings.ToLower(b)), cmp.Compare(a, b))
	})
	return names
}

// plain is a name without capitals, spaces and marks, for comparing.
func plain(name string) string {
	key := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
	return strings.TrimSuffix(key, "weight")
}
