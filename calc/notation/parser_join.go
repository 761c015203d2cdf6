package notation

import (
	"strings"
)

// join reads "join with sl st in first sc", "join to form a ring", "join B in
// any st", "join".
func (p *parser) join(f *frame, from int) bool {
	p.i++
	if p.cur().word == "it" {
		p.i++
	}
	if strings.HasPrefix(p.items[p.i-1].word, "clos") && !p.is(cEnd, cComma, cSemi, cPeriod, cWith, cRow) && p.cur().word != "round" {
		return false // "close the hole with the tail"
	}
	if p.isColour() { // "join B in any st"
		p.attachTail(f, from)
		return true
	}
	if p.word("under", "seams", "seam", "pieces", "sides", "shoulders", "shoulder", "sleeves", "sleeve", "arms") {
		return false
	}
	j := &Join{Unsaid: true}
	p.skip(cRow, cThe)
	if p.is(cWith, cIn) && p.slipNext() {
		p.i++
		p.skip(cA, cThe)
		j.Unsaid = false
		p.i++
	} else if p.is(cStitch) && p.isSlip(p.cur().id) {
		p.i++
		j.Unsaid = false
	}
	if p.is(cWith) && (p.at(1).class == cStitch || p.at(1).class == cA && p.at(2).class == cStitch) {
		// "join with sc in any st" starts a yarn with a standing stitch.
		p.attachTail(f, from)
		return true
	}
	p.joinPlace(f, from, j)
	return true
}

func (p *parser) slipNext() bool {
	it := p.at(1)
	if it.class == cA {
		it = p.at(2)
	}
	return it.class == cStitch && p.isSlip(it.id)
}

// joinPlace reads where a join goes, and makes a ring of chains joined.
func (p *parser) joinPlace(f *frame, from int, j *Join) {
	if p.formsRing(f, from) {
		return
	}
	at := p.i
	p.skip(cTo2...)
	if place, ok := p.place(true); ok {
		j.Into = place
		j.Unsaid = j.Unsaid && false
	} else {
		p.i = at
		j.Into = Place{Choice: First}
	}
	if len(f.steps) > 0 && (j.Into.Choice == First && j.Into.What == ChainStitch) {
		if p.ringOfChains(f, from) {
			p.ringWords()
			return
		}
	}
	at = p.i
	p.accept(cComma)
	if p.ringWords() {
		if p.ringOfChains(f, from) {
			return
		}
	} else {
		p.i = at
	}
	if j.Into.Choice == Next && j.Into.What == TurningChain || j.Into.What == TurningChain {
		j.Into.Choice = First
	}
	if j.Unsaid && p.ringOfChains(f, from) {
		return
	}
	j.Span = p.span(from)
	f.steps = append(f.steps, j)
}

var cTo2 = []class{cRow, cAlso}

// formsRing reads "to form a ring" and makes a ring of the chains before.
func (p *parser) formsRing(f *frame, from int) bool {
	at := p.i
	if p.ringWords() && p.ringOfChains(f, from) {
		return true
	}
	p.i = at
	return false
}

// ringWords reads "to form a ring", "into a ring", "forming a ring", "in
// round".
func (p *parser) ringWords() bool {
	at := p.i
	p.skip(cTo, cIn, cMake, cA, cThe, cAlso)
	if p.i > at && (p.accept(cRing) || p.word("round")) {
		p.toSeparatorAfterRing()
		return true
	}
	p.i = at
	return false
}

func (p *parser) toSeparatorAfterRing() {
	if p.is(cThe) {
		p.tail()
	}
}

// ringOfChains turns the chains at the start of the row into a ring.
func (p *parser) ringOfChains(f *frame, from int) bool {
	c, ok := lastStep[*Chain](f)
	if !ok || len(f.steps) > 2 || len(f.steps) == 2 && !isRemark(f.steps[0]) || !c.Many.Said() {
		return false
	}
	f.steps[len(f.steps)-1] = &Ring{Span: Span{c.From, p.items[max(p.i-1, from)].to.pos()}, Chains: c.Many}
	return true
}

func isRemark(s Step) bool {
	switch s.(type) {
	case *Remark, *Attach:
		return true
	}
	return false
}

// slipJoin reads "sl st to join", "sl st in first sc to join", and, in rounds,
// "sl st in first sc" as a join.
func (p *parser) slipJoin(f *frame, from int) bool {
	at := p.i
	if p.is(cTo, cAnd) && p.at(1).class == cJoin {
		p.i += 2
		p.joinPlace(f, from, &Join{})
		return true
	}
	if p.formsRing(f, from) {
		return true
	}
	place, ok := p.place(true)
	if !ok {
		p.i = at
		return false
	}
	j := &Join{Into: place}
	after := p.i
	p.accept(cComma)
	toJoin := p.is(cTo, cAnd) && p.at(1).class == cJoin
	if toJoin {
		p.i += 2
		p.word("round", "rnd", "rounds")
		p.accept(cRow)
	} else {
		p.i = after
	}
	if len(f.steps) > 0 && (place.What == ChainStitch || place.What == ChainFromHook) && (place.Choice == First || place.Choice == Nth && toJoin) {
		if p.ringOfChains(f, from) {
			p.ringWords()
			return true
		}
	}
	ringAt := p.i
	p.accept(cComma)
	if p.ringWords() {
		if p.ringOfChains(f, from) {
			return true
		}
		toJoin = true
	} else {
		p.i = ringAt
	}
	closes := place.Choice == First || place.What == TurningChain
	if !toJoin && !(closes && p.kindOf == Round && len(f.steps) > 0 && f.depth == 0) {
		p.i = at
		return false
	}
	if j.Into.What == TurningChain {
		j.Into.Choice = First
	}
	j.Span = p.span(from)
	f.steps = append(f.steps, j)
	return true
}

// ring reads "magic ring", "6 sc in MR" being a place and not here.
func (p *parser) ring(f *frame, from int) {
	p.i++
	f.steps = append(f.steps, &Ring{Span: p.span(from)})
	f.lead = len(f.steps)
	p.kindOf = Round
}
