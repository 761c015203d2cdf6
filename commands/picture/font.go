package picture

import (
	"sync"

	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Vertical extents of the font as parts of its size: a capital letter or a
// figure above the baseline, and the tail of a "g" below it.
const (
	capHeight = 0.73
	descent   = 0.24
)

// typeface is a parsed font with the advances of its commonest characters.
// It is not changed after it was made, so many drawings may share it.
type typeface struct {
	font     *sfnt.Font
	em       fixed.Int26_6
	advances [0x250]float64 // of the Latin characters, as parts of the size
}

var (
	regular = sync.OnceValue(func() *typeface { return parseTypeface(dejavusans.TTF) })
	bold    = sync.OnceValue(func() *typeface { return parseTypeface(dejavusansbold.TTF) })
)

func faceOf(isBold bool) *typeface {
	if isBold {
		return bold()
	}
	return regular()
}

// parseTypeface panics on a broken font: both are part of the program.
func parseTypeface(ttf []byte) *typeface {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("parse font: " + err.Error())
	}
	t := &typeface{font: f, em: fixed.Int26_6(f.UnitsPerEm())}
	var buf sfnt.Buffer
	for r := range t.advances {
		t.advances[r] = t.measure(&buf, rune(r))
	}
	return t
}

// measure returns the advance of a character as a part of the font's size.
func (t *typeface) measure(buf *sfnt.Buffer, r rune) float64 {
	i, err := t.font.GlyphIndex(buf, r)
	if err != nil {
		return 0
	}
	a, err := t.font.GlyphAdvance(buf, i, t.em, font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(a) / float64(t.em)
}

func (t *typeface) advance(buf *sfnt.Buffer, r rune) float64 {
	if int(r) < len(t.advances) {
		return t.advances[r]
	}
	return t.measure(buf, r)
}

// TextWidth returns how wide a line of text is, in the unit of size. The
// layout of a drawing relies on it, so it is the same for every surface.
func TextWidth(text string, size float64, isBold bool) float64 {
	t := faceOf(isBold)
	var buf sfnt.Buffer
	w := 0.0
	for _, r := range text {
		w += t.advance(&buf, r)
	}
	return w * size
}

// outline calls its receivers for every piece of the outline of a line of
// text of size 1 whose baseline begins at the origin.
func (t *typeface) outline(text string, to pen) {
	var buf sfnt.Buffer
	x := 0.0
	for _, r := range text {
		i, err := t.font.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		segments, err := t.font.LoadGlyph(&buf, i, t.em, nil)
		if err != nil {
			continue
		}
		at := func(p fixed.Point26_6) Point {
			return Point{x + float64(p.X)/float64(t.em), float64(p.Y) / float64(t.em)}
		}
		for n, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if n > 0 {
					to.close()
				}
				to.move(at(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				to.line(at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				to.quad(at(s.Args[0]), at(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				to.cube(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			to.close()
		}
		x += t.advance(&buf, r)
	}
}

// pen receives an outline.
type pen struct {
	move, line func(Point)
	quad       func(a, b Point)
	cube       func(a, b, c Point)
	close      func()
}
