package commands

import (
	"context"
	"maps"
	"regexp"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// wanting reports whether she is new and has said nothing: then she is asked.
func (j *entrant) wanting() bool {
	return !j.again && !j.wants() && !j.project.Given(j.r) && !j.named.Given(j.r) && !j.pings.Given(j.r)
}

// form asks for what a new member may want to say.
func (j *entrant) form(ctx context.Context) (reply.Reply, error) {
	fields, err := j.blanks(ctx)
	if err != nil {
		return reply.Reply{}, err
	}
	fields = append(fields,
		reply.Blank{Option: "gauge", Label: j.r.Say("Your gauge; empty: your newest swatch"), Hint: j.r.Say("14x10, which is stitches x rows in 10 cm"), Most: 40},
		reply.Blank{Option: "named", Label: j.r.Say("Be named on the board? yes or no"), Hint: j.r.Say("no: you are counted, not named"), Most: 5},
		reply.Blank{Option: "pings", Label: j.r.Say("Be pinged, once a week at most? yes or no"), Hint: j.r.Say("no"), Most: 5})
	return reply.Reply{Title: j.r.Say("Join %s", j.m.Name), Private: true, Form: &reply.Form{
		Title: clip(j.r.Say("Join %s", j.m.Name), 45), Line: j.m.line("makealong join", nil), Fields: fields,
	}}, nil
}

// blanks are the fields that say for whom it is made.
func (j *entrant) blanks(ctx context.Context) ([]reply.Blank, error) {
	if c := j.m.Course; c.Tester && len(c.Sizes) > 0 {
		free, err := j.free(ctx)
		if err != nil {
			return nil, err
		}
		if len(free) == 0 {
			return nil, j.noneFree()
		}
		return []reply.Blank{{Option: "size", Label: j.r.Say("The size that you make"), Hint: clip(j.r.Say("free: %s", listed(free, 8)), 100), Required: true, Most: 40}}, nil
	}
	p, sizes, err := j.pattern(ctx)
	switch {
	case err != nil:
		return nil, err
	case len(sizes) > 1:
		return []reply.Blank{{Option: "size", Label: j.r.Say("Which size"), Hint: clip(strings.Join(sizes, ", "), 100), Required: true, Most: 40}}, nil
	case p == nil:
		return nil, nil
	case len(p.Tables) == 0:
		var fields []reply.Blank
		for _, ask := range p.Asks {
			if ask.Name == "width" || ask.Name == "length" {
				fields = append(fields, reply.Blank{Option: ask.Name, Label: j.r.Say("%s; empty: the pattern's own", upperFirst(j.r.Say(words.Key(ask.Name)))), Hint: "90 cm", Most: 40})
			}
		}
		return fields, nil
	}
	key := bodyKey(p)
	return []reply.Blank{
		{Option: "size", Label: j.r.Say("Your size; or leave it empty and measure"), Hint: "woman M, man L, child 8", Most: 40},
		{Option: optionOf(key), Label: clip(j.r.Say("Or your %s as measured", words.Key(key)), 45), Hint: exampleOf(key), Most: 40},
	}, nil
}

// bodyKey is the measure that says most about whom a pattern is made for: that
// of its table where it reads it, else the first that it reads.
func bodyKey(p *pattern.Pattern) sizing.Measure {
	key := sizing.Chest
	if t, err := sizing.Named(p.Tables[0]); err == nil {
		key = t.Key
	}
	if p.Reads(string(key)) {
		return key
	}
	for _, b := range resizeBody {
		if p.Reads(string(b.measure)) {
			return b.measure
		}
	}
	return key
}

// pattern is what the make-along makes: a pattern with dimensions, or the sizes
// of written rows.
func (j *entrant) pattern(ctx context.Context) (*pattern.Pattern, []string, error) {
	if p, ok := pattern.Find(j.m.Course.Pattern); ok {
		return p, nil, nil
	}
	t, err := findKept(ctx, j.services, j.r, "pattern", j.m.Course.Pattern, j.m.Course.Version)
	if err != nil {
		return nil, nil, err
	}
	if t.file {
		p, err := pattern.Read(t.name, []byte(t.text))
		if err != nil {
			return nil, nil, fileMistake(t, err)
		}
		return p, nil, nil
	}
	doc := notation.Parse(t.text, notation.Options{Terms: notation.DetectTerms(t.text).Terms})
	return nil, doc.Sizes, nil
}

// fromMade reads what a size was made for, as it is kept: "size woman M with
// chest 104 cm, ease +5 cm".
var fromMade = regexp.MustCompile(`^(?:size (.+?))?(?:(?: with |^)(.+))?$`)

// remember takes up, for a new project of who is in it already, what she said
// before and leaves out now: her size and measures where she tells another
// gauge, her gauge where she tells another size.
func (j *entrant) remember() {
	if !j.again || !j.wants() || j.m.Course.Tester {
		return
	}
	values := maps.Clone(j.r.values)
	keep := func(o interface {
		Option
		Given(Request) bool
	}, text string) {
		if v, err := o.read(Input{Text: text}, j.r.Settings); err == nil && !o.Given(j.r) {
			values[o.Spec().Name] = v
		}
	}
	if g, err := gauge.Parse(j.part.Gauge); err == nil && !j.gauge.Given(j.r) && !j.swatch.Given(j.r) {
		values["gauge"] = g
	}
	if !j.saysBody() {
		kept := fromMade.FindStringSubmatch(j.part.Size)
		if kept[1] != "" {
			keep(j.size, kept[1])
		}
		for _, one := range strings.Split(kept[2], ", ") {
			for _, b := range j.body {
				if rest, ok := strings.CutPrefix(one, string(b.measure)+" "); ok {
					keep(b.Opt, rest)
				}
			}
			for name, o := range map[string]interface {
				Option
				Given(Request) bool
			}{"width": j.width, "length": j.length, "ease": j.ease} {
				if rest, ok := strings.CutPrefix(one, name+" "); ok {
					keep(o, rest)
				}
			}
		}
	}
	j.r.values = values
}

// saysBody reports whether she says for whom it is made.
func (j *entrant) saysBody() bool {
	for _, b := range j.body {
		if b.Given(j.r) {
			return true
		}
	}
	return j.size.Given(j.r) || j.width.Given(j.r) || j.length.Given(j.r)
}
