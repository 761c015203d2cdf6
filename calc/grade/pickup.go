package grade

import (
	"math"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
)

// stretch is a part of a picked-up edge: stitches worked one by one, or a
// corner.
type stretch struct {
	pattern.Pick
	along side
	n     int             // stitches
	what  notation.Target // where they go
}

// stretches are the parts of a picked-up edge in working order. A corner is
// worked into the end stitch of the stitch edge beside it.
func (w *writer) stretches(s *slot) []stretch {
	var all []stretch
	for _, p := range s.Pick {
		st := stretch{Pick: p, n: p.Corner}
		if p.Corner == 0 {
			st.along = w.side(p.Edge)
			st.n = w.value[w.picked(s.base, p.Edge)]
			if w.own(s) && st.along.slot != nil && st.along.slot.First == pattern.OnChain && p.Edge.Side == pattern.Bottom {
				st.what = notation.ChainStitch // on the other side of the foundation
			}
		}
		all = append(all, st)
	}
	for i := range all {
		if all[i].Corner > 0 || !all[i].along.stitches {
			continue
		}
		for _, beside := range []int{i - 1, i + 1} {
			if beside >= 0 && beside < len(all) && all[beside].Corner > 0 {
				all[i].n--
				all[beside].what = all[i].what
			}
		}
	}
	return all
}

// pickup is a row picked up along edges.
func (w *writer) pickup(s *slot) []notation.Step {
	m := s.maker()
	steps := []notation.Step{&notation.Remark{Text: "with RS facing"}}
	if !w.own(s) {
		steps = append(steps, &notation.Attach{})
	}
	steps = append(steps, m.chain())
	all := w.stretches(s)
	for i, st := range all {
		if said := i > 0 && all[i-1].Corner > 0 && st.Corner == 0 && st.along.stitches; !said {
			if st.Corner > 0 && i+1 < len(all) && all[i+1].along.stitches {
				steps = append(steps, w.words(s, all[i+1])) // the corner is the edge's first stitch
			} else if st.Corner == 0 {
				steps = append(steps, w.words(s, st))
			}
		}
		switch {
		case st.Corner > 0:
			steps = append(steps, &notation.Stitches{Name: m.id, Each: number(st.Corner), Into: notation.Place{What: st.what}})
		case st.along.stitches:
			steps = append(steps, &notation.Stitches{Name: m.id, Into: notation.Place{Many: number(st.n), What: st.what}})
		default:
			steps = append(steps, m.along(spread(st.n, w.value[st.along.count]))...)
		}
	}
	return steps
}

// own reports whether a section is picked up along its own piece, where the
// yarn is.
func (w *writer) own(s *slot) bool {
	for _, p := range s.Pick {
		if p.Corner == 0 {
			return p.Edge.Piece == s.piece.Name
		}
	}
	return false
}

// words say along what edge the next stitches are worked.
func (w *writer) words(s *slot, st stretch) notation.Step {
	text := "working evenly along the " + lowerFirst(w.called(st.Edge.Piece, st.Edge.Section))
	if left, ok := w.leftByYoke(st.Edge.Piece, st.Edge.Section); ok {
		return &notation.Remark{Text: "working evenly along " + lowerFirst(left)}
	}
	if w.own(s) {
		text = map[pattern.Side]string{pattern.Top: "working along the top edge", pattern.Bottom: "(other side of the foundation)",
			pattern.LeftSide: "working evenly down the left side", pattern.RightSide: "working evenly up the right side"}[st.Edge.Side]
	}
	return &notation.Remark{Text: text}
}

// spread is how many of n stitches go into each of so many row ends: a short
// rule as often as it goes, and what is left spread over the rest.
func spread(n, places int) []cycle[int] {
	const longest = 8 // places in a rule that is easily kept in mind
	rate := float64(n) / float64(places)
	even := func(n, places int) []int { return spacing.Pickup{Stitches: n, Over: places}.Spread() }
	for _, loose := range []float64{0, 1.5} { // what is left at the rule's own rate, or nearly
		for every := 1; every <= longest; every++ {
			pick := int(math.Round(rate * float64(every)))
			for times := places / every; times > places/every-2 && times > 0; times-- {
				rest, stitches := places-times*every, n-times*pick
				least, most := math.Floor(rate*float64(rest))-loose, math.Ceil(rate*float64(rest))+loose
				if float64(stitches) < max(least, 0) || float64(stitches) > most || rest == 0 && stitches != 0 {
					continue
				}
				rule := []cycle[int]{{even(pick, every), times}}
				if rest > 0 {
					rule = append(rule, cycle[int]{even(stitches, rest), 1})
				}
				return rule
			}
		}
	}
	return []cycle[int]{{even(n, places), 1}}
}

// corners is a later round that turns each corner with three stitches in its
// middle one.
func (w *writer) corners(s *slot, round int) ([]notation.Step, int) {
	m := s.maker()
	steps := []notation.Step{m.chain()}
	plain, total := 0, 0
	for _, st := range w.stretches(s) {
		if st.Corner == 0 {
			plain += st.n
			continue
		}
		// each round since has added one stitch on either side of the middle
		before := (st.Corner-1)/2 + round - 1
		steps = append(steps, m.work(1, plain+before), m.work(3, 1))
		total += plain + before + 3
		plain = st.Corner - 1 - (st.Corner-1)/2 + round - 1
	}
	if plain > 0 {
		steps = append(steps, m.work(1, plain))
	}
	return steps, total + plain
}
