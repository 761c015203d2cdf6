package fabric

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Edge says where the shaping of a section falls, seen from the right side.
type Edge uint8

// The edges.
const (
	NoEdge    Edge = iota
	LeftEdge       // all at the left
	RightEdge      // all at the right
	BothEdges      // alike at both
	Spread         // within the row, or all around
)

func (e Edge) String() string {
	return [...]string{"none", "left", "right", "both", "spread"}[e]
}

// Section is a stretch of rows of the same stitch and the same shaping.
type Section struct {
	Name   string
	Stitch stitch.ID
	Round  bool
	Start  int // stitches of the row below the first row; of the first row where there is none
	End    int // stitches of the last row
	Rows   int
	First  int   // index of the first row in Piece.Rows
	Edge   Edge  // where the shaping falls
	Shaped []int // the rows of the section that shape, counted from 1
	Deltas []int // stitches that each of them gains or loses
}

// Sections divides a piece, in one size, into stretches of the same stitch and
// shaping. Rows that the size does not work are left out.
func Sections(p Piece, size int) []Section {
	var all []Section
	below := 0
	for i := range p.Rows {
		r := &p.Rows[i]
		if size < 0 || size >= len(r.PerSize) || r.PerSize[size] == nil {
			continue
		}
		c := r.PerSize[size]
		if c.height == 0 { // a foundation
			below = 0
			continue
		}
		one := single1(r, c, i, below)
		if k := len(all) - 1; k >= 0 && all[k].takes(&one, r.fresh || r.Heading != p.Rows[i-1].Heading) {
			all[k].append(&one)
		} else {
			all = append(all, one)
		}
		below = c.Stitches
	}
	for i := range all {
		all[i].Name = all[i].name(p.Rows[all[i].First].Heading, i)
	}
	return all
}

// single1 is one row as a section.
func single1(r *Row, c *Count, i, below int) Section {
	s := Section{Stitch: c.main, Round: r.Kind == notation.Round, Start: below, End: c.Stitches, Rows: 1, First: i}
	if below == 0 {
		s.Start = c.Stitches
		return s
	}
	left, right := c.edges(r.Side)
	switch {
	case c.Stitches == below && left == 0 && right == 0:
		return s
	case c.within != 0 || s.Round || left == 0 && right == 0:
		s.Edge = Spread
	case left == right:
		s.Edge = BothEdges
	case left == 0:
		s.Edge = RightEdge
	case right == 0:
		s.Edge = LeftEdge
	default:
		s.Edge = Spread
	}
	s.Shaped, s.Deltas = []int{1}, []int{c.Stitches - below}
	return s
}

// takes says whether a row goes on with a section.
func (s *Section) takes(row *Section, breaks bool) bool {
	if breaks || row.Stitch != s.Stitch || row.Round != s.Round || row.Start != s.End && row.Start != row.End {
		return false
	}
	if row.Edge == NoEdge {
		return len(s.Shaped) == 0 || s.plain() < max(2, 2*s.pace())
	}
	if len(s.Shaped) == 0 {
		return false
	}
	return row.Edge == s.Edge && (row.Deltas[0] > 0) == (s.Deltas[0] > 0)
}

// plain is how many rows are worked even at the end of the section.
func (s *Section) plain() int { return s.Rows - s.Shaped[len(s.Shaped)-1] }

// pace is the longest way from one shaping row to the next.
func (s *Section) pace() int {
	most := s.Shaped[0]
	for i := 1; i < len(s.Shaped); i++ {
		most = max(most, s.Shaped[i]-s.Shaped[i-1])
	}
	return most
}

func (s *Section) append(row *Section) {
	if row.Edge != NoEdge {
		s.Shaped = append(s.Shaped, s.Rows+1)
		s.Deltas = append(s.Deltas, row.Deltas[0])
	}
	s.Rows++
	s.End = row.End
}

func (s *Section) name(heading string, i int) string {
	if heading != "" {
		return heading
	}
	switch {
	case s.End > s.Start:
		return fmt.Sprintf("increases %d", i+1)
	case s.End < s.Start:
		return fmt.Sprintf("decreases %d", i+1)
	}
	return fmt.Sprintf("even %d", i+1)
}
