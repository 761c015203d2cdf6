package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// weightOptions are the clues that a member can give.
type weightOptions struct {
	name   *Opt[string]
	label  *Opt[yarn.Ball]
	wraps  *Opt[float64]
	count  *Opt[yarn.Count]
	gauge  *Opt[gauge.Gauge]
	swatch *Opt[string]
}

func yarnWeight(s Services) *Command {
	o := weightOptions{
		name: Words("name", "What it is called: DK, 4 ply, worsted, or its number 0 to 7", 40).Like("DK").
			Suggest(func(_ context.Context, _ Request, typed string) []Choice { return suggestYarns(typed) }),
		label: Value("label", "What its label says: 50 g = 120 m", "50 g = 120 m", func(text string, _ Settings) (yarn.Ball, error) {
			b, err := yarn.ParseLabel(text)
			if err == nil && b.In100g() == 0 {
				return b, words.Say("it takes a weight and a length, for only both together tell the thickness")
			}
			return b, yarnError(err)
		}),
		wraps:  Number("wraps", "Wraps around a ruler in one inch", 1, 100).Like("12"),
		count:  Value("count", "A yarn count: Nm 2/28, 250 tex", "Nm 2/28", readCount),
		gauge:  Gauge("gauge", "Your gauge in single crochet (UK double crochet)"),
		swatch: swatchNamed(s),
	}
	return &Command{
		Name: "weight", Short: "How thick is this yarn? Its weight class by any clue",
		Want: "know how thick a yarn is",
		Long: "Give one clue or several: its name, its label, wraps in an inch, a yarn count, your gauge, a swatch. " +
			"The ranges of the classes overlap, so one clue can leave two; several clues narrow it down. Without any: the whole table.",
		Options: []Option{o.name, o.label, o.wraps, o.count, o.gauge, o.swatch},
		Examples: []string{
			"/yarn weight name:4 ply", "/yarn weight label:50 g = 120 m", "/yarn weight wraps:12 label:100 g = 220 m", "/yarn weight count:Nm 2/28", "/yarn weight",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			clues, err := o.clues(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			if clues == nil {
				return weightTable(r), nil
			}
			return weightReply(r, clues), nil
		},
	}
}

// clues reads what each given clue points to.
func (o weightOptions) clues(ctx context.Context, s Services, r Request) ([]clue, error) {
	var clues []clue
	if o.name.Given(r) {
		classes, err := yarn.ByName(meant(r.Printer, o.name.Of(r), classKeys()))
		if err != nil {
			return nil, nearYarn(o.name, o.name.Of(r))
		}
		c := clue{name: r.Say("Its name, “%s”", o.name.Of(r))}
		for _, class := range classes {
			c.matches = append(c.matches, yarn.Match{Class: class})
		}
		clues = append(clues, c)
	}
	if o.label.Given(r) {
		in100g := o.label.Of(r).In100g()
		matches, err := yarn.ByLength(in100g)
		if err != nil {
			return nil, o.label.Blame(yarnError(err))
		}
		clues = append(clues, clue{lengthClue(r, words.Say("Its label"), in100g), matches})
	}
	if o.wraps.Given(r) {
		matches, err := yarn.ByWraps(o.wraps.Of(r))
		if err != nil {
			return nil, o.wraps.Blame(yarnError(err))
		}
		clues = append(clues, clue{r.Say("%s wraps in an inch", figure(o.wraps.Of(r))), matches})
	}
	if o.count.Given(r) {
		c, err := countClue(r, o.count.Of(r))
		if err != nil {
			return nil, o.count.Blame(yarnError(err))
		}
		clues = append(clues, c)
	}
	if o.gauge.Given(r) || o.swatch.Given(r) {
		own, err := gaugeOrSwatch(ctx, s, r, o.gauge, o.swatch)
		if err != nil {
			return nil, err
		}
		c, err := gaugeClue(r, own)
		if err != nil {
			return nil, o.gauge.Blame(yarnError(err))
		}
		clues = append(clues, c)
	}
	return clues, nil
}

func countClue(r Request, count yarn.Count) (clue, error) {
	in100g := count.MetresIn100g()
	matches, err := yarn.ByLength(in100g)
	c := clue{lengthClue(r, words.Say("Its count (%s tex)", figure(count.Tex())), in100g), matches}
	if count.Assumed {
		c.name = r.Say("%s, %d plies assumed", c.name, count.Plies)
	}
	return c, err
}

// clue is something that points to weight classes.
type clue struct {
	name    string
	matches []yarn.Match
}

func lengthClue(r Request, what words.Message, in100g float64) string {
	if r.Settings.Units == measure.Inches {
		return r.Say("%s, %s m (%s yd) in 100 g", what, trimmed(coarse(in100g)), trimmed(coarse(in100g/0.9144)))
	}
	return r.Say("%s, %s m in 100 g", what, trimmed(coarse(in100g)))
}

func gaugeClue(r Request, own ownGauge) (clue, error) {
	matches, err := yarn.ByGauge(own.gauge.Stitches)
	if err != nil {
		return clue{}, err
	}
	c := clue{name: r.Say("%s sts in 10 cm", figure(own.gauge.Stitches)), matches: matches}
	if sw := own.swatch; sw != nil {
		c.name = r.Say("Your swatch “%s”, %s", sw.Name, c.name)
		if !isSingle(r, sw.Stitch) {
			c.name = r.Say("%s (the ranges are for %s; take it as a guide)", c.name, stitchWord(r, "sc"))
		}
	}
	return c, nil
}

func (c clue) text() words.Message {
	var classes []yarn.Class
	format := words.Key("%s: %s")
	for _, m := range c.matches {
		classes = append(classes, m.Class)
		if m.Off != 0 {
			format = "%s: between the classes, nearest is %s"
		}
	}
	return words.Say(format, c.name, classNames(classes))
}

// agreed is the classes that the most clues point to, and how many do.
func agreed(clues []clue) (best []yarn.Class, votes int) {
	count := map[int]int{}
	for _, c := range clues {
		for _, m := range c.matches {
			count[m.Number]++
			votes = max(votes, count[m.Number])
		}
	}
	for _, c := range yarn.Classes() {
		if count[c.Number] == votes {
			best = append(best, c)
		}
	}
	return best, votes
}

func weightReply(r Request, clues []clue) reply.Reply {
	best, votes := agreed(clues)
	var lines []string
	for _, c := range clues {
		lines = append(lines, r.Of(c.text()))
	}
	parts := []reply.Block{reply.List{Items: lines}}
	if votes < len(clues) {
		parts = append(parts, reply.Caution{Text: r.Say("The clues don't agree. Labels and names are loose, and everybody wraps at another tension: let a swatch decide.")})
	} else if len(best) > 1 {
		parts = append(parts, reply.Text{Text: r.Say("The ranges overlap, so this alone can't tell them apart. One more clue may: the label, wraps in an inch, a swatch.")})
	}
	var figures []map[string]any
	for i, c := range best {
		figures = append(figures, map[string]any{"number": c.Number, "name": c.Name, "hook_mm": c.Hook.String(), "metres_in_100g": c.Metres.String(), "wraps": c.Wraps.String(), "crochet": c.Crochet.String(), "knit": c.Knit.String()})
		if i < 3 {
			parts = append(parts, reply.Text{Text: upperFirst(r.Of(className(c))) + ":"}, classFields(r, c))
		}
	}
	next := []reply.Action{reply.Button{Label: r.Say("Hooks for it"), Line: fmt.Sprintf("/hook for:%d", best[0].Number)}}
	return reply.Reply{Title: upperFirst(r.Say("%s yarn", classNames(best))), Parts: parts, Actions: next,
		Data: map[string]any{"classes": figures, "clues": len(clues), "agree": votes}}
}

func classFields(r Request, c yarn.Class) reply.Fields {
	return reply.Fields{Items: []reply.Field{
		{Name: r.Say("Also called"), Value: strings.Join(append(append([]string{}, c.Types...), c.TradeNames()...), ", ")},
		{Name: r.Say("In 10 cm"), Value: r.Say("%s %s; knitted %s", spanWords(c.Crochet), stitchWord(r, stitch.ID(c.Stitch)), spanWords(c.Knit))},
		{Name: r.Say("Hook"), Value: r.Say("%s mm", spanWords(c.Hook))},
		{Name: r.Say("In 100 g"), Value: r.Say("%s m", spanWords(c.Metres))},
		{Name: r.Say("Wraps in an inch"), Value: r.Of(spanWords(c.Wraps))},
	}}
}

// weightTable is all classes, in two tables narrow enough for a phone.
func weightTable(r Request) reply.Reply {
	stitches := reply.Table{Head: []string{r.Say("No."), r.Say("Class"), stitchWord(r, "sc"), r.Say("Hook mm")}, Right: []bool{true, false, true, true}}
	lengths := reply.Table{Head: []string{r.Say("No."), "m/100 g", r.Say("Wraps"), r.Say("Called")}, Right: []bool{true, true, true, false}}
	var figures []map[string]any
	for _, c := range yarn.Classes() {
		sts := short(c.Crochet)
		if c.Number == 0 {
			sts += "*"
		}
		called := c.Types[0]
		if names := c.TradeNames(); len(names) > 0 {
			called = names[0]
		}
		number := fmt.Sprint(c.Number)
		stitches.Rows = append(stitches.Rows, []string{number, r.Say(words.Key(c.Name)), sts, short(c.Hook)})
		lengths.Rows = append(lengths.Rows, []string{number, short(c.Metres), short(c.Wraps), called})
		figures = append(figures, map[string]any{"number": c.Number, "name": c.Name, "crochet": c.Crochet.String(), "hook_mm": c.Hook.String(), "metres_in_100g": c.Metres.String(), "wraps": c.Wraps.String()})
	}
	stitches.Title = r.Say("Stitches in 10 cm (%s) and hooks", stitchWord(r, "sc"))
	lengths.Title = r.Say("Length, wraps in an inch, ply")
	return reply.Reply{
		Title: r.Say("Yarn weights"), Data: map[string]any{"classes": figures},
		Parts: []reply.Block{
			stitches, reply.Text{Text: r.Say("* Lace is counted in %s.", stitchWord(r, "dc"))}, lengths,
			reply.Text{Text: r.Say("Sources: Craft Yarn Council, Standard Yarn Weight System (stitches, hooks); Spin-Off, Yarn Standards (lengths, wraps). The ranges overlap, and printings differ.")},
			reply.Tip{Text: r.Say("Wind the yarn around a ruler, side by side and not pulled, and count the wraps in an inch: /yarn weight wraps:12")},
		},
	}
}

// short is a range for a narrow column: "12-17", "≤5", "≥16".
func short(r yarn.Range) string {
	switch {
	case r.High == 0:
		return "≥" + trimmed(r.Low)
	case r.Low == 0:
		return "≤" + trimmed(r.High)
	}
	return r.String()
}

// spanWords is a range in words: "12-17", "5 and fewer".
func spanWords(r yarn.Range) words.Message {
	switch {
	case r.High == 0:
		return words.Say("%s and more", trimmed(r.Low))
	case r.Low == 0:
		return words.Say("%s and fewer", trimmed(r.High))
	}
	return words.Say("%s-%s", trimmed(r.Low), trimmed(r.High))
}

func classKeys() []words.Key {
	var names []words.Key
	for _, c := range yarn.Classes() {
		names = append(names, words.Key(c.Name))
	}
	return names
}

// readCount reads a yarn count.
func readCount(text string, _ Settings) (yarn.Count, error) {
	c, err := yarn.ParseCount(text)
	return c, yarnError(err)
}
