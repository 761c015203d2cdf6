package fabric

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// endless is more stitches than any row has.
const endless = 1 << 30

// stitches works one instruction to make stitches.
func (mk *maker) stitches(s *notation.Stitches, after []notation.Step) {
	if s == mk.paired {
		return // worked already, together with the step before
	}
	if s.Each.Said() && s.Each.At(mk.w.size) == 0 || s.Into.Many.Said() && s.Into.Many.At(mk.w.size) == 0 {
		return // "0 (0, 2) dc": nothing in this size
	}
	if d, ok := mk.w.defs[s.Name]; ok && len(d.Steps) > 0 && mk.depth < maxDepth {
		mk.defined(s, d, after)
		return
	}
	mk.marks = mk.marks || s.Into.What == notation.MarkedStitch || s.Into.To == notation.ToMark
	e := mk.resolve(s)
	each := mk.count(s.Each) * e.each
	if e.kind == stitch.Increase || s.Name == "inc" {
		mk.out.unit("inc", 1)
		if s.Each.Said() && s.Each.At(mk.w.size) == e.each {
			each = e.each // "2 sc inc" is one increase
		}
	}
	if e.consumes == 0 {
		mk.loosely(e, each, s)
		return
	}
	if !mk.begun && e.kind == stitch.Slip {
		mk.lead += mk.count(s.Into.Many)
	}
	if mk.fixed != nil && (s.Into.Unsaid || s.Into.Choice == notation.Same) {
		mk.intoSpot(e, each*mk.count(s.Into.Many), s)
		return
	}
	if mk.intoRing(s) {
		mk.used = true
		mk.put(e, 1, each*mk.count(s.Into.Many), 0, mk.into(s, notation.RingCentre))
		return
	}
	mk.choose(e, each, s, after)
}

// into is the step with another target, for the record.
func (mk *maker) into(s *notation.Stitches, t notation.Target) *notation.Stitches {
	c := *s
	c.Into.What = t
	return &c
}

// loosely works what needs no place below: picots, foundation stitches.
func (mk *maker) loosely(e *entry, each int, s *notation.Stitches) {
	n := mk.count(s.Into.Many)
	if e.kind == stitch.Foundation && mk.st.base == nil {
		mk.found.chains += n * each
	}
	mk.flush(0)
	mk.out.record(Made{ID: e.id, N: n, Each: each, Into: notation.ChainFromHook, Loop: s.Loop})
	mk.begun = mk.begun || e.makes > 0
	if e.makes > 0 {
		mk.out.top = mk.out.top.add(leaf(cell{kind: stitchCell, id: e.base}, n*each*e.makes))
	} else {
		mk.out.unit(e.base, n*each)
	}
}

func (mk *maker) intoSpot(e *entry, many int, s *notation.Stitches) {
	f := mk.fixed
	if f.put {
		mk.put(e, 1, many, 0, mk.into(s, f.into))
		return
	}
	f.put = true
	mk.put(e, 1, many, f.takes, mk.into(s, f.into))
}

func (mk *maker) intoRing(s *notation.Stitches) bool {
	p := s.Into
	if p.What == notation.RingCentre {
		mk.ring = true
		return true
	}
	if !mk.ring {
		return false
	}
	if p.Unsaid || p.Choice == notation.Around || p.Choice == notation.Same || len(mk.base) == 0 {
		return true
	}
	return p.What == notation.AnyStitch && p.Choice == notation.Next && s.Each.Said()
}

// choose finds the places that a step names and works into them.
func (mk *maker) choose(e *entry, each int, s *notation.Stitches, after []notation.Step) {
	p := s.Into
	if p.Over { // one stitch over all these places
		over, one := *e, *s
		over.consumes = mk.count(p.Many)
		one.Into.Over, one.Into.Many = false, nil
		mk.choose(&over, each, &one, after)
		return
	}
	w := mk.want(p)
	switch {
	case p.What == notation.ChainFromHook:
		mk.fromHook(e, each, s)
		return
	case p.What == notation.ChainStitch && mk.spurs > 0:
		mk.alongSpur(e, each, s)
		return
	case p.What == notation.Space && !mk.open():
		s = mk.into(s, notation.SpaceBetween)
		w = mk.want(s.Into)
	case p.What == notation.OtherSide:
		mk.otherSide()
		w = want{target: notation.AnyStitch}
	case p.What == notation.RowEnd:
		mk.rowEnds(e, each, s)
		return
	case p.What == notation.TurningChain && p.Choice != notation.EachTo:
		mk.topOfTurn(e, each, s)
		return
	}
	if s.Into.What == notation.SpaceBetween && p.Choice != notation.Same {
		mk.gaps(e, each, s)
		return
	}
	switch p.Choice {
	case notation.EachTo:
		mk.eachTo(e, each, s, w, after)
	case notation.Same:
		mk.again(e, each, s)
	case notation.First:
		mk.firstPlace(e, each, s, w)
	case notation.Last:
		mk.lastPlace(e, each, s, w)
	case notation.Nth:
		mk.nth(e, each, s, w)
	case notation.Spread:
		mk.spread(e, each, s)
	default:
		mk.along(e, each, s, w, mk.count(p.Many))
	}
}

// want is what a place asks for.
func (mk *maker) want(p notation.Place) want {
	w := want{target: p.What, name: p.Name, size: p.Size, spaces: p.Spaces}
	if p.Corner && p.Size == 0 {
		w.size = mk.corner()
	}
	switch p.What {
	case notation.NamedStitch:
		if p.Name == "" || p.Name == "st" {
			w.target = notation.AnyStitch
		} else if p.Name == chainID {
			w.target = notation.ChainStitch
		}
	case notation.ChainSpace, notation.Space:
		w.whole = true
	case notation.SpaceBetween:
		w.target = notation.AnyStitch
	case notation.RingCentre:
		w.target = notation.AnyStitch
	}
	return w
}

// along works into the next n places.
func (mk *maker) along(e *entry, each int, s *notation.Stitches, w want, n int) {
	if s.Into.Choice == notation.Between {
		mk.between(e, each, s, n)
		return
	}
	if each > 1 && e.consumes > 1 {
		n, each = n*each, 1
	}
	left := mk.over(e, each, s, w, n, 0)
	switch {
	case left > 0 && mk.beyond:
		mk.put(e, left, each, 0, s) // picked up along an edge
	case left > 0:
		mk.short(e, each, s, w, n, left)
	}
}

// over works into up to n places, one after another, as long as keep stitches
// of the row below stay free. It returns how many it could not work.
func (mk *maker) over(e *entry, each int, s *notation.Stitches, w want, n, keep int) int {
	c := e.consumes
	mk.loop = w
	for n > 0 && mk.w.fuel > 0 {
		at, passed, ok := mk.find(w)
		if !ok || mk.stops(at, passed) {
			return n
		}
		if mk.left()-passed.live < keep+c && keep > 0 {
			return n
		}
		before, done, gone := mk.cur, mk.done, mk.gone
		mk.skipTo(at, passed)
		room := n
		if keep > 0 {
			room = min(n, (mk.left()-keep)/c)
		}
		w.single = c > 1
		k, m := mk.take(w, room*c)
		if over := k % c; k > c && over > 0 { // whole stitches first
			mk.cur = at
			k, m = mk.take(w, k-over)
		}
		mk.done.add(m)
		if k%c == 0 {
			mk.places(e, each, s, k/c, m.raw)
			n -= k / c
			continue
		}
		if !mk.straddle(e, each, s, w, k, m.raw) {
			mk.cur, mk.done, mk.gone = before, done, gone
			return n
		}
		n--
	}
	return max(n, 0)
}

// places records k places that used raw cells in all.
func (mk *maker) places(e *entry, each int, s *notation.Stitches, k, raw int) {
	if raw == k*e.consumes || raw%k == 0 && raw >= k {
		mk.put(e, k, each, raw/k, s)
		return
	}
	mk.put(e, 1, each, min(raw, 1), s) // chain by chain within a space
	mk.put(e, k-1, each, 0, s)
	mk.used = true
}

// straddle finishes a stitch worked over places that do not stand side by
// side, of which k are taken. It is false when there are not enough.
func (mk *maker) straddle(e *entry, each int, s *notation.Stitches, w want, k, raw int) bool {
	for k < e.consumes {
		at, passed, ok := mk.find(w)
		if !ok {
			return false
		}
		mk.cur = at
		mk.done.add(passed)
		got, m := mk.take(w, e.consumes-k)
		mk.done.add(m)
		k += got
		raw += passed.raw + m.raw
	}
	mk.put(e, 1, each, raw, s)
	return true
}

// stops says whether the place where "in each stitch" ends lies among what
// would be passed over.
func (mk *maker) stops(at cursor, passed moved) bool {
	if mk.stop == nil {
		return false
	}
	if mk.stop.fits(mk.base.leafAt(at), mk.w.baseOf) {
		return true
	}
	if passed.raw == 0 {
		return false
	}
	_, before, ok := mk.find(*mk.stop)
	return ok && before.raw < passed.raw
}

// short says that the row below has too few places.
func (mk *maker) short(e *entry, each int, s *notation.Stitches, w want, n, left int) {
	if mk.beyond {
		return
	}
	if mk.side && left <= mk.spare {
		mk.spare -= left
		mk.put(e, left, each, 0, s)
		return
	}
	if !mk.begun && e.kind == stitch.Slip || e.kind == stitch.Slip && mk.left() == 0 {
		return // slip stitches that step down or close need no place
	}
	have := n - left
	switch {
	case w.target == notation.AnyStitch || w.target == notation.ChainStitch:
		mk.fail(KindShort, fmt.Sprintf("%s: %s for %s, but the row below has %s left there",
			mk.w.quote(s, e), placesNeeded(n*e.consumes), timesText(n, e), onlyText(have*e.consumes+mk.left())), s)
	default:
		mk.fail(KindPlace, fmt.Sprintf("there is no %s left to work into%s", w.text(mk.w), mk.instead(w)), s)
		mk.otherwise(e, left, s, w)
	}
}

// otherwise works into the next best place, so that one wrong word does not
// upset all that follows.
func (mk *maker) otherwise(e *entry, n int, s *notation.Stitches, w want) {
	if mk.calm {
		return
	}
	next := want{target: notation.AnyStitch}
	if w.whole {
		next = want{target: notation.Space, whole: true}
	}
	mk.over(e, mk.count(s.Each)*e.each, s, next, n, 0)
}

// instead names what stands there instead of what is looked for.
func (mk *maker) instead(w want) string {
	any := want{target: notation.AnyStitch}
	if w.whole {
		any = want{target: notation.Space, whole: true}
	}
	at, _, ok := mk.find(any)
	if !ok {
		return ""
	}
	c := mk.base.leafAt(at)
	switch {
	case c.kind == spaceCell && w.target == notation.ChainSpace:
		return fmt.Sprintf(": the next space is of %d", c.size)
	case c.kind == stitchCell && w.target == notation.NamedStitch:
		return ": the next stitch is " + a(mk.w.word(c.id))
	}
	return ""
}
