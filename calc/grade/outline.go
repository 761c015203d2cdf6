package grade

import (
	"cmp"
	"math"
	"slices"

	"countwright/calc/pattern"
)

// Point is a place in mm; Y runs upwards, as rows grow.
type Point struct{ X, Y float64 }

// Outline is a piece laid flat, seen from the right side; work in rounds is
// laid double. It has no points where a piece is only an edging.
type Outline struct {
	Points     []Point
	Strips     [][]Point   // the parts that are worked sideways
	Dimensions []Dimension // measured distances
	Double     bool        // two layers: work in rounds
}

// Dimension is a measured distance on an outline.
type Dimension struct {
	Name     string
	From, To Point
	MM       float64 // of the distance, all around where the work is laid double
	Count    int     // stitches or rows
	Rows     bool
	Single   bool // of one layer only, where the work is laid double
	Outer    Edge // where it is best drawn
}

// Edge is a side of an outline.
type Edge uint8

// The edges.
const (
	BottomEdge Edge = iota
	TopEdge
	RightEdge
	LeftEdge
)

// drafter lays one piece flat.
type drafter struct {
	*plan
	piece *pattern.Piece
	out   Outline
}

// outline lays a piece flat.
func (pl *plan) outline(piece *pattern.Piece) Outline {
	d := &drafter{plan: pl, piece: piece}
	root := pl.slot(piece.Name, piece.Sections[0].Name)
	if root.First == pattern.OnEdges && !root.sleeve() {
		return Outline{}
	}
	d.out.Double = root.Worked == pattern.InRounds
	if d.out.Double {
		d.dome()
	} else {
		d.out.Points = d.walk(root, 0, 0, true)
	}
	return d.out
}

// sleeve reports whether a section is picked up and yet a part to be drawn:
// shaped at its edges, in rounds, as no edging is.
func (s *slot) sleeve() bool {
	return s.First == pattern.OnEdges && s.Worked == pattern.InRounds && s.Shape == pattern.BothEdges
}

// width of a section's bottom: a strip is drawn as wide as what it carries.
func (d *drafter) width(s *slot) float64 {
	if s.Worked == pattern.Sideways {
		if next := d.over(s); next != nil {
			return float64(d.value[next.start]) * next.w
		}
		return float64(d.value[s.rows]) * s.h
	}
	return float64(d.value[s.start]) * s.w
}

func (d *drafter) height(s *slot) float64 {
	if s.Worked == pattern.Sideways {
		return float64(d.value[s.start]) * s.w
	}
	return float64(d.value[s.rows]) * s.h
}

// over is the section on top of one, where there is just one.
func (d *drafter) over(s *slot) *slot {
	for i := range d.piece.Sections {
		if next := &d.piece.Sections[i]; next.Of == s.Name && !isShare(d.piece, next.Name) {
			return d.slot(d.piece.Name, next.Name)
		}
	}
	return nil
}

// walk goes around a section and all on top of it, from its bottom right
// corner up, along the top, and down to its bottom left corner.
func (d *drafter) walk(s *slot, right, bottom float64, root bool) []Point {
	wide, high := d.width(s), d.height(s)
	gain := float64(d.value[s.end]-d.value[s.start]) * s.w
	r, l := 0., 0.
	switch s.Shape {
	case pattern.RightEdge:
		r = gain
	case pattern.LeftEdge:
		l = gain
	case pattern.BothEdges, pattern.Spread:
		r, l = gain/2, gain/2
	}
	br, bl := Point{right, bottom}, Point{right - wide, bottom}
	tr, tl := Point{right + r, bottom + high}, Point{right - wide - l, bottom + high}
	path := []Point{br, tr}
	switch split, ok := d.splitOf(s); {
	case ok:
		at := tr
		for _, share := range split.Into {
			if share.Rest {
				n := d.value[d.rests[d.piece.Name+"."+share.Name]]
				next := Point{at.X - float64(n)*s.w, at.Y}
				d.measure(Dimension{Name: share.Name, From: next, To: at, MM: at.X - next.X, Count: n, Outer: TopEdge})
				path = append(path, next)
				at = next
				continue
			}
			part := d.slot(d.piece.Name, share.Name)
			path = append(path, d.walk(part, at.X, at.Y, false)...)
			at.X -= d.width(part)
		}
	case d.over(s) != nil:
		path = append(path, d.walk(d.over(s), tr.X, tr.Y, false)...)
	default:
		d.measure(Dimension{Name: s.Name + ", top", From: tl, To: tr, MM: tr.X - tl.X, Count: d.value[s.end], Outer: TopEdge})
	}
	if root {
		base := s
		if s.Worked == pattern.Sideways && d.over(s) != nil {
			base = d.over(s)
		}
		d.measure(Dimension{Name: base.Name + ", width", From: bl, To: br, MM: wide, Count: d.value[base.start], Outer: BottomEdge})
	}
	if s.Worked == pattern.Sideways {
		d.out.Strips = append(d.out.Strips, []Point{br, tr, tl, bl})
		d.measure(Dimension{Name: s.Name, From: bl, To: tl, MM: high, Count: d.value[s.start], Outer: LeftEdge})
	} else {
		d.measure(Dimension{Name: s.Name, From: bl, To: Point{bl.X, tl.Y}, MM: high, Count: d.value[s.rows], Rows: true, Outer: LeftEdge})
	}
	return tidy(append(path, tl, bl))
}

// measure keeps a dimension, once.
func (d *drafter) measure(m Dimension) {
	same := func(o Dimension) bool {
		return o.Outer == m.Outer && o.Count == m.Count && o.Rows == m.Rows && math.Abs(o.MM-m.MM) < 0.01 && math.Abs(o.From.Y-m.From.Y) < 0.01 && math.Abs(o.To.Y-m.To.Y) < 0.01
	}
	if m.MM > 0 && !slices.ContainsFunc(d.out.Dimensions, same) {
		d.out.Dimensions = append(d.out.Dimensions, m)
	}
}

func (d *drafter) splitOf(s *slot) (pattern.Split, bool) {
	for _, split := range d.piece.Splits {
		if split.Of == s.Name {
			return split, true
		}
	}
	return pattern.Split{}, false
}

// tidy drops points that stand where the one before them stands.
func tidy(points []Point) []Point {
	return slices.CompactFunc(points, func(a, b Point) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 0.01 })
}

// dome lays work in rounds flat, the first round at the top: a disc becomes
// the rounded crown over what follows it.
func (d *drafter) dome() {
	var rounds []*slot
	y := 0.
	for i := range d.piece.Sections {
		s := d.slot(d.piece.Name, d.piece.Sections[i].Name)
		if s.Worked != pattern.InRounds || s.First == pattern.OnEdges && !s.sleeve() {
			break
		}
		rounds = append(rounds, s)
		y += d.height(s)
	}
	var right []Point
	for _, s := range rounds {
		rows, top := d.value[s.rows], y
		right = append(right, Point{d.across(s), y})
		w := &writer{plan: d.plan, piece: d.piece}
		for i, n := range w.profile(s) {
			y -= s.h
			x := float64(n) * s.w / 4
			if s.Shape == pattern.Raglan { // without the sleeves
				x = d.yokeWidth(w, s, i) / 2
			}
			right = append(right, Point{x, y})
		}
		edge := right[len(right)-1].X
		d.measure(Dimension{Name: s.Name, From: Point{-edge, y}, To: Point{-edge, top}, MM: top - y, Count: rows, Rows: true, Outer: LeftEdge})
	}
	d.around(rounds, right)
	points := slices.Clone(right)
	for _, p := range slices.Backward(right) {
		points = append(points, Point{-p.X, p.Y})
	}
	slices.Reverse(points) // upwards on the right
	d.out.Points = tidy(points)
}

// around measures work in rounds laid double: where it is widest, and where a
// yoke or a sleeve begins or ends.
func (d *drafter) around(rounds []*slot, right []Point) {
	first, last := right[0], right[len(right)-1]
	level := func(name string, half, y float64, layers float64, edge Edge) {
		mm := 2 * half * layers
		d.measure(Dimension{Name: name, From: Point{-half, y}, To: Point{half, y}, MM: mm, Count: int(math.Round(mm / rounds[0].w)), Single: layers == 1, Outer: edge})
	}
	if rounds[0].sleeve() {
		level("around the top", first.X, first.Y, 2, TopEdge)
		level("around the end", last.X, last.Y, 2, BottomEdge)
		return
	}
	if rounds[0].Shape == pattern.Raglan {
		level("neck of the back", first.X, first.Y, 1, TopEdge)
	}
	widest := slices.MaxFunc(right, func(a, b Point) int { return cmp.Compare(a.X, b.X) })
	level("around", widest.X, last.Y, 2, BottomEdge)
}

// across is half the width of work in rounds, laid double, before a section's
// first round.
func (d *drafter) across(s *slot) float64 {
	switch {
	case s.First == pattern.OnRing:
		return 0
	case s.Shape == pattern.Raglan:
		return float64(d.value[s.panels.body.start]) * s.w / 2
	}
	return float64(d.value[s.start]) * s.w / 4
}

// yokeWidth is how wide the back of a raglan is after a round.
func (d *drafter) yokeWidth(w *writer, s *slot, round int) float64 {
	n := d.value[s.panels.body.start]
	grows, err := w.grows(s, s.panels.body)
	for i := 0; i <= round && err == nil; i++ {
		n += 2 * grows[i]
	}
	return float64(n) * s.w
}
