package grade

import "math"

// merge makes one count of counts that a rule holds equal, and returns for
// each count the one it has become. Squared deviations from two targets are,
// but for a constant, the squared deviation from a target between them.
func (p Rounding) merge() (Rounding, []int) {
	same := apart(len(p.Counts))
	counts := append([]Count(nil), p.Counts...)
	var rules []Rule
	for _, r := range p.Rules {
		if a, b, ok := r.equal(); ok {
			a, b = same.root(a), same.root(b)
			if a == b {
				continue
			}
			if both, ok := counts[a].and(counts[b]); ok {
				counts[a], same[b] = both, a
				continue
			}
		}
		rules = append(rules, r)
	}
	out := Rounding{}
	back, place := make([]int, len(p.Counts)), map[int]int{}
	for i := range counts {
		at, seen := place[same.root(i)]
		if !seen {
			at = len(out.Counts)
			place[same.root(i)] = at
			out.Counts = append(out.Counts, counts[same.root(i)])
		}
		back[i] = at
	}
	for _, r := range rules {
		terms := make([]Term, len(r.Terms))
		for i, t := range r.Terms {
			terms[i] = Term{back[t.Count], t.Times}
		}
		r.Terms = summed(terms)
		out.Rules = append(out.Rules, r)
	}
	for _, g := range p.Goals {
		mm := map[int]float64{}
		var order []int
		for _, s := range g.Shares {
			if _, seen := mm[back[s.Count]]; !seen {
				order = append(order, back[s.Count])
			}
			mm[back[s.Count]] += s.MM
		}
		g.Shares = nil
		for _, c := range order {
			g.Shares = append(g.Shares, Share{c, mm[c]})
		}
		out.Goals = append(out.Goals, g)
	}
	return out, back
}

// equal reports whether a rule says that two counts are the same.
func (r Rule) equal() (a, b int, ok bool) {
	terms := summed(r.Terms)
	if r.AtMost || r.Value != 0 || len(terms) != 2 || terms[0].Times != -terms[1].Times {
		return 0, 0, false
	}
	return terms[0].Count, terms[1].Count, true
}

// and is one count in the place of two that are equal. Two multiples that are
// not the same stay apart.
func (c Count) and(o Count) (Count, bool) {
	if c.Of > 1 && o.Of > 1 && (c.Of != o.Of || (c.Plus-o.Plus)%c.Of != 0) {
		return c, false
	}
	if c.Of <= 1 {
		c.Of, c.Plus = o.Of, o.Plus
	}
	c.Min, c.Max = max(c.Min, o.Min), min(c.Max, o.Max)
	if c.Min > c.Max {
		return c, false
	}
	w, v := c.Weight*c.MM*c.MM, o.Weight*o.MM*o.MM
	if w+v > 0 {
		c.Target = (w*c.Target + v*o.Target) / (w + v)
		c.MM, c.Weight = math.Sqrt(w+v), 1
	}
	return c, true
}

// sets are counts in sets that can be joined: of each count another one of its
// set, or itself. (Disjoint sets; Cormen, Leiserson, Rivest and Stein,
// Introduction to Algorithms, section 21.3, from memory.)
type sets []int

// apart is n counts, each in a set of its own.
func apart(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

// root is the count that stands for a count's set.
func (s sets) root(i int) int {
	if s[i] != i {
		s[i] = s.root(s[i])
	}
	return s[i]
}

// join makes the sets of two counts one.
func (s sets) join(a, b int) { s[s.root(a)] = s.root(b) }
