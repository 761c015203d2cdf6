// Package picture draws what calc computes. A Drawing is recorded in
// millimetres and becomes a PNG or SVG only at the surface; the same drawing
// gives the same bytes.
package picture

import (
	"iter"
	"slices"
)

// Drawing is a recorded picture. The origin is at the top left, y runs down,
// all lengths are millimetres.
type Drawing struct {
	Width, Height float64
	Title         string // names the picture in formats that can hold a title
	Description   string // says what the picture says, for readers who can't see it
	Marks         []Mark // painted in order
}

// Mark is one thing drawn: a Path, a Circle or a Text. The set is sealed.
type Mark interface{ mark() }

// Colour is 0xRRGGBB with an alpha of 0 (nothing) to 255 (opaque).
type Colour struct{ R, G, B, A uint8 }

// Pen says how a mark is painted. A zero Colour paints nothing.
type Pen struct {
	Fill   Colour
	Stroke Colour
	Width  float64   // of the stroke
	Dash   []float64 // lengths on and off; nil: solid
}

// Point is a place on the drawing.
type Point struct{ X, Y float64 }

// Path is straight lines through points, closed or open, or with Curve cubic
// curves through groups of three further points.
type Path struct {
	Points []Point
	Closed bool
	Curve  bool
	Pen    Pen
}

// Circle is a circle, or an ellipse where RY is not 0.
type Circle struct {
	Centre Point
	R, RY  float64
	Pen    Pen
}

// Anchor says which point of a text stands at its place.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is a line of text; At is on its baseline.
type Text struct {
	At     Point
	Text   string
	Size   float64 // height of the font
	Anchor Anchor
	Bold   bool
	Turn   float64 // degrees clockwise about At
	Colour Colour
}

func (Path) mark()   {}
func (Circle) mark() {}
func (Text) mark()   {}

// Add records a mark.
func (d *Drawing) Add(m Mark) { d.Marks = append(d.Marks, m) }

// Width returns how wide the text is.
func (m Text) Width() float64 { return TextWidth(m.Text, m.Size, m.Bold) }

// Left returns where the text begins, counted from At along its baseline.
func (m Text) Left() float64 {
	switch m.Anchor {
	case Middle:
		return -m.Width() / 2
	case End:
		return -m.Width()
	default:
		return 0
	}
}

// runs goes through marks in order; strokes of one pen that follow one another
// come together, because a surface paints them faster at once. It looks the
// same: nothing shines through them.
func runs(marks []Mark) iter.Seq[[]Mark] {
	return func(yield func([]Mark) bool) {
		for i := 0; i < len(marks); {
			n := 1
			if first, ok := marks[i].(Path); ok && first.Pen.plain() {
				for i+n < len(marks) && n < longestRun {
					next, ok := marks[i+n].(Path)
					if !ok || !next.Pen.same(first.Pen) {
						break
					}
					n++
				}
			}
			if !yield(marks[i : i+n]) {
				return
			}
			i += n
		}
	}
}

// longestRun keeps what a surface must hold at once small.
const longestRun = 24

// plain says that the pen draws opaque strokes only.
func (p Pen) plain() bool { return p.Fill.A == 0 && p.Stroke.A == 255 }

func (p Pen) same(q Pen) bool {
	return p.Fill == q.Fill && p.Stroke == q.Stroke && p.Width == q.Width && slices.Equal(p.Dash, q.Dash)
}
