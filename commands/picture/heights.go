package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"countwright/calc/stitch"
)

// Heights compares the heights of stitches, to scale.
type Heights struct {
	Title    string
	Stitches []Tall // in the order in which they are drawn, at most 8
	// Unit is the name of a single crochet in the member's terms: heights are
	// told as so many of it.
	Unit string
	// Single is how high that stitch is in the member's own work, in
	// millimetres; heights are then told in millimetres. 0: not known.
	Single float64
	Notes  []string
}

// Tall is one stitch of a comparison.
type Tall struct {
	Name   string // as short as can be: "dc"
	Symbol stitch.Symbol
	Height float64 // a single crochet is 1
	Chain  int     // chains of its turning chain; 0: none
	Asked  bool    // the one that the comparison is about
}

const (
	mostCompared   = 8
	tallestHeight  = 12.0
	tallestDrawing = 64.0 // millimetres on the sheet
)

// Draw draws the stitches side by side, each beside its turning chain. It
// fails on none, on more than 8, and on heights that no stitch has.
func (h Heights) Draw() (*Drawing, error) {
	if len(h.Stitches) == 0 || len(h.Stitches) > mostCompared {
		return nil, fmt.Errorf("draw heights: %d stitches; from 1 to %d can be compared", len(h.Stitches), mostCompared)
	}
	tallest := 1.0
	for _, s := range h.Stitches {
		if !(s.Height >= 0 && s.Height <= tallestHeight) || s.Chain < 0 || s.Chain > tallestHeight {
			return nil, fmt.Errorf("draw heights: %q is %v high with a chain of %d", s.Name, s.Height, s.Chain)
		}
		tallest = max(tallest, s.Height)
	}
	if !(h.Single >= 0 && h.Single <= 200) {
		return nil, fmt.Errorf("draw heights: a stitch of %v mm", h.Single)
	}
	sh := newSheet(h.Title, h.describe())
	unit := min(15, tallestDrawing/tallest)
	p := plot{h, sh, unit, sh.y + 6 + unit*tallest}
	p.columns()
	p.ruling(int(math.Ceil(tallest)))
	for i := range h.Stitches {
		p.stitch(i)
	}
	sh.y = p.foot + 11
	side := "Beside each stitch: its turning chain. "
	switch {
	case h.Single > 0:
		side += "Heights in millimetres, at your gauge."
	case h.Unit != "":
		side += "Heights in times a " + h.Unit + "."
	}
	sh.words(side, smallSize, false, Pencil)
	for _, n := range h.Notes {
		sh.words(n, textSize, false, Ink)
	}
	return sh.finish(), nil
}

func (h Heights) describe() string {
	parts := make([]string, 0, len(h.Stitches))
	for _, s := range h.Stitches {
		parts = append(parts, fmt.Sprintf("%s %s, turning chain %d", s.Name, h.tell(s.Height), s.Chain))
	}
	return "Heights of stitches: " + strings.Join(parts, "; ") + "."
}

// tell writes a height in the member's millimetres or in single crochets.
func (h Heights) tell(height float64) string {
	switch {
	case height == 0:
		return "≈ 0"
	case h.Single > 0:
		return strconv.FormatFloat(height*h.Single, 'f', 0, 64) + " mm"
	}
	return "× " + strconv.FormatFloat(height, 'f', -1, 64)
}

// plot is a comparison on its sheet.
type plot struct {
	Heights
	*sheet
	unit float64 // millimetres of the sheet for a single crochet
	foot float64 // where the stitches stand
}

// column is where a stitch has its room.
func (p plot) column(i int) (left, right float64) {
	w := min(16, (sheetWidth-2*margin)/float64(len(p.Stitches)))
	left = (sheetWidth-w*float64(len(p.Stitches)))/2 + w*float64(i)
	return left, left + w
}

// columns shades the stitch that was asked for.
func (p plot) columns() {
	for i, s := range p.Stitches {
		if left, right := p.column(i); s.Asked {
			top := p.foot - p.unit*s.Height - 5.5
			p.Add(Path{Points: []Point{{left, p.foot + 10.5}, {right, p.foot + 10.5}, {right, top}, {left, top}}, Closed: true, Pen: Pen{Fill: Cloth2}})
		}
	}
}

// ruling draws a line for each height of a single crochet.
func (p plot) ruling(n int) {
	left, _ := p.column(0)
	_, right := p.column(len(p.Stitches) - 1)
	for i := 1; i <= n; i++ {
		y := p.foot - float64(i)*p.unit
		p.Add(Path{Points: []Point{{left, y}, {right, y}}, Pen: Pen{Stroke: Rule, Width: 0.18, Dash: []float64{0.8, 1}}})
	}
	p.Add(Path{Points: []Point{{left, p.foot}, {right, p.foot}}, Pen: Pen{Stroke: Ink, Width: medium}})
}

// stitch draws a stitch, its turning chain, its height and its name.
func (p plot) stitch(i int) {
	s := p.Stitches[i]
	left, right := p.column(i)
	size := min(5.5, (right-left)/2.4) // of a symbol
	if n := s.Symbol.Legs; n > 3 {
		size *= 3.2 / float64(n) // beside its chain
	}
	at, chain := left+0.62*(right-left), left+0.2*(right-left)
	if s.Chain == 0 {
		at = (left + right) / 2
	}
	top := p.foot - max(s.Height*p.unit, 1)
	label := top
	if s.Height == 0 && s.Symbol.Shape != stitch.Dot {
		label = p.foot - 0.9*size
	}
	var ink inks
	cell := Cell{Symbol: s.Symbol, Height: s.Height, From: -1}
	foot := p.foot
	if s.Symbol.Post != stitch.NoSide || s.Symbol.Arc != stitch.NoSide {
		foot -= 0.45 * size // its hook or arc stands on the line
	}
	ink.cell(cell, true, []Point{{at, foot}}, Point{at, top}, size)
	if s.Chain > 0 {
		h := hand{&ink, size, Pen{Stroke: Pencil, Width: 0.3}}
		each := s.Height * p.unit / float64(s.Chain)
		for j := range s.Chain {
			h.oval(Point{chain, p.foot - (float64(j)+0.5)*each}, Point{0, -1}, 0.9*each, min(0.36*size, 0.6*each))
		}
	}
	ink.flush(p.Drawing)
	c := Ink
	if s.Asked {
		c = Blue
	}
	mid := (left + right) / 2
	p.line(mid, label-1.6, p.tell(s.Height), smallSize, false, Ink, right-left)
	p.line(mid, p.foot+4.4, s.Name, textSize, true, c, right-left)
	turning := "no ch"
	if s.Chain > 0 {
		turning = "ch " + strconv.Itoa(s.Chain)
	}
	p.line(mid, p.foot+9, turning, smallSize, false, Pencil, right-left)
}

// line sets a text centred in a column, smaller if it must be.
func (p plot) line(x, y float64, text string, size float64, isBold bool, c Colour, room float64) {
	if w := TextWidth(text, size, isBold); w > room-0.6 {
		size *= (room - 0.6) / w
	}
	p.Add(Text{At: Point{x, y}, Text: text, Size: size, Anchor: Middle, Bold: isBold, Colour: c})
}
