package picture

import (
	"fmt"
	"slices"

	"countwright/calc/fabric"
	"countwright/calc/measure"
	"countwright/calc/notation"
)

// Shape makes the flat shape of a piece that was worked at a gauge, in one of
// its sizes (from 0), with its lengths in a member's unit; work in rounds is
// laid double. It is false for a piece that has no one shape: worked without a
// gauge, with parts side by side whose row numbers begin anew, or too small
// for a sheet.
func Shape(p fabric.Piece, size int, u measure.Unit) (Piece, bool) {
	if size < 0 || size >= len(p.Outlines) || len(p.Outlines[size].Levels) < 2 {
		return Piece{}, false
	}
	w, ok := worksUp(p, size)
	if !ok {
		return Piece{}, false
	}
	o := p.Outlines[size]
	out := Piece{Name: p.Name, Outline: outlineOf(o), Rows: Up}
	if b := bounds(out.Outline); b.width() < 10 || b.height() < 5 || len(out.Outline) > mostPoints {
		return Piece{}, false
	}
	if p.Make > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("make %d", p.Make))
	}
	unit := "row"
	if o.Round {
		unit = "rnd"
		out.Notes = append(out.Notes, "in rounds, laid flat")
	}
	bottom, top := 0, len(o.Levels)-1
	out.across(o, bottom, w.first, "start", Bottom, u)
	out.across(o, top, w.last, "end", Top, u)
	right := bounds(out.Outline).x2
	height := o.Levels[top].Y - o.Levels[bottom].Y
	out.Dimensions = append(out.Dimensions, Dimension{From: Point{right, o.Levels[bottom].Y}, To: Point{right, o.Levels[top].Y},
		Label: fmt.Sprintf("%s · %s", measure.FromMM(height).Text(u), units(w.rows, unit)), Name: "height", Side: Right})
	return out, true
}

// across adds the width at a level; one that no dimension line fits is left
// out.
func (p *Piece) across(o fabric.Outline, level, stitches int, name string, side Side, u measure.Unit) {
	l := o.Levels[level]
	from, to := at(o, l.Left, l.Y), at(o, l.Right, l.Y)
	if to.X-from.X < 5 {
		return
	}
	label := measure.FromMM(l.Right - l.Left).Text(u)
	if o.Round {
		label += " around"
	}
	p.Dimensions = append(p.Dimensions, Dimension{From: from, To: to, Name: name, Side: side, Label: label + " · " + units(stitches, "st")})
}

// at is a place on the piece as it lies: work in rounds lies double.
func at(o fabric.Outline, x, y float64) Point {
	if o.Round {
		x /= 2
	}
	return Point{x, y}
}

func units(n int, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%d %ss", n, unit)
}

// outlineOf goes up the left edge and down the right one; levels in a straight
// line are left out.
func outlineOf(o fabric.Outline) []Point {
	var left, right []Point
	for _, l := range o.Levels {
		left = straight(left, at(o, l.Left, l.Y))
		right = straight(right, at(o, l.Right, l.Y))
	}
	slices.Reverse(right)
	all := slices.Concat(left, right)
	return slices.Compact(all)
}

// straight adds a point to a line, in place of the last one where that lies on
// the way.
func straight(line []Point, p Point) []Point {
	if n := len(line); n > 1 {
		a, b := line[n-2], line[n-1]
		if off := (b.X-a.X)*(p.Y-a.Y) - (p.X-a.X)*(b.Y-a.Y); off < 0.01 && off > -0.01 {
			line[n-1] = p
			return line
		}
	}
	return append(line, p)
}

// up is a piece whose rows stand one on another.
type up struct{ first, last, rows int }

// worksUp is false where a row does not stand on the one before it.
func worksUp(p fabric.Piece, size int) (up, bool) {
	var w up
	number := 0
	for i := range p.Rows {
		r := &p.Rows[i]
		if size >= len(r.PerSize) || r.PerSize[size] == nil {
			continue
		}
		c := r.PerSize[size]
		if c.Main() == "" || c.Main() == "ch" && r.Kind == notation.Loose {
			if w.rows > 0 && c.Stitches > 0 {
				return up{}, false
			}
			continue
		}
		if r.Number > 0 && r.Number <= number {
			return up{}, false
		}
		number = max(number, r.Number)
		if w.rows == 0 {
			w.first = c.Stitches
		}
		w.last = c.Stitches
		w.rows++
	}
	return w, w.rows > 0
}
