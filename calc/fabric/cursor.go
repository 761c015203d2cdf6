package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// cursor is where the hook stands on the row below: before a position of a
// run. The zero cursor is the start of the row.
type cursor struct {
	i   int // run
	it  int // of a repeat: which time
	j   int // of a repeat: which run within it
	off int // positions of that run that are behind
}

// leafAt returns the run of equal cells under the cursor.
func (s seq) leafAt(c cursor) *run {
	if r := &s[c.i]; r.sub == nil {
		return r
	} else {
		return &r.sub[c.j]
	}
}

// settle moves a cursor that stands at the end of a run to the start of the
// next one.
func (s seq) settle(c cursor) cursor {
	for c.i < len(s) {
		l := s.leafAt(c)
		if c.off < l.n*l.width() {
			return c
		}
		c = s.past(c)
	}
	return c
}

// past moves to the start of the run behind the one under the cursor.
func (s seq) past(c cursor) cursor {
	c.off = 0
	r := &s[c.i]
	if r.sub != nil {
		if c.j++; c.j < len(r.sub) {
			return c
		}
		c.j = 0
		if c.it++; c.it < r.n {
			return c
		}
	}
	return cursor{i: c.i + 1}
}

// want is what a text looks for on the row below.
type want struct {
	target notation.Target
	name   stitch.ID
	size   int
	whole  bool // a space is taken as one place, not chain by chain
	spaces bool // spaces too, where stitches are looked for
	solid  bool // stitches only, not the chains that stand for them
	single bool // several places make one stitch: repeats are not taken whole
	or     *want
}

// fits says whether a cell is what is wanted.
func (w want) fits(c *run, base func(stitch.ID) stitch.ID) bool {
	if w.or != nil && w.or.fits(c, base) {
		return true
	}
	switch w.target {
	case notation.NamedStitch:
		if c.kind == stitchCell || c.kind == turnCell && !c.dead {
			return c.id == w.name || base(c.id) == w.name
		}
		return w.spaces && c.kind == spaceCell
	case notation.ChainSpace:
		return c.kind == spaceCell && (w.size == 0 || c.size == w.size)
	case notation.Space:
		return c.kind == spaceCell
	case notation.ChainStitch:
		return c.kind == spaceCell || c.kind == chainCell
	case notation.TurningChain:
		return c.kind == turnCell
	default:
		if c.kind == spaceCell {
			return w.spaces || !c.dead && !w.solid
		}
		return !c.dead
	}
}

// takesWhole says whether a cell is one place, whatever its width.
func (w want) takesWhole(c *run) bool {
	return w.whole || c.kind == spaceCell && (w.spaces || w.or != nil && w.or.whole)
}

// moved is how far a cursor went.
type moved struct{ raw, live int }

func (m *moved) add(d moved) { m.raw += d.raw; m.live += d.live }

// find moves the cursor to the next place that fits. passed is what it went
// over; ok is false if there is none, and then the cursor has not moved.
func (mk *maker) find(w want) (at cursor, passed moved, ok bool) {
	s := mk.base
	c := s.settle(mk.cur)
	for c.i < len(s) {
		mk.w.fuel--
		r := &s[c.i]
		if w.target == notation.NamedStitch && r.unit == w.name && r.sub != nil && c.j == 0 && c.off == 0 {
			return c, passed, true
		}
		l := s.leafAt(c)
		if w.fits(l, mk.w.baseOf) && (!w.takesWhole(l) || c.off%l.width() == 0) {
			return c, passed, true
		}
		if r.sub != nil && c.j == 0 && c.off == 0 && !r.holds(w, mk.w.baseOf) {
			left := r.n - c.it
			passed.add(moved{left * r.raw, left * r.live})
			c = cursor{i: c.i + 1}
			continue
		}
		passed.add(l.between(c.off, l.n*l.width()))
		c = s.past(c)
	}
	return mk.cur, moved{}, false
}

// holds says whether a repeat has a place that fits.
func (r *run) holds(w want, base func(stitch.ID) stitch.ID) bool {
	for i := range r.sub {
		if w.fits(&r.sub[i], base) {
			return true
		}
	}
	return false
}

// between is what lies from one position of a run to another. A space counts
// as passed when its first chain is.
func (r *run) between(from, to int) moved {
	w := r.width()
	m := moved{raw: (to+w-1)/w - (from+w-1)/w}
	if !r.dead {
		m.live = to - from
	}
	return m
}

// take moves over up to n places that fit, beginning at the cursor, as many as
// stand side by side. It returns how many, and what was gone over.
func (mk *maker) take(w want, n int) (int, moved) {
	mk.w.fuel--
	s := mk.base
	r := &s[mk.cur.i]
	if w.target == notation.NamedStitch && r.sub != nil && r.unit == w.name {
		k := min(n, r.n-mk.cur.it)
		if mk.cur.it += k; mk.cur.it == r.n {
			mk.cur = cursor{i: mk.cur.i + 1}
		}
		return k, moved{k * r.raw, k * r.live}
	}
	if k := mk.wholeRepeats(r, w, n); k > 0 {
		if mk.cur.it += k; mk.cur.it == r.n {
			mk.cur = cursor{i: mk.cur.i + 1}
		}
		return k * r.raw, moved{k * r.raw, k * r.live}
	}
	l := s.leafAt(mk.cur)
	step := 1
	if w.takesWhole(l) {
		step = l.width()
	}
	k := min(n, (l.n*l.width()-mk.cur.off)/step)
	k = max(k, 1)
	to := min(mk.cur.off+k*step, l.n*l.width())
	m := l.between(mk.cur.off, to)
	mk.cur.off = to
	mk.cur = s.settle(mk.cur)
	return k, m
}

// wholeRepeats is how many times of a repeat can be taken at once, where any
// stitch will do and all of them are.
func (mk *maker) wholeRepeats(r *run, w want, n int) int {
	if !r.even || w.single || w.target != notation.AnyStitch || mk.stop != nil || mk.cur.j > 0 || mk.cur.off > 0 {
		return 0
	}
	return min(n/r.raw, r.n-mk.cur.it)
}

// skipTo moves the cursor to a place that find found.
func (mk *maker) skipTo(at cursor, passed moved) {
	mk.cur = at
	mk.done.add(passed)
	mk.gone.add(passed)
}

// left is how many stitches of the row below are not used yet.
func (mk *maker) left() int { return mk.live - mk.done.live }

// alike returns how often the way from one cursor to another can be gone again
// within equal cells, 0 if not at all.
func (s seq) alike(from, to cursor) int {
	if from.i != to.i || to.i >= len(s) || from == to {
		return 0
	}
	r := &s[to.i]
	if r.sub == nil {
		d := to.off - from.off
		if d <= 0 || d%r.width() != 0 {
			return 0
		}
		return (r.n*r.width() - to.off) / d
	}
	d := to.it - from.it
	if d <= 0 || from.j != to.j || from.off != to.off {
		return 0
	}
	whole := r.n - to.it
	if to.j != 0 || to.off != 0 {
		whole--
	}
	return max(0, whole/d)
}

// onward moves a cursor n times as far as from there to here.
func (s seq) onward(from, to cursor, n int) cursor {
	if s[to.i].sub == nil {
		to.off += n * (to.off - from.off)
	} else {
		to.it += n * (to.it - from.it)
		if to.it >= s[to.i].n {
			return cursor{i: to.i + 1}
		}
	}
	return s.settle(to)
}
