package picture

import (
	"fmt"
	"image/color"
	"math"

	"git.sr.ht/~sbinet/gg"
)

// PNGOptions says how large a picture becomes. The zero value is right for a
// chat: 1080 pixels wide.
type PNGOptions struct {
	Width   int     // pixels; 0: PxPerMM decides
	PxPerMM float64 // pixels a millimetre; 0: 1080 pixels wide
}

// The largest picture that is drawn, in pixels.
const (
	defaultWidth = 1080
	widestPNG    = 6000
	mostPixels   = 24_000_000
)

// PNG paints a drawing on its own light, opaque ground. The same drawing and
// options give the same bytes. It fails when the drawing has no size or would
// be too large.
func PNG(d *Drawing, opt PNGOptions) ([]byte, error) {
	if !(d.Width > 0) || !(d.Height > 0) || math.IsInf(d.Width, 0) || math.IsInf(d.Height, 0) {
		return nil, fmt.Errorf("draw picture: it has no size (%v by %v mm)", d.Width, d.Height)
	}
	scale := opt.PxPerMM
	switch {
	case opt.Width > 0:
		scale = float64(opt.Width) / d.Width
	case scale <= 0:
		scale = defaultWidth / d.Width
	}
	w, h := math.Round(d.Width*scale), math.Ceil(d.Height*scale-1e-6)
	if w < 1 || h < 1 || w > widestPNG || w*h > mostPixels {
		return nil, fmt.Errorf("draw picture: %.0f by %.0f pixels is too small or too large", w, h)
	}
	b := &brush{gg.NewContext(int(w), int(h)), scale}
	b.ctx.SetColor(colour(Paper))
	b.ctx.Clear()
	for _, m := range d.Marks {
		if err := b.paint(m); err != nil {
			return nil, err
		}
	}
	return encodeRGBA(b.ctx.Image())
}

// brush paints marks on pixels.
type brush struct {
	ctx   *gg.Context
	scale float64 // pixels a millimetre
}

func (b *brush) paint(m Mark) error {
	switch m := m.(type) {
	case Path:
		b.path(m)
	case Circle:
		ry := m.RY
		if ry == 0 {
			ry = m.R
		}
		b.ctx.DrawEllipse(m.Centre.X*b.scale, m.Centre.Y*b.scale, m.R*b.scale, ry*b.scale)
		b.finish(m.Pen)
	case Text:
		b.text(m)
	default:
		return fmt.Errorf("draw picture: unknown mark %T", m)
	}
	return nil
}

func (b *brush) path(m Path) {
	if len(m.Points) == 0 {
		return
	}
	at := func(i int) (float64, float64) { return m.Points[i].X * b.scale, m.Points[i].Y * b.scale }
	b.ctx.MoveTo(at(0))
	if m.Curve {
		for i := 1; i+2 < len(m.Points); i += 3 {
			x1, y1 := at(i)
			x2, y2 := at(i + 1)
			x3, y3 := at(i + 2)
			b.ctx.CubicTo(x1, y1, x2, y2, x3, y3)
		}
	} else {
		for i := 1; i < len(m.Points); i++ {
			b.ctx.LineTo(at(i))
		}
	}
	if m.Closed {
		b.ctx.ClosePath()
	}
	b.finish(m.Pen)
}

// finish paints the current path and forgets it.
func (b *brush) finish(p Pen) {
	if p.Fill.A > 0 {
		b.ctx.SetColor(colour(p.Fill))
		b.ctx.FillPreserve()
	}
	if p.Stroke.A > 0 && p.Width > 0 {
		dash := make([]float64, len(p.Dash))
		for i, l := range p.Dash {
			dash[i] = l * b.scale
		}
		b.ctx.SetDash(dash...)
		b.ctx.SetLineWidth(p.Width * b.scale)
		b.ctx.SetColor(colour(p.Stroke))
		b.ctx.StrokePreserve()
	}
	b.ctx.ClearPath()
}

// text paints outlines rather than glyph bitmaps: they stay sharp at any
// angle and stand where the layout reckoned them, to a part of a pixel.
func (b *brush) text(m Text) {
	m.Text = cleanLine(m.Text)
	left := m.Left()
	sin, cos := math.Sincos(m.Turn * math.Pi / 180)
	at := func(p Point) (float64, float64) {
		x, y := left+p.X*m.Size, p.Y*m.Size
		return (m.At.X + x*cos - y*sin) * b.scale, (m.At.Y + x*sin + y*cos) * b.scale
	}
	faceOf(m.Bold).outline(m.Text, pen{
		move: func(p Point) { b.ctx.MoveTo(at(p)) },
		line: func(p Point) { b.ctx.LineTo(at(p)) },
		quad: func(p, q Point) {
			x1, y1 := at(p)
			x2, y2 := at(q)
			b.ctx.QuadraticTo(x1, y1, x2, y2)
		},
		cube: func(p, q, r Point) {
			x1, y1 := at(p)
			x2, y2 := at(q)
			x3, y3 := at(r)
			b.ctx.CubicTo(x1, y1, x2, y2, x3, y3)
		},
		close: b.ctx.ClosePath,
	})
	b.ctx.SetColor(colour(m.Colour))
	b.ctx.Fill()
}

func colour(c Colour) color.Color { return color.NRGBA(c) }
