package notation

import (
	"countwright/calc/stitch"
)

// step reads one instruction, or the words of one that can't be read.
func (p *parser) step(f *frame) {
	from := p.i
	p.skip(cMake, cThe, cAlso)
	if p.i >= p.stop || p.is(cComma, cSemi, cPeriod, cClose, cColon) {
		if p.i-from > 1 || p.i < p.stop && p.items[from].class == cMake && p.is(cColon) {
			return
		}
		p.remarkFrom(f, from)
		return
	}
	switch it := p.cur(); it.class {
	case cChain:
		if p.chain(f, from, nil) {
			return
		}
	case cNumber, cA:
		if p.counted(f, from) {
			return
		}
	case cStitch:
		p.stitches(f, from, nil)
		return
	case cStar, cStars, cOpen, cRepeat:
		return
	case cSkip:
		if p.skipping(f, from) {
			return
		}
	case cTurn:
		if p.turn(f, from) {
			return
		}
	case cJoin:
		if p.join(f, from) {
			return
		}
	case cMagicRing:
		p.ring(f, from)
		return
	case cFastenOff:
		if p.fastenOff(f, from) {
			return
		}
	case cAttach:
		p.attach(f, from)
		return
	case cLeave:
		if p.leave(f, from) {
			return
		}
	case cMarker:
		p.marker(f, from)
		return
	case cLoop, cIn, cEach, cNext, cSame, cLast, cOrdinal, cBetween, cAround, cTo, cOtherSide:
		if p.loopNote(f, from) || p.placeFirst(f, from) {
			return
		}
	case cDash, cEquals:
		if p.bareClaim(from) {
			return
		}
		p.i++
		return
	case cAcross, cRemaining:
		if p.placeFirst(f, from) {
			return
		}
	case cNot:
		p.remarkClause(f, from)
		return
	}
	p.i = from
	p.clause(f)
}

// counted reads what begins with a number: "3 sc", "3 ch", "2 in next st", "24
// sts".
func (p *parser) counted(f *frame, from int) bool {
	if p.bareClaim(from) {
		return true
	}
	at := p.i
	var n Number
	if p.accept(cA) {
		n = N(1)
		p.skip(cMore)
		if p.is(cNumber) { // "another 3 sc"
			n, _ = p.number()
		}
	} else {
		n, _ = p.number()
	}
	p.skip(cMore, cThe, cRemaining)
	p.accept(cX)
	if p.is(cDash) && !p.cur().space && (p.at(1).class == cStitch || p.at(1).class == cChain) {
		p.i++
	}
	switch it := p.cur(); {
	case it.class == cChain:
		if p.chain(f, from, n) {
			return true
		}
	case it.class == cStitch:
		p.stitches(f, from, n)
		return true
	case it.class == cLoop && (p.at(1).class == cStitch):
		p.loopNoteOnly()
		p.stitches(f, from, n)
		return true
	case it.class == cIn || it.class == cSt && p.at(1).class == cIn:
		if p.elided(f, from, n) {
			return true
		}
	case it.class == cMore && p.at(1).class == cIn:
		p.i++
		if p.elided(f, from, n) {
			return true
		}
	case it.class == cOpen && p.items[p.i-1].class == cX:
		// "6x (sc, inc)"
		p.bracket(f)
		if g, ok := lastStep[*Group](f); ok && !g.Times.said() {
			g.Times.N = n
			g.From = p.items[from].from
			return true
		}
	}
	p.i = at
	return false
}

func lastStep[S Step](f *frame) (S, bool) {
	if len(f.steps) == 0 {
		var none S
		return none, false
	}
	s, ok := f.steps[len(f.steps)-1].(S)
	return s, ok
}

// elided reads "2 in next": the stitch named before.
func (p *parser) elided(f *frame, from int, n Number) bool {
	var name stitch.ID
	for k := len(f.steps) - 1; k >= 0 && name == ""; k-- {
		if s, ok := f.steps[k].(*Stitches); ok {
			name = s.Name
		}
	}
	at := p.i
	p.accept(cSt)
	if name == "" && p.base != "" {
		name = p.base
	}
	place, ok := p.place(true)
	if name == "" || !ok {
		p.i = at
		return false
	}
	p.addStitches(f, &Stitches{Span: p.span(from), Name: name, Into: place, Loop: p.loop}, n, place)
	return true
}

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
	p.chainUse(c)
	f.steps = append(f.steps, c)
	p.chainTail(f, from)
	return true
}

// chainUse reads what a chain is for: "for first dc", "(counts as dc)".
func (p *parser) chainUse(c *Chain) {
	from := p.i
	p.skip(cComma, cOpen)
	if p.countsAs(c) {
		c.To = p.items[p.i-1].to
		p.accept(cClose)
		return
	}
	p.i = from
	if p.cur().word == "for" || p.is(cAs) {
		p.i++
		p.skip(cThe)
		p.skip(cOrdinal, cNumber, cA)
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
	s := &Skip{Many: d.many, What: place.What, Name: place.Name}
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

func (p *parser) turn(f *frame, from int) bool {
	p.i++
	if p.word("work", "piece") {
		p.skip(cThe)
	}
	if p.is(cChain) && p.at(1).class == cEnd { // "turning chain"
		p.i = from
		return false
	}
	f.steps = append(f.steps, &Turn{p.span(from)})
	return true
}

// loopNote reads "in back loops only," and "working in both loops": it holds
// for the stitches that follow.
func (p *parser) loopNote(f *frame, from int) bool {
	at := p.i
	p.skip(cIn, cThe)
	p.skip(cThe)
	if !p.is(cLoop) {
		p.i = at
		return false
	}
	loop := Loop(p.cur().n)
	p.i++
	p.skip(cAlso)
	p.tail()
	// "BLO sc in each st" is the one stitch's; "in BLO, sc …" the row's.
	if p.is(cStitch) || p.is(cNumber) && p.at(1).class == cStitch {
		p.loop = loop
		return true
	}
	p.loop = loop
	p.remarkFrom(f, from)
	return true
}

func (p *parser) loopNoteOnly() {
	p.loop = Loop(p.cur().n)
	p.i++
}

// placeFirst reads "in next st, work 3 dc" and "in first ch-1 sp (sc, ch 2,
// sc)".
func (p *parser) placeFirst(f *frame, from int) bool {
	place, ok := p.place(true)
	if !ok {
		return false
	}
	at := p.i
	p.skip(cComma, cColon, cMake, cAlso)
	switch {
	case p.is(cOpen):
		p.into = &place
		return true
	case p.is(cNumber, cA) && (p.at(1).class == cStitch), p.is(cStitch):
		n, _ := p.number()
		if p.accept(cA) {
			n = N(1)
		}
		name := p.cur()
		p.i++
		p.checkTerms(name, p.i-1)
		p.addStitches(f, &Stitches{Span: p.span(from), Name: name.id, Into: place, Loop: p.loop}, n, place)
		return true
	}
	p.i = at
	return false
}
