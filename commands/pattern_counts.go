package commands

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	worked "countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/commands/reply"
)

const (
	mostLines = 16 // of the table of counts; the whole is attached
	mostSizes = 6  // columns of sizes
)

// counts is the table of what each row makes. Rows that came to the same are
// drawn together.
func (c *checked) counts() []reply.Block {
	var parts []reply.Block
	left := mostLines
	for i := range c.result.Pieces {
		p := &c.result.Pieces[i]
		lines := c.lines(p)
		if len(lines) == 0 {
			continue
		}
		if left == 0 {
			parts = append(parts, reply.Text{Text: c.Say("The counts of all rows are in the attached table.")})
			break
		}
		t := reply.Table{Title: p.Name, Head: c.Each("Row", "Makes", "Says", "Of"), Right: []bool{false, true, true, false}}
		if t.Title == "" {
			t.Title = c.Say("Counts")
		}
		if sizes := c.columns(); len(sizes) > 1 {
			t.Head, t.Right = c.Each("Row"), []bool{false}
			for _, s := range sizes {
				t.Head, t.Right = append(t.Head, c.sizeNames()[s]), append(t.Right, true)
			}
		}
		cut := len(lines) > left
		if cut {
			lines = lines[:left]
		}
		left -= len(lines)
		t.Rows = lines
		parts = append(parts, t)
		if cut {
			parts = append(parts, reply.Text{Text: c.Say("The rest is in the attached table.")})
			break
		}
	}
	return parts
}

// columns are the sizes that the table shows: all, or some evenly apart.
func (c *checked) columns() []int {
	n := len(c.result.Sizes)
	shown := min(n, mostSizes)
	all := make([]int, shown)
	for i := range all {
		if shown > 1 {
			all[i] = i * (n - 1) / (shown - 1)
		}
	}
	return all
}

// lines are the rows of the table of a piece.
func (c *checked) lines(p *worked.Piece) [][]string {
	var lines [][]string
	for from := 0; from < len(p.Rows); {
		if !isRow(&p.Rows[from]) {
			from++
			continue
		}
		cells := c.cells(&p.Rows[from])
		to := from + 1
		for to < len(p.Rows) && p.Rows[to].Number == p.Rows[to-1].Number+1 && p.Rows[from].Number > 0 &&
			p.Rows[to].Kind == p.Rows[from].Kind && alike(cells, c.cells(&p.Rows[to])) {
			to++
		}
		label := p.Rows[from].Label
		if to-from > 1 {
			label = fmt.Sprintf("%s–%d", strings.Replace(label, " ", "s ", 1), p.Rows[to-1].Number)
			cells = c.cells(&p.Rows[to-1]) // the count is stated at the end
		}
		lines = append(lines, append([]string{label}, cells...))
		from = to
	}
	return lines
}

// alike compares what two rows make. A count that is not stated is alike any,
// as it is the last row of several that states it.
func alike(a, b []string) bool {
	if len(a) != 3 {
		return slices.Equal(a, b)
	}
	return a[0] == b[0] && a[2] == b[2] && (a[1] == b[1] || a[1] == "")
}

// cells is what a row makes: for one size how many, how many the text says, of
// which stitches; for several how many in each.
func (c *checked) cells(row *worked.Row) []string {
	columns := c.columns()
	if len(columns) == 1 {
		n := row.PerSize[columns[0]]
		if n == nil {
			return []string{"", "", ""}
		}
		says := ""
		if n.Claimed {
			says = strconv.Itoa(n.Claim)
		}
		makes := strconv.Itoa(n.Stitches)
		if n.Stitches == 0 && len(n.By) == 0 { // nothing of it was read
			makes = "–"
		}
		return []string{makes, says, tallies(n.By, c.doc.Terms)}
	}
	cells := make([]string, len(columns))
	for i, size := range columns {
		switch n := row.PerSize[size]; {
		case n == nil:
			cells[i] = "–"
		case n.Claimed && n.Claim != n.Stitches && !row.OK:
			cells[i] = c.Say("%d (says %d)", n.Stitches, n.Claim)
		default:
			cells[i] = strconv.Itoa(n.Stitches)
		}
	}
	return cells
}

// tallies counts each stitch, the commonest first: "16 sc, 1 sc2tog".
func tallies(by []worked.Tally, terms notation.Terms) string {
	by = slices.Clone(by)
	slices.SortStableFunc(by, func(a, b worked.Tally) int { return b.N - a.N })
	words := make([]string, len(by))
	for i, t := range by {
		words[i] = fmt.Sprintf("%d %s", t.N, wordIn(terms, t.ID))
	}
	return strings.Join(words, ", ")
}

// csv is the table of every row in every size; false where one row is all.
func (c *checked) csv() (reply.File, bool) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	records := [][]string{{"piece", "row", "size", "makes", "says", "left", "stitches"}}
	names := c.sizeNames()
	for _, p := range c.result.Pieces {
		for i := range p.Rows {
			row := &p.Rows[i]
			if !isRow(row) {
				continue
			}
			for size, n := range row.PerSize {
				if n == nil {
					continue
				}
				says, name := "", ""
				if n.Claimed {
					says = strconv.Itoa(n.Claim)
				}
				if len(names) > 1 {
					name = names[size]
				}
				records = append(records, []string{plainCell(p.Name), plainCell(row.Label), plainCell(name), strconv.Itoa(n.Stitches), says, strconv.Itoa(n.Left), plainCell(tallies(n.By, c.doc.Terms))})
			}
		}
	}
	if len(records) < 3 {
		return reply.File{}, false
	}
	if err := w.WriteAll(records); err != nil {
		return reply.File{}, false // a builder takes everything
	}
	return reply.File{Name: "counts.csv", Type: "text/csv", Body: []byte(b.String())}, true
}

// plainCell keeps a spreadsheet from taking a member's words for a formula.
func plainCell(s string) string {
	if first, _ := utf8.DecodeRuneInString(s); s != "" && strings.ContainsRune("=+-@＝＋－＠\t\r\n", first) {
		return "'" + s
	}
	return s
}
