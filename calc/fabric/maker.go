package fabric

import (
	"fmt"
	"slices"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// maker works one row.
type maker struct {
	hand
	w         *worker
	st        *state
	own       state
	kind      notation.Kind
	out       *builder
	fixed     *spot           // all goes into this place
	rest      need            // what later steps still need of the row below
	stop      *want           // where "in each stitch" ends
	following []notation.Step // of the list at work, behind its step at work
	depth     int             // of groups
	seek      bool            // a later step of an enclosing list goes into a space
	calm      bool            // an attempt: faults are not kept
	lenient   bool            // a skip at the very end of a repeat may find nothing to skip
	bare      bool            // a skip right behind a counting turning chain is a skip of its own
	carried   bool            // the turning chain comes from the end of the row before
	meshy     bool            // the row has chains between its stitches
	spans     [maxSpan + 1]bool
	id        stitch.ID     // the row's own stitch: what inc and dec are made of
	opens     stitch.ID     // its first stitch
	same      notation.Step // a skip that says what the turning chain did already
	foundSaid notation.Counting
	guess     guess // how the turning chain was taken by habit
}

// hand is how far the work on a row has come: all that an attempt changes.
type hand struct {
	base   seq // the row below, in the order it is met
	raw    int // its cells
	live   int // its stitches
	cur    cursor
	done   moved              // of the row below, behind the cursor
	gone   moved              // passed over since the last place
	loop   want               // what was last worked into
	at     *want              // a place under the cursor that yarn was joined to, not yet worked
	paired *notation.Stitches // worked together with the step before it
	next   []notation.Step    // kept for the next row
	faults []fault
	ends   *ending // how a repeat to the end came out
	found  foundation
	pend   pending

	spare    int  // chains at the end of the other side that may be worked, or not
	spots    int  // places worked into, of the row below
	lead     int  // slip stitches before the first stitch that counts
	missed   int  // stitches left out before a last place
	spurs    int  // chains left on a picot or fringe
	turnSize int  // of the turning chain
	ring     bool // worked into a ring
	used     bool // a place of the row below has been used
	first    bool // only the first place has been used, by the turning chain
	begun    bool // a stitch that counts has been worked
	turning  bool // a turning chain was worked
	quits    bool // the attempt ran out of stitches
	beyond   bool // worked along row ends, or "evenly": no stitch is missed
	side     bool // worked along the other side of the foundation
	leave    bool // the text says that stitches stay unworked
	marks    bool // places at markers were named
	closed   bool // joined or turned: what follows belongs to the next row
	turned   bool
	ended    bool // fastened off
}

// spot is a place that several stitches go into.
type spot struct {
	takes int
	into  notation.Target
	put   bool // a stitch is in it
}

// pending is a chain that becomes a space when the next stitch is worked.
type pending struct {
	n    int
	open bool
}

// foundation is what a row was begun on.
type foundation struct {
	chains  int
	skipped int
}

// ending is how a repeat to the end came out.
type ending struct {
	takes int // stitches of the row below that one repeat uses
	rest  int // stitches kept for what follows
	step  notation.Step
}

// fault is something that went wrong in a row.
type fault struct {
	kind string
	text string
	step notation.Step
}

// builder collects what is made.
type builder struct {
	top   seq
	made  []Made
	units []Tally
}

func newBuilder() *builder { return &builder{top: make(seq, 0, 4), made: make([]Made, 0, 4)} }

func (b *builder) unit(id stitch.ID, n int) {
	for i := range b.units {
		if b.units[i].ID == id {
			b.units[i].N += n
			return
		}
	}
	b.units = append(b.units, Tally{id, n})
}

// record adds to what was made, joined to the last run where both are alike.
func (b *builder) record(m Made) {
	if k := len(b.made) - 1; k >= 0 {
		l := &b.made[k]
		if l.Repeat == nil && m.Repeat == nil && l.ID == m.ID && l.Each == m.Each && l.Skip == m.Skip && l.Takes == m.Takes &&
			l.Into == m.Into && l.Loop == m.Loop && !l.Turning && !m.Turning && (m.ID != "ch" || m.Takes > 0) {
			l.N += m.N
			return
		}
	}
	b.made = append(b.made, m)
}

// append adds another builder's work, n times.
func (b *builder) append(o *builder, n int) {
	b.top = b.top.addTimes(o.top, n)
	for _, u := range o.units {
		b.unit(u.ID, u.N*n)
	}
	if n == 1 {
		for _, m := range o.made {
			b.record(m)
		}
		return
	}
	if len(o.made) == 1 && o.made[0].Repeat == nil && o.made[0].ID != "ch" {
		m := o.made[0]
		m.N *= n
		b.record(m)
		return
	}
	if len(o.made) > 0 {
		b.made = append(b.made, Made{N: n, Repeat: slices.Clone(o.made)})
	}
}

func (mk *maker) fail(kind, text string, step notation.Step) {
	if mk.calm {
		mk.quits = mk.quits || kind == KindShort || kind == KindPlace
		return
	}
	for _, f := range mk.faults {
		if f.kind == kind {
			return
		}
	}
	mk.faults = append(mk.faults, fault{kind: kind, text: text, step: step})
}

// count reads a number of the text for the size at work; 1 when not said.
func (mk *maker) count(n notation.Number) int {
	if !n.Said() {
		return 1
	}
	return max(0, n.At(mk.w.size))
}

// run works a list of steps.
func (mk *maker) run(steps []notation.Step) {
	outer, needs := mk.rest, mk.needs(steps)
	for i, s := range steps {
		if mk.w.fuel < 0 || mk.quits {
			break
		}
		mk.rest, mk.following = outer.plus(needs[i+1]), steps[i+1:]
		if mk.closed && mk.depth == 0 && mk.carry(s) {
			continue
		}
		mk.step(s, steps[i+1:])
	}
	mk.rest = outer
}

func (mk *maker) step(s notation.Step, after []notation.Step) {
	switch s := s.(type) {
	case *notation.Stitches:
		mk.stitches(s, after)
	case *notation.Chain:
		mk.chain(s, after)
	case *notation.Skip:
		mk.skip(s)
	case *notation.Group:
		mk.group(s, after)
	case *notation.Ring:
		mk.startRing(s)
	case *notation.Join:
		mk.join()
	case *notation.Turn:
		mk.turnWork()
	case *notation.FastenOff:
		mk.ended = true
	case *notation.Attach:
		mk.attach(s)
	case *notation.Leave:
		mk.leaves(s)
	case *notation.Remark:
		mk.remark(s.Text)
	}
}

// carry keeps steps that stand behind a join or a turn for the next row.
func (mk *maker) carry(s notation.Step) bool {
	switch s := s.(type) {
	case *notation.Chain:
		mk.next = append(mk.next, s)
		return true
	case *notation.Stitches:
		if s.Name == slip {
			mk.next = append(mk.next, s)
		}
		return true
	case *notation.Skip, *notation.Group:
		return true
	}
	return false
}

// turnWork ends a row. At the start of one ("ch 1, turn, sc in each st") it says
// that the row before is met from its end, which a flat row is anyway.
func (mk *maker) turnWork() {
	if mk.begun || mk.done != (moved{}) || mk.st.rows == 0 {
		mk.turned, mk.closed = !mk.turned, true
		return
	}
	if mk.kind == notation.Round && !mk.own.turned {
		mk.base = mk.base.reversed()
		mk.own.base, mk.own.turned = mk.base, true
	}
}

// join closes a round.
func (mk *maker) join() {
	if mk.st.base == nil && mk.found.chains > 0 && !mk.begun {
		mk.ring = true // "ch 4, join": the chain becomes a ring
		return
	}
	mk.flush(0)
	mk.closed = true
}

// put records n places worked alike with e, each times in every one. takes is
// how many cells of the row below one place uses; 0 is the place before once
// more.
func (mk *maker) put(e *entry, n, each, takes int, s *notation.Stitches) {
	if n <= 0 || each <= 0 {
		return
	}
	if n > maxStitches || each > maxStitches || n*each > maxStitches {
		mk.fail(KindLimit, fmt.Sprintf("the row gets longer than %d stitches", maxStitches), s)
		mk.w.fuel, n, each = -1, 1, 1
	}
	skip := 0
	if takes > 0 || s.Into.What == notation.SpaceBetween {
		skip = mk.gone.raw
	}
	mk.flush(takes)
	m := Made{ID: e.id, N: n, Each: each, Takes: takes, Into: s.Into.What, Loop: s.Loop}
	if mk.side {
		m.Into = notation.OtherSide
	}
	if takes > 0 {
		mk.used = true
		mk.spots += n
	}
	if skip > 0 {
		m.N, m.Skip = 1, skip
		mk.one(e, m, s)
		m.N, m.Skip = n-1, 0
		n--
	}
	if n > 0 {
		mk.one(e, m, s)
	}
	mk.gone, mk.begun, mk.first = moved{}, mk.begun || e.kind != stitch.Slip, false
}

func (mk *maker) one(e *entry, m Made, s *notation.Stitches) {
	switch {
	case e.parts != nil: // a group of several stitches
		mk.out.unit(e.id, m.N*m.Each)
		made := make([]Made, len(e.parts))
		copy(made, e.parts)
		made[0].Skip, made[0].Takes, made[0].Into, made[0].Loop = m.Skip, m.Takes, m.Into, m.Loop
		mk.out.append(&builder{made: made}, 1)
		if rest := m.N*m.Each - 1; rest > 0 {
			made := make([]Made, len(e.parts))
			copy(made, e.parts)
			if made[0].Takes = m.Takes; m.Each > 1 {
				made[0].Takes = 0
			}
			made[0].Into, made[0].Loop = m.Into, m.Loop
			mk.out.append(&builder{made: made}, rest)
		}
		mk.out.top = mk.out.top.add(block(e.top, m.N*m.Each, e.id))
	default:
		mk.out.record(m)
		if e.makes > 0 {
			c := cell{kind: stitchCell, id: e.id}
			if mk.w.groups {
				c.same = m.Takes == 0 && !mk.ring && s.Into.What != notation.SpaceBetween
				if m.Each > 1 {
					c.of = m.Each
				}
			}
			c.dead = e.kind == stitch.Slip && (mk.slipIsDead(s))
			mk.out.top = mk.out.top.add(leaf(c, m.N*m.Each*e.makes))
		}
	}
}

// slipIsDead says whether slip stitches only move the hook along.
func (mk *maker) slipIsDead(s *notation.Stitches) bool {
	return !mk.begun || s.Into.Choice == notation.Same || s.Into.What == notation.ChainFromHook || mk.w.reads.slips
}

// flush turns chains that wait into a space. takes is what the stitch that
// closes it uses of the row below.
func (mk *maker) flush(takes int) {
	p := mk.pend
	if !p.open {
		return
	}
	mk.pend = pending{}
	if p.n == 0 {
		return
	}
	mk.space(p.n, mk.fills(p.n, takes))
}

// fills says whether n chains stand for the stitches passed over below them.
func (mk *maker) fills(n, takes int) bool {
	over := mk.gone.live
	switch {
	case mk.w.reads.chains:
		return true
	case mk.ring || takes == 0 && over == 0:
		return false
	case over == n:
		return true
	default:
		return over >= bigSkip && n < over // an underarm, a thumb, a pocket
	}
}

// bigSkip is from how many stitches on a skip leaves an opening whose chains
// the next row works as stitches. Common practice, no source.
const bigSkip = 8

func (mk *maker) space(n int, fills bool) {
	mk.out.record(Made{ID: "ch", N: 1, Each: n})
	mk.out.top = mk.out.top.add(leaf(cell{kind: spaceCell, size: n, dead: !fills}, 1))
}
