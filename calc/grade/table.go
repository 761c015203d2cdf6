package grade

import (
	"math"
	"slices"
)

// eliminate makes the table of one count over its neighbours, in place of the
// factors that it has a part in. It reports whether any number is possible.
func (e *elimination) eliminate(c int, scope []int, cells int) (step, *factor, bool) {
	var parts []*factor
	e.factors = slices.DeleteFunc(e.factors, func(f *factor) bool {
		mine := slices.Contains(f.scope, c)
		if mine {
			parts = append(parts, f)
		}
		return mine
	})
	st := step{count: c, scope: scope, choice: make([]int32, cells)}
	made := &factor{scope: scope, table: make([]float64, cells), mult: make([]int, len(scope))}
	for i, m := len(scope)-1, 1; i >= 0; i-- {
		made.mult[i] = m
		m *= e.domains[scope[i]].size
	}
	row := e.newRow(c, parts)
	index := make([]int, len(scope))
	any := false
	for cell := range cells {
		for i, n := range scope {
			row.index[n] = index[i]
		}
		cost, choice := row.best()
		made.table[cell], st.choice[cell] = cost, int32(choice)
		any = any || choice >= 0
		for i := len(index) - 1; i >= 0; i-- {
			index[i]++
			if index[i] < e.domains[scope[i]].size {
				break
			}
			index[i] = 0
		}
	}
	return st, made, any
}

// row is a count with all it has a part in, for one choice of its neighbours
// after another.
type row struct {
	*elimination
	count  int
	own    []float64 // the count's own cost, by index
	parts  []*factor
	times  []int     // of the count in each part: of a rule, or of a table's index
	mm     []float64 // the same of a goal
	equal  int       // a rule that fixes the count, or -1
	index  []int     // of each neighbour, by count
	places [][]place
}

// place is a neighbour's share in a part.
type place struct {
	count, times int
	mm           float64
}

func (e *elimination) newRow(c int, parts []*factor) *row {
	r := &row{elimination: e, count: c, parts: parts, equal: -1, index: make([]int, len(e.Counts)),
		times: make([]int, len(parts)), mm: make([]float64, len(parts)), places: make([][]place, len(parts))}
	k, d := e.Counts[c], e.domains[c]
	r.own = make([]float64, d.size)
	for i := range r.own {
		off := (float64(d.at(i)) - k.Target) * k.MM
		r.own[i] = k.Weight * off * off
	}
	for i, f := range parts {
		for _, n := range f.scope {
			p := place{count: n}
			switch {
			case f.rule != nil:
				for _, t := range f.rule.Terms {
					if t.Count == n {
						p.times += t.Times
					}
				}
			case f.goal != nil:
				for _, t := range f.goal.Shares {
					if t.Count == n {
						p.mm += t.MM
					}
				}
			default:
				p.times = f.mult[slices.Index(f.scope, n)]
			}
			if n == c {
				r.times[i], r.mm[i] = p.times, p.mm
				continue
			}
			r.places[i] = append(r.places[i], p)
		}
		if f.rule != nil && !f.rule.AtMost && r.times[i] != 0 {
			r.equal = i
		}
	}
	return r
}

// best is the least cost for the neighbours as they stand, and the index of
// the number that gives it, -1 if none is possible. Of equal costs the larger
// number wins, as a half is rounded up.
func (r *row) best() (float64, int) {
	for i, f := range r.parts {
		f.whole, f.part = 0, 0
		for _, p := range r.places[i] {
			at := r.index[p.count]
			switch {
			case f.table != nil:
				f.whole += p.times * at
			case f.rule != nil:
				f.whole += p.times * r.domains[p.count].at(at)
			default:
				f.part += p.mm * float64(r.domains[p.count].at(at))
			}
		}
	}
	d := r.domains[r.count]
	from, to := d.size-1, 0
	if r.equal >= 0 {
		f := r.parts[r.equal]
		rest := f.rule.Value - f.whole
		if rest%r.times[r.equal] != 0 {
			return math.Inf(1), -1
		}
		at := d.index(rest / r.times[r.equal])
		if at < 0 {
			return math.Inf(1), -1
		}
		from, to = at, at
	}
	least, choice := math.Inf(1), -1
	for i := from; i >= to; i-- {
		if cost := r.cost(i, d.at(i)); cost < least-1e-9 {
			least, choice = cost, i
		}
	}
	return least, choice
}

// cost is what the count's i-th number, v, costs for the neighbours as they
// stand.
func (r *row) cost(i, v int) float64 {
	sum := r.own[i]
	for k, f := range r.parts {
		switch {
		case f.table != nil:
			sum += f.table[f.whole+r.times[k]*i]
		case f.rule != nil:
			total := f.whole + r.times[k]*v
			if total > f.rule.Value || !f.rule.AtMost && total < f.rule.Value {
				return math.Inf(1)
			}
		default:
			sum += f.goal.cost(f.part + r.mm[k]*float64(v) - f.goal.Target)
		}
	}
	return sum
}
