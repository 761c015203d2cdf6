package notation

// place reads where stitches go: "in next 3 sts", "in each st across to last
// 2 sts", "around", "in 4th ch from hook". Without must, a place may begin
// without a word like "in".
func (p *parser) place(must bool) (Place, bool) {
	from := p.i
	p.skip(cAlso, cMake)
	if p.is(cEach) && p.at(1).class == cIn {
		p.i++ // "all in next sp"
	}
	p.layers()
	prep := p.preposition()
	if p.i >= p.stop {
		p.i = from
		return Place{}, false
	}
	if prep == "" && must || prep == "" && !p.is(cNext, cEach, cSame, cLast, cOrdinal, cRemaining, cAround, cAcross, cTo, cFinish, cOtherSide) {
		if to, _, ok := p.limit(); ok && !must {
			return p.everyTo(from, to), true
		}
		p.i = from
		return Place{}, false
	}
	if prep == "" {
		if to, _, ok := p.limit(); ok {
			return p.everyTo(from, to), true
		}
	}
	place, ok := p.placeBody(prep)
	if !ok {
		p.i = from
		return Place{}, false
	}
	place.Span = p.span(from)
	return place, true
}

// layers moves past "through both layers".
func (p *parser) layers() {
	if p.is(cIn) && p.at(1).class == cEach {
		switch p.at(2).word {
		case "layers", "thicknesses", "pieces", "sides", "edges":
			p.i += 3
		}
	}
}

// everyTo is a place told by its limit only: "sc around".
func (p *parser) everyTo(from int, to Place) Place {
	to.Choice, to.Span = EachTo, p.span(from)
	return to
}

// preposition reads "in", "into", "under", "over", "to", "around" and returns
// the first of them, "" if there is none.
func (p *parser) preposition() string {
	word := ""
	for {
		it := p.cur()
		switch it.class {
		case cIn, cBetween:
		case cAcross:
			// "sc across next 5 sts"
			if next := p.at(1).class; word != "" || next != cNumber && next != cNext && next != cOrdinal && next != cLast && (next != cThe || p.at(2).class != cNext) {
				return word
			}
		case cAround:
			if !p.aroundSomething() {
				return word
			}
		case cTo:
			// "sl st to first st", but not "to end", "to last 2 sts".
			if it.word != "to" || !p.toPlace() {
				return word
			}
		default:
			return word
		}
		if word == "" {
			word = it.word
		}
		p.i++
		if it.class == cBetween {
			return "between"
		}
	}
}

// toPlace reports whether "to" here leads to a place to work into.
func (p *parser) toPlace() bool {
	k := 1
	for p.at(k).class == cThe || p.at(k).class == cA {
		k++
	}
	switch p.at(k).class {
	case cOrdinal, cTop, cNext, cSame, cTurningChain, cRing, cStitch, cChain, cOtherSide, cEach, cSpace:
		return true
	}
	return false
}

// determiner is what is said before the thing worked into.
type determiner struct {
	each, next, same, last, rest bool
	corner, passed, said         bool
	ordinal, every               int
	many                         Number
}

func (p *parser) determiner() determiner {
	var d determiner
	for {
		if p.is(cThe, cA) {
			p.i++
			continue
		}
		if !p.choice(&d) && !p.quantity(&d) {
			return d
		}
		d.said = true
	}
}

// choice reads a word that chooses among places: "each", "next", "skipped".
func (p *parser) choice(d *determiner) bool {
	switch it := p.cur(); it.class {
	case cEach:
		d.each = true
		if next := p.at(1); next.class == cOrdinal && p.at(2).class != cChain || next.word == "other" {
			d.every = max(2, next.n)
			p.i++
		}
	case cNext:
		d.next = true
	case cSame:
		d.same = true
	case cLast:
		d.last = true
	case cRemaining:
		d.rest = true
	case cSkip, cUnworked:
		if it.word != "skipped" && it.word != "missed" && it.class != cUnworked {
			return false
		}
		d.passed = true
	case cCorner:
		if c := p.at(1).class; c != cSt && c != cSpace && c != cChain && c != cStitch {
			return false
		}
		d.corner = true
	default:
		return false
	}
	p.i++
	return true
}

// quantity reads how many places, or which: "3", "2nd", "more".
func (p *parser) quantity(d *determiner) bool {
	switch it := p.cur(); it.class {
	case cOrdinal:
		if d.ordinal > 0 {
			return false
		}
		d.ordinal = it.n
		p.i++
		if p.is(cAnd) && p.at(1).class == cOrdinal { // "2nd and 3rd chains"
			p.i += 2
		}
	case cNumber:
		if d.many != nil || p.sizedSpace() {
			return false
		}
		d.many, _ = p.number()
	case cMore:
		p.i++
	default:
		return false
	}
	return true
}

// placeBody reads a place after its preposition.
func (p *parser) placeBody(prep string) (Place, bool) {
	if prep == "between" {
		return p.between(), true
	}
	from := p.i
	p.skip(cLoop, cThe)
	if p.is(cLoop) {
		p.i++
	}
	d := p.determiner()
	if p.is(cPost) || p.is(cTop) && p.partOf() { // "around post of next dc", "in the eye of each star"
		p.i++
		p.skip(cThe)
		d = p.determiner()
	}
	if d.ordinal > 1 && p.is(cChain) && p.at(-1).word == "of" && (p.at(1).class == cNumber || p.at(2).class == cNumber && p.at(1).class == cDash) {
		p.skip(cChain, cDash)
		p.accept(cNumber)
		return Place{Choice: Last, What: TurningChain}, true // "in 3d of ch 5"
	}
	if p.is(cStitch) && p.at(1).class == cStitch && p.cur().word == "single" {
		p.i++ // "in single treble": the one that stands alone
	}
	place, named := p.target()
	if prep == "under" && place.What == ChainStitch {
		place.What = ChainSpace // older: "under 1 chain", "under every chain"
		place.Size = d.many.At(0)
		d.many = nil
	}
	if !named && !d.said || !named && d.many != nil && !d.next && !d.each && !d.last && d.ordinal == 0 && !p.is(cComma, cSemi, cPeriod, cEnd, cClose, cTogether) {
		p.i = from
		return Place{}, false
	}
	if p.is(cSpace) && place.What == NamedStitch { // "in dc sp"
		p.i++
		place.What, place.Name = Space, ""
	}
	place.Corner = place.Corner || d.corner
	place.Over = prep == "over" && d.many.At(0) > 1 && !d.each
	if d.passed && (place.What == AnyStitch || place.What == NamedStitch || place.What == ChainStitch) {
		place.What, place.Name = SkippedStitch, ""
	}
	d = p.placeTail(&place, d)
	p.choose(&place, d)
	p.spaceAlso(&place)
	if prep == "over" && d.each && place.Choice == Next && place.Many.At(0) > 1 && p.is(cAround, cAcross, cTo) {
		place.Choice, place.Many, place.Over = EachTo, nil, false // "sc2tog over each 2 sts across"
	}
	p.placeLimit(&place, d)
	return place, true
}

// partOf reads on from "eye" or "top" and reports whether a determiner
// follows: "the eye of each star".
func (p *parser) partOf() bool {
	k := 1
	for p.at(k).class == cThe {
		k++
	}
	c := p.at(k).class
	return c == cEach || c == cNext || c == cNumber && p.at(k+1).class != cChain || p.cur().word == "eye" || p.cur().word == "eyes"
}

// choose sets how the place is chosen.
func (p *parser) choose(place *Place, d determiner) {
	place.Many, place.Every = d.many, d.every
	switch {
	case place.Choice != Next: // the target settled it
		if place.Choice == Last {
			place.Many = nil
		}
	case place.What == RingCentre:
		place.Choice = Around
	case place.What == ChainFromHook:
		place.Choice, place.Many = Nth, N(max(1, d.ordinal))
	case d.ordinal > 1 && d.many != nil && place.What == ChainStitch:
		place.Choice, place.Many, place.What = Last, nil, TurningChain // "in third of 4 ch"
	case d.same:
		place.Choice, place.Many = Same, nil
	case d.each && d.many == nil, d.rest && d.many == nil && !d.next:
		place.Choice = EachTo
		if d.last || d.ordinal == 1 {
			place.Choice = Last
		}
	case d.ordinal == 1 && !d.next:
		place.Choice = First
	case d.last:
		place.Choice = Last
	case d.ordinal > 1:
		place.Choice, place.Many = Nth, N(d.ordinal)
	case place.What == TurningChain:
		place.Choice = Last
	case place.What == RowEnd && d.many == nil && !d.next, place.What == OtherSide && d.many == nil && !d.next:
		place.Choice = EachTo
	default:
		place.Choice = Next
		if place.Many == nil {
			place.Many = N(1)
		}
	}
	if place.Choice == First || place.Choice == Last {
		if len(place.Many) == 1 && place.Many[0] == 1 {
			place.Many = nil
		}
	}
}
