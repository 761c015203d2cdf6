package picture

import (
	"fmt"
	"image/color"
	"math"

	"git.sr.ht/~sbinet/gg"
)

// PNGOptions says how large a picture becomes. The zero value is right for a
// chat: 1080 pixels for a sheet of 100 mm, fewer a millimetre for a large
// chart.
type PNGOptions struct {
	Width   int     // pixels; 0: PxPerMM decides
	PxPerMM float64 // pixels a millimetre; 0: 10.8, less for a wide drawing
}

// Sizes of a picture in pixels.
const (
	usualScale = 10.8
	usualArea  = 2_600_000
	longestPNG = 8000
	mostPixels = 24_000_000
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
		scale = min(usualScale, math.Sqrt(usualArea/d.Width/d.Height))
	}
	w, h := math.Round(d.Width*scale), math.Ceil(d.Height*scale-1e-6)
	if w < 8 || h < 8 || max(w, h) > longestPNG || w*h > mostPixels {
		return nil, fmt.Errorf("draw picture: %.0f by %.0f pixels is too small or too large", w, h)
	}
	b := &brush{gg.NewContext(int(w), int(h)), scale}
	b.ctx.SetColor(colour(Paper))
	b.ctx.Clear()
	for run := range runs(d.Marks) {
		if err := b.paint(run); err != nil {
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

// paint paints a run of marks: one mark, or strokes that share a pen.
func (b *brush) paint(run []Mark) error {
	switch m := run[0].(type) {
	case Path:
		b.paths(run, m.Pen)
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

// paths paints paths of one pen. Short work is made of plain strokes, of which
// charts have thousands: they are filled as the rectangles that they are.
func (b *brush) paths(run []Mark, pen Pen) {
	bars := 0
	quick := pen.plain() && len(pen.Dash) == 0 && pen.Width*b.scale < 6
	for _, m := range run {
		if p := m.(Path); quick && len(p.Points) == 2 && !p.Curve {
			b.bar(p.Points[0], p.Points[1], pen.Width)
			bars++
		}
	}
	if bars > 0 {
		b.ctx.SetColor(colour(pen.Stroke))
		b.ctx.Fill()
	}
	if bars == len(run) {
		return
	}
	for _, m := range run {
		if p := m.(Path); !quick || len(p.Points) != 2 || p.Curve {
			b.path(p)
		}
	}
	b.finish(pen)
}

// bar adds a straight stroke with square ends as a rectangle.
func (b *brush) bar(from, to Point, width float64) {
	a := newAxis(from, to)
	w := width / 2
	for i, p := range [...]Point{a.at(-w, -w), a.at(a.long+w, -w), a.at(a.long+w, w), a.at(-w, w)} {
		if i == 0 {
			b.ctx.MoveTo(p.X*b.scale, p.Y*b.scale)
		} else {
			b.ctx.LineTo(p.X*b.scale, p.Y*b.scale)
		}
	}
	b.ctx.ClosePath()
}

// path adds a path to the current one.
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
