// Package care holds the care symbols of textiles and what each fibre usually
// bears. A yarn's own label always wins.
package care

import (
	_ "embed"
	"fmt"
	"slices"
	"sync"

	"countwright/calc/entry"
)

// Group is one of the shapes that a care label is made of, in the order of
// the standard; drying has two, by machine and in the air.
type Group string

// The groups, in the order of a label.
const (
	Wash         Group = "wash"         // a tub
	Bleach       Group = "bleach"       // a triangle
	Tumble       Group = "tumble"       // a square with a circle
	Dry          Group = "dry"          // a square with lines
	Iron         Group = "iron"         // an iron
	Professional Group = "professional" // a circle
)

// Groups is every group in the order of a label.
func Groups() []Group { return []Group{Wash, Bleach, Tumble, Dry, Iron, Professional} }

// Symbol is one care symbol: what it means and what it is drawn of.
// Source: symbol.toml.
type Symbol struct {
	ID      string
	Group   Group
	Means   string   // a short sentence
	Looks   string   // how to describe it to who can't see it
	Also    []string // other names by which it is asked for
	Degrees int      // the most, in degrees Celsius; 0: not said
	Bars    int      // under the shape: one is mild, two very mild
	Dots    int      // in the shape
	Letter  string   // in the shape
	Lines   int      // in the square: one is dry, two is drip dry
	Flat    bool     // the lines lie
	Shade   bool     // a stroke over the corner
	Slant   bool     // two slanted lines in the triangle
	Hand    bool     // a hand in the tub
	Cross   bool     // not allowed
}

// Fibre is what a yarn is made of.
// Source: fibre.toml.
type Fibre struct {
	ID      string
	Name    string
	Also    []string
	Usual   []string // ids of the usual symbols, one a group
	Note    string   // what to beware of in washing
	Stretch Grade    // how far it gives and comes back
	Drape   Grade    // how softly it falls
	Warmth  Grade
	Density float64 // grams in a cubic centimetre of the fibre itself
}

// Grade is a rough degree of a property.
type Grade uint8

// The grades.
const (
	Little Grade = iota + 1
	Some
	Much
)

func (g Grade) String() string { return [...]string{"", "little", "some", "much"}[g] }

//go:embed symbol.toml
var symbolFile []byte

//go:embed fibre.toml
var fibreFile []byte

type book struct {
	symbols []Symbol
	fibres  []Fibre
}

// load reads the embedded tables once. A fault in them is a fault of the
// build, which the tests find.
var load = sync.OnceValue(func() book {
	b, err := read(symbolFile, fibreFile)
	if err != nil {
		panic(err)
	}
	return b
})

func read(symbols, fibres []byte) (book, error) {
	var s struct{ Symbol []Symbol }
	if err := entry.Decode("symbol.toml", symbols, &s); err != nil {
		return book{}, err
	}
	var f struct{ Fibre []Fibre }
	if err := entry.Decode("fibre.toml", fibres, &f); err != nil {
		return book{}, err
	}
	b := book{s.Symbol, f.Fibre}
	return b, b.check()
}

func (b book) check() error {
	faults := entry.Faults{File: "symbol.toml"}
	seen := map[string]Symbol{}
	for _, s := range b.symbols {
		faults.Entry = s.ID
		_, twice := seen[s.ID]
		faults.Need(s.ID != "" && !twice, "the id is missing or there twice")
		faults.Need(slices.Contains(Groups(), s.Group), "no group is called %q", s.Group)
		faults.Need(s.Means != "" && s.Looks != "", "means and looks are needed")
		seen[s.ID] = s
	}
	faults.File = "fibre.toml"
	for _, f := range b.fibres {
		faults.Entry = f.ID
		faults.Need(f.ID != "" && f.Name != "" && f.Note != "", "id, name and note are needed")
		faults.Need(f.Stretch.known() && f.Drape.known() && f.Warmth.known(), "stretch, drape and warmth are 1 to 3")
		faults.Need(f.Density > 0.8 && f.Density < 2, "a density of %v is not a fibre's", f.Density)
		faults.Need(len(f.Usual) == len(Groups()), "%d symbols; one a group is needed", len(f.Usual))
		for i, id := range f.Usual[:min(len(f.Usual), len(Groups()))] {
			faults.Need(seen[id].Group == Groups()[i], "symbol %q is none of %s", id, Groups()[i])
		}
	}
	return faults.Err()
}

func (g Grade) known() bool { return g >= Little && g <= Much }

// Symbols is every symbol, group by group, the strictest of a group last.
// Their lists are shared: don't change them.
func Symbols() []Symbol { return slices.Clone(load().symbols) }

// Fibres is every fibre. Their lists are shared: don't change them.
func Fibres() []Fibre { return slices.Clone(load().fibres) }

// SymbolOf is the symbol of an id.
func SymbolOf(id string) (Symbol, bool) {
	for _, s := range load().symbols {
		if s.ID == id {
			return s, true
		}
	}
	return Symbol{}, false
}

// FibreOf is the fibre of an id.
func FibreOf(id string) (Fibre, bool) {
	for _, f := range load().fibres {
		if f.ID == id {
			return f, true
		}
	}
	return Fibre{}, false
}

// NameError says that no fibre or symbol goes by a name.
type NameError struct{ What, Name string }

func (e *NameError) Error() string { return fmt.Sprintf("no %s is called %q", e.What, e.Name) }
