package grade

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Count is a whole number to be found: the stitches of an edge, the rows of a
// section.
type Count struct {
	Name   string
	Target float64 // the exact number wanted, before rounding
	MM     float64 // what one stitch or row is worth, in millimetres
	Weight float64 // of the squared deviation in mm²; 0: the target does not pull
	Min    int     // smallest number allowed
	Max    int     // largest number allowed
	Of     int     // multiple: Of·n + Plus; 0 and 1 allow every number
	Plus   int
}

// Term is a count taken so many times.
type Term struct{ Count, Times int } // Count is an index into Rounding.Counts

// Rule is what counts must keep among each other: the sum of the terms equals
// Value, or is at most Value.
type Rule struct {
	Name   string
	Terms  []Term
	AtMost bool
	Value  int
}

// Share is a count taken at a worth in millimetres.
type Share struct {
	Count int
	MM    float64
}

// Goal is a length that several counts make together: the sum of the shares
// is drawn to Target.
type Goal struct {
	Name   string
	Shares []Share
	Target float64 // millimetres
	Weight float64 // of the squared deviation in mm²
	Within float64 // deviation in mm beyond which Beyond weighs too; 0: none
	Beyond float64 // of the square of what lies beyond Within: high, so that a limit that can be kept is kept
}

// Rounding is counts that are rounded together.
type Rounding struct {
	Counts []Count
	Rules  []Rule
	Goals  []Goal
}

// ClashError says that rules can't all hold.
type ClashError struct{ Rules []string } // names; leaving out any one of them would do

func (e *ClashError) Error() string {
	return "these can't all hold at once: " + strings.Join(e.Rules, "; ")
}

// TangleError says that the counts hang together too closely to be solved.
type TangleError struct{ Cells float64 }

func (e *TangleError) Error() string {
	return fmt.Sprintf("the counts hang together too closely: a table of %.0f numbers would be needed", e.Cells)
}

// CountError says that a count is not well asked.
type CountError struct{ Name, Wrong string }

func (e *CountError) Error() string { return e.Name + ": " + e.Wrong }

// MaxCount is the largest number that a count may allow.
const MaxCount = 1_000_000

// Round finds the numbers that keep every rule, and of those the ones with the
// least sum of weighted squared deviations: exactly, not nearly. It returns
// them in the order of the counts. Errors are *CountError, *ClashError and
// *TangleError.
//
// Counts that no rule or goal links are solved apart. Rules of the form "at
// most" are left out at first and added when a solution breaks them: the best
// solution of fewer rules that keeps all of them is the best of all.
func (p Rounding) Round() ([]int, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	value, err := p.short().round(true)
	if err != nil {
		return nil, err
	}
	return value[:len(p.Counts)], nil
}

// short is the same rounding with long sums cut into sums of three, so that no
// table runs over more than two counts of a sum.
func (p Rounding) short() Rounding {
	long := func(r Rule) bool { return len(r.Terms) > 3 && !r.AtMost }
	if !slices.ContainsFunc(p.Rules, long) {
		return p
	}
	p.Counts = slices.Clone(p.Counts)
	var rules []Rule
	for _, r := range p.Rules {
		for long(r) {
			sum := len(p.Counts)
			p.Counts = append(p.Counts, Count{Name: r.Name, Min: -MaxCount, Max: MaxCount})
			rules = append(rules, Rule{Name: r.Name, Terms: []Term{r.Terms[0], r.Terms[1], {sum, -1}}})
			r.Terms = append([]Term{{sum, 1}}, r.Terms[2:]...)
		}
		rules = append(rules, r)
	}
	p.Rules = rules
	return p
}

func (p Rounding) round(name bool) ([]int, error) {
	merged, back := p.merge()
	active := make([]bool, len(merged.Rules))
	for i, r := range merged.Rules {
		active[i] = !r.AtMost
	}
	s := &solver{Rounding: merged, active: active, value: make([]int, len(merged.Counts)), solved: make([]int, len(merged.Counts))}
	for i := range s.solved {
		s.solved[i] = -1
	}
	if s.bounds() || !s.settle() {
		if s.err != nil {
			return nil, s.err
		}
		return nil, p.clash(name)
	}
	value := make([]int, len(p.Counts))
	for i, at := range back {
		value[i] = s.value[at]
	}
	return value, nil
}

// settle solves group after group until every rule holds, and reports whether
// that was possible.
func (s *solver) settle() bool {
	for todo := s.groups(nil); ; {
		for _, group := range todo {
			ok, err := s.solve(group)
			if s.err = err; err != nil || !ok {
				return false
			}
		}
		broken := s.broken()
		if len(broken) == 0 {
			return true
		}
		touched := map[int]bool{}
		for _, r := range broken {
			s.active[r] = true
			for _, t := range s.Rules[r].Terms {
				touched[t.Count] = true
			}
		}
		todo = s.groups(touched)
	}
}

func (p Rounding) check() error {
	for _, c := range p.Counts {
		switch {
		case c.Min > c.Max || c.Min < -MaxCount || c.Max > MaxCount:
			return &CountError{c.Name, fmt.Sprintf("allows %d to %d", c.Min, c.Max)}
		case c.Weight < 0 || bad(c.Weight) || bad(c.Target) || bad(c.MM):
			return &CountError{c.Name, "target, worth and weight must be numbers, the weight not negative"}
		case c.Weight > 0 && c.MM <= 0:
			return &CountError{c.Name, "is worth nothing, so no target can pull it"}
		case c.Of < 0 || c.Of > MaxCount || c.Plus < -MaxCount || c.Plus > MaxCount:
			return &CountError{c.Name, fmt.Sprintf("multiple of %d + %d", c.Of, c.Plus)}
		}
	}
	in := func(i int) bool { return i >= 0 && i < len(p.Counts) }
	for _, r := range p.Rules {
		for _, t := range r.Terms {
			if !in(t.Count) || t.Times < -MaxCount || t.Times > MaxCount {
				return &CountError{r.Name, "has a term that is no count"}
			}
		}
	}
	for _, g := range p.Goals {
		if bad(g.Target) || bad(g.Weight) || g.Weight < 0 || bad(g.Within) || g.Within < 0 || bad(g.Beyond) || g.Beyond < 0 {
			return &CountError{g.Name, "target, weight and limit must be numbers, not negative"}
		}
		for _, t := range g.Shares {
			if !in(t.Count) || bad(t.MM) {
				return &CountError{g.Name, "has a share that is no count"}
			}
		}
	}
	return nil
}

func bad(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }

// Cost is the sum of weighted squared deviations of these numbers, in mm².
func (p Rounding) Cost(value []int) float64 {
	sum := 0.
	for i, c := range p.Counts {
		d := (float64(value[i]) - c.Target) * c.MM
		sum += c.Weight * d * d
	}
	for _, g := range p.Goals {
		sum += g.cost(g.length(value) - g.Target)
	}
	return sum
}

// cost of a deviation in mm.
func (g Goal) cost(off float64) float64 {
	c := g.Weight * off * off
	if over := math.Abs(off) - g.Within; g.Within > 0 && over > 0 {
		c += g.Beyond * over * over
	}
	return c
}

// Holds reports whether these numbers keep the bounds, multiples and rules.
func (p Rounding) Holds(value []int) bool {
	for i, c := range p.Counts {
		if value[i] < c.Min || value[i] > c.Max || c.Of > 1 && (value[i]-c.Plus)%c.Of != 0 {
			return false
		}
	}
	return !slices.ContainsFunc(p.Rules, func(r Rule) bool { return !r.holds(value) })
}

func (r Rule) holds(value []int) bool {
	sum := 0
	for _, t := range r.Terms {
		sum += t.Times * value[t.Count]
	}
	return sum == r.Value || r.AtMost && sum < r.Value
}

func (g Goal) length(value []int) float64 {
	sum := 0.
	for _, t := range g.Shares {
		sum += t.MM * float64(value[t.Count])
	}
	return sum
}

// slack is how far a limit in millimetres may be passed by the rounding of
// floating-point sums.
const slack = 1e-6
