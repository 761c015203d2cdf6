package commands

import (
	"context"
	"fmt"
	"math"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// gaugeFamily is about what a maker's hands make of a yarn and a hook.
func gaugeFamily(s Services) *Command {
	return &Command{Name: "gauge", Short: "Your swatch, and what it does to a pattern", Sub: []*Command{
		gaugeSwatch(s), gaugeFollow(s), gaugeConvert(s),
	}}
}

func gaugeSwatch(s Services) *Command {
	stitches := Number("stitches", "Stitches counted across, fractions too", 1, gauge.MaxCount).Require().Like("21")
	rows := Number("rows", "Rows counted up", 1, gauge.MaxCount).Require().Like("15")
	width := Length("width", "How wide those stitches are", gauge.MinSwatch, gauge.MaxSwatch).Require().Like("15 cm")
	height := Length("height", "How high those rows are; as the width if not said", gauge.MinSwatch, gauge.MaxSwatch).Like("15 cm")
	hook := hookSize("hook", "The hook: 5 mm, H-8, UK 6")
	yarn := Words("yarn", "The yarn, in your words", 100).Like("rust wool")
	stitch := Words("stitch", "The stitch worked", 60).Like("hdc")
	weight := Value("weight", "Weight of that piece, for yarn estimates", "17 g", readGrams)
	washed := YesNo("washed", "Measured after washing and drying?")
	name := Words("name", "A name to find it by; saving under it again replaces it", 60).Like("rust wool")
	return &Command{
		Name: "swatch", Short: "Record a swatch you measured",
		Want: "know my own gauge, and keep it",
		Long: "Count stitches and rows over as wide a stretch as you can, away from the edges, after washing. Fractions of a stitch count. " +
			"The larger the stretch, the surer every measurement that follows from it.",
		Options: []Option{stitches, rows, width, height, hook, yarn, stitch, weight, washed, name},
		Examples: []string{
			"/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm hook:5 yarn:rust wool stitch:hdc washed:yes",
			"/gauge swatch stitches:16 rows:12 width:4 in",
		},
		Private: true,
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			sw := gauge.Swatch{
				Stitches: stitches.Of(r), Rows: rows.Of(r), Width: width.Of(r).Length, Height: width.Of(r).Length,
				Hook: hook.Of(r), Yarn: yarn.Of(r), Stitch: stitch.Of(r), Washed: washed.Of(r), Grams: weight.Of(r), Name: name.Of(r),
			}
			if height.Given(r) {
				sw.Height = height.Of(r).Length
			}
			if width.Of(r).Unit == measure.Inches {
				sw.Mark = measure.Inch / 8
			}
			if sw.Name == "" {
				sw.Name = swatchName(r, sw)
			}
			g, err := sw.Gauge()
			if err != nil {
				return reply.Reply{}, Mistaken("/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm", "%s", err)
			}
			if err := s.Swatches.Save(ctx, r.ID, r.Member.ID, sw); err != nil {
				return reply.Reply{}, fmt.Errorf("save swatch: %w", err)
			}
			return swatchReply(r, sw, g, width.Of(r).Assumed || height.Of(r).Assumed), nil
		},
	}
}

// swatchName names a swatch whose maker gave it none.
func swatchName(r Request, sw gauge.Swatch) string {
	switch {
	case sw.Yarn != "":
		return clip(sw.Yarn, 60)
	case sw.Stitch != "":
		return clip(r.Say("%s swatch", sw.Stitch), 60)
	}
	return r.Say("my swatch")
}

func clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n])
	}
	return s
}

func readGrams(text string, _ Settings) (float64, error) {
	w, err := measure.ParseWeight(text)
	if err != nil {
		return 0, err
	}
	if w.Grams > gauge.MaxGrams {
		return 0, words.Say("%s is outside what it takes: up to %d g", text, gauge.MaxGrams)
	}
	return w.Grams, nil
}

func swatchReply(r Request, sw gauge.Swatch, g gauge.Gauge, assumed bool) reply.Reply {
	doubt := sw.Doubt()
	units := r.Settings.Units
	chest := 100 * measure.Centimetre
	if units == measure.Inches {
		chest = 40 * measure.Inch
	}
	off := doubt.Gauge(g)
	out := reply.Reply{
		Title: r.Say("Swatch saved: %s", gaugeText(g, units)),
		Parts: []reply.Block{
			reply.Fields{Items: []reply.Field{
				{Name: r.Say("Name"), Value: sw.Name},
				{Name: tension(r), Value: r.Say("%s (give or take %s sts and %s rows)", gaugeText(g, units), figure(off.Stitches), figure(off.Rows))},
				{Name: r.Say("What that does"), Value: r.Say("a finished width of %s comes out right to within %s", chest.Text(units), doubt.Width(chest).Text(units))},
				{Name: r.Say("Yarn weight"), Value: weightClasses(r, sw, g)},
			}},
		},
		Data: map[string]any{
			"name": sw.Name, "gauge": g.String(), "stitches": g.Stitches, "rows": g.Rows,
			"doubt": map[string]float64{"stitches": off.Stitches, "rows": off.Rows},
		},
	}
	if sw.Hook > 0 {
		worked := out.Parts[0].(reply.Fields)
		worked.Items = append(worked.Items, reply.Field{Name: r.Say("Hook"), Value: r.Of(hookNames(sw.Hook))})
		out.Parts[0] = worked
	}
	if assumed {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("A bare number is in your unit: I took %s.", words.Key(unitName(units)))})
	}
	if sw.Width < gauge.Small || sw.Height < gauge.Small {
		better := 15 * measure.Centimetre
		if units == measure.Inches {
			better = 6 * measure.Inch
		}
		out.Parts = append(out.Parts, reply.Caution{Text: r.Say("A stretch this small says little. Counted over %s, the same miscount would matter far less.", better.Text(units))})
	}
	if !sw.Washed {
		out.Parts = append(out.Parts, reply.Tip{Text: r.Say("Wash and dry the swatch as you will the garment, then measure again: many yarns grow or shrink.")})
	}
	if sw.Grams == 0 {
		out.Parts = append(out.Parts, reply.Tip{Text: r.Say("With the weight of the measured piece (weight:17 g) I can tell how much yarn a whole garment takes.")})
	}
	return out
}

// tension is the trade's word in the member's terms.
func tension(r Request) string { return r.Say(tensionWord(r)) }

func tensionWord(r Request) words.Key {
	if termsName(r.Terms()) == "UK" {
		return "Tension"
	}
	return "Gauge"
}

// figure prints a small count with no more digits than it deserves.
func figure(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

func gaugeFollow(s Services) *Command {
	theirs := Gauge("theirs", "The pattern's gauge, such as 14x10").Require()
	mine := Gauge("mine", "Yours; your newest swatch if not said").Like("16x12")
	width := Length("width", "A finished width the pattern promises", measure.Centimetre, gauge.MaxFinished).Like("106 cm")
	length := Length("length", "A finished length the pattern promises", measure.Centimetre, gauge.MaxFinished).Like("60 cm")
	return &Command{
		Name: "follow", Short: "What comes out when you follow a pattern at your own gauge",
		Want:     "see what comes out if I just follow a pattern",
		Options:  []Option{theirs, mine, width, length},
		Examples: []string{"/gauge follow theirs:14x10 mine:16x12 width:106 cm length:60 cm"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			yours, err := gaugeOrSwatch(ctx, s, r, mine, nil)
			if err != nil {
				return reply.Reply{}, err
			}
			w, l := width.Of(r).Length, length.Of(r).Length
			f, err := gauge.Follow(theirs.Of(r), yours.gauge, w, l)
			if err != nil {
				return reply.Reply{}, theirs.Blame(err)
			}
			return followReply(r, theirs.Of(r), yours, f, w, l), nil
		},
	}
}

func followReply(r Request, theirs gauge.Gauge, mine ownGauge, f gauge.Followed, w, l measure.Length) reply.Reply {
	units := r.Settings.Units
	var lines []string
	data := map[string]any{"width_percent": round2(f.Width.Percent), "length_percent": round2(f.Length.Percent)}
	outcome := func(name words.Key, o gauge.Outcome, wanted measure.Length, doubt measure.Length) {
		if wanted == 0 {
			lines = append(lines, r.Say("%s: %s.", name, percentWords(o.Percent, name == "Every width")))
			return
		}
		line := r.Say("%s: %s", name, insteadOf(o.Comes, wanted, units))
		if math.Abs(o.Percent) >= 0.05 {
			line += fmt.Sprintf(", %+.1f %%", o.Percent)
		}
		if doubt > 0 {
			line = r.Say("%s, give or take %s", line, doubt.Text(units))
		}
		lines = append(lines, line+".")
	}
	var doubtW, doubtL measure.Length
	if mine.swatch != nil {
		doubtW, doubtL = mine.swatch.Doubt().Width(f.Width.Comes), mine.swatch.Doubt().Height(f.Length.Comes)
	}
	if w > 0 {
		outcome("Width", f.Width, w, doubtW)
		data["width_mm"] = round2(f.Width.Comes.MM())
	} else {
		outcome("Every width", f.Width, 0, 0)
	}
	if l > 0 {
		outcome("Length", f.Length, l, doubtL)
		data["length_mm"] = round2(f.Length.Comes.MM())
	} else {
		outcome("Every length", f.Length, 0, 0)
	}
	parts := []reply.Block{
		reply.Text{Text: r.Say("The pattern: %s. Yours: %s.", gaugeText(theirs, units), gaugeText(mine.gauge, units)) + r.Of(mine.note())},
		reply.List{Items: lines},
		reply.Text{Text: r.Say(adviceWords(f.Advice))},
	}
	return reply.Reply{Title: r.Say("Followed as written, at your %s", words.Inner(tensionWord(r))), Parts: parts, Data: data}
}

func percentWords(percent float64, wide bool) words.Message {
	larger, smaller := words.Key("%.1f %% longer"), words.Key("%.1f %% shorter")
	if wide {
		larger, smaller = "%.1f %% wider", "%.1f %% narrower"
	}
	switch {
	case math.Abs(percent) < 0.05:
		return words.Say("as the pattern says")
	case percent > 0:
		return words.Say(larger, percent)
	}
	return words.Say(smaller, -percent)
}

func adviceWords(a gauge.Advice) words.Key {
	switch a {
	case gauge.Keep:
		return "Both agree as well as anybody can measure. Follow the pattern as it stands."
	case gauge.LargerHook:
		return "You have more stitches to the same width: your work is tighter. Try a larger hook and swatch again, or convert the counts with /gauge convert."
	case gauge.SmallerHook:
		return "You have fewer stitches to the same width: your work is looser. Try a smaller hook and swatch again, or convert the counts with /gauge convert."
	case gauge.AdjustRows:
		return "Your stitches agree and only the rows differ: keep the stitch counts, and work to the lengths instead of the row counts. Shaping spread over rows must be spread anew (/even slope)."
	case gauge.AdjustStitches:
		return "Your rows agree and only the stitches differ: convert the stitch counts with /gauge convert, and keep the row counts."
	}
	return "The two are too far apart for a change of hook alone: convert the counts (/gauge convert, or /resize for a whole pattern), or choose another yarn."
}

func gaugeConvert(s Services) *Command {
	from := Gauge("from", "The gauge that the counts are written for").Require()
	to := Gauge("to", "The gauge to convert to; your newest swatch if not said").Like("16x12")
	stitches := Int("stitches", "Stitches to convert", 1, gauge.MaxConvert).Like("74")
	rows := Int("rows", "Rows to convert", 1, gauge.MaxConvert).Like("60")
	multiple := Int("multiple", "Keep a multiple: the 6 of “multiple of 6 + 2”", 1, 1000).Like("6")
	plus := Int("plus", "The 2 of “multiple of 6 + 2”", 0, 1000).Like("2")
	return &Command{
		Name: "convert", Short: "Convert stitch and row counts from one gauge to another",
		Want: "change counts from one gauge to another", From: "maker",
		Options: []Option{from, to, stitches, rows, multiple, plus},
		Examples: []string{
			"/gauge convert from:14x10 to:16x12 stitches:74 rows:60",
			"/gauge convert from:14x10 to:16x12 stitches:74 multiple:6 plus:2",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if !stitches.Given(r) && !rows.Given(r) {
				return reply.Reply{}, Mistaken("/gauge convert from:14x10 to:16x12 stitches:74 rows:60", "there is nothing to convert: give stitches, rows or both")
			}
			if plus.Given(r) && !multiple.Given(r) {
				return reply.Reply{}, &Mistake{Option: "plus", Message: "it goes with multiple", Example: "multiple:6 plus:2"}
			}
			if multiple.Given(r) && !stitches.Given(r) {
				return reply.Reply{}, &Mistake{Option: "multiple", Message: "it is about stitches, and none are given", Example: "stitches:74 multiple:6 plus:2"}
			}
			target, err := gaugeOrSwatch(ctx, s, r, to, nil)
			if err != nil {
				return reply.Reply{}, err
			}
			m := gauge.Multiple{Of: multiple.Of(r), Plus: plus.Of(r)}
			c := conversion{from: from.Of(r), to: target, multiple: m}
			if stitches.Given(r) {
				got, err := gauge.ConvertStitches(c.from, target.gauge, stitches.Of(r), m)
				if err != nil {
					return reply.Reply{}, stitches.Blame(err)
				}
				c.stitches, c.wasStitches = &got, stitches.Of(r)
			}
			if rows.Given(r) {
				got, err := gauge.ConvertRows(c.from, target.gauge, rows.Of(r), gauge.Multiple{})
				if err != nil {
					return reply.Reply{}, rows.Blame(err)
				}
				c.rows, c.wasRows = &got, rows.Of(r)
			}
			return c.reply(r), nil
		},
	}
}

// conversion is what /gauge convert worked out.
type conversion struct {
	from                 gauge.Gauge
	to                   ownGauge
	multiple             gauge.Multiple
	stitches, rows       *gauge.Converted
	wasStitches, wasRows int
}

func (c conversion) reply(r Request) reply.Reply {
	units := r.Settings.Units
	data := map[string]any{}
	var lines []string
	if got := c.stitches; got != nil {
		lines = append(lines, r.Say("%d stitches become %d: %s.", c.wasStitches, got.Count.Count, insteadOf(got.Size, got.Target, units)))
		if c.multiple.Of > 1 {
			lines = append(lines, r.Say("That keeps the %s.", multipleWords(c.multiple))+" "+neighbours(r, *got, units))
		}
		data["stitches"], data["deviation_mm"] = got.Count.Count, round2(got.Deviation.MM())
	}
	if got := c.rows; got != nil {
		lines = append(lines, r.Say("%d rows become %d: %s.", c.wasRows, got.Count.Count, insteadOf(got.Size, got.Target, units)))
		data["rows"], data["rows_deviation_mm"] = got.Count.Count, round2(got.Deviation.MM())
		if c.stitches == nil {
			data["deviation_mm"] = data["rows_deviation_mm"]
		}
	}
	title := ""
	switch {
	case c.stitches != nil && c.rows != nil:
		title = r.Say("%s, %s", words.Count(c.stitches.Count.Count, "%d stitches", "%d stitches"), words.Count(c.rows.Count.Count, "%d rows", "%d rows"))
	case c.stitches != nil:
		title = r.Count(c.stitches.Count.Count, "%d stitches", "%d stitches")
	case c.rows != nil:
		title = r.Count(c.rows.Count.Count, "%d rows", "%d rows")
	}
	return reply.Reply{Title: title, Data: data, Parts: []reply.Block{
		reply.Text{Text: r.Say("From %s to %s.", gaugeText(c.from, units), gaugeText(c.to.gauge, units)) + r.Of(c.to.note())},
		reply.List{Items: lines},
	}}
}

// multipleWords says a multiple: "multiple of 6 + 2".
func multipleWords(m gauge.Multiple) words.Message {
	if m.Plus == 0 {
		return words.Say("multiple of %d", m.Of)
	}
	return words.Say("multiple of %d + %d", m.Of, m.Plus)
}

func neighbours(r Request, c gauge.Converted, units measure.Unit) string {
	var either []string
	for _, n := range []*gauge.Count{c.Below, c.Above} {
		if n != nil {
			either = append(either, fmt.Sprintf("%d (%s)", n.Count, n.Deviation.Signed(units)))
		}
	}
	return r.Say("The next that fit it: %s.", strings.Join(either, r.Say(" and ")))
}

// insteadOf sets what comes out against what was wanted. The difference is
// that of the two figures as shown, so that a reader who checks it agrees.
func insteadOf(comes, wanted measure.Length, units measure.Unit) words.Message {
	shown := asShown(comes, units) - asShown(wanted, units)
	if shown == 0 {
		return words.Say("%s, as wanted", comes.Text(units))
	}
	return words.Say("%s instead of %s (%s)", comes.Text(units), wanted.Text(units), shown.Signed(units))
}

// asShown rounds a length as Text does: to a millimetre, or an eighth of an inch.
func asShown(l measure.Length, units measure.Unit) measure.Length {
	step := measure.Millimetre
	if units == measure.Inches {
		step = measure.Inch / 8
	}
	return measure.Length(math.Round(float64(l)/float64(step))) * step
}

func round2(v float64) float64 { return math.Round(v*100) / 100 }
