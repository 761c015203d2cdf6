package picture

import (
	"math"
	"slices"
)

// box is a rectangle that is kept free for a text or a line.
type box struct{ x1, y1, x2, y2 float64 }

// boxAt is a box of a size around a point.
func boxAt(c Point, w, h float64) box { return box{c.X - w/2, c.Y - h/2, c.X + w/2, c.Y + h/2} }

func (b box) grow(by float64) box   { return box{b.x1 - by, b.y1 - by, b.x2 + by, b.y2 + by} }
func (b box) overlaps(c box) bool   { return b.x1 < c.x2 && c.x1 < b.x2 && b.y1 < c.y2 && c.y1 < b.y2 }
func (b box) contains(p Point) bool { return b.x1 < p.X && p.X < b.x2 && b.y1 < p.Y && p.Y < b.y2 }
func (b box) centre() Point         { return Point{(b.x1 + b.x2) / 2, (b.y1 + b.y2) / 2} }
func (b box) width() float64        { return b.x2 - b.x1 }
func (b box) height() float64       { return b.y2 - b.y1 }

// join is the smallest box around both.
func (b box) join(c box) box {
	return box{min(b.x1, c.x1), min(b.y1, c.y1), max(b.x2, c.x2), max(b.y2, c.y2)}
}

// bounds is the smallest box around points.
func bounds(points []Point) box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		b = b.join(box{p.X, p.Y, p.X, p.Y})
	}
	return b
}

// segment is a straight line that no text may stand on.
type segment struct{ a, b Point }

// edges are the sides of a polygon.
func edges(polygon []Point) []segment {
	sides := make([]segment, len(polygon))
	for i, p := range polygon {
		sides[i] = segment{p, polygon[(i+1)%len(polygon)]}
	}
	return sides
}

// crosses reports whether any part of the segment lies in the box (the method
// of Liang and Barsky, ACM Transactions on Graphics 3, 1984).
func (s segment) crosses(b box) bool {
	from, to := 0.0, 1.0
	clip := func(p, q float64) bool {
		switch {
		case p == 0:
			return q > 0
		case p < 0:
			from = max(from, q/p)
		default:
			to = min(to, q/p)
		}
		return from < to
	}
	dx, dy := s.b.X-s.a.X, s.b.Y-s.a.Y
	if dx == 0 && dy == 0 {
		return b.contains(s.a)
	}
	return clip(-dx, s.a.X-b.x1) && clip(dx, b.x2-s.a.X) && clip(-dy, s.a.Y-b.y1) && clip(dy, b.y2-s.a.Y)
}

// meets reports whether two segments have a point in common, touching at an
// end apart.
func (s segment) meets(t segment) bool {
	side := func(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
	return side(s.a, s.b, t.a)*side(s.a, s.b, t.b) < 0 && side(t.a, t.b, s.a)*side(t.a, t.b, s.b) < 0
}

// inside reports whether a point lies in a polygon.
func inside(polygon []Point, p Point) bool {
	in := false
	for _, e := range edges(polygon) {
		if (e.a.Y > p.Y) != (e.b.Y > p.Y) && p.X < e.a.X+(p.Y-e.a.Y)*(e.b.X-e.a.X)/(e.b.Y-e.a.Y) {
			in = !in
		}
	}
	return in
}

// holds reports whether a whole box lies in a polygon.
func holds(polygon []Point, b box) bool {
	for _, e := range edges(polygon) {
		if e.crosses(b) {
			return false
		}
	}
	return inside(polygon, b.centre())
}

// hatch is upright lines through a polygon, or level ones, so far apart.
func hatch(polygon []Point, upright bool, apart float64) []segment {
	turn := func(p Point) Point {
		if upright {
			return Point{p.Y, p.X}
		}
		return p
	}
	turned := make([]Point, len(polygon))
	for i, p := range polygon {
		turned[i] = turn(p)
	}
	b := bounds(turned)
	n := max(1, int(b.height()/apart))
	apart = b.height() / float64(n)
	var lines []segment
	for i := range n {
		y := b.y1 + (float64(i)+0.5)*apart
		var cuts []float64
		for _, e := range edges(turned) {
			if (e.a.Y > y) != (e.b.Y > y) {
				cuts = append(cuts, e.a.X+(y-e.a.Y)*(e.b.X-e.a.X)/(e.b.Y-e.a.Y))
			}
		}
		slices.Sort(cuts)
		for j := 0; j+1 < len(cuts); j += 2 {
			lines = append(lines, segment{turn(Point{cuts[j], y}), turn(Point{cuts[j+1], y})})
		}
	}
	return lines
}
