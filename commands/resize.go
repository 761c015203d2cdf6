package commands

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/gauge"
	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// resizeOptions are the options of /resize.
type resizeOptions struct {
	services Services
	pattern  *Opt[wantedPattern]
	size     *Opt[string]
	body     []bodyOption
	width    *Opt[measure.Measured]
	length   *Opt[measure.Measured]
	ease     *Opt[measure.Measured]
	gauge    *Opt[gauge.Gauge]
	swatch   *Opt[string]
	from     *Opt[gauge.Gauge]
	run      *Opt[string]
	change   *Opt[string]
	changes  []grade.Change // as read for one request
	units    *Opt[string]
	usual    measure.Unit // the member's own, in which bare numbers were read
	terms    *Opt[string]
	sheet    *Opt[string]
}

// bodyOption is the option for one measure of a body.
type bodyOption struct {
	measure sizing.Measure
	*Opt[measure.Measured]
}

// resizeBody is the measures that can be given, by their options' names.
var resizeBody = []struct {
	name    string
	measure sizing.Measure
}{
	{"chest", sizing.Chest}, {"hips", sizing.Hips}, {"upper_arm", sizing.UpperArm},
	{"cross_back", sizing.CrossBack}, {"neck_to_wrist", sizing.CentreBack}, {"back_length", sizing.BackLength},
	{"arm_length", sizing.ArmLength}, {"armhole_depth", sizing.ArmholeDepth}, {"head", sizing.Head},
	{"hand", sizing.Hand}, {"foot", sizing.Foot}, {"foot_length", sizing.FootLength},
}

func resize(s Services) *Command {
	o := newResizeOptions(s)
	return &Command{
		Name: "resize", Short: "A garment in counts that fit your body, yarn and gauge",
		Want: "get counts that fit my body and my yarn",
		Long: "Say a pattern, whom it is for (a size, or the chest and any other measures), and your gauge. What you don't give is read off a published table and listed. " +
			"All counts are rounded together so that pieces still fit where they join, and every row is worked stitch by stitch before it is shown.",
		Options: o.list(),
		Examples: []string{
			"/resize pattern:cardigan chest:112 cm gauge:14x10",
			"/resize pattern:pullover size:woman M ease:5 cm gauge:16x12",
			"/resize pattern:hat head:56 cm sheet:A4",
			"/resize pattern:blanket width:90 cm length:120 cm gauge:13x9",
			"/resize pattern:cardigan run:woman gauge:13x10",
			`/resize pattern:pullover size:"woman L" change:"cropped, sleeve width +4 cm" gauge:14x10`,
			"/resize pattern:coaster from:20x22 gauge:16x18",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if o.terms.Given(r) {
				r.Settings.Terms = termsNamed(o.terms.Of(r))
			}
			usual := r.Settings.Units
			if o.units.Given(r) {
				r.Settings.Units = unitNamed(o.units.Of(r))
			}
			p, kept, err := o.wanted(ctx, r)
			if err != nil {
				return reply.Reply{}, err
			}
			if p == nil {
				return o.resizeStored(ctx, r, kept)
			}
			o := o // this request's own
			if o.changes, err = o.readChanges(r, p); err != nil {
				return reply.Reply{}, err
			}
			if o.run.Given(r) {
				return o.resizeRun(ctx, r, p, usual)
			}
			a, err := o.answer(ctx, r, p, usual)
			if err != nil {
				return reply.Reply{}, err
			}
			out, err := a.reply()
			if err != nil {
				return out, err
			}
			out.Actions = append(out.Actions, startButton(r)...)
			if !o.sheet.Given(r) {
				return out, nil
			}
			return a.withSheet(out, o.sheet.Of(r))
		},
	}
}

func newResizeOptions(s Services) resizeOptions {
	o := resizeOptions{services: s}
	o.pattern = Value("pattern", "What to make: one at hand, one kept here, or: just checked", "cardigan", readWanted).Require().Suggest(suggestWanted(s))
	o.size = Words("size", "A standard size, such as woman M or child 8", 40).Like("woman M").Suggest(o.suggestSize)
	for _, b := range resizeBody {
		low, high := b.measure.Limits()
		short := string(b.measure) + ", " + b.measure.How()
		o.body = append(o.body, bodyOption{b.measure, Length(b.name, clip(upperFirst(short), 100), low, high).Like(exampleOf(b.measure))})
	}
	widest := 3 * measure.Metre
	o.width = Length("width", "Width of a blanket, scarf or shawl", 5*measure.Centimetre, widest).Like("90 cm")
	o.length = Length("length", "Length of a blanket or scarf", 5*measure.Centimetre, widest).Like("120 cm")
	o.ease = Value("ease", "How much larger than the body, such as 5 cm, -3 cm or loose", "5 cm", readEase)
	o.gauge = Gauge("gauge", "Your gauge, such as 14x10; your newest swatch if not said").Like("14x10")
	o.from = Gauge("from", "A kept pattern's own gauge, where its text does not say it").Like("14x10")
	o.run = Words("run", "Every size of a table at once: woman, man, child, baby", 40).Like("woman").Suggest(o.suggestRun)
	o.change = o.changeOption()
	o.swatch = swatchNamed(s)
	o.units = OneOf("units", "Units for lengths", "cm", "inches")
	o.terms = OneOf("terms", "Crochet terms", "US", "UK")
	o.sheet = OneOf("sheet", "A PDF to print, with boxes to tick, on this paper", "A4", "Letter")
	return o
}

func (o resizeOptions) list() []Option {
	list := []Option{o.pattern, o.size}
	for _, b := range o.body {
		list = append(list, b.Opt)
	}
	return append(list, o.width, o.length, o.ease, o.gauge, o.swatch, o.from, o.run, o.change, o.units, o.terms, o.sheet)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}

// exampleOf is a value that a measure may have: that of a woman's M.
func exampleOf(m sizing.Measure) string {
	t, err := sizing.Named("woman")
	if err != nil {
		return "30 cm"
	}
	c, err := t.Of("M", nil)
	if l, ok := c.Body[m]; err == nil && ok {
		return l.Text(measure.Centimetres)
	}
	return "30 cm"
}

// Limits of ease. Common practice, no source.
const mostEase = 60 * measure.Centimetre

func readEase(text string, s Settings) (measure.Measured, error) {
	if e, err := sizing.EaseNamed(text); err == nil {
		return measure.Measured{Length: e.Usual(), Unit: s.Units}, nil
	}
	m, err := measure.ParseSigned(text, s.Units)
	if err != nil {
		return m, err
	}
	if m.Length.Abs() > mostEase {
		return m, words.Say("%s is outside what it takes: %s to %s", m.Length.Text(m.Unit), (-mostEase).Text(m.Unit), mostEase.Signed(m.Unit))
	}
	return m, nil
}

// suggestSize offers the sizes of the tables that the pattern is graded by.
func (o resizeOptions) suggestSize(_ context.Context, r Request, typed string) []Choice {
	tables := []string{"woman", "man", "child", "baby"}
	if want := o.pattern.Of(r); want.Pattern != nil {
		tables = want.Tables
	}
	var offers []Choice
	for _, name := range tables {
		t, err := sizing.Named(name)
		if err != nil {
			continue
		}
		for _, size := range t.Sizes {
			text := t.Name + " " + size.Name
			if strings.Contains(strings.ToLower(text), strings.ToLower(strings.TrimSpace(typed))) {
				offers = append(offers, Choice{Label: clip(r.Say("%s (%s %s)", text, words.Key(t.Key), size.Ranges[t.Key].Text(r.Settings.Units)), 100), Value: text})
			}
		}
	}
	return offers
}

// suggestRun offers the tables that the pattern is graded by.
func (o resizeOptions) suggestRun(_ context.Context, r Request, typed string) []Choice {
	tables := []string{"woman", "man", "child", "baby"}
	if want := o.pattern.Of(r); want.Pattern != nil {
		tables = want.Tables
	}
	var offers []Choice
	for _, name := range tables {
		if t, err := sizing.Named(name); err == nil && strings.Contains(strings.ToLower(name+" "+r.Say(words.Key(t.Title))), strings.ToLower(strings.TrimSpace(typed))) {
			offers = append(offers, Choice{Label: r.Say(words.Key(t.Title)), Value: t.Name})
		}
	}
	return offers
}

// resized is an answer of /resize in the making.
type resized struct {
	r       Request
	garment *grade.Garment
	who     fitted
	own     ownGauge
	base    bool // no gauge was given: it is made at the pattern's own
	unused  []words.Key
	bare    bool // a bare number was taken to be in the member's unit
}

// said is a length as meant: a bare number was read in the member's usual unit,
// but counts in the unit that the line asks for.
func said(m measure.Measured, usual, asked measure.Unit) measure.Length {
	if m.Assumed && usual != asked {
		return measure.Of(m.Length.In(usual), asked)
	}
	return m.Length
}

// answer reads the options and makes the garment.
func (o resizeOptions) answer(ctx context.Context, r Request, p *pattern.Pattern, usual measure.Unit) (*resized, error) {
	a := &resized{r: r}
	o.usual = usual
	var err error
	if a.own, a.base, err = o.gaugeFor(ctx, r, p); err != nil {
		return nil, err
	}
	order := grade.Order{Gauge: a.own.gauge, Asks: map[string]measure.Length{}}
	if a.who, err = o.fit(r, p); err != nil {
		return nil, err
	}
	order.Body = a.who.body
	order.Changes = o.changes
	if o.ease.Given(r) {
		if len(p.Tables) == 0 {
			return nil, &Mistake{Option: "ease", Message: "%s is not made to a body, so it has no ease; say its width and length", Args: []any{p.Name}, Example: "width:90 cm"}
		}
		ease := said(o.ease.Of(r), usual, r.Settings.Units)
		order.Ease = &ease
		a.bare = a.bare || o.ease.Of(r).Assumed
	}
	for _, ask := range []*Opt[measure.Measured]{o.width, o.length} {
		if !ask.Given(r) {
			continue
		}
		if !asks(p, ask.spec.Name) {
			return nil, &Mistake{Option: ask.spec.Name, Message: "%s takes its size from the body; say a size or a measure of the body", Args: []any{p.Name}, Example: "size:woman M"}
		}
		order.Asks[ask.spec.Name] = said(ask.Of(r), usual, r.Settings.Units)
		a.bare = a.bare || ask.Of(r).Assumed
	}
	for _, b := range o.body {
		if b.Given(r) {
			a.bare = a.bare || b.Of(r).Assumed
			if !p.Reads(string(b.measure)) {
				a.unused = append(a.unused, words.Key(b.measure))
			}
		}
	}
	if a.garment, err = grade.Make(p, order); err != nil {
		return nil, o.blame(p, err)
	}
	return a, nil
}

func asks(p *pattern.Pattern, name string) bool {
	for _, a := range p.Asks {
		if a.Name == name {
			return true
		}
	}
	return false
}

// blame turns what kept a garment from being made into what the member can do.
func (o resizeOptions) blame(p *pattern.Pattern, err error) error {
	var ask *grade.AskError
	var missing *pattern.FormulaError
	var clash *grade.ClashError
	var tangle *grade.TangleError
	var change *grade.ChangeError
	switch {
	case errors.As(err, &change):
		return o.changeMistake(p, err)
	case errors.As(err, &ask):
		return &Mistake{Option: ask.Name, Message: "this pattern takes %v to %v", Args: []any{ask.Low, ask.High}, Example: ask.Name + ":" + ask.Low.String()}
	case errors.As(err, &missing):
		return Mistaken("/resize pattern:"+p.Name+" size:woman M", "I can't work out a dimension for this body (%s). Give that measure, or a standard size", missing.Wrong)
	case errors.As(err, &clash):
		return Refused("At this size and gauge the pattern's rules can't all hold: %s. A finer gauge or another size works.", strings.Join(clash.Rules, "; "))
	case errors.As(err, &tangle):
		return Refused("At this size and gauge the counts are too many to fit together exactly. A coarser gauge works.")
	}
	return fmt.Errorf("make %s: %w", p.Name, err)
}

// gaugeFor is the gauge to make it at: the one given, a swatch's, or, where
// the member has neither, the pattern's own.
func (o resizeOptions) gaugeFor(ctx context.Context, r Request, p *pattern.Pattern) (own ownGauge, base bool, err error) {
	if !o.gauge.Given(r) && !o.swatch.Given(r) {
		saved, err := o.services.Swatches.List(ctx, r.Member.ID)
		if err != nil {
			return own, false, fmt.Errorf("list swatches: %w", err)
		}
		if len(saved) == 0 {
			return ownGauge{gauge: p.Gauge}, true, nil
		}
	}
	own, err = gaugeOrSwatch(ctx, o.services, r, o.gauge, o.swatch)
	return own, false, err
}
