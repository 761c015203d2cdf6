package grade

import (
	"errors"
	"math"
	"slices"
)

// reach is how far from its target, in steps of its multiple, a count is looked
// for at all: nothing so far off would be the garment that was asked for.
const reach = 54

// solve finds the best numbers of a group of counts and reports whether there
// are any. It first looks near the targets, or, where a rule was added, near
// the numbers found without it; the cost found there bounds how far each count
// of the best solution can be from its target, and within those bounds the
// search is complete.
func (s *solver) solve(group []int) (bool, error) {
	e := &elimination{solver: s, group: group, most: mostCells}
	ok, err := s.search(e)
	if ok && err == nil {
		s.best = append(s.best, e.cost)
		for _, c := range group {
			s.solved[c] = len(s.best) - 1
		}
	}
	return ok, err
}

func (s *solver) search(e *elimination) (bool, error) {
	again := s.solved[e.group[0]] >= 0
	limit, found := s.base, false
	for radius := 1; radius <= reach; radius *= 2 {
		near, ok := s.near(e.group, float64(2*radius))
		if again {
			near, ok = s.beside(e.group, radius)
		}
		if !ok {
			continue
		}
		if found {
			near = s.meet(e.group, near, limit)
		}
		ok, err := e.run(near)
		if err != nil {
			return false, err
		}
		if ok {
			limit, found = s.within(e.group, e.cost), true
		}
		if s.inside(e.group, limit, near) {
			return found, nil
		}
		if found { // all at once, if that takes no large table; else nearer first
			e.most = smallCells
			_, err := e.run(limit)
			e.most = mostCells
			var tangle *TangleError
			if !errors.As(err, &tangle) {
				return true, err
			}
		}
	}
	for _, c := range e.group {
		if !found && s.base[c].size > 2*reach {
			return false, nil
		}
	}
	return e.run(limit)
}

// meet is what two choices of domains have in common.
func (s *solver) meet(group []int, a, b []domain) []domain {
	both := slices.Clone(a)
	for _, i := range group {
		both[i] = both[i].within(b[i].low, b[i].high())
	}
	return both
}

// inside reports whether one choice of domains lies within another.
func (s *solver) inside(group []int, small, large []domain) bool {
	return !slices.ContainsFunc(group, func(i int) bool {
		return small[i].size > 0 && (small[i].low < large[i].low || small[i].high() > large[i].high())
	})
}

// beside is the domains with each weighted count at most so many steps from the
// number found before.
func (s *solver) beside(group []int, steps int) ([]domain, bool) {
	domains := slices.Clone(s.base)
	inside := map[int]bool{}
	for _, i := range group {
		inside[i] = true
		if s.Counts[i].Weight > 0 {
			d := steps * domains[i].step
			domains[i] = domains[i].within(s.value[i]-d, s.value[i]+d)
		}
	}
	return domains, s.narrow(domains, s.using(inside), nil)
}

// using tells which rules are about these counts and in use.
func (s *solver) using(inside map[int]bool) []bool {
	use := make([]bool, len(s.Rules))
	for i, r := range s.Rules {
		use[i] = s.active[i] && len(r.Terms) > 0 && inside[r.Terms[0].Count]
	}
	return use
}

// near is the domains with each count at most so many steps from its target.
func (s *solver) near(group []int, steps float64) ([]domain, bool) {
	return s.cut(group, func(i int) float64 {
		return steps * float64(max(s.Counts[i].Of, 1))
	}, func(g *Goal) float64 {
		widest := 0.
		for _, t := range g.Shares {
			widest = max(widest, math.Abs(t.MM)*float64(max(s.Counts[t.Count].Of, 1)))
		}
		return steps * widest
	})
}

// within is the domains that a solution of at most this cost keeps to: no
// count can cost more than what the others, at their best, leave of it. Where
// parts of the group were solved apart with fewer rules, none of them can come
// cheaper than it did there.
func (s *solver) within(group []int, cost float64) []domain {
	own, least := map[int]float64{}, map[int]float64{} // by count; by part
	spare := cost
	for _, i := range group {
		part := s.solved[i]
		if _, seen := least[part]; !seen {
			least[part] = 0
			if part >= 0 {
				spare -= s.best[part]
			}
		}
		c, d := s.Counts[i], s.base[i]
		if c.Weight > 0 {
			at := math.Round((c.Target - float64(d.low)) / float64(d.step))
			v := d.at(int(min(max(at, 0), float64(d.size-1))))
			own[i] = c.Weight * math.Pow((float64(v)-c.Target)*c.MM, 2)
			least[part] += own[i]
		}
	}
	left := func(part int) float64 {
		if part >= 0 {
			return max(spare+s.best[part]-least[part], 0)
		}
		return max(spare-least[part], 0)
	}
	domains, _ := s.cut(group, func(i int) float64 {
		c := s.Counts[i]
		return math.Sqrt((left(s.solved[i])+own[i])/c.Weight)/c.MM + slack
	}, func(g *Goal) float64 {
		left := left(s.solved[g.Shares[0].Count])
		within := math.Inf(1)
		if g.Weight > 0 {
			within = math.Sqrt(left / g.Weight)
		}
		if g.Within > 0 && g.Beyond > 0 {
			within = min(within, g.Within+math.Sqrt(left/g.Beyond))
		}
		return within + slack
	})
	return domains
}

// cut is the base domains limited around the targets of the weighted counts
// and goals of a group, then narrowed by the rules in use.
func (s *solver) cut(group []int, count func(int) float64, goal func(*Goal) float64) ([]domain, bool) {
	domains := slices.Clone(s.base)
	inside := map[int]bool{}
	for _, i := range group {
		inside[i] = true
		if c := s.Counts[i]; c.Weight > 0 {
			radius := count(i)
			domains[i] = domains[i].within(clampInt(math.Ceil(c.Target-radius)), clampInt(math.Floor(c.Target+radius)))
		}
		if domains[i].size == 0 {
			return domains, false
		}
	}
	var limits []limit
	for i := range s.Goals {
		if g := &s.Goals[i]; len(g.Shares) > 0 && inside[g.Shares[0].Count] && g.Weight+g.Beyond > 0 {
			limits = append(limits, limit{g, goal(g)})
		}
	}
	return domains, s.narrow(domains, s.using(inside), limits)
}

// elimination solves a group on given domains by eliminating one count after
// another: everything that a count has a part in becomes one table over its
// neighbours, which holds the least cost and the number that gives it.
type elimination struct {
	*solver
	group   []int
	domains []domain
	factors []*factor
	cost    float64 // of the last solution
	most    float64 // cells allowed in a table
}

// factor is a part of the cost: a rule, a goal or a table.
type factor struct {
	scope []int // counts
	rule  *Rule
	goal  *Goal
	table []float64
	mult  []int // of each count's index in the table
	whole int   // sum so far: of a rule, or the place in the table
	part  float64
}

// mostCells bounds a table, and with it memory and time; smallCells is what a
// table takes in next to no time.
const mostCells, smallCells = 4 << 20, 20_000

// step is one elimination, kept to read the numbers back.
type step struct {
	count  int
	scope  []int
	choice []int32 // index into the domain
}

// run eliminates on the domains; on success the numbers stand in e.value.
func (e *elimination) run(domains []domain) (bool, error) {
	e.domains = domains
	e.gather()
	left := slices.Clone(e.group)
	var steps []step
	total := 0.
	for len(left) > 0 {
		at, scope, cells := e.cheapest(left)
		if cells > e.most {
			return false, &TangleError{cells}
		}
		c := left[at]
		left = slices.Delete(left, at, at+1)
		st, table, ok := e.eliminate(c, scope, int(cells))
		if !ok {
			return false, nil
		}
		steps = append(steps, st)
		if len(scope) == 0 {
			total += table.table[0]
		} else {
			e.factors = append(e.factors, table)
		}
	}
	e.cost = total
	for _, st := range slices.Backward(steps) {
		i := 0
		for _, c := range st.scope {
			d := domains[c]
			i = i*d.size + d.index(e.value[c])
		}
		e.value[st.count] = domains[st.count].at(int(st.choice[i]))
	}
	return true, nil
}

// gather collects the rules and goals of the group.
func (e *elimination) gather() {
	e.factors = nil
	inside := map[int]bool{}
	for _, c := range e.group {
		inside[c] = true
	}
	scope := func(n int, at func(int) int) []int {
		var counts []int
		for i := range n {
			if !slices.Contains(counts, at(i)) {
				counts = append(counts, at(i))
			}
		}
		slices.Sort(counts)
		return counts
	}
	for i := range e.Rules {
		if r := &e.Rules[i]; e.active[i] && len(r.Terms) > 0 && inside[r.Terms[0].Count] {
			e.factors = append(e.factors, &factor{rule: r, scope: scope(len(r.Terms), func(i int) int { return r.Terms[i].Count })})
		}
	}
	for i := range e.Goals {
		if g := &e.Goals[i]; len(g.Shares) > 0 && inside[g.Shares[0].Count] {
			e.factors = append(e.factors, &factor{goal: g, scope: scope(len(g.Shares), func(i int) int { return g.Shares[i].Count })})
		}
	}
}

// cheapest picks the count whose elimination makes the smallest table.
func (e *elimination) cheapest(left []int) (at int, scope []int, cells float64) {
	cells = math.Inf(1)
	neighbours := map[int][]int{}
	for _, f := range e.factors {
		for _, c := range f.scope {
			neighbours[c] = append(neighbours[c], f.scope...)
		}
	}
	for i, c := range left {
		near := neighbours[c]
		slices.Sort(near)
		size := 1.
		for k, n := range near {
			if n != c && (k == 0 || near[k-1] != n) {
				size *= float64(e.domains[n].size)
			}
		}
		if size < cells {
			at, cells = i, size
			scope = scope[:0]
			for k, n := range near {
				if n != c && (k == 0 || near[k-1] != n) {
					scope = append(scope, n)
				}
			}
		}
	}
	return at, slices.Clone(scope), cells
}
