package fabric

import (
	"iter"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Result is what happened when a text was worked.
type Result struct {
	Sizes       []string // names of the sizes; one empty name when the text has one size
	Pieces      []Piece
	Findings    []Finding    // what does not hold, in reading order
	Assumptions []Assumption // what was taken for granted, in reading order
}

// OK says that everything in the text could be worked and every stated count
// held.
func (r *Result) OK() bool { return len(r.Findings) == 0 }

// Piece is one part of the text, worked.
type Piece struct {
	Name     string
	Make     int // how many of it are made
	Rows     []Row
	Outlines []Outline // one a size; nil without a gauge
}

// Row is one worked row or round. A range ("Rows 3–12") gives one for each.
type Row struct {
	Label   string // "Row 14", "Rnd 3", "Ch" for a foundation
	Number  int    // 0 when the text does not number it
	Heading string // the heading within the piece that it stands under
	Kind    notation.Kind
	Side    notation.Side // the side that faces the maker: as said, else by counting
	Line    int           // of the source, from 1; 0 when not read from a text
	Pos     notation.Pos
	PerSize []*Count // one a size; nil where the size does not work this row
	OK      bool     // no finding lies on it
	source  int      // which line of its part made it
	k       int      // which row of that line it is
	fresh   bool     // it begins on nothing
}

// Count is what one row came to in one size. Equal rows share one Count: it is
// never changed.
type Count struct {
	Stitches int       // as the pattern would state it
	By       []Tally   // each stitch by name, chains of spaces as "ch"; by name
	Left     int       // stitches of the row below left unworked
	Claim    int       // the total that the text states
	Claimed  bool      // whether it states one
	Turning  bool      // the row starts with a turning chain that counts as a stitch
	Made     []Made    // what was worked, in order
	Shaping  []Shaping // where the row grew or shrank, in order
	Base     int       // cells of the row below that Made counts over
	Turned   bool      // the row below was met from its end
	height   float64   // of the tallest stitch, single crochet = 1
	main     stitch.ID // the stitch that most of the row is
	begin    int       // stitches gained or lost at the start of the row
	end      int       // at its end
	within   int       // in between
}

// Main returns the stitch that most of the row is made of.
func (c *Count) Main() stitch.ID { return c.main }

// Of returns how many stitches of that name the row has.
func (c *Count) Of(id stitch.ID) int {
	return of(c.By, id)
}

// Tally is how many of one stitch a row has.
type Tally struct {
	ID stitch.ID
	N  int
}

// Made is a run of stitches that were worked alike, or a repeat of several
// runs.
type Made struct {
	ID      stitch.ID       // in US terms; "ch" for chains
	N       int             // how many places were worked one after another in this way
	Each    int             // stitches made in each place; of "ch": how many chains
	Skip    int             // cells of the row below passed over before each place
	Takes   int             // cells used by each: 2 for sc2tog, 0 for the place before once more
	Into    notation.Target // what the place is
	Loop    notation.Loop
	Turning bool      // chains that turn the work
	As      stitch.ID // the stitch that a turning chain counts as; empty when it does not
	Repeat  []Made    // not nil: these, N times; then the other fields are empty
}

// Stitch is one single stitch, or one run of chains.
type Stitch struct {
	ID      stitch.ID
	Chains  int // of "ch"
	From    int // first cell of the row below that it goes into, counted from 0 in the order that row was worked; -1 for none
	To      int // last such cell; From, unless stitches are worked together
	Into    notation.Target
	Loop    notation.Loop
	Turning bool
	As      stitch.ID
}

// All goes through the row stitch by stitch, in working order. The cells
// of a row, which From and To of the row above count, are what this yields:
// each stitch and each run of chains is one.
func (c *Count) All() iter.Seq[Stitch] {
	return func(yield func(Stitch) bool) {
		at := 0
		c.each(c.Made, &at, yield)
	}
}

func (c *Count) each(made []Made, at *int, yield func(Stitch) bool) bool {
	for i := range made {
		m := &made[i]
		for range m.N {
			if m.Repeat != nil {
				if !c.each(m.Repeat, at, yield) {
					return false
				}
			} else if !c.one(m, at, yield) {
				return false
			}
		}
	}
	return true
}

func (c *Count) one(m *Made, at *int, yield func(Stitch) bool) bool {
	*at += m.Skip
	s := Stitch{ID: m.ID, From: *at, To: *at + m.Takes - 1, Into: m.Into, Loop: m.Loop, Turning: m.Turning, As: m.As}
	*at += m.Takes
	if m.Takes == 0 {
		s.From, s.To = *at-1, *at-1
	}
	switch {
	case m.outside(*at):
		s.From, s.To = -1, -1
	case c.Turned:
		s.From, s.To = c.Base-1-s.To, c.Base-1-s.From
	}
	if m.ID == "ch" {
		s.Chains = m.Each
		return yield(s)
	}
	for range m.Each {
		if !yield(s) {
			return false
		}
	}
	return true
}

// outside says whether what was made goes into no cell of the row below.
func (m *Made) outside(at int) bool {
	switch m.Into {
	case notation.RingCentre, notation.RowEnd, notation.OtherSide:
		return true
	}
	return m.Takes == 0 && (m.ID == "ch" || at == 0 || m.Into == notation.ChainFromHook)
}

// Shaping is a run of places where a row grows or shrinks, evenly apart.
type Shaping struct {
	First int // the stitch of this row, from 1, at which it first falls
	Step  int // stitches of this row from one to the next
	N     int // how many times
	Delta int // stitches gained (or lost, below 0) each time
}

// Finding is something that does not hold.
type Finding struct {
	Label   string // of the row: "Row 14"
	Kind    string // one of the Kind names
	Message string // a sentence that says what is wrong, with its cause where one was found
	Fix     string // what to write instead; empty when no single edit mends it
	Pos     notation.Pos
	Size    int // from 0; -1: every size, or the text has one
	Piece   int // in Result.Pieces
	Row     int // in Piece.Rows; -1: none
}

// The kinds of a Finding.
const (
	KindClaim  = "claim"     // the stated count is not what the row makes
	KindShort  = "short"     // the row below has too few stitches
	KindLeft   = "left over" // stitches stay unworked and nobody says so
	KindRepeat = "repeat"    // a repeat does not come out even
	KindPlace  = "place"     // there is no such place to work into
	KindRows   = "rows"      // rows that are named cannot be found, or their numbers clash
	KindUnread = "unread"    // words that were not understood
	KindLimit  = "limit"     // more than is worked in one go
	KindTurn   = "turning chain"
)

// Assumption is something that the text leaves open and that was decided.
type Assumption struct {
	Label   string
	Message string
	Pos     notation.Pos
}
