package fabric

import (
	"fmt"

	"countwright/calc/notation"
)

// guessTo is the longest row below that is tried for a row taken out of its
// pattern.
const guessTo = 400

// guessed is the row below for a first row that has none in the text: as many
// stitches as the caller says, else as many as the row fits on.
func (p *pass) guessed(i int) state {
	j := &p.jobs[i]
	main, _ := p.w.prevailing(j.row.Steps, "")
	on := func(n int) state {
		return state{base: seq{leaf(cell{kind: stitchCell, id: main}, n)}, rows: 1, id: main, guess: true, raw: n}
	}
	if n := p.w.opt.Start; n > 0 {
		return on(min(n, maxStitches))
	}
	if onChains(j.row.Steps) {
		return p.unchained(i)
	}
	said, stated := claimed(j.claim, p.w.size)
	fits := 0
	for n := 1; n <= guessTo && p.w.fuel > 0; n++ {
		st := on(n)
		if o := p.w.work(&st, j.row); !o.holds(p.w, j.claim) || !o.made {
			continue
		}
		if fits > 0 && !stated {
			fits = -1 // any number fits
			break
		}
		fits = n
		if stated {
			break
		}
	}
	if fits > 0 {
		p.w.assume(fmt.Sprintf("the row before is not in the text: %s are taken, which %s fits", plural(fits, "stitch"), j.label), j.pos, j.label)
		return on(fits)
	}
	if hasStitches(j.row.Steps) {
		p.w.find(KindRows, j.label+" begins on a row that is not in the text: say how many stitches that row has", j.pos, j.label)
		p.bad++
	}
	p.lost = true
	return on(max(1, said))
}

// onChains says whether a row is worked on a foundation chain: it begins by
// passing over chains.
func onChains(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Skip:
			return s.What == notation.AnyStitch || s.What == notation.ChainStitch
		case *notation.Stitches:
			return s.Into.What == notation.ChainFromHook
		case *notation.Remark, *notation.Mark:
		default:
			return false
		}
	}
	return false
}

// openChain says whether steps are a foundation whose length is left open.
func openChain(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Chain:
			return !s.Many.Said()
		case *notation.Remark, *notation.Mark:
		default:
			return false
		}
	}
	return false
}

// lengths are the foundations that are tried where the text leaves the length
// open: as its multiple says, else any.
func (w *worker) lengths(said int) []int {
	var all []int
	for n := said; said > 0 && n < said+8; n++ {
		all = append(all, n)
	}
	for _, m := range w.doc.Multiples {
		for n := 4; n <= 12 && m.Of > 0; n++ {
			all = append(all, m.Of*n+m.Plus+m.Turning, m.Of*n+m.Plus)
		}
	}
	for n := 24; n < 48; n++ {
		all = append(all, n)
	}
	return all
}

// nextClaim is the count stated at a row or the one after it; 0 if none is.
func (p *pass) nextClaim(i int) int {
	for k := i; k <= i+1 && k < len(p.jobs); k++ {
		if said, ok := claimed(p.jobs[k].claim, p.w.size); ok {
			return said
		}
	}
	return 0
}

// measure chooses the length of a foundation that the text leaves open, so
// that the rows on it come out even.
func (p *pass) measure(i int) {
	best, least := 0, endless
	for _, n := range p.w.lengths(p.nextClaim(i)) {
		p.w.length = n
		st := p.w.work(&state{}, p.jobs[i].row).next
		if bad := p.trouble(i+1, st, horizon); bad < least {
			best, least = n, bad
		}
		if least == 0 || p.w.fuel <= 0 {
			break
		}
	}
	p.w.length = best
	p.w.assume(fmt.Sprintf("the length of the foundation is left open: %s are taken", plural(best, "chain")), p.jobs[i].pos, p.jobs[i].label)
}

// unchained is a foundation that stands only in the words before the rows.
func (p *pass) unchained(i int) state {
	on := func(n int) state {
		return state{base: seq{leaf(cell{kind: chainCell}, n)}, chains: n, raw: n}
	}
	best, least := 24, endless
	for _, n := range p.w.lengths(p.nextClaim(i)) {
		st := on(n)
		o := p.w.work(&st, p.jobs[i].row)
		if !o.holds(p.w, p.jobs[i].claim) {
			continue
		}
		if bad := p.trouble(i+1, o.next, horizon); bad < least {
			best, least = n, bad
		}
		if least == 0 || p.w.fuel <= 0 {
			break
		}
	}
	p.w.assume(fmt.Sprintf("the length of the foundation is left open: %s are taken", plural(best, "chain")), p.jobs[i].pos, p.jobs[i].label)
	p.lost = false
	return on(best)
}

// bridge finds the row below where row numbers are left out before a row that
// does not hold: as many stitches as it and the rows after it fit on.
func (p *pass) bridge(i int) (state, bool) {
	j := &p.jobs[i]
	from := p.before[i]
	_, live := from.base.weight()
	for n := 1; n <= guessTo && p.w.fuel > 0; n++ {
		st := from
		st.base = seq{leaf(cell{kind: stitchCell, id: from.id}, live+n)}
		st.pre, st.raw = from.pre, live+n
		o := p.w.work(&st, j.row)
		if o.holds(p.w, j.claim) && p.trouble(i+1, o.next, horizon) == 0 {
			p.w.assume(fmt.Sprintf("%s before %s are not written as rows: %s are taken there, which it fits", rowsMissing(j), j.label, plural(live+n, "stitch")), j.pos, j.label)
			return st, true
		}
	}
	return state{}, false
}

// missingRows tells of row numbers that are left out before a row.
func (p *pass) missingRows(j *job) {
	if j.gap == 0 || p.gapTold[j.line] {
		return
	}
	p.gapTold[j.line] = true
	from, to := j.number-j.gap, j.number-1
	what := fmt.Sprintf("rows %d to %d are", from, to)
	if from == to {
		what = fmt.Sprintf("row %d is", from)
	}
	if j.told || j.gap > 3 {
		p.w.assume(what+" not written as rows: work goes on without them", j.pos, j.label)
		return
	}
	p.found = append(p.found, Finding{Label: j.label, Kind: KindRows, Message: what + " not in the text", Pos: j.pos, Size: p.w.size, Row: -1})
}

func rowsMissing(j *job) string {
	if j.gap == 1 {
		return "the row"
	}
	return fmt.Sprintf("the %d rows", j.gap)
}

func asRow(l notation.Line) *notation.Row {
	r, _ := l.(*notation.Row)
	return r
}
