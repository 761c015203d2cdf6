package fabric

import "countwright/calc/notation"

// Outline is the shape of a piece in one size, seen from its right side, from
// the bottom up: one Level for each edge between rows.
type Outline struct {
	Levels []Level
	Round  bool // worked in rounds: Left and Right are half the way around
}

// Level is the width of a piece at a height. All figures are millimetres; the
// middle of the first row is at 0.
type Level struct{ Y, Left, Right float64 }

// outline draws a piece in one size.
func (w *worker) outline(rows []Row, size int) Outline {
	var o Outline
	g := w.opt.Gauge
	sw := g.StitchWidth()
	y, left, right := 0., 0., 0.
	begun := false
	for i := range rows {
		c := rows[i].PerSize[size]
		if c == nil || c.height == 0 {
			continue
		}
		o.Round = o.Round || rows[i].Kind == notation.Round
		width := float64(c.Stitches) * sw
		if !begun || rows[i].fresh {
			left, right = -width/2, width/2
			o.Levels = append(o.Levels, Level{y, left, right})
			begun = true
		} else {
			first, last := c.edges(rows[i].Side)
			rest := (width - (right - left) - float64(first+last)*sw) / 2 // shaping within moves both edges
			left -= float64(first)*sw + rest
			right += float64(last)*sw + rest
		}
		y += g.rowHeight(c.height, w)
		o.Levels = append(o.Levels, Level{y, left, right})
	}
	return o
}

// edges are the stitches gained at the left and the right edge, seen from the
// right side. A right-side row begins at the right.
func (c *Count) edges(side notation.Side) (left, right int) {
	if side == notation.WrongSide {
		return c.begin, c.end
	}
	return c.end, c.begin
}
