package picture

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"countwright/calc/stitch"
)

// Chart is a symbol chart: rows of stitches as the symbols of the trade.
type Chart struct {
	Title string
	Round bool // worked from the middle in rounds; else in rows from the bottom
	Rows  []ChartRow
	Notes []string // lines under the legend
}

// ChartRow is a row or round, its stitches in working order.
type ChartRow struct {
	Label    string // "1"; stands where the row starts; may be empty
	FromLeft bool   // a row that is worked from left to right, as wrong-side rows are; a round that runs with the clock
	Cells    []Cell
}

// Cell is one stitch of a chart, or a run of chains.
type Cell struct {
	Symbol stitch.Symbol
	Name   string  // "dc: double crochet", for the legend; empty: not in it
	Height float64 // single crochet is 1; 0: of a chain
	Chains int     // of a run of chains: how many
	// Turning is a run of chains that stands up at the start of a row.
	Turning bool
	// From and To are the cells of the row below that it is worked into,
	// counted from 0 in the order of that row; -1: none.
	From, To int
}

// Limits of a chart: beyond them nobody could follow it.
const (
	mostRows  = 80
	mostCells = 120
	mostChain = 200
)

// Source of the symbols: chart symbols of the Craft Yarn Council and JIS L
// 0201, from memory.
const symbolSource = "International symbols, as in the lists of the Craft Yarn Council and JIS L 0201."

// Draw draws the chart: each stitch over what it is worked into, row numbers
// where the rows start, a legend of the symbols used. It fails on a chart
// without stitches, with too many, or with stitches worked into cells that
// the row below does not have.
func (c Chart) Draw() (*Drawing, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if c.Round {
		return c.rounds(), nil
	}
	return c.flat(), nil
}

func (c Chart) check() error {
	if len(c.Rows) == 0 {
		return errors.New("draw chart: it has no rows")
	}
	if len(c.Rows) > mostRows {
		return fmt.Errorf("draw chart: %d rows are more than %d", len(c.Rows), mostRows)
	}
	below := 0
	for i, r := range c.Rows {
		if len(r.Cells) == 0 || len(r.Cells) > mostCells {
			return fmt.Errorf("draw chart: row %q has %d stitches; it can have from 1 to %d", r.Label, len(r.Cells), mostCells)
		}
		for _, cell := range r.Cells {
			switch {
			case cell.From >= 0 && (cell.To < cell.From || i == 0 || cell.To >= below):
				return fmt.Errorf("draw chart: row %q works into stitches %d to %d of %d", r.Label, cell.From+1, cell.To+1, below)
			case !(cell.Height >= 0 && cell.Height <= 12) || cell.Chains < 0 || cell.Chains > mostChain || cell.Symbol.Legs > 20 || cell.Symbol.Bars > 10:
				return fmt.Errorf("draw chart: row %q has a stitch that can't be drawn", r.Label)
			}
		}
		below = len(r.Cells)
	}
	return nil
}

// describe says what the chart shows.
func (c Chart) describe() string {
	what := "row"
	if c.Round {
		what = "round"
	}
	if len(c.Rows) != 1 {
		what += "s"
	}
	last := c.Rows[len(c.Rows)-1]
	text := fmt.Sprintf("A symbol chart of %d %s; the last has %d symbols.", len(c.Rows), what, len(last.Cells))
	for _, e := range c.legend() {
		text += " " + e.Name + "."
	}
	return text
}

// legend is each symbol once, in the order of appearance.
func (c Chart) legend() []Cell {
	type look struct {
		symbol stitch.Symbol
		name   string
	}
	seen := map[look]bool{}
	var all []Cell
	for _, r := range c.Rows {
		for _, cell := range r.Cells {
			key := look{cell.Symbol, cell.Name}
			if cell.Name == "" || seen[key] {
				continue
			}
			seen[key] = true
			all = append(all, cell)
		}
	}
	return all
}

// tall is the drawn height of a stitch in units of a stitch's width. Tall
// stitches are drawn a little shorter than they are, as charts do.
func (c Cell) tall() float64 {
	if c.Height == 0 {
		return 0.6
	}
	return 0.5 + 0.55*c.Height
}

// rowTall is the drawn height of a row.
func (r ChartRow) tall() float64 {
	h := 0.6
	for _, c := range r.Cells {
		if !c.Turning {
			h = max(h, c.tall())
		}
	}
	return h + 0.12
}

// rooted says whether a cell shares its place with a neighbour, and so grows
// out of one foot with it.
func (r ChartRow) rooted(j int) bool {
	c := r.Cells[j]
	same := func(k int) bool { return k >= 0 && k < len(r.Cells) && r.Cells[k].From == c.From }
	return c.From >= 0 && (same(j-1) || same(j+1))
}

// wide is how much room a cell needs, in units of a stitch's width.
func (c Cell) wide(foundation bool) float64 {
	switch {
	case c.Turning:
		return 0.8
	case c.Chains > 1 && foundation:
		return 0.85 * float64(c.Chains)
	case c.Chains > 1 || c.Chains == 1 && !foundation:
		return 0.75 * float64(min(c.Chains, 3))
	case c.Symbol.Legs > 1 && c.Symbol.Join != stitch.AtTop && c.Symbol.Shape != stitch.Puff:
		return max(1, 0.45*float64(c.Symbol.Legs))
	}
	return 1
}

// key draws the legend of symbols, in two columns on a wide sheet.
func (c Chart) key(sh *sheet) {
	const size = 3.6 // of a symbol
	columns := max(1, int((sh.Width-2*margin)/85))
	column := (sh.Width - 2*margin) / float64(columns)
	sh.y += 3
	at, lowest := 0, sh.y
	for _, e := range c.legend() {
		lines := wrapText(e.Name, textSize, false, column-13)
		if at == columns {
			at, sh.y = 0, lowest
		}
		x := margin + float64(at)*column
		h := max(e.tall()*size, 4) + 1.6
		foot := Point{x + 4.5, sh.y + (h+min(e.tall(), 3)*size)/2}
		c.sample(sh.Drawing, e, foot, size)
		y := sh.y + h/2 - (float64(len(lines))*lineHeight(textSize))/2
		for _, l := range lines {
			y += lineHeight(textSize)
			sh.Add(Text{At: Point{x + 12, y - 0.33*textSize}, Text: l, Size: textSize, Colour: Ink})
		}
		lowest = max(lowest, sh.y+h, y+1)
		at++
	}
	sh.y = lowest + 1
	for _, n := range c.Notes {
		sh.words(n, textSize, false, Ink)
	}
	sh.words(symbolSource, smallSize, false, Pencil)
}

// sample draws a symbol of the legend.
func (c Chart) sample(d *Drawing, e Cell, foot Point, size float64) {
	var ink inks
	top := Point{foot.X, foot.Y - min(e.tall(), 3)*size}
	feet := []Point{foot}
	if n := max(e.Symbol.Legs, e.To-e.From+1); n > 1 && e.Symbol.Join == stitch.AtTop {
		feet = spread(foot, n, 0.5*size)
	}
	if e.Chains > 0 && !e.Turning {
		e.Chains = 1
	}
	ink.cell(e, false, feet, top, size)
	ink.flush(d)
}

// spread is n points beside one another, level.
func spread(middle Point, n int, apart float64) []Point {
	all := make([]Point, n)
	for i := range all {
		all[i] = Point{middle.X + (float64(i)-float64(n-1)/2)*apart, middle.Y}
	}
	return all
}

// columnsOf places the cells of a row over what they are worked into: as near
// to it as their widths allow, by least squares (the method of pooled
// neighbours: Ayer and others, Annals of Mathematical Statistics 26, 1955).
// Wanted places that are NaN follow their neighbours. The results are the
// middles, from left to right.
func columnsOf(wanted, wide []float64) []float64 {
	n := len(wanted)
	offset := make([]float64, n) // where each would stand if all touched
	for i := 1; i < n; i++ {
		offset[i] = offset[i-1] + (wide[i-1]+wide[i])/2
	}
	type pool struct{ sum, weight, count float64 }
	var pools []pool
	for i, at := range guess(wanted) {
		w := 1.0
		if math.IsNaN(wanted[i]) {
			w = 1e-9 // it gives way to all others
		}
		p := pool{(at - offset[i]) * w, w, 1}
		for len(pools) > 0 && pools[len(pools)-1].sum/pools[len(pools)-1].weight >= p.sum/p.weight {
			last := pools[len(pools)-1]
			p = pool{p.sum + last.sum, p.weight + last.weight, p.count + last.count}
			pools = pools[:len(pools)-1]
		}
		pools = append(pools, p)
	}
	placed := make([]float64, 0, n)
	for _, p := range pools {
		for range int(p.count) {
			placed = append(placed, p.sum/p.weight+offset[len(placed)])
		}
	}
	return placed
}

// guess fills unknown places from their known neighbours.
func guess(wanted []float64) []float64 {
	all := append([]float64{}, wanted...)
	for i := range all {
		if !math.IsNaN(wanted[i]) {
			continue
		}
		before, after := math.NaN(), math.NaN()
		for j := i - 1; j >= 0 && math.IsNaN(before); j-- {
			before = wanted[j]
		}
		for j := i + 1; j < len(wanted) && math.IsNaN(after); j++ {
			after = wanted[j]
		}
		switch {
		case math.IsNaN(before) && math.IsNaN(after):
			all[i] = 0
		case math.IsNaN(before):
			all[i] = after
		case math.IsNaN(after):
			all[i] = before
		default:
			all[i] = (before + after) / 2
		}
	}
	return all
}

// order is the label of a row, or its number.
func (r ChartRow) order(i int) string {
	if r.Label != "" {
		return r.Label
	}
	return strconv.Itoa(i + 1)
}
