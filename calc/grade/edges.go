package grade

import (
	"fmt"

	"countwright/calc/gauge"
	"countwright/calc/pattern"
	"math"
)

// side is an edge as counts: what one unit of it is worth, and whether it is
// stitches or row ends.
type side struct {
	count    int
	mm       float64
	stitches bool
	slot     *slot // nil for a rest
}

func (pl *plan) side(e pattern.Edge) side {
	if at, ok := pl.rests[e.Piece+"."+e.Section]; ok {
		return side{count: at, mm: pl.Counts[at].MM, stitches: true}
	}
	s := pl.slot(e.Piece, e.Section)
	across := e.Side == pattern.Bottom || e.Side == pattern.Top
	switch {
	case s.Worked == pattern.Sideways && across:
		return side{s.rows, s.h, false, s}
	case s.Worked == pattern.Sideways, e.Side == pattern.Bottom:
		return side{s.start, s.w, true, s}
	case e.Side == pattern.Top:
		return side{s.end, s.w, true, s}
	}
	return side{s.rows, s.h, false, s}
}

// pickups lays down the stitches of sections that are picked up along edges.
func (pl *plan) pickups() {
	for _, s := range pl.slots {
		if s.First != pattern.OnEdges || s.base != s {
			continue
		}
		times := map[int]int{s.start: 1}
		order := []int{s.start}
		corners := 0
		for _, p := range s.Pick {
			if p.Corner > 0 {
				corners += p.Corner - 1 // one of them stands on a stitch of the edge beside it
				continue
			}
			at := pl.picked(s, p.Edge)
			if times[at] == 0 {
				order = append(order, at)
			}
			times[at]--
		}
		terms := make([]Term, len(order))
		for i, at := range order {
			terms[i] = Term{at, times[at]}
		}
		pl.after[len(pl.Rules)] = true
		pl.rule(s.name()+" is what is picked up for it", corners, terms...)
	}
}

// picked is the count picked up along an edge: of stitches one each, of row
// ends a count of its own, one for an edge and its mirror image.
func (pl *plan) picked(s *slot, e pattern.Edge) int {
	along := pl.side(e)
	if along.stitches {
		return along.count
	}
	key := edgeKey(s, along.slot, e.Side)
	at, seen := pl.picks[key]
	if !seen {
		at = pl.add(fmt.Sprintf("%s: picked up along %s, %s", s.name(), e.Piece, e.Section), math.NaN(), s.w, 1, gauge.Multiple{})
		pl.picks[key] = at
	}
	return at
}

func edgeKey(by, slot *slot, side pattern.Side) string {
	if slot.piece.Mirror != "" {
		switch side {
		case pattern.LeftSide:
			side = pattern.RightSide
		case pattern.RightSide:
			side = pattern.LeftSide
		}
	}
	return fmt.Sprintf("%s < %s.%s.%d", by.name(), slot.base.piece.Name, slot.Name, side)
}

// Weights of what several counts make together, against 1 for a single count.
const (
	weightFinished = 2
	weightMeet     = 8
	beyondFinished = 1e3 // of what lies beyond half a stitch or row
	beyondMeet     = 1e6
)

func (pl *plan) joins() {
	for _, j := range pl.pattern.Joins {
		a, b := pl.sides(j.A), pl.sides(j.B)
		name := fmt.Sprintf("%s: %s meets %s", j.Name, pl.edges(j.A), pl.edges(j.B))
		if j.How == pattern.Equal {
			var terms []Term
			for _, s := range a {
				terms = append(terms, Term{s.count, 1})
			}
			for _, s := range b {
				terms = append(terms, Term{s.count, -1})
			}
			if terms = summed(terms); len(terms) > 0 {
				pl.rule(name, 0, terms...)
			}
			continue
		}
		g := Goal{Name: name, Weight: weightMeet, Beyond: beyondMeet, Within: halfUnit(append(append([]side(nil), a...), b...))}
		for _, s := range a {
			g.Shares = append(g.Shares, Share{s.count, s.mm})
		}
		for _, s := range b {
			g.Shares = append(g.Shares, Share{s.count, -s.mm})
		}
		pl.Goals = append(pl.Goals, g)
	}
}

// summed adds up terms of the same count.
func summed(terms []Term) []Term {
	var sum []Term
	for _, t := range terms {
		found := false
		for i := range sum {
			if sum[i].Count == t.Count {
				sum[i].Times += t.Times
				found = true
			}
		}
		if !found {
			sum = append(sum, t)
		}
	}
	kept := sum[:0]
	for _, t := range sum {
		if t.Times != 0 {
			kept = append(kept, t)
		}
	}
	return kept
}

// halfUnit is half a stitch, or half a row, whichever is more.
func halfUnit(sides []side) float64 {
	most := 0.
	for _, s := range sides {
		most = max(most, s.mm/2)
	}
	return most
}

func (pl *plan) sides(edges []pattern.Edge) []side {
	list := make([]side, len(edges))
	for i, e := range edges {
		list[i] = pl.side(e)
	}
	return list
}

func (pl *plan) finished() error {
	for _, f := range pl.pattern.Finished {
		target, err := pl.length(f.Name, f.Is)
		if err != nil {
			return err
		}
		g := Goal{Name: f.Name, Target: target, Weight: weightFinished, Beyond: beyondFinished}
		sides := pl.sides(f.Of)
		g.Within = halfUnit(sides)
		for _, s := range sides {
			g.Shares = append(g.Shares, Share{s.count, s.mm})
		}
		pl.Goals = append(pl.Goals, g)
	}
	return nil
}
