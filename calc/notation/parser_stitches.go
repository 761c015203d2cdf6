package notation

import (
	"slices"
	"strconv"
	"strings"

	"countwright/calc/stitch"
)

// stitches reads one kind of stitch with its place: "sc in next 3 sts",
// "hdc2tog over next 2 sts", "sc 5", "dc around".
func (p *parser) stitches(f *frame, from int, n Number) {
	it := p.cur()
	p.checkTerms(it, p.i)
	p.i++
	s := &Stitches{Name: it.id, Loop: p.loop}
	p.accept(cSt)
	p.stitchNumber(&n, s.Name)
	if p.spreadOut(f, s, n, from) || p.isShaping(s.Name) && n.At(0) <= 1 && p.eachEnd(f, s, from) {
		return
	}
	p.inlineLoop(s)
	if p.spelt(f, s, n, from) {
		return
	}
	p.asBefore()
	if p.isSlip(s.Name) && p.slipJoin(f, from) {
		return
	}
	at := p.i
	place, ok := p.place(false)
	if !ok {
		p.i = at
		place, ok = p.bracketPlace()
	}
	if ok && p.is(cTogether) && place.Choice == Next {
		p.i++ // "sc next 2 sts together"
		s.Name = p.tie(s.Name, max(2, place.Many.At(0)))
		place.Many = N(1)
	}
	p.inlineLoop(s)
	s.Span = p.span(from)
	switch {
	case !ok:
		s.unsaid(n)
		p.evenly(s)
		p.push(f, s)
	case p.limited(f, s, n, place, from):
	default:
		p.addStitches(f, s, n, place)
		if !p.aroundAfter(f, s, from) {
			p.morePlaces(f, s, from)
		}
	}
}

// unsaid gives stitches no place of their own: one in each of the next.
func (s *Stitches) unsaid(n Number) {
	if n == nil {
		n = N(1)
	}
	s.Into = Place{Choice: Next, Many: n, Unsaid: true}
}

// spreadOut reads "dec 8 sts evenly around".
func (p *parser) spreadOut(f *frame, s *Stitches, n Number, from int) bool {
	if !p.isShaping(s.Name) || p.cur().word != "evenly" && !(n.At(0) > 1 && p.inEachRow()) {
		return false
	}
	if n == nil {
		n = N(1)
	}
	s.Into = Place{Choice: Spread, Many: n}
	p.skip(cAlso)
	p.word("spaced")
	p.limit()
	s.Span = p.span(from)
	p.spread(f, s)
	return true
}

// inEachRow reads "increasing 8 in each": in each row, not in each stitch.
func (p *parser) inEachRow() bool {
	if !p.is(cIn) || p.at(1).class != cEach {
		return false
	}
	k := 2
	if p.at(2).class == cRow || p.at(2).word == "round" {
		k = 3
	}
	switch p.at(k).class {
	case cEnd, cPeriod, cComma, cSemi, cClose:
		p.i += k
		return true
	}
	return false
}

// spelt reads shells spelt out: "shell of 3 dc, ch 2, 3 dc", and the shells
// that such a one stands for. It reports whether the step is whole.
func (p *parser) spelt(f *frame, s *Stitches, n Number, from int) bool {
	if p.listShell(f, from, s.Name) {
		return true
	}
	name := s.Name
	if p.shellOf(s) {
		p.sized[name] = s.Name
		delete(p.shells, name)
		return false
	}
	if steps, ok := p.shells[name]; ok && n.At(0) <= 1 {
		p.shellGroup(f, from, steps)
		return true
	}
	if id, ok := p.sized[name]; ok {
		s.Name = id
	}
	return false
}

// limited reads stitches whose place is only a limit: "21 stars down the
// front", "sc 3, inc around".
func (p *parser) limited(f *frame, s *Stitches, n Number, place Place, from int) bool {
	toEnd := place.Choice == EachTo && place.To == ToEnd && p.limitOnly(place)
	switch {
	case toEnd && (n.At(0) > 1 || p.isShaping(s.Name)) && p.sequenceBefore(f):
		s.unsaid(n) // the row so far, and this, again and again
		p.push(f, s)
		p.wrapUnmarked(f, from, Times{To: ToEnd})
	case n.At(0) > 1 && p.alongOnly(place):
		s.unsaid(n)
		if place.What == RowEnd || place.What == OtherSide {
			s.Into = Place{Choice: Next, Many: n, What: place.What} // "5 sc along side of heel"
		}
		p.push(f, s)
	default:
		return false
	}
	return true
}

// bracketPlace reads a place in brackets of its own: "dc (in next st)".
func (p *parser) bracketPlace() (Place, bool) {
	if !p.is(cOpen) || p.at(1).class != cIn {
		return Place{}, false
	}
	from := p.i
	p.i++
	place, ok := p.place(true)
	if !ok || !p.accept(cClose) {
		p.i = from
		return Place{}, false
	}
	return place, true
}

// stitchNumber reads a number behind the stitch: "sc 5", "dec twice", "sc x 3",
// "inc 6 times".
func (p *parser) stitchNumber(n *Number, name stitch.ID) {
	from := p.i
	if p.is(cStar) {
		return // "*sc, inc* 6 times": the star's own
	}
	if times, ok := p.countTimes(); ok && !times.More {
		*n = times.N
		return
	}
	p.i = from
	if p.is(cNumber) && p.at(1).class != cTogether {
		many, _ := p.number()
		if p.is(cRow) {
			p.i = from
			return
		}
		if p.is(cSt) { // "dec 2 sts", "sc 5 sts"
			p.i++
		}
		if *n == nil {
			*n = many
			return
		}
		p.i = from
	}
	if p.is(cA) && p.at(1).class == cSt && (name == "inc" || name == "dec") {
		p.i += 2
	}
}

// inlineLoop reads "BLO", "in back loop of" behind the stitch's name.
func (p *parser) inlineLoop(s *Stitches) {
	from := p.i
	p.skip(cIn, cThe)
	if p.is(cLoop) {
		s.Loop = Loop(p.cur().n)
		p.i++
		p.skip(cAlso)
		if p.is(cThe) && !p.is(cIn) {
			// "in back loop of next st": the place follows without "in"
			p.i++
		}
		return
	}
	p.i = from
}

// shellOf reads "shell of 6 trebles", "cluster of 3 dc".
func (p *parser) shellOf(s *Stitches) bool {
	if p.cur().word != "of" || p.at(1).class != cNumber {
		return false
	}
	if e, ok := derived(entry{}, "ch-"+strconv.Itoa(p.at(1).n)+" "+string(s.Name)); ok && p.at(2).class == cChain {
		s.Name = e.id // "picot of 4 chain"
		p.i += 3
		return true
	}
	if p.at(2).class != cStitch {
		return false
	}
	if p.at(3).class == cComma && p.at(4).class == cNumber || p.at(3).class == cAnd && p.at(4).class == cNumber {
		return false // "shell of 3 trebles, 2 chain and 3 trebles"
	}
	id := stitch.ID(strconv.Itoa(p.at(1).n) + "-" + string(p.at(2).id) + " " + string(s.Name))
	if _, ok := stitch.Lookup(id); !ok {
		return false
	}
	s.Name = id
	p.i += 3
	return true
}

// isSlip reports whether the stitch is a slip stitch.
func (p *parser) isSlip(name stitch.ID) bool { return name == "sl st" }

// checkTerms points at a word of another dialect than the one asked for, or
// says that one was mixed in.
func (p *parser) checkTerms(it *item, at int) {
	if it.foreign == TermsUnsaid || it.foreign == p.terms {
		return
	}
	s := it.span()
	words := p.source(s)
	if p.assumed[it.word] {
		return // told once
	}
	p.assumed[it.word] = true
	err := &DialectError{Word: words, Has: p.dialects(it), Tried: p.terms}
	near := ""
	if d, ok := stitch.Lookup(it.id); ok {
		near = strings.ToLower(d.In(stitch.Dialect(p.terms)).Short())
	}
	p.problem(s, words, err.Error(), near)
}

// dialects lists the terms in which a word means the stitch.
func (p *parser) dialects(it *item) []Terms {
	var has []Terms
	for _, t := range []Terms{US, UK, Older} {
		if slices.Contains(stitch.Named(it.word, stitch.Dialect(t)), it.id) {
			has = append(has, t)
		}
	}
	if len(has) == 0 {
		has = []Terms{it.foreign}
	}
	return has
}
