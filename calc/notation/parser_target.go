package notation

import (
	"strings"
)

// sizedSpace reports whether the number here is the size of a chain space:
// "2-ch sp", "2ch-sp", but not "next 2 ch sps".
func (p *parser) sizedSpace() bool {
	k := 1
	dash := p.at(1).class == cDash && !p.at(1).space
	if dash {
		k = 2
	}
	if p.at(k).class != cChain {
		return false
	}
	for k++; p.at(k).class == cDash; k++ {
	}
	sp := p.at(k)
	return sp.class == cSpace && (dash || !strings.HasSuffix(sp.word, "s"))
}

// target reads the thing worked into: "sts", "dc", "ch-2 sp", "ring", "top of
// turning ch".
func (p *parser) target() (Place, bool) {
	from := p.i
	place := Place{Corner: p.accept(cCorner)}
	if p.is(cTop) && p.topOfChain() {
		place.What = TurningChain
		return place, true
	}
	if p.is(cAlso, cAs) && (p.at(1).class == cSt || p.at(1).class == cStitch || p.at(1).class == cChain) {
		p.i++ // "beg sc"
	}
	switch p.cur().class {
	case cFinish, cRow:
		return p.rowEndTarget(place, from)
	}
	if p.stitchTarget(&place) || p.spaceTarget(&place) || p.elsewhere(&place) {
		return place, true
	}
	if place.Corner || p.i > from && p.items[p.i-1].class == cTop {
		return place, true
	}
	p.i = from
	return p.sideTarget(place)
}

// topOfChain moves past "top of", and past "top of ch-3" or "top of beg 3
// chain", and reports whether it was a chain.
func (p *parser) topOfChain() bool {
	p.i++
	p.skip(cThe, cTop, cLast, cNext, cSame, cOrdinal, cA)
	if p.is(cSt) && p.at(1).word == "of" && p.at(2).class == cChain { // "in top st of ch-3"
		p.i += 2
	}
	if p.is(cAlso) && p.at(1).class == cChain {
		p.i++
	} else if !p.is(cChain, cNumber) {
		return false
	}
	p.skip(cChain, cDash, cNumber)
	p.skip(cChain)
	return true
}

// stitchTarget reads "sts", "dc", "place" behind "same".
func (p *parser) stitchTarget(place *Place) bool {
	switch it := p.cur(); it.class {
	case cSt:
		p.i++
	case cMake:
		if it.word != "place" || p.items[max(p.i-1, 0)].class != cSame {
			return false
		}
		p.i++ // "in same place"
	case cStitch:
		p.i++
		p.accept(cSt)
		place.What, place.Name = NamedStitch, it.id
	case cMarker:
		p.i++
		p.accept(cSt)
		place.What, place.Choice = MarkedStitch, Nth
	default:
		return false
	}
	return true
}

// spaceTarget reads chains and spaces: "ch-2 sp", "2-ch sp", "sp between next
// 2 dc", "the thread between".
func (p *parser) spaceTarget(place *Place) bool {
	switch it := p.cur(); it.class {
	case cNumber:
		if !p.sizedSpace() {
			return false
		}
		p.skip(cNumber, cDash)
		p.skip(cChain)
		p.skip(cDash)
		p.accept(cSpace)
		place.What, place.Size = ChainSpace, it.n
	case cChain:
		p.chainTarget(place)
	case cYarn: // "around the thread between 4 chain and cluster"
		if p.at(1).class != cBetween {
			return false
		}
		p.i++
		p.betweenTail()
		place.What = Space
	case cSpace:
		p.i++
		place.What = Space
		if p.is(cBetween) {
			p.betweenTail()
			place.What = SpaceBetween
		}
	case cBetween:
		p.betweenTail()
		place.What, place.Choice = SpaceBetween, Between
	default:
		return false
	}
	return true
}

// elsewhere reads the ring, the turning chain and the other side.
func (p *parser) elsewhere(place *Place) bool {
	switch it := p.cur(); it.class {
	case cAround:
		if it.word != "round" || p.lastRow > 0 { // "16 sc in the round", once it is closed
			return false
		}
		p.i++
		place.What, place.Choice = RingCentre, Around
	case cRing, cMagicRing:
		p.i++
		p.word("loop")
		place.What, place.Choice = RingCentre, Around
	case cTurningChain:
		p.i++
		p.skip(cDash)
		p.accept(cNumber)
		place.What = TurningChain
		if p.accept(cSpace) {
			place.What = ChainSpace
		}
	case cOtherSide:
		p.otherSide(place)
	default:
		return false
	}
	return true
}

// otherSide reads "other side of foundation chain"; "up other side" is the
// side of the rows.
func (p *parser) otherSide(place *Place) {
	word := p.cur().word
	p.i++
	place.What = OtherSide
	at := p.i
	p.skip(cThe, cAlso)
	for tailWords[p.cur().word] {
		p.i++
	}
	chain := p.is(cChain, cTurningChain) || strings.HasSuffix(word, "of") || word == "free loops" || word == "unused loops" || word == "bottom"
	p.skip(cChain, cTurningChain, cSt, cRow)
	if !chain && p.i == at {
		place.What = RowEnd
	}
}

// chainTarget reads "ch", "ch-2 sp", "chain space", "ch from hook", "ch-3
// loop", "ch-sp".
func (p *parser) chainTarget(place *Place) {
	p.i++
	dash := p.accept(cDash)
	size := 0
	if p.is(cNumber) && (dash || !p.cur().space || p.at(1).class == cSpace) {
		size = p.cur().n
		p.i++
		p.accept(cDash)
	}
	place.What = ChainStitch
	switch {
	case p.is(cSpace):
		p.i++
		place.What, place.Size = ChainSpace, size
	case p.is(cHook):
		p.i++
		place.What = ChainFromHook
	case p.is(cFrom) && (p.at(1).class == cHook || p.at(2).class == cHook):
		p.i += 2
		p.skip(cHook)
		place.What = ChainFromHook
	case size > 0:
		place.What, place.Size = ChainSpace, size
	}
}

// rowEndTarget reads "end of row", "row end", "ends of rows", "row".
func (p *parser) rowEndTarget(place Place, from int) (Place, bool) {
	first := p.cur().class
	p.i++
	second := p.i
	p.skip(cThe, cEach)
	if first == cFinish && p.is(cRow) || first == cRow && p.is(cFinish) {
		p.i++
		place.What = RowEnd
		return place, true
	}
	p.i = second
	if first == cRow && (p.at(-2).class == cEach || p.is(cAcross, cEnd, cComma) || p.at(-2).class == cOtherSide) {
		place.What = RowEnd
		return place, true
	}
	p.i = from
	return place, false
}

// sideTarget reads "side of rows", "edge", "side".
func (p *parser) sideTarget(place Place) (Place, bool) {
	from := p.i
	if p.word("side", "sides", "edge", "edges") {
		if p.is(cThe) {
			p.skip(cThe)
			if !p.accept(cRow) {
				p.accept(cWord)
			}
		}
		place.What = RowEnd
		return place, true
	}
	p.i = from
	return place, false
}

// between reads "between next 2 dc", "between 3d and 4th trebles".
func (p *parser) between() Place {
	from := p.i
	p.betweenTail()
	place := Place{Choice: Between, What: SpaceBetween}
	for _, it := range p.items[from:p.i] {
		if it.class == cEach {
			place.Choice = EachTo
		}
	}
	if place.Choice == EachTo {
		place.To = ToEnd
	}
	if to, left, ok := p.limit(); ok {
		place.Choice, place.To, place.Left, place.LeftOf = EachTo, to.To, left, to.LeftOf
	}
	return place
}

// betweenTail moves past what a space lies between.
func (p *parser) betweenTail() {
	p.accept(cBetween)
	for p.is(cThe, cA, cEach, cNext, cNumber, cOrdinal, cStitch, cSt, cAnd, cLast, cDash, cSame, cCorner, cChain) || p.cur().word == "group" || p.cur().word == "groups" {
		if p.is(cThe) && (p.at(1).class == cLast || p.at(1).class == cRow || tailWords[p.at(1).word]) {
			break
		}
		if p.is(cAnd) && (p.at(1).class != cOrdinal && p.at(1).class != cNext && p.at(1).class != cStitch && p.at(1).class != cThe && p.at(1).class != cLast) {
			return
		}
		p.i++
	}
	p.tail()
}
