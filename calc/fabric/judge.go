package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// pass is one size of a text, worked from the first row to the last.
type pass struct {
	w       *worker
	jobs    []job
	done    []*outcome   // what each job came to; nil where it made nothing
	before  []state      // what each job was worked on
	bad     int          // rows that do not hold
	wrong   int          // of them, those where only the stated count does not
	gapTold map[int]bool // lines before which rows are missing, told already
	most    int          // of them; with more the pass is given up
	told    map[*notation.Row]bool
	found   []Finding // one for each of those rows
	search  bool      // causes are looked for
	lost    bool      // nothing is known of the row below: rows are not worked until a new beginning
}

// pass works a size. With search, the cause of each fault is looked for.
func (w *worker) pass(search bool, most int) *pass {
	w.findings = nil
	w.memo = [memoSize]memo{} // another size or reading comes out differently
	p := &pass{w: w, search: search, told: map[*notation.Row]bool{}, gapTold: map[int]bool{}, most: most}
	p.jobs = w.plan()
	p.done = make([]*outcome, len(p.jobs))
	p.before = make([]state, len(p.jobs))
	var st state
	for i := range p.jobs {
		if p.bad > p.most {
			break
		}
		if w.fuel <= 0 {
			p.exhausted(i)
			break
		}
		st = p.begin(i, st)
		p.before[i] = st
		if p.lost {
			continue
		}
		st = p.judge(i, st)
	}
	p.found = append(w.findings, p.found...)
	w.findings = nil
	return p
}

// begin is the state that a job is worked on: that of the row before, or
// nothing, or stitches left aside that yarn is joined to.
func (p *pass) begin(i int, st state) state {
	j := &p.jobs[i]
	first := i == 0 || p.jobs[i-1].piece != j.piece
	switch {
	case j.fresh && onChains(j.row.Steps):
		return p.guessed(i)
	case j.fresh:
		p.lost = false
		if openChain(j.row.Steps) {
			p.measure(i)
		}
		return state{aside: st.aside}
	case i == 0, first && onChains(j.row.Steps):
		return p.guessed(i)
	case first && st.base == nil && !st.ring:
		return p.guessed(i)
	case first || attaches(j.row.Steps) != nil:
		if edging := (state{aside: st.aside}); first && p.w.work(&edging, j.row).holds(p.w, j.claim) {
			return edging // picked up along the edges of pieces made before
		}
		return p.rejoin(i, st)
	}
	return st
}

func attaches(steps []notation.Step) *notation.Attach {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Attach:
			return s
		case *notation.Stitches, *notation.Group, *notation.Chain:
			return nil
		}
	}
	return nil
}

// rejoin finds where new yarn is joined: to the row below, or to stitches that
// an earlier row left unworked, whichever the row fits on.
func (p *pass) rejoin(i int, st state) state {
	j := &p.jobs[i]
	plain := st
	plain.ended = false
	if len(st.aside) == 0 || attaches(j.row.Steps) == nil && !st.ended {
		return plain
	}
	var all []state
	for k := len(st.aside) - 1; k >= 0; k-- {
		s := plain
		s.base, s.pre, s.ring = st.aside[k], nil, false
		s.aside = append(st.aside[:k:k], st.aside[k+1:]...)
		s.raw, _ = s.base.weight()
		s.turned = false
		all = append(all, s)
	}
	if st.ended {
		all = append(all, plain)
	} else {
		all = append([]state{plain}, all...)
	}
	for k := range all {
		if o := p.w.work(&all[k], j.row); o.holds(p.w, j.claim) {
			return all[k]
		}
	}
	return all[0]
}

// judge works one row and decides what the next one begins on.
func (p *pass) judge(i int, st state) state {
	j := &p.jobs[i]
	o := p.w.workOnce(&st, j.row)
	p.done[i] = o
	p.w.keepGuess(o.guess)
	c := p.w.check(o, j.claim)
	if len(o.faults) == 0 && c.ok && !o.unread {
		p.missingRows(j)
		return o.next
	}
	if o.unread { // told where it stands; go on from what the text states
		return p.w.stateOf(o, j.claim)
	}
	if j.gap > 0 {
		if found, ok := p.bridge(i); ok {
			p.before[i] = found
			o = p.w.work(&found, j.row)
			p.done[i] = o
			return o.next
		}
	}
	p.bad++
	if !c.ok && len(o.faults) == 0 {
		p.wrong++
	}
	if !p.search {
		return p.quickly(i, o, c)
	}
	return p.explain(i, st, o, c)
}

// quickly goes on after a fault without a search for its cause.
func (p *pass) quickly(i int, o *outcome, c checked) state {
	if !c.total {
		return o.next
	}
	stated := p.w.moved(o, c.said-c.made)
	worked := false
	p.w.search(func() {
		worked = p.trouble(i+1, o.next, 2) < p.trouble(i+1, stated, 2)
	})
	if worked {
		return o.next
	}
	return stated
}

// horizon is how many rows ahead the consequences of a fault are looked at.
const horizon = 8

// trouble counts the rows ahead that do not hold when work goes on from a
// state. After a fault it goes on from the stated count.
func (p *pass) trouble(from int, st state, rows int) int {
	n := 0
	for i := from; i < min(from+rows, len(p.jobs)); i++ {
		j := &p.jobs[i]
		if i > 0 && p.jobs[i-1].piece != j.piece || j.fresh || attaches(j.row.Steps) != nil || p.w.fuel <= 0 {
			break
		}
		o := p.w.workOnce(&st, j.row)
		c := p.w.check(o, j.claim)
		switch {
		case o.unread:
			st = p.w.stateOf(o, j.claim)
		case len(o.faults) > 0 || !c.ok:
			n++
			st = o.next
			if !c.ok && c.total {
				st = p.w.moved(o, c.said-c.made)
			}
		default:
			st = o.next
		}
	}
	return n
}

// moved is the state after a row as if it had so many stitches more, as the
// text states.
func (w *worker) moved(o *outcome, by int) state {
	n := o.next
	if n.base == nil || by == 0 {
		return n
	}
	n.base = n.base.resized(by, o.count.main)
	n.raw, _ = n.base.weight()
	return n
}

// stateOf is the state after a row that was not understood whole.
func (w *worker) stateOf(o *outcome, claim *notation.Claim) state {
	if said, ok := claimed(claim, w.size); ok {
		if o.next.base == nil {
			o.next.base = seq{}
		}
		made := w.stated(&o.totals)
		if !o.made { // nothing of it was worked: it is the row below that is met
			_, made = o.next.base.weight()
		}
		return w.moved(o, said-made)
	}
	return o.next
}

// resized is a row with some stitches more, or fewer, in its longest run.
func (s seq) resized(by int, id stitch.ID) seq {
	longest := -1
	for i := range s {
		if s[i].sub == nil && s[i].live > 0 && (longest < 0 || s[i].n*s[i].live > s[longest].n*s[longest].live) {
			longest = i
		}
	}
	if longest >= 0 && s[longest].kind != spaceCell && s[longest].n+by > 0 {
		out := append(seq{}, s...)
		out[longest].n += by
		return out
	}
	_, live := s.weight()
	return seq{leaf(cell{kind: stitchCell, id: id}, max(1, live+by))}
}

// memo remembers what a row came to, so that rows worked alike cost nothing.
type memo struct {
	row *notation.Row
	st  state
	out *outcome
}

const memoSize = 8

// workOnce works a row, or gives what it came to the last time on a row below
// that was the same.
func (w *worker) workOnce(st *state, row *notation.Row) *outcome {
	for i := range w.memo {
		m := &w.memo[i]
		if m.row == row && m.st.alike(st) {
			out := *m.out
			out.next.rows, out.next.aside = st.rows+1, st.aside
			return &out
		}
	}
	o := w.work(st, row)
	if o.made && o.count.Left == 0 && len(o.faults) == 0 && len(o.next.aside) == len(st.aside) && st.rows > 0 && !o.next.ended {
		w.memo[w.oldest] = memo{row, *st, o}
		w.oldest = (w.oldest + 1) % memoSize
	}
	return o
}

// alike says that a row worked on either state comes out the same.
func (st *state) alike(o *state) bool {
	if st.ring != o.ring || st.chains != o.chains || st.skipped != o.skipped || st.id != o.id || o.rows == 0 ||
		st.raw != o.raw || st.turned != o.turned || st.ended != o.ended || st.guess != o.guess || len(st.pre) != len(o.pre) {
		return false
	}
	for i := range st.pre {
		if st.pre[i] != o.pre[i] {
			return false
		}
	}
	if len(st.base) > 0 && len(st.base) == len(o.base) && &st.base[0] == &o.base[0] {
		return true
	}
	return equal(st.base, o.base)
}
