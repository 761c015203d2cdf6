package commands

import (
	"context"
	"fmt"
	"math"
	"strings"

	"countwright/calc/care"
	"countwright/calc/measure"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func yarnSwap() *Command {
	from := yarnTold("from", "The pattern's yarn: DK wool, 50 g = 120 m").Require().Like("DK wool, 50 g = 120 m")
	to := yarnTold("to", "The yarn you would rather use").Require().Like("DK cotton, 50 g = 105 m")
	amount := Value("amount", "How much the pattern takes: 11 balls, 550 g, 1300 m", "11 balls", readAmount)
	spare := Int("spare", "To spare, in percent; 10 if not said", 0, 100).Default(10).Like("10")
	return &Command{
		Name: "swap", Short: "One yarn in place of another: what changes, and how much to buy",
		Want: "use another yarn than the pattern's", From: "maker",
		Long:    "Describe each yarn by what you know: its weight, its label, its fibre. It is the length that must be the same, not the grams.",
		Options: []Option{from, to, amount, spare},
		Examples: []string{
			"/yarn swap from:DK wool, 50 g = 120 m to:DK cotton, 50 g = 105 m amount:11 balls",
			"/yarn swap from:worsted acrylic to:aran superwash wool",
		},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			w := swap{from: from.Of(r), to: to.Of(r)}
			if amount.Given(r) {
				metres, err := w.metres(amount.Of(r))
				if err != nil {
					return reply.Reply{}, amount.Blame(err)
				}
				w.needs = metres
			}
			if err := w.work(float64(spare.Of(r)) / 100); err != nil {
				return reply.Reply{}, to.Blame(yarnError(err))
			}
			return w.reply(r), nil
		},
	}
}

// readAmount reads how much of its yarn a pattern takes.
func readAmount(text string, _ Settings) (quantity, error) {
	q, err := readQuantity(text)
	if err != nil || q.assumed {
		return q, words.Say("“%s” is no amount; it takes balls, grams or metres", clip(text, 40))
	}
	return q, nil
}

// swap is one yarn in place of another.
type swap struct {
	from, to   toldYarn
	needs      float64 // metres of the old yarn; 0: not said
	swapped    *yarn.Swapped
	likeness   yarn.Likeness
	known      bool    // the likeness could be told
	thicker    float64 // by length, as in yarn.Swapped; 0 where labels are missing
	slenderer  float64 // how much thicker the thread itself is, by length and density; NaN: not known
	oldClasses []yarn.Class
	newClasses []yarn.Class
}

// metres is the length of an amount of the old yarn.
func (w *swap) metres(t quantity) (float64, error) {
	b := w.from.ball
	switch {
	case t.balls > 0 && b.Metres > 0:
		return t.balls * b.Metres, nil
	case t.balls > 0 && b.Grams > 0 && w.from.classesOf() != nil:
		return t.balls * b.Grams * w.from.classesOf()[0].Metres.Middle() / 100, nil
	case t.balls > 0:
		return 0, words.Say("balls of what? Say what the label of the old yarn says (from:50 g = 120 m), or give the amount in metres")
	case !t.grams:
		return t.value, nil
	case b.In100g() > 0:
		return t.value * b.In100g() / 100, nil
	case w.from.classesOf() != nil:
		return t.value * w.from.classesOf()[0].Metres.Middle() / 100, nil
	}
	return 0, words.Say("grams of which yarn? Say its label (from:50 g = 120 m) or its weight (from:DK)")
}

func (w *swap) work(spare float64) error {
	w.oldClasses, w.newClasses = w.from.classesOf(), w.to.classesOf()
	w.slenderer = math.NaN()
	if w.from.ball.In100g() > 0 && w.to.ball.In100g() > 0 {
		s, err := yarn.Swap(w.from.ball, w.to.ball, max(w.needs, 1), spare)
		if err != nil {
			return err
		}
		w.likeness, w.thicker, w.known = s.Likeness, s.Thicker, true
		if w.needs > 0 {
			w.swapped = &s
		}
		if w.from.blend != nil && w.to.blend != nil {
			// A thread's cross-section is its weight over its length and density.
			w.slenderer = math.Sqrt((1+s.Thicker)*w.from.blend.Density()/w.to.blend.Density()) - 1
		}
		return nil
	}
	if w.oldClasses != nil && w.newClasses != nil {
		w.known, w.likeness = true, yarn.Unalike
		for _, c := range w.oldClasses {
			if hasClass(w.newClasses, c.Number) {
				w.likeness = yarn.Near // no nearer: a class is wide
			}
		}
	}
	return nil
}

func (w *swap) title() words.Key {
	switch {
	case !w.known:
		return "Perhaps: the thickness is not known"
	case w.likeness == yarn.Alike:
		return "Yes, after a swatch"
	case w.likeness == yarn.Near:
		return "Perhaps, with another hook: swatch first"
	}
	return "Not as written: another thickness"
}

func (w *swap) reply(r Request) reply.Reply {
	items := []reply.Field{{Name: r.Say("Thickness"), Value: w.thickness(r)}}
	if gauge := w.gaugeText(r); gauge != "" {
		items = append(items, reply.Field{Name: tension(r), Value: gauge})
	}
	items = append(items, w.fibreFields(r)...)
	parts := []reply.Block{reply.Fields{Items: items}}
	data := map[string]any{"likeness": [...]string{"alike", "near", "unalike"}[w.likeness], "known": w.known}
	if w.known && w.thicker != 0 {
		data["thicker_percent"] = round2(100 * w.thicker)
	}
	if s := w.swapped; s != nil {
		a := s.Amount
		units := r.Settings.Units
		parts = append(parts, reply.Text{Text: r.Say("The pattern's %s are as many of the new yarn, which weigh %s: %s of %s, %.0f %% to spare included.",
			w.oldText(units), gramsText(a.Grams, units), ballCount(a.Balls), ballText(w.to.ball, units), 100*a.Spare)})
		data["metres"], data["grams"], data["balls"] = round2(a.Metres), round2(a.Grams), a.Balls
	} else if w.needs > 0 {
		parts = append(parts, reply.Text{Text: r.Say("Buy by length: %s and a tenth to spare. With the label of the new yarn (to:50 g = 105 m) I count the balls.", metresText(w.needs, r.Settings.Units))})
		data["metres"] = round2(w.needs)
	}
	parts = append(parts, reply.Tip{Text: r.Say(w.advice())})
	return reply.Reply{Title: r.Say(w.title()), Parts: parts, Data: data}
}

// oldText is what the pattern takes, with its weight where the label tells.
func (w *swap) oldText(u measure.Unit) string {
	text := metresText(w.needs, u)
	if in100g := w.from.ball.In100g(); in100g > 0 {
		text += fmt.Sprintf(" (%s)", gramsText(w.needs/in100g*100, measure.Centimetres))
	}
	return text
}

func (w *swap) thickness(r Request) string {
	var parts []string
	if w.oldClasses != nil && w.newClasses != nil {
		if a, b := r.Of(classNames(w.oldClasses)), r.Of(classNames(w.newClasses)); a == b {
			parts = append(parts, r.Say("both %s", a))
		} else {
			parts = append(parts, r.Say("%s becomes %s", a, b))
		}
	}
	from, to := w.from.ball.In100g(), w.to.ball.In100g()
	if from > 0 && to > 0 {
		text := r.Say("%s m become %s m in 100 g", trimmed(coarse(from)), trimmed(coarse(to)))
		switch off := math.Round(100 * w.thicker); {
		case off > 0:
			text = r.Say("%s, %.0f %% thicker by that", text, off)
		case off < 0:
			text = r.Say("%s, %.0f %% thinner by that", text, -off)
		}
		parts = append(parts, text)
		if off := math.Round(100 * w.slenderer); !math.IsNaN(off) && math.Abs(off-50*w.thicker) >= 3 {
			format := words.Key("but the fibres differ in density: the thread itself is about %.0f %% thinner")
			if off > 0 {
				format = "but the fibres differ in density: the thread itself is about %.0f %% thicker"
			}
			parts = append(parts, r.Say(format, math.Abs(off)))
		}
	}
	if parts == nil {
		return r.Say("not known: say the weight (DK) or the label (50 g = 120 m) of both")
	}
	return strings.Join(parts, "; ")
}

// gaugeText compares the published gauges and hooks of the classes.
func (w *swap) gaugeText(r Request) string {
	if len(w.oldClasses) == 0 || len(w.newClasses) == 0 {
		return ""
	}
	a, b := w.oldClasses[0], w.newClasses[0]
	if a.Number == b.Number {
		return r.Say("usually %s %s in 10 cm, hook %s mm, for both", spanWords(a.Crochet), stitchWord(r, "sc"), spanWords(a.Hook))
	}
	return r.Say("usually %s %s in 10 cm with %s mm; the new one %s with %s mm", spanWords(a.Crochet), stitchWord(r, "sc"), spanWords(a.Hook), spanWords(b.Crochet), spanWords(b.Hook))
}

// fibreFields compares what the yarns are made of.
func (w *swap) fibreFields(r Request) []reply.Field {
	a, b := w.from.blend, w.to.blend
	name := r.Say("Fibre")
	if a == nil || b == nil {
		return []reply.Field{{Name: name, Value: r.Say("say what both are made of (from:DK wool to:DK cotton), and I compare stretch, drape, warmth and care")}}
	}
	if a.Text() == b.Text() {
		return []reply.Field{{Name: name, Value: r.Say("both %s", blendWords(a))}}
	}
	items := []reply.Field{{Name: name, Value: r.Say("%s becomes %s", blendWords(a), blendWords(b))}}
	for _, p := range []struct {
		name       words.Key
		of         func(care.Fibre) care.Grade
		less, more words.Key
	}{
		{"Stretch", func(f care.Fibre) care.Grade { return f.Stretch }, "less: ribbing, cuffs and hats spring back less, make them closer", "more: ribbing springs back better"},
		{"Drape", func(f care.Fibre) care.Grade { return f.Drape }, "stiffer: good for bags and shape, less for shawls", "softer fall: it may grow in wearing, so work shoulders firmly"},
		{"Warmth", func(f care.Fibre) care.Grade { return f.Warmth }, "cooler", "warmer"},
	} {
		change := words.Key("much the same")
		switch from, to := a.Grade(p.of), b.Grade(p.of); {
		case to < from:
			change = p.less
		case to > from:
			change = p.more
		}
		items = append(items, reply.Field{Name: r.Say(p.name), Value: r.Say(change)})
	}
	return append(items, reply.Field{Name: r.Say("Care"), Value: careChange(r, a, b)})
}

// careChange says which symbols differ.
func careChange(r Request, a, b care.Blend) string {
	old, now := a.Care(), b.Care()
	var changes []string
	for i := range now {
		if old[i].ID != now[i].ID {
			changes = append(changes, strings.TrimSuffix(within(r.Printer, words.Key(now[i].Means)), "."))
		}
	}
	if changes == nil {
		return r.Say("much the same")
	}
	return r.Say("now %s", strings.Join(changes, "; "))
}

func (w *swap) advice() words.Key {
	switch {
	case !w.known:
		return "Make a swatch with the new yarn and compare: /gauge follow theirs:14x10 tells what would come out."
	case w.likeness == yarn.Unalike:
		return "Make a swatch you like the feel of, then convert: /gauge convert for counts, /resize for a whole pattern."
	}
	return "Make a swatch, wash and dry it, and compare with the pattern: /gauge follow tells what would come out. Buy all balls of one dye lot."
}
