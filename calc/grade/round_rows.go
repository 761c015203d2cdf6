package grade

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
)

// join closes a round.
func join() notation.Step { return &notation.Join{Into: notation.Place{Choice: notation.First}} }

// disc is the rounds of a flat round: as many increases in each as keep it
// flat, and in the last one only as many as are still needed.
func (w *writer) disc(s *slot, first int) ([]made, error) {
	m := s.maker()
	n, total, rounds := 0, w.value[s.end], w.value[s.rows]
	var out []made
	for i := range rounds {
		next := min(s.disc*(i+1), total)
		r := made{number: first + i, round: true, count: next, form: fmt.Sprint("disc ", i)}
		if i == 0 {
			r.steps = []notation.Step{&notation.Ring{}, m.chain(),
				&notation.Stitches{Name: m.id, Each: number(next), Into: notation.Place{Choice: notation.Around, What: notation.RingCentre}}}
		} else {
			steps, err := m.spread(n, next-n, spacing.Round)
			if err != nil {
				return nil, err
			}
			r.steps = append([]notation.Step{m.chain()}, steps...)
		}
		r.steps = append(r.steps, join())
		out = append(out, r)
		n = next
	}
	return out, nil
}

// rounds is rounds without shaping, or with shaping spread around.
func (w *writer) rounds(s *slot, first int) ([]made, error) {
	m := s.maker()
	n, rounds := w.value[s.start], w.value[s.rows]
	change := w.value[s.end] - n
	var out []made
	for i := range rounds {
		r := made{number: first + i, round: true, form: "round"}
		next := n
		if s.Shape == pattern.Spread {
			next = w.value[s.start] + change*(i+1)/rounds
		}
		switch {
		case i == 0 && s.First == pattern.OnEdges:
			r.steps, r.form = w.pickup(s), "first"
		case s.Shape == pattern.Corners:
			r.steps, next = w.corners(s, i)
			r.form = fmt.Sprint("corners ", i)
		case next != n:
			steps, err := m.spread(n, next-n, spacing.Round)
			if err != nil {
				return nil, err
			}
			r.steps, r.form = append([]notation.Step{m.chain()}, steps...), fmt.Sprint("spread ", i)
		default:
			r.steps = append([]notation.Step{m.chain()}, m.across(0)...)
		}
		r.steps = append(r.steps, join())
		r.count, n = next, next
		out = append(out, r)
	}
	return out, nil
}
