package grade

import (
	"fmt"
	"math"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

// prove holds the rows to the counts they were written from: it prints them,
// reads the text back and works it stitch by stitch. Joined edges must be equal, meeting edges as long as
// each other to half a stitch or row.
func (g *Garment) prove() error {
	text := notation.Print(g.Written, notation.PrintOptions{Terms: notation.US})
	read := notation.Parse(text, notation.Options{Terms: notation.US})
	if len(read.Problems) > 0 {
		return &ProofError{"", read.Problems[0].Text, "as printed it can't be read: " + read.Problems[0].Message}
	}
	if err := g.works(read); err != nil {
		return err
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

// works works a document and compares each row.
func (g *Garment) works(doc *notation.Document) error {
	result := fabric.Work(doc, fabric.Options{})
	if len(result.Findings) > 0 {
		f := result.Findings[0]
		piece := ""
		if f.Piece >= 0 && f.Piece < len(doc.Parts) {
			piece = doc.Parts[f.Piece].Name
		}
		return &ProofError{piece, f.Label, f.Message}
	}
	var want []Row
	for _, p := range g.Pieces {
		want = append(want, p.Rows...)
	}
	at := 0
	for _, piece := range result.Pieces {
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
	}
	if at != len(want) {
		return &ProofError{"", want[at].Label, "it is counted but not written"}
	}
	return nil
}
