// Package regauge makes a written pattern anew at another gauge: the same
// finished measurements, the multiples of its stitch patterns kept, shaping
// spread evenly, equal edges still equal. It needs no dimensions: what a
// pattern is comes from working its rows, and what it becomes is worked again
// before it is returned.
package regauge

import (
	"errors"

	"countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Order says what a pattern is made to.
type Order struct {
	From  gauge.Gauge    // that the pattern was written at
	To    gauge.Gauge    // that it is made to
	Size  int            // which of its sizes, from 0
	Style notation.Style // how its rows are put; see notation.StyleOf
	Terms notation.Terms // of what is printed; unsaid: those of the pattern
}

// Remade is a pattern made anew.
type Remade struct {
	Text   string             // the whole pattern, as its writer puts rows
	Doc    *notation.Document // read again from Text
	Result *fabric.Result     // worked again
	Pieces []Piece            // those that were made anew, in order
	Left   []Left             // those that could not be, and stand as they were
}

// Piece is what became of one piece.
type Piece struct {
	Part     int // of Doc and of Result.Pieces
	Name     string
	Make     int
	Sections []Section
}

// Section is a stretch of rows of one stitch and shaping, before and after.
type Section struct {
	Name   string
	Stitch stitch.ID
	Round  bool
	Was    Extent
	Now    Extent
}

// Extent is the counts of a section: its stitches at the start and at the end,
// and its rows.
type Extent struct{ Start, End, Rows int }

// Left is a piece that could not be made anew.
type Left struct {
	Piece string
	Rows  string // "Row 7", "Rows 7–12"; empty: the piece as a whole
	Why   string // a clause: "each row differs from the others"
	Wide  float64
	Tall  float64 // mm, when it is worked as it stands at the new gauge
}

// Deviation is how much wider and taller, in mm, a section comes out than the
// pattern had it: at its widest edge, and over its rows.
func (s Section) Deviation(o Order) (wide, tall float64) {
	was, now := max(s.Was.Start, s.Was.End), max(s.Now.Start, s.Now.End)
	return float64(now)*o.To.StitchWidth() - float64(was)*o.From.StitchWidth(),
		float64(s.Now.Rows)*o.To.RowHeight() - float64(s.Was.Rows)*o.From.RowHeight()
}

// Remake makes a pattern anew. It must hold: see fabric.Work. Pieces that can't
// be made anew soundly stand as they were, and are named with the reason.
// Errors are *FaultError (the pattern does not hold), *gauge.RangeError, a
// *SizeError, a *NothingError (no piece could be made anew), and a *ProofError,
// which is a fault of this package.
func Remake(doc *notation.Document, o Order) (*Remade, error) {
	if err := o.From.Check(); err != nil {
		return nil, err
	}
	if err := o.To.Check(); err != nil {
		return nil, err
	}
	if n := max(1, doc.SizeCount, len(doc.Sizes)); o.Size < 0 || o.Size >= n {
		return nil, &SizeError{o.Size, n}
	}
	if o.Terms == notation.TermsUnsaid {
		o.Terms = doc.Terms
	}
	single := oneSize(doc, o.Size)
	was := fabric.Work(single, fabric.Options{})
	if !was.OK() {
		return nil, &FaultError{was.Findings}
	}
	m := &maker{Order: o, doc: single, was: was, stays: map[int]string{}}
	for {
		out, err := m.pieces()
		if err != nil {
			return nil, err
		}
		proved, err := m.prove(out)
		var wrong *ProofError
		if err == nil || !errors.As(err, &wrong) || !m.stay(wrong.piece) {
			return proved, err
		}
	}
}

// stay leaves a piece as it is that does not hold beside the others, or the one
// before it that it is worked on; false where there is none left to leave.
func (m *maker) stay(piece int) bool {
	for ; piece >= 0; piece-- {
		if m.stays[piece] == "" {
			m.stays[piece] = "it hangs together with another piece in a way that can't be carried over"
			return true
		}
	}
	return false
}
