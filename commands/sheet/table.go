package sheet

import "countwright/commands/picture"

// section is the table under a heading.
func (t Table) section(name string) section {
	return func(x, width float64) []block {
		if len(t.Rows) == 0 {
			return nil
		}
		return headed(name, x, width, t.blocks(x, width))
	}
}

const cellGap = 3.0 // between columns

// blocks is a block a row; the head stays with the first one, and all of a
// short table together.
func (t Table) blocks(x, width float64) []block {
	all := &element{role: table}
	columns := t.columns(width)
	var out []block
	if len(t.Head) > 0 {
		b := t.row(t.Head, true, columns, x, headCell, all)
		b.keep = true
		last := len(b.strips) - 1
		b.strips[last].spans = append(b.strips[last].spans, span{nil, []picture.Mark{rule(x, b.strips[last].height, sum(columns), 0.3)}})
		out = append(out, b)
	}
	for i, cells := range t.Rows {
		b := t.row(cells, i+1 == t.Own, columns, x, cell, all)
		b.keep = len(t.Rows) <= 16 && i < len(t.Rows)-1
		b.before = 0.5
		if i+1 == t.Own {
			frame := picture.Path{Closed: true, Pen: picture.Pen{Fill: light, Stroke: black, Width: 0.5}, Points: corners(x-1, 0, sum(columns)+2, b.height())}
			b.strips[0].spans = append([]span{{nil, []picture.Mark{frame}}}, b.strips[0].spans...)
		}
		out = append(out, b)
	}
	if t.Note != "" {
		out[len(out)-1].keep = true
		out = append(out, set{x: x, width: width, size: smallSize, of: &element{role: para}}.block(1, regular(t.Note)))
	}
	return out
}

func rule(x, y, width, thick float64) picture.Mark {
	return picture.Path{Points: []picture.Point{{X: x, Y: y}, {X: x + width, Y: y}}, Pen: picture.Pen{Stroke: black, Width: thick}}
}

func sum(columns []float64) float64 {
	w := cellGap * float64(len(columns)-1)
	for _, c := range columns {
		w += c
	}
	return w
}

// row sets cells beside one another.
func (t Table) row(cells []string, isBold bool, columns []float64, x float64, kind role, all *element) block {
	row := &element{role: tableRow, within: all}
	var strips []strip
	for i, text := range cells[:min(len(cells), len(columns))] {
		c := set{x: x, width: columns[i] + 0.01, size: textSize, of: &element{role: kind, within: row}}
		lines := c.lines(run{text, isBold})
		if i < len(t.Right) && t.Right[i] {
			lines = toRight(lines, x+columns[i])
		}
		strips = level(strips, lines)
		x += columns[i] + cellGap
	}
	if len(strips) == 0 {
		strips = []strip{{height: leading * textSize}}
	}
	return block{strips: strips}
}

func toRight(lines []strip, edge float64) []strip {
	for _, l := range lines {
		for _, s := range l.spans {
			for i, m := range s.marks {
				if text, ok := m.(picture.Text); ok {
					text.At.X = edge - picture.TextWidth(text.Text, text.Size, text.Bold)
					s.marks[i] = text
				}
			}
		}
	}
	return lines
}

// columns are as wide as their widest cell; where that is too wide, the widest
// column gives way.
func (t Table) columns(width float64) []float64 {
	n := len(t.Head)
	for _, r := range t.Rows {
		n = max(n, len(r))
	}
	columns := make([]float64, n)
	fit := func(cells []string) {
		for i, text := range cells {
			columns[i] = max(columns[i], picture.TextWidth(clean(text), textSize, true))
		}
	}
	fit(t.Head)
	for _, r := range t.Rows {
		fit(r)
	}
	for over := sum(columns) - width; over > 0.001; over = sum(columns) - width {
		widest, second := 0, 0.0
		for i, c := range columns {
			if c > columns[widest] {
				widest = i
			}
		}
		for i, c := range columns {
			if i != widest {
				second = max(second, c)
			}
		}
		cut := over
		if columns[widest]-second > 0.01 {
			cut = min(over, columns[widest]-second)
		} else {
			cut = min(over, 1)
		}
		if columns[widest]-cut < 8 {
			break
		}
		columns[widest] -= cut
	}
	return columns
}
