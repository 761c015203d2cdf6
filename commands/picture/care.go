package picture

import (
	"fmt"
	"strconv"
	"strings"

	"countwright/calc/care"
)

// CareLabel is care symbols with what each of them says, in the order given.
type CareLabel struct {
	Title   string
	Symbols []care.Symbol
}

// mostSymbols is how many symbols one picture holds.
const mostSymbols = 24

// Draw shows the symbols three in a row, each with its words under it. They
// are drawn anew after the geometry of the standard, ISO 3758: a tub, a
// triangle, a square, an iron, a circle. It fails on no symbols and too many.
func (c CareLabel) Draw() (*Drawing, error) {
	if len(c.Symbols) == 0 || len(c.Symbols) > mostSymbols {
		return nil, fmt.Errorf("draw care symbols: %d of them", len(c.Symbols))
	}
	var looks []string
	for _, s := range c.Symbols {
		looks = append(looks, s.Looks)
	}
	sh := newSheet(c.Title, "Care symbols: "+strings.Join(looks, ", ")+".")
	columns := min(3, len(c.Symbols))
	cell := (sheetWidth - 2*margin) / float64(columns)
	const size = 17.0
	for first := 0; first < len(c.Symbols); first += columns {
		tallest := 0
		sh.y += 1.5
		for i, s := range c.Symbols[first:min(first+columns, len(c.Symbols))] {
			left := margin + cell*float64(i)
			pen := symbol{sh.Drawing, Point{left + (cell-size)/2, sh.y}, size}
			pen.draw(s)
			lines := wrapText(s.Means, smallSize, false, cell-3)
			for n, line := range lines {
				sh.Add(Text{At: Point{left + cell/2, sh.y + size*1.22 + lineHeight(smallSize)*float64(n+1) - 1}, Text: line, Size: smallSize, Anchor: Middle, Colour: Ink})
			}
			tallest = max(tallest, len(lines))
		}
		sh.y += size*1.22 + lineHeight(smallSize)*float64(tallest)
	}
	return sh.finish(), nil
}

// symbol draws in a square whose sides run from 0 to 1; bars lie below it.
type symbol struct {
	*Drawing
	corner Point
	size   float64
}

func (p symbol) at(x, y float64) Point {
	return Point{p.corner.X + x*p.size, p.corner.Y + y*p.size}
}

var symbolPen = Pen{Stroke: Ink, Width: 0.6}

// line is straight lines through pairs of figures.
func (p symbol) line(closed bool, pen Pen, xy ...float64) {
	p.Add(Path{Points: p.points(xy), Closed: closed, Pen: pen})
}

func (p symbol) curve(closed bool, xy ...float64) {
	p.Add(Path{Points: p.points(xy), Closed: closed, Curve: true, Pen: symbolPen})
}

func (p symbol) points(xy []float64) []Point {
	var points []Point
	for i := 0; i+1 < len(xy); i += 2 {
		points = append(points, p.at(xy[i], xy[i+1]))
	}
	return points
}

func (p symbol) circle(x, y, r float64, pen Pen) {
	p.Add(Circle{Centre: p.at(x, y), R: r * p.size, Pen: pen})
}

func (p symbol) text(x, y, size float64, text string) {
	p.Add(Text{At: p.at(x, y), Text: text, Size: size * p.size, Anchor: Middle, Bold: true, Colour: Ink})
}

func (p symbol) draw(s care.Symbol) {
	shapes := map[care.Group]func(care.Symbol){
		care.Wash: p.tub, care.Bleach: p.triangle, care.Tumble: p.tumble, care.Dry: p.dry, care.Iron: p.iron, care.Professional: p.professional,
	}
	shapes[s.Group](s)
	for i := range s.Bars {
		y := 1.02 + 0.09*float64(i)
		p.line(false, symbolPen, 0.1, y, 0.9, y)
	}
	if s.Cross {
		cross := Pen{Stroke: Rust, Width: 0.9}
		p.line(false, cross, 0, 0.06, 1, 0.96)
		p.line(false, cross, 1, 0.06, 0, 0.96)
	}
}

func (p symbol) tub(s care.Symbol) {
	p.line(false, symbolPen, 0, 0.22, 0.14, 0.92, 0.86, 0.92, 1, 0.22)
	wave := []float64{0.03, 0.38}
	for i := range 3 {
		x := 0.03 + 0.313*float64(i)
		wave = append(wave, x+0.1, 0.28, x+0.21, 0.48, x+0.313, 0.38)
	}
	p.curve(false, wave...)
	switch {
	case s.Hand:
		p.hand()
	case !s.Cross && s.Degrees > 0:
		p.text(0.5, 0.8, 0.36, strconv.Itoa(s.Degrees))
	}
}

// hand reaches into the tub from the upper right: fingers as one, a thumb.
func (p symbol) hand() {
	p.Add(Path{Closed: true, Curve: true, Pen: Pen{Fill: Paper, Stroke: Ink, Width: 0.6}, Points: p.points([]float64{
		0.90, 0.04,
		0.80, 0.10, 0.70, 0.22, 0.60, 0.32, // back of the hand
		0.50, 0.42, 0.34, 0.52, 0.24, 0.64, // along the fingers
		0.18, 0.72, 0.24, 0.80, 0.32, 0.75, // their tips
		0.42, 0.68, 0.50, 0.64, 0.58, 0.60, // under them
		0.56, 0.66, 0.52, 0.70, 0.50, 0.75, // down the thumb
		0.49, 0.83, 0.57, 0.84, 0.61, 0.78, // its tip
		0.68, 0.68, 0.76, 0.56, 0.82, 0.46, // the ball of the thumb
		0.90, 0.36, 0.98, 0.28, 1.04, 0.22, // the wrist
		0.99, 0.16, 0.94, 0.10, 0.90, 0.04,
	})})
}

func (p symbol) triangle(s care.Symbol) {
	p.line(true, symbolPen, 0.5, 0.1, 0.97, 0.92, 0.03, 0.92)
	if s.Slant { // parallel to the left side, from the foot to the right side
		p.line(false, symbolPen, 0.36, 0.92, 0.665, 0.388)
		p.line(false, symbolPen, 0.62, 0.92, 0.795, 0.615)
	}
}

func (p symbol) square() { p.line(true, symbolPen, 0.08, 0.09, 0.92, 0.09, 0.92, 0.93, 0.08, 0.93) }

func (p symbol) tumble(s care.Symbol) {
	p.square()
	p.circle(0.5, 0.51, 0.38, symbolPen)
	p.dots(s.Dots, 0.51)
}

func (p symbol) dots(n int, y float64) {
	for i := range n {
		p.circle(0.5+0.17*(float64(i)-float64(n-1)/2), y, 0.05, Pen{Fill: Ink})
	}
}

func (p symbol) dry(s care.Symbol) {
	p.square()
	for i := range s.Lines {
		off := 0.51 + 0.2*(float64(i)-float64(s.Lines-1)/2)
		if s.Flat {
			p.line(false, symbolPen, 0.22, off, 0.78, off)
		} else {
			p.line(false, symbolPen, off-0.01, 0.23, off-0.01, 0.79)
		}
	}
	if s.Shade {
		p.line(false, symbolPen, 0.08, 0.35, 0.34, 0.09)
	}
}

func (p symbol) iron(s care.Symbol) {
	p.curve(true,
		0, 0.86,
		0.03, 0.62, 0.16, 0.48, 0.38, 0.48, // the nose
		0.52, 0.48, 0.70, 0.48, 0.86, 0.48, // the top
		0.90, 0.60, 0.95, 0.74, 0.98, 0.86, // the back
		0.65, 0.86, 0.33, 0.86, 0, 0.86) // the sole
	p.curve(false,
		0.30, 0.22,
		0.45, 0.22, 0.62, 0.22, 0.72, 0.22, // the handle
		0.80, 0.22, 0.83, 0.30, 0.86, 0.48)
	p.dots(s.Dots, 0.68)
}

func (p symbol) professional(s care.Symbol) {
	p.circle(0.5, 0.51, 0.42, symbolPen)
	if s.Letter != "" {
		p.text(0.5, 0.51+0.5*0.46*capHeight, 0.46, s.Letter)
	}
}
