package fabric

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// eachTo works into every place up to a limit.
func (mk *maker) eachTo(e *entry, each int, s *notation.Stitches, w want, after []notation.Step) {
	p := s.Into
	if and, ok := pairs(s, after); ok {
		other := mk.want(and.Into)
		w.or, mk.paired = &other, and
	}
	keep, n := mk.rest.stitches, endless
	if p.To == notation.ToLast {
		keep = max(0, p.Left.At(mk.w.size))
		if w.whole || spacelike(p.LeftOf) {
			n, keep = mk.ahead(want{target: notation.Space, whole: true})-keep, 0
		}
	}
	if w.whole {
		keep = 0
		if p.To != notation.ToLast && mk.rest.spaces > 0 {
			n = max(0, mk.ahead(w)-mk.rest.spaces)
		}
	}
	outer := mk.stop
	if p.To == notation.ToSpace {
		mk.stop = &want{target: p.LeftOf, size: p.LeftSize, name: p.LeftName, whole: true}
		if p.LeftOf == notation.AnyStitch || p.LeftOf == notation.NamedStitch && p.LeftName == "" {
			mk.stop.target = notation.Space
		}
		keep = 0
	}
	if mk.stop == nil && !w.whole && w.target != notation.ChainStitch && p.To != notation.ToLast && (mk.seek || seeksSpace(after)) {
		mk.stop = &want{target: notation.Space, whole: true}
	}
	begin := n
	if !w.whole && spacelike(p.LeftOf) && p.To == notation.ToLast {
		mk.stop = &want{target: notation.Space, whole: true}
		begin, n = endless, endless
	}
	if p.Every > 1 {
		n = mk.everyOther(e, each, s, w, n, keep)
	} else {
		n = mk.over(e, each, s, w, n, keep)
	}
	mk.stop = outer
	if n == begin && begin > 0 && !mk.beyond && mk.left() < keep+e.consumes {
		mk.fail(KindShort, fmt.Sprintf("%s: no stitch of the row below is left for it", mk.w.quote(s, e)), s)
	}
}

// pairs finds the other half of "sc in each dc and in each ch": the same
// stitch, in each place of another kind. Both are worked in the order of the
// places.
func pairs(s *notation.Stitches, after []notation.Step) (*notation.Stitches, bool) {
	if len(after) == 0 {
		return nil, false
	}
	o, ok := after[0].(*notation.Stitches)
	if !ok || o.Name != s.Name || o.Into.Choice != notation.EachTo || o.Into.To != s.Into.To || o.Each.At(0) != s.Each.At(0) {
		return nil, false
	}
	return o, o.Into.What != s.Into.What || o.Into.Name != s.Into.Name || o.Into.Size != s.Into.Size
}

// everyOther works into one place of every few.
func (mk *maker) everyOther(e *entry, each int, s *notation.Stitches, w want, n, keep int) int {
	for n > 0 && mk.w.fuel > 0 {
		if mk.over(e, each, s, w, 1, keep) > 0 {
			return n
		}
		n--
		if mk.left() >= keep+s.Into.Every-1 {
			mk.pass(w, s.Into.Every-1)
		}
	}
	return n
}

// pass moves over n places without working them; it returns how many are
// missing.
func (mk *maker) pass(w want, n int) int {
	for n > 0 && mk.w.fuel > 0 {
		at, passed, ok := mk.find(w)
		if !ok {
			return n
		}
		mk.skipTo(at, passed)
		k, m := mk.take(w, n)
		mk.done.add(m)
		mk.gone.add(m)
		n -= k
	}
	return max(n, 0)
}

// skip passes over places.
func (mk *maker) skip(s *notation.Skip) {
	if s.Many.Said() && s.Many.At(mk.w.size) == 0 {
		return
	}
	if s.What == notation.RowEnd {
		mk.beyond = true // along an edge: no stitch is passed over
		return
	}
	n := mk.count(s.Many)
	if s == mk.same && !mk.bare {
		if n--; n == 0 {
			return // the chain stands on it
		}
	}
	w := mk.want(notation.Place{What: s.What, Name: s.Name})
	if mk.found.chains > 0 && !mk.begun && !mk.turning && mk.done == (moved{}) && mk.st.rows == 0 {
		mk.edge(n)
		return
	}
	from, had := mk.cur, mk.left()
	missing := mk.pass(w, n)
	if n >= bigSkip || n >= 3 && mk.depth == 0 {
		mk.keepAside(from, had-mk.left())
	}
	mk.loop = w
	switch {
	case missing == 0 || mk.beyond:
	case mk.lenient && missing == n && mk.begun && mk.needs(mk.following)[0] == need{}:
		// "*sc in next st, sk 1; rep from * across": nothing is left to skip
	case w.target == notation.AnyStitch || w.target == notation.ChainStitch:
		mk.fail(KindShort, fmt.Sprintf("%s to skip, but the row below has only %s left there", plural(n, "stitch"), numeral(n-missing)), s)
	default:
		mk.fail(KindPlace, "there is no "+w.text(mk.w)+" left to skip"+mk.instead(w), s)
	}
}

// keepAside remembers stitches that were skipped, for yarn joined later.
func (mk *maker) keepAside(from cursor, n int) {
	if n <= 0 || mk.calm {
		return
	}
	id := mk.id
	if from = mk.base.settle(from); from.i < len(mk.base) {
		if l := mk.base.leafAt(from); l.kind == stitchCell {
			id = l.id
		}
	}
	mk.st.setAside(seq{leaf(cell{kind: stitchCell, id: id}, n)})
}

// again works into the place worked into last.
func (mk *maker) again(e *entry, each int, s *notation.Stitches) {
	n := each * mk.count(s.Into.Many)
	switch {
	case mk.at != nil:
		w := *mk.at
		mk.at = nil
		mk.along(e, n, mk.into(s, w.target), w, 1)
	case !mk.used && !mk.ring && len(mk.base) > 0:
		mk.along(e, n, s, want{target: notation.AnyStitch}, 1)
	default:
		mk.put(e, 1, n, 0, s)
	}
}

// firstPlace works into the first place of the row.
func (mk *maker) firstPlace(e *entry, each int, s *notation.Stitches, w want) {
	switch {
	case (!mk.used || mk.first && w.whole) && mk.at == nil && w.target != notation.AnyStitch && w.target != notation.TurningChain:
		mk.along(e, each, s, w, mk.count(s.Into.Many))
	case mk.at != nil || !mk.used || mk.first:
		if e.consumes > 1 && !mk.used {
			mk.along(e, each, s, want{target: notation.AnyStitch}, 1)
			return
		}
		if n := mk.count(s.Into.Many); n > 1 { // "in first 3 sts"
			mk.along(e, each, s, want{target: notation.AnyStitch}, n)
			return
		}
		mk.again(e, each, s)
	case e.kind == stitch.Slip:
		mk.join()
	case mk.depth > 0 && w.target == notation.AnyStitch && mk.left() > 0:
		mk.along(e, each, s, w, mk.count(s.Into.Many)) // "*2 sc in first st, …; rep from *": the first of each repeat
	default:
		mk.put(e, 1, each, 0, s)
	}
}

// lastPlace works into the last place of the row: what lies before it stays
// unworked.
func (mk *maker) lastPlace(e *entry, each int, s *notation.Stitches, w want) {
	n := mk.count(s.Into.Many)
	if w.target == notation.AnyStitch && mk.left() == n*e.consumes || w.whole {
		if w.whole {
			mk.pass(w, mk.ahead(w)-n)
		}
		mk.along(e, each, s, w, n)
		return
	}
	before := mk.ahead(want{solid: true})
	if over := mk.ahead(w) - n*e.consumes; over > 0 {
		mk.pass(w, over)
		if w.target == notation.AnyStitch || w.target == notation.ChainStitch && mk.onFoundation() {
			if !spacelike(mk.loop.target) {
				mk.missed += before - mk.ahead(want{solid: true})
			}
		}
	}
	mk.along(e, each, s, w, n)
}

// nth works into a place counted from where the hook is.
func (mk *maker) nth(e *entry, each int, s *notation.Stitches, w want) {
	if s.Into.What == notation.ChainStitch && !mk.onFoundation() && mk.used {
		mk.topOfTurn(e, each, s) // "in 3rd ch of turning ch"
		return
	}
	n := mk.count(s.Into.Many)
	if missing := mk.pass(w, n-1); missing > 0 {
		mk.fail(KindShort, fmt.Sprintf("%s: the row below has no %s %s left", mk.w.quote(s, e), notation.Ordinal(n), w.text(mk.w)), s)
		return
	}
	mk.along(e, each, s, w, 1)
}

// spread works a number of increases or decreases evenly over the row, and the
// stitch of the row between them.
func (mk *maker) spread(e *entry, each int, s *notation.Stitches) {
	n, any := mk.count(s.Into.Many), want{target: notation.AnyStitch}
	of := s.Of
	if of == "" {
		of = mk.id
	}
	plain, between := mk.w.entry(of), mk.left()-mk.rest.stitches-n*e.consumes
	if between < 0 {
		mk.fail(KindShort, fmt.Sprintf("%s needs %s, and the row below has %d", mk.w.quote(s, e), plural(n*e.consumes, "stitch"), mk.left()), s)
		return
	}
	step := mk.into(s, notation.AnyStitch)
	for i := range min(n, maxStitches) {
		gap := (2*i+1)*between/(2*n) - max(0, (2*i-1)*between/(2*n))
		if i == 0 {
			gap = between / (2 * n)
		}
		mk.over(plain, 1, step, any, gap, 0)
		mk.over(e, each, step, any, 1, 0)
	}
	mk.over(plain, 1, step, any, mk.left()-mk.rest.stitches, 0)
}

// corner is the size of the largest spaces of the row below, which mark the
// corners of a square.
func (mk *maker) corner() int {
	size := 0
	for i := range mk.base {
		r := &mk.base[i]
		if r.kind == spaceCell && r.sub == nil {
			size = max(size, r.size)
		}
		for k := range r.sub {
			if r.sub[k].kind == spaceCell {
				size = max(size, r.sub[k].size)
			}
		}
	}
	return size
}

// ahead counts the places that fit from the cursor on.
func (mk *maker) ahead(w want) int {
	cur, done, gone := mk.cur, mk.done, mk.gone
	n := endless - mk.pass(w, endless)
	mk.cur, mk.done, mk.gone = cur, done, gone
	return n
}

// between works into the gaps between stitches, or between the groups that
// share a place.
func (mk *maker) between(e *entry, each int, s *notation.Stitches, n int) {
	any := want{target: notation.AnyStitch}
	mk.loop = want{target: notation.SpaceBetween}
	for range n {
		if !mk.passGroup() {
			mk.short(e, each, s, any, 1, 1)
			return
		}
		mk.put(e, 1, each, 0, mk.into(s, notation.SpaceBetween))
		mk.used = true
	}
}

// gaps works into gaps between stitches, chosen as a place chooses.
func (mk *maker) gaps(e *entry, each int, s *notation.Stitches) {
	p := s.Into
	n := mk.count(p.Many)
	switch p.Choice {
	case notation.EachTo:
		keep := mk.rest.spaces
		if p.To == notation.ToLast {
			keep = p.Left.At(mk.w.size)
		}
		n = mk.spacesAhead() - keep
	case notation.Last:
		for range mk.spacesAhead() - n {
			mk.passGroup()
		}
	}
	mk.between(e, each, s, n)
}

// passGroup moves past the stitches that share a place, to the gap behind
// them. It is false when no gap is left.
func (mk *maker) passGroup() bool {
	any := want{target: notation.AnyStitch}
	if mk.first && mk.left() > 0 && mk.atGap() {
		mk.first = false // the turning chain stands on a stitch of its own
		return true
	}
	for {
		at, passed, ok := mk.find(any)
		if !ok || mk.kind != notation.Round && mk.left()-passed.live <= 1 {
			return false
		}
		mk.skipTo(at, passed)
		c := *mk.base.leafAt(at)
		n := 1
		if c.of > 1 {
			n = c.of - mk.cur.off%c.of
		}
		_, m := mk.take(any, n)
		mk.done.add(m)
		mk.gone.add(m)
		next, _, ok := mk.find(any)
		if !ok {
			return mk.kind == notation.Round
		}
		if mk.st.turned && !c.same || !mk.st.turned && !mk.base.leafAt(next).same {
			return true
		}
	}
}

// atGap says whether the cursor stands between two groups.
func (mk *maker) atGap() bool {
	c := mk.base.settle(mk.cur)
	if c.i >= len(mk.base) {
		return false
	}
	l := mk.base.leafAt(c)
	if l.of > 1 && c.off%l.of != 0 {
		return false
	}
	if mk.st.turned {
		return c.i == 0 || !mk.base[c.i-1].same
	}
	return !l.same
}

// topOfTurn works into the top of the turning chain of the row below.
func (mk *maker) topOfTurn(e *entry, each int, s *notation.Stitches) {
	w := want{target: notation.TurningChain}
	at, passed, ok := mk.find(w)
	if !ok {
		mk.lastPlace(e, each, s, want{target: notation.AnyStitch})
		return
	}
	before := mk.ahead(want{solid: true})
	mk.skipTo(at, passed)
	if !spacelike(mk.loop.target) {
		mk.missed += before - mk.ahead(want{solid: true})
	}
	dead := mk.base.leafAt(at).dead
	_, m := mk.take(w, 1)
	mk.done.add(m)
	if dead && e.consumes == 1 {
		mk.fail(KindTurn, "it works into the top of a turning chain that does not count as a stitch", s)
	}
	mk.loop = w
	mk.put(e, 1, each, m.raw, s)
}

// otherSide turns to the chains' other edge, once.
func (mk *maker) otherSide() {
	if mk.side {
		return
	}
	n := max(0, mk.found.chains-mk.found.skipped-1)
	if mk.found.chains == 0 {
		n = max(0, mk.st.chains-mk.st.skipped) // a later round: every chain that carries a stitch
	}
	mk.side = true
	mk.base, mk.cur, mk.done = seq{}, cursor{}, moved{}
	if n > 0 {
		mk.base = seq{leaf(cell{kind: chainCell}, n)}
	}
	mk.spare = min(1, mk.found.skipped) // the chain where the first side began
	_, mk.live = mk.base.weight()
}

// rowEnds works along the side of the piece.
func (mk *maker) rowEnds(e *entry, each int, s *notation.Stitches) {
	mk.beyond = true
	n := mk.count(s.Into.Many)
	if s.Into.Choice == notation.EachTo {
		n = max(1, mk.st.rows)
	}
	mk.put(e, n, each, 0, s)
}

func spacelike(t notation.Target) bool {
	return t == notation.ChainSpace || t == notation.Space || t == notation.SpaceBetween
}

// seeksSpace says whether a later step of the same list goes into a space.
func seeksSpace(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			if spacelike(s.Into.What) {
				return true
			}
		case *notation.Group:
			if s.Into != nil && spacelike(s.Into.What) || seeksSpace(s.Steps) {
				return true
			}
		}
	}
	return false
}
