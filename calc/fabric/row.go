package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// state is the work between two rows. It is copied, never changed, once a row
// has been worked on it.
type state struct {
	base    seq             // the row below, in the order that the next row meets it; nil: nothing is made yet
	ring    bool            // a ring to work into
	chains  int             // of the foundation
	skipped int             // of them at the start of the first row
	pre     []notation.Step // what the row before began: a turning chain, slip stitches
	aside   []seq           // stitches left unworked, oldest first
	rows    int             // rows made since the foundation
	id      stitch.ID       // the stitch of the row below
	guess   bool            // the row below is not in the text
	raw     int             // cells of the row below as it was made
	turned  bool            // base is met from its end
	ended   bool            // the yarn is fastened off
}

// outcome is what a row came to.
type outcome struct {
	next   state
	count  *Count
	totals totals
	faults []fault
	top    seq
	empty  bool // no stitch and no chain was made
	unread bool // words in it were not understood
	guess  guess
	made   bool // it has stitches, not only a foundation
}

// work works one row on a state.
func (w *worker) work(st *state, row *notation.Row) *outcome {
	mk := w.maker(st, row, false)
	out := mk.outcome(row)
	if mk.same != nil && !out.holds(w, row.Claim) {
		// "ch 3 (counts as dc), sk 1": perhaps one more stitch is skipped
		if other := w.maker(st, row, true).outcome(row); other.holds(w, row.Claim) {
			return other
		}
	}
	return out
}

// holds says that a row has no fault and the count that is claimed.
func (o *outcome) holds(w *worker, claim *notation.Claim) bool {
	return len(o.faults) == 0 && w.check(o, claim).ok
}

// maker works the steps of a row.
func (w *worker) maker(st *state, row *notation.Row, bare bool) *maker {
	steps := row.Steps
	if len(st.pre) > 0 {
		steps = append(st.pre[:len(st.pre):len(st.pre)], steps...)
	}
	mk := &w.spare // one row is worked at a time
	*mk = maker{hand: hand{base: st.base, raw: st.raw, ring: st.ring}, w: w, own: *st, kind: row.Label.Kind, out: newBuilder(), bare: bare,
		carried: len(st.pre) > 0}
	mk.st = &mk.own
	w.fuel -= rowFuel
	_, mk.live = mk.base.weight()
	mk.id, mk.opens = w.prevailing(steps, st.id)
	steps = turnFirst(steps)
	mk.same = impliedSkip(steps)
	mk.meshy = mk.spaces(steps, false)
	if mk.onFoundation() {
		mk.found = foundation{chains: st.chains}
	}
	mk.run(steps)
	mk.flush(0)
	return mk
}

// turnFirst puts the turn of "ch 3, turn, dc in same st" before the chain: the
// row begins on the same stitch whichever is made first.
func turnFirst(steps []notation.Step) []notation.Step {
	chain := -1
	for i, s := range steps {
		switch s.(type) {
		case *notation.Chain:
			if chain < 0 {
				chain = i
			}
		case *notation.Remark, *notation.Mark:
		case *notation.Turn:
			if chain < 0 || trails(steps[i+1:]) {
				return steps
			}
			out := append(steps[:chain:chain], s)
			out = append(out, steps[chain:i]...)
			return append(out, steps[i+1:]...)
		default:
			return steps
		}
	}
	return steps
}

// onFoundation says that the row below is a bare foundation chain.
func (mk *maker) onFoundation() bool {
	return len(mk.base) == 1 && mk.base[0].kind == chainCell && mk.base[0].sub == nil && mk.st.rows == 0
}

// prevailing returns the stitch that most steps of a row name, and the first
// one; before, when it names none.
func (w *worker) prevailing(steps []notation.Step, before stitch.ID) (main, opens stitch.ID) {
	if before == "" {
		before = single
	}
	votes := map[stitch.ID]int{}
	w.vote(steps, votes, &opens, 1)
	for id, n := range votes {
		if n > votes[main] || n == votes[main] && id < main {
			main = id
		}
	}
	if main == "" {
		main = before
	}
	if opens == "" {
		opens = main
	}
	return main, opens
}

func (w *worker) vote(steps []notation.Step, votes map[stitch.ID]int, opens *stitch.ID, depth int) {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Group:
			w.vote(s.Steps, votes, opens, depth)
		case *notation.Stitches:
			if d, ok := w.defs[s.Name]; ok && depth < 3 {
				w.vote(d.Steps, votes, opens, depth+1)
				continue
			}
			e := w.entry(s.Name)
			if e.kind == stitch.Slip || e.kind == stitch.Picot || s.Name == "inc" || s.Name == "dec" {
				continue
			}
			b := e.base
			if e.kind == stitch.Post || e.kind == stitch.Extended || e.kind == stitch.Manner {
				b = e.id
			}
			votes[b]++
			if s.Into.Choice == notation.EachTo {
				votes[b] += 2
			}
			if *opens == "" {
				*opens = b
			}
		}
	}
}

// impliedSkip returns a skip right behind a chain that begins the row, of one
// stitch or of the first so many: it holds the stitch that the chain stands on.
func impliedSkip(steps []notation.Step) notation.Step {
	chain := false
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Chain:
			chain = true
		case *notation.Skip:
			if chain && (s.What == notation.AnyStitch || s.What == notation.NamedStitch) && (!s.Many.Said() || s.Many.At(0) == 1 || s.First) {
				return s
			}
			return nil
		case *notation.Turn, *notation.Remark, *notation.Mark:
		default:
			return nil
		}
	}
	return nil
}

// maxSpan is the longest chain space whose length is told apart from others.
const maxSpan = 12

// spaces notes the chains that are made between stitches along the row, and
// says whether there are any.
func (mk *maker) spaces(steps []notation.Step, inside bool) bool {
	begun, some := inside, false
	for i, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			begun = begun || s.Name != slip
		case *notation.Chain:
			if begun && !trails(steps[i+1:]) {
				some = true
				mk.spans[min(mk.count(s.Many), maxSpan)] = true
			}
		case *notation.Group:
			if s.Into == nil && mk.spaces(s.Steps, true) {
				some = true
			}
			begun = true
		case *notation.Turn, *notation.Join:
			return some
		}
	}
	return some
}

// outcome closes a row.
func (mk *maker) outcome(row *notation.Row) *outcome {
	o := &outcome{top: mk.out.top, unread: hasUnread(row.Steps) || mk.marks}
	if !mk.begun && mk.lead > 0 {
		o.top = revive(o.top) // a row of slip stitches
	}
	o.made = len(o.top) > 0
	o.empty = !o.made && mk.found.chains == mk.st.chains && mk.ring == mk.st.ring
	if o.made && !o.unread && !mk.stopsAsStated(row, o.top) {
		mk.missing()
	}
	o.faults, o.guess = mk.faults, mk.guess
	o.totals = mk.total(o.top)
	o.count = mk.counted(o)
	o.next = mk.after(o)
	return o
}

// stopsAsStated says whether a row stops where it says, "to last 4 sts, turn",
// and its stated count agrees: then the stitches behind are meant to stay.
func (mk *maker) stopsAsStated(row *notation.Row, top seq) bool {
	n := mk.left()
	if n == 0 || n != stop(row.Steps, mk.w.size) {
		return false
	}
	said, ok := claimed(row.Claim, mk.w.size)
	t := mk.total(top)
	return ok && said == mk.w.stated(&t)
}

// stop is before how many last stitches the last stitches of a row stop; 0
// where they don't, or more is worked behind them.
func stop(steps []notation.Step, size int) int {
	for i := len(steps) - 1; i >= 0; i-- {
		switch s := steps[i].(type) {
		case *notation.Turn, *notation.Remark, *notation.Mark, *notation.FastenOff, *notation.Chain:
		case *notation.Stitches:
			if s.Into.Choice == notation.EachTo && s.Into.To == notation.ToLast {
				return s.Into.Left.At(size)
			}
			return 0
		case *notation.Group:
			if s.Times.To == notation.ToLast {
				return s.Times.Left.At(size)
			}
			return 0
		default:
			return 0
		}
	}
	return 0
}

// after is the state that the next row begins on.
func (mk *maker) after(o *outcome) state {
	n := *mk.st
	n.pre, n.id, n.ended = mk.next, mk.id, mk.ended
	n.aside = mk.st.aside
	n.ring = mk.ring
	if mk.found.chains > 0 {
		n.chains, n.skipped = mk.found.chains, mk.found.skipped
	}
	if !o.made {
		if mk.found.chains > 0 || mk.ring {
			n.base = mk.base
		}
		if len(n.pre) == 0 && mk.st.pre != nil && o.empty {
			n.pre = mk.st.pre
		}
		n.raw, _ = n.base.weight()
		return n
	}
	if mk.left() > 0 && !mk.side {
		n.setAside(mk.base.from(mk.cur))
	}
	flat := mk.kind != notation.Round
	n.turned = mk.turned
	if flat && !mk.ended {
		n.turned = true
	}
	n.base, n.ring, n.guess = o.top, false, false
	if n.turned {
		n.base = o.top.reversed()
	}
	n.raw = o.totals.raw
	n.rows++
	return n
}

// mostAside is how many stretches of unworked stitches are remembered, for yarn
// that is joined later.
const mostAside = 16

// setAside remembers stitches left unworked; the oldest are forgotten.
func (st *state) setAside(s seq) {
	old := st.aside[max(0, len(st.aside)+1-mostAside):]
	st.aside = append(old[:len(old):len(old)], s)
}

// revive makes slip stitches count that were taken for a mere way along.
func revive(s seq) seq {
	out := make(seq, 0, len(s))
	for _, r := range s {
		if r.kind == stitchCell && r.sub == nil {
			r.dead = false
			r.live = 1
		}
		out = out.add(r)
	}
	return out
}

// from is the rest of a row from a cursor on.
func (s seq) from(c cursor) seq {
	c = s.settle(c)
	var out seq
	if c.i >= len(s) {
		return out
	}
	r := s[c.i]
	if r.sub == nil {
		r.n -= c.off / r.width()
		out = out.add(r)
	} else {
		if c.j > 0 || c.off > 0 {
			for j := c.j; j < len(r.sub); j++ {
				k := r.sub[j]
				if j == c.j {
					k.n -= c.off / k.width()
				}
				out = out.add(k)
			}
			c.it++
		}
		r.n -= c.it
		out = out.add(r)
	}
	for _, r := range s[c.i+1:] {
		out = out.add(r)
	}
	return out
}

func hasUnread(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Unread:
			return true
		case *notation.Group:
			if hasUnread(s.Steps) {
				return true
			}
		}
	}
	return false
}
