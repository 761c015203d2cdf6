package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/hook"
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// hookFor declares the option that says what a hook is for: a yarn weight or
// one of the member's swatches.
func hookFor(s Services) *Opt[string] {
	own := swatchNamed(s).spec.Suggest
	return Words("for", "A yarn weight (DK, 4 ply, 3) or one of your swatches", 60).Like("DK").
		Suggest(func(ctx context.Context, r Request, typed string) []Choice {
			return append(own(ctx, r, typed), suggestYarns(typed)...)
		})
}

// suggestYarns offers the names of yarn weights.
func suggestYarns(typed string) []Choice {
	typed = strings.ToLower(strings.TrimSpace(typed))
	var begun, within []Choice
	for _, name := range yarn.Names() {
		switch lower := strings.ToLower(name); {
		case strings.HasPrefix(lower, typed):
			begun = append(begun, Choice{Label: name, Value: name})
		case strings.Contains(lower, typed):
			within = append(within, Choice{Label: name, Value: name})
		}
	}
	offers := append(begun, within...)
	return offers[:min(len(offers), 25)]
}

// hookPurpose is what a hook is for.
type hookPurpose struct {
	asked   string // as the member wrote it
	name    words.Message
	classes []yarn.Class
	swatch  *gauge.Swatch
}

func purposeOf(ctx context.Context, s Services, r Request, option *Opt[string]) (hookPurpose, error) {
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return hookPurpose{}, fmt.Errorf("list swatches: %w", err)
	}
	asked := option.Of(r)
	for _, sw := range saved {
		if !strings.EqualFold(sw.Name, asked) {
			continue
		}
		own, err := fromSwatch(sw.Swatch)
		if err != nil {
			return hookPurpose{}, err
		}
		p := hookPurpose{asked: asked, name: words.Say("your swatch “%s”", sw.Name), swatch: own.swatch}
		if matches, err := yarn.ByGauge(own.gauge.Stitches); err == nil {
			for _, m := range matches {
				p.classes = append(p.classes, m.Class)
			}
		}
		return p, nil
	}
	told, err := readYarn(asked)
	classes := told.classesOf()
	switch {
	case err == nil && classes == nil:
		return hookPurpose{}, option.Blame(words.Say("“%s” says what it is made of, and a hook goes by the thickness: add the weight (DK) or the label (50 g = 120 m)", clip(asked, 40)))
	case err != nil:
		return hookPurpose{}, nearYarn(option, asked)
	}
	name := words.Say("%s", asked)
	if _, number := plainMillimetres(asked); number {
		name = words.Say("%s yarn", classNames(classes))
	}
	return hookPurpose{asked: asked, name: name, classes: classes}, nil
}

// nearYarn is the mistake of a yarn weight that does not exist.
func nearYarn(option *Opt[string], asked string) error {
	m := &Mistake{Option: option.spec.Name, Message: "no yarn weight is called “%s”; there are lace, fingering, sport, DK, worsted, aran, bulky, jumbo and others, or the numbers 0 to 7", Args: []any{clip(asked, 40)}, Example: option.spec.Name + ":DK"}
	if near := nearest(strings.ToLower(asked), lowered(yarn.Names())); near != "" {
		m.say("no yarn weight is called “%s”; did you mean %s?", clip(asked, 40), near)
		m.Example = option.spec.Name + ":" + near
	}
	return m
}

func lowered(names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = strings.ToLower(n)
	}
	return out
}

// classNames is "light (3)" or "super fine (1) or fine (2)".
func classNames(classes []yarn.Class) words.Message {
	var all []any
	for _, c := range classes {
		all = append(all, className(c))
	}
	return either(all...)
}

func className(c yarn.Class) words.Message {
	return words.Say("%s (%d)", words.Key(c.Name), c.Number)
}

// hooks is the usual sizes within the ranges of the classes.
func (p hookPurpose) hooks() []hook.Hook {
	var all []hook.Hook
	for _, kind := range []hook.Kind{hook.Regular, hook.Steel} {
		for _, h := range hook.All(kind) {
			for _, c := range p.classes {
				if c.Hook.Holds(h.MM) && (kind == hook.Regular && shopSize(h.MM) || kind == hook.Steel && c.Number == 0 && h.MM < 2) {
					all = append(all, h)
					break
				}
			}
		}
	}
	return all
}

// shopSize says whether a thickness is sold everywhere.
func shopSize(mm float64) bool {
	same, err := hook.Step(mm, 0)
	return err == nil && same == mm || mm > 25 || mm == 16
}

// yarnsOf names the yarn classes whose hooks a thickness is among.
func yarnsOf(mm float64) words.Message {
	var all []yarn.Class
	for _, c := range yarn.Classes() {
		if c.Hook.Holds(mm) {
			all = append(all, c)
		}
	}
	if len(all) == 0 && mm < 1.5 {
		return words.Say("thread")
	}
	return classNames(all)
}

// suit says which hooks suit a yarn, and whether the one asked is among them.
func (a *hookAnswer) suit(r Request) {
	p := a.purpose
	var ranges []map[string]any
	var items []string
	for _, c := range p.classes {
		items = append(items, r.Say("%s, worked in %s: %s mm", className(c), stitchName(r, c.Stitch), spanWords(c.Hook)))
		ranges = append(ranges, map[string]any{"number": c.Number, "name": c.Name, "low_mm": c.Hook.Low, "high_mm": c.Hook.High})
	}
	a.data["yarn"] = ranges
	if a.asked != nil {
		a.verdict(r)
	}
	if sw := p.swatch; sw != nil && sw.Hook > 0 {
		a.add(reply.Text{Text: r.Say("You worked it with %s.", hookNames(sw.Hook))})
		a.data["swatch_mm"] = sw.Hook
	}
	list := words.Key("Published for this thickness")
	if p.swatch != nil {
		list = "Your gauge looks like"
	}
	a.add(reply.List{Title: r.Say(list), Items: items})
	if a.asked == nil {
		some := spreadHooks(p.hooks(), 8)
		var sizes []string
		for _, h := range some {
			sizes, a.shown = append(sizes, r.Of(hookNames(h.MM))), append(a.shown, h.MM)
		}
		a.add(reply.List{Title: r.Say("Sizes to look for"), Items: sizes})
		a.next = append(a.next, reply.Button{Label: r.Say("Hook for ribbing"), Line: "/hook for:" + quoted(clip(p.asked, 60)) + " ribbing:yes"})
	}
	a.add(reply.Tip{Text: r.Say("Start in the middle and make a swatch: it decides, not the label. Soft for a shawl: a size or two larger. Firm for a stuffed toy, so that no filling shows: a size or two smaller. (Common practice.)")})
}

// stitchesWorked are the names in other languages of the stitches that figures are
// published for. English names differ with the terms, so these say which.
var stitchesWorked = map[stitch.ID]words.Key{
	"sc": "single crochet (US)", "hdc": "half double crochet (US)", "dc": "double crochet (US)", "tr": "treble crochet (US)",
}

// stitchName is a stitch's full name in the member's terms; in other languages
// than English its own there, with the abbreviation in her terms.
func stitchName(r Request, id string) string {
	s, ok := stitch.Lookup(stitch.ID(id))
	if !ok {
		return id
	}
	name := s.In(stitch.Dialect(r.Terms()))
	if own, known := stitchesWorked[stitch.ID(id)]; known && !r.English() {
		return r.Say("%s (%s)", own, name.Short())
	}
	return name.Name
}

// verdict says whether the asked hook is among those of the yarn.
func (a *hookAnswer) verdict(r Request) {
	mm, low, high := a.asked.mm, 0., 0.
	for i, c := range a.purpose.classes {
		if c.Hook.Holds(mm) {
			a.add(reply.Text{Text: r.Say("%s is a usual hook for %s.", a.asked.size(), a.purpose.name)})
			return
		}
		if i == 0 || c.Hook.Low < low {
			low = c.Hook.Low
		}
		if i == 0 || c.Hook.High > high {
			high = c.Hook.High
		}
	}
	format := words.Key("%s is thinner than usual for %s: the fabric will be dense and stiff.")
	if mm > low {
		format = "%s is thicker than usual for %s: the fabric will be loose and open."
	}
	a.add(reply.Text{Text: r.Say(format, a.asked.size(), a.purpose.name)})
}

// bodies is the hooks of the body that ribbing is asked for, each with what
// its list is called.
func (a *hookAnswer) bodies() (mms []float64, titles []words.Message) {
	switch {
	case a.asked != nil:
		return []float64{a.asked.mm}, []words.Message{words.Say("For a body worked with %s", a.asked.size())}
	case a.purpose.swatch != nil && a.purpose.swatch.Hook > 0:
		mm := a.purpose.swatch.Hook
		return []float64{mm}, []words.Message{words.Say("For a body worked with %s (your swatch)", millimetres(mm))}
	}
	for _, c := range a.purpose.classes {
		if near, _, err := hook.Nearest(c.Hook.Middle()); err == nil {
			mms, titles = append(mms, near.MM), append(titles, words.Say("For a body worked with %s (the middle for %s)", millimetres(near.MM), className(c)))
		}
	}
	return mms, titles
}

// ribbing says which hook to take for ribbing on the body's hook.
func (a *hookAnswer) ribbing(r Request) error {
	mms, titles := a.bodies()
	var figures []map[string]any
	for i, body := range mms {
		low, high, err := hook.Ribbing(body)
		if err != nil {
			return fmt.Errorf("find the hook for ribbing: %w", err)
		}
		figures = append(figures, map[string]any{"body_mm": body, "low_mm": round2(low), "high_mm": round2(high)})
		var sizes []string
		for _, kind := range []hook.Kind{hook.Regular, hook.Steel} {
			for _, h := range hook.All(kind) {
				if h.MM < low-1e-9 || h.MM > high+1e-9 || kind == hook.Regular && !shopSize(h.MM) || kind == hook.Steel && h.MM >= 2 {
					continue
				}
				sizes, a.shown = append(sizes, r.Of(hookNames(h.MM))), append(a.shown, h.MM)
			}
		}
		a.shown, a.marked = append(a.shown, body), body
		if len(sizes) == 0 {
			sizes = []string{r.Say("%s to %s mm", figure2(low), figure2(high))}
		}
		a.add(reply.List{Title: r.Of(titles[i]), Items: sizes})
	}
	a.data["ribbing"] = figures
	a.add(reply.Text{Text: r.Say("Ribbing is worked with a hook a size or two thinner than the body, so that it draws in and springs back.")})
	a.add(reply.Tip{Text: r.Say("Common practice, no source: work ten rows with one of them, stretch the piece, and see whether it springs back.")})
	return nil
}

// figure2 prints with up to two decimals.
func figure2(v float64) string { return trimmed(round2(v)) }

// change says what another hook does to the stitches.
func (a *hookAnswer) change(ctx context.Context, s Services, r Request) error {
	from, to := a.asked.mm, a.instead.mm
	low, high, err := hook.Effect(from, to)
	if err != nil {
		return fmt.Errorf("reckon the effect: %w", err)
	}
	a.shown, a.marked = []float64{from, to}, to
	a.data["effect"] = map[string]any{"from_mm": from, "to_mm": to, "low_percent": round2(100 * low), "high_percent": round2(100 * high)}
	if from == to {
		a.add(reply.Text{Text: r.Say("They are the same size: nothing changes but the name.")})
		return nil
	}
	format, small, large, way := words.Key("From %s to %s, stitches usually come out %.0f to %.0f %% wider: what was %s wide becomes about %.0f to %.0f."), low, high, 1.
	if to < from {
		format, small, large, way = "From %s to %s, stitches usually come out %.0f to %.0f %% narrower: what was %s wide becomes about %.0f to %.0f.", -high, -low, -1
	}
	over := "100 cm"
	if r.Settings.Units == measure.Inches {
		over = "100 in"
	}
	a.add(reply.Text{Text: r.Say(format, a.asked.size(), a.instead.size(), 100*small, 100*large, over,
		100+min(way*small, way*large)*100, 100+max(way*small, way*large)*100)})
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return fmt.Errorf("list swatches: %w", err)
	}
	for _, sw := range saved {
		if g, err := sw.Gauge(); err == nil && (sw.Hook == from || sw.Hook == 0) {
			a.add(reply.Text{Text: r.Say("Your swatch “%s” has %s sts in 10 cm; it may come to %s to %s.", sw.Name, figure(g.Stitches), figure(g.Stitches/(1+high)), figure(g.Stitches/(1+low)))})
			break
		}
	}
	a.add(reply.Tip{Text: r.Say("A rough range: hand and yarn decide too (common practice, no source). Rows change less surely than stitches. Make a new swatch before you trust it.")})
	return nil
}
