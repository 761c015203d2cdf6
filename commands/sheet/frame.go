package sheet

import (
	"fmt"

	"countwright/commands/picture"
	"countwright/commands/words"
)

// frame is a page and where text stands on it, in millimetres from its top
// left.
type frame struct {
	width, height            float64
	left, right, top, bottom float64
	words                    words.Printer // says the headings
}

func (f frame) say(key words.Key, args ...any) string { return f.words.Say(key, args...) }

// room is the width of the text.
func (f frame) room() float64 { return f.right - f.left }

// pageFrame leaves room for a punched edge on the left.
func pageFrame(p Paper) (frame, error) {
	var f frame
	switch p {
	case A4:
		f = frame{width: 210, height: 297}
	case Letter:
		f = frame{width: 215.9, height: 279.4}
	default:
		return f, fmt.Errorf("paper %d is neither A4 nor Letter", p)
	}
	f.left, f.right, f.top, f.bottom = 19, f.width-16, 19, f.height-18
	return f, nil
}

// Sizes of the type in millimetres: 9.6 points for what is read at work.
const (
	hugeSize  = 7.0
	largeSize = 4.8
	headSize  = 3.7
	textSize  = 3.4
	smallSize = 2.8
	leading   = 1.36
	capHeight = 0.73 // of a capital letter, as a part of the size
)

// Black on white: half tones make small text fuzzy on paper.
var (
	black = picture.Colour{A: 255}
	light = picture.Colour{R: 0xE8, G: 0xE8, B: 0xE8, A: 255}
	white = picture.Colour{R: 255, G: 255, B: 255, A: 255}
)

// role is what an element is to who listens: the standard structure types.
// Source: ISO 32000-1, 14.8.4.
type role string

const (
	document role = "Document"
	title    role = "H1"
	heading  role = "H2"
	subhead  role = "H3"
	para     role = "P"
	list     role = "L"
	item     role = "LI"
	table    role = "Table"
	tableRow role = "TR"
	headCell role = "TH"
	cell     role = "TD"
	figure   role = "Figure"
)

// element is a part of the document's structure.
type element struct {
	role   role
	alt    string // says what a figure says
	within *element
}

// span is marks of one element, or of none: lines and boxes that only
// decorate.
type span struct {
	of    *element
	marks []picture.Mark
}

// strip is as much as a page break never cuts: a line of text, a figure. The
// marks' y counts from its top, x from the left edge of the page.
type strip struct {
	height float64
	spans  []span
}

// block is strips that stay on one page where they fit on one.
type block struct {
	strips []strip
	before float64   // space above it, but at the top of a page
	keep   bool      // it stays with the block after it
	mark   *bookmark // points to it
}

// bookmark is a line of the document's outline.
type bookmark struct {
	text  string
	level int
	page  int
	y     float64
}

func (b block) height() float64 {
	h := 0.0
	for _, s := range b.strips {
		h += s.height
	}
	return h
}

func tall(list []block) float64 {
	h := 0.0
	for _, b := range list {
		h += b.before + b.height()
	}
	return h
}

// moved is a mark elsewhere and in another size.
func moved(m picture.Mark, dx, dy, scale float64) picture.Mark {
	at := func(p picture.Point) picture.Point { return picture.Point{X: dx + p.X*scale, Y: dy + p.Y*scale} }
	switch m := m.(type) {
	case picture.Path:
		points := make([]picture.Point, len(m.Points))
		for i, p := range m.Points {
			points[i] = at(p)
		}
		m.Points, m.Pen = points, scaled(m.Pen, scale)
		return m
	case picture.Circle:
		m.Centre, m.R, m.RY, m.Pen = at(m.Centre), m.R*scale, m.RY*scale, scaled(m.Pen, scale)
		return m
	case picture.Text:
		m.At, m.Size = at(m.At), m.Size*scale
		return m
	}
	return m
}

func scaled(p picture.Pen, scale float64) picture.Pen {
	if scale == 1 {
		return p
	}
	p.Width *= scale
	dash := make([]float64, len(p.Dash))
	for i, l := range p.Dash {
		dash[i] = l * scale
	}
	p.Dash = dash
	return p
}
