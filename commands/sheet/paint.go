package sheet

import (
	"bytes"
	"fmt"

	"codeberg.org/go-pdf/fpdf"
	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"

	"countwright/commands/picture"
)

const (
	fontFamily = "dejavu"
	pointsInMM = 72 / 25.4
)

// paint writes pages as a PDF.
func paint(s Sheet, f frame, p *pages, opt Options) ([]byte, error) {
	b := &brush{fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: f.width, Ht: f.height}})}
	b.SetCatalogSort(true)
	b.SetCreationDate(opt.Made.UTC())
	b.SetModificationDate(opt.Made.UTC())
	b.SetAutoPageBreak(false, 0)
	b.SetMargins(0, 0, 0)
	b.SetLineCapStyle("round")
	b.SetLineJoinStyle("round")
	name := clean(s.name())
	b.SetTitle(name, true)
	b.SetSubject(clean(s.Summary), true)
	b.SetCreator("Countwright", true)
	b.SetLang(clean(opt.Language))
	b.AddUTF8FontFromBytes(fontFamily, "", dejavusans.TTF)
	b.AddUTF8FontFromBytes(fontFamily, "B", dejavusansbold.TTF)
	t := newTags(p)
	for i, spans := range p.spans {
		b.AddPage()
		for _, m := range p.bookmarks {
			if m.page == i+1 {
				b.SetFont(fontFamily, "", 10)
				b.Bookmark(clean(m.text), m.level, m.y)
			}
		}
		for _, sp := range append(spans, s.margins(f, i+1, len(p.spans))) {
			b.RawWriteStr(t.open(i, sp.of))
			for _, m := range sp.marks {
				if err := b.mark(m); err != nil {
					return nil, err
				}
			}
			b.RawWriteStr(shut)
		}
	}
	var out bytes.Buffer
	if err := b.Output(&out); err != nil {
		return nil, err
	}
	return t.add(out.Bytes())
}

// name is the title with whom it is for.
func (s Sheet) name() string {
	if s.For == "" {
		return s.Title
	}
	return s.Title + ", " + s.For
}

// margins are the head and the foot of a page.
func (s Sheet) margins(f frame, page, of int) span {
	text := func(x, y float64, a picture.Anchor, t string) picture.Mark {
		return picture.Text{At: picture.Point{X: x, Y: y}, Text: t, Size: smallSize, Anchor: a, Colour: black}
	}
	foot := f.height - 9
	marks := []picture.Mark{text(f.right, foot, picture.End, fmt.Sprintf("%d / %d", page, of))}
	if s.Credit != "" {
		marks = append(marks, text(f.left, foot, picture.Start, shortened(s.Credit, f.room()-20)))
	}
	if page > 1 {
		marks = append(marks, text(f.left, 11.5, picture.Start, shortened(s.name(), f.room())), rule(f.left, 13.5, f.room(), 0.2))
	}
	return span{nil, marks}
}

// shortened is a text that fits a line of small type.
func shortened(text string, width float64) string {
	text = clean(text)
	if picture.TextWidth(text, smallSize, false) <= width {
		return text
	}
	letters := []rune(text)
	for len(letters) > 0 && picture.TextWidth(string(letters)+"…", smallSize, false) > width {
		letters = letters[:len(letters)-1]
	}
	return string(letters) + "…"
}

// brush paints the marks of a drawing.
type brush struct{ *fpdf.Fpdf }

func (b *brush) mark(m picture.Mark) error {
	switch m := m.(type) {
	case picture.Path:
		b.path(m)
	case picture.Circle:
		if style := b.pen(m.Pen); style != "" {
			ry := m.RY
			if ry == 0 {
				ry = m.R
			}
			b.Ellipse(m.Centre.X, m.Centre.Y, m.R, ry, 0, style)
		}
	case picture.Text:
		b.text(m)
	default:
		return fmt.Errorf("unknown mark %T", m)
	}
	return nil
}

// pen takes up a pen and returns how to paint with it: "F", "D" or both; empty
// for one that leaves no trace.
func (b *brush) pen(p picture.Pen) string {
	style, alpha := "", 255
	if p.Fill.A > 0 {
		style, alpha = "F", int(p.Fill.A)
		b.SetFillColor(int(p.Fill.R), int(p.Fill.G), int(p.Fill.B))
	}
	if p.Stroke.A > 0 && p.Width > 0 {
		style, alpha = style+"D", int(p.Stroke.A)
		b.SetDrawColor(int(p.Stroke.R), int(p.Stroke.G), int(p.Stroke.B))
		b.SetLineWidth(p.Width)
		b.SetDashPattern(p.Dash, 0)
	}
	if now, _ := b.GetAlpha(); style != "" && now != float64(alpha)/255 {
		b.SetAlpha(float64(alpha)/255, "Normal")
	}
	return style
}

func (b *brush) path(m picture.Path) {
	style := b.pen(m.Pen)
	if style == "" || len(m.Points) == 0 {
		return
	}
	at := m.Points
	b.MoveTo(at[0].X, at[0].Y)
	if m.Curve {
		for i := 1; i+2 < len(at); i += 3 {
			b.CurveBezierCubicTo(at[i].X, at[i].Y, at[i+1].X, at[i+1].Y, at[i+2].X, at[i+2].Y)
		}
	} else {
		for _, p := range at[1:] {
			b.LineTo(p.X, p.Y)
		}
	}
	if m.Closed {
		b.ClosePath()
	}
	b.DrawPath(style)
}

func (b *brush) text(m picture.Text) {
	m.Text = clean(m.Text)
	if m.Text == "" {
		return
	}
	style := ""
	if m.Bold {
		style = "B"
	}
	b.SetFont(fontFamily, style, m.Size*pointsInMM)
	b.SetTextColor(int(m.Colour.R), int(m.Colour.G), int(m.Colour.B))
	if m.Turn != 0 {
		b.TransformBegin()
		b.TransformRotate(-m.Turn, m.At.X, m.At.Y)
		defer b.TransformEnd()
	}
	b.Text(m.At.X+m.Left(), m.At.Y, m.Text)
}
