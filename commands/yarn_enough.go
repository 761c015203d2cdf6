package commands

import (
	"context"
	"math"
	"slices"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// quantity is an amount of yarn as a member gave it: grams or metres.
type quantity struct {
	value   float64
	grams   bool
	assumed bool    // a bare number
	balls   float64 // balls instead, of a size that the label tells
	step    float64 // of the scale: a tenth where decimals were given, else one
}

// misread is how far a weight can be off for the steps of the scale, as a part.
func (q quantity) misread() float64 {
	if !q.grams {
		return 0
	}
	return q.step / 2 / max(q.value, q.step)
}

// quantityOption declares an amount of yarn: "35 g", "60 m", "40 yd".
func quantityOption(name, short, example string) *Opt[quantity] {
	return Value(name, short, example, func(text string, _ Settings) (quantity, error) {
		return readQuantity(text)
	})
}

func readQuantity(text string) (quantity, error) {
	q := quantity{step: 1}
	if q.balls = readBalls(text); q.balls > 0 {
		return q, nil
	}
	if strings.ContainsAny(text, ".,½¼¾") {
		q.step = 0.1
	}
	for _, unit := range []string{"", " g"} {
		if strings.ContainsAny(text, "-−–") {
			break
		}
		b, rest := yarn.FindLabel(text + unit)
		if rest != "" || (b.Grams > 0) == (b.Metres > 0) {
			continue
		}
		q.value, q.grams, q.assumed = b.Grams+b.Metres, b.Grams > 0, unit != ""
		return q, sane(q.value)
	}
	return q, words.Say("“%s” is no amount of yarn; it takes grams or metres, ounces or yards, or balls", clip(text, 40))
}

// ballNames are the words for balls in the languages that members write.
var ballNames = []string{
	"ball", "balls", "skein", "skeins", "hank", "hanks", "knäuel", "strang", "stränge",
	"bol", "bollen", "streng", "strengen", "ovillo", "ovillos", "madeja", "madejas",
}

// readBalls reads balls: "11 balls", "half a ball", "1½ skeins"; 0 is none.
func readBalls(text string) float64 {
	list := strings.Fields(strings.ToLower(text))
	if len(list) < 2 || !slices.Contains(ballNames, list[len(list)-1]) {
		return 0
	}
	front := strings.Join(list[:len(list)-1], " ")
	if list[0] == "ein" && len(list) > 2 || list[0] == "een" && len(list) > 2 {
		front = strings.Join(list[1:len(list)-1], " ")
	}
	switch front {
	case "a", "one", "ein", "einen", "een", "un", "una":
		return 1
	case "half a", "half", "halbes", "halber", "halbe", "halve", "medio", "media":
		return 0.5
	default:
		n, size, err := measure.Number(front)
		if err != nil || size != len(front) || n > 1000 {
			return 0
		}
		return n
	}
}

// ofLabel is the quantity with its balls turned into what the label says.
func (q quantity) ofLabel(b yarn.Ball) (quantity, bool) {
	switch {
	case q.balls == 0:
		return q, true
	case b.Grams > 0:
		return quantity{value: q.balls * b.Grams, grams: true, step: b.Grams / 10}, true
	case b.Metres > 0:
		return quantity{value: q.balls * b.Metres, step: 1}, true
	}
	return q, false
}

func sane(v float64) error {
	if v > 100_000 {
		return words.Say("that is more than a room full of yarn; it takes up to 100 000")
	}
	return nil
}

func (q quantity) unit() string {
	if q.grams {
		return "g"
	}
	return "m"
}

type enoughOptions struct {
	left, perRow, used     *Opt[quantity]
	rows, stitches, worked *Opt[int]
	fabric
}

func yarnEnough(s Services) *Command {
	e := enoughOptions{
		left:     quantityOption("left", "What you have left: 35 g, 60 m, half a ball", "35 g").Require(),
		rows:     Int("rows", "Rows or rounds still to work", 1, mostStitches).Like("24"),
		stitches: Int("stitches", "Stitches in each of them; in all where rows are not said", 1, 1_000_000).Like("80"),
		perRow:   quantityOption("per_row", "What one row takes: 1.5 g, or 3 m", "1.5 g"),
		used:     quantityOption("used", "Or what you have used so far…", "120 g"),
		worked:   Int("worked", "…in so many rows", 1, mostStitches).Like("90"),
		fabric:   fabricOptions(s),
	}
	return &Command{
		Name: "enough", Short: "Will the yarn that is left be enough, and where to stop and weigh",
		Want: "know if the yarn I have will be enough",
		Long: "Say what is left and how many rows are to do. What a row takes I reckon from one of: what one row took (per_row), " +
			"what you used so far and in how many rows (used, worked), or your gauge or a swatch with the stitches in a row.",
		Options: []Option{e.left, e.rows, e.stitches, e.perRow, e.used, e.worked, e.gauge, e.swatch, e.stitch, e.yarn},
		Examples: []string{
			"/yarn enough left:35 g rows:24 per_row:1.2 g",
			"/yarn enough left:48 g rows:30 used:152 g worked:90",
			"/yarn enough left:60 m rows:12 stitches:80 gauge:14x16 yarn:DK",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			n, err := e.need(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			left, _ := e.left.Of(r).ofLabel(e.yarn.Of(r).ball)
			if left.grams {
				n.doubt = min(n.doubt+left.step/2/max(n.amount, 1), 1)
			}
			reach, err := yarn.Reach(left.value, n.amount, n.doubt, n.steps)
			if err != nil {
				return reply.Reply{}, e.left.Blame(yarnError(err))
			}
			return enoughReply(r, left, n, reach), nil
		},
	}
}

// stillNeeded is what the rest of a piece takes, in the unit of what is left.
type stillNeeded struct {
	amount, doubt float64
	steps         int    // rows, or stitches where rows were not said
	step          string // "row" or "stitch"
	from          words.Message
	surer         bool // a weighed swatch would make it surer
	oneRow        bool // weighing several rows would
}

const enoughExample = "/yarn enough left:35 g rows:24 per_row:1.2 g"

func (e enoughOptions) need(ctx context.Context, s Services, r Request) (stillNeeded, error) {
	for _, o := range []*Opt[quantity]{e.left, e.perRow, e.used} {
		if _, known := o.Of(r).ofLabel(e.yarn.Of(r).ball); !known {
			return stillNeeded{}, &Mistake{Option: "yarn", Message: "a ball of how much? Say what its label says", Example: "yarn:50 g = 120 m"}
		}
	}
	byFabric := e.gauge.Given(r) || e.swatch.Given(r) || e.stitches.Given(r)
	ways := countTrue(e.perRow.Given(r), e.used.Given(r) || e.worked.Given(r), byFabric)
	if ways != 1 {
		return stillNeeded{}, Mistaken(enoughExample, "say in one way what a row takes: per_row, or used and worked, or the stitches in a row with your gauge or a swatch")
	}
	n := stillNeeded{steps: e.rows.Of(r), step: "row"}
	if !e.rows.Given(r) {
		if !byFabric || !e.stitches.Given(r) {
			return n, &Mistake{Option: "rows", Message: "it is missing: how many rows are still to work?", Example: "rows:24"}
		}
		n.steps, n.step = e.stitches.Of(r), "stitch"
	}
	switch {
	case e.perRow.Given(r):
		took, _ := e.perRow.Of(r).ofLabel(e.yarn.Of(r).ball)
		n.doubt, n.from, n.oneRow = min(0.05+took.misread(), 0.5), words.Say("Reckoned from what one row took."), true
		return n, e.convert(r, &n, took, float64(n.steps))
	case byFabric:
		return n, e.byFabric(ctx, s, r, &n)
	}
	if !e.used.Given(r) || !e.worked.Given(r) {
		return n, Mistaken("/yarn enough left:48 g rows:30 used:152 g worked:90", "used and worked go together: so much yarn in so many rows")
	}
	took, _ := e.used.Of(r).ofLabel(e.yarn.Of(r).ball)
	n.doubt = min(0.03+took.misread(), 0.5)
	n.from = words.Say("Reckoned from %s %s in %s, if the rows to come are as wide.", trimmed(round2(took.value)), took.unit(), countedRows(e.worked.Of(r)))
	return n, e.convert(r, &n, took, float64(n.steps)/float64(e.worked.Of(r)))
}

// convert brings what was taken to the unit of what is left.
func (e enoughOptions) convert(r Request, n *stillNeeded, took quantity, times float64) error {
	n.amount = took.value * times
	left, _ := e.left.Of(r).ofLabel(e.yarn.Of(r).ball)
	if took.grams == left.grams {
		return nil
	}
	told := e.yarn.Of(r)
	in100g := told.ball.In100g()
	if in100g == 0 {
		classes := told.classesOf()
		if len(classes) == 0 {
			return &Mistake{Option: "yarn", Message: "what is left is in %s, what a row takes is not; say the yarn's label, or give both in one unit", Args: []any{left.unit()}, Example: "yarn:50 g = 120 m"}
		}
		in100g, n.doubt = classes[0].Metres.Middle(), min(n.doubt+yarn.DoubtBand, 1)
	}
	if took.grams {
		n.amount *= in100g / 100
	} else {
		n.amount *= 100 / in100g
	}
	return nil
}

// byFabric reckons the rest from its area.
func (e enoughOptions) byFabric(ctx context.Context, s Services, r Request, n *stillNeeded) error {
	if !e.stitches.Given(r) {
		return &Mistake{Option: "stitches", Message: "it is missing: how many stitches are in each row?", Example: "stitches:80"}
	}
	use, err := e.use(ctx, s, r)
	if err != nil {
		return err
	}
	area := float64(e.stitches.Of(r)) * use.gauge.StitchWidth() * use.gauge.RowHeight()
	if n.step == "row" {
		area *= float64(n.steps)
	}
	left, _ := e.left.Of(r).ofLabel(e.yarn.Of(r).ball)
	n.amount, n.doubt = use.Metres*area/1e6, use.doubtIn(left.grams)
	if left.grams {
		n.amount = use.Grams * area / 1e6
	}
	n.from, n.surer = use.from, use.surer
	return nil
}

// counted counts rows, or stitches where rows were not said.
func (n stillNeeded) counted(steps int) words.Message {
	if n.step == "stitch" {
		return stitchCount(steps)
	}
	return countedRows(steps)
}

// enoughWords are the title and the first sentence for a verdict.
func enoughWords(e yarn.Enough) (title, lead words.Key, verdict string) {
	switch {
	case e.Verdict == yarn.No:
		return "No, it will run out", "%s left, about %s needed: %s short.", "no"
	case e.Verdict == yarn.Tight && e.Margin < 0:
		return "It will be close", "%s left, about %s needed: %s short, which is less than I can be sure of.", "tight"
	case e.Verdict == yarn.Tight:
		return "It will be close", "%s left, about %s needed: %s over, which is less than I can be sure of.", "tight"
	}
	return "Yes, it is enough", "%s left, about %s needed: %s over.", "yes"
}

func enoughReply(r Request, left quantity, n stillNeeded, e yarn.Enough) reply.Reply {
	unit := left.unit()
	amount := func(v float64) string { return trimmed(coarse(v)) + " " + unit }
	title, lead, verdict := enoughWords(e)
	parts := []reply.Block{
		reply.Text{Text: r.Say(lead, amount(e.Have), amount(e.Need), amount(math.Abs(e.Margin)))},
		reply.Text{Text: r.Say("%s Give or take %s: %s to %s.", n.from, percent(n.doubt), amount(e.Need*(1-n.doubt)), amount(e.Need*(1+n.doubt)))},
	}
	if left.assumed {
		parts = append(parts, reply.Text{Text: r.Say("A bare number is in grams.")})
	}
	if e.Verdict != yarn.Yes {
		parts = append(parts, reply.Text{Text: r.Say("It surely reaches for %d of %s.", e.Rows, n.counted(n.steps))})
	}
	if e.StopAt > 0 {
		rest := e.Need * (1 + n.doubt) * float64(n.steps-e.StopAt) / float64(n.steps)
		parts = append(parts, reply.Text{Text: r.Say("Stop after %s and weigh or measure again: go on to the end if at least %s are left then.", n.counted(e.StopAt), amount(rest))})
	}
	if e.Verdict != yarn.Yes {
		parts = append(parts, reply.List{Title: r.Say("If it runs short"), Items: r.Each(shortIdeas(e.Verdict)...)})
	}
	if n.oneRow && n.doubt > 0.15 {
		parts = append(parts, reply.Tip{Text: r.Say("One row is little to weigh. Work ten, and give used: and worked: instead.")})
	}
	if n.surer {
		parts = append(parts, swatchHint(r))
	}
	return reply.Reply{Title: r.Say(title), Parts: parts, Data: map[string]any{
		"verdict": verdict, "unit": unit, "have": round2(e.Have), "need": round2(e.Need), "margin": round2(e.Margin), "doubt_percent": round2(100 * n.doubt),
		"of": map[string]string{"row": "rows", "stitch": "stitches"}[n.step], "steps": n.steps, "reaches": e.Rows, "stop_at": e.StopAt,
	}}
}

// shortIdeas is what makers do when yarn runs short. Common practice.
func shortIdeas(v yarn.Verdict) []words.Key {
	ideas := []words.Key{
		"Look for the same dye lot now, before it is gone; other members may have a ball.",
		"Work the edging, collar or cuffs in another colour.",
		"Unravel the swatch: it holds a few grams.",
	}
	if v == yarn.No {
		ideas = append(ideas, "Make the piece shorter, or put in stripes from here on, so that it looks meant.")
	}
	return ideas
}
