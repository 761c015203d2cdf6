package picture

import (
	"math"
	"slices"
	"strconv"
)

const (
	ringRadius = 30.0 // of the middle of the band
	ringBand   = 6.5
	mostOnRing = 22 // places that can bear figures
)

// ring draws a round as a band that runs against the clock from the top, as a
// right-handed maker sees it from the right side.
func (s Strip) ring(sh *sheet, places []place, after int) {
	figures := len(places) <= mostOnRing
	r := &ring{s: s, d: sh.Drawing, centre: Point{sheetWidth / 2, sh.y + ringRadius + ringBand/2 + 9}}
	r.d.Add(Circle{Centre: r.centre, R: ringRadius + ringBand/2, Pen: Pen{Fill: Cloth, Stroke: Ink, Width: thin}})
	r.d.Add(Circle{Centre: r.centre, R: ringRadius - ringBand/2, Pen: Pen{Fill: Paper, Stroke: Ink, Width: thin}})
	r.ticks()
	counts := uneven(places)
	done := 0
	for _, p := range places {
		r.place(p, counts, figures)
		if figures {
			r.gap(done, p.first-1, p.plain)
		}
		done = p.first - 1 + s.Width
	}
	if figures {
		r.gap(done, s.Stitches, after)
	}
	r.start()
	sh.y = r.centre.Y + ringRadius + ringBand/2 + 6
}

type ring struct {
	s      Strip
	d      *Drawing
	centre Point
	taken  []box // by figures
}

// at is a point of the ring: so many stitches from the start, at a radius.
func (r ring) at(stitch, radius float64) Point {
	a := 2 * math.Pi * stitch / float64(r.s.Stitches)
	return Point{r.centre.X - radius*math.Sin(a), r.centre.Y - radius*math.Cos(a)}
}

// text writes a figure centred on a point of the ring, unless it would touch
// another, as where places crowd.
func (r *ring) text(stitch, radius float64, t Text) {
	t.At, t.Anchor = r.at(stitch, radius), Middle
	room := boxAt(t.At, t.Width()+0.4, capHeight*t.Size+0.4)
	if slices.ContainsFunc(r.taken, room.overlaps) {
		return
	}
	r.taken = append(r.taken, room)
	t.At.Y += capHeight * t.Size / 2
	r.d.Add(t)
}

// sector paints a part of the band.
func (r ring) sector(from, to float64, pen Pen) {
	const outer, inner = ringRadius + ringBand/2 - thin/2, ringRadius - ringBand/2 + thin/2
	steps := 2 + int(math.Abs(to-from)*90/float64(r.s.Stitches))
	var points []Point
	for i := range steps + 1 {
		points = append(points, r.at(from+(to-from)*float64(i)/float64(steps), outer))
	}
	for i := range steps + 1 {
		points = append(points, r.at(to-(to-from)*float64(i)/float64(steps), inner))
	}
	r.d.Add(Path{Points: points, Closed: true, Pen: pen})
}

func (r ring) ticks() {
	if 2*math.Pi*ringRadius/float64(r.s.Stitches) < shortestST {
		return
	}
	const inner = ringRadius - ringBand/2
	for st := range r.s.Stitches {
		r.d.Add(Path{Points: []Point{r.at(float64(st), inner), r.at(float64(st), inner+1)}, Pen: Pen{Stroke: Pencil, Width: thin}})
	}
}

func (r *ring) place(p place, counts, figures bool) {
	from, to := float64(p.first-1), float64(p.first-1+r.s.Width)
	mid := (from + to) / 2
	pen := Pen{Fill: tint(r.s.What.colour())}
	if r.s.What == Buttonholes {
		pen = Pen{Fill: Paper, Stroke: r.s.What.colour(), Width: medium}
	}
	r.sector(from, to, pen)
	if p.plain == 0 { // what touches its neighbour is kept apart
		r.d.Add(Path{Points: []Point{r.at(from, ringRadius-ringBand/2), r.at(from, ringRadius+ringBand/2)}, Pen: Pen{Stroke: Pencil, Width: thin}})
	}
	const outer = ringRadius + ringBand/2
	switch {
	case counts && figures:
		r.text(mid, ringRadius, Text{Text: "+" + strconv.Itoa(p.times), Size: smallSize, Bold: true, Colour: r.s.What.colour()})
	case r.s.What == Increases:
		r.sign(mid, outer+0.5, outer+2.9)
	case r.s.What == Decreases:
		r.sign(mid, outer+2.9, outer+0.5)
	}
	if figures { // as near as its width allows
		t := Text{Text: strconv.Itoa(p.first), Size: smallSize, Colour: Pencil}
		sin, cos := math.Sincos(2 * math.Pi * mid / float64(r.s.Stitches))
		r.text(mid, outer+3.6+math.Abs(sin)*t.Width()/2+math.Abs(cos)*capHeight*smallSize/2, t)
	}
}

// sign draws a triangle whose point is at one radius and whose base at
// another.
func (r ring) sign(mid, point, base float64) {
	side := min(1.3, 0.8*math.Pi*ringRadius/float64(max(1, len(r.s.Positions)))) * float64(r.s.Stitches) / (2 * math.Pi * base)
	r.d.Add(Path{Points: []Point{r.at(mid, point), r.at(mid-side, base), r.at(mid+side, base)}, Closed: true, Pen: Pen{Fill: r.s.What.colour()}})
}

func (r *ring) gap(from, to, plain int) {
	t := Text{Text: strconv.Itoa(plain), Size: textSize, Colour: Ink}
	room := 2 * math.Pi * ringRadius * float64(to-from) / float64(r.s.Stitches)
	if t.Width()+0.4 > room {
		t.Size = smallSize
	}
	if plain > 0 && t.Width() <= room {
		r.text(float64(from+to)/2, ringRadius+0.4, t)
	}
}

// start marks where the round begins and which way it runs.
func (r ring) start() {
	const inner = ringRadius - ringBand/2
	pen := Pen{Stroke: Ink, Width: medium}
	r.d.Add(Path{Points: []Point{r.at(0, inner-2), r.at(0, ringRadius+ringBand/2+1)}, Pen: pen})
	step := float64(r.s.Stitches) / (2 * math.Pi * (inner - 2)) // stitches a millimetre
	arc := make([]Point, 0, 9)
	for i := range 9 {
		arc = append(arc, r.at(float64(i)*step, inner-2))
	}
	tip := r.at(9.5*step, inner-2)
	r.d.Add(Path{Points: arc, Pen: pen})
	r.d.Add(Path{Points: []Point{tip, r.at(7.5*step, inner-0.9), r.at(7.5*step, inner-3.1)}, Closed: true, Pen: Pen{Fill: Ink}})
	label := Text{At: Point{r.centre.X, r.centre.Y - inner + 7}, Text: "start", Size: smallSize, Anchor: Middle, Colour: Ink}
	r.d.Add(label)
	count := Text{At: Point{r.centre.X, r.centre.Y + 1}, Text: strconv.Itoa(r.s.Stitches), Size: 8, Anchor: Middle, Bold: true, Colour: Ink}
	r.d.Add(count)
	r.d.Add(Text{At: Point{r.centre.X, r.centre.Y + 5.5}, Text: "stitches", Size: textSize, Anchor: Middle, Colour: Pencil})
}
