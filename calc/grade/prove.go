package grade

import (
	"fmt"
	"math"

	"countwright/calc/fabric"
)

// prove works the rows as they are written, stitch by stitch, and holds them
// to the counts they were written from. Joined edges must be equal, meeting
// edges as long as each other to half a stitch or row.
func (g *Garment) prove() error {
	result := fabric.Work(g.Written, fabric.Options{})
	if len(result.Findings) > 0 {
		f := result.Findings[0]
		piece := ""
		if f.Piece >= 0 && f.Piece < len(g.Pieces) {
			piece = g.Pieces[f.Piece].Name
		}
		return &ProofError{piece, f.Label, f.Message}
	}
	for i, piece := range result.Pieces {
		want := g.Pieces[i].Rows
		at := 0
		for _, row := range piece.Rows {
			c := row.PerSize[0]
			if row.Number == 0 || c == nil {
				continue
			}
			if at == len(want) {
				return &ProofError{piece.Name, row.Label, "more rows are written than are counted"}
			}
			if want[at].Label != row.Label || want[at].Count != c.Stitches {
				return &ProofError{piece.Name, row.Label, fmt.Sprintf("it makes %d stitches, counted are %d in %s", c.Stitches, want[at].Count, want[at].Label)}
			}
			at++
		}
		if at != len(want) {
			return &ProofError{piece.Name, want[at].Label, "it is counted but not written"}
		}
	}
	for _, j := range g.Joins {
		if j.ACount != j.BCount {
			return &ProofError{j.A, j.Name, fmt.Sprintf("%d meet %d of %s", j.ACount, j.BCount, j.B)}
		}
	}
	for _, m := range g.Meets {
		if math.Abs(m.AMM-m.BMM) > m.Unit/2+slack {
			return &ProofError{m.A, m.Name, fmt.Sprintf("%.1f mm meet %.1f mm of %s", m.AMM, m.BMM, m.B)}
		}
	}
	return nil
}
