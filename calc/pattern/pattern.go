// Package pattern reads pattern files: TOML of Countwright's own that says what
// pieces a garment has, what each dimension answers to (a body measure, ease, a
// length), which counts must fit each other, and how the pieces are joined. It
// holds no counts of its own; package grade makes them for a body and a gauge.
package pattern

import (
	"slices"

	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Pattern is a pattern file, read and found good.
type Pattern struct {
	Name      string // the file's name without its ending: "cardigan"
	Title     string
	Summary   string
	Author    string
	Licence   string
	Level     string   // Basic, Easy, Intermediate or Complex
	For       []string // who may wear or use it: "adult", "child", "infant"
	Cautions  []string // for everyone
	Small     []string // cautions where it is made for a child or an infant
	Notes     []string // read before starting
	Tables    []string // names of the sizing tables that it is graded by, the first one by default; none: not made to a body
	Yarn      Yarn
	Stitch    stitch.ID   // the gauge is measured in
	Gauge     gauge.Gauge // that the pattern was written at
	Hook      float64     // millimetres
	Ease      Formula     // by default; not said: none
	Asks      []Ask       // lengths that the maker chooses
	Changes   []Change    // what a maker may alter
	Measures  []Measure   // in order: each may use those before it
	Pieces    []Piece
	Joins     []Join
	Finished  []Finished
	Finishing []string // steps in plain words; {Piece.Section.edge} stands for a count
}

// Yarn says what the pattern is made of.
type Yarn struct {
	Weight int // yarn weight class, 0 to 7
	Fibre  string
}

// Ask is a length that the maker may choose: a blanket's width.
type Ask struct {
	Name      string
	Default   Formula
	Low, High Formula // the limits, both allowed
}

// Change is an alteration that the pattern offers. It bears on one measure, and
// all that depends on that follows.
type Change struct {
	Name    string
	Measure string  // a measure of the pattern, by its key
	Is      Formula // what the measure becomes, which it may read itself; not said: the maker says by how much
	Part    float64 // of what the maker says that the measure changes by
	Unit    Unit    // of the measure
}

// Measure is a named dimension.
type Measure struct {
	Name string
	Is   Formula
	Else Formula // where the body lacks a measure that Is reads; not said: none
}

// Piece is a part that is made apart from the others.
type Piece struct {
	Name     string
	Make     int    // how many
	Mirror   string // the name of the piece that this one mirrors; empty: none
	Sections []Section
	Splits   []Split
}

// Section is consecutive rows of one stitch and one shaping.
type Section struct {
	Name     string
	Note     string // a sentence before its first row
	Stitch   stitch.ID
	Loop     notation.Loop
	Repeat   []stitch.ID // stitches that take turns along the row; empty: Stitch only
	Worked   Worked
	First    First
	Of       string // with OnRowEnds and OnStitches: the section below; with InPart: empty
	Pick     []Pick // with Around and Along: what is picked up, in working order
	Start    Formula
	End      Formula // not said: as many as at the start
	Length   Formula // across the rows; with Sideways: not needed where the rows meet stitches
	Rows     int     // instead of Length
	Shape    Shape
	Right    bool           // shaping on right-side rows only, where they are enough
	Keep     bool           // its rows are rounded by themselves, before what is beside it
	Plain    Formula        // without shaping at the end
	Fits     gauge.Multiple // of the stitches
	RowFits  gauge.Multiple // of the rows
	Least    int            // fewest stitches; 0: 1
	Holes    *Buttonholes
	Panels   *Panels // with Raglan
	Underarm Formula // the section goes on over the body panels of a raglan, and adds so much under each arm
	Opening  Formula // width of an opening in the first round, which the second closes: a thumb's
}

// Panels are the parts of a raglan yoke, at its first and its last round. Front
// and back are alike, and so are the sleeves.
type Panels struct {
	BodyStart, BodyEnd, SleeveStart, SleeveEnd Formula
}

// What a raglan leaves for its sleeves, as edges of its piece: the stitches of
// a sleeve panel, and half of those added under an arm, so that a sleeve can
// begin in the middle of the underarm.
const (
	SleevePanel  = "sleeve"
	HalfUnderarm = "half underarm"
)

// Worked is how a section is worked.
type Worked uint8

// The ways to work.
const (
	Flat     Worked = iota // back and forth, rows one above the other
	InRounds               // in joined rounds
	Sideways               // back and forth, the rows standing upright in the finished piece
)

// First is how a section's first row is made.
type First uint8

// The beginnings.
const (
	OnChain    First = iota // into a foundation chain
	OnStitches              // into the stitches of the section below
	OnRowEnds               // one stitch into each row end of a sideways section
	OnRing                  // into a ring
	OnEdges                 // picked up along edges
)

// Shape is where a section is shaped. Edges are seen from the right side.
type Shape uint8

// The shapes.
const (
	NoShape   Shape = iota
	RightEdge       // at the right edge
	LeftEdge        // at the left edge
	BothEdges       // at both edges, as much at each
	Spread          // evenly around each shaping round
	Disc            // as many more in each round as keep it flat, beginning at a ring
	Corners         // two more at each picked-up corner in every round after the first
	Close           // a flat round backwards: down to its first round
	Ball            // a sphere from one pole to the other, beginning at a ring
	Egg             // from its blunt pole to its pointed one, beginning at a ring
	Raglan          // four panels that grow at their edges: back, sleeve, front, sleeve
)

// Section returns the section of a name.
func (p *Piece) Section(name string) (*Section, bool) {
	for i := range p.Sections {
		if p.Sections[i].Name == name {
			return &p.Sections[i], true
		}
	}
	return nil, false
}

// Piece returns the piece of a name.
func (p *Pattern) Piece(name string) (*Piece, bool) {
	for i := range p.Pieces {
		if p.Pieces[i].Name == name {
			return &p.Pieces[i], true
		}
	}
	return nil, false
}

// Reads reports whether a dimension of the pattern answers to a measure.
func (p *Pattern) Reads(measure string) bool {
	reads := func(f Formula) bool { return slices.Contains(f.Names(), Key(measure)) }
	if reads(p.Ease) {
		return true
	}
	for _, m := range p.Measures {
		if reads(m.Is) || reads(m.Else) {
			return true
		}
	}
	for _, piece := range p.Pieces {
		for _, s := range piece.Sections {
			used := []Formula{s.Start, s.End, s.Length, s.Plain, s.Underarm, s.Opening}
			if s.Panels != nil {
				used = append(used, s.Panels.BodyStart, s.Panels.BodyEnd, s.Panels.SleeveStart, s.Panels.SleeveEnd)
			}
			if slices.ContainsFunc(used, reads) {
				return true
			}
		}
	}
	return false
}

// Pick is an edge picked up along, or a corner.
type Pick struct {
	Edge   Edge
	Corner int // stitches made in one corner place; then there is no Edge
}

// Edge is one edge of a section, or the stitches that a split leaves.
type Edge struct {
	Piece, Section string
	Side           Side
}

// Side is which edge of a section is meant.
type Side uint8

// The sides. Of a section in rounds, RightSide is its height.
const (
	Bottom Side = iota
	Top
	RightSide
	LeftSide
)

// Buttonholes are spread along a part of a picked-up edge.
type Buttonholes struct {
	Number   Formula // rounded to an odd number
	Diameter Formula
	Along    int // how many of the first picks they are spread along
}

// Split shares the last row of a section out.
type Split struct {
	Of   string
	Into []Share // from the right edge to the left, seen from the right side
}

// Share is a section that goes on, or stitches left for later.
type Share struct {
	Name  string
	Rest  bool    // no section: stitches left unworked
	Width Formula // of a rest
}

// Join names edges that meet.
type Join struct {
	Name string
	A, B []Edge // added up
	How  How
}

// How is how well two edges must meet.
type How uint8

// The ways to meet.
const (
	Equal How = iota // as many stitches, or as many rows
	Meet             // stitches to row ends: as long, to half a stitch or row
)

// Finished is a finished measurement.
type Finished struct {
	Name string
	Of   []Edge  // added up
	Is   Formula // the target
}
