package commands

import (
	"fmt"

	"countwright/calc/grade"
	"countwright/commands/picture"
)

// schematic draws the pieces with their dimensions and counts.
func (a *resized) schematic() picture.Schematic {
	s := picture.Schematic{Title: a.title()}
	for i, p := range a.garment.Pieces {
		if len(p.Outline.Points) == 0 {
			s.Notes = append(s.Notes, a.edging(p))
			continue
		}
		if mirrors := a.garment.Pattern.Pieces[i].Mirror; mirrors != "" {
			s.Notes = append(s.Notes, fmt.Sprintf("%s: the mirror image of %s.", p.Name, lowerFirst(mirrors)))
			continue
		}
		s.Pieces = append(s.Pieces, a.drawn(p))
	}
	return s
}

// edging says an edging in a line: it is too long to draw.
func (a *resized) edging(p grade.Piece) string {
	s := p.Sections[0]
	return fmt.Sprintf("%s: %d sts, %d rows (%s), picked up along the edges.", p.Name, s.Start, s.Rows, mm(float64(s.Rows)*s.RowHeight, a.units()))
}

func (a *resized) drawn(p grade.Piece) picture.Piece {
	out := picture.Piece{Name: p.Name, Outline: points(p.Outline.Points), Rows: picture.Up}
	if p.Make > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("make %d", p.Make))
	}
	if p.Outline.Double {
		out.Notes = append(out.Notes, "in rounds, laid flat")
		out.Rows = picture.Down
	}
	for _, strip := range p.Outline.Strips {
		out.Areas = append(out.Areas, picture.Area{Outline: points(strip), Stitch: "ribbing", Ribs: picture.Up})
	}
	for _, d := range p.Outline.Dimensions {
		unit := "sts"
		if d.Rows {
			unit = "rows"
		}
		out.Dimensions = append(out.Dimensions, picture.Dimension{
			From: point(d.From), To: point(d.To), Name: inSentence(d.Name),
			Label: fmt.Sprintf("%s · %d %s", mm(d.MM, a.units()), d.Count, unit),
			Side:  map[grade.Edge]picture.Side{grade.BottomEdge: picture.Bottom, grade.TopEdge: picture.Top, grade.LeftEdge: picture.Left, grade.RightEdge: picture.Right}[d.Outer],
		})
	}
	return out
}

func point(p grade.Point) picture.Point { return picture.Point{X: p.X, Y: p.Y} }

func points(list []grade.Point) []picture.Point {
	out := make([]picture.Point, len(list))
	for i, p := range list {
		out[i] = point(p)
	}
	return out
}
