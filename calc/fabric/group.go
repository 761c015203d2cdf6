package fabric

import (
	"fmt"

	"countwright/calc/notation"
)

// group works several steps as one.
func (mk *maker) group(g *notation.Group, after []notation.Step) {
	if mk.depth >= maxDepth {
		mk.fail(KindLimit, fmt.Sprintf("brackets within brackets, more than %d deep, are not worked", maxDepth), g)
		return
	}
	if g.Into != nil {
		mk.inPlace(g, after)
		return
	}
	n, keep := mk.times(g)
	if n == 0 {
		return
	}
	mk.depth++
	if g.Times.To == notation.NoLimit && n == 1 && mk.depth == 1 && g.Partial == 0 {
		mk.depth-- // a mere bracket
		mk.run(g.Steps)
		return
	}
	mk.repeat(g, n, keep, after)
	mk.depth--
}

// times returns how often a group is worked at most, and how many stitches
// must stay free behind it (-1: what the following steps need).
func (mk *maker) times(g *notation.Group) (n, keep int) {
	n, keep = mk.most(g.Times)
	if n > maxTimes && n != endless {
		mk.fail(KindLimit, fmt.Sprintf("a repeat of %d times is more than is worked: up to %d", n, maxTimes), g)
		n = maxTimes
	}
	return n, keep
}

// repeat works the steps of a group again and again.
func (mk *maker) repeat(g *notation.Group, n, keep int, after []notation.Step) {
	toEnd := n == endless
	free := mk.rest
	if keep >= 0 {
		free.stitches = keep
	}
	if toEnd && mk.ring && len(mk.base) == 0 {
		mk.fail(KindRepeat, "a repeat to the end of a round that is worked into a ring has no end: say how many times", g)
		n, toEnd = 1, false
	}
	outer, rest := mk.out, mk.rest
	mk.rest = need{}
	seek := mk.seek
	mk.seek = seek || seeksSpace(after) || seeksSpace(g.Steps)
	loop := looping{mk: mk, g: g, outer: outer, toEnd: toEnd, keep: free.stitches, open: free.spaces}
	if g.Times.To == notation.ToEnd && len(after) > 0 {
		loop.follow = after[0]
	}
	for done := 0; done < n; {
		k, ok := loop.once(n - done)
		if !ok {
			break
		}
		done += k
	}
	mk.out, mk.rest, mk.seek = outer, rest, seek
	loop.finish()
}

// looping is a repeat at work.
type looping struct {
	mk     *maker
	g      *notation.Group
	outer  *builder
	toEnd  bool
	follow notation.Step // what stands behind a repeat to the end
	keep   int           // stitches that stay free behind it
	open   int           // and spaces
	last   *builder      // what the time before made
	spare  *builder      // free for use
	takes  int           // stitches of the row below that it used
	times  int
	dry    bool // a time used nothing of the row below
}

// once works the group one more time, and as many times more as go just alike.
// It returns how many, and false when the repeat is over.
func (l *looping) once(left int) (int, bool) {
	mk := l.mk
	if mk.w.fuel <= 0 || mk.quits {
		return 0, false
	}
	if l.toEnd && mk.left() <= l.keep && !l.openAhead() {
		return 0, false
	}
	save, calm, lenient := mk.hand, mk.calm, mk.lenient
	mk.out = l.blank()
	mk.calm = mk.calm || l.toEnd
	mk.lenient = l.toEnd && l.g.Partial == 0
	steps := l.g.Steps
	if l.g.Partial > 0 && left == 1 && !l.toEnd {
		steps = steps[:min(l.g.Partial, len(steps))]
	}
	mk.runInner(steps)
	quits := mk.quits
	mk.lenient = lenient
	if mk.calm = calm; l.toEnd {
		mk.quits = save.quits
	} else if quits {
		mk.out = l.outer
		return 0, false // the attempt that this is part of has failed
	}
	used := mk.done.live - save.done.live
	mk.w.fuel -= timeFuel
	if !l.toEnd && mk.done == save.done && mk.left() == 0 && len(mk.faults) > 0 && len(mk.base) > 0 {
		return left, true // nothing is left: going on changes nothing
	}
	if l.toEnd && (quits || mk.left() < l.keep || l.open > 0 && mk.spacesAhead() < l.open || mk.done == save.done) {
		l.undo(&save, mk.done == save.done && !quits)
		return 0, false
	}
	made := mk.out
	mk.out = l.outer
	l.outer.append(made, 1)
	mk.tooLong(l.g)
	k := 1
	if l.last != nil && same(made, l.last) && used == l.takes && mk.pend == save.pend && mk.gone == save.gone && mk.at == save.at {
		k += l.jump(&save, made, left-1, used)
	}
	l.spare, l.last = l.last, made
	l.takes, l.times = used, l.times+k
	return k, true
}

// blank is an empty builder for the next time: one that the time before last
// used, where there is one.
func (l *looping) blank() *builder {
	if l.spare == nil {
		return newBuilder()
	}
	b := l.spare
	b.top, b.made, b.units = b.top[:0], b.made[:0], b.units[:0]
	l.spare = nil
	return b
}

// jump works the group as often as nothing changes, in one step.
func (l *looping) jump(save *hand, made *builder, left, used int) int {
	mk := l.mk
	n := left
	if mk.done != save.done {
		n = min(n, mk.base.alike(save.cur, mk.cur))
		if used > 0 && l.toEnd {
			n = min(n, (mk.left()-l.keep)/used)
		}
		if l.open > 0 {
			n = min(n, l.spacesFor(save))
		}
	} else if !mk.ring && used > 0 {
		return 0
	}
	if n > 0 && !l.toEnd && n == left {
		n-- // the last time may differ: "ending last rep at **"
	}
	if n <= 0 {
		return 0
	}
	if mk.done != save.done {
		raw := mk.done.raw - save.done.raw
		mk.cur = mk.base.onward(save.cur, mk.cur, n)
		mk.done.add(moved{n * raw, n * used})
	}
	if price := made.top.price(n); price > mk.w.fuel {
		mk.w.fuel = 0 // more than is worked in one go
	} else {
		mk.w.fuel -= price
		l.outer.append(made, n)
	}
	mk.tooLong(l.g)
	return n
}

// spacesFor is how often the last time's spaces are still there, beyond those
// that stay free.
func (l *looping) spacesFor(save *hand) int {
	mk := l.mk
	now, here := mk.spacesAhead(), mk.hand
	mk.hand = *save
	before := mk.spacesAhead()
	mk.hand = here
	if before <= now {
		return endless
	}
	return (now - l.open) / (before - now)
}

// undo takes back an attempt that ran out of stitches.
func (l *looping) undo(save *hand, dry bool) {
	mk := l.mk
	mk.hand = *save
	mk.out = l.outer
	l.dry = l.dry || dry && l.times == 0
}

// finish notes how a repeat to the end came out.
func (l *looping) finish() {
	mk := l.mk
	if !l.toEnd {
		return
	}
	if l.dry {
		mk.fail(KindRepeat, "the repeat uses no stitch of the row below, so it has no end: say how many times", l.g)
		return
	}
	if l.times == 0 && mk.left() > l.keep {
		mk.fail(KindShort, fmt.Sprintf("not one whole repeat fits: %s left in the row below", are(mk.left())), l.g)
		return
	}
	if what, ok := named(l.follow); ok && l.times > 0 && l.keep > 0 && mk.left() > l.keep && l.g.Partial == 0 {
		l.ending(what)
	}
	if p := l.g.Partial; p > 0 && p < len(l.g.Steps) {
		mk.runInner(l.g.Steps[:p])
	}
	mk.ends = &ending{takes: l.takes, rest: l.keep, step: l.g}
}

// ending works a last repeat whose end is told by the steps that follow: "…, 5
// dc in next sc; rep from * across, ending with 3 dc in last sc". It is worked
// as far as it leaves just what they need, if what would come next goes into a
// stitch or space by name, as they do.
func (l *looping) ending(what notation.Target) {
	mk := l.mk
	save, calm := mk.hand, mk.calm
	mk.out, mk.calm = newBuilder(), true
	for k, s := range l.g.Steps[:len(l.g.Steps)-1] {
		mk.following = l.g.Steps[k+1:]
		mk.step(s, mk.following)
		if mk.quits || mk.left() < l.keep {
			break
		}
		if next, ok := named(l.g.Steps[k+1]); ok && next == what && mk.left() == l.keep {
			made := mk.out
			mk.out, mk.calm = l.outer, calm
			l.outer.append(made, 1)
			return
		}
	}
	mk.hand, mk.out, mk.calm = save, l.outer, calm
}

// named returns what a step goes into, if that is a stitch or space by name.
func named(s notation.Step) (notation.Target, bool) {
	var p notation.Place
	switch s := s.(type) {
	case *notation.Stitches:
		p = s.Into
	case *notation.Group:
		if s.Into != nil {
			p = *s.Into
		}
	}
	return p.What, p.What == notation.NamedStitch || spacelike(p.What)
}

// runInner works the steps of one repeat.
func (mk *maker) runInner(steps []notation.Step) {
	var needs []need
	if !mk.calm {
		needs = mk.needs(steps)
	}
	outer := mk.rest
	for i, s := range steps {
		if mk.w.fuel < 0 || mk.quits {
			break
		}
		if needs != nil {
			mk.rest = outer.plus(needs[i+1])
		}
		mk.following = steps[i+1:]
		mk.step(s, steps[i+1:])
	}
	mk.rest = outer
}

// anySpace looks for chain spaces of any size.
var anySpace = want{target: notation.Space, whole: true}

// spacesAhead counts the chain spaces from the cursor on; where a row has none,
// the gaps between its groups.
func (mk *maker) spacesAhead() int {
	if mk.open() {
		return mk.ahead(anySpace)
	}
	here, n := mk.hand, 0
	for mk.passGroup() {
		n++
	}
	mk.hand = here
	return n
}

// openAhead says whether spaces remain that "each stitch" does not see.
func (l *looping) openAhead() bool {
	if l.open > 0 {
		return l.mk.spacesAhead() > l.open
	}
	_, _, ok := l.mk.find(anySpace)
	return ok
}

func (mk *maker) tooLong(g *notation.Group) {
	if _, live := mk.out.top.weight(); live > maxStitches {
		mk.fail(KindLimit, fmt.Sprintf("the row gets longer than %d stitches", maxStitches), g)
		mk.w.fuel = -1
	}
}

func same(a, b *builder) bool {
	if len(a.made) != len(b.made) || len(a.units) != len(b.units) || !equal(a.top, b.top) {
		return false
	}
	for i := range a.units {
		if a.units[i] != b.units[i] {
			return false
		}
	}
	return sameMade(a.made, b.made)
}

func sameMade(a, b []Made) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		x, y := &a[i], &b[i]
		if x.ID != y.ID || x.N != y.N || x.Each != y.Each || x.Skip != y.Skip || x.Takes != y.Takes || x.Into != y.Into ||
			x.Loop != y.Loop || x.Turning != y.Turning || !sameMade(x.Repeat, y.Repeat) {
			return false
		}
	}
	return true
}
