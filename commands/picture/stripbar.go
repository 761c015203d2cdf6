package picture

import (
	"math"
	"strconv"
)

const (
	barHeight  = 6.5
	perPlace   = 7.8 // millimetres that a place with figures needs
	perMark    = 1.7 // and one without
	shortestST = 1.5 // a stitch is marked off from this width
)

// bars draws a flat row as one or more lines below one another. All lines
// have the same scale and break after a place.
func (s Strip) bars(sh *sheet, places []place, after int) {
	figures := len(places) <= mostNumbered
	room := sheetWidth - 2*margin
	need := perMark
	if figures {
		need = perPlace
	}
	if figures && len(places) > 0 {
		widest := TextWidth(strconv.Itoa(s.Stitches), smallSize, false) + 1.2
		need = max(need, widest)
	}
	lines := max(1, ceil(float64(len(places)+1)*need/room))
	each := ceilDiv(s.Stitches, lines)
	// Cut after places so that no line is longer than it must be.
	var cuts []int // the last stitch of each line
	end := func(p place) int { return p.first + s.Width - 1 }
	for _, p := range places {
		if len(cuts) < lines-1 && end(p) >= each*(len(cuts)+1) {
			cuts = append(cuts, end(p))
		}
	}
	if len(cuts) == 0 || cuts[len(cuts)-1] < s.Stitches {
		cuts = append(cuts, s.Stitches)
	}
	longest, from := 0, 0
	for _, c := range cuts {
		longest, from = max(longest, c-from), c
	}
	unit := room / float64(longest)
	from = 0
	next := 0
	for i, c := range cuts {
		b := bar{s: s, sh: sh, unit: unit, from: from, to: c, figures: figures, last: i == len(cuts)-1, after: after,
			half: min(signHalf, 0.42*room/float64(max(1, len(places)/len(cuts))))}
		for next < len(places) && places[next].first <= c {
			b.places = append(b.places, places[next])
			next++
		}
		b.draw(uneven(places))
		from = c
	}
}

// bar is one line of a strip.
type bar struct {
	s        Strip
	sh       *sheet
	unit     float64 // of a stitch
	from, to int     // its stitches: from+1 … to
	places   []place
	after    int // plain stitches at the end of the row
	figures  bool
	last     bool
	half     float64 // half the width of a sign
}

// x is where a stitch ends.
func (b bar) x(stitch int) float64 { return margin + float64(stitch-b.from)*b.unit }

func (b bar) draw(counts bool) {
	top := b.sh.y + 4
	if b.s.What == Buttonholes {
		top -= 2.5
	}
	bottom := top + barHeight
	box := func(from, to int, fill Colour) {
		b.sh.Add(Path{Points: []Point{{b.x(from), top}, {b.x(to), top}, {b.x(to), bottom}, {b.x(from), bottom}}, Closed: true, Pen: Pen{Fill: fill}})
	}
	box(b.from, b.to, Cloth)
	for _, p := range b.places {
		if b.s.What == Buttonholes {
			b.hole(p, top)
			continue
		}
		box(p.first-1, p.first-1+b.s.Width, tint(b.s.What.colour()))
	}
	if b.unit >= shortestST {
		for st := b.from + 1; st < b.to; st++ {
			b.sh.Add(Path{Points: []Point{{b.x(st), bottom - 1}, {b.x(st), bottom}}, Pen: Pen{Stroke: Pencil, Width: thin}})
		}
	}
	for _, p := range b.places { // what touches its neighbour is kept apart
		if p.plain == 0 && p.first-1 > b.from {
			b.sh.Add(Path{Points: []Point{{b.x(p.first - 1), top}, {b.x(p.first - 1), bottom}}, Pen: Pen{Stroke: Pencil, Width: thin}})
		}
	}
	b.sh.Add(Path{Points: []Point{{b.x(b.from), top}, {b.x(b.to), top}, {b.x(b.to), bottom}, {b.x(b.from), bottom}}, Closed: true, Pen: Pen{Stroke: Ink, Width: thin}})
	b.marks(top, bottom, counts)
	b.sh.y = bottom + 1
	if b.figures && len(b.places) > 0 {
		b.sh.y += smallSize + 1
	}
}

// marks draws the signs and figures of a bar. Where places crowd, a figure
// that would touch the one before it is left out.
func (b bar) marks(top, bottom float64, counts bool) {
	done := b.from
	above, below := math.Inf(-1), math.Inf(-1) // where the last figures end
	for _, p := range b.places {
		mid := (b.x(p.first-1) + b.x(p.first-1+b.s.Width)) / 2
		switch {
		case counts:
			t := Text{At: Point{mid, top - 0.8}, Text: "+" + strconv.Itoa(p.times), Size: smallSize, Anchor: Middle, Bold: true, Colour: b.s.What.colour()}
			above = b.figure(t, above)
		case b.s.What != Buttonholes:
			b.s.sign(b.sh.Drawing, Point{mid, top - 0.5}, b.half)
		}
		if b.figures {
			b.gap(done, p.first-1, p.plain, top)
			t := Text{At: Point{mid, bottom + 0.8 + capHeight*smallSize}, Text: strconv.Itoa(p.first), Size: smallSize, Anchor: Middle, Colour: Pencil}
			below = b.figure(t, below)
		}
		done = p.first - 1 + b.s.Width
	}
	if b.last && b.figures {
		b.gap(done, b.to, b.after, top)
	}
}

// figure writes a figure, kept on the sheet, if it stays clear of where the
// one before it ends; it returns where the last one ends.
func (b bar) figure(t Text, ends float64) float64 {
	half := t.Width() / 2
	t.At.X = min(max(t.At.X, 1+half), b.sh.Width-1-half)
	if t.At.X-half < ends+0.4 {
		return ends
	}
	b.sh.Add(t)
	return t.At.X + half
}

// gap writes how many plain stitches there are, where that fits.
func (b bar) gap(from, to, plain int, top float64) {
	t := Text{At: Point{(b.x(from) + b.x(to)) / 2, top + barHeight/2 + capHeight*textSize/2 - 0.4}, Text: strconv.Itoa(plain), Size: textSize, Anchor: Middle, Colour: Ink}
	if t.Width()+0.4 > b.x(to)-b.x(from) {
		t.Size = smallSize
	}
	if plain > 0 && t.Width()+0.2 <= b.x(to)-b.x(from) {
		b.sh.Add(t)
	}
}

func (b bar) hole(p place, top float64) {
	from, to := b.x(p.first-1), b.x(p.first-1+b.s.Width)
	b.sh.Add(Circle{Centre: Point{(from + to) / 2, top + barHeight/2}, R: (to - from) / 2, RY: barHeight/2 - 1.1,
		Pen: Pen{Fill: Paper, Stroke: b.s.What.colour(), Width: medium}})
}

// tint is a light shade of a colour on the ground.
func tint(c Colour) Colour {
	mix := func(a, b uint8) uint8 { return uint8((int(a) + 2*int(b)) / 3) }
	return Colour{mix(c.R, Paper.R), mix(c.G, Paper.G), mix(c.B, Paper.B), 0xFF}
}

func ceil(v float64) int {
	n := int(v)
	if float64(n) < v {
		n++
	}
	return n
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }
