package regauge

import (
	"fmt"
	"strings"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

// row is one row as it was worked.
type row struct {
	of    *notation.Row // the written row whose steps it works
	line  int           // of the part: which line makes it
	n     int           // its number; 0: none
	kind  notation.Kind
	count *fabric.Count
	below int    // stitches of the row below; 0: it begins on nothing
	claim string // what its stated count is of; "-": none is stated
	form  string // its steps as they are printed: rows of one form are worked alike
}

func (r *row) label() string {
	if r.n == 0 {
		return "an unnumbered row"
	}
	if r.kind == notation.Round {
		return fmt.Sprintf("Rnd %d", r.n)
	}
	return fmt.Sprintf("Row %d", r.n)
}

// delta is how many stitches the row gains.
func (r *row) delta() int {
	if r.below == 0 {
		return 0
	}
	return r.count.Stitches - r.below
}

// strand is the rows of a piece in working order, and its foundations by the
// line they stand on.
type strand struct {
	rows  []row
	bases map[int]*fabric.Count // foundations, by their line
}

// strandOf finds for each worked row of a piece the written row that it works.
func strandOf(part *notation.Part, piece *fabric.Piece) strand {
	at := map[notation.Pos]int{}
	for i, l := range part.Lines {
		at[l.Pos()] = i
	}
	s := strand{bases: map[int]*fabric.Count{}}
	byNumber := map[int]*notation.Row{}
	var like []*notation.Row // of the repeat being gone through
	from, k, below := -1, 0, 0
	for i := range piece.Rows {
		w := &piece.Rows[i]
		c := w.PerSize[0]
		line, known := at[w.Pos]
		if c == nil || !known {
			continue
		}
		r := row{line: line, n: w.Number, kind: w.Kind, count: c, below: below, claim: "-"}
		var claim *notation.Claim
		switch l := part.Lines[line].(type) {
		case *notation.Row:
			r.of, claim = l, l.Claim
		case *notation.Again:
			if line != from {
				from, k = line, 0
				like = s.like(l, byNumber)
			}
			if len(like) == 0 {
				continue
			}
			r.of, claim = like[k%len(like)], l.Claim
			k++
		}
		if c.Claimed && claim != nil && len(claim.Entries) == 1 && c.Claim == c.Stitches {
			r.claim = claim.Entries[0].What
		}
		if r.n > 0 {
			byNumber[r.n] = r.of
		}
		if !worksStitches(r.of.Steps) {
			s.bases[line], below = c, 0
			continue
		}
		r.form = formOf(r.of.Steps)
		s.rows = append(s.rows, r)
		below = c.Stitches
	}
	return s
}

// like are the rows that a repeat works again.
func (s *strand) like(a *notation.Again, byNumber map[int]*notation.Row) []*notation.Row {
	var rows []*notation.Row
	for _, n := range a.Like {
		if r := byNumber[n]; r != nil {
			rows = append(rows, r)
		}
	}
	if len(a.Like) > 0 {
		return rows
	}
	back := max(1, a.Back)
	for i := max(0, len(s.rows)-back); i < len(s.rows); i++ {
		rows = append(rows, s.rows[i].of)
	}
	return rows
}

// worksStitches says whether steps make more than chains and rings.
func worksStitches(steps []notation.Step) bool {
	found := false
	notation.Walk(steps, func(s notation.Step) bool {
		if _, ok := s.(*notation.Stitches); ok {
			found = true
		}
		return !found
	})
	return found
}

// formOf is how steps are printed, without what makes no stitches.
func formOf(steps []notation.Step) string {
	var words []string
	for _, s := range steps {
		switch s.(type) {
		case *notation.Remark, *notation.Mark, *notation.FastenOff:
			continue
		}
		words = append(words, notation.PrintStep(s, notation.PrintOptions{}))
	}
	return strings.Join(words, ", ")
}
