package grade

import (
	"strings"

	"countwright/calc/notation"
	"countwright/calc/spacing"
	"countwright/calc/stitch"
)

// maker builds the steps of rows in one stitch.
type maker struct {
	id     stitch.ID
	loop   notation.Loop
	repeat []stitch.ID // stitches that take turns along the row; empty: id only
}

// turning is the chain that a row begins with. It never counts as a stitch in
// our rows, so that the first and the last stitch of each row are worked like
// any other; beside a stitch that is there, a tall one's chain may be one
// shorter.
func (m maker) turning() int {
	s, _ := stitch.Lookup(m.id)
	return max(1, min(s.Chain, max(s.Chain-1, 2)))
}

func (m maker) chain() notation.Step { return &notation.Chain{Many: notation.N(m.turning())} }

// work is one kind of stitch in the next n places.
func (m maker) work(each, n int) notation.Step {
	return &notation.Stitches{Name: m.id, Each: number(each), Into: notation.Place{Many: number(n)}, Loop: m.loop}
}

// same is a stitch in the place that yarn was joined to.
func (m maker) same() notation.Step {
	return &notation.Stitches{Name: m.id, Into: notation.Place{Choice: notation.Same}, Loop: m.loop}
}

// number writes a number, and nothing where 1 goes without saying.
func number(n int) notation.Number {
	if n == 1 {
		return nil
	}
	return notation.N(n)
}

// decrease works two together, n times.
func (m maker) decrease(n int) notation.Step {
	once := &notation.Stitches{Name: m.id + "2tog", Loop: m.loop}
	if n == 1 {
		return once
	}
	return &notation.Group{Steps: []notation.Step{once}, Mark: notation.Square, Times: notation.Times{N: notation.N(n)}}
}

// across works each stitch to the end, or to the last so many.
func (m maker) across(left int) []notation.Step {
	to, last := notation.ToEnd, notation.Number(nil)
	if left > 0 {
		to, last = notation.ToLast, notation.N(left)
	}
	if len(m.repeat) == 0 {
		return []notation.Step{&notation.Stitches{Name: m.id, Loop: m.loop,
			Into: notation.Place{Choice: notation.EachTo, To: to, Left: last}}}
	}
	g := &notation.Group{Mark: notation.Star, Times: notation.Times{To: to, Left: last}}
	for _, id := range m.repeat {
		g.Steps = append(g.Steps, &notation.Stitches{Name: id})
	}
	return []notation.Step{g}
}

// shaped is a row that changes by so many stitches at its beginning and its
// end: more above 0, fewer below.
func (m maker) shaped(begin, end int) []notation.Step {
	var steps []notation.Step
	edge := func(n int, choice notation.Choice) {
		switch {
		case n > 0:
			steps = append(steps, &notation.Stitches{Name: m.id, Each: notation.N(2), Loop: m.loop,
				Into: notation.Place{Choice: choice, Many: number(n)}})
		case n < 0:
			steps = append(steps, m.decrease(-n))
		}
	}
	if begin > 0 {
		edge(begin, notation.First)
	} else {
		edge(begin, notation.Next)
	}
	left := end
	if end < 0 {
		left = -2 * end
	}
	steps = append(steps, m.across(left)...)
	if end > 0 {
		edge(end, notation.Last)
	} else {
		edge(end, notation.Next)
	}
	return steps
}

// spread is a row or round with increases or decreases spread evenly.
func (m maker) spread(stitches, change int, kind spacing.Kind) ([]notation.Step, error) {
	how := spacing.Increase
	if change < 0 {
		how, change = spacing.Decrease, -change
	}
	plan, err := spacing.Shape(stitches, change, kind, how)
	if err != nil {
		return nil, err
	}
	if kind == spacing.Round && change > 0 && stitches%change == 0 {
		return m.wedges(stitches/change, how), nil
	}
	steps := m.planned(plan)
	if g, ok := sole(steps); ok { // the whole row is one repeat
		g.Mark, g.Times = notation.Star, notation.Times{To: notation.ToEnd}
	}
	return steps, nil
}

// Shaping writes a row or round with shaping spread over it in one stitch: what
// repeats stands in brackets.
func Shaping(plan spacing.Plan, id stitch.ID) []notation.Step { return maker{id: id}.planned(plan) }

func (m maker) planned(plan spacing.Plan) []notation.Step {
	var steps []notation.Step
	for _, r := range plan.Repeats() {
		var once []notation.Step
		for _, st := range r.Once {
			if st.Plain > 0 {
				once = append(once, m.work(1, st.Plain))
			}
			if st.Into > 0 {
				once = append(once, m.work(st.Into, 1))
			}
			if st.Pairs > 0 {
				once = append(once, m.decrease(st.Pairs))
			}
		}
		steps = append(steps, repeated(once, r.Times)...)
	}
	return steps
}

// wedges is a round in which every n-th stitch becomes two, or the last two of
// every n one: the same all around, the trade's form for flat circles.
func (m maker) wedges(n int, how spacing.Change) []notation.Step {
	g := &notation.Group{Mark: notation.Star, Times: notation.Times{To: notation.ToEnd}}
	plain, shaped := n-1, m.work(2, 1)
	if how == spacing.Decrease {
		plain, shaped = n-2, m.decrease(1)
	} else if n == 1 {
		return []notation.Step{&notation.Stitches{Name: m.id, Each: notation.N(2), Loop: m.loop,
			Into: notation.Place{Choice: notation.EachTo, To: notation.ToEnd}}}
	}
	if plain > 0 {
		g.Steps = append(g.Steps, m.work(1, plain))
	}
	g.Steps = append(g.Steps, shaped)
	return []notation.Step{g}
}

func sole(steps []notation.Step) (*notation.Group, bool) {
	if len(steps) != 1 {
		return nil, false
	}
	g, ok := steps[0].(*notation.Group)
	return g, ok
}

// repeated is steps worked so many times.
func repeated(steps []notation.Step, times int) []notation.Step {
	if times == 1 {
		return steps
	}
	if len(steps) == 1 {
		if s, ok := steps[0].(*notation.Stitches); ok && s.Into.Choice == notation.Next && !strings.HasSuffix(string(s.Name), "tog") {
			one := *s
			one.Into.Many = number(count(s.Into.Many) * times)
			return []notation.Step{&one}
		}
	}
	return []notation.Step{&notation.Group{Steps: steps, Mark: notation.Square, Times: notation.Times{N: notation.N(times)}}}
}

func count(n notation.Number) int {
	if !n.Said() {
		return 1
	}
	return n.At(0)
}

// along works so many stitches into each of a run of row ends: the numbers of
// the rules, in order.
func (m maker) along(rules []cycle[int]) []notation.Step {
	var steps []notation.Step
	for _, rule := range rules {
		var once []notation.Step
		for i := 0; i < len(rule.once); {
			each, places := rule.once[i], 0
			for ; i < len(rule.once) && rule.once[i] == each; i++ {
				places++
			}
			if each == 0 {
				once = append(once, &notation.Skip{Many: notation.N(places), What: notation.RowEnd})
				continue
			}
			once = append(once, &notation.Stitches{Name: m.id, Each: number(each), Loop: m.loop,
				Into: notation.Place{Many: number(places), What: notation.RowEnd}})
		}
		steps = append(steps, repeated(once, rule.times)...)
	}
	return steps
}
