package commands

import (
	"context"
	"errors"
	"fmt"
	"math"

	"countwright/calc/gauge"
	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/regauge"
	"countwright/commands/words"
)

// claims are what a pattern says of one of its sizes.
type claims struct {
	gauge    gauge.Gauge // zero: it says none
	finished []grade.Finished
	grams    float64 // of yarn; 0: it says none
	doubt    float64 // of the yarn, as a part
}

// names are the measurements that the pattern names.
func (c claims) names() []string {
	names := make([]string, len(c.finished))
	for i, f := range c.finished {
		names[i] = f.Name
	}
	return names
}

// claimsOf works out what the pattern of a tester call says of a size: its own
// counts at its own gauge.
func claimsOf(ctx context.Context, s Services, r Request, m MakeAlong, size string) (claims, error) {
	p, ok := pattern.Find(m.Course.Pattern)
	if !ok {
		t, err := findKept(ctx, s, r, "pattern", m.Course.Pattern, m.Course.Version)
		var gone *Mistake
		switch {
		case errors.As(err, &gone): // it was removed: nothing is claimed any more
			return claims{}, nil
		case err != nil:
			return claims{}, err
		case !t.file:
			g, _ := regauge.Stated(t.text)
			return claims{gauge: g}, nil
		}
		if p, err = pattern.Read(t.name, []byte(t.text)); err != nil {
			return claims{}, fileMistake(t, err)
		}
	}
	order := grade.Order{Gauge: p.Gauge}
	if len(p.Tables) > 0 {
		if size == "" {
			return claims{gauge: p.Gauge}, nil
		}
		o := Words("size", "A standard size", 40).Like("woman M")
		sized, err := sizeFor(o, size, p.Tables[0] == "head")
		if err != nil {
			return claims{}, err
		}
		body, err := sized.Table.Of(sized.Size.Name, nil)
		if err != nil {
			return claims{}, fmt.Errorf("size %s: %w", size, err)
		}
		order.Body = body.Body
	}
	g, err := grade.Make(p, order)
	if err != nil {
		return claims{}, fmt.Errorf("make %s in %s: %w", p.Name, size, err)
	}
	amount, err := (&resized{r: r, garment: g}).yarn()
	if err != nil {
		return claims{}, fmt.Errorf("reckon the yarn: %w", err)
	}
	return claims{gauge: p.Gauge, finished: g.Finished, grams: amount.Grams, doubt: amount.Doubt}, nil
}

// testVerdict is what a difference between a claim and a measurement means.
type testVerdict string

// The verdicts.
const (
	agrees    testVerdict = "agrees"
	byGauge   testVerdict = "her gauge explains it"
	odd       testVerdict = "agrees, but not with her gauge"
	differs   testVerdict = "differs"
	unclaimed testVerdict = "the pattern says nothing"
)

// How far a measurement can be off. Common practice, no source.
const (
	tapeDoubt  = 5.0 // mm: soft fabric laid flat under a tape
	scaleDoubt = 2.0 // grams of a kitchen scale
	usualSpan  = 100.0
)

// testFigure is one figure of a tester beside the pattern's.
type testFigure struct {
	what     string
	unit     string  // "mm", "stitches", "rows", "g", "min"
	claimed  float64 // 0: the pattern says nothing
	got      float64
	allowed  float64 // that rounding and measuring explain, either way
	expected float64 // at the tester's own gauge; 0: not known
	verdict  testVerdict
}

// judge compares a measurement with its claim. The claim's rounding to whole
// stitches and rows, the tape, and the doubt of the gauge that it is claimed at
// are allowed for; what is beyond may still be the tester's own gauge.
func judge(f grade.Finished, got float64, c claims, mine *measuredGauge) testFigure {
	out := testFigure{what: f.Name, unit: "mm", claimed: f.MM, got: got}
	off := func(doubt gauge.Doubt) float64 {
		return f.Across*doubt.Stitches + (f.MM-f.Across)*doubt.Rows
	}
	out.allowed = f.Unit/2 + tapeDoubt + off(doubtOver(c.gauge, usualSpan, usualSpan))
	fits := math.Abs(got-f.MM) <= out.allowed
	if mine == nil {
		out.verdict = map[bool]testVerdict{true: agrees, false: differs}[fits]
		return out
	}
	out.expected = f.At(c.gauge, mine.Gauge)
	own := math.Abs(got-out.expected) <= tapeDoubt+off(mine.doubt())*out.expected/f.MM
	switch {
	case fits && own:
		out.verdict = agrees
	case fits:
		out.verdict = odd
	case own:
		out.verdict = byGauge
	default:
		out.verdict = differs
	}
	return out
}

// measuredGauge is a tester's gauge and over how much it was counted, in mm.
type measuredGauge struct {
	gauge.Gauge
	wide, tall float64
}

func (g measuredGauge) doubt() gauge.Doubt { return doubtOver(g.Gauge, g.wide, g.tall) }

// doubtOver is the doubt of a gauge that was counted over a width and a height.
func doubtOver(g gauge.Gauge, wide, tall float64) gauge.Doubt {
	return gauge.Swatch{Stitches: g.Stitches * wide / 100, Rows: g.Rows * tall / 100, Width: measure.FromMM(wide), Height: measure.FromMM(tall)}.Doubt()
}

// judgeGauge compares stitches or rows in 10 cm, either of which may be off.
func judgeGauge(what words.Key, unit string, claimed, got, claimDoubt, gotDoubt float64) testFigure {
	f := testFigure{what: string(what), unit: unit, claimed: claimed, got: got, allowed: claimed*claimDoubt + got*gotDoubt, verdict: agrees}
	if math.Abs(got-claimed) > f.allowed {
		f.verdict = differs
	}
	return f
}

// judgeYarn compares the yarn that it took.
func judgeYarn(c claims, got float64) testFigure {
	f := testFigure{what: "yarn", unit: "g", claimed: c.grams, got: got, allowed: c.grams*c.doubt + scaleDoubt, verdict: agrees}
	switch {
	case c.grams == 0:
		f.allowed, f.verdict = 0, unclaimed
	case math.Abs(got-c.grams) > f.allowed:
		f.verdict = differs
	}
	return f
}
