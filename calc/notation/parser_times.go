package notation

// times reads how often something is worked: "6 times", "x6", "twice more",
// "around", "to last 2 sts".
func (p *parser) times() (Times, bool) {
	from := p.i
	p.skip(cAlso, cThe)
	if p.is(cFrom) && p.at(1).class == cA {
		p.i += 2
	}
	if p.is(cRepeat) && p.at(1).class != cRepeat {
		p.i++
		if t, ok := p.times(); ok {
			return t, true
		}
		p.i = from
		return Times{}, false
	}
	if p.is(cA) && p.at(1).class == cTotal { // "a total of 6 times"
		p.i += 2
		p.skip(cThe)
		if t, ok := p.countTimes(); ok {
			t.More = false
			return t, true
		}
	}
	if t, ok := p.countTimes(); ok {
		return t, true
	}
	if to, left, ok := p.limit(); ok {
		return Times{To: to.To, Left: left}, true
	}
	p.i = from
	return Times{}, false
}

// countTimes reads "6 times", "x6", "6x", "twice", "3 more times", "5 times
// more", "6 (7, 8) times in all".
func (p *parser) countTimes() (Times, bool) {
	from := p.i
	var t Times
	another := p.is(cA) && p.at(1).class == cNumber && p.cur().word == "another" || p.is(cA) && p.at(1).class == cMore && p.at(2).class == cNumber
	if another {
		p.skip(cA, cMore)
	}
	switch {
	case p.is(cX) && p.at(1).class == cNumber, p.is(cStar) && p.starTimes():
		p.i++
		t.N, _ = p.number()
		p.accept(cTimes)
	case p.is(cPair):
		t.N = N(p.cur().n)
		p.i++
	case p.is(cMore) && p.at(1).class == cNumber:
		p.i++
		t.N, _ = p.number()
		t.More = true
		p.accept(cTimes)
	case p.is(cNumber):
		t.N, _ = p.number()
		t.More = p.accept(cMore)
		t.More = t.More || another
		if !p.accept(cTimes) && !p.accept(cX) {
			p.i = from
			return Times{}, false
		}
	default:
		p.i = from
		return Times{}, false
	}
	if p.accept(cMore) {
		t.More = true
		p.accept(cTimes)
	}
	if p.is(cTotal) {
		p.i++
		t.More = false
	}
	if t.N.At(0) == 0 && len(t.N) == 1 {
		t.More = true // "rep 0 times"
	}
	return t, true
}

// starTimes reports whether the star here stands for "times": "(3 sc, inc) * 6".
func (p *parser) starTimes() bool {
	if p.at(1).class != cNumber {
		return false
	}
	switch p.at(2).class {
	case cEnd, cComma, cSemi, cPeriod, cClose, cOpen, cTimes, cDash, cEquals, cTurn, cJoin:
		return true
	}
	return !p.at(1).space
}

// limit reads how far along the row something goes: "around", "across to last
// 2 sts", "to end", "until 3 sts remain", "to next ch-2 sp". The place holds
// the limit and what is left; its Left is returned for convenience.
func (p *parser) limit() (Place, Number, bool) {
	from := p.i
	to := Place{To: NoLimit}
	if p.is(cAround, cAcross) && !p.aroundSomething() {
		p.i++
		to.To = ToEnd
		p.rowTail()
	}
	further := Place{}
	switch {
	case p.limitTo(&further):
		to = further
	case to.To == NoLimit:
		p.i = from
		return Place{}, nil, false
	}
	return to, to.Left, true
}

// aroundSomething reports whether "around" here is "in" rather than "to the
// end": "around post of next st", "around next dc".
func (p *parser) aroundSomething() bool {
	next := p.at(1)
	switch next.class {
	case cPost, cNext, cStitch, cOrdinal, cSame, cEach, cHook, cTop, cTurningChain, cLast, cMarker, cRing:
		return true
	case cA, cChain:
		return true
	case cThe:
		k := 1
		for p.at(k).class == cThe {
			k++
		}
		c := p.at(k).class
		if c == cYarn {
			return p.at(k+1).class == cBetween
		}
		return c == cPost || c == cNext || c == cStitch || c == cOrdinal || c == cSame
	}
	return false
}

// rowTail moves past what may follow "across": "the row", "row", "each side".
func (p *parser) rowTail() {
	from := p.i
	p.skip(cThe, cIn, cEach, cFrom)
	if p.is(cRow) && p.at(1).class != cNumber && p.at(1).class != cColon {
		p.i++
		return
	}
	if rowNouns[p.cur().word] {
		p.i++
		p.word("edge", "edges", "opening")
		return
	}
	p.i = from
}

// rowNouns may follow "across the" and "around the" as what is worked along.
var rowNouns = wordSet(`edge side way piece back front fronts body jacket sleeve neck neckline armhole blanket square hat top bottom border collar
	cuff yoke shoulder outside entire hem crown brim rib shell rest opening panel shawl rug cushion ball head base`)

// limitTo reads "to end of row", "to last 2 sts", "to within 2 sts of end",
// "until 2 sts remain", "to next corner", "to marker".
func (p *parser) limitTo(to *Place) bool {
	from := p.i
	p.accept(cComma)
	if !p.accept(cTo) {
		p.i = from
		return false
	}
	within := p.word("within")
	p.skip(cThe, cIn, cAlso)
	switch {
	case within && p.is(cNumber):
		return p.leftOver(to, from)
	case p.is(cFinish):
		p.i++
		p.rowTail()
		to.To = ToEnd
		return true
	case p.is(cLast):
		p.i++
		p.skip(cThe)
		return p.leftOver(to, from)
	case p.is(cNumber) && p.sizedSpace():
		return p.limitPlace(to, from)
	case p.is(cNumber) && p.at(1).class == cChain && (p.items[p.i-1].class == cThe || p.items[from].word == "up to"):
		to.To, to.LeftOf, to.LeftSize = ToSpace, ChainSpace, p.cur().n
		p.i += 2
		p.accept(cSpace)
		return true
	case p.is(cNumber):
		if p.leftOver(to, from) && (p.is(cRemaining) || p.items[p.i-1].class == cFinish || p.word("left") || p.word("before", "from")) {
			p.skip(cRemaining, cThe, cFinish, cRow, cFrom, cNext)
			if p.accept(cMarker) {
				to.To, to.LeftOf = ToMark, AnyStitch // "to 1 st before marker"
			}
			return true
		}
	case p.is(cMarker):
		p.i++
		p.skip(cSt)
		to.To = ToMark
		return true
	case p.is(cNext, cCorner, cChain, cSpace, cTurningChain, cEach, cA):
		return p.limitPlace(to, from)
	case p.word("beginning") || p.is(cRow) && p.at(1).class != cNumber:
		p.rowTail()
		to.To = ToEnd
		return true
	}
	p.i = from
	to.To = NoLimit
	return false
}

// leftOver reads the number and kind of the places left: "2 sts", "st", "3
// (4, 5) sts", "ch".
func (p *parser) leftOver(to *Place, from int) bool {
	n := N(1)
	if p.is(cNumber) && p.sizedSpace() {
		place, _ := p.target()
		to.To, to.Left, to.LeftOf, to.LeftSize = ToLast, n, ChainSpace, place.Size
		return true
	}
	if p.is(cNumber) {
		n, _ = p.number()
	} else if !p.is(cSt, cStitch, cChain, cSpace, cRemaining, cTurningChain) {
		if !p.is(cComma, cSemi, cPeriod, cEnd, cClose) { // "to last, inc"
			p.i = from
			return false
		}
	}
	to.To, to.Left, to.LeftOf = ToLast, n, AnyStitch
	switch it := p.cur(); it.class {
	case cSt:
		p.i++
	case cStitch:
		p.i++
		to.LeftOf, to.LeftName = NamedStitch, it.id
		p.accept(cSt)
	case cChain:
		p.i++
		to.LeftOf = ChainStitch
		if p.accept(cDash) && p.is(cNumber) {
			to.LeftSize = p.cur().n
			p.i++
		}
		if p.accept(cSpace) {
			to.LeftOf = ChainSpace
		}
	case cSpace:
		p.i++
		to.LeftOf = Space
	case cTurningChain:
		p.i++
	}
	end := p.i
	p.skip(cThe, cFrom, cFinish, cRow)
	if !p.is(cFinish) && p.items[p.i-1].class != cFinish && p.items[p.i-1].class != cRow {
		p.i = end
	}
	return true
}

// limitPlace reads "to next ch-2 sp", "to corner", "to next marker", "to ch-3
// sp".
func (p *parser) limitPlace(to *Place, from int) bool {
	p.skip(cNext, cEach, cA, cThe)
	if p.is(cMarker) {
		p.i++
		to.To = ToMark
		return true
	}
	place, ok := p.target()
	if !ok || place.What == AnyStitch && !place.Corner {
		p.i = from
		to.To = NoLimit
		return false
	}
	if place.What == TurningChain {
		to.To, to.Left = ToLast, N(1) // the turning chain is the last stitch
		return true
	}
	to.To, to.LeftOf, to.LeftSize, to.LeftName = ToSpace, place.What, place.Size, place.Name
	if place.Corner && place.What == AnyStitch {
		to.LeftOf = ChainSpace
	}
	return true
}
