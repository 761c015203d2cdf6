package commands

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// alongPattern is what a group is to make: the rows of one size at the
// pattern's own gauge, by which the milestones are proposed.
type alongPattern struct {
	name, version string
	pinned        Pinned
	garment       *pattern.Pattern // nil: written rows
	written       []string         // the names of their sizes
	cautions      []reply.Block
}

// alongPatternOption names a pattern that every member can have.
func alongPatternOption(s Services) *Opt[wantedPattern] {
	return Value("pattern", "What is made: one at hand, or one that this server keeps", "cardigan", readWanted).Require().
		Suggest(func(ctx context.Context, r Request, typed string) []Choice {
			return slices.DeleteFunc(suggestWanted(s)(ctx, r, typed), func(c Choice) bool { return c.Value == justChecked })
		})
}

// alongPatternOf finds the pattern that a line names, and works it.
func alongPatternOf(ctx context.Context, s Services, r Request, named *Opt[wantedPattern]) (alongPattern, error) {
	if strings.EqualFold(named.Of(r).named, justChecked) {
		return alongPattern{}, &Mistake{Option: named.spec.Name, Message: "nobody else has the text that you checked; keep it on the server first, where everyone can have it, with who wrote it and how it may be shared", Example: "/pattern add"}
	}
	p, t, err := resizeOptions{services: s, pattern: named}.wanted(ctx, r)
	if err != nil {
		return alongPattern{}, err
	}
	out := alongPattern{garment: p, name: t.name}
	if p != nil {
		out.name = p.Name
	}
	if t.saved != nil {
		out.name, out.version = t.saved.Name, t.saved.Version
	}
	o := newStartOptions(s)
	base := r
	base.command = projectStart(s)
	if p != nil {
		if base.values, err = baseValues(p); err != nil {
			return out, err
		}
		out.pinned, _, err = o.pinGarment(ctx, base, p)
		out.cautions = patternCautions(r.Printer, p)
	} else {
		doc := notation.Parse(t.text, notation.Options{Terms: notation.DetectTerms(t.text).Terms})
		for i := range max(1, doc.SizeCount) {
			out.written = append(out.written, strconv.Itoa(i+1))
			if i < len(doc.Sizes) && doc.Sizes[i] != "" {
				out.written[i] = doc.Sizes[i]
			}
		}
		base.values = map[string]any{"size": out.written[len(out.written)/2]}
		out.pinned, out.cautions, err = o.pinRows(base, t)
	}
	return out, err
}

// usualHead is a grown-up's. Common practice, no source.
const usualHead = 56 * measure.Centimetre

// baseValues are the options by which a pattern is made in the middle one of
// its sizes, at its own gauge.
func baseValues(p *pattern.Pattern) (map[string]any, error) {
	values := map[string]any{"gauge": p.Gauge}
	switch {
	case len(p.Tables) == 0:
	case p.Tables[0] == "head": // a table of children; the group's heads are grown
		values["head"] = measure.Measured{Length: usualHead, Unit: measure.Centimetres}
	default:
		t, err := sizing.Named(p.Tables[0])
		if err != nil {
			return nil, fmt.Errorf("find table %s: %w", p.Tables[0], err)
		}
		values["size"] = t.Name + " " + t.Sizes[(len(t.Sizes)-1)/2].Name
	}
	return values, nil
}

// patternCautions are those of a pattern for whomever it may be made: a group
// makes it for many bodies, small ones among them.
func patternCautions(said words.Printer, p *pattern.Pattern) []reply.Block {
	list := slices.Clone(p.Cautions)
	if slices.Contains(p.For, "child") || slices.Contains(p.For, "infant") {
		list = append(list, p.Small...)
		if len(p.Tables) > 0 { // it is worn
			list = append(list, childCaution)
		}
	}
	var blocks []reply.Block
	for _, text := range list {
		blocks = append(blocks, reply.Caution{Text: said.Say(words.Key(text))})
	}
	return blocks
}

// seats are the sizes that testers are called for, as the pattern names them.
func (p alongPattern) seats(option *Opt[[]string], asked []string) ([]string, error) {
	var seats []string
	for _, name := range asked {
		seat, err := p.seat(option, name)
		if err != nil {
			return nil, err
		}
		if slices.Contains(seats, seat) {
			return nil, &Mistake{Option: option.spec.Name, Message: "%s is named twice; each size has one tester", Args: []any{seat}, Example: option.spec.Name + ":" + quoted(strings.Join(seats, ", "))}
		}
		seats = append(seats, seat)
	}
	return seats, nil
}

func (p alongPattern) seat(option *Opt[[]string], name string) (string, error) {
	wrong := func(all []string) error {
		return &Mistake{Option: option.spec.Name, Message: "%s has no size “%s”; it has %s", Args: []any{words.Key(p.pinned.Title), clip(name, 30), listed(all, 30)}, Example: option.spec.Name + ":" + quoted(strings.Join(all[:min(2, len(all))], ", "))}
	}
	all := p.sizes()
	if len(all) == 0 {
		return "", &Mistake{Option: option.spec.Name, Message: "%s has no sizes of its own; leave sizes out, and whoever likes can test it", Args: []any{words.Key(p.pinned.Title)}, Example: "kind:tester call"}
	}
	if seat, ok := seatNamed(all, name); ok {
		return seat, nil
	}
	alike := slices.DeleteFunc(slices.Clone(all), func(s string) bool {
		return !strings.HasSuffix(strings.ToLower(s), " "+strings.ToLower(name))
	})
	if len(alike) > 1 {
		return "", &Mistake{Option: option.spec.Name, Message: "“%s” can be %s; say which", Args: []any{name, listed(alike, 9)}, Example: option.spec.Name + ":" + quoted(alike[0])}
	}
	return "", wrong(all)
}

// sizes are all sizes that the pattern is made in.
func (p alongPattern) sizes() []string {
	switch {
	case p.garment == nil && len(p.written) > 1:
		return p.written
	case p.garment == nil:
		return nil
	}
	var all []string
	for _, name := range p.garment.Tables {
		t, err := sizing.Named(name)
		if err != nil {
			continue
		}
		for _, size := range t.Sizes {
			all = append(all, t.Name+" "+size.Name)
		}
	}
	return all
}
