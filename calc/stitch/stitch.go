// Package stitch is the dictionary of crochet stitches: names in US, UK and
// older terms, height, turning chain, what a stitch consumes of the row below
// and makes in its own, and how a chart draws it.
//
// The rows of the dictionary are in the folder stitches, each with its source. Whole
// families (decreases, post stitches, clusters, shells) are derived from their
// base stitch, so that "fptr3tog" or "7-tr shell" exist without a row.
package stitch

import "slices"

// ID names a stitch by its US abbreviation in lower case ("sc", "hdc2tog",
// "fpdc"). A pattern's own stitch is an ID too: the name that it gives.
type ID string

// Dialect is a set of crochet words. The values are those of notation.Terms,
// so that one converts to the other.
type Dialect uint8

// The dialects. Older is that of many texts from about 1850 to 1920: single =
// slip stitch, double = US single crochet, treble = US double crochet.
const (
	AnyDialect Dialect = iota
	US
	UK
	Older
)

// Words are the names of a stitch in one dialect.
type Words struct {
	Name string   // in full: "half double crochet"
	Abbr []string // as printed, the preferred one first: "sl st", "FPdc"
	Also []string // other names and spellings
}

// Short returns the preferred abbreviation, and the name where there is none.
func (w Words) Short() string {
	if len(w.Abbr) > 0 {
		return w.Abbr[0]
	}
	return w.Name
}

// Kind sorts stitches by how they are made and counted.
type Kind uint8

// The kinds.
const (
	Basic      Kind = iota // single crochet to the tallest treble
	Chain                  // the chain stitch
	Slip                   // slip stitches
	Extended               // a basic stitch with one more pull through one loop
	Post                   // worked around the post of the stitch below
	Together               // a decrease: several stitches joined at the top
	Increase               // several stitches in one place, to widen
	Foundation             // makes its own chain: nothing is below it
	Crossed                // two stitches that pass one another
	Cluster                // cluster, bobble, puff, popcorn: several legs in one place make one stitch
	Group                  // shell, fan, V: several stitches in one place, each counted
	Picot                  // a small loop on top of the row, not counted
	Manner                 // a way to work another stitch: one loop only, into a space, linked
	Start                  // a beginning, a change or an ending: ring, standing stitch, join
	Surface                // worked on top of a finished fabric, not counted
	Texture                // a stitch pattern over several stitches or rows
	Tunisian               // worked with the loops kept on a long hook
)

// Habit is how often a turning chain counts as a stitch.
type Habit uint8

// The habits. The zero Habit is for stitches that have no turning chain.
const (
	Never Habit = iota
	UsuallyNot
	Varies
	Usually
	Always
)

// Part is a run of equal stitches within a larger one.
type Part struct {
	Stitch ID
	Many   int
}

// Stitch is one entry of the dictionary.
type Stitch struct {
	ID        ID
	US        Words
	UK        Words // equal to US where the terms agree
	Older     Words // equal to UK where no text is known to differ
	Kind      Kind
	YarnOvers int     // before the hook goes in
	Height    float64 // of the finished stitch; 1 is a single crochet
	Chain     int     // chains that stand for it at the start of a row
	Counts    Habit   // whether those chains count as a stitch
	Consumes  int     // stitches used of the row below
	Makes     int     // stitches that count in its own row; chains are not among them
	// Base is the plain stitch that it is a form of ("dc" for dc2tog); empty
	// for a plain stitch, and for "inc" and "dec", which take the stitch of
	// their row.
	Base ID
	// Parts is what it is made of, in working order: five dc for a shell; dc,
	// one chain, dc for a V; the unfinished legs of a cluster or a decrease.
	// Nil for a plain stitch.
	Parts []Part
	// Assumed says which make-up is taken for granted where patterns differ;
	// empty when there is only one. Its stitches are in braces, as term.Say fills
	// them in.
	Assumed string
	Symbol  Symbol
	Source  string // where the figures come from, or "common practice, no source"
}

// In returns the words of the stitch in a dialect; AnyDialect gives the US
// ones.
func (s Stitch) In(d Dialect) Words {
	switch d {
	case UK:
		return s.UK
	case Older:
		return s.Older
	default:
		return s.US
	}
}

// Chains returns how many chains the stitch makes besides its counted
// stitches: 1 for a V stitch, 3 for a picot of three.
func (s Stitch) Chains() int {
	n := 0
	for _, p := range s.Parts {
		if p.Stitch == "ch" {
			n += p.Many
		} else {
			n += p.Many * dictionary().byID[p.Stitch].Chains()
		}
	}
	return n
}

// Lookup returns the stitch of an ID. Letter case does not matter, spaces and
// hyphens do: use Named for words as people write them.
func Lookup(id ID) (Stitch, bool) {
	s, ok := dictionary().byID[lower(id)]
	if !ok {
		return Stitch{}, false
	}
	return s.clone(), true
}

// All returns the rows of the dictionary in its order, from the chain to
// textures. Stitches derived from a base are not among them; Lookup and Named
// know those too.
func All() []Stitch {
	all := make([]Stitch, len(dictionary().rows))
	for i, s := range dictionary().rows {
		all[i] = s.clone()
	}
	return all
}

// clone copies what a caller could change.
func (s Stitch) clone() Stitch {
	s.Parts = slices.Clone(s.Parts)
	for _, w := range []*Words{&s.US, &s.UK, &s.Older} {
		w.Abbr, w.Also = slices.Clone(w.Abbr), slices.Clone(w.Also)
	}
	return s
}
