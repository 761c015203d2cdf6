package picture

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Distances around a dimension line, in millimetres of the sheet.
const (
	nearest   = 2.4 // from the outline to the first line
	stepOut   = 0.8 // tried farther out by this
	airAside  = 1.2 // left and right of a label together
	airText   = 1.4 // above and below it together
	airLine   = 0.8 // on both sides of a dimension line
	overhang  = 0.8 // of an extension line beyond it
	arrowLong = 1.5
	pencil    = 0.22
)

// placed is a dimension in the coordinates of a block, its side chosen.
type placed struct {
	Dimension
	from, to Point
}

// inOrder brings dimensions to a block, the short ones first: they go next to
// the outline, the long ones around them.
func inOrder(all []Dimension, at func(Point) Point, shape box) []placed {
	out := make([]placed, 0, len(all))
	for _, d := range all {
		p := placed{Dimension: d, from: at(d.From), to: at(d.To)}
		if p.Side == AnySide {
			p.Side = p.nearest(shape)
		}
		// One that has no extent on its side is drawn along its line.
		if (p.Side == Top || p.Side == Bottom) && p.from.X == p.to.X || (p.Side == Left || p.Side == Right) && p.from.Y == p.to.Y {
			p.Side = Along
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b placed) int {
		return cmp.Or(cmp.Compare(b.Side, a.Side), cmp.Compare(a.span(), b.span()))
	})
	return out
}

// nearest chooses a side for a dimension.
func (p placed) nearest(shape box) Side {
	dx, dy := math.Abs(p.to.X-p.from.X), math.Abs(p.to.Y-p.from.Y)
	mid := Point{(p.from.X + p.to.X) / 2, (p.from.Y + p.to.Y) / 2}
	switch {
	case dy < 0.1*dx && mid.Y < shape.centre().Y:
		return Top
	case dy < 0.1*dx:
		return Bottom
	case dx < 0.1*dy && mid.X < shape.centre().X:
		return Left
	case dx < 0.1*dy:
		return Right
	}
	return Along
}

// span is the length that the dimension shows.
func (p placed) span() float64 {
	switch p.Side {
	case Top, Bottom:
		return math.Abs(p.to.X - p.from.X)
	case Left, Right:
		return math.Abs(p.to.Y - p.from.Y)
	}
	return math.Hypot(p.to.X-p.from.X, p.to.Y-p.from.Y)
}

// dimension places one: the nearest line outside the outline at which its
// label is free. Extension lines that would cross a label are left out.
func (b *block) dimension(p placed) {
	frame := b.axes(p)
	labels := forms(p.Label, p.Side == Left || p.Side == Right || p.Side == Along, p.span())
	for _, extended := range []bool{true, false} {
		farthest := 40.0
		if !extended { // beyond everything there is always room
			farthest = 1000
		}
		for out := nearest; out < farthest; out += stepOut {
			if b.attempt(frame, labels, out, extended) {
				return
			}
		}
	}
}

// axes is a dimension's own system: t runs along its line from 0 to span, out
// away from the piece.
type axes struct {
	origin     Point
	along, out Point // unit vectors
	span       float64
	from, to   float64 // how far the measured points lie behind the origin's line
	inner      bool    // the line may cross the outline: check it
	end        int     // 1 or -1: it lies in the last or the first part of the piece along t
}

func (f axes) at(t, out float64) Point {
	return Point{f.origin.X + f.along.X*t + f.out.X*out, f.origin.Y + f.along.Y*t + f.out.Y*out}
}

func (b *block) axes(p placed) axes {
	from, to := p.from, p.to
	switch p.Side {
	case Top, Bottom:
		if from.X > to.X {
			from, to = to, from
		}
		f := axes{origin: Point{from.X, b.shape.y2}, along: Point{1, 0}, out: Point{0, 1}, span: to.X - from.X, from: b.shape.y2 - from.Y, to: b.shape.y2 - to.Y}
		if p.Side == Top {
			f.origin.Y, f.out.Y, f.from, f.to = b.shape.y1, -1, from.Y-b.shape.y1, to.Y-b.shape.y1
		}
		f.end = endOf(from.X, to.X, b.shape.centre().X)
		return f
	case Left, Right:
		if from.Y > to.Y {
			from, to = to, from
		}
		f := axes{origin: Point{b.shape.x2, from.Y}, along: Point{0, 1}, out: Point{1, 0}, span: to.Y - from.Y, from: b.shape.x2 - from.X, to: b.shape.x2 - to.X}
		if p.Side == Left {
			f.origin.X, f.out.X, f.from, f.to = b.shape.x1, -1, from.X-b.shape.x1, to.X-b.shape.x1
		}
		f.end = endOf(from.Y, to.Y, b.shape.centre().Y)
		return f
	}
	span := p.span()
	f := axes{origin: from, along: Point{(to.X - from.X) / span, (to.Y - from.Y) / span}, span: span, inner: true}
	f.out = Point{f.along.Y, -f.along.X}
	if inside(b.outline, f.at(span/2, 0.3)) {
		f.out = Point{-f.out.X, -f.out.Y}
	}
	return f
}

// endOf says on which side of a centre something lies whole.
func endOf(from, to, centre float64) int {
	switch {
	case from >= centre:
		return 1
	case to <= centre:
		return -1
	}
	return 0
}

// attempt draws a dimension at a distance if it is free there.
func (b *block) attempt(f axes, labels []lettering, out float64, extended bool) bool {
	line := segment{f.at(0, out), f.at(f.span, out)}
	if !b.lineFree(line, f.inner) {
		return false
	}
	var extensions []segment
	if extended {
		for _, e := range []struct{ t, behind float64 }{{0, f.from}, {f.span, f.to}} {
			ext := b.visible(segment{f.at(e.t, 0.6-e.behind), f.at(e.t, out+overhang)})
			if !b.clear(ext) {
				return false
			}
			extensions = append(extensions, ext)
		}
	}
	room, text, found := b.label(f, labels, out, append(extensions, line))
	if !found {
		return false
	}
	for _, e := range extensions {
		b.under = append(b.under, Path{Points: []Point{e.a, e.b}, Pen: Pen{Stroke: Rule, Width: pencil}})
	}
	b.add(Path{Points: []Point{line.a, line.b}, Pen: Pen{Stroke: Pencil, Width: pencil}})
	b.tips(f, out)
	text.draw(b, room, Ink)
	b.lines = append(append(b.lines, extensions...), line)
	b.take(room)
	for _, band := range line.bands() {
		b.bands = append(b.bands, band)
		b.extent = b.extent.join(band)
	}
	return true
}

// visible is the part of an extension line beyond the last edge of the piece
// that it crosses.
func (b *block) visible(ext segment) segment {
	for _, e := range edges(b.outline) {
		if !ext.meets(e) {
			continue
		}
		dx, dy := ext.b.X-ext.a.X, ext.b.Y-ext.a.Y
		ex, ey := e.b.X-e.a.X, e.b.Y-e.a.Y
		t := ((e.a.X-ext.a.X)*ey - (e.a.Y-ext.a.Y)*ex) / (dx*ey - dy*ex)
		ext.a = Point{ext.a.X + t*dx, ext.a.Y + t*dy}
	}
	return ext
}

// lineFree reports whether a dimension line keeps its distance from texts and
// other dimension lines.
func (b *block) lineFree(line segment, inner bool) bool {
	for _, band := range line.bands() {
		if slices.ContainsFunc(b.bands, band.overlaps) || slices.ContainsFunc(b.texts, band.overlaps) {
			return false
		}
	}
	return !inner || !slices.ContainsFunc(b.lines, line.meets)
}

// bands is what a dimension line keeps free around it: one box, or small ones
// along a slanting line. Two lines that follow one another may touch.
func (s segment) bands() []box {
	b := bounds([]Point{s.a, s.b})
	switch {
	case b.height() < 0.01:
		return []box{{b.x1 + 0.1, b.y1 - airLine, b.x2 - 0.1, b.y2 + airLine}}
	case b.width() < 0.01:
		return []box{{b.x1 - airLine, b.y1 + 0.1, b.x2 + airLine, b.y2 - 0.1}}
	}
	n := max(1, int(math.Hypot(b.width(), b.height())/airLine))
	all := make([]box, n)
	for i := range all {
		t := (float64(i) + 0.5) / float64(n)
		all[i] = boxAt(Point{s.a.X + t*(s.b.X-s.a.X), s.a.Y + t*(s.b.Y-s.a.Y)}, 2*airLine, 2*airLine)
	}
	return all
}

// label finds a place for one of the forms of a label beyond its line.
func (b *block) label(f axes, labels []lettering, out float64, own []segment) (box, lettering, bool) {
	for _, text := range labels {
		w, h := text.width()+airAside, text.height()+airText
		reach := (math.Abs(f.out.X)*w + math.Abs(f.out.Y)*h) / 2
		for _, t := range f.tries(math.Abs(f.along.X)*w + math.Abs(f.along.Y)*h) {
			c := f.at(t, out+reach+overhang+0.1)
			room := boxAt(c, w, h)
			if b.free(room) && !slices.ContainsFunc(own, func(s segment) bool { return s.crosses(room) }) {
				return room, text, true
			}
		}
	}
	return box{}, lettering{}, false
}

// tries are the places along a line where the middle of a label is tried, the
// best first: in the middle, but a label longer than its line, at one end of
// the piece, reaches out over that end rather than into its neighbours.
func (f axes) tries(long float64) []float64 {
	mid := f.span / 2
	all := []float64{mid, 0.62 * f.span, 0.38 * f.span, 0.74 * f.span, 0.26 * f.span, 0.86 * f.span, 0.14 * f.span}
	if long <= f.span {
		return all
	}
	forth, back := long/2, f.span-long/2 // from the start on; up to the end
	switch {
	case f.end > 0:
		return append([]float64{forth, mid, back}, all...)
	case f.end < 0:
		return append([]float64{back, mid, forth}, all...)
	}
	return append([]float64{mid, back, forth}, all...)
}

// tips draws arrowheads at both ends of a line, or strokes where it is short.
func (b *block) tips(f axes, out float64) {
	if f.span < 3*arrowLong {
		for _, t := range []float64{0, f.span} {
			b.add(Path{Points: []Point{f.at(t, out-0.6), f.at(t, out+0.6)}, Pen: Pen{Stroke: Pencil, Width: medium}})
		}
		return
	}
	b.add(Path{Points: []Point{f.at(0, out), f.at(arrowLong, out-0.6), f.at(arrowLong, out+0.6)}, Closed: true, Pen: Pen{Fill: Pencil}})
	b.add(Path{Points: []Point{f.at(f.span, out), f.at(f.span-arrowLong, out-0.6), f.at(f.span-arrowLong, out+0.6)}, Closed: true, Pen: Pen{Fill: Pencil}})
}

// forms are the ways to set a label, the best first: on one line where the
// span has room for it, else broken at its dots.
func forms(label string, upright bool, span float64) []lettering {
	label = cleanLine(label)
	one := lettering{[]string{label}, textSize, false}
	parts := strings.Split(label, " · ")
	broken := lettering{parts, textSize, false}
	switch {
	case len(parts) == 1:
		return []lettering{one}
	case upright:
		return []lettering{broken, {parts, smallSize, false}, one}
	case one.width() > span:
		return []lettering{broken, one}
	}
	return []lettering{one, broken}
}

// narrowest is the width that a label can be brought to.
func narrowest(label string) float64 {
	return forms(label, true, 0)[0].width()
}
