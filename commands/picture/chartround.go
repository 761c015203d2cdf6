package picture

import (
	"math"

	"countwright/calc/stitch"
)

// rounds draws rounds from the middle outwards, against the clock from the
// top, as a right-handed maker works them.
func (c Chart) rounds() *Drawing {
	const u = 4.2
	gap := 0.0 // at the start of each round, for its number
	for i, r := range c.Rows {
		gap = max(gap, TextWidth(r.order(i), smallSize, true)+1.2)
	}
	radii := c.radii(u, gap)
	outer := radii[len(radii)-1] + 0.3*u
	width := max(sheetWidth, 2*outer+2*margin)
	sh := wideSheet(width, c.Title, c.describe())
	p := polar{Point{width / 2, sh.y + 2 + outer}, gap, u}
	for i := len(c.Rows) - 1; i >= 0; i-- { // rings, the outermost first
		fill := Cloth
		if i%2 == 1 {
			fill = Paper
		}
		sh.Add(Circle{Centre: p.centre, R: radii[i+1], Pen: Pen{Fill: fill}})
	}
	sh.Add(Circle{Centre: p.centre, R: radii[0], Pen: Pen{Fill: Paper, Stroke: Ink, Width: 0.085 * u}})

	var ink inks
	var below []float64
	for i, r := range c.Rows {
		angles, seam := p.angles(r, below)
		for j, cell := range r.Cells {
			p.stand(&ink, cell, r.rooted(j), angles, below, j, radii[i], radii[i+1]-0.06*u, u)
		}
		at := p.at(seam, (radii[i]+radii[i+1])/2)
		ink.texts = append(ink.texts, Text{At: Point{at.X, at.Y + capHeight*smallSize/2}, Text: r.order(i), Size: smallSize, Anchor: Middle, Bold: true, Colour: Pencil})
		below = angles
	}
	ink.flush(sh.Drawing)
	sh.y = p.centre.Y + outer + 1
	c.key(sh)
	return sh.finish()
}

// radii are where the rounds begin and end: far enough out for their height
// and for all their stitches.
func (c Chart) radii(u, gap float64) []float64 {
	all := []float64{0.9 * u}
	for _, r := range c.Rows {
		need := gap
		for _, cell := range r.Cells {
			need += cell.wide(false) * u
		}
		all = append(all, max(all[len(all)-1]+r.tall()*u, need/(2*math.Pi)))
	}
	return all
}

// polar is a plane around a centre; angles run against the clock from the top.
type polar struct {
	centre Point
	gap    float64 // millimetres kept free at the start for the number
	unit   float64 // of a stitch's width
}

func (p polar) at(angle, radius float64) Point {
	return Point{p.centre.X - radius*math.Sin(angle), p.centre.Y - radius*math.Cos(angle)}
}

// angles spreads the cells of a round by their widths, with a seam for its
// number, and turns the whole round so that it stands over what it is worked
// into.
func (p polar) angles(r ChartRow, below []float64) (all []float64, seam float64) {
	sum := p.gap
	for _, cell := range r.Cells {
		sum += cell.wide(false) * p.unit
	}
	turn := 2 * math.Pi / sum // a millimetre
	if r.FromLeft {
		turn = -turn
	}
	at := p.gap / 2 * turn
	astray, known := 0.0, 0.0
	for _, cell := range r.Cells {
		w := cell.wide(false) * p.unit * turn
		all = append(all, at+w/2)
		if below != nil && cell.From >= 0 {
			astray += (below[cell.From]+below[cell.To])/2 - (at + w/2)
			known++
		}
		at += w
	}
	if known > 0 {
		seam = astray / known
	}
	for j := range all {
		all[j] += seam
	}
	return all, seam
}

// stand draws a cell of a round between two radii.
func (p polar) stand(ink *inks, cell Cell, rooted bool, own, below []float64, j int, inner, outer, u float64) {
	if cell.Chains > 0 && !cell.Turning && cell.Symbol.Shape == stitch.Oval {
		half := cell.wide(false) * u / 2 / outer // with the clock, whichever way it was worked
		ink.garland(p.at(own[j]+half, outer-0.3*u), p.at(own[j]-half, outer-0.3*u), cell.Chains, u)
		return
	}
	feet := []Point{p.at(own[j], inner)}
	if below != nil && cell.From >= 0 && !cell.Turning {
		feet = feet[:0]
		for k := cell.From; k <= cell.To; k++ {
			feet = append(feet, p.at(below[k], inner))
		}
		if cell.Symbol.Join != stitch.AtTop && cell.Symbol.Join != stitch.Cross && len(feet) > 1 {
			feet = []Point{p.at((below[cell.From]+below[cell.To])/2, inner)}
		}
	}
	tall := min(cell.tall()*u, outer-inner)
	if cell.Turning || cell.Height > 0 {
		tall = outer - inner
	}
	ink.cell(cell, rooted, feet, p.at(own[j], inner+tall), u)
}
