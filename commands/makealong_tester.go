package commands

import (
	"context"
	"fmt"
	"maps"
	"math"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// Names of what a tester measured, beside the pattern's own dimensions.
const (
	measuredGrams    = "grams"
	measuredMinutes  = "minutes"
	measuredStitches = "gauge stitches" // in 10 cm
	measuredRows     = "gauge rows"
	measuredWide     = "gauge width" // mm that were counted over; absent: 100
	measuredTall     = "gauge height"
	measuredSize     = "finished: " // and a dimension's name; mm
)

// mostMeasured is how much a tester may have measured.
const mostMeasured = mostFinished + 8

// measuredOptions are the options of /makealong measured.
type measuredOptions struct {
	services  Services
	makealong *Opt[string]
	finished  *Opt[string]
	gauge     *Opt[gauge.Gauge]
	swatch    *Opt[string]
	yarn      *Opt[quantity]
	time      *Opt[int]
	remarks   *Opt[string]
}

func makealongMeasured(s Services) *Command {
	o := measuredOptions{
		services:  s,
		makealong: makealongOption(s),
		finished:  Words("finished", "Finished measurements by the pattern's names: chest 106 cm; length 60 cm", 1000).Like("chest 106 cm; length 60 cm"),
		gauge:     Gauge("gauge", "Your gauge in the finished work, washed: 14x10"),
		swatch:    swatchNamed(s),
		yarn:      quantityOption("yarn", "Yarn it took: 430 g, 9 balls; your project knows it if you weighed", "430 g"),
		time:      Value("time", "Time it took: 38 h, 38:30; your project knows it if you kept account", "38 h", readWorkTime),
		remarks:   Words("remarks", "What else the designer should know", 1500).Like("Row 12 says skip 3, it must be 2"),
	}
	return &Command{
		Name: "measured", Short: "For testers: what your size measures, took and weighs", Private: true,
		Want: "tell what I measured of a pattern that I test",
		Long: "You and the hosts see it, beside what the pattern says of your size. Say what you have; more can follow, and what you say again replaces what you said. " +
			"Leave everything out and I open a form.",
		Options: []Option{o.makealong, o.finished, o.gauge, o.swatch, o.yarn, o.time, o.remarks},
		Examples: []string{
			`/makealong measured finished:"chest 106 cm; length 60 cm" yarn:430 g time:38 h makealong:Harbour test`,
			"/makealong measured gauge:14.5x10 makealong:Harbour test",
		},
		Run: o.run,
	}
}

func (o measuredOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	m, p, err := o.open(ctx, r)
	if err != nil {
		return reply.Reply{}, err
	}
	if r.Server == "" {
		r.Server = m.Server
	}
	claim, err := claimsOf(ctx, o.services, r, m, p.Seat)
	if err != nil {
		return reply.Reply{}, err
	}
	if !o.given(r) {
		return o.form(r, m, claim), nil
	}
	p.Measured = maps.Clone(p.Measured)
	if p.Measured == nil {
		p.Measured = map[string]float64{}
	}
	own, err := openPart(ctx, o.services, r, m, p)
	if err != nil {
		return reply.Reply{}, err
	}
	if err := o.read(ctx, r, &p, claim, own); err != nil {
		return reply.Reply{}, err
	}
	if err := o.services.MakeAlongs.Join(ctx, r.ID, p); err != nil {
		return reply.Reply{}, fmt.Errorf("keep what was measured: %w", err)
	}
	return o.reply(r, m, testerOf(p, own.w, claim)), nil
}

// open finds the tester call that is meant: where none is named, the one that
// the member tests in.
func (o measuredOptions) open(ctx context.Context, r Request) (MakeAlong, Participant, error) {
	if !o.makealong.Given(r) {
		parts, err := o.services.MakeAlongs.Joined(ctx, r.Member.ID)
		if err != nil {
			return MakeAlong{}, Participant{}, fmt.Errorf("list make-alongs joined: %w", err)
		}
		for _, p := range parts {
			m, ok, err := o.services.MakeAlongs.Along(ctx, p.Along)
			if err != nil {
				return m, p, fmt.Errorf("open make-along %d: %w", p.Along, err)
			}
			if ok && m.Course.Tester && (r.Server == "" || m.Server == r.Server) {
				return m, p, nil
			}
		}
	}
	m, err := openAlong(ctx, o.services, r, o.makealong)
	if err != nil {
		return m, Participant{}, err
	}
	if !m.Course.Tester {
		return m, Participant{}, Refused("%s is no call for testers: nothing is measured in it.", m.Name)
	}
	p, err := needPart(ctx, o.services, r, m)
	return m, p, err
}

func (o measuredOptions) given(r Request) bool {
	return o.finished.Given(r) || o.gauge.Given(r) || o.swatch.Given(r) || o.yarn.Given(r) || o.time.Given(r) || o.remarks.Given(r)
}

// read takes up what she says, and from her project what that knows.
func (o measuredOptions) read(ctx context.Context, r Request, p *Participant, claim claims, own memberPart) error {
	if o.finished.Given(r) {
		sizes, err := readFinished(o.finished.Of(r), r.Settings.Units, claim.names())
		if err != nil {
			return o.finishedMistake(r, err, claim)
		}
		for _, s := range sizes {
			p.Measured[measuredSize+s.Name] = s.Length.MM()
		}
		if len(p.Measured) > mostMeasured {
			return o.finishedMistake(r, words.Say("at most %d measurements can be kept", mostFinished), claim)
		}
	}
	if o.gauge.Given(r) || o.swatch.Given(r) {
		g, err := gaugeOrSwatch(ctx, o.services, r, o.gauge, o.swatch)
		if err != nil {
			return err
		}
		keepGauge(p, g)
	}
	if o.yarn.Given(r) {
		yarn := PinnedYarn{Grams: claim.grams}
		if own.w != nil {
			yarn = own.w.Pinned.Yarn
		}
		grams, err := yarn.grams(o.yarn, o.yarn.Of(r))
		if err != nil {
			return err
		}
		p.Measured[measuredGrams] = grams
	}
	if o.time.Given(r) {
		p.Measured[measuredMinutes] = float64(o.time.Of(r))
	}
	if o.remarks.Given(r) {
		p.Remarks = o.remarks.Of(r)
	}
	return nil
}

// keepGauge keeps a tester's gauge, and over how much it was counted.
func keepGauge(p *Participant, g ownGauge) {
	p.Measured = maps.Clone(p.Measured)
	if p.Measured == nil {
		p.Measured = map[string]float64{}
	}
	p.Measured[measuredStitches], p.Measured[measuredRows] = g.gauge.Stitches, g.gauge.Rows
	delete(p.Measured, measuredWide)
	delete(p.Measured, measuredTall)
	if g.swatch != nil {
		p.Measured[measuredWide], p.Measured[measuredTall] = g.swatch.Width.MM(), g.swatch.Height.MM()
	}
}

// finishedMistake says which measurements the pattern names.
func (o measuredOptions) finishedMistake(r Request, err error, claim claims) error {
	m := &Mistake{Option: "finished", Message: "%s", Args: []any{err}, Example: `finished:"chest 106 cm; length 60 cm"`}
	if names := claim.names(); len(names) > 0 {
		m.Example = fmt.Sprintf(`finished:"%s %s"`, names[0], measure.FromMM(10*math.Round(claim.finished[0].MM/10)).Text(r.Settings.Units))
		m.Parts = []reply.Block{reply.List{Title: r.Say("The pattern's measurements"), Items: names}}
	}
	return m
}

// form asks for everything at once.
func (o measuredOptions) form(r Request, m MakeAlong, claim claims) reply.Reply {
	hint := "chest 106 cm; length 60 cm"
	if names := claim.names(); len(names) > 0 {
		for n := len(names); n > 0; n-- {
			if hint = strings.Join(names[:n], "; "); len(hint) <= 100 {
				break
			}
		}
	}
	return reply.Reply{Title: r.Say("What you measured"), Private: true, Form: &reply.Form{
		Title: clip(r.Say("Measured in %s", m.Name), 45), Line: m.line("makealong measured", nil),
		Fields: []reply.Blank{
			{Option: "finished", Label: r.Say("Finished measurements, one a line"), Hint: clip(hint, 100), Long: true, Most: 1000},
			{Option: "gauge", Label: r.Say("Gauge, stitches x rows in 10 cm"), Hint: "14x10", Most: 40},
			{Option: "yarn", Label: r.Say("Yarn it took"), Hint: "430 g", Most: 40},
			{Option: "time", Label: r.Say("Time it took"), Hint: "38 h", Most: 40},
			{Option: "remarks", Label: r.Say("Remarks"), Hint: r.Say("what else the designer should know"), Long: true, Most: 1500},
		},
	}}
}

// reply thanks her, and shows what is noted beside what the pattern says.
func (o measuredOptions) reply(r Request, m MakeAlong, t tester) reply.Reply {
	out := reply.Reply{Title: r.Say("Noted for %s", m.Name), Private: true, Data: t.data()}
	out.Parts = append(out.Parts, reply.Text{Text: r.Say("Thank you: this is what makes a pattern right for whoever comes after you.")})
	if found := t.findings(); len(found) > 0 {
		out.Parts = append(out.Parts, testerTable(r, r.Say("Beside what the pattern says"), found, true))
	}
	if t.part.Remarks != "" {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("Your remarks: “%s”", t.part.Remarks)})
	}
	if open := t.open(); len(open) > 0 {
		var said []string
		for _, what := range open {
			said = append(said, r.Say(words.Key(what)))
		}
		out.Parts = append(out.Parts, reply.List{Title: r.Say("Still open, whenever you have it"), Items: said})
	}
	out.Actions = []reply.Action{m.button(r.Say("Say more"), "makealong measured", nil)}
	return out
}

// minutesOf is a time told in minutes, to the nearest.
func minutesOf(v float64) string { return minutesText(int(math.Round(v))) }
