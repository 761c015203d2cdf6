package grade

import (
	"fmt"
	"math"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
)

// join closes a round.
func join() notation.Step { return &notation.Join{Into: notation.Place{Choice: notation.First}} }

// sphere is the stitches of each round of a ball of so many rounds: round k of
// n - 1 lies at the angle πk/n from the pole.
func (s *slot) sphere(rounds int) []int {
	n := float64(rounds + 1)
	radius := n * s.h / math.Pi
	counts := make([]int, rounds)
	for i := range counts {
		at := float64(i + 1)
		counts[i] = max(int(math.Round(2*math.Pi*radius*math.Sin(math.Pi*at/n)/s.w)), 3)
	}
	return counts
}

// blunt is how much longer an egg is beyond its widest place than a ball: its
// pointed half is half an ellipsoid whose long axis is this many times its
// short one. Common practice, no source.
const blunt = 1.5

// egg is the stitches of each round of an egg of so many rounds, from its blunt
// pole, half a sphere, to its pointed one. The way from pole to pole over the
// surface is laid off in small steps of the ellipse's angle.
func (s *slot) egg(rounds int) []int {
	const parts = 2000
	arc := [parts + 1]float64{} // way from the widest place at each angle, for a radius of 1
	for i := 1; i <= parts; i++ {
		t := (float64(i) - 0.5) / parts * math.Pi / 2
		arc[i] = arc[i-1] + math.Hypot(math.Sin(t), blunt*math.Cos(t))*math.Pi/2/parts
	}
	radius := float64(rounds+1) * s.h / (math.Pi/2 + arc[parts])
	counts := make([]int, rounds)
	at := 0
	for i := range counts {
		way := float64(i+1) * s.h / radius
		wide := math.Sin(way)
		if way > math.Pi/2 {
			for at < parts && arc[at] < way-math.Pi/2 {
				at++
			}
			wide = math.Cos(float64(at) / parts * math.Pi / 2)
		}
		counts[i] = max(int(math.Round(2*math.Pi*radius*wide/s.w)), 3)
		if i > 0 { // decreases take two stitches each
			counts[i] = max(counts[i], (counts[i-1]+1)/2)
		}
	}
	return counts
}

// solid is the stitches of each round of a ball or an egg; nil: it is neither.
func (s *slot) solid(rounds int) []int {
	switch s.Shape {
	case pattern.Ball:
		return s.sphere(rounds)
	case pattern.Egg:
		return s.egg(rounds)
	}
	return nil
}

// profile is the stitches at the end of each round of a section.
func (w *writer) profile(s *slot) []int {
	start, end, rounds := w.value[s.start], w.value[s.end], w.value[s.rows]
	switch s.Shape {
	case pattern.Ball, pattern.Egg:
		return s.solid(rounds)
	case pattern.Raglan, pattern.BothEdges:
		return w.grown(s)
	}
	counts := make([]int, rounds)
	for i := range counts {
		switch s.Shape {
		case pattern.Disc:
			counts[i] = min(s.disc*(i+1), end)
		case pattern.Close:
			counts[i] = s.disc * (rounds - i)
		case pattern.Spread:
			counts[i] = start + (end-start)*(i+1)/rounds
		default:
			counts[i] = start
		}
	}
	return counts
}

// grown is the stitches after each round of a section that is shaped at edges.
func (w *writer) grown(s *slot) []int {
	counts := make([]int, w.value[s.rows])
	n := w.value[s.start]
	if s.Shape == pattern.Raglan {
		body, errBody := w.grows(s, s.panels.body)
		sleeve, errSleeve := w.grows(s, s.panels.sleeve)
		for i := range counts {
			if errBody == nil && errSleeve == nil {
				n += 4*body[i] + 4*sleeve[i]
			}
			counts[i] = n
		}
		return counts
	}
	changes, err := w.slope(s, 1, entrance{})
	for i := range counts {
		if err == nil {
			n += changes[i].right + changes[i].left
		}
		counts[i] = n
	}
	return counts
}

// rounds is the rows of a section worked in rounds.
func (w *writer) rounds(s *slot, first int) ([]made, error) {
	if s.Shape == pattern.Raglan {
		return w.yokeRounds(s, first)
	}
	m := s.maker()
	n := w.value[s.start]
	var out []made
	for i, next := range w.profile(s) {
		r := made{number: first + i, round: true, form: "round"}
		var steps []notation.Step
		switch {
		case i == 0 && s.First != pattern.OnStitches:
			steps, r.form = w.firstRound(s, next), "first"
		case s.Shape == pattern.Corners:
			steps, next = w.corners(s, i)
			r.form = fmt.Sprint("corners ", i)
		case next != n && s.Shape == pattern.BothEdges:
			steps = append([]notation.Step{m.chain()}, m.shaped((next-n)/2, (next-n)/2)...)
			r.form = fmt.Sprint("edges ", next-n)
		case next != n:
			var err error
			if steps, err = m.spread(n, next-n, spacing.Round); err != nil {
				return nil, err
			}
			steps, r.form = append([]notation.Step{m.chain()}, steps...), fmt.Sprint("from ", n, " to ", next)
		default:
			steps = append([]notation.Step{m.chain()}, m.across(0)...)
		}
		r.steps = append(steps, join())
		r.count, n = next, next
		out = append(out, r)
	}
	if s.Underarm.Said() {
		w.parted(s, w.slot(w.piece.Name, s.Of), out)
	}
	if s.Opening.Said() {
		return out, w.opened(s, out)
	}
	return out, nil
}

// firstRound begins a piece: at a ring, on a joined chain or along edges.
func (w *writer) firstRound(s *slot, n int) []notation.Step {
	m := s.maker()
	switch s.First {
	case pattern.OnRing:
		return []notation.Step{&notation.Ring{}, m.chain(),
			&notation.Stitches{Name: m.id, Each: number(n), Into: notation.Place{Choice: notation.Around, What: notation.RingCentre}}}
	case pattern.OnEdges:
		return w.pickup(s)
	}
	return []notation.Step{m.chain(), &notation.Stitches{Name: m.id, Into: notation.Place{Choice: notation.EachTo, What: notation.ChainStitch, To: notation.ToEnd}}}
}

// opened puts an opening into the first of the rounds, which the second
// closes. It lies at the beginning of the round.
func (w *writer) opened(s *slot, rounds []made) error {
	width, err := w.length(s.name(), s.Opening)
	if err != nil {
		return err
	}
	m, n := s.maker(), w.value[s.start]
	hole := s.opening(width, n)
	rounds[0].steps = append([]notation.Step{m.chain()}, append(m.holeRow([]int{1, n - 1 - hole}, hole, false), join())...)
	rounds[0].form, rounds[0].count, rounds[0].holes, rounds[0].hole = "opening", n-hole, 1, hole
	rounds[1].steps = append([]notation.Step{m.chain()}, append(m.holeRow([]int{1, n - 1 - hole}, hole, true), join())...)
	rounds[1].form = "over the opening"
	return nil
}

// opening is the stitches of an opening of a width in a round of n.
func (s *slot) opening(width float64, n int) int {
	return min(max(int(math.Round(width/s.w)), 2), n-2)
}
