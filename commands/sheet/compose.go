package sheet

import (
	"fmt"
	"strings"

	"countwright/commands/picture"
)

// layOut sets a sheet on pages.
func (s Sheet) layOut(f frame) (*pages, error) {
	if n := s.size(); n > mostLines {
		return nil, fmt.Errorf("it has %d lines; %d are allowed", n, mostLines)
	}
	to := newFlow(f)
	to.put(s.head(f)...)
	sections := []section{
		facts(f.say("Materials"), s.Materials), facts(f.say("Gauge"), s.Gauge),
		s.Finished.section(f.say("Finished measurements")), s.Sizes.section(f.say("Sizes")),
	}
	if s.Schematic.Drawing != nil {
		sections = s.schematic(to, sections)
	}
	for _, blocks := range sections {
		to.put(blocks(f.left, f.room())...)
	}
	to.put(s.abbreviations(f)...)
	to.put(bullets(f.say("Before you begin"), s.Notes, f)...)
	for i, p := range s.Pieces {
		to.put(p.blocks(f, i == 0)...)
	}
	to.put(steps(f.say("Finishing"), s.Finishing, f)...)
	to.put(bullets(f.say("What meets what"), s.Fits, f)...)
	to.put(s.care(f)...)
	return to.finish()
}

// size is how many lines of the maker's the sheet has.
func (s Sheet) size() int {
	n := len(s.Materials) + len(s.Gauge) + len(s.Finished.Rows) + len(s.Sizes.Rows) + len(s.Abbreviations) + len(s.Notes) + len(s.Finishing) + len(s.Fits) + len(s.Care) + len(s.Cautions)
	for _, p := range s.Pieces {
		n += 1 + len(p.Lines)
	}
	return n
}

// head is the title, whom it is for, what it is and what could hurt.
func (s Sheet) head(f frame) []block {
	t := set{x: f.left, width: f.room(), size: hugeSize, of: &element{role: title}}
	first := t.block(0, bold(s.Title))
	first.mark = &bookmark{text: s.Title}
	list := []block{first}
	if s.For != "" {
		t = set{x: f.left, width: f.room(), size: largeSize, of: &element{role: para}}
		list = append(list, t.block(0.5, regular(f.say("For %s", s.For))))
	}
	if s.Summary != "" {
		t = set{x: f.left, width: f.room(), size: textSize, of: &element{role: para}}
		list = append(list, t.block(1.5, regular(s.Summary)))
	}
	if len(s.Cautions) > 0 {
		list = append(list, cautions(s.Cautions, f))
	}
	return append(list, block{strips: []strip{{height: 2}}})
}

// cautions are framed, so that they are not overlooked.
func cautions(texts []string, f frame) block {
	const pad = 2.6
	t := set{x: f.left + pad, width: f.room() - 2*pad, size: textSize, of: &element{role: subhead}}
	list := []strip{{height: pad}}
	list = append(list, t.lines(bold(f.say("Take care")))...)
	for _, text := range texts {
		t.of = &element{role: para}
		list = append(list, t.lines(regular(text))...)
	}
	list = append(list, strip{height: pad})
	b := block{strips: list, before: 3}
	frame := picture.Path{Closed: true, Pen: picture.Pen{Stroke: black, Width: 0.7}, Points: corners(f.left, 0, f.room(), b.height())}
	b.strips[0].spans = append(b.strips[0].spans, span{nil, []picture.Mark{frame}})
	return b
}

func corners(x, y, w, h float64) []picture.Point {
	return []picture.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

// headed sets a heading before blocks; without any there is no heading.
func headed(text string, x, width float64, list []block) []block {
	if len(list) == 0 {
		return nil
	}
	h := set{x: x, width: width, size: largeSize, of: &element{role: heading}}.block(5, bold(text))
	h.keep, h.mark = true, &bookmark{text: text}
	list[0].before = max(list[0].before, 1)
	return append([]block{h}, list...)
}

// facts are paragraphs that begin with a name.
func facts(name string, list []Fact) section {
	return func(x, width float64) []block {
		var out []block
		for _, fact := range list {
			t := set{x: x, width: width, hang: 3, size: textSize, of: &element{role: para}}
			out = append(out, t.block(0.8, bold(fact.Name+": "), regular(fact.Text)))
		}
		return headed(name, x, width, out)
	}
}

// bullets are things in no order.
func bullets(name string, items []string, f frame) []block {
	all := &element{role: list}
	var out []block
	for _, text := range items {
		t := set{x: f.left, width: f.room(), hang: 3.5, size: textSize, of: &element{role: item, within: all}}
		out = append(out, t.block(0.8, regular("– "+text)))
	}
	return headed(name, f.left, f.room(), out)
}

// abbreviations stand in two columns, read down the first one.
func (s Sheet) abbreviations(f frame) []block {
	const gap, indent = 6.0, 20.0
	all := &element{role: list}
	width := (f.room() - gap) / 2
	var out []block
	for _, a := range s.Abbreviations {
		t := set{x: f.left, width: indent - 1, size: textSize, of: &element{role: item, within: all}}
		name := t.lines(bold(a.Name))
		t.x, t.width = f.left+indent, width-indent
		out = append(out, block{strips: level(name, t.lines(regular(a.Text))), before: 0.6})
	}
	half := (len(out) + 1) / 2
	if half > 1 {
		right := make([]block, len(out)-half)
		for i, b := range out[half:] {
			right[i] = shifted(b, width+gap)
		}
		out = []block{merged(out[:half], right)}
	}
	name := f.say("Abbreviations")
	if s.Terms != "" {
		name = f.say("Abbreviations (%s terms)", s.Terms)
	}
	return headed(name, f.left, f.room(), out)
}

// level sets strips beside strips.
func level(a, b []strip) []strip {
	var out []strip
	for i := range max(len(a), len(b)) {
		var s strip
		if i < len(a) {
			s = a[i]
		}
		if i < len(b) {
			s.height = max(s.height, b[i].height)
			s.spans = append(s.spans, b[i].spans...)
		}
		out = append(out, s)
	}
	return out
}

func shifted(b block, dx float64) block {
	for i, s := range b.strips {
		spans := make([]span, len(s.spans))
		for j, sp := range s.spans {
			marks := make([]picture.Mark, len(sp.marks))
			for k, m := range sp.marks {
				marks[k] = moved(m, dx, 0, 1)
			}
			spans[j] = span{sp.of, marks}
		}
		b.strips[i].spans = spans
	}
	return b
}

// merged makes one block of two columns.
func merged(left, right []block) block {
	flat := func(list []block) []span {
		var spans []span
		y := 0.0
		for _, b := range list {
			y += b.before
			for _, s := range b.strips {
				for _, sp := range s.spans {
					marks := make([]picture.Mark, len(sp.marks))
					for i, m := range sp.marks {
						marks[i] = moved(m, 0, y, 1)
					}
					spans = append(spans, span{sp.of, marks})
				}
				y += s.height
			}
		}
		return spans
	}
	return block{strips: []strip{{height: max(tall(left), tall(right)), spans: append(flat(left), flat(right)...)}}}
}

// care is how to wash it, the symbols beside the words.
func (s Sheet) care(f frame) []block {
	const gap = 6.0
	if s.Label.Drawing == nil {
		return bullets(f.say("Care"), s.Care, f)
	}
	narrow := f
	narrow.right = f.right - min(s.Label.Drawing.Width*0.92, f.room()*0.55) - gap
	words := bullets(f.say("Care"), s.Care, narrow)
	label := s.Label.block(narrow.right+gap, f.right-narrow.right-gap)
	if len(words) == 0 || tall(words) > f.bottom-f.top || label.height() > f.bottom-f.top {
		return append(words, label)
	}
	b := merged(words, []block{label})
	b.before, b.mark = words[0].before, words[0].mark
	return []block{b}
}

// schematic sets the schematic: beside the first sections where it is small
// enough to be read there, else over the width of a page.
func (s Sheet) schematic(to *flow, sections []section) []section {
	const width, least = 100.0, 0.86
	d := s.Schematic.Drawing
	room := to.bottom - to.y
	caption := set{width: width, size: smallSize}.lines(regular(s.Schematic.Words))
	for _, l := range caption {
		room -= l.height
	}
	if w := min(width, room*d.Width/d.Height); w >= least*width && d.Width <= 1.2*width {
		b := s.Schematic.block(to.right-w, w)
		b.mark = &bookmark{text: to.say("Schematic")}
		return to.beside(b, w, sections)
	}
	for _, blocks := range sections {
		to.put(blocks(to.left, to.room())...)
	}
	high := to.bottom - to.top - 12
	w := min(to.room(), 1.35*d.Width, high*0.94*d.Width/d.Height)
	b := s.Schematic.block(to.left+(to.room()-w)/2, w)
	to.put(headed(to.say("Schematic"), to.left, to.room(), []block{b})...)
	return nil
}

// block is the figure with its words under it.
func (g Figure) block(x, width float64) block {
	scale := width / g.Drawing.Width
	e := &element{role: figure, alt: g.Words}
	if e.alt == "" {
		e.alt = strings.TrimSpace(g.Drawing.Title + ". " + g.Drawing.Description)
	}
	var marks []picture.Mark
	for _, m := range g.Drawing.Marks {
		marks = append(marks, moved(printed(m), x, 0, scale))
	}
	b := block{strips: []strip{{height: g.Drawing.Height * scale, spans: []span{{e, marks}}}}}
	if g.Words != "" {
		b.strips = append(b.strips, strip{height: 1})
		b.strips = append(b.strips, set{x: x, width: width, size: smallSize, of: &element{role: para}}.lines(regular(g.Words))...)
	}
	return b
}

// printed is a mark of a picture for the screen as it goes on white paper.
func printed(m picture.Mark) picture.Mark {
	swap := func(c picture.Colour) picture.Colour {
		switch c {
		case picture.Ink:
			return black
		case picture.Paper:
			return white
		}
		return c
	}
	switch m := m.(type) {
	case picture.Path:
		m.Pen.Fill, m.Pen.Stroke = swap(m.Pen.Fill), swap(m.Pen.Stroke)
		return m
	case picture.Circle:
		m.Pen.Fill, m.Pen.Stroke = swap(m.Pen.Fill), swap(m.Pen.Stroke)
		return m
	case picture.Text:
		m.Colour = swap(m.Colour)
		return m
	}
	return m
}
