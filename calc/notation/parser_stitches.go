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
	name := it.id
	s := &Stitches{Name: name, Loop: p.loop}
	p.accept(cSt)
	p.stitchNumber(&n, name)
	if p.isShaping(s.Name) && p.cur().word == "evenly" {
		s.Into = Place{Choice: Next, Many: n}
		p.i++
		p.evenly(s)
		s.Span = p.span(from)
		p.spread(f, s)
		return
	}
	if p.isShaping(name) && n.At(0) <= 1 && p.eachEnd(f, s, from) {
		return
	}
	p.inlineLoop(s)
	if p.listShell(f, from, name) {
		return
	}
	if p.shellOf(s) {
		p.sized[name] = s.Name
		delete(p.shells, name)
		name = s.Name
	} else if steps, ok := p.shells[name]; ok && n.At(0) <= 1 {
		p.shellGroup(f, from, steps)
		return
	} else if id, ok := p.sized[name]; ok {
		s.Name, name = id, id
	}
	p.asBefore()
	if p.isSlip(name) && p.slipJoin(f, from) {
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
		s.Name = p.tie(name, max(2, place.Many.At(0)))
		place.Many = N(1)
	}
	p.inlineLoop(s)
	s.Span = p.span(from)
	if !ok {
		s.Into = Place{Choice: Next, Many: n, Unsaid: true}
		if n == nil {
			s.Into.Many = N(1)
		}
		p.evenly(s)
		p.push(f, s)
		return
	}
	if n.At(0) > 1 && place.Choice == EachTo && place.To == ToEnd && p.limitOnly(place) && p.sequenceBefore(f) {
		s.Into = Place{Choice: Next, Many: n, Unsaid: true} // "hdc, 2 hdc around"
		p.push(f, s)
		p.wrapUnmarked(f, from, Times{To: ToEnd})
		return
	}
	if n.At(0) > 1 && p.alongOnly(place) {
		s.Into = Place{Choice: Next, Many: n, Unsaid: true} // "21 stars down the front"
		if place.What == RowEnd || place.What == OtherSide {
			s.Into = Place{Choice: Next, Many: n, What: place.What} // "5 sc along side of heel"
		}
		p.push(f, s)
		return
	}
	if place.Choice == EachTo && place.To == ToEnd && p.limitOnly(place) && p.isShaping(s.Name) && p.sequenceBefore(f) {
		s.Into = Place{Choice: Next, Many: N(1), Unsaid: true} // "sc 3, inc around"
		p.push(f, s)
		p.wrapUnmarked(f, from, Times{To: ToEnd})
		return
	}
	p.addStitches(f, s, n, place)
	if p.aroundAfter(f, s, from) {
		return
	}
	p.morePlaces(f, s, from)
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
