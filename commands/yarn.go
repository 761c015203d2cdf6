package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"countwright/calc/care"
	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// yarnFamily is about yarn: how thick, how much, what instead, how to wash it.
func yarnFamily(s Services) *Command {
	return &Command{Name: "yarn", Short: "Yarn: thickness, amounts, swaps and care", Sub: []*Command{
		yarnWeight(s), yarnNeed(s), yarnEnough(s), yarnSwap(), yarnCare(),
	}}
}

// toldYarn is a yarn as a member describes it. What she did not say is empty.
type toldYarn struct {
	text    string
	ball    yarn.Ball
	classes []yarn.Class // of the name she gave
	blend   care.Blend
}

// yarnTold declares an option that describes a yarn: its weight class, what
// its label says, what it is made of, in any order.
func yarnTold(name, short string) *Opt[toldYarn] {
	return Value(name, short, "", func(text string, _ Settings) (toldYarn, error) { return readYarn(text) }).Like("DK cotton, 50 g = 120 m").
		Suggest(func(_ context.Context, _ Request, typed string) []Choice { return suggestYarns(typed) })
}

func readYarn(text string) (toldYarn, error) {
	t := toldYarn{text: clip(text, 60)}
	ball, rest := yarn.FindLabel(englishFibres(text))
	if err := ball.Check(); err != nil {
		return t, yarnError(err)
	}
	t.ball = ball
	fibres, rest := care.FindFibres(rest)
	t.classes = classesIn(rest)
	if len(fibres) > 0 {
		blend, err := fibres.Whole()
		if err != nil {
			return t, yarnError(err)
		}
		t.blend = blend
	}
	if ball == (yarn.Ball{}) && t.classes == nil && t.blend == nil {
		return t, words.Say("“%s” tells neither a weight (DK, 4 ply), nor a label (50 g = 120 m), nor a fibre (cotton)", t.text)
	}
	return t, nil
}

// classesIn finds the name of a weight class among words.
func classesIn(text string) []yarn.Class {
	list := strings.Fields(text)
	for n := min(3, len(list)); n > 0; n-- {
		for i := 0; i+n <= len(list); i++ {
			if classes, err := yarn.ByName(strings.Join(list[i:i+n], " ")); err == nil {
				return classes
			}
		}
	}
	return nil
}

// classesOf is the weight classes of a yarn: by its name, else by its label;
// where both agree on some, those.
func (t toldYarn) classesOf() []yarn.Class {
	in100g := t.ball.In100g()
	if in100g == 0 {
		return t.classes
	}
	matches, err := yarn.ByLength(in100g)
	if err != nil {
		return t.classes
	}
	var byLabel, both []yarn.Class
	for _, m := range matches {
		byLabel = append(byLabel, m.Class)
		if hasClass(t.classes, m.Number) {
			both = append(both, m.Class)
		}
	}
	switch {
	case both != nil:
		return both
	case t.classes != nil:
		return t.classes
	}
	return byLabel
}

func hasClass(classes []yarn.Class, number int) bool {
	return slices.ContainsFunc(classes, func(c yarn.Class) bool { return c.Number == number })
}

// fabricUse is how much yarn a fabric takes, and where that comes from.
type fabricUse struct {
	yarn.Use             // grams and metres both known
	known    float64     // the doubt of what is known without turning metres into grams
	inGrams  bool        // grams are what is known
	label    bool        // a label turned one into the other
	gauge    gauge.Gauge // of the fabric
	from     words.Message
	surer    bool // a weighed swatch would make it surer
}

// doubtIn is the doubt of the amount in grams or in metres: what was turned
// into the other by a class's range is less sure. Doubts of different causes
// seldom add up, so they are combined as the sides of a right angle.
func (u fabricUse) doubtIn(grams bool) float64 {
	if grams == u.inGrams || u.label {
		return u.known
	}
	return math.Hypot(u.known, yarn.DoubtBand)
}

// fabric is what an option list says about the fabric.
type fabric struct {
	gauge  *Opt[gauge.Gauge]
	swatch *Opt[string]
	stitch *Opt[chosenStitch]
	yarn   *Opt[toldYarn]
}

func fabricOptions(s Services) fabric {
	return fabric{
		gauge:  Gauge("gauge", "Your gauge in this stitch"),
		swatch: swatchNamed(s),
		stitch: stitchOption("stitch", "The stitch of the fabric"),
		yarn:   yarnTold("yarn", "The yarn: DK cotton, 50 g = 120 m"),
	}
}

// use works out how much yarn the fabric takes: by a weighed swatch where
// there is one, else by usual figures for the gauge, else for the weight class.
func (f fabric) use(ctx context.Context, s Services, r Request) (fabricUse, error) {
	told := f.yarn.Of(r)
	classes := told.classesOf()
	if f.gauge.Given(r) || f.swatch.Given(r) {
		own, err := gaugeOrSwatch(ctx, s, r, f.gauge, f.swatch)
		if err != nil {
			return fabricUse{}, err
		}
		return f.useOf(r, own, told)
	}
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return fabricUse{}, fmt.Errorf("list swatches: %w", err)
	}
	if len(saved) > 0 {
		own, err := fromSwatch(saved[0].Swatch)
		if err != nil {
			return fabricUse{}, err
		}
		if classes == nil || likeClass(own.gauge, classes) && told.classes == nil {
			return f.useOf(r, own, told)
		}
	}
	if len(classes) == 0 {
		return fabricUse{}, &Mistake{Option: "yarn", Message: "I must know the fabric: say the yarn's weight (DK) or label (50 g = 120 m), give your gauge, or record a swatch with its weight (/gauge swatch)", Example: "yarn:DK"}
	}
	return f.usual(r, classes[0], told)
}

// likeClass says whether a gauge is that of one of the classes or of one next
// to it.
func likeClass(g gauge.Gauge, classes []yarn.Class) bool {
	matches, err := yarn.ByGauge(g.Stitches)
	if err != nil {
		return false
	}
	for _, m := range matches {
		for _, c := range classes {
			if m.Number-c.Number <= 1 && c.Number-m.Number <= 1 {
				return true
			}
		}
	}
	return false
}

// useOf is the use of a fabric of a known gauge.
func (f fabric) useOf(r Request, own ownGauge, told toldYarn) (fabricUse, error) {
	u := fabricUse{gauge: own.gauge, surer: true}
	weighed := false
	if sw := own.swatch; sw != nil {
		use, ok, err := yarn.FromSwatch(*sw, told.ball)
		if err != nil {
			return u, f.blame(err)
		}
		if u.Use, weighed = use, ok; ok {
			u.from = words.Say("Reckoned from your swatch “%s”, which was weighed.", sw.Name)
			u.surer, u.inGrams = false, use.Basis == yarn.Weighed
		}
	}
	if !weighed {
		height := f.height(r)
		if height == 0 && own.swatch != nil {
			height = heightOf(r, own.swatch.Stitch)
		}
		use, err := yarn.FromGauge(own.gauge, height, told.ball)
		if err != nil {
			return u, f.blame(err)
		}
		u.Use = use
		u.from = words.Say("Reckoned from usual figures for such a fabric.")
		if own.swatch != nil {
			u.from = words.Say("Reckoned from the gauge of your swatch “%s”, which was not weighed.", own.swatch.Name)
		}
	}
	u.known, u.label = u.Doubt, told.ball.In100g() > 0
	u.Use = u.WithClass(toldOrGauged(told.classesOf(), own.gauge))
	return u, nil
}

// usual is the use of a fabric of which only the yarn's weight is known, in
// the stitch given or single crochet.
func (f fabric) usual(r Request, class yarn.Class, told toldYarn) (fabricUse, error) {
	height := f.height(r)
	if height == 0 {
		height = 1
	}
	// Class 0 is counted in double crochet, which is as wide as single.
	g := gauge.Gauge{Stitches: class.Crochet.Middle(), Rows: class.Crochet.Middle() / height}
	use, err := yarn.FromGauge(g, height, told.ball)
	if err != nil {
		return fabricUse{}, f.blame(err)
	}
	use.Doubt = math.Hypot(use.Doubt, yarn.DoubtBand) // the gauge is a guess too
	name := stitchName(r, string(f.stitch.Of(r).name()))
	u := fabricUse{Use: use.WithClass(class), known: use.Doubt, label: told.ball.In100g() > 0, gauge: g, surer: true,
		from: words.Say("Reckoned from usual figures for %s yarn in %s.", className(class), name)}
	return u, nil
}

func (f fabric) blame(err error) error {
	var ball *yarn.RangeError
	if errors.As(err, &ball) {
		return f.yarn.Blame(yarnError(err))
	}
	return f.gauge.Blame(err)
}

// height is the height of the fabric's stitch in single crochets, 0 if not said.
func (f fabric) height(r Request) float64 {
	if !f.stitch.Given(r) {
		return 0
	}
	s, _ := stitch.Lookup(f.stitch.Of(r).name())
	return s.Height
}

// heightOf is the height of a stitch as the member wrote it, 0 if not known.
func heightOf(r Request, written string) float64 {
	for _, id := range stitch.Named(written, stitch.Dialect(r.Terms())) {
		if s, ok := stitch.Lookup(id); ok {
			return s.Height
		}
	}
	return 0
}

func toldOrGauged(told []yarn.Class, g gauge.Gauge) yarn.Class {
	if len(told) > 0 {
		return told[0]
	}
	matches, err := yarn.ByGauge(g.Stitches)
	if err != nil || len(matches) == 0 {
		return yarn.Classes()[4]
	}
	return matches[0].Class
}

// metresText is an amount of yarn in the member's unit, no finer than it
// deserves: "1150 m", "1260 yd".
func metresText(metres float64, u measure.Unit) string {
	if u == measure.Inches {
		return trimmed(coarse(metres/0.9144)) + " yd"
	}
	return trimmed(coarse(metres)) + " m"
}

func gramsText(grams float64, u measure.Unit) string {
	return trimmed(coarse(grams)) + " g" + ouncesText(grams, u)
}

// ouncesText adds ounces for a member who reads inches.
func ouncesText(grams float64, u measure.Unit) string {
	if u != measure.Inches {
		return ""
	}
	return fmt.Sprintf(", %s oz", figure(grams/measure.Ounce))
}

// coarse rounds an amount to what can be told of it.
func coarse(v float64) float64 {
	switch {
	case v >= 200:
		return math.Round(v/10) * 10
	case v >= 50:
		return math.Round(v/5) * 5
	case v >= 10:
		return math.Round(v)
	}
	return math.Round(v*10) / 10
}

// ballText is what a ball holds: "50 g", "50 g = 120 m".
func ballText(b yarn.Ball, u measure.Unit) string {
	var parts []string
	if b.Grams > 0 {
		parts = append(parts, trimmed(round2(b.Grams))+" g")
	}
	if b.Metres > 0 {
		parts = append(parts, measure.FromMM(b.Metres*1000).Long(u))
	}
	return strings.Join(parts, " = ")
}

// swatchHint tells how to become surer.
func swatchHint(r Request) reply.Tip {
	return reply.Tip{Text: r.Say("Surer: wash and dry a swatch, weigh it on a kitchen scale, and record it with its weight (/gauge swatch … weight:17 g). Then I reckon from your own hands.")}
}

// yarnError tells in words what is wrong with a figure or a name of yarn.
func yarnError(err error) error {
	var figure *yarn.RangeError
	var label *yarn.LabelError
	var share *care.ShareError
	switch {
	case errors.As(err, &figure):
		return words.Say("%v %s: allowed are %v to %v", figure.Value, words.Key(figure.What), figure.Low, figure.High)
	case errors.As(err, &label):
		return words.Say("%q tells no weight and length of a ball; for example 50 g = 120 m", label.Text)
	case errors.As(err, &share):
		return words.Say("the parts make %.0f %%, not 100 %%", share.Percent)
	}
	return err
}
