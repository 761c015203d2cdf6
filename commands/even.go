package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/spacing"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// even is the family about spacing things evenly.
func even(s Services) *Command {
	return &Command{Name: "even", Short: "Space shaping, edges and buttonholes evenly", Sub: []*Command{
		evenShape(), evenSlope(), evenEdge(s), evenButtonholes(s),
	}}
}

// mostStitches is the widest row that a reply writes out and draws.
const mostStitches = 5000

func evenShape() *Command {
	stitches := Int("stitches", "Stitches in the row or round now", 1, mostStitches).Require().Like("87")
	increase := Int("increase", "How many to add", 1, mostStitches).Like("14")
	decrease := Int("decrease", "How many to take away", 1, mostStitches).Like("14")
	in := OneOf("in", "A flat row (if not said) or a round", "row", "round").Default("row")
	stitch := stitchOption("stitch", "The stitch worked; sc (UK dc) if not said")
	return &Command{
		Name: "shape", Short: "Spread increases or decreases evenly across a row or round",
		Want: "spread increases or decreases evenly", From: "maker",
		Options: []Option{stitches, increase, decrease, in, stitch},
		Examples: []string{
			"/even shape stitches:87 increase:14",
			"/even shape stitches:96 decrease:16 in:round stitch:hdc",
		},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			if increase.Given(r) == decrease.Given(r) {
				return reply.Reply{}, Mistaken("/even shape stitches:87 increase:14", "say either how many to increase or how many to decrease")
			}
			kind, change, events, blame := spacing.Row, spacing.Increase, increase.Of(r), increase
			if in.Of(r) == "round" {
				kind = spacing.Round
			}
			if decrease.Given(r) {
				change, events, blame = spacing.Decrease, decrease.Of(r), decrease
			}
			plan, err := spacing.Shape(stitches.Of(r), events, kind, change)
			if err != nil {
				return reply.Reply{}, nearestThatFits(blame, err)
			}
			return shapeReply(r, plan, stitch.Of(r))
		},
	}
}

func shapeReply(r Request, p spacing.Plan, s chosenStitch) (reply.Reply, error) {
	said := shapeWords{r.Printer, p}
	drawing, err := said.strip().Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the shaping: %w", err)
	}
	parts := []reply.Block{
		reply.Rows{Lines: []string{shapedRow(r, p, s)}},
		reply.Text{Text: said.check()},
		reply.Text{Text: said.places()},
		reply.Picture{Name: "even-shape", Alt: said.alt(), Drawing: drawing},
	}
	if p.Kind == spacing.Row && !p.Mirrored() {
		parts = append(parts, reply.Tip{Text: r.Say("These numbers allow no perfect mirror image; the two halves differ by one stitch at most.")})
	}
	return reply.Reply{Title: said.title(), Parts: parts, Data: map[string]any{
		"stitches": p.Stitches, "events": p.Events, "result": p.Result, "positions": p.Positions,
	}}, nil
}

// shapeWords says a plan in words.
type shapeWords struct {
	words.Printer
	plan spacing.Plan
}

func (w shapeWords) changes() words.Message {
	if w.plan.Change == spacing.Decrease {
		return decreaseCount(w.plan.Events)
	}
	return increaseCount(w.plan.Events)
}

func (w shapeWords) title() string {
	format := words.Key("%s in a row: %d to %d stitches")
	if w.plan.Kind == spacing.Round {
		format = "%s in a round: %d to %d stitches"
	}
	return w.Say(format, w.changes(), w.plan.Stitches, w.plan.Result)
}

func (w shapeWords) check() string {
	sign := "+"
	if w.plan.Change == spacing.Decrease {
		sign = "−"
	}
	return w.Say("Check: %d %s %d = %d stitches.", w.plan.Stitches, sign, w.plan.Events, w.plan.Result)
}

func (w shapeWords) places() string {
	if w.plan.Change == spacing.Decrease {
		return w.Say("Work together the pairs that start at stitch %s.", w.positions())
	}
	return w.Say("Increase in stitch %s.", w.positions())
}

// positions lists the places; a stitch that takes several increases is named
// once, with how many.
func (w shapeWords) positions() string {
	if w.plan.Events <= w.plan.Stitches {
		return numbers(w.Printer, w.plan.Positions, 40)
	}
	var places []string
	for i := 0; i < len(w.plan.Positions); {
		at, times := w.plan.Positions[i], 0
		for ; i < len(w.plan.Positions) && w.plan.Positions[i] == at; i++ {
			times++
		}
		if len(places) == 40 {
			return w.Say("%s and so on", strings.Join(places, ", "))
		}
		places = append(places, fmt.Sprintf("%d (%d×)", at, times))
	}
	return strings.Join(places, ", ")
}

func (w shapeWords) alt() string {
	format := words.Key("A row of %d stitches with %s marked, at stitch %s.")
	if w.plan.Kind == spacing.Round {
		format = "A round of %d stitches with %s marked, at stitch %s."
	}
	return w.Say(format, w.plan.Stitches, w.changes(), w.positions())
}

func (w shapeWords) strip() picture.Strip {
	strip := picture.Strip{Title: w.title(), What: picture.Increases, Stitches: w.plan.Stitches, Positions: w.plan.Positions, Round: w.plan.Kind == spacing.Round}
	if w.plan.Change == spacing.Decrease {
		strip.What = picture.Decreases
	}
	return strip
}

// numbers lists at most most numbers, and says how many more there are.
func numbers(p words.Printer, list []int, most int) string {
	var said []string
	for _, n := range list[:min(len(list), most)] {
		said = append(said, strconv.Itoa(n))
	}
	text := strings.Join(said, ", ")
	if more := len(list) - most; more > 0 {
		return p.Say("%s and %d more", text, more)
	}
	return text
}

func evenSlope() *Command {
	stitches := Int("stitches", "Stitches to shape in all, both edges together", 1, 2000).Require().Like("20")
	rows := Int("rows", "Rows to spread them over", 1, 5000).Require().Like("60")
	edges := OneOf("edges", "Shape at one edge or at both (if not said)", "one", "both").Default("both")
	on := OneOf("on", "On which rows shaping may fall", "every row", "right side").Default("every row")
	plainFirst := Int("plain_first", "Rows at the start that stay plain", 0, 5000).Like("1")
	plainLast := Int("plain_last", "Rows at the end that stay plain", 0, 5000).Like("1")
	return &Command{
		Name: "slope", Short: "Spread shaping evenly over rows: sleeves, necks, raglans",
		Want: "shape a sleeve or a neck evenly over its rows", From: "maker",
		Options: []Option{stitches, rows, edges, on, plainFirst, plainLast},
		Examples: []string{
			"/even slope stitches:20 rows:25 edges:both",
			"/even slope stitches:18 rows:60 edges:one on:right side plain_last:4",
		},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			slope := spacing.Slope{
				Stitches: stitches.Of(r), Rows: rows.Of(r), Edges: spacing.Both,
				PlainFirst: plainFirst.Of(r), PlainLast: plainLast.Of(r),
			}
			if edges.Of(r) == "one" {
				slope.Edges = spacing.One
			}
			if on.Of(r) == "right side" {
				slope.On = spacing.RightSide
			}
			straight, err := slope.Spread()
			if err != nil {
				return reply.Reply{}, nearestThatFits(stitches, err)
			}
			easy, err := slope.Grouped()
			if err != nil {
				return reply.Reply{}, nearestThatFits(stitches, err)
			}
			return slopeReply(r, straight, easy, edges.Of(r) == "both"), nil
		},
	}
}

func slopeReply(r Request, straight, easy spacing.Sloped, both bool) reply.Reply {
	at := words.Key("at one edge")
	if both {
		at = "at each edge"
	}
	shaped := 0
	for _, row := range straight.Shaping {
		shaped += row.Each
		if both {
			shaped += row.Each
		}
	}
	parts := []reply.Block{reply.Rows{Lines: []string{groupWords(r, easy, at)}}}
	rows := numbers(r.Printer, straight.ShapingRows(), 60)
	if slices.Equal(straight.ShapingRows(), easy.ShapingRows()) {
		parts = append(parts, reply.Text{Text: r.Say("That is on rows %s.", rows)})
	} else {
		parts = append(parts,
			reply.Text{Text: r.Say("Easiest to remember, as above: rows %s.", numbers(r.Printer, easy.ShapingRows(), 60))},
			reply.Text{Text: r.Say("The straightest line: rows %s.", rows)})
	}
	parts = append(parts, reply.Text{Text: r.Say("Check: %s shaped over %s.", stitchCount(shaped), countedRows(straight.Rows))})
	if straight.On == spacing.RightSide {
		parts = append(parts, reply.Tip{Text: r.Say("Row 1 is taken as a right-side row, so shaping falls on odd rows only.")})
	}
	return reply.Reply{
		Title: r.Say("%s over %s, %s", stitchCount(shaped), countedRows(straight.Rows), at),
		Parts: parts,
		Data: map[string]any{
			"stitches": straight.Stitches, "rows": straight.Rows, "shaping_rows": straight.ShapingRows(), "result": shaped,
			"easy_rows": easy.ShapingRows(),
		},
	}
}

// groupWords writes shaping as the trade does: "Shape 1 stitch at each edge
// every 2nd row 6 times, then every 3rd row 4 times".
func groupWords(r Request, s spacing.Sloped, at words.Key) string {
	var groups []string
	for _, g := range s.Groups() {
		text := groupText(r, g)
		if g.Each > 1 {
			text = r.Say("%s (%d stitches each time)", text, g.Each)
		}
		groups = append(groups, text)
	}
	then := strings.Join(groups, r.Say(", then "))
	if rest := s.Rest(); rest > 0 {
		return r.Say("Shape 1 stitch %s %s, then work %s.", at, then, plainRowCount(rest))
	}
	return r.Say("Shape 1 stitch %s %s.", at, then)
}

func groupText(r Request, g spacing.Every) string {
	switch {
	case g.Times == 1 && g.Rows == 1:
		return r.Say("on the next row")
	case g.Times == 1:
		return r.Say("once after %s", plainRowCount(g.Rows-1))
	case g.Rows == 1:
		return r.Say("every row %d times", g.Times)
	}
	return r.Say("every %s row %d times", words.Ordinal(g.Rows), g.Times)
}

// nearestThatFits blames an option, with the nearest value that would work as
// the example.
func nearestThatFits(o *Opt[int], err error) error {
	fits := 0
	var limit *spacing.LimitError
	var odd *spacing.OddError
	var fit *spacing.FitError
	switch {
	case errors.As(err, &limit):
		fits = limit.High
	case errors.As(err, &odd):
		fits = odd.Stitches + 1
	case errors.As(err, &fit):
		fits = fit.Most
	}
	mistake := &Mistake{Option: o.spec.Name, Message: "%s", Args: []any{spacingError(err)}}
	if fits > 0 {
		mistake.Example = fmt.Sprintf("%s:%d", o.spec.Name, fits)
	}
	return mistake
}

// spacingError tells in words what can't be spaced.
func spacingError(err error) error {
	var limit *spacing.LimitError
	var odd *spacing.OddError
	var fit *spacing.FitError
	switch {
	case errors.As(err, &limit):
		return limitWords(limit)
	case errors.As(err, &odd):
		return words.Say("%d stitches can't be shared by two edges: take %d or %d, or shape one edge", odd.Stitches, odd.Stitches-1, odd.Stitches+1)
	case errors.As(err, &fit):
		return words.Say("%d buttonholes of %d stitches don't fit on %d stitches with %d at each end: at most %d fit", fit.Buttons, fit.Hole, fit.Stitches, fit.Margin, fit.Most)
	}
	return err
}

func limitWords(e *spacing.LimitError) words.Message {
	what := words.Key(e.What)
	said := words.Say("%d %s: allowed are %d to %d", e.Value, what, e.Low, e.High)
	if e.High < e.Low {
		said = words.Say("%d %s: none are possible", e.Value, what)
	} else if e.High == e.Low {
		said = words.Say("%d %s: only %d is possible", e.Value, what, e.Low)
	}
	if e.Why != "" {
		return words.Say("%s, for %s", said, words.Key(e.Why))
	}
	return said
}
