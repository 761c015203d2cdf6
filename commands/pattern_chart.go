package commands

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	worked "countwright/calc/fabric"
	"countwright/calc/stitch"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// mostCharted is the most rows of a chart, and the most stitches of a row; the
// declaration of /pattern chart says it, too.
// Beyond them nobody could follow it on a screen.
const mostCharted = 60

func patternChart(s Services) *Command {
	from := newTextOptions(s)
	part := Words("part", "Which piece to chart; the first if not said", 100).Like("Back")
	rows := Value("rows", "Which rows to chart, such as 1-20", "1-20", readRowRange)
	size := Int("size", "Which size to chart, counted from the smallest", 1, 40).Like("1")
	terms := termsOption()
	return &Command{
		Name: "chart", Short: "Draw the symbol chart of written rows or rounds",
		Want: "see written rows as a chart of symbols", From: "maker",
		Long:    "A chart has up to 60 rows of up to 60 stitches. Rows longer than that can't be followed on a screen.",
		Options: []Option{from.text, from.file, from.name, part, rows, size, terms},
		Examples: []string{
			`/pattern chart text:"Rnd 1: 6 sc in magic ring (6)\nRnd 2: 2 sc in each st around (12)\nRnd 3: *sc in next st, 2 sc in next st; rep from * around (18)"`,
			`/pattern chart text:"Ch 17\nRow 1: dc in 4th ch from hook and in each ch across (15)\nRow 2: ch 3, dc in next st, *ch 1, sk 1, dc in next st; rep from * across to last st, dc in last st (15)" rows:1-2`,
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			t, ask, err := from.read(ctx, r, words.Key("Chart written rows"))
			if err != nil || ask != nil {
				return formReply(ask), err
			}
			c, err := workText(r, t, reading{terms: terms.Of(r)})
			if err != nil {
				return reply.Reply{}, err
			}
			ch := charting{checked: c, rows: rows.Of(r), size: size.Of(r) - 1, rowsBlame: rows.Blame}
			if !size.Given(r) {
				ch.size = 0
			}
			if n := len(c.result.Sizes); ch.size >= n {
				return reply.Reply{}, &Mistake{Option: "size", Message: "the text has %s", Args: []any{words.Count(n, "%d size", "%d sizes")}, Example: fmt.Sprintf("size:%d", n)}
			}
			if ch.piece, err = c.pieceNamed(part, r); err != nil {
				return reply.Reply{}, err
			}
			return ch.reply()
		},
	}
}

// pieceNamed finds the piece that a request names, or the first with rows.
func (c *checked) pieceNamed(part *Opt[string], r Request) (*worked.Piece, error) {
	var names []string
	for i := range c.result.Pieces {
		p := &c.result.Pieces[i]
		if len(p.Rows) == 0 {
			continue
		}
		if !part.Given(r) || strings.EqualFold(p.Name, part.Of(r)) {
			return p, nil
		}
		if p.Name != "" {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return nil, &Mistake{Option: "part", Message: "the text names no pieces; leave part out", Example: "/pattern chart"}
	}
	return nil, &Mistake{Option: "part", Message: "the text has no piece called %q; it has %s", Args: []any{part.Of(r), listed(names, 12)}, Example: "part:" + names[0]}
}

// rowRange is which rows are meant; the zero value means all.
type rowRange struct{ from, to int }

func readRowRange(text string, _ Settings) (rowRange, error) {
	first, last, found := strings.Cut(strings.NewReplacer("–", "-", "—", "-", " to ", "-").Replace(text), "-")
	if !found {
		last = first
	}
	from, err1 := strconv.Atoi(strings.TrimSpace(first))
	to, err2 := strconv.Atoi(strings.TrimSpace(last))
	if err1 != nil || err2 != nil || from < 1 || to < from || to > 100_000 {
		return rowRange{}, words.Say("%q is no range of rows; it is written 1-20, or 7 for one row", text)
	}
	return rowRange{from, to}, nil
}

func (r rowRange) String() string {
	if r.from == r.to {
		return strconv.Itoa(r.from)
	}
	return fmt.Sprintf("%d-%d", r.from, r.to)
}

// charting is a chart on its way.
type charting struct {
	*checked
	piece     *worked.Piece
	rows      rowRange
	size      int
	rowsBlame func(error) error
}

func (c charting) reply() (reply.Reply, error) {
	chart, err := c.chart()
	if err != nil {
		return reply.Reply{}, err
	}
	d, err := chart.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw chart: %w", err)
	}
	title := words.Count(len(chart.Rows), "Chart of %d row", "Chart of %d rows")
	how := words.Key("Each row is read from the side where its number stands: right-side rows from right to left, wrong-side rows back. The legend is in %s terms.")
	if chart.Round {
		title = words.Count(len(chart.Rows), "Chart of %d round", "Chart of %d rounds")
		how = "Read it from the middle outwards; each round starts at its number and runs against the clock. The legend is in %s terms."
	}
	widest := 0
	for _, row := range chart.Rows {
		widest = max(widest, len(row.Cells))
	}
	out := reply.Reply{Title: c.Of(title)}
	if c.piece.Name != "" {
		out.Title = c.Say("%s: %s", title, c.piece.Name)
	}
	out.Parts = []reply.Block{
		reply.Text{Text: c.Say(how, c.doc.Terms)},
		reply.Picture{Name: "chart", Alt: clip(d.Description, 1000), Drawing: d},
	}
	if wrong, unread := c.wrong(); wrong+unread > 0 {
		out.Parts = append(out.Parts, reply.Caution{Text: c.Say("%s. The chart shows what the rows make, not what they say; see /pattern check.", c.verdict())})
	}
	if others := c.others(); len(others) > 0 {
		out.Parts = append(out.Parts, reply.Tip{Text: c.Say("Other pieces: %s (say part).", listed(others, 12))})
	}
	out.Data = map[string]any{"terms": c.doc.Terms.String(), "piece": c.piece.Name, "rows": len(chart.Rows), "widest": widest, "round": chart.Round}
	return out, nil
}

// others names the other pieces with rows.
func (c charting) others() []string {
	var names []string
	for i := range c.result.Pieces {
		if p := &c.result.Pieces[i]; p != c.piece && len(p.Rows) > 0 && p.Name != "" {
			names = append(names, p.Name)
		}
	}
	return names
}

// chart is the rows asked for; too many, or too long ones, are a mistake that
// says which would fit.
func (c charting) chart() (picture.Chart, error) {
	whole := picture.Worked(*c.piece, c.size, stitch.Dialect(c.doc.Terms))
	chart := whole
	if c.rows.from > 0 {
		chart.Rows = nil
		for _, row := range whole.Rows {
			if n, err := strconv.Atoi(row.Label); err == nil && n >= c.rows.from && n <= c.rows.to {
				chart.Rows = append(chart.Rows, row)
			}
		}
		if len(chart.Rows) == 0 {
			return chart, c.rowsBlame(words.Say("there is no row %s here; the rows go up to %d", c.rows, lastNumber(whole)))
		}
		chart.Rows[0] = alone(chart.Rows[0], len(whole.Rows) > 0 && chart.Rows[0].Label == whole.Rows[0].Label)
	}
	if len(chart.Rows) == 0 {
		return chart, &Mistake{Message: "there is nothing to chart in this piece", Example: "/pattern check"}
	}
	wide := -1
	for i, row := range chart.Rows {
		if n := len(row.Cells); n > mostCharted && (wide < 0 || n > len(chart.Rows[wide].Cells)) {
			wide = i
		}
	}
	if wide < 0 && len(chart.Rows) <= mostCharted {
		return chart, nil
	}
	m := &Mistake{Option: "rows", Message: "there are %d rows; a chart has up to %d", Args: []any{len(chart.Rows), mostCharted}}
	if wide >= 0 {
		m.say("row %s has %d symbols; a chart has rows of up to %d. A few repeats of the stitch pattern, written as rows of their own, can be charted",
			chart.Rows[wide].Label, len(chart.Rows[wide].Cells), mostCharted)
	}
	if fits, ok := longestFitting(whole); ok {
		m.say("%s; rows %s would fit", m.said(), fits)
		m.Example = "rows:" + fits.String()
	}
	return chart, m
}

// alone makes a row the first of a chart: nothing stands below it.
func alone(row picture.ChartRow, first bool) picture.ChartRow {
	if first {
		return row
	}
	cells := make([]picture.Cell, len(row.Cells))
	for i, c := range row.Cells {
		c.From, c.To = -1, -1
		cells[i] = c
	}
	row.Cells = cells
	return row
}

func lastNumber(c picture.Chart) int {
	last := 0
	for _, row := range c.Rows {
		if n, err := strconv.Atoi(row.Label); err == nil {
			last = max(last, n)
		}
	}
	return last
}

// longestFitting is the longest run of rows that can be charted.
func longestFitting(c picture.Chart) (best rowRange, ok bool) {
	var run rowRange
	for _, row := range c.Rows {
		n, err := strconv.Atoi(row.Label)
		if err != nil || len(row.Cells) > mostCharted || n != run.to+1 && run.to > 0 {
			run = rowRange{}
		}
		if err != nil || len(row.Cells) > mostCharted {
			continue
		}
		if run.from == 0 {
			run.from = n
		}
		run.to = n
		run.from = max(run.from, n-mostCharted+1)
		if !ok || run.to-run.from > best.to-best.from {
			best, ok = run, true
		}
	}
	return best, ok
}
