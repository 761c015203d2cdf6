package fabric

import (
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
// shaping. Plain rows between two that shape alike belong to the shaping; so
// do plain rows before the first and after the last, where they are no more
// than those in between. Rows that the size does not work are left out.
func Sections(p Piece, size int) []Section {
	var all []Section
	for _, rows := range stretches(p, size) {
		all = append(all, divide(rows)...)
	}
	for i := range all {
		all[i].Name = all[i].name(p.Rows[all[i].First].Heading)
	}
	return all
}

// stretches are the rows of a piece, each as a section of its own, cut where
// the stitch changes or the work begins anew.
func stretches(p Piece, size int) [][]Section {
	var all [][]Section
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
		one := rowSection(r, c, i, below)
		k := len(all) - 1
		if k < 0 || below == 0 || r.fresh || i > 0 && r.Heading != p.Rows[i-1].Heading || !one.follows(all[k]) {
			all = append(all, nil)
			k++
		}
		all[k] = append(all[k], one)
		below = c.Stitches
	}
	return all
}

// follows says whether a row goes on in the stitch of the rows before it.
func (s *Section) follows(rows []Section) bool {
	last := &rows[len(rows)-1]
	return s.Stitch == last.Stitch && s.Round == last.Round
}

// rowSection is one row as a section.
func rowSection(r *Row, c *Count, i, below int) Section {
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

// divide cuts a stretch into plain and shaped sections.
func divide(rows []Section) []Section {
	var all []Section
	done := 0
	for i := 0; i < len(rows); i++ {
		if rows[i].Edge == NoEdge {
			continue
		}
		last, pace := series(rows, i)
		from, to := i, last
		if i-done < pace {
			from = done
		}
		next := last + 1
		for next < len(rows) && rows[next].Edge == NoEdge {
			next++
		}
		if next-last-1 < pace && next-last-1 > 0 {
			to = next - 1
		}
		if from > done {
			all = append(all, join(rows[done:from]))
		}
		all = append(all, join(rows[from:to+1]))
		done, i = to+1, to
	}
	if done < len(rows) {
		all = append(all, join(rows[done:]))
	}
	return all
}

// series finds the last row that shapes as row i does, with plain rows between
// that are not much longer in one place than in the others. pace is the longest
// way from one shaping row to the next, 1 where there is a single one.
func series(rows []Section, i int) (last, pace int) {
	last, pace = i, 1
	for k := i + 1; k < len(rows); k++ {
		r := &rows[k]
		if r.Edge == NoEdge {
			continue
		}
		gap := k - last
		if r.Edge != rows[i].Edge || r.Deltas[0] > 0 != (rows[i].Deltas[0] > 0) || last > i && gap > 3*pace {
			break
		}
		last, pace = k, max(pace, gap)
	}
	return last, pace
}

// join makes one section of consecutive rows.
func join(rows []Section) Section {
	s := rows[0]
	s.Shaped, s.Deltas, s.Edge = nil, nil, NoEdge
	for i := range rows {
		r := &rows[i]
		if r.Edge != NoEdge {
			s.Edge = r.Edge
			s.Shaped = append(s.Shaped, i+1)
			s.Deltas = append(s.Deltas, r.Deltas[0])
		}
	}
	s.Rows, s.End = len(rows), rows[len(rows)-1].End
	return s
}

func (s *Section) name(heading string) string {
	shape := "even"
	switch {
	case s.End > s.Start:
		shape = "increases"
	case s.End < s.Start:
		shape = "decreases"
	}
	if heading == "" {
		return shape
	}
	return heading + ", " + shape
}
