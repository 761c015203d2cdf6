package regauge

import (
	"slices"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

// chain is the foundation chain of a piece and how it depends on the stitches
// of its first row.
type chain struct {
	line  int // of the part; -1: there is none
	many  int
	first int // stitches of the first row
	of    int // so many chains more make …
	makes int // … so many stitches more
}

// length is the chain for so many stitches in the first row.
func (c chain) length(stitches int) int {
	return c.many + (stitches-c.first)*c.of/c.makes
}

// reach is how far from the wanted count others are tried, to see which a
// stitch pattern allows; enough is how many are looked for.
const (
	reach  = 36
	enough = 4
)

// multiples enters which counts a block allows. It is false where it allows
// none near the wanted one.
func (r *rounding) multiples(p *plan, i int) bool {
	b := &p.blocks[i]
	target := float64(b.start) * r.m.To.Stitches / r.m.From.Stitches
	switch {
	case b.grown() && inRing(b.rows[0].of.Steps):
		return true
	case b.grown():
		return r.grownMultiples(p, i, target)
	case b.steps(), b.evenly():
		return true
	case b.each == 0:
		if !r.m.even(b, b.start) { // it works into spaces and groups below: tried with the foundation
			return true
		}
		return r.allowed(b, target, func(c int) bool { return r.m.even(b, c) })
	case b.edge == fabric.Spread && !b.spreadable():
		if r.Counts[b.startAt].Min == r.Counts[b.startAt].Max {
			return true
		}
		if r.m.shapesWithin(b) {
			return true
		}
		return r.allowed(b, target, func(c int) bool {
			_, ok := r.m.shapedFrom(b, c)
			return ok
		})
	}
	return true
}

// even says whether the rows of an even block can be worked over a count.
func (m *maker) even(b *block, count int) bool {
	seen := map[string]bool{}
	for j := range min(len(b.rows), b.lead+max(1, b.cycle)) {
		row := &b.rows[j]
		if seen[row.form] {
			continue
		}
		seen[row.form] = true
		if _, ok := m.fitted(row, count, count); !ok {
			return false
		}
	}
	return true
}

// shapesWithin says whether the shaped rows of a block work into what the rows
// below left, and so can't be tried alone.
func (m *maker) shapesWithin(b *block) bool {
	r := &b.rows[b.shaped[0]]
	return !m.trial(r.of.Steps, r.kind, r.below, r.count.Stitches)
}

// shapedFrom finds a shaped row of a block that can be worked over a count.
func (m *maker) shapedFrom(b *block, base int) ([]notation.Step, bool) {
	rows := make([]*row, 0, len(b.shaped))
	for _, i := range b.shaped {
		rows = append(rows, &b.rows[i])
	}
	slices.SortStableFunc(rows, func(x, y *row) int { return abs(x.below-base) - abs(y.below-base) })
	for _, r := range rows {
		if steps, ok := m.fitted(r, base, base+b.each); ok {
			return steps, true
		}
	}
	return nil, false
}

// allowed tries counts around the wanted one and enters the multiple that
// those which can be worked have in common.
func (r *rounding) allowed(b *block, target float64, can func(count int) bool) bool {
	tries := near(target, reach)
	var good []int
	for k, c := range tries {
		if can(c) {
			good = append(good, c)
		}
		if k == 3 && len(good) == 4 {
			return true // any count
		}
		if len(good) == enough {
			break
		}
	}
	of, plus, ok := common(good)
	if ok {
		r.multiple(b.startAt, of, plus, span(b.rows)+" by its stitch pattern")
	}
	return ok
}

// common is the multiple that numbers have in common: of·n + plus.
func common(good []int) (of, plus int, ok bool) {
	if len(good) < 2 {
		return 0, 0, false
	}
	slices.Sort(good)
	for _, c := range good[1:] {
		of = gcd(of, c-good[0])
	}
	return of, good[0] % of, true
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// grownMultiples tries foundation chains around the wanted one with the rows
// of a block that begins on it.
func (r *rounding) grownMultiples(p *plan, i int, target float64) bool {
	b := &p.blocks[i]
	if p.chain.line >= 0 {
		return true // begun on its own long before: yarn is joined anew
	}
	p.chain = p.foundation(b)
	if p.chain.line < 0 {
		return true // a chain that the text leaves open
	}
	c := &p.chain
	var good [][2]int
	tries := near(target*float64(c.many)/float64(c.first), reach)
	for _, many := range tries {
		if first, ok := r.m.tryChain(p, b, many); ok {
			good = append(good, [2]int{many, first})
		}
		if len(good) == enough {
			break
		}
	}
	if len(good) < 2 {
		return false
	}
	slices.SortFunc(good, func(x, y [2]int) int { return x[0] - y[0] })
	c.of, c.makes = good[1][0]-good[0][0], good[1][1]-good[0][1]
	for k := 1; k < len(good); k++ {
		if (good[k][0]-good[0][0])*c.makes != (good[k][1]-good[0][1])*c.of || c.makes <= 0 {
			return false
		}
	}
	counts := make([]int, len(good))
	for k := range good {
		counts[k] = good[k][1]
	}
	of, plus, _ := common(counts)
	r.multiple(b.startAt, of, plus, span(b.rows)+" by its stitch pattern")
	return true
}

// foundation finds the chain that a block begins on.
func (p *plan) foundation(b *block) chain {
	c := chain{line: -1, first: b.start, of: 1, makes: 1}
	for line := b.rows[0].line; line >= 0; line-- {
		l, ok := p.part.Lines[line].(*notation.Row)
		if !ok {
			continue
		}
		if n := chainIn(l.Steps); n != nil {
			c.line, c.many = line, n.At(0)
			return c
		}
		if line < b.rows[0].line {
			break
		}
	}
	return c
}

// chainIn is the length of a foundation chain among steps, joined into a ring
// or not; nil: there is none.
func chainIn(steps []notation.Step) *notation.Number {
	for _, s := range steps {
		var n *notation.Number
		switch s := s.(type) {
		case *notation.Chain:
			n = &s.Many
		case *notation.Ring:
			n = &s.Chains
		case *notation.Stitches, *notation.Group:
			return nil
		default:
			continue
		}
		if n.At(0) > 2*small {
			return n
		}
		return nil
	}
	return nil
}

// tryChain works the rows of a block, and of the even ones on it, on a
// foundation of so many chains, and returns what the first row makes.
func (m *maker) tryChain(p *plan, b *block, many int) (first int, ok bool) {
	var lines []notation.Line
	c := p.chain
	if c.line < b.rows[0].line {
		base := stepsIn(p.part.Lines[c.line].(*notation.Row).Steps, 0)
		*chainIn(base) = notation.N(many)
		lines = append(lines, &notation.Row{Steps: base})
	}
	rows := p.sample(b)
	for j, r := range rows {
		steps := m.onChain(r, many, many-c.many)
		if j > 0 {
			tries := m.fits(r.of.Steps, r.below, first-c.first, false)
			if len(tries) == 0 {
				return 0, false
			}
			steps = tries[0]
		}
		n := notation.N(j + 1)
		lines = append(lines, &notation.Row{Label: notation.Label{Kind: r.kind, From: n, To: n}, Steps: steps})
		if j == 0 {
			if first, ok = m.lastCount(lines, r.count); !ok || first < 1 {
				return 0, false
			}
		}
	}
	end := rows[len(rows)-1].count
	last, ok := m.lastCount(lines, end)
	return first, ok && last == first+end.Stitches-c.first
}

// sample is each row of a block and of the even ones on it that is worked
// differently from the rows before it, and one row more of each.
func (p *plan) sample(b *block) []*row {
	var rows []*row
	on := false
	for i := range p.blocks {
		o := &p.blocks[i]
		if o == b {
			on = true
		} else if on && (o.each != 0 || o.grown()) {
			break
		}
		if on {
			for j := range min(len(o.rows), o.lead+max(1, o.cycle)+1) {
				rows = append(rows, &o.rows[j])
			}
		}
	}
	return rows
}

// onChain is a first row worked on another foundation chain.
func (m *maker) onChain(r *row, many, diff int) []notation.Step {
	steps := r.of.Steps
	if tries := m.fits(steps, many-diff, diff, false); len(tries) > 0 {
		steps = tries[0]
	}
	if n := chainIn(steps); n != nil {
		*n = notation.N(many)
	}
	return steps
}

// lastCount works lines and returns what the last row makes, counted as the
// pattern counts a row like it: with the chains of its spaces or without. It is
// false where the lines don't hold.
func (m *maker) lastCount(lines []notation.Line, like *fabric.Count) (int, bool) {
	doc := &notation.Document{Terms: m.doc.Terms, SizeCount: 1, Definitions: m.doc.Definitions, Parts: []notation.Part{{Make: 1, Lines: lines}}}
	res := fabric.Work(doc, fabric.Options{})
	if !res.OK() || len(res.Pieces[0].Rows) == 0 {
		return 0, false
	}
	rows := res.Pieces[0].Rows
	last := rows[len(rows)-1].PerSize[0]
	if sum(like.By) == like.Stitches {
		return sum(last.By), true
	}
	return last.Stitches, true
}

func sum(by []fabric.Tally) int {
	n := 0
	for _, t := range by {
		n += t.N
	}
	return n
}
