package picture

import (
	"fmt"

	"countwright/calc/grade"
	"countwright/calc/measure"
)

// Made makes the schematic of a garment, its lengths in a member's unit. The
// pieces are seen from the right side; work in rounds is laid double. A piece
// that is only an edging on others is not drawn.
func Made(g *grade.Garment, u measure.Unit) Schematic {
	s := Schematic{Title: g.Pattern.Title}
	for _, p := range g.Pieces {
		if len(p.Outline.Points) > 0 {
			s.Pieces = append(s.Pieces, madePiece(p, u))
		}
	}
	return s
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
		a := Area{Stitch: "worked sideways", Ribs: Up}
		for _, q := range strip {
			a.Outline = append(a.Outline, place(q))
		}
		out.Areas = append(out.Areas, a)
	}
	for _, d := range p.Outline.Dimensions {
		side := [...]Side{grade.BottomEdge: Bottom, grade.TopEdge: Top, grade.RightEdge: Right, grade.LeftEdge: Left}[d.Outer]
		out.Dimensions = append(out.Dimensions, Dimension{From: place(d.From), To: place(d.To), Label: madeLabel(d, p.Outline.Double, u), Name: d.Name, Side: side})
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
	length := measure.FromMM(d.MM).Text(u)
	if rounds && !d.Rows {
		length += " around"
	}
	return fmt.Sprintf("%s · %d %s", length, d.Count, unit)
}
