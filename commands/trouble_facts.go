package commands

import (
	"context"
	"errors"
	"fmt"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/trouble"
)

// factOptions are the numbers that a member can give.
type factOptions struct {
	gauge, theirs *Opt[gauge.Gauge]
	stitch        *Opt[string]
	hook          *Opt[float64]
	counts        []*Opt[int]
	lengths       []*Opt[measure.Measured]
}

func newFactOptions() factOptions {
	const most = 10 * measure.Metre
	length := func(name, short string) *Opt[measure.Measured] {
		return Length(name, short, measure.Centimetre, most).Like("52 cm")
	}
	return factOptions{
		gauge:  Gauge("gauge", "Your gauge: stitches x rows in 10 cm; your swatch's if not said"),
		theirs: Gauge("theirs", "The gauge that the pattern asks for").Like("16x12"),
		stitch: Words("stitch", "The stitch you work, if not that of your swatch", 60).Like("hdc"),
		hook:   hookSize("hook", "The hook you use: 5 mm, H-8"),
		counts: []*Opt[int]{
			Int("increases", "Circle: stitches added in each round", 0, 60),
			Int("picked", "Edging: stitches worked along the edge", 1, 5000),
			Int("start", "Count: stitches at first", 1, 5000),
			Int("now", "Count: stitches now", 1, 5000),
			Int("worked", "Count: rows worked in between", 1, 2000),
			Int("around", "Sleeve: stitches at its widest", 4, 1000),
		},
		lengths: []*Opt[measure.Measured]{
			length("length", "How long the edge is"),
			length("other", "How long the other edge is"),
			length("before", "Length before washing"),
			length("after", "Length after washing"),
			length("arm", "Around the upper arm"),
			length("chain", "Width along the first chain"),
			length("row", "Width some rows up"),
			length("rib", "Length of the ribbing at rest"),
			length("body", "Length of the edge that the ribbing gathers"),
		},
	}
}

func (o factOptions) list() []Option {
	list := []Option{o.gauge, o.theirs, o.stitch, o.hook}
	for _, c := range o.counts {
		list = append(list, c)
	}
	for _, l := range o.lengths {
		list = append(list, l)
	}
	return list
}

// What the figures call the gauge that a pattern asks for.
const (
	theirStitches = "pattern stitches"
	theirRows     = "pattern rows"
)

// factOption is the option that tells a need of a figure.
func factOption(need string) string {
	switch need {
	case "stitches", "rows":
		return "gauge"
	case theirStitches, theirRows:
		return "theirs"
	case "one":
		return "length"
	}
	return need
}

// knownFacts are what is known of the member's work.
type knownFacts struct {
	trouble.Facts
	given  map[string]bool // the options that she gave for them
	swatch string          // the swatch that the gauge was taken from; empty: none
}

// read takes the facts from the line, in the terms of r, and what it does not
// say of gauge and hook from the newest swatch, in the terms of saved.
func (o factOptions) read(ctx context.Context, s Services, r, saved Request) (knownFacts, error) {
	k := knownFacts{Facts: trouble.Facts{}, given: map[string]bool{}}
	for _, c := range o.counts {
		if c.Given(r) {
			k.Facts[c.spec.Name], k.given[c.spec.Name] = float64(c.Of(r)), true
		}
	}
	for _, l := range o.lengths {
		if l.Given(r) {
			k.Facts[l.spec.Name], k.given[l.spec.Name] = l.Of(r).Length.MM(), true
		}
	}
	if v, ok := k.Facts["length"]; ok {
		k.Facts["one"] = v
	}
	if o.theirs.Given(r) {
		g := o.theirs.Of(r)
		k.Facts[theirStitches], k.Facts[theirRows], k.given["theirs"] = g.Stitches, g.Rows, true
	}
	if o.hook.Given(r) {
		k.Facts["hook"], k.given["hook"] = o.hook.Of(r), true
	}
	worked := 0.0 // the height of the stitch
	if o.stitch.Given(r) {
		height, err := o.stitchHeight(r)
		if err != nil {
			return k, err
		}
		worked, k.given["stitch"] = height, true
	}
	if o.gauge.Given(r) {
		g := o.gauge.Of(r)
		k.Facts["stitches"], k.Facts["rows"], k.given["gauge"] = g.Stitches, g.Rows, true
		return k, nil
	}
	err := o.ofSwatch(ctx, s, saved, worked, &k)
	return k, err
}

// stitchHeight is the height of the stitch that is worked, read in the terms
// of the answer.
func (o factOptions) stitchHeight(r Request) (float64, error) {
	chosen, err := stitchOption("stitch", "").parse(Input{Text: o.stitch.Of(r)}, r.Settings)
	if err != nil {
		return 0, o.stitch.Blame(err)
	}
	s, _ := stitch.Lookup(chosen.name())
	return s.Height, nil
}

// ofSwatch takes the gauge and the hook of the member's newest swatch. Rows of
// another stitch than the swatch's, worked high, are as much higher.
func (o factOptions) ofSwatch(ctx context.Context, s Services, r Request, worked float64, k *knownFacts) error {
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return fmt.Errorf("list swatches: %w", err)
	}
	if len(saved) == 0 {
		return nil
	}
	own, err := fromSwatch(saved[0].Swatch)
	if err != nil {
		return err
	}
	rows := own.gauge.Rows
	if height := heightOf(r, own.swatch.Stitch); height > 0 && worked > 0 {
		rows *= height / worked
	}
	k.Facts["stitches"], k.Facts["rows"] = own.gauge.Stitches, rows
	if _, said := k.Facts["hook"]; !said && own.swatch.Hook > 0 {
		k.Facts["hook"] = own.swatch.Hook
	}
	k.swatch = own.swatch.Name
	return nil
}

// verdict is what the numbers say of a cause.
type verdict uint8

const (
	unknown   verdict = iota // no numbers, or not all
	confirmed                // the numbers show it
	refuted                  // the numbers speak against it
	advised                  // they can't tell, but say what to try
)

// weighed is a possible cause with what the numbers say of it.
type weighed struct {
	trouble.Check
	n       int // from 1, as the line counts
	verdict verdict
	outcome trouble.Outcome
	missing []trouble.Need // what would have to be given yet; nil where no numbers help
}

// advice is the outcome of figures that only say what to try.
const advice = "try"

// weigh lets the numbers speak on every possible cause.
func (t *talk) weigh() error {
	for i, c := range t.Checks {
		w := weighed{Check: c, n: i + 1}
		if figure, ok := trouble.FigureOf(c.Figure); ok {
			if err := w.work(figure, t); err != nil {
				return err
			}
		}
		t.checks = append(t.checks, w)
	}
	return nil
}

// work does the arithmetic of a cause, if the member gave something of it.
func (w *weighed) work(figure trouble.Figure, t *talk) error {
	asked := false
	for _, need := range figure.Needs {
		if _, said := t.known.Facts[need.Name]; !said {
			w.missing = append(w.missing, need)
		}
		asked = asked || t.known.given[factOption(need.Name)]
	}
	if len(w.missing) > 0 || !asked && w.When != advice {
		if len(w.missing) == 0 {
			w.missing = figure.Needs
		}
		return nil
	}
	outcome, err := figure.WorkTold(t.known.Facts, t.r.filled, t.r.Settings.Units)
	if err != nil {
		return factMistake(err)
	}
	w.outcome = outcome
	switch {
	case w.When == advice:
		w.verdict = advised
	case outcome.Name == w.When:
		w.verdict = confirmed
	default:
		w.verdict = refuted
	}
	return nil
}

// factMistake says which option has a number that no work has.
func factMistake(err error) error {
	var wrong *trouble.FactError
	if !errors.As(err, &wrong) {
		return err
	}
	name := factOption(wrong.Need.Name)
	return &Mistake{Option: name, Example: name + ":" + factExamples[name],
		Message: "%s is outside what I can work with: %s to %s", Args: []any{shortNumber(wrong.Need, wrong.Value), shortNumber(wrong.Need, wrong.Need.Low), shortNumber(wrong.Need, wrong.Need.High)}}
}

func shortNumber(n trouble.Need, v float64) string {
	if n.Kind == trouble.Length {
		return trimmed(v/10) + " cm"
	}
	return trimmed(v)
}

var factExamples = map[string]string{"gauge": "14x10", "theirs": "16x12", "hook": "5 mm", "increases": "6", "picked": "60", "start": "40", "now": "36",
	"worked": "10", "around": "52", "length": "52 cm", "other": "55 cm", "before": "52 cm", "after": "55 cm", "arm": "30 cm", "chain": "38 cm", "row": "41 cm",
	"rib": "38 cm", "body": "44 cm"}
