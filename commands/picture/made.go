package picture

import (
	"fmt"
	"strings"

	"countwright/calc/grade"
	"countwright/calc/measure"
)

// Made makes the schematic of a garment, its lengths in a member's unit. The
// pieces are seen from the right side; work in rounds is laid double. A piece
// that mirrors another, or is only an edging on others, is told in a line.
func Made(g *grade.Garment, u measure.Unit) Schematic {
	s := Schematic{Title: g.Pattern.Title}
	for i, p := range g.Pieces {
		switch mirrors := g.Pattern.Pieces[i].Mirror; {
		case len(p.Outline.Points) == 0:
			s.Notes = append(s.Notes, madeEdging(p, u))
		case mirrors != "":
			s.Notes = append(s.Notes, fmt.Sprintf("%s: the mirror image of %s.", p.Name, strings.ToLower(mirrors)))
		default:
			s.Pieces = append(s.Pieces, madePiece(p, u))
		}
	}
	return s
}

// madeEdging says an edging in a line: it is too long to draw.
func madeEdging(p grade.Piece, u measure.Unit) string {
	s := p.Sections[0]
	high := measure.FromMM(float64(s.Rows) * s.RowHeight)
	return fmt.Sprintf("%s: %d sts, %d rows (%s), picked up along the edges.", p.Name, s.Start, s.Rows, high.Text(u))
}

func madePiece(p grade.Piece, u measure.Unit) Piece {
	out := Piece{Name: p.Name, Rows: Up}
	place := func(q grade.Point) Point { return Point(q) }
	for _, q := range p.Outline.Points {
		out.Outline = append(out.Outline, place(q))
	}
	if p.Make > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("make %d", p.Make))
	}
	if p.Outline.Double { // rounds start at the top
		out.Notes, out.Rows = append(out.Notes, "in rounds, laid flat"), Down
	}
	for _, strip := range p.Outline.Strips {
		a := Area{Stitch: "ribbing", Ribs: Up}
		for _, q := range strip {
			a.Outline = append(a.Outline, place(q))
		}
		out.Areas = append(out.Areas, a)
	}
	for _, d := range p.Outline.Dimensions {
		side := [...]Side{grade.BottomEdge: Bottom, grade.TopEdge: Top, grade.RightEdge: Right, grade.LeftEdge: Left}[d.Outer]
		out.Dimensions = append(out.Dimensions, Dimension{From: place(d.From), To: place(d.To), Label: madeLabel(d, p.Outline.Double, u), Name: MadeName(d), Side: side})
	}
	return out
}

// madeLabel is the length and the count of a dimension: "53 cm · 74 sts".
func madeLabel(d grade.Dimension, rounds bool, u measure.Unit) string {
	unit := "st"
	switch {
	case d.Rows && rounds:
		unit = "rnd"
	case d.Rows:
		unit = "row"
	}
	if d.Count != 1 {
		unit += "s"
	}
	return fmt.Sprintf("%s%s · %d %s", measure.FromMM(d.MM).Text(u), Around(d, rounds), d.Count, unit)
}

// Around is " around" for a distance that is measured all around, in work that
// is drawn laid double; else nothing.
func Around(d grade.Dimension, rounds bool) string {
	if rounds && !d.Rows && !d.Single {
		return " around"
	}
	return ""
}

// MadeName is a dimension's name within a sentence: small, but for a letter
// that stands alone ("V neck").
func MadeName(d grade.Dimension) string {
	if len(d.Name) > 1 && d.Name[1] >= 'a' && d.Name[1] <= 'z' {
		return strings.ToLower(d.Name[:1]) + d.Name[1:]
	}
	return d.Name
}
