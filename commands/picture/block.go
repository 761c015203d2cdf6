package picture

import "slices"

// block is a piece laid out in a scale, with all that is written around it,
// in coordinates of its own: the outline's top left is the origin.
type block struct {
	under  []Mark // painted first, so that the piece covers them
	marks  []Mark
	extent box     // of all of it
	foot   float64 // the lower edge of the outline

	outline []Point
	shape   box       // of the outline
	texts   []box     // what nothing else may touch
	bands   []box     // dimension lines with their arrowheads
	lines   []segment // what no text may touch
}

// layout draws a piece in a scale (sheet millimetres a real one).
func (p Piece) layout(scale float64) *block {
	real := bounds(p.Outline)
	at := func(q Point) Point { return Point{(q.X - real.x1) * scale, (real.y2 - q.Y) * scale} }
	b := &block{shape: box{0, 0, real.width() * scale, real.height() * scale}}
	b.extent, b.foot = b.shape, b.shape.y2
	b.outline = mapped(p.Outline, at)
	b.lines = edges(b.outline)

	b.add(Path{Points: b.outline, Closed: true, Pen: Pen{Fill: Cloth}})
	for _, a := range p.Areas {
		area := mapped(a.Outline, at)
		lines := fillArea(b, area, a.Ribs)
		b.lines = append(append(b.lines, lines...), edges(area)...)
		b.add(Path{Points: area, Closed: true, Pen: Pen{Stroke: Pencil, Width: thin}})
	}
	for _, f := range p.Folds {
		fold := segment{at(f[0]), at(f[1])}
		b.lines = append(b.lines, fold)
		b.add(Path{Points: []Point{fold.a, fold.b}, Pen: Pen{Stroke: Pencil, Width: thin, Dash: []float64{1.2, 0.8}}})
	}
	b.add(Path{Points: b.outline, Closed: true, Pen: Pen{Stroke: Ink, Width: medium}})

	for _, d := range inOrder(p.Dimensions, at, b.shape) {
		b.dimension(d)
	}
	b.name(p)
	b.rows(p.Rows)
	return b
}

// Add records a mark, as on a drawing.
func (b *block) Add(m Mark) { b.marks = append(b.marks, m) }

func (b *block) add(m Mark) { b.Add(m) }

// put paints the block on a drawing.
func (b *block) put(d *Drawing, dx, dy float64) {
	move := func(p Point) Point { return Point{p.X + dx, p.Y + dy} }
	for _, m := range slices.Concat(b.under, b.marks) {
		switch m := m.(type) {
		case Path:
			m.Points = mapped(m.Points, move)
			d.Add(m)
		case Circle:
			m.Centre = move(m.Centre)
			d.Add(m)
		case Text:
			m.At = move(m.At)
			d.Add(m)
		}
	}
}

// free reports whether a text may stand in a box.
func (b *block) free(room box) bool {
	for _, taken := range [][]box{b.texts, b.bands} {
		if slices.ContainsFunc(taken, room.overlaps) {
			return false
		}
	}
	for _, l := range b.lines {
		if l.crosses(room) {
			return false
		}
	}
	return true
}

// clear reports whether a line stays off all texts.
func (b *block) clear(line segment) bool {
	return !slices.ContainsFunc(b.texts, line.crosses)
}

// take keeps a box for a text.
func (b *block) take(room box) {
	b.texts = append(b.texts, room)
	b.extent = b.extent.join(room)
}

// closeSet is the distance of the lines of one label, as a part of its size:
// closer than that of two labels.
const closeSet = 1.16

// lettering is lines of text set below one another.
type lettering struct {
	lines []string
	size  float64
	bold  bool
}

func (l lettering) width() float64 {
	w := 0.0
	for _, s := range l.lines {
		w = max(w, TextWidth(s, l.size, l.bold))
	}
	return w
}

// height is from the top of the first line's capitals to the foot of the
// last line's tails.
func (l lettering) height() float64 {
	return float64(len(l.lines)-1)*closeSet*l.size + (capHeight+descent)*l.size
}

// draw sets the lines centred in a box of its width and height.
func (l lettering) draw(to interface{ Add(Mark) }, room box, c Colour) {
	y := room.centre().Y - l.height()/2 + capHeight*l.size
	for _, s := range l.lines {
		to.Add(Text{At: Point{room.centre().X, y}, Text: s, Size: l.size, Anchor: Middle, Bold: l.bold, Colour: c})
		y += closeSet * l.size
	}
}

// name writes the name and notes within the outline where they fit, else
// above all else.
func (b *block) name(p Piece) {
	var text []lettering
	wide := max(b.shape.width()-3, 30)
	if p.Name != "" {
		text = append(text, lettering{wrapText(p.Name, textSize, true, wide), textSize, true})
	}
	for _, n := range p.Notes {
		text = append(text, lettering{wrapText(n, smallSize, false, wide), smallSize, false})
	}
	if len(text) == 0 {
		return
	}
	w, h := 0.0, 0.0
	for _, t := range text {
		w, h = max(w, t.width()), h+t.height()+0.8
	}
	room, found := b.within(w+2, h+1, across, upwards)
	if !found {
		room = boxAt(Point{b.shape.centre().X, b.extent.y1 - 1 - h/2}, w, h)
	}
	b.take(room)
	y := room.centre().Y - h/2
	for i, t := range text {
		c := Pencil
		if i == 0 && p.Name != "" {
			c = Ink
		}
		t.draw(b, boxAt(Point{room.centre().X, y + t.height()/2}, t.width(), t.height()), c)
		y += t.height() + 0.8
	}
}

// Where a text or an arrow is tried within an outline, in parts of its width
// and height.
var (
	across  = []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8}
	upwards = []float64{0.5, 0.58, 0.42, 0.66, 0.34, 0.74, 0.26, 0.82, 0.18}
)

// within looks for a place of a size inside the outline.
func (b *block) within(w, h float64, xs, ys []float64) (box, bool) {
	for _, fx := range xs {
		for _, fy := range ys {
			room := boxAt(Point{b.shape.width() * fx, b.shape.height() * fy}, w, h)
			if b.free(room) && holds(b.outline, room) {
				return room, true
			}
		}
	}
	return box{}, false
}

// rows draws an arrow the way the rows grow, where there is room for one.
func (b *block) rows(d Direction) {
	const long, wide = 6.5, 3.2
	along := map[Direction]Point{Up: {0, -1}, Down: {0, 1}, Leftward: {-1, 0}, Rightward: {1, 0}}[d]
	if d == NoDirection {
		return
	}
	w, h := wide, long
	if along.Y == 0 {
		w, h = long, wide
	}
	room, found := b.within(w+1, h+1, across, upwards)
	if !found {
		return
	}
	b.take(room)
	c := room.centre()
	at := func(a, s float64) Point { return Point{c.X + along.X*a - along.Y*s, c.Y + along.Y*a + along.X*s} }
	b.add(Path{Points: []Point{at(-long/2, 0), at(long/2-1.5, 0)}, Pen: Pen{Stroke: Pencil, Width: medium}})
	b.add(Path{Points: []Point{at(long/2, 0), at(long/2-2.4, 1.3), at(long/2-2.4, -1.3)}, Closed: true, Pen: Pen{Fill: Pencil}})
}

// fillArea paints an area of another stitch and returns its ribs.
func fillArea(to interface{ Add(Mark) }, area []Point, ribs Direction) []segment {
	to.Add(Path{Points: area, Closed: true, Pen: Pen{Fill: Cloth2}})
	if ribs == NoDirection {
		return nil
	}
	lines := hatch(area, ribs == Up || ribs == Down, 1.3)
	for _, l := range lines {
		to.Add(Path{Points: []Point{l.a, l.b}, Pen: Pen{Stroke: Pencil, Width: 0.18}})
	}
	return lines
}

func mapped(points []Point, f func(Point) Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = f(p)
	}
	return out
}
