package picture

import (
	"math"

	"countwright/calc/stitch"
)

// inks collects the strokes and fills of symbols, so that they are painted in
// few goes.
type inks struct {
	strokes, fills []Mark
	texts          []Mark
}

func (k *inks) flush(d *Drawing) {
	d.Marks = append(append(append(d.Marks, k.fills...), k.strokes...), k.texts...)
}

// hand draws one symbol: its size is the width of a stitch.
type hand struct {
	*inks
	u   float64
	pen Pen
}

func (h hand) line(points ...Point) { h.strokes = append(h.strokes, Path{Points: points, Pen: h.pen}) }

func (h hand) curve(points ...Point) {
	h.strokes = append(h.strokes, Path{Points: points, Curve: true, Pen: h.pen})
}

// axis is a stem from foot to top: unit vectors along it and to its right.
type axis struct {
	foot          Point
	along, across Point
	long          float64
}

func newAxis(foot, top Point) axis {
	dx, dy := top.X-foot.X, top.Y-foot.Y
	l := math.Hypot(dx, dy)
	if l == 0 {
		dx, dy, l = 0, -1, 1e-9
	}
	return axis{foot, Point{dx / l, dy / l}, Point{-dy / l, dx / l}, l}
}

// at is a point so far along the axis and to its right.
func (a axis) at(along, right float64) Point {
	return Point{a.foot.X + a.along.X*along + a.across.X*right, a.foot.Y + a.along.Y*along + a.across.Y*right}
}

// cell draws a stitch that stands on its feet; a rooted one shares its foot
// with a neighbour.
func (k *inks) cell(c Cell, rooted bool, feet []Point, top Point, u float64) {
	h := hand{k, u, Pen{Stroke: Ink, Width: max(0.16, 0.085*u)}}
	middle := Point{}
	for _, f := range feet {
		middle.X += f.X / float64(len(feet))
		middle.Y += f.Y / float64(len(feet))
	}
	a := newAxis(middle, top)
	s := c.Symbol
	switch {
	case c.Turning || s.Shape == stitch.Oval && c.Chains > 1:
		h.chain(feet[0], top, max(1, c.Chains))
	case s.Shape == stitch.Oval && s.Chains > 1:
		h.picot(a, s.Chains)
	case s.Shape == stitch.Oval:
		h.oval(Point{middle.X, middle.Y - 0.25*u}, Point{1, 0}, 0.66*u, 0.36*u)
	case s.Shape == stitch.Dot:
		k.fills = append(k.fills, Circle{Centre: a.at(min(0.3*u, a.long/2), 0), R: 0.17 * u, Pen: Pen{Fill: Ink}})
	case s.Shape == stitch.Ring:
		k.strokes = append(k.strokes, Circle{Centre: a.at(a.long/2, 0), R: 0.4 * u, Pen: h.pen})
	case s.Shape == stitch.Wave:
		h.wave(a)
	case s.Shape == stitch.Puff:
		h.puff(a)
	case s.Shape == stitch.Plus || s.Shape == stitch.Tilde:
		h.plus(s, rooted, feet, top, a)
	case s.Shape == stitch.Stem:
		h.stems(s, feet, top, a)
	case s.Mark == "":
		h.line(a.at(0.1*u, -0.25*u), a.at(0.6*u, -0.25*u), a.at(0.6*u, 0.25*u), a.at(0.1*u, 0.25*u), a.at(0.1*u, -0.25*u))
	}
	h.foot(s, a)
	if s.Mark != "" {
		h.mark(s, a)
	}
}

// plus draws crosses: one, or one on each leg.
func (h hand) plus(s stitch.Symbol, rooted bool, feet []Point, top Point, a axis) {
	u := h.u
	legs := legsOf(s, feet, top, 0.42*u)
	if len(legs) == 1 && !rooted {
		c := a.long * 0.5
		h.line(a.at(c-0.33*u, 0), a.at(c+0.33*u, 0))
		h.line(a.at(c, -0.33*u), a.at(c, 0.33*u))
		if s.Shape == stitch.Tilde {
			y := c + 0.5*u
			h.curve(a.at(y, -0.33*u), a.at(y+0.25*u, -0.15*u), a.at(y-0.25*u, 0.15*u), a.at(y, 0.33*u))
		}
		return
	}
	for _, l := range legs {
		h.line(l.at(0.08*u, 0), l.at(l.long-0.05*u, 0))
		h.line(l.at(l.long*0.5, -0.22*u), l.at(l.long*0.5, 0.22*u))
	}
}

// stems draws posts with their bars.
func (h hand) stems(s stitch.Symbol, feet []Point, top Point, a axis) {
	u := h.u
	if s.Join == stitch.AtBoth && len(feet) == 1 {
		h.cluster(s, a)
		return
	}
	legs := legsOf(s, feet, top, 0.42*u)
	joined := len(legs) > 1 && (len(feet) > 1 || s.Join == stitch.AtTop)
	for _, l := range legs {
		h.line(l.at(0.1*u, 0), l.at(l.long-0.06*u, 0))
		h.bars(l, s.Bars)
		if !joined {
			h.line(l.at(l.long-0.06*u, -0.28*u), l.at(l.long-0.06*u, 0.28*u))
		}
	}
	if joined {
		t := newAxis(a.foot, top)
		h.line(t.at(t.long-0.06*u, -0.34*u), t.at(t.long-0.06*u, 0.34*u))
	}
	for i := range s.Chains { // between the two halves of a V
		mid := a.at(a.long, (float64(i)-float64(s.Chains-1)/2)*0.42*u)
		h.oval(mid, a.across, 0.38*u, 0.24*u)
	}
}

// legsOf are the stems of a symbol: one from each foot, or several that part
// from one foot, meet or cross.
func legsOf(s stitch.Symbol, feet []Point, top Point, apart float64) []axis {
	n := max(1, s.Legs)
	var legs []axis
	switch {
	case len(feet) > 1 && s.Join == stitch.Cross:
		for i, f := range feet {
			legs = append(legs, newAxis(f, spread(top, len(feet), 2*apart)[len(feet)-1-i]))
		}
	case len(feet) > 1:
		for _, f := range feet {
			legs = append(legs, newAxis(f, top))
		}
	case n == 1:
		legs = append(legs, newAxis(feet[0], top))
	case s.Join == stitch.AtFoot && s.Chains > 0: // a gap for the chains
		tops := spread(top, n, apart)
		gap := 0.42 * apart * float64(s.Chains)
		for i, t := range tops {
			if i < n/2 {
				t.X -= gap
			} else {
				t.X += gap
			}
			legs = append(legs, newAxis(feet[0], t))
		}
	case s.Join == stitch.AtFoot:
		for _, t := range spread(top, n, apart) {
			legs = append(legs, newAxis(feet[0], t))
		}
	case s.Join == stitch.AtTop:
		for _, f := range spread(feet[0], n, apart) {
			legs = append(legs, newAxis(f, top))
		}
	default:
		feet := spread(feet[0], n, apart)
		for i, t := range spread(top, n, apart) {
			f := feet[i]
			if s.Join == stitch.Cross {
				f = feet[n-1-i]
			}
			legs = append(legs, newAxis(f, t))
		}
	}
	return legs
}

// bars draws the slanting bars that stand for yarn-overs.
func (h hand) bars(l axis, n int) {
	u := h.u
	gap := min(0.26*u, l.long*0.5/float64(n+1))
	for i := range n {
		at := l.long*0.62 - float64(i)*gap
		h.line(l.at(at-0.1*u, -0.2*u), l.at(at+0.1*u, 0.2*u))
	}
}

// cluster draws legs that leave one foot and meet at the top.
func (h hand) cluster(s stitch.Symbol, a axis) {
	u := h.u
	n := max(2, s.Legs)
	for i := range n {
		bulge := (float64(i) - float64(n-1)/2) * min(0.5*u, 1.3*u/float64(n))
		h.curve(a.at(0.08*u, 0), a.at(a.long*0.35, bulge), a.at(a.long*0.65, bulge), a.at(a.long-0.08*u, 0))
		for j := range s.Bars {
			at, out := a.long*(0.55-0.13*float64(j)), bulge*0.75
			h.line(a.at(at-0.07*u, out-0.13*u), a.at(at+0.07*u, out+0.13*u))
		}
	}
	h.line(a.at(a.long-0.06*u, -0.26*u), a.at(a.long-0.06*u, 0.26*u))
}

func (h hand) puff(a axis) {
	u := h.u
	for _, side := range []float64{-1, 1} {
		h.curve(a.at(0.08*u, 0), a.at(a.long*0.3, side*0.42*u), a.at(a.long*0.75, side*0.42*u), a.at(a.long-0.08*u, 0))
	}
	h.line(a.at(0.08*u, 0), a.at(a.long-0.08*u, 0))
}

// chain draws ovals standing one on the other.
func (h hand) chain(foot, top Point, n int) {
	a := newAxis(foot, top)
	each := a.long / float64(n)
	for i := range n {
		h.oval(a.at((float64(i)+0.5)*each, 0), a.along, 0.86*min(each, 0.7*h.u), 0.34*h.u)
	}
}

// picot draws a ring of ovals.
func (h hand) picot(a axis, n int) {
	r := 0.34 * h.u
	for i := range n {
		t := 2 * math.Pi * float64(i) / float64(n)
		c := a.at(0.5*h.u+r*math.Cos(t), r*math.Sin(t))
		dir := Point{a.across.X*math.Cos(t) - a.along.X*math.Sin(t), a.across.Y*math.Cos(t) - a.along.Y*math.Sin(t)}
		h.oval(c, dir, 1.9*r*math.Sin(math.Pi/float64(max(3, n))), 0.25*h.u)
	}
}

// oval draws an ellipse whose long side points in a direction.
func (h hand) oval(c, dir Point, long, wide float64) {
	const k = 0.5523 // a quarter of a circle as a cubic curve
	x, y := long/2, wide/2
	at := func(s, t float64) Point { return Point{c.X + dir.X*s - dir.Y*t, c.Y + dir.Y*s + dir.X*t} }
	h.curve(at(x, 0), at(x, k*y), at(k*x, y), at(0, y), at(-k*x, y), at(-x, k*y), at(-x, 0),
		at(-x, -k*y), at(-k*x, -y), at(0, -y), at(k*x, -y), at(x, -k*y), at(x, 0))
}

func (h hand) wave(a axis) {
	u := h.u
	at := func(x, y float64) Point { return a.at(0.5*u+y, x) }
	h.curve(at(-0.5*u, 0), at(-0.35*u, 0.3*u), at(-0.15*u, 0.3*u), at(0, 0), at(0.15*u, -0.3*u), at(0.35*u, -0.3*u), at(0.5*u, 0))
}

// foot draws the hook of a post stitch and the arc of one loop only.
func (h hand) foot(s stitch.Symbol, a axis) {
	u := h.u
	side := map[stitch.Side]float64{stitch.Front: 1, stitch.Back: -1}
	if p := side[s.Post]; p != 0 { // opens to the right in front, to the left behind
		h.curve(a.at(0.12*u, 0), a.at(-0.06*u, 0), a.at(-0.1*u, p*0.34*u), a.at(0.16*u, p*0.32*u))
	}
	if p := side[s.Arc]; p != 0 { // a cup for the front loop, an arch for the back
		base, tip := 0.0, p*0.16*u
		h.curve(a.at(base+tip/2, -0.34*u), a.at(base-tip, -0.2*u), a.at(base-tip, 0.2*u), a.at(base+tip/2, 0.34*u))
	}
}

// mark writes the letter of a symbol that the lists have no drawing for.
func (h hand) mark(s stitch.Symbol, a axis) {
	size, right := 0.55*h.u, 0.38*h.u
	if s.Shape == stitch.NoShape {
		size, right = 0.8*h.u, 0
	}
	at := a.at(min(a.long, h.u)*0.45, right)
	if right > 0 {
		h.texts = append(h.texts, Text{At: Point{at.X, at.Y + 0.3*size}, Text: s.Mark, Size: size, Colour: Ink})
		return
	}
	h.texts = append(h.texts, Text{At: Point{at.X, at.Y + capHeight*size/2}, Text: s.Mark, Size: size, Anchor: Middle, Colour: Ink})
}
