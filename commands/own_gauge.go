package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/words"
)

// ownGauge is the gauge that an answer is for, and where it comes from.
type ownGauge struct {
	gauge  gauge.Gauge
	swatch *gauge.Swatch // the member's swatch it was read off; nil: given in the line
}

// gaugeText is a gauge in words: "14 sts and 10 rows in 10 cm", or in 4 in.
func gaugeText(g gauge.Gauge, u measure.Unit) words.Message {
	over, per := 10*measure.Centimetre, 1.
	if u == measure.Inches {
		over, per = 4*measure.Inch, (4*measure.Inch).MM()/100
	}
	return words.Say("%s sts and %s rows in %s", trimmed(round2(g.Stitches*per)), trimmed(round2(g.Rows*per)), over.Text(u))
}

// note names the swatch in a sentence that follows another; empty where the
// member gave the gauge herself.
func (o ownGauge) note() words.Message {
	if o.swatch == nil {
		return words.Message{}
	}
	return words.Say(" (From your swatch “%s”.)", o.swatch.Name)
}

// gaugeOrSwatch reads the gauge that a line gives, else the swatch that it
// names, else the member's newest swatch. named may be nil.
func gaugeOrSwatch(ctx context.Context, s Services, r Request, given *Opt[gauge.Gauge], named *Opt[string]) (ownGauge, error) {
	wantsSwatch := named != nil && named.Given(r)
	if given.Given(r) {
		if wantsSwatch {
			return ownGauge{}, &Mistake{Option: named.spec.Name, Message: "give a gauge or a swatch, not both", Example: given.spec.Name + ":14x10"}
		}
		return ownGauge{gauge: given.Of(r)}, nil
	}
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return ownGauge{}, fmt.Errorf("list swatches: %w", err)
	}
	if !wantsSwatch {
		if len(saved) == 0 {
			return ownGauge{}, &Mistake{Option: given.spec.Name, Message: "it is missing, and you have no swatch saved; give stitches × rows in 10 cm, or record a swatch first (/gauge swatch)", Example: given.spec.Name + ":14x10"}
		}
		return fromSwatch(saved[0].Swatch)
	}
	var names []string
	for _, sw := range saved {
		if strings.EqualFold(sw.Name, named.Of(r)) {
			return fromSwatch(sw.Swatch)
		}
		names = append(names, sw.Name)
	}
	m := &Mistake{Option: named.spec.Name, Message: "you have no swatch of that name, and no other; record one with /gauge swatch",
		Example: "/gauge swatch stitches:21 rows:15 width:15 cm"}
	if len(names) > 0 {
		m.say("you have no swatch of that name; you have %s", strings.Join(names, ", "))
		m.Example = named.spec.Name + ":" + names[0]
	}
	return ownGauge{}, m
}

func fromSwatch(sw gauge.Swatch) (ownGauge, error) {
	g, err := sw.Gauge()
	if err != nil {
		return ownGauge{}, fmt.Errorf("read swatch %q: %w", sw.Name, err)
	}
	return ownGauge{gauge: g, swatch: &sw}, nil
}

// swatchNamed declares the option that names a saved swatch, with the member's
// own offered while she types.
func swatchNamed(s Services) *Opt[string] {
	return Words("swatch", "One of your saved swatches, by its name", 60).Like("rust wool").
		Suggest(func(ctx context.Context, r Request, typed string) []Choice {
			saved, err := s.Swatches.List(ctx, r.Member.ID)
			if err != nil {
				return nil
			}
			var offers []Choice
			for _, sw := range saved {
				if strings.Contains(strings.ToLower(sw.Name), strings.ToLower(typed)) {
					offers = append(offers, Choice{Label: sw.Name, Value: sw.Name})
				}
			}
			return offers
		})
}
