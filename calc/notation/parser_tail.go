package notation

// placeTail moves past what only tells a place more exactly: "of last row",
// "as joining", "just made".
func (p *parser) placeTail(place *Place, d determiner) determiner {
	if place.What == AnyStitch && d.ordinal > 1 && p.cur().word == "of" && (p.at(1).class == cChain || p.at(1).class == cThe && p.at(2).class == cChain) {
		p.skip(cThe)
		p.i++
		place.What = ChainFromHook // older: "in 8th stitch of chain"
		p.accept(cDash)
		if p.accept(cNumber) { // "in 3rd st of ch-4"
			place.What, place.Choice = TurningChain, Last
		}
		return d
	}
	p.accept(cNext) // "in each of 68 stitches following"
	p.atCorner(place, &d)
	if place.What == ChainStitch && (p.is(cHook) || p.is(cFrom)) {
		k := p.i
		p.skip(cFrom, cThe)
		if p.accept(cHook) {
			place.What = ChainFromHook
			return d
		}
		p.i = k
	}
	at := p.i
	p.tail()
	if place.What == ChainStitch && d.ordinal > 1 {
		// "in 3rd ch of turning ch", "in third of 4 ch"
		for k := at; k < p.i; k++ {
			if c := p.items[k].class; c == cTurningChain || c == cChain && p.items[k-1].class == cNumber || c == cChain && k+1 < p.i && p.items[k+1].class != cSpace && k > at+1 {
				place.What, place.Choice = TurningChain, Last
			}
		}
	}
	if p.is(cIn) && p.at(1).class == cOtherSide || p.is(cIn) && p.at(1).class == cThe && p.at(2).class == cOtherSide {
		p.skip(cIn, cThe) // "in next 8 chs on other side of foundation ch"
	}
	if p.is(cOtherSide) {
		p.otherSide(place)
	}
	return d
}

// atCorner reads "at each corner" behind a place.
func (p *parser) atCorner(place *Place, d *determiner) {
	at := p.i
	if p.cur().word == "at" || p.cur().word == "in" && p.at(1).class == cEach {
		p.i++
		p.skip(cThe)
		each := p.accept(cEach)
		if p.accept(cCorner) {
			place.Corner = true
			d.each = d.each || each
			return
		}
	}
	p.i = at
}

// tailWords may follow "of" or "in" behind a place without changing it.
var tailWords = map[string]bool{"previous": true, "prev": true, "preceding": true, "below": true, "above": true, "foundation": true,

	"made": true, "joining": true, "join": true, "worked": true, "beg": true, "beginning": true, "base": true, "front": true, "back": true,
	"group": true, "groups": true, "piece": true, "skipped": true, "sl st": true, "working": true, "first": true, "start": true,
	"starting": true, "edge": true, "first chain": true, "used": true, "before": true, "just": true, "body": true}

// tail moves past "of previous rnd", "in last row", "as joining", "of the ch-3".
func (p *parser) tail() {
	for {
		from := p.i
		if p.word("below") || p.cur().word == "just" && p.at(1).word == "made" || p.cur().word == "made" {
			p.skip(cAlso, cMake)
			continue
		}
		if p.is(cNumber) && p.at(1).class == cRow && p.at(2).word == "below" {
			p.i += 3 // "2 rows below"
			continue
		}
		if p.word("behind") {
			p.skip(cThe, cA, cNext, cStitch, cSt)
			continue
		}
		if !(p.is(cThe) && (p.cur().word == "of" || p.cur().word == "of the" || p.cur().word == "that")) &&
			!(p.is(cAs) && !p.is(cCount)) && !(p.is(cIn) && p.inTail()) && !(p.is(cFrom) && p.inTail()) {
			return
		}
		p.i++
		moved := false
		for p.is(cThe, cLast, cRow, cSame, cNext, cA) || tailWords[p.cur().word] ||
			p.is(cStitch, cChain, cSt, cSpace, cTurningChain, cOrdinal, cRing, cAlso, cEach) ||
			p.is(cNumber) && (p.at(-1).class == cRow || p.at(-1).class == cDash || p.at(1).class == cStitch || p.at(1).class == cChain) || p.is(cDash) && p.at(1).class == cNumber && !p.cur().space {
			if p.is(cEach) && p.at(1).class == cRow {
				break
			}
			p.i++
			moved = true
		}
		if !moved {
			p.i = from
			return
		}
	}
}

// inTail reports whether "in" or "from" here tells of another row: "in last
// row", "from Row 2".
func (p *parser) inTail() bool {
	k := 1
	for p.at(k).class == cThe {
		k++
	}
	it := p.at(k)
	if it.class == cLast || it.class == cRow || it.word == "previous" || it.word == "prev" || it.word == "preceding" {
		n := p.at(k + 1)
		return it.class == cRow || n.class == cRow || n.word == "round" || n.class == cNumber && p.at(k+2).class == cRow
	}
	return it.class == cOrdinal && p.at(k+1).class == cRow
}

// spaceAlso reads "in each st and ch-1 sp": the spaces too.
func (p *parser) spaceAlso(place *Place) {
	if place.Choice != EachTo {
		return
	}
	from := p.i
	if !p.is(cAnd, cComma) {
		return
	}
	for p.is(cAnd, cComma) {
		p.i++
	}
	p.skip(cIn)
	p.skip(cEach, cThe)
	other, ok := p.target()
	switch {
	case !ok:
	case other.What == ChainSpace || other.What == Space:
		if place.What == AnyStitch || place.What == NamedStitch {
			place.Spaces = true
			return
		}
	case (place.What == ChainSpace || place.What == Space) && (other.What == NamedStitch || other.What == AnyStitch):
		if p.is(cAcross, cAround, cTo, cComma, cSemi, cPeriod, cEnd, cClose) {
			place.What, place.Name, place.Spaces = other.What, other.Name, true
			return
		}
	case place.What == NamedStitch && other.What == NamedStitch && p.is(cAcross, cAround, cTo):
		place.What, place.Name = AnyStitch, ""
		return
	}
	p.i = from
}

// placeLimit reads how far "each" goes.
func (p *parser) placeLimit(place *Place, d determiner) {
	if place.Choice != EachTo {
		if place.Choice == Next && d.each || place.Choice == Same {
			return
		}
		// "in next 3 sts across" says no more than "in next 3 sts".
		return
	}
	at := p.i
	if p.accept(cAcross) || p.accept(cIn) {
		p.skip(cThe)
		if p.is(cOtherSide) {
			p.otherSide(place)
			place.To = ToEnd
			return
		}
	}
	p.i = at
	to, left, ok := p.limit()
	if !ok {
		place.To = ToEnd
		return
	}
	place.To, place.Left, place.LeftOf, place.LeftSize, place.LeftName = to.To, left, to.LeftOf, to.LeftSize, to.LeftName
	p.tail()
}
