package reply

import (
	"fmt"
	"strings"
)

// narrowest is the least width of a column whose cells are wrapped.
const narrowest = 8

// table sets a table in columns; where it is wider than the page, the cells
// of its widest columns are wrapped.
func (p *page) table(t Table) error {
	rows := make([][]string, 0, len(t.Rows)+1)
	for i, r := range append([][]string{t.Head}, t.Rows...) {
		if len(r) != len(t.Head) {
			return fmt.Errorf("row %d of the table has %d cells for %d columns", i, len(r), len(t.Head))
		}
		cells := make([]string, len(r))
		for j, c := range r {
			cells[j] = oneLine(c)
		}
		rows = append(rows, cells)
	}
	widths := columnWidths(rows, p.width)
	for i, r := range rows {
		code := ""
		if i == 0 {
			code = bold
		}
		p.row(r, widths, t.Right, code)
		if i == 0 {
			rules := make([]string, len(widths))
			for j, w := range widths {
				rules[j] = strings.Repeat("─", w)
			}
			p.line(p.tint(aside, strings.TrimRight(strings.Join(rules, "  "), " ")))
		}
	}
	return nil
}

// columnWidths are the widths of the columns with two spaces between them,
// on a page of a width if that can be.
func columnWidths(rows [][]string, page int) []int {
	widths := make([]int, len(rows[0]))
	total := 2 * (len(widths) - 1)
	for j := range widths {
		for _, r := range rows {
			widths[j] = max(widths[j], width(r[j]))
		}
		total += widths[j]
	}
	for total > page {
		widest := 0
		for j, w := range widths {
			if w > widths[widest] {
				widest = j
			}
		}
		if widths[widest] <= narrowest {
			break
		}
		widths[widest]--
		total--
	}
	return widths
}

// row prints a row of as many lines as its longest cell needs.
func (p *page) row(cells []string, widths []int, right []bool, code string) {
	wrapped := make([][]string, len(cells))
	lines := 1
	for j, c := range cells {
		wrapped[j] = wrap(c, widths[j])
		lines = max(lines, len(wrapped[j]))
	}
	for i := range lines {
		parts := make([]string, len(cells))
		for j := range cells {
			c := ""
			if i < len(wrapped[j]) {
				c = wrapped[j][i]
			}
			parts[j] = fill(c, widths[j], j < len(right) && right[j])
		}
		p.line(p.tint(code, strings.TrimRight(strings.Join(parts, "  "), " ")))
	}
}
