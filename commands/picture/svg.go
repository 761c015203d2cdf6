package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// SVG writes a drawing as a document with real text, its title and its
// description. Each text is held to the width that the layout reckoned with,
// whatever font the reader has.
func SVG(d *Drawing) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" font-family="DejaVu Sans, Verdana, sans-serif">`+"\n",
		num(d.Width), num(d.Height), num(d.Width), num(d.Height))
	fmt.Fprintf(&b, "<title>%s</title>\n", escape(d.Title))
	if d.Description != "" {
		fmt.Fprintf(&b, "<desc>%s</desc>\n", escape(d.Description))
	}
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\"%s/>\n", num(d.Width), num(d.Height), Pen{Fill: Paper}.svg())
	for run := range runs(d.Marks) {
		switch m := run[0].(type) {
		case Path:
			b.WriteString(pathSVG(run, m.Pen))
		case Circle:
			b.WriteString(m.svg())
		case Text:
			b.WriteString(m.svg())
		}
	}
	b.WriteString("</svg>\n")
	return []byte(b.String())
}

// pathSVG writes paths that share a pen as one element.
func pathSVG(run []Mark, pen Pen) string {
	var d strings.Builder
	for _, m := range run {
		m.(Path).trace(&d)
	}
	if d.Len() == 0 {
		return ""
	}
	return fmt.Sprintf("<path d=\"%s\"%s/>\n", d.String(), pen.svg())
}

func (m Path) trace(d *strings.Builder) {
	for i, p := range m.Points {
		switch {
		case i == 0:
			d.WriteByte('M')
		case m.Curve && i%3 == 1:
			d.WriteByte('C')
		case !m.Curve && i == 1:
			d.WriteByte('L')
		default:
			d.WriteByte(' ')
		}
		d.WriteString(num(p.X) + " " + num(p.Y))
	}
	if m.Closed && len(m.Points) > 0 {
		d.WriteByte('Z')
	}
}

func (m Circle) svg() string {
	if m.RY != 0 && m.RY != m.R {
		return fmt.Sprintf("<ellipse cx=\"%s\" cy=\"%s\" rx=\"%s\" ry=\"%s\"%s/>\n",
			num(m.Centre.X), num(m.Centre.Y), num(m.R), num(m.RY), m.Pen.svg())
	}
	return fmt.Sprintf("<circle cx=\"%s\" cy=\"%s\" r=\"%s\"%s/>\n", num(m.Centre.X), num(m.Centre.Y), num(m.R), m.Pen.svg())
}

func (m Text) svg() string {
	m.Text = cleanLine(m.Text)
	if m.Text == "" {
		return ""
	}
	var a strings.Builder
	fmt.Fprintf(&a, ` x="%s" y="%s" font-size="%s"%s`, num(m.At.X), num(m.At.Y), num(m.Size), paint("fill", m.Colour))
	switch m.Anchor {
	case Middle:
		a.WriteString(` text-anchor="middle"`)
	case End:
		a.WriteString(` text-anchor="end"`)
	}
	if m.Bold {
		a.WriteString(` font-weight="bold"`)
	}
	if m.Turn != 0 {
		fmt.Fprintf(&a, ` transform="rotate(%s %s %s)"`, num(m.Turn), num(m.At.X), num(m.At.Y))
	}
	if len(m.Text) > 1 {
		fmt.Fprintf(&a, ` textLength="%s" lengthAdjust="spacingAndGlyphs"`, num(m.Width()))
	}
	return fmt.Sprintf("<text%s>%s</text>\n", a.String(), escape(m.Text))
}

func (p Pen) svg() string {
	s := ` fill="none"`
	if p.Fill.A > 0 {
		s = paint("fill", p.Fill)
	}
	if p.Stroke.A == 0 || p.Width <= 0 {
		return s
	}
	s += paint("stroke", p.Stroke) + ` stroke-width="` + num(p.Width) + `" stroke-linecap="round" stroke-linejoin="round"`
	if len(p.Dash) > 0 {
		dash := make([]string, len(p.Dash))
		for i, l := range p.Dash {
			dash[i] = num(l)
		}
		s += ` stroke-dasharray="` + strings.Join(dash, " ") + `"`
	}
	return s
}

func paint(what string, c Colour) string {
	s := fmt.Sprintf(` %s="#%02x%02x%02x"`, what, c.R, c.G, c.B)
	if c.A < 255 {
		s += fmt.Sprintf(` %s-opacity="%s"`, what, num(float64(c.A)/255))
	}
	return s
}

// num writes a length to a hundredth of a millimetre.
func num(v float64) string {
	r := math.Round(v*100) / 100
	if r == 0 { // never "-0"
		r = 0
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escapes.Replace(cleanLine(s)) }

// cleanLine drops what has no place in a line of a picture: control
// characters and the marks that turn the direction of writing.
func cleanLine(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\u2028' || r == '\u2029':
			return ' '
		case r == unicode.ReplacementChar || unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\uFEFF' || r == '\uFFFE' || r == '\uFFFF':
			return -1
		}
		return r
	}, s)
}
