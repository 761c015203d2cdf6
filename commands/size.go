package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// sizeFamily is about bodies and the sizes of tables.
func sizeFamily(s Services) *Command {
	return &Command{Name: "size", Short: "Which size is a body, and the size tables", Sub: []*Command{sizeFind(s), sizeChart()}}
}

// moreBody is the measures that /size takes beyond those of /resize.
var moreBody = []struct {
	name    string
	measure sizing.Measure
}{{"waist", sizing.Waist}, {"neck", sizing.Neck}, {"wrist", sizing.Wrist}}

// measureOptions declares an option for each measure of a body.
func measureOptions() []bodyOption {
	var all []bodyOption
	for _, b := range append(append(resizeBody[:0:0], resizeBody...), moreBody...) {
		low, high := b.measure.Limits()
		all = append(all, bodyOption{b.measure, Length(b.name, clip(upperFirst(string(b.measure)+", "+b.measure.How()), 100), low, high).Like(exampleOf(b.measure))})
	}
	return all
}

// whose is the tables for whom a size is looked for, by the words of the
// option who; the first is the one that sizes are offered from.
var whose = map[string][]string{
	"woman": {"woman", "EN letter woman", "EN woman", "ASTM woman"},
	"man":   {"man", "EN letter man", "EN man"},
	"child": {"child"}, "baby": {"baby"},
	"head": {"head", "craft head"},
}

func sizeFind(s Services) *Command {
	body := measureOptions()
	who := OneOf("who", "Whose size; if not said, whatever is near", "woman", "man", "child", "baby", "head")
	given := Gauge("gauge", "Your gauge, to count the rows and stitches to alter")
	swatch := swatchNamed(s)
	options := []Option{}
	for _, b := range body[:1] {
		options = append(options, b.Opt)
	}
	options = append(options, who)
	for _, b := range body[1:] {
		options = append(options, b.Opt)
	}
	return &Command{
		Name: "find", Short: "Which standard size a body is, where it differs, and what to alter",
		Want: "know which size I am",
		Long: "Give the chest and whatever else you measured. Measures are of the body, without ease. " +
			"A body between two sizes gets the nearest. Its own measures always win over a size: /resize takes them.",
		Options: append(options, given, swatch),
		Examples: []string{
			"/size find chest:104 cm who:woman",
			"/size find chest:104 cm cross_back:38 cm arm_length:48 cm gauge:14x10",
			"/size find head:43 cm",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			measured := sizing.Body{}
			bare := false
			for _, b := range body {
				if b.Given(r) {
					measured[b.measure] = b.Of(r).Length
					bare = bare || b.Of(r).Assumed
				}
			}
			if len(measured) == 0 {
				return reply.Reply{}, Mistaken("/size find chest:104 cm who:woman", "give a measure of the body, the chest first of all (for a hat the head)")
			}
			fits, err := fitsOf(measured, who.Of(r))
			if err != nil {
				return reply.Reply{}, err
			}
			f := foundSize{fits: fits, body: measured, who: who.Of(r), bare: bare}
			if f.own, err = gaugeIfAny(ctx, s, r, given, swatch); err != nil {
				return reply.Reply{}, err
			}
			return f.reply(r), nil
		},
	}
}

// fitsOf is the sizes that a body falls in or is nearest to, the one to follow
// first: never none.
func fitsOf(body sizing.Body, who string) ([]sizing.Fit, error) {
	_, chest := body[sizing.Chest]
	_, head := body[sizing.Head]
	if who == "" && !chest && head && len(body) == 1 {
		who = "head"
	}
	if who == "" {
		return anybody(body)
	}
	var fits []sizing.Fit
	for _, name := range whose[who] {
		t, err := sizing.Named(name)
		if err != nil {
			return nil, fmt.Errorf("find table %s: %w", name, err)
		}
		only := body
		if who == "head" {
			if only = (sizing.Body{sizing.Head: body[sizing.Head]}); !head {
				return nil, &Mistake{Option: "head", Message: "it is missing: how large around is the head?", Example: "head:56 cm"}
			}
		}
		f, err := t.Closest(only)
		var need *sizing.NeedError
		if errors.As(err, &need) {
			continue // that table knows none of the given measures
		}
		if err != nil {
			return nil, bodyMistake(err)
		}
		fits = append(fits, f)
	}
	if len(fits) == 0 {
		return nil, Mistaken("/size find chest:104 cm who:woman", "the tables for a %s know none of these measures; give the chest", words.Key(who))
	}
	return fits, nil
}

// anybody is the fits of the main tables that have a near size; where none has,
// the closest of all.
func anybody(body sizing.Body) ([]sizing.Fit, error) {
	all, err := sizing.Find(body)
	if err != nil {
		return nil, bodyMistake(err)
	}
	var mains []sizing.Fit
	for _, f := range all {
		if f.Table.Main && f.Table.Key == sizing.Chest {
			mains = append(mains, f)
		}
	}
	if len(mains) > 0 {
		return mains, nil
	}
	var closest *sizing.Fit
	for _, t := range sizing.Tables() {
		if f, err := t.Closest(body); err == nil && t.Main && t.Key == sizing.Chest && (closest == nil || f.Off.Abs() < closest.Off.Abs()) {
			closest = &f
		}
	}
	if closest == nil {
		return nil, Mistaken("/size find chest:104 cm", "none of the tables knows these measures alone; give the chest too")
	}
	return []sizing.Fit{*closest}, nil
}

// gaugeIfAny is the gauge given, the swatch named or the newest saved; nil
// where there is none.
func gaugeIfAny(ctx context.Context, s Services, r Request, given *Opt[gauge.Gauge], named *Opt[string]) (*ownGauge, error) {
	if !given.Given(r) && !named.Given(r) {
		saved, err := s.Swatches.List(ctx, r.Member.ID)
		if err != nil {
			return nil, fmt.Errorf("list swatches: %w", err)
		}
		if len(saved) == 0 {
			return nil, nil
		}
	}
	own, err := gaugeOrSwatch(ctx, s, r, given, named)
	if err != nil {
		return nil, err
	}
	return &own, nil
}

// standardOf is the body that publishes a table, by its source.
func standardOf(t *sizing.Table) string {
	name, _, _ := strings.Cut(t.Source, ",")
	return name
}

// bareLength is a length without its unit, for narrow columns: "91.5", "36 1/2".
func bareLength(l measure.Length, u measure.Unit) string {
	return strings.TrimSuffix(l.Text(u), " "+u.String())
}

// tableLength is a length of a table as its charts print it: in inches, unless
// the source has eighths, to the half from 20 in on and to the quarter below.
func tableLength(l measure.Length, u measure.Unit) measure.Length {
	if u != measure.Inches || l%(measure.Inch/8) == 0 {
		return l
	}
	parts := 4.
	if l >= 20*measure.Inch {
		parts = 2
	}
	return measure.Of(math.Round(l.In(u)*parts)/parts, u)
}

// sizeError tells in words what is wrong with the name of a size or a table.
func sizeError(err error) error {
	var unknown *sizing.NameError
	if errors.As(err, &unknown) {
		return words.Say("there is no “%s”; there are %s", unknown.Name, strings.Join(unknown.Known, ", "))
	}
	return err
}

// tableRange is a range of a table without its unit: "91.5–96.5".
func tableRange(r sizing.Range, u measure.Unit) string {
	low, high := bareLength(tableLength(r.Low, u), u), bareLength(tableLength(r.High, u), u)
	if low == high {
		return low
	}
	return low + "–" + high
}
