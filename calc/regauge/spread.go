package regauge

import (
	"slices"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/spacing"
)

// spreadable says whether the shaping of a block lies within plain rows of one
// stitch, so that it can be spread evenly in any number.
func (b *block) spreadable() bool {
	if b.edge != fabric.Spread || abs(b.each) < 2 {
		return false
	}
	for _, i := range b.shaped {
		c := b.rows[i].count
		for _, t := range c.By {
			if main := c.Main(); t.ID != main && t.ID != main+"2tog" && t.ID != "invdec" {
				return false
			}
		}
		plain := true
		notation.Walk(b.rows[i].of.Steps, func(s notation.Step) bool {
			if g, ok := s.(*notation.Group); ok && g.Into != nil {
				plain = false
			}
			return plain
		})
		if !plain {
			return false
		}
	}
	return true
}

// spread writes a row with its shaping spread evenly, begun and ended as the
// pattern's own.
func (m *maker) spread(r *row, base, by int) ([]notation.Step, bool) {
	kind, change := spacing.Row, spacing.Increase
	if r.kind == notation.Round {
		kind = spacing.Round
	}
	if by < 0 {
		change = spacing.Decrease
	}
	plan, err := spacing.Shape(base, abs(by), kind, change)
	if err != nil {
		return nil, false
	}
	id := r.count.Main()
	var body []notation.Step
	plain := func(n int) {
		if n > 0 {
			body = append(body, &notation.Stitches{Name: id, Each: notation.N(1), Into: notation.Place{Many: notation.N(n)}})
		}
	}
	at := 0
	for _, place := range plan.Positions {
		plain(place - 1 - at)
		if by > 0 {
			body = append(body, &notation.Stitches{Name: id, Each: notation.N(2), Into: notation.Place{Many: notation.N(1)}})
			at = place
		} else {
			body = append(body, &notation.Stitches{Name: id + "2tog", Each: notation.N(1), Into: notation.Place{Many: notation.N(1)}})
			at = place + 1
		}
	}
	plain(base - at)
	steps := frame(r.of.Steps, gathered(body))
	return steps, m.trial(steps, r.kind, base, base+by)
}

// frame puts stitches between what begins and what ends a row.
func frame(steps, body []notation.Step) []notation.Step {
	var before, after []notation.Step
	inside := false
	for _, s := range steps {
		switch s.(type) {
		case *notation.Stitches, *notation.Group, *notation.Skip:
			inside, after = true, nil
			continue
		}
		if inside {
			after = append(after, s)
		} else {
			before = append(before, s)
		}
	}
	return slices.Concat(before, body, after)
}

// gathered draws equal pairs of a run and a shaped stitch together into a
// repeat.
func gathered(steps []notation.Step) []notation.Step {
	var out []notation.Step
	for i := 0; i < len(steps); {
		n := 1
		for i+2*n+1 < len(steps) && same(steps[i], steps[i+2*n]) && same(steps[i+1], steps[i+2*n+1]) {
			n++
		}
		if n < 2 {
			out = append(out, steps[i])
			i++
			continue
		}
		out = append(out, &notation.Group{Steps: steps[i : i+2], Mark: notation.Square, Times: notation.Times{N: notation.N(n)}})
		i += 2 * n
	}
	return out
}

func same(a, b notation.Step) bool {
	return notation.PrintStep(a, notation.PrintOptions{}) == notation.PrintStep(b, notation.PrintOptions{})
}
