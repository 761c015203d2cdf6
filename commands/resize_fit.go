package commands

import (
	"errors"
	"fmt"
	"strings"

	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/commands/words"
)

// fitted is the body that a garment is made to.
type fitted struct {
	body     sizing.Body
	table    *sizing.Table // nil: not made to a body
	size     string        // the standard size asked for; empty: own measures
	given    []sizing.Measure
	assumed  []sizing.Measure
	between  [2]string
	beyond   bool
	adjusted bool // neck to wrist follows the arm length given
}

// fit finds the body: a standard size, own measures, or both.
func (o resizeOptions) fit(r Request, p *pattern.Pattern) (fitted, error) {
	given := sizing.Body{}
	f := fitted{}
	for _, b := range o.body {
		if b.Given(r) {
			given[b.measure] = said(b.Of(r), o.usual, r.Settings.Units)
			f.given = append(f.given, b.measure)
		}
	}
	if len(p.Tables) == 0 {
		if o.size.Given(r) {
			return f, &Mistake{Option: "size", Message: "%s has no sizes; say its width and length", Args: []any{p.Name}, Example: "width:90 cm length:120 cm"}
		}
		return f, nil
	}
	if !o.size.Given(r) && len(given) == 0 {
		key, example := words.Key("chest"), "chest:107 cm"
		if p.Tables[0] == "head" {
			key, example = "head", "head:56 cm"
		}
		return f, Mistaken("/resize pattern:"+p.Name+" "+example, "whom is it for? Say a size (size:woman M) or the %s (%s)", key, example)
	}
	c, err := o.complete(r, p, &f, given)
	if err != nil {
		return f, err
	}
	f.body, f.table, f.assumed, f.between, f.beyond = c.Body, c.Table, c.Assumed, c.Between, c.Beyond != 0
	f.followArm(given, c)
	return f, nil
}

// complete fills a body in from the table of the size asked for, or from the
// one of the pattern's tables that suits it best.
func (o resizeOptions) complete(r Request, p *pattern.Pattern, f *fitted, given sizing.Body) (sizing.Completed, error) {
	if o.size.Given(r) {
		sized, err := sizeNamed(o.size, o.size.Of(r))
		if err != nil && p.Tables[0] == "head" {
			sized, err = headSize(o.size.Of(r))
		}
		if err != nil {
			return sizing.Completed{}, err
		}
		if !contains(p.Tables, sized.Table.Name) {
			return sizing.Completed{}, o.size.Blame(words.Say("%s is not graded for %s; it is for %s", p.Name, sized.Table.Name, strings.Join(p.Tables, ", ")))
		}
		f.size = sized.Table.Name + " " + sized.Size.Name
		c, err := sized.Table.Of(sized.Size.Name, given)
		return c, bodyMistake(err)
	}
	var tables []*sizing.Table
	for _, name := range p.Tables {
		t, err := sizing.Named(name)
		if err != nil {
			return sizing.Completed{}, fmt.Errorf("find table %s: %w", name, err)
		}
		tables = append(tables, t)
	}
	fits, err := sizing.Find(given, tables...)
	if err != nil {
		return sizing.Completed{}, bodyMistake(err)
	}
	for i := len(fits) - 1; i >= 0; i-- { // the best fit first
		tables = append([]*sizing.Table{fits[i].Table}, tables...)
	}
	var first error
	for _, t := range tables {
		c, err := t.Complete(given)
		if err == nil {
			return c, nil
		}
		if first == nil {
			first = err
		}
	}
	return sizing.Completed{}, bodyMistake(first)
}

func headSize(name string) (sizing.Sized, error) {
	t, err := sizing.Named("head")
	if err != nil {
		return sizing.Sized{}, err
	}
	name = strings.TrimSpace(strings.TrimPrefix(strings.ToLower(name), "head"))
	size, err := t.Size(name)
	if err != nil {
		return sizing.Sized{}, &Mistake{Option: "size", Message: "%s", Args: []any{err}, Example: "size:woman M"}
	}
	return sizing.Sized{Table: t, Size: size}, nil
}

func contains(list []string, s string) bool {
	for _, l := range list {
		if l == s {
			return true
		}
	}
	return false
}

// bodyMistake says what a body lacks.
func bodyMistake(err error) error {
	var outside *sizing.OutsideError
	var need *sizing.NeedError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &outside):
		return &Mistake{Option: optionOf(outside.Measure), Message: "%v is further from any size than I can read the other measures off; it takes %v to %v here", Args: []any{outside.Length, outside.Low, outside.High},
			Example: optionOf(outside.Measure) + ":" + exampleOf(outside.Measure)}
	case errors.As(err, &need):
		return Mistaken("/resize pattern:cardigan chest:107 cm", "the %s is needed: the other measures are read off by it", words.Key(need.Table.Key))
	}
	return Mistaken("/resize pattern:cardigan chest:107 cm", "%s", err)
}

// optionOf is the name of the option for a measure.
func optionOf(m sizing.Measure) string {
	for _, b := range resizeBody {
		if b.measure == m {
			return b.name
		}
	}
	return string(m)
}

// followArm lengthens neck to wrist by as much as a given arm is longer than
// the table's, where the member has not measured that herself.
func (f *fitted) followArm(given sizing.Body, c sizing.Completed) {
	arm, hasArm := given[sizing.ArmLength]
	_, hasReach := given[sizing.CentreBack]
	reach, known := f.body[sizing.CentreBack]
	if !hasArm || hasReach || !known {
		return
	}
	without := sizing.Body{}
	for m, l := range f.body {
		if m != sizing.ArmLength {
			without[m] = l
		}
	}
	usual, err := c.Table.Complete(without)
	if err != nil {
		return
	}
	body := sizing.Body{}
	for m, l := range f.body {
		body[m] = l
	}
	body[sizing.CentreBack] = reach + arm - usual.Body[sizing.ArmLength]
	f.body, f.adjusted = body, true
}
