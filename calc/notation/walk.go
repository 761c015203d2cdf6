package notation

import "slices"

// Walk calls visit for every step below the given ones, outer steps first. It
// does not go into a group for which visit returns false.
func Walk(steps []Step, visit func(Step) bool) {
	for _, s := range steps {
		if !visit(s) {
			continue
		}
		if g, ok := s.(*Group); ok {
			Walk(g.Steps, visit)
		}
	}
}

// Rows calls visit for each row of a document, in reading order.
func (d *Document) Rows(visit func(*Part, *Row)) {
	for i := range d.Parts {
		for _, l := range d.Parts[i].Lines {
			if r, ok := l.(*Row); ok {
				visit(&d.Parts[i], r)
			}
		}
	}
}

// cloneSteps copies steps and all below them.
func cloneSteps(steps []Step) []Step {
	out := make([]Step, len(steps))
	for i, s := range steps {
		out[i] = cloneStep(s)
	}
	return out
}

func cloneStep(s Step) Step {
	switch s := s.(type) {
	case *Stitches:
		c := *s
		c.Each, c.Into = slices.Clone(s.Each), s.Into.clone()
		return &c
	case *Chain:
		c := *s
		c.Many = slices.Clone(s.Many)
		return &c
	case *Skip:
		c := *s
		c.Many = slices.Clone(s.Many)
		return &c
	case *Group:
		c := *s
		c.Steps = cloneSteps(s.Steps)
		c.Times.N, c.Times.Left = slices.Clone(s.Times.N), slices.Clone(s.Times.Left)
		if s.Into != nil {
			into := s.Into.clone()
			c.Into = &into
		}
		return &c
	case *Ring:
		c := *s
		return &c
	case *Join:
		c := *s
		c.Into = s.Into.clone()
		return &c
	case *Attach:
		c := *s
		c.Into = s.Into.clone()
		return &c
	}
	return s // without parts that anyone changes
}

func (p Place) clone() Place {
	p.Many, p.Left = slices.Clone(p.Many), slices.Clone(p.Left)
	return p
}
