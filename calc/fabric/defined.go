package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// defined works a stitch that the pattern itself explains.
func (mk *maker) defined(s *notation.Stitches, d *notation.Definition, after []notation.Step) {
	p := s.Into
	inSpot := mk.fixed != nil && (p.Unsaid || p.Choice == notation.Same)
	n := mk.count(p.Many)
	if !inSpot && (p.Choice == notation.EachTo || p.Choice == notation.Next && n > 1) {
		one := *s
		one.Into.Choice, one.Into.Many = notation.Next, nil
		g := &notation.Group{Span: s.Span, Steps: []notation.Step{&one}, Times: notation.Times{N: notation.N(n)}}
		if p.Choice == notation.EachTo {
			g.Times = notation.Times{To: max(p.To, notation.ToEnd), Left: p.Left}
		}
		mk.depth++
		n, keep := mk.times(g)
		mk.repeat(g, n, keep, after)
		mk.depth--
		return
	}
	for range mk.count(s.Each) {
		mk.oneDefined(s, d, inSpot)
	}
}

// oneDefined works one such stitch.
func (mk *maker) oneDefined(s *notation.Stitches, d *notation.Definition, inSpot bool) {
	mk.depth++
	defer func() { mk.depth-- }()
	if inSpot || moves(d.Steps) {
		mk.flush(1)
		mk.unit(s.Name, func() { mk.runInner(d.Steps) })
		return
	}
	g := &notation.Group{Span: s.Span, Steps: d.Steps, Mark: notation.Paren}
	if only, ok := d.Steps[0].(*notation.Group); ok && len(d.Steps) == 1 && only.Into != nil {
		g = &notation.Group{Span: s.Span, Steps: only.Steps, Mark: only.Mark, Times: only.Times}
	}
	f := &spot{into: s.Into.What}
	if !mk.reach(g, s.Into, f) {
		return
	}
	mk.flush(f.takes)
	mk.unit(s.Name, func() { mk.fill(g, f) })
}

// unit gives what is worked the name of a stitch of the pattern's own.
func (mk *maker) unit(name stitch.ID, work func()) {
	outer := mk.out
	mk.out = &builder{}
	work()
	outer.nameUnit(name, mk.out)
	mk.out = outer
}

// moves says whether steps go along the row by themselves, and not all into
// one place.
func moves(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Skip:
			return true
		case *notation.Stitches:
			if !s.Into.Unsaid && s.Into.Choice == notation.Next && s.Into.What != notation.ChainFromHook {
				return len(steps) > 1
			}
		case *notation.Group:
			if s.Into == nil && moves(s.Steps) {
				return true
			}
		}
	}
	return false
}

// nameUnit adds what one stitch of the pattern's own made, as a place that
// has its name.
func (b *builder) nameUnit(id stitch.ID, o *builder) {
	b.unit(id, 1)
	flat := o.top.flat()
	made := &builder{made: o.made, units: o.units}
	if flat == nil {
		made.top = o.top
	} else if len(flat) > 0 {
		b.top = b.top.add(block(flat, 1, id))
	}
	b.append(made, 1)
}
