package commands

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/commands/words"
)

// mostChange is how much a measure may be changed by. Common practice, no
// source.
const mostChange = 60 * measure.Centimetre

// changeOption is the option for alterations: "length +5 cm, cropped".
func (o resizeOptions) changeOption() *Opt[string] {
	return Words("change", "Alterations, such as: length +5 cm, sleeve width +3 cm, cropped, buttons -2", 200).Like(`"length +5 cm"`).
		Suggest(func(_ context.Context, r Request, typed string) []Choice {
			want := o.pattern.Of(r)
			if want.Pattern == nil {
				return nil
			}
			before, last := "", typed
			if i := strings.LastIndexByte(typed, ','); i >= 0 {
				before, last = strings.TrimSpace(typed[:i])+", ", typed[i+1:]
			}
			var offers []Choice
			for _, c := range want.Changes {
				text := changeExample(c)
				if strings.Contains(text, strings.ToLower(strings.TrimSpace(last))) && len(before+text) <= 100 {
					offers = append(offers, Choice{Label: before + text, Value: before + text})
				}
			}
			return offers
		})
}

// changeExample shows how an alteration is written.
func changeExample(c pattern.Change) string {
	switch {
	case c.Is.Said():
		return c.Name
	case c.Unit == pattern.Plain:
		return c.Name + " +2"
	}
	return c.Name + " +5 cm"
}

// readChanges reads alterations, separated by commas.
func (o resizeOptions) readChanges(r Request, p *pattern.Pattern) ([]grade.Change, error) {
	if !o.change.Given(r) {
		return nil, nil
	}
	var list []grade.Change
	for _, text := range strings.Split(o.change.Of(r), ",") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		c, err := readChange(text, p, r.Settings.Units)
		if err != nil {
			return nil, o.changeMistake(p, err)
		}
		list = append(list, c)
	}
	return list, nil
}

// readChange reads one alteration: its name, then by how much.
func readChange(text string, p *pattern.Pattern, units measure.Unit) (grade.Change, error) {
	name, by := text, ""
	if i := strings.IndexFunc(text, func(r rune) bool { return unicode.IsDigit(r) || strings.ContainsRune("+-−–", r) }); i >= 0 {
		name, by = strings.TrimSpace(text[:i]), text[i:]
	}
	for _, c := range p.Changes {
		if pattern.Key(c.Name) != pattern.Key(name) {
			continue
		}
		switch {
		case c.Is.Said() && by != "":
			return grade.Change{}, words.Say("%s takes no figure", c.Name)
		case c.Is.Said():
			return grade.Change{Name: c.Name}, nil
		case by == "":
			return grade.Change{}, words.Say("say by how much: %s", changeExample(c))
		case c.Unit == pattern.Plain:
			n, err := strconv.Atoi(strings.NewReplacer("+", "", "−", "-", "–", "-", " ", "").Replace(by))
			if err != nil || n < -100 || n > 100 {
				return grade.Change{}, words.Say("%q is no whole number from -100 to 100: %s", by, changeExample(c))
			}
			return grade.Change{Name: c.Name, By: float64(n)}, nil
		}
		m, err := measure.ParseSigned(by, units)
		if err != nil {
			return grade.Change{}, err
		}
		if m.Length.Abs() > mostChange {
			return grade.Change{}, words.Say("%s is more than can be changed: up to %s", m.Length.Text(units), mostChange.Text(units))
		}
		return grade.Change{Name: c.Name, By: m.Length.MM()}, nil
	}
	return grade.Change{Name: name}, nil // what the pattern offers is said by the package that knows
}

// changeMistake blames the option, with an alteration that works.
func (o resizeOptions) changeMistake(p *pattern.Pattern, err error) error {
	m := &Mistake{Option: o.change.spec.Name, Message: "%s", Args: []any{err}}
	var unknown *grade.ChangeError
	if errors.As(err, &unknown) && len(unknown.Known) > 0 {
		if near := nearest(strings.ToLower(unknown.Name), unknown.Known); near != "" {
			m.say("%s offers no change “%s”; did you mean %s? It offers %s", p.Name, clip(unknown.Name, 40), near, strings.Join(unknown.Known, ", "))
		}
	}
	if len(p.Changes) > 0 {
		m.Example = fmt.Sprintf("change:%q", changeExample(p.Changes[0]))
	}
	return m
}

// changesText says what was altered.
func changesText(say words.Printer, list []grade.Change, p *pattern.Pattern, units measure.Unit) string {
	var said []string
	for _, c := range list {
		text := named(say, c.Name)
		for _, offer := range p.Changes {
			switch {
			case offer.Name != c.Name || offer.Is.Said():
			case offer.Unit == pattern.Plain:
				text = say.Say("%s %+.0f", text, c.By)
			default:
				text = say.Say("%s %s", text, measure.FromMM(c.By).Signed(units))
			}
		}
		said = append(said, text)
	}
	return strings.Join(said, ", ")
}
