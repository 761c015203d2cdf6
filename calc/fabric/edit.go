package fabric

import (
	"fmt"
	"slices"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// edit is one change to a row that a slip of the pen would explain.
type edit struct {
	steps []notation.Step
	cost  int    // smaller is likelier
	cause string // "the repeat is worked 5 times where 6 fit"
	fix   string // what to write instead
	edge  bool   // shaping added at the other edge
	drops bool   // shaping left out
	times int    // the number of repeats after the edit; 0 when it is of another kind
}

// editor lists the single edits of a row in one size.
type editor struct {
	mk   *maker
	size int
	all  []edit
}

const maxEdits = 160

// edits are the single edits of a row.
func (w *worker) edits(row *notation.Row, st *state) []edit {
	main, _ := w.prevailing(row.Steps, st.id)
	e := &editor{mk: &maker{w: w, st: st, id: main, kind: row.Label.Kind}, size: w.size}
	e.list(row.Steps, func(s []notation.Step) []notation.Step { return s })
	e.edges(row.Steps)
	return e.all
}

func (e *editor) add(steps []notation.Step, cost int, cause, fix string) *edit {
	if len(e.all) >= maxEdits {
		return &edit{}
	}
	e.all = append(e.all, edit{steps: steps, cost: cost, cause: cause, fix: fix})
	return &e.all[len(e.all)-1]
}

// list goes through the steps of a list; wrap puts a changed list back into
// the row.
func (e *editor) list(steps []notation.Step, wrap func([]notation.Step) []notation.Step) {
	for i, s := range steps {
		if len(e.all) >= maxEdits {
			return
		}
		with := func(other ...notation.Step) []notation.Step {
			return wrap(slices.Concat(steps[:i], other, steps[i+1:]))
		}
		switch s := s.(type) {
		case *notation.Group:
			e.group(s, with)
		case *notation.Stitches:
			e.stitches(s, with)
			if len(steps) > 1 && s.Into.What != notation.ChainFromHook {
				e.add(with(), 6, "“"+e.words(s)+"” is one too many", "leave out “"+e.words(s)+"”").drops = e.shapes(s)
			}
		case *notation.Skip:
			e.skip(s, with)
		case *notation.Chain:
			e.chain(s, with, i == 0 && hasStitches(steps))
		}
	}
}

func (e *editor) group(g *notation.Group, with func(...notation.Step) []notation.Step) {
	if n := g.Times.N.At(e.size); g.Times.N.Said() && g.Times.To == notation.NoLimit {
		for _, d := range []int{1, -1, 2, -2} {
			if n+d < 1 {
				continue
			}
			c := *g
			c.Times.N = notation.N(n + d)
			total := n
			if g.Times.More {
				total++
			}
			cause := fmt.Sprintf("the repeat is worked %s, where %d would fit", plural(total, "time"), total+d)
			e.add(with(&c), 1+abs(d), cause, fmt.Sprintf("repeat %s in all", plural(total+d, "time"))).times = total + d
		}
		c := *g
		c.Times.More = !c.Times.More
		e.add(with(&c), 4, "“times” and “times more” look mixed up", "")
	}
	if n := g.Times.Left.At(e.size); g.Times.To == notation.ToLast {
		for _, d := range []int{1, -1, 2, -2} {
			if n+d >= 0 {
				c := *g
				c.Times.Left = notation.N(n + d)
				e.add(with(&c), 2+abs(d), fmt.Sprintf("the repeat stops before the last %d, where %d would fit", n, n+d), fmt.Sprintf("to last %d", n+d))
			}
		}
	}
	e.list(g.Steps, func(steps []notation.Step) []notation.Step {
		c := *g
		c.Steps = steps
		return with(&c)
	})
}

func (e *editor) stitches(s *notation.Stitches, with func(...notation.Step) []notation.Step) {
	e.kinds(s, with)
	if s.Into.Choice == notation.Next && s.Into.What != notation.ChainFromHook {
		n := e.mk.count(s.Into.Many)
		for _, d := range []int{1, -1, 2, -2} {
			if n+d < 1 {
				continue
			}
			c := *s
			c.Into.Many = notation.N(n + d)
			cost := 1 + 2*abs(d)
			if n == 1 {
				cost += 2 // no number stands there to be mistyped
			}
			e.add(with(&c), cost, fmt.Sprintf("“%s” would fit with %d instead of %d", e.words(s), n+d, n), e.words(&c))
		}
	}
	if n := s.Into.Left.At(e.size); s.Into.Choice == notation.EachTo && s.Into.To == notation.ToLast {
		for _, d := range []int{1, -1, 2, -2} {
			if n+d >= 0 {
				c := *s
				c.Into.Left = notation.N(n + d)
				e.add(with(&c), 2+abs(d), fmt.Sprintf("“to last %d” would fit as “to last %d”", n, n+d), fmt.Sprintf("to last %d", n+d))
			}
		}
	}
}

// kinds swaps increases, decreases and plain stitches.
func (e *editor) kinds(s *notation.Stitches, with func(...notation.Step) []notation.Step) {
	if s.Name == slip || s.Into.What == notation.ChainFromHook {
		return
	}
	en := e.mk.resolve(s)
	each := e.mk.count(s.Each) * en.each
	base := en.base
	swap := func(name stitch.ID, many int, cost int) {
		c := *s
		c.Name, c.Each = name, notation.Number{}
		if many > 1 {
			c.Each = notation.N(many)
		}
		e.add(with(&c), cost, "“"+e.words(s)+"” stands where “"+e.words(&c)+"” would fit", e.words(&c))
	}
	switch {
	case en.kind == stitch.Together && en.consumes == 2 || s.Name == "dec":
		swap(base, 2, 3)
		swap(base, 1, 4)
		swap(base+"3tog", 1, 5)
	case each >= 2 && en.parts == nil:
		swap(base+"2tog", 1, 3)
		swap(base, 1, 4)
		swap(base, each+1, 4)
		if each > 2 {
			swap(base, each-1, 4)
		}
	case en.parts == nil && en.consumes == 1 && en.makes == 1:
		swap(base, 2, 5)
		if _, ok := stitch.Lookup(base + "2tog"); ok {
			swap(base+"2tog", 1, 6)
		}
	}
}

func (e *editor) skip(s *notation.Skip, with func(...notation.Step) []notation.Step) {
	n := e.mk.count(s.Many)
	for _, d := range []int{1, -1} {
		if n+d < 0 {
			continue
		}
		c := *s
		c.Many = notation.N(n + d)
		e.add(with(&c), 3, fmt.Sprintf("%s skipped where %d would fit", plural(n, "stitch"), n+d), fmt.Sprintf("sk %d", n+d))
	}
}

func (e *editor) chain(s *notation.Chain, with func(...notation.Step) []notation.Step, first bool) {
	n := e.mk.count(s.Many)
	if !first {
		for _, d := range []int{1, -1, 2, -2} {
			if n+d > 0 {
				c := *s
				c.Many = notation.N(n + d)
				e.add(with(&c), 4+abs(d), fmt.Sprintf("%s where %d would fit", plural(n, "chain"), n+d), fmt.Sprintf("ch %d", n+d))
			}
		}
		return
	}
	yes, no := *s, *s
	yes.Counts, no.Counts, no.As = notation.CountsAsStitch, notation.CountsAsNone, ""
	e.add(with(&yes), 4, "the turning chain is counted as a stitch here", "")
	e.add(with(&no), 4, "the turning chain is not counted as a stitch here", "")
}

// edges adds the shaping of one edge at the other.
func (e *editor) edges(steps []notation.Step) {
	first, last := -1, -1
	for i, s := range steps {
		switch s.(type) {
		case *notation.Stitches, *notation.Group:
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return
	}
	if s, ok := steps[first].(*notation.Stitches); ok && e.shapes(s) {
		c := *s
		c.Into.Choice = notation.Next
		e.add(slices.Concat(steps[:last+1], []notation.Step{&c}, steps[last+1:]), 3, e.words(s), e.words(s)+" at the end too").edge = true
	}
	if s, ok := steps[last].(*notation.Stitches); ok && e.shapes(s) && last != first {
		c := *s
		c.Into.Choice = notation.Next
		e.add(slices.Concat(steps[:first], []notation.Step{&c}, steps[first:]), 3, e.words(s), e.words(s)+" at the start too").edge = true
	}
}

// shapes says whether a step gains or loses stitches.
func (e *editor) shapes(s *notation.Stitches) bool {
	en := e.mk.resolve(s)
	if s.Into.Choice == notation.EachTo || en.parts != nil || s.Name == slip {
		return false
	}
	return en.consumes > 1 || e.mk.count(s.Each)*en.each > 1
}

// words writes an instruction as the trade does, in the terms of the text.
func (e *editor) words(s *notation.Stitches) string {
	en := e.mk.resolve(s)
	each := e.mk.count(s.Each) * en.each
	name := e.mk.w.word(en.id)
	n := e.mk.count(s.Into.Many)
	switch {
	case s.Into.Choice == notation.EachTo && each > 1:
		return fmt.Sprintf("%d %s in each", each, name)
	case s.Into.Choice == notation.EachTo:
		return name + " in each"
	case s.Into.Choice == notation.Last:
		return fmt.Sprintf("%d %s in last", each, name)
	case each > 1 && n > 1:
		return fmt.Sprintf("%d %s in each of next %d", each, name, n)
	case each > 1:
		return fmt.Sprintf("%d %s in next", each, name)
	case n > 1:
		return fmt.Sprintf("%s in next %d", name, n)
	}
	return name
}

func abs(n int) int { return max(n, -n) }
