package grade

import (
	"math"
	"slices"
)

// solver holds one rounding while it is solved.
type solver struct {
	Rounding
	active []bool   // the rules that count at present
	base   []domain // every number that bounds and rules leave to each count
	value  []int    // the best numbers so far
	err    error    // what kept it from solving; nil: nothing
	solved []int    // by count: which of best it was solved in last; -1: not yet
	best   []float64
}

// domain is the numbers Low, Low+Step … of which there are Size.
type domain struct{ low, step, size int }

func (d domain) high() int    { return d.low + (d.size-1)*d.step }
func (d domain) at(i int) int { return d.low + i*d.step }

// index is the place of a number, or -1.
func (d domain) index(v int) int {
	if v < d.low || v > d.high() || (v-d.low)%d.step != 0 {
		return -1
	}
	return (v - d.low) / d.step
}

// within is the part of the domain from low to high.
func (d domain) within(low, high int) domain {
	if low > d.low {
		skip := (low - d.low + d.step - 1) / d.step
		d.low += skip * d.step
		d.size -= skip
	}
	if d.size > 0 && high < d.high() {
		d.size = floorDiv(high-d.low, d.step) + 1
	}
	d.size = max(d.size, 0)
	return d
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// bounds sets the base domains from bounds, multiples and rules, and reports
// whether they leave nothing to some count.
func (s *solver) bounds() (empty bool) {
	s.base = make([]domain, len(s.Counts))
	for i, c := range s.Counts {
		step := max(c.Of, 1)
		low := c.Min + ((c.Plus-c.Min)%step+step)%step
		s.base[i] = domain{low, step, max(floorDiv(c.Max-low, step)+1, 0)}
	}
	all := make([]bool, len(s.Rules))
	for i := range all {
		all[i] = true
	}
	return !s.narrow(s.base, all, nil)
}

// limit is how far a goal may be from its target while a search looks only
// there.
type limit struct {
	goal   *Goal
	within float64 // mm
}

// narrow shrinks domains until no rule in use and no limit can shrink them
// further, and reports whether each still has a number.
func (s *solver) narrow(domains []domain, use []bool, limits []limit) bool {
	const passes = 200 // bounds creep when rules form a ring; what is left to do is done by the tables
	for range passes {
		changed := false
		for i, r := range s.Rules {
			if use[i] {
				shrunk, ok := r.narrow(domains)
				if !ok {
					return false
				}
				changed = changed || shrunk
			}
		}
		for _, l := range limits {
			shrunk, ok := l.narrow(domains)
			if !ok {
				return false
			}
			changed = changed || shrunk
		}
		if !changed {
			break
		}
	}
	return !slices.ContainsFunc(domains, func(d domain) bool { return d.size == 0 })
}

func (r Rule) narrow(domains []domain) (changed, ok bool) {
	least, most := 0, 0
	for _, t := range r.Terms {
		d := domains[t.Count]
		if d.size == 0 {
			return false, false
		}
		a, b := t.Times*d.low, t.Times*d.high()
		least, most = least+min(a, b), most+max(a, b)
	}
	if least > r.Value || !r.AtMost && most < r.Value {
		return false, false
	}
	for _, t := range r.Terms {
		if t.Times == 0 {
			continue
		}
		d := domains[t.Count]
		a, b := t.Times*d.low, t.Times*d.high()
		low, high := d.low, d.high()
		room := r.Value - (least - min(a, b)) // the most that this term may come to
		if t.Times > 0 {
			high = floorDiv(room, t.Times)
		} else {
			low = -floorDiv(room, -t.Times)
		}
		if !r.AtMost {
			need := r.Value - (most - max(a, b)) // the least
			if t.Times > 0 {
				low = max(low, -floorDiv(-need, t.Times))
			} else {
				high = min(high, floorDiv(-need, -t.Times))
			}
		}
		next := d.within(low, high)
		if next == d {
			continue
		}
		domains[t.Count] = next
		changed = true
		if next.size == 0 {
			return true, false
		}
		least += min(t.Times*next.low, t.Times*next.high()) - min(a, b)
		most += max(t.Times*next.low, t.Times*next.high()) - max(a, b)
	}
	return changed, true
}

func (l limit) narrow(domains []domain) (changed, ok bool) {
	least, most := 0., 0.
	for _, t := range l.goal.Shares {
		d := domains[t.Count]
		if d.size == 0 {
			return false, false
		}
		a, b := t.MM*float64(d.low), t.MM*float64(d.high())
		least, most = least+min(a, b), most+max(a, b)
	}
	target, within := l.goal.Target, l.within+slack
	if least > target+within || most < target-within {
		return false, false
	}
	for _, t := range l.goal.Shares {
		if t.MM == 0 {
			continue
		}
		d := domains[t.Count]
		a, b := t.MM*float64(d.low), t.MM*float64(d.high())
		from := (target - within - (most - max(a, b))) / t.MM
		to := (target + within - (least - min(a, b))) / t.MM
		if t.MM < 0 {
			from, to = to, from
		}
		low, high := clampInt(math.Ceil(from-slack)), clampInt(math.Floor(to+slack))
		if next := d.within(low, high); next != d {
			domains[t.Count] = next
			changed = true
			if next.size == 0 {
				return true, false
			}
		}
	}
	return changed, true
}

func clampInt(v float64) int { return int(min(max(v, -4*MaxCount), 4*MaxCount)) }

// broken lists the rules left out that the present numbers break.
func (s *solver) broken() []int {
	var broken []int
	for i, r := range s.Rules {
		if !s.active[i] && !r.holds(s.value) {
			broken = append(broken, i)
		}
	}
	return broken
}

// groups are the counts that hang together by active rules and goals; with
// touched, only the groups that hold one of those.
func (s *solver) groups(touched map[int]bool) [][]int {
	together := apart(len(s.Counts))
	for i, r := range s.Rules {
		if s.active[i] {
			for _, t := range r.Terms {
				together.join(t.Count, r.Terms[0].Count)
			}
		}
	}
	for _, g := range s.Goals {
		for _, t := range g.Shares {
			together.join(t.Count, g.Shares[0].Count)
		}
	}
	wanted := map[int]bool{}
	for c := range touched {
		wanted[together.root(c)] = true
	}
	place := map[int]int{}
	var groups [][]int
	for i := range s.Counts {
		r := together.root(i)
		if touched != nil && !wanted[r] {
			continue
		}
		at, seen := place[r]
		if !seen {
			at = len(groups)
			place[r] = at
			groups = append(groups, nil)
		}
		groups[at] = append(groups[at], i)
	}
	return groups
}
