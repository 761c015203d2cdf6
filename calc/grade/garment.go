package grade

import (
	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
	"countwright/calc/stitch"
)

// Garment is a pattern made to an order: counts that fit each other, and the
// rows that make them.
type Garment struct {
	Pattern   *pattern.Pattern
	Order     Order
	Ease      float64 // mm; as ordered, or the pattern's own
	Pieces    []Piece
	Joins     []Join     // stitch to stitch, or row to row: equal
	Meets     []Meeting  // stitches to row ends
	Finished  []Finished // finished measurements
	Buttons   *Buttons   // nil: none
	Finishing []string   // steps in plain words
	Written   *notation.Document
	plan      *plan
}

// Length is what a measure of the pattern, an ask or ease came to, in mm.
func (g *Garment) Length(name string) (mm float64, ok bool) {
	mm, ok = g.plan.lengths[pattern.Key(name)]
	return mm, ok
}

// Piece is one piece with its counts.
type Piece struct {
	Name     string
	Make     int
	Sections []Section // in working order
	Rows     []Row     // every row made, in working order
	Outline  Outline
}

// Section is a section's counts, and what its rows do.
type Section struct {
	Name             string
	Stitch           stitch.ID
	Loop             notation.Loop
	Repeat           []stitch.ID // stitches that take turns; empty: Stitch only
	Worked           pattern.Worked
	First            pattern.First
	Shape            pattern.Shape
	Start, End, Rows int
	StitchWidth      float64         // mm
	RowHeight        float64         // mm
	Chain            int             // chains to begin with; 0: none
	Every            []spacing.Every // shaping at an edge, as runs of equal distances
	Rest             int             // plain rows after the last shaping
	Each             int             // increases a round of a flat round
	Opening          int             // stitches of an opening
	Picked           []Picked        // what is picked up, in working order
	Profile          []int           // stitches after each round; nil for rows
	Panels           *Panels         // of a raglan; nil: none
	Underarm         int             // stitches added under each arm, of the section after a raglan
}

// Panels is what a raglan yoke has: front and back are alike, and both sleeves.
type Panels struct{ Body, Sleeve Panel }

// Panel is one panel of a raglan yoke, which grows as much at both edges.
type Panel struct {
	Start, End int
	Every      []spacing.Every // growth at an edge, as runs of equal distances
	Rest       int             // plain rounds after the last growth
}

// Picked is stitches picked up along one edge, or a corner.
type Picked struct {
	Along    string // the edge; empty: a corner
	Stitches int
	RowEnds  int // along row ends: how many; 0: into stitches
}

// Area is the section's fabric in mm².
func (s Section) Area() float64 {
	return float64(s.Start+s.End) / 2 * s.StitchWidth * float64(s.Rows) * s.RowHeight
}

// Area is the fabric of all of this piece that are made, in mm².
func (p Piece) Area() float64 {
	sum := 0.
	for _, s := range p.Sections {
		sum += s.Area()
	}
	return sum * float64(p.Make)
}

// Area is the fabric of the whole garment, in mm².
func (g *Garment) Area() float64 {
	sum := 0.
	for _, p := range g.Pieces {
		sum += p.Area()
	}
	return sum
}

// Row is a row as made.
type Row struct {
	Label string // "Row 12", "Rnd 3"
	Count int    // stitches at its end
}

// Join is two edges that meet one to one.
type Join struct {
	Name           string
	A, B           string
	ACount, BCount int
	ARows, BRows   bool // these are rows; else stitches
}

// Meeting is two edges that are as long as each other, to half a stitch or row.
type Meeting struct {
	Name           string
	A, B           string
	ACount, BCount int
	AMM, BMM       float64
	Unit           float64 // the larger of the stitch's and the row's size, in mm
}

// Finished is a finished measurement.
type Finished struct {
	Name   string
	MM     float64
	Across float64 // the part of MM that is stitches wide; the rest is rows tall
	Target float64
	Unit   float64  // the larger of the stitch's and the row's size, in mm
	Forced []string // the rules that forced it more than half a unit away; nil: none did
}

// At is what the same counts measure at another gauge than the one they were
// made for, in mm.
func (f Finished) At(made, other gauge.Gauge) float64 {
	return f.Across*made.Stitches/other.Stitches + (f.MM-f.Across)*made.Rows/other.Rows
}

// Buttons is what the buttonholes came to.
type Buttons struct {
	Number   int
	Diameter float64 // mm
	Hole     int     // stitches of each
	Fewer    bool    // than the pattern has: more would not fit
}
