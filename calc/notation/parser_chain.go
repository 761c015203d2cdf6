package notation

import (
	"strings"
)

// chain reads "ch 3 (counts as dc)", "chain 54 stitches", "3 ch".
func (p *parser) chain(f *frame, from int, n Number) bool {
	p.i++
	if n == nil {
		p.accept(cDash)
		switch {
		case p.is(cNumber):
			n, _ = p.number()
		case p.is(cA) && p.at(1).word != "multiple":
			p.i++ // "chain a number of stitches": not said how many
		case p.is(cThe) && (p.at(1).class == cNumber):
			p.i++
			n, _ = p.number()
		}
	}
	if p.is(cSpace) {
		return false
	}
	p.skip(cSt, cChain, cMore)
	c := &Chain{Span: p.span(from), Many: n}
	if n == nil {
		lengthSaid := p.is(cThe) || p.cur().word == "number" || p.cur().word == "length" || p.cur().word == "desired"
		if !lengthSaid && !p.isMultiple() {
			c.Many = N(1)
		} else {
			p.toSeparator()
		}
	}
	if p.chainPicot(f, from, c) {
		return true
	}
	p.chainUse(c)
	f.steps = append(f.steps, c)
	p.chainTail(f, from)
	return true
}

// chainPicot reads "chain 3 for a picot".
func (p *parser) chainPicot(f *frame, from int, c *Chain) bool {
	at := p.i
	if p.word("for") {
		p.skip(cA, cThe)
		if p.is(cStitch) && p.cur().id == "picot" && len(c.Many) == 1 {
			if e, ok := derived(entry{}, "ch-"+numberText(c.Many)+" picot"); ok {
				p.i++
				f.steps = append(f.steps, &Stitches{Span: p.span(from), Name: e.id, Into: Place{Choice: Next, Many: N(1), Unsaid: true}})
				return true
			}
		}
	}
	p.i = at
	return false
}

// chainUse reads what a chain is for: "for first dc", "(counts as dc)".
func (p *parser) chainUse(c *Chain) {
	from := p.i
	p.skip(cComma, cOpen)
	if p.countsAs(c) {
		c.To = p.items[p.i-1].to.pos()
		p.accept(cClose)
		return
	}
	p.i = from
	if p.cur().word == "for" || p.is(cAs) {
		p.i++
		p.skip(cThe)
		p.skip(cOrdinal, cNumber, cA)
		if p.is(cStitch) && strings.HasSuffix(string(p.cur().id), "picot") {
			p.i = from
			return
		}
		if p.is(cStitch) {
			c.Counts, c.As = CountsAsStitch, p.cur().id
			p.i++
			p.tail()
			return
		}
	}
	p.i = from
}

// chainTail reads what belongs to a chain behind it: "with 1 to turn".
func (p *parser) chainTail(f *frame, from int) {
	at := p.i
	p.accept(cComma)
	if p.is(cWith, cAnd) && p.at(1).class == cNumber && (p.at(2).class == cTo || p.at(2).word == "for") && p.at(3).class == cTurn ||
		p.is(cAnd) && p.at(1).class == cNumber && p.at(2).word == "for" {
		p.i++
		n, _ := p.number()
		p.toSeparator()
		f.steps = append(f.steps, &Chain{Span: p.span(from), Many: n})
		return
	}
	p.i = at
}

// toSeparator moves to the next comma, stop or bracket.
func (p *parser) toSeparator() {
	for p.i < p.stop && !p.is(cComma, cSemi, cPeriod, cClose, cOpen, cStar, cStars, cColon) {
		p.i++
	}
}

// skipping reads "sk next 2 sts", "miss 3", "skip first st".
func (p *parser) skipping(f *frame, from int) bool {
	p.i++
	p.skip(cAlso)
	d := p.determiner()
	at := p.i
	place, named := p.target()
	s := &Skip{Many: d.many, What: place.What, Name: place.Name, Size: place.Size, First: d.ordinal == 1}
	if named && place.What == TurningChain && p.items[at].class != cTurningChain {
		s.What = TurningChain
	}
	if !d.said && !named {
		p.i = at
		if !p.is(cComma, cSemi, cPeriod, cEnd, cClose) {
			return false
		}
	}
	if place.What == ChainSpace && place.Size > 0 && d.many == nil && p.items[p.i-1].class == cNumber {
		// "skip ch 1", "sk ch-1": that many chains or their space; one space
		s.Many = N(1)
	}
	if d.ordinal > 1 && d.many == nil && !named {
		s.Many = N(1)
	}
	if s.Many == nil {
		s.Many = N(1)
	}
	p.tail()
	if p.is(cIn) && p.at(1).class == cBetween {
		p.i++
		p.betweenTail()
	}
	if at := p.i; p.is(cTo) { // "sk sts to marker, join yarn in marked st"
		if _, _, ok := p.limit(); ok {
			p.remarkFrom(f, from)
			return true
		}
		p.i = at
	}
	s.Span = p.span(from)
	if d.rest || d.last {
		many := d.many
		if d.last && many == nil {
			many = N(1)
		}
		f.steps = append(f.steps, &Leave{Span: s.Span, Many: many})
		return true
	}
	f.steps = append(f.steps, s)
	return true
}
