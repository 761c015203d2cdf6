package grade

import (
	"errors"
	"math"
	"slices"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/spacing"
)

// holes puts buttonholes into the middle row of a section, along its first
// picked-up edges, and closes them in the row after.
func (w *writer) holes(s *slot, rows []made) error {
	number, err := w.length(s.name(), s.Holes.Number)
	if err != nil {
		return err
	}
	diameter, err := w.length(s.name(), s.Holes.Diameter)
	if err != nil {
		return err
	}
	stitches := 0
	for _, p := range s.Pick[:s.Holes.Along] {
		stitches += w.value[w.picked(s.base, p.Edge)]
	}
	band := spacing.Band{Stitches: stitches, Buttons: odd(number), Diameter: measure.FromMM(diameter),
		Gauge: gauge.Gauge{Stitches: 100 / s.w, Rows: 100 / s.h}}
	laid, err := spacing.Buttonholes(band)
	fewer := false
	var fit *spacing.FitError
	for errors.As(err, &fit) && band.Buttons > 1 {
		band.Buttons, fewer = max(min(fit.Most, band.Buttons-1), 1), true
		laid, err = spacing.Buttonholes(band)
	}
	if err != nil {
		return err
	}
	w.buttons = &Buttons{Number: len(laid.Holes), Diameter: diameter, Hole: laid.Hole, Fewer: fewer}
	at := (len(rows)+1)/2 - 1
	total := w.value[s.start]
	gaps := []int{laid.Before}
	gaps = append(append(gaps, laid.Gaps...), laid.After+total-stitches)
	if !rightSide(rows[at].number) {
		slices.Reverse(gaps)
	}
	m := s.maker()
	rows[at].steps = replaceWork(rows[at].steps, m.holeRow(gaps, laid.Hole, false))
	rows[at].form = "buttonholes"
	rows[at].holes, rows[at].hole = len(laid.Holes), laid.Hole
	rows[at].count -= len(laid.Holes) * laid.Hole
	gaps = slices.Clone(gaps)
	slices.Reverse(gaps)
	rows[at+1].steps = replaceWork(rows[at+1].steps, m.holeRow(gaps, laid.Hole, true))
	rows[at+1].form = "over buttonholes"
	return nil
}

// odd is the odd number nearest to one, at least 1: with an odd number of
// buttons one sits in the middle. Common practice, no source.
func odd(v float64) int { return max(2*int(math.Round((v-1)/2))+1, 1) }

// replaceWork keeps a row's turning chain and its end.
func replaceWork(steps, work []notation.Step) []notation.Step {
	out := append([]notation.Step{steps[0]}, work...)
	for _, s := range steps[1:] {
		switch s.(type) {
		case *notation.Turn, *notation.FastenOff:
			out = append(out, s)
		}
	}
	return out
}

// holeRow makes the holes between the gaps, or works over them.
func (m maker) holeRow(gaps []int, hole int, over bool) []notation.Step {
	gap := func(n int) []notation.Step {
		if n == 0 {
			return nil
		}
		return []notation.Step{m.work(1, n)}
	}
	one := func(n int) []notation.Step { // a hole and the stitches after it
		if over {
			return append([]notation.Step{&notation.Stitches{Name: m.id, Each: number(hole),
				Into: notation.Place{What: notation.ChainSpace, Size: hole}}}, gap(n)...)
		}
		return append([]notation.Step{&notation.Chain{Many: notation.N(hole)}, &notation.Skip{Many: number(hole)}}, gap(n)...)
	}
	steps := gap(gaps[0])
	for _, c := range cycles(gaps[1:]) {
		var once []notation.Step
		for _, n := range c.once {
			once = append(once, one(n)...)
		}
		steps = append(steps, repeated(once, c.times)...)
	}
	return steps
}
