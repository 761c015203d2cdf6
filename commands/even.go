package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/spacing"
	"countwright/commands/picture"
	"countwright/commands/reply"
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
	words := shapeWords{plan: p}
	drawing, err := words.strip().Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the shaping: %w", err)
	}
	parts := []reply.Block{
		reply.Rows{Lines: []string{shapedRow(r, p, s)}},
		reply.Text{Text: words.check()},
		reply.Text{Text: words.places()},
		reply.Picture{Name: "even-shape", Alt: words.alt(), Drawing: drawing},
	}
	if p.Kind == spacing.Row && !p.Mirrored() {
		parts = append(parts, reply.Tip{Text: "These numbers allow no perfect mirror image; the two halves differ by one stitch at most."})
	}
	return reply.Reply{Title: words.title(), Parts: parts, Data: map[string]any{
		"stitches": p.Stitches, "events": p.Events, "result": p.Result, "positions": p.Positions,
	}}, nil
}

// shapeWords says a plan in words.
type shapeWords struct{ plan spacing.Plan }

func (w shapeWords) change() string {
	if w.plan.Change == spacing.Decrease {
		return "decrease"
	}
	return "increase"
}

func (w shapeWords) where() string {
	if w.plan.Kind == spacing.Round {
		return "round"
	}
	return "row"
}

func (w shapeWords) title() string {
	return fmt.Sprintf("%s in a %s: %d to %d stitches", count(w.plan.Events, w.change()), w.where(), w.plan.Stitches, w.plan.Result)
}

func (w shapeWords) check() string {
	sign := "+"
	if w.plan.Change == spacing.Decrease {
		sign = "−"
	}
	return fmt.Sprintf("Check: %d %s %d = %d stitches.", w.plan.Stitches, sign, w.plan.Events, w.plan.Result)
}

func (w shapeWords) places() string {
	verb := "Increase in stitch"
	if w.plan.Change == spacing.Decrease {
		verb = "Work together the pairs that start at stitch"
	}
	return fmt.Sprintf("%s %s.", verb, w.positions())
}

// positions lists the places; a stitch that takes several increases is named
// once, with how many.
func (w shapeWords) positions() string {
	if w.plan.Events <= w.plan.Stitches {
		return numbers(w.plan.Positions, 40)
	}
	var places []string
	for i := 0; i < len(w.plan.Positions); {
		at, times := w.plan.Positions[i], 0
		for ; i < len(w.plan.Positions) && w.plan.Positions[i] == at; i++ {
			times++
		}
		if len(places) == 40 {
			return strings.Join(places, ", ") + " and so on"
		}
		places = append(places, fmt.Sprintf("%d (%d×)", at, times))
	}
	return strings.Join(places, ", ")
}

func (w shapeWords) alt() string {
	return fmt.Sprintf("A %s of %d stitches with %s marked, at stitch %s.", w.where(), w.plan.Stitches, count(w.plan.Events, w.change()), w.positions())
}

func (w shapeWords) strip() picture.Strip {
	strip := picture.Strip{Title: w.title(), What: picture.Increases, Stitches: w.plan.Stitches, Positions: w.plan.Positions, Round: w.plan.Kind == spacing.Round}
	if w.plan.Change == spacing.Decrease {
		strip.What = picture.Decreases
	}
	return strip
}

// count says a number of things: "1 increase", "14 increases".
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// numbers lists at most most numbers, and says how many more there are.
func numbers(list []int, most int) string {
	var b strings.Builder
	for i, n := range list {
		if i == most {
			fmt.Fprintf(&b, " and %d more", len(list)-most)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprint(&b, n)
	}
	return b.String()
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
			return slopeReply(straight, easy, edges.Of(r)), nil
		},
	}
}

func slopeReply(straight, easy spacing.Sloped, edges string) reply.Reply {
	at := "at one edge"
	if edges == "both" {
		at = "at each edge"
	}
	shaped := 0
	for _, row := range straight.Shaping {
		shaped += row.Each
		if edges == "both" {
			shaped += row.Each
		}
	}
	parts := []reply.Block{reply.Rows{Lines: []string{groupWords(easy, at)}}}
	if slices.Equal(straight.ShapingRows(), easy.ShapingRows()) {
		parts = append(parts, reply.Text{Text: "That is on rows " + numbers(straight.ShapingRows(), 60) + "."})
	} else {
		parts = append(parts,
			reply.Text{Text: "Easiest to remember, as above: rows " + numbers(easy.ShapingRows(), 60) + "."},
			reply.Text{Text: "The straightest line: rows " + numbers(straight.ShapingRows(), 60) + "."})
	}
	parts = append(parts, reply.Text{Text: fmt.Sprintf("Check: %s shaped over %s.", stitchCount(shaped), count(straight.Rows, "row"))})
	if straight.On == spacing.RightSide {
		parts = append(parts, reply.Tip{Text: "Row 1 is taken as a right-side row, so shaping falls on odd rows only."})
	}
	return reply.Reply{
		Title: fmt.Sprintf("%s over %s, %s", stitchCount(shaped), count(straight.Rows, "row"), at),
		Parts: parts,
		Data: map[string]any{
			"stitches": straight.Stitches, "rows": straight.Rows, "shaping_rows": straight.ShapingRows(), "result": shaped,
			"easy_rows": easy.ShapingRows(),
		},
	}
}

// groupWords writes shaping as the trade does: "Shape 1 stitch at each edge
// every 2nd row 6 times, then every 3rd row 4 times".
func groupWords(s spacing.Sloped, at string) string {
	var groups []string
	for _, g := range s.Groups() {
		words := "every row"
		if g.Rows > 1 {
			words = fmt.Sprintf("every %s row", notation.Ordinal(g.Rows))
		}
		if g.Times == 1 {
			words = fmt.Sprintf("once after %s", count(g.Rows-1, "plain row"))
			if g.Rows == 1 {
				words = "on the next row"
			}
		} else {
			words += fmt.Sprintf(" %d times", g.Times)
		}
		if g.Each > 1 {
			words += fmt.Sprintf(" (%d stitches each time)", g.Each)
		}
		groups = append(groups, words)
	}
	text := fmt.Sprintf("Shape 1 stitch %s %s", at, strings.Join(groups, ", then "))
	if rest := s.Rest(); rest > 0 {
		text += fmt.Sprintf(", then work %s", count(rest, "plain row"))
	}
	return text + "."
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
	mistake := &Mistake{Option: o.spec.Name, Message: "%s", Args: []any{err}}
	if fits > 0 {
		mistake.Example = fmt.Sprintf("%s:%d", o.spec.Name, fits)
	}
	return mistake
}
