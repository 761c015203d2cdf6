// Package grade makes a garment's counts fit a body and a gauge: dimensions
// become targets, all counts are rounded together so that they still fit each
// other, sections become written rows, and the rows are worked again to prove
// them.
package grade

import (
	"fmt"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// Order is what a garment is made to.
type Order struct {
	Body  sizing.Body // measures that the pattern reads; may be empty where it reads none
	Gauge gauge.Gauge
	Ease  *measure.Length           // nil: the pattern's own
	Asks  map[string]measure.Length // what the maker chose, by the ask's name; others take their default
	// Changes are alterations that the pattern offers, in the maker's order.
	Changes []Change
}

// Change is an alteration as ordered.
type Change struct {
	Name string  // of one of the pattern's changes
	By   float64 // mm or a number, added to what the change is about; 0 where it says itself what comes of it
}

// ChangeError says that an alteration can't be made.
type ChangeError struct {
	Name  string
	Known []string // what the pattern offers, where it does not know the name
}

func (e *ChangeError) Error() string {
	if len(e.Known) > 0 {
		return fmt.Sprintf("%q is no change that this pattern offers; it offers %s", e.Name, strings.Join(e.Known, ", "))
	}
	if e.Known != nil {
		return "this pattern offers no changes"
	}
	return fmt.Sprintf("%s: so much would leave nothing of it", e.Name)
}

// AskError says that a length the maker chose is outside what the pattern
// takes.
type AskError struct {
	Name      string
	Low, High measure.Length
}

func (e *AskError) Error() string {
	return fmt.Sprintf("%s: this pattern takes %v to %v", e.Name, e.Low, e.High)
}

// lengths works out ease, what the maker chose and the pattern's measures.
func lengths(p *pattern.Pattern, o Order) (map[string]float64, error) {
	known := map[string]float64{}
	for m, l := range o.Body {
		known[pattern.Key(string(m))] = l.MM()
	}
	of := func(name string) (float64, bool) { v, ok := known[name]; return v, ok }
	if o.Ease != nil {
		known["ease"] = o.Ease.MM()
	} else if p.Ease.Said() {
		v, err := p.Ease.Value(of)
		if err != nil {
			return nil, err
		}
		known["ease"] = v
	}
	for _, a := range p.Asks {
		low, err := a.Low.Value(of)
		if err != nil {
			return nil, err
		}
		high, err := a.High.Value(of)
		if err != nil {
			return nil, err
		}
		v, err := a.Default.Value(of)
		if err != nil {
			return nil, err
		}
		if l, given := o.Asks[a.Name]; given {
			v = l.MM()
			if v < low || v > high {
				return nil, &AskError{a.Name, measure.FromMM(low), measure.FromMM(high)}
			}
		}
		known[pattern.Key(a.Name)] = v
	}
	for _, c := range o.Changes {
		if _, err := offered(p, c.Name); err != nil {
			return nil, err
		}
	}
	for _, m := range p.Measures {
		v, err := m.Is.Value(of)
		if err != nil && m.Else.Said() {
			v, err = m.Else.Value(of)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		known[pattern.Key(m.Name)] = v
		if err := alter(p, o, pattern.Key(m.Name), known); err != nil {
			return nil, err
		}
	}
	return known, nil
}

// offered finds an alteration among those of a pattern.
func offered(p *pattern.Pattern, name string) (pattern.Change, error) {
	e := &ChangeError{Name: name, Known: []string{}}
	for _, offer := range p.Changes {
		if pattern.Key(offer.Name) == pattern.Key(name) {
			return offer, nil
		}
		e.Known = append(e.Known, offer.Name)
	}
	return pattern.Change{}, e
}

// alter changes a measure as ordered.
func alter(p *pattern.Pattern, o Order, name string, known map[string]float64) error {
	for _, c := range o.Changes {
		offer, err := offered(p, c.Name)
		if err != nil {
			return err
		}
		if offer.Measure != name {
			continue
		}
		was := known[name]
		if offer.Is.Said() {
			v, err := offer.Is.Value(func(n string) (float64, bool) { v, ok := known[n]; return v, ok })
			if err != nil {
				return fmt.Errorf("%s: %w", c.Name, err)
			}
			known[name] = v
		}
		known[name] += c.By * offer.Part
		if known[name] <= 0 && was > 0 {
			return &ChangeError{Name: c.Name}
		}
	}
	return nil
}

// Make makes a pattern to an order: it works out what each dimension should
// be, rounds all counts together, writes the rows and works them to prove that
// they come to what is claimed. Errors of the order are *AskError,
// *pattern.FormulaError (a measure is missing) and *gauge.RangeError; a
// *ClashError says that the pattern's rules can't all hold at this size. Any
// other error, such as a *ProofError, is a fault of the pattern or of this
// package.
func Make(p *pattern.Pattern, o Order) (*Garment, error) {
	if err := o.Gauge.Check(); err != nil {
		return nil, err
	}
	known, err := lengths(p, o)
	if err != nil {
		return nil, err
	}
	pl, err := newPlan(p, o.Gauge, known)
	if err != nil {
		return nil, err
	}
	if err := (plans{pl}).solve(); err != nil {
		return nil, err
	}
	return pl.garment(o)
}

// Run makes a pattern in several sizes at once, smallest first: a count that is
// drawn to as much or more in the next size is no smaller there. Errors are
// those of Make.
func Run(p *pattern.Pattern, orders []Order) ([]*Garment, error) {
	var run plans
	for _, o := range orders {
		if err := o.Gauge.Check(); err != nil {
			return nil, err
		}
		known, err := lengths(p, o)
		if err != nil {
			return nil, err
		}
		pl, err := newPlan(p, o.Gauge, known)
		if err != nil {
			return nil, err
		}
		run = append(run, pl)
	}
	if len(run) == 0 {
		return nil, nil
	}
	if err := run.solve(); err != nil {
		return nil, err
	}
	made := make([]*Garment, len(run))
	for i, pl := range run {
		var err error
		if made[i], err = pl.garment(orders[i]); err != nil {
			return nil, err
		}
	}
	return made, nil
}

// garment writes a solved plan out and proves it.
func (pl *plan) garment(o Order) (*Garment, error) {
	p := pl.pattern
	g := &Garment{Pattern: p, Order: o, Ease: pl.lengths["ease"], Written: &notation.Document{Terms: notation.US, SizeCount: 1}, plan: pl}
	for i := range p.Pieces {
		w, err := pl.write(&p.Pieces[i])
		if err != nil {
			return nil, err
		}
		g.Pieces = append(g.Pieces, Piece{Name: w.piece.Name, Make: w.piece.Make, Sections: w.sections, Rows: w.rows, Outline: pl.outline(w.piece)})
		g.Written.Parts = append(g.Written.Parts, w.parts...)
		if w.buttons != nil {
			g.Buttons = w.buttons
		}
	}
	g.measure()
	return g, g.prove()
}
