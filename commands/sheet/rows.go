package sheet

import (
	"fmt"

	"countwright/commands/picture"
)

// Sizes of the boxes to tick, in millimetres.
const (
	boxSize   = 3.3
	boxPitch  = 4.3
	groupGap  = 3.0
	textIn    = 3.0 // between the boxes and the text
	inGroup   = 10
	mostBoxes = 150 // for one line of the text; where it makes more rows, a box stands for several
	mostMade  = 4   // pieces that have boxes of their own
)

// blocks are the rows of a piece.
func (p Piece) blocks(f frame, first bool) []block {
	copies := max(1, min(p.Make, mostMade))
	indent := float64(copies)*boxPitch + textIn
	name := p.Name
	if p.Make > 1 {
		name = f.say("%s (make %d)", name, p.Make)
	}
	var out []block
	if first {
		t := set{x: f.left, width: f.room(), size: smallSize, of: &element{role: para}}
		out = append(out, t.block(0, regular(f.say("Tick a box for each row or round that you have worked."))))
		out[0].keep = true
	}
	if p.Make > mostMade {
		t := set{x: f.left, width: f.room(), size: smallSize, of: &element{role: para}}
		out = append(out, t.block(0, regular(f.say("The boxes are for one of them."))))
		out[len(out)-1].keep = true
	}
	for _, l := range p.Lines {
		t := set{x: f.left + indent, width: f.room() - indent, hang: 4, size: textSize, of: &element{role: para}}
		switch l.Kind {
		case Heading:
			t.x, t.width, t.size, t.hang, t.of = f.left, f.room(), headSize, 0, &element{role: subhead}
			b := t.block(3, bold(l.Text))
			b.keep = true
			out = append(out, b)
		case Note:
			t.hang = 0
			b := t.block(1, regular(l.Text))
			b.keep = true
			out = append(out, b)
		default:
			out = append(out, l.work(t, f, copies))
		}
	}
	return headed(name, f.left, f.room(), out)
}

// work is the text with its boxes: beside it for one row, under it for more.
func (l Line) work(t set, f frame, copies int) block {
	label := ""
	if l.Label != "" {
		label = l.Label + " "
	}
	b := t.block(1.4, bold(label), regular(l.Text))
	if len(b.strips) == 0 {
		b.strips = []strip{{height: leading * t.size}}
	}
	if l.Rows <= 1 {
		var marks []picture.Mark
		for i := range copies {
			marks = append(marks, box(f.left+float64(i)*boxPitch, b.strips[0].height))
		}
		b.strips[0].spans = append(b.strips[0].spans, span{nil, marks})
		return b
	}
	for i := range copies {
		lead := ""
		if copies > 1 {
			lead = f.say("No. %d", i+1)
		}
		b.strips = append(b.strips, l.boxes(t, f, lead)...)
	}
	return b
}

func box(x, height float64) picture.Mark {
	return picture.Path{Closed: true, Pen: picture.Pen{Stroke: black, Width: 0.3}, Points: corners(x, (height-boxSize)/2, boxSize, boxSize)}
}

// boxes is small boxes in groups of ten, each group after the number of its
// first row.
func (l Line) boxes(t set, f frame, lead string) []strip {
	each := (l.Rows + mostBoxes - 1) / mostBoxes
	if each > 1 {
		each = (each + 4) / 5 * 5
	}
	n := (l.Rows + each - 1) / each
	const height = 5.0
	number := func(x float64, text string) picture.Mark {
		return picture.Text{At: picture.Point{X: x, Y: baseline(height, smallSize)}, Text: text, Size: smallSize, Anchor: picture.End, Colour: black}
	}
	widest := picture.TextWidth(fmt.Sprint(l.First+l.Rows), smallSize, false)
	group := widest + 1.2 + inGroup*boxPitch - (boxPitch - boxSize)
	x := t.x
	if lead != "" {
		x += picture.TextWidth(lead, smallSize, false) + 2
	}
	start := x
	var out []strip
	var marks []picture.Mark
	if lead != "" {
		marks = append(marks, number(start-2, lead))
	}
	for i := 0; i < n; i += inGroup {
		if x > start && x+group > t.x+t.width {
			out = append(out, strip{height, []span{{nil, marks}}})
			x, marks = start, nil
		}
		x += widest
		if l.First > 0 {
			marks = append(marks, number(x, fmt.Sprint(l.First+i*each)))
		}
		x += 1.2
		for range min(inGroup, n-i) {
			marks = append(marks, box(x, height))
			x += boxPitch
		}
		x += groupGap - (boxPitch - boxSize)
	}
	out = append(out, strip{height, []span{{nil, marks}}})
	if each > 1 {
		t.size, t.hang = smallSize, 0
		out = append(out, t.lines(regular(f.say("One box for every %d rows.", each)))...)
	}
	return out
}

// steps are numbered, each with a box.
func steps(name string, items []string, f frame) []block {
	const indent = boxPitch + textIn
	all := &element{role: list}
	var out []block
	for i, text := range items {
		t := set{x: f.left + indent, width: f.room() - indent, hang: 5, size: textSize, of: &element{role: item, within: all}}
		b := t.block(1.2, bold(fmt.Sprintf("%d. ", i+1)), regular(text))
		b.strips[0].spans = append(b.strips[0].spans, span{nil, []picture.Mark{box(f.left, b.strips[0].height)}})
		out = append(out, b)
	}
	return headed(name, f.left, f.room(), out)
}
