package picture

import (
	"math"
	"slices"

	"countwright/calc/stitch"
)

// widthOfStitch is the room of a stitch on a chart: as wide as the sheet
// allows, and wider sheets for wider charts.
const (
	leastStitch = 3.2
	mostStitch  = 7.0
)

// flat draws rows from the bottom up.
func (c Chart) flat() *Drawing {
	xs := c.columns()
	left, right := math.Inf(1), math.Inf(-1)
	for i, row := range xs {
		for j, x := range row {
			w := c.Rows[i].Cells[j].wide(i == 0) / 2
			left, right = min(left, x-w), max(right, x+w)
		}
	}
	gutter := 3.0 // for the row numbers
	for i, r := range c.Rows {
		gutter = max(gutter, TextWidth(r.order(i), smallSize, true)+2.5)
	}
	u := (sheetWidth - 2*margin - 2*gutter) / (right - left)
	u = min(mostStitch, max(leastStitch, u))
	width := max(sheetWidth, (right-left)*u+2*margin+2*gutter)
	sh := wideSheet(width, c.Title, c.describe())

	height := 0.0
	for _, r := range c.Rows {
		height += r.tall() * u
	}
	x0 := (width - (right-left)*u) / 2
	bottom := sh.y + 2 + height
	place := func(x float64) float64 { return x0 + (x-left)*u }
	var ink inks
	y := bottom
	for i, r := range c.Rows {
		top := y - r.tall()*u
		c.band(sh.Drawing, i, y, top, x0-gutter, x0+(right-left)*u+gutter)
		c.label(sh.Drawing, i, (y+top)/2, x0, x0+(right-left)*u)
		var below []float64
		if i > 0 {
			below = xs[i-1]
		}
		for j, cell := range r.Cells {
			c.stand(&ink, cell, r.rooted(j), place, below, xs[i], j, y, top+0.06*u, u)
		}
		y = top
	}
	ink.flush(sh.Drawing)
	sh.y = bottom + 1
	c.key(sh)
	return sh.finish()
}

// columns are the middles of all cells in units of a stitch, in the order of
// each row's working.
func (c Chart) columns() [][]float64 {
	xs := make([][]float64, len(c.Rows))
	for i, r := range c.Rows {
		n := len(r.Cells)
		wanted, wide := make([]float64, n), make([]float64, n)
		for j, cell := range r.Cells {
			wide[j] = cell.wide(i == 0)
			wanted[j] = math.NaN()
			if cell.From >= 0 {
				wanted[j] = (xs[i-1][cell.From] + xs[i-1][cell.To]) / 2
			}
		}
		if !r.FromLeft {
			slices.Reverse(wanted)
			slices.Reverse(wide)
		}
		xs[i] = columnsOf(wanted, wide)
		if !r.FromLeft {
			slices.Reverse(xs[i])
		}
	}
	return xs
}

// band shades every second row, so that the eye keeps to it.
func (c Chart) band(d *Drawing, i int, bottom, top, left, right float64) {
	if i%2 == 0 {
		d.Add(Path{Points: []Point{{left, bottom}, {right, bottom}, {right, top}, {left, top}}, Closed: true, Pen: Pen{Fill: Cloth}})
	}
}

// label writes the number of a row at the side where it starts.
func (c Chart) label(d *Drawing, i int, middle, left, right float64) {
	t := Text{At: Point{right + 1.2, middle + capHeight*smallSize/2}, Text: c.Rows[i].order(i), Size: smallSize, Bold: true, Colour: Pencil}
	if c.Rows[i].FromLeft {
		t.At.X, t.Anchor = left-1.2, End
	}
	d.Add(t)
}

// stand draws a cell of a flat row between the row's foot and its top.
func (c Chart) stand(ink *inks, cell Cell, rooted bool, place func(float64) float64, below, own []float64, j int, foot, top, u float64) {
	x := place(own[j])
	if cell.Chains > 0 && !cell.Turning && cell.Symbol.Shape == stitch.Oval {
		from, to := x-cell.wide(below == nil)*u/2, x+cell.wide(below == nil)*u/2
		level := top + 0.3*u
		if below == nil {
			level = (foot + top) / 2
		}
		ink.garland(Point{from, level}, Point{to, level}, cell.Chains, u)
		return
	}
	feet := []Point{{x, foot}}
	if cell.From >= 0 && !cell.Turning {
		feet = feet[:0]
		for k := cell.From; k <= cell.To; k++ {
			feet = append(feet, Point{place(below[k]), foot})
		}
		if cell.Symbol.Join != stitch.AtTop && cell.Symbol.Join != stitch.Cross && len(feet) > 1 {
			feet = []Point{{(feet[0].X + feet[len(feet)-1].X) / 2, foot}}
		}
	}
	tall := cell.tall() * u
	if cell.Turning {
		tall = foot - top
	}
	ink.cell(cell, rooted, feet, Point{x, max(top, foot-tall)}, u)
}

// garland draws a run of chains from one point to another, bowed upwards when
// it is longer than the way.
func (k *inks) garland(from, to Point, n int, u float64) {
	h := hand{k, u, Pen{Stroke: Ink, Width: max(0.16, 0.085*u)}}
	a := newAxis(from, to)
	each := 0.8 * u
	rise := 0.0
	if need := each * float64(n); need > a.long {
		each = max(each*0.6, a.long/float64(n))
		if need := each * float64(n); need > a.long {
			rise = math.Sqrt(0.375 * a.long * (need - a.long)) // of a flat parabola of that length
		}
	} else {
		each = a.long / float64(n)
	}
	point := func(t float64) Point { return a.at(t*a.long, -4*rise*t*(1-t)) }
	for i := range n {
		t := (float64(i) + 0.5) / float64(n)
		p, q := point(t-0.5/float64(n)), point(t+0.5/float64(n))
		dir := newAxis(p, q)
		h.oval(point(t), dir.along, 0.86*min(each, 0.75*u), 0.34*u)
	}
}
