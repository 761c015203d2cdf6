package grade

import (
	"fmt"
	"math"
	"slices"

	"countwright/calc/pattern"
)

// stages finds out which counts need others first: the rest follows the height
// of sideways ribbing; what is picked up along row ends follows the length of
// the edge, and a slanted edge is as long as its counts make it.
func (pl *plan) stages() {
	pl.stage = make([]int, len(pl.Counts))
	for i := range pl.stage {
		pl.stage[i] = 1
	}
	for _, s := range pl.slots {
		if s.Worked == pattern.Sideways { // ribbing keeps its height; what is beside it makes up the length
			pl.stage[s.start] = 0
		}
		if s.Keep {
			pl.stage[s.rows] = 0
		}
		if s.First == pattern.OnEdges && s.Shape == pattern.NoShape { // as an edging keeps its width
			pl.stage[s.rows] = 0
		}
	}
	for range len(pl.slots) + 1 {
		for _, s := range pl.slots {
			if s.base != s {
				continue
			}
			if s.First == pattern.OnEdges {
				for _, p := range s.Pick {
					if p.Corner > 0 {
						continue
					}
					along := pl.side(p.Edge)
					need := pl.stage[along.count]
					if !along.stitches { // its length must be known
						need++
					}
					if along.slot != nil {
						need = max(need, pl.stage[along.slot.start]+1, pl.stage[along.slot.end]+1)
					}
					if at := pl.picked(s, p.Edge); at != along.count {
						pl.stage[at] = max(pl.stage[at], need)
					}
					pl.stage[s.start] = max(pl.stage[s.start], need)
				}
			}
			if s.end != s.start {
				pl.stage[s.end] = max(pl.stage[s.end], pl.stage[s.start])
			}
			for i, r := range pl.Rules {
				if !pl.after[i] {
					pl.follow(s, r)
				}
			}
		}
	}
}

// follow puts counts that exist only for a rule into the stage of what they
// depend on, and the shares of a split into that of the whole.
func (pl *plan) follow(s *slot, r Rule) {
	latest, mine := 0, false
	for _, t := range r.Terms {
		latest = max(latest, pl.stage[t.Count])
		mine = mine || t.Count == s.start || t.Count == s.end
	}
	if !mine {
		return
	}
	for _, t := range r.Terms {
		if c := pl.Counts[t.Count]; c.Weight == 0 && c.Target == 0 {
			pl.stage[t.Count] = latest
		}
	}
}

// solids sets what follows from the number of rounds of a ball or an egg.
func (pl *plan) solids() {
	for _, s := range pl.slots {
		if counts := s.solid(pl.value[s.rows]); counts != nil {
			pl.value[s.start], pl.value[s.end] = counts[0], counts[len(counts)-1]
		}
	}
}

// reasons names what bears on a goal's counts: the rules that tie them to
// others, and their multiples.
func (pl *plan) reasons(g Goal) []string {
	mine := map[int]bool{}
	for _, s := range g.Shares {
		mine[s.Count] = true
	}
	var names []string
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, r := range pl.Rules {
		if !r.AtMost && slices.ContainsFunc(r.Terms, func(t Term) bool { return mine[t.Count] }) {
			add(r.Name)
		}
	}
	for _, s := range g.Shares {
		if c := pl.Counts[s.Count]; c.Of > 1 {
			add(fmt.Sprintf("%s: a multiple of %d + %d", c.Name, c.Of, c.Plus))
		}
	}
	for _, o := range pl.Goals {
		if o.Name != g.Name && o.Weight == weightMeet && slices.ContainsFunc(o.Shares, func(s Share) bool { return mine[s.Count] }) {
			add(o.Name)
		}
	}
	if names == nil {
		names = []string{g.Name + ": its parts are whole stitches and rows"}
	}
	return names
}

// aim sets the targets of what is picked up along row ends in this stage.
func (pl *plan) aim(stage int) {
	for _, s := range pl.slots {
		if s.First != pattern.OnEdges || s.base != s {
			continue
		}
		for _, p := range s.Pick {
			if p.Corner > 0 {
				continue
			}
			at := pl.picked(s, p.Edge)
			if along := pl.side(p.Edge); at != along.count && pl.stage[at] == stage {
				c := &pl.Counts[at]
				c.Target, c.Weight = pl.edgeLength(along.slot, p.Edge.Side)/c.MM, 1
				c.Max = int(c.Target)*loose + more
			}
		}
	}
}

// edgeLength is how long the row ends of a section run: slanted where that
// edge is shaped.
func (pl *plan) edgeLength(s *slot, side pattern.Side) float64 {
	height := float64(pl.value[s.rows]) * s.h
	across := math.Abs(float64(pl.value[s.end]-pl.value[s.start])) * s.w
	switch {
	case s.Shape == pattern.BothEdges:
		return math.Hypot(height, across/2)
	case s.Shape == pattern.LeftEdge && side == pattern.LeftSide, s.Shape == pattern.RightEdge && side == pattern.RightSide:
		return math.Hypot(height, across)
	}
	return height
}

// part is the rounding of one stage, and where each of its counts stands in
// it (-1: not at all). Counts of earlier stages are given.
func (pl *plan) part(stage int) (p Rounding, index []int) {
	index = make([]int, len(pl.Counts))
	for i, c := range pl.Counts {
		index[i] = -1
		if pl.stage[i] == stage {
			index[i] = len(p.Counts)
			p.Counts = append(p.Counts, c)
		}
	}
	for _, r := range pl.Rules {
		terms, value, open := []Term(nil), r.Value, false
		for _, t := range r.Terms {
			switch {
			case index[t.Count] >= 0:
				terms = append(terms, Term{index[t.Count], t.Times})
			case pl.known[t.Count]:
				value -= t.Times * pl.value[t.Count]
			default:
				open = true // a later stage's rule
			}
		}
		if len(terms) > 0 && !open {
			p.Rules = append(p.Rules, Rule{r.Name, terms, r.AtMost, value})
		}
	}
	for _, g := range pl.Goals {
		shares, target, open := []Share(nil), g.Target, false
		for _, t := range g.Shares {
			switch {
			case index[t.Count] >= 0:
				shares = append(shares, Share{index[t.Count], t.MM})
			case pl.known[t.Count]:
				target -= t.MM * float64(pl.value[t.Count])
			default:
				open = true
			}
		}
		if len(shares) > 0 && !open {
			p.Goals = append(p.Goals, Goal{g.Name, shares, target, g.Weight, g.Within, g.Beyond})
		}
	}
	return p, index
}

// learn takes the numbers found for a stage.
func (pl *plan) learn(index, value []int) {
	for i, at := range index {
		if at >= 0 {
			pl.value[i], pl.known[i] = value[at], true
		}
	}
}

// plans are the sizes of a run, smallest first; a garment alone is a run of
// one.
type plans []*plan

// solve rounds stage after stage, all sizes at once: a count that is drawn to
// as much or more in the next size is no smaller there.
func (run plans) solve() error {
	last := slices.Max(append([]int{0}, run[0].stage...))
	for stage := range last + 1 {
		var all Rounding
		first, indices := make([]int, len(run)), make([][]int, len(run))
		for k, pl := range run {
			pl.aim(stage)
			p, index := pl.part(stage)
			first[k], indices[k] = len(all.Counts), index
			all.add(p)
			if k > 0 {
				all.Rules = append(all.Rules, run.order(k, stage, first, indices)...)
			}
		}
		value, err := all.Round()
		if err != nil {
			return err
		}
		for k, pl := range run {
			pl.learn(indices[k], value[first[k]:])
		}
	}
	for _, pl := range run {
		pl.solids()
	}
	return nil
}

// add puts another rounding beside this one.
func (p *Rounding) add(o Rounding) {
	n := len(p.Counts)
	p.Counts = append(p.Counts, o.Counts...)
	for _, r := range o.Rules {
		for i := range r.Terms {
			r.Terms[i].Count += n
		}
		p.Rules = append(p.Rules, r)
	}
	for _, g := range o.Goals {
		for i := range g.Shares {
			g.Shares[i].Count += n
		}
		p.Goals = append(p.Goals, g)
	}
}

// order is the rules between size k and the one before it.
func (run plans) order(k, stage int, first []int, indices [][]int) []Rule {
	var rules []Rule
	small, large := run[k-1], run[k]
	for i, c := range small.Counts {
		if small.stage[i] != stage || large.stage[i] != stage || c.Weight == 0 || large.Counts[i].Target < c.Target {
			continue
		}
		rules = append(rules, Rule{Name: c.Name + ": no smaller in the next size", AtMost: true,
			Terms: []Term{{first[k-1] + indices[k-1][i], 1}, {first[k] + indices[k][i], -1}}})
	}
	return rules
}
