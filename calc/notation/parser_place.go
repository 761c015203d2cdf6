package notation

import "strings"

// place reads where stitches go: "in next 3 sts", "in each st across to last
// 2 sts", "around", "in 4th ch from hook". Without must, a place may begin
// without a word like "in".
func (p *parser) place(must bool) (Place, bool) {
	from := p.i
	p.skip(cAlso, cMake)
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
	each, next, same, last, rest, both bool
	ordinal                            int
	many                               Number
	every                              int
	corner, passed, said               bool
}

func (p *parser) determiner() determiner {
	var d determiner
	for {
		it := p.cur()
		switch it.class {
		case cThe, cA:
			p.i++
			continue
		case cEach:
			d.each = true
			d.both = d.both || it.word == "both"
			p.i++
			if p.is(cOrdinal) && p.at(1).class != cChain || p.cur().word == "other" {
				d.every = max(2, p.cur().n)
				p.i++
			}
		case cNext:
			d.next = true
			p.i++
		case cSame:
			d.same = true
			p.i++
		case cLast:
			d.last = true
			p.i++
		case cRemaining:
			if it.word == "rest" {
				p.i++
				p.skip(cThe)
			} else {
				p.i++
			}
			d.rest = true
		case cOrdinal:
			if d.ordinal > 0 {
				return d
			}
			d.ordinal = it.n
			p.i++
			if p.is(cAnd) && p.at(1).class == cOrdinal { // "2nd and 3rd chains"
				p.i += 2
			}
		case cNumber:
			if d.many != nil || p.sizedSpace() {
				return d
			}
			d.many, _ = p.number()
		case cMore:
			p.i++
		case cSkip, cUnworked:
			if it.word != "skipped" && it.word != "missed" && it.class != cUnworked {
				return d
			}
			d.passed = true
			p.i++
		case cCorner:
			if p.at(1).class != cSt && p.at(1).class != cSpace && p.at(1).class != cChain && p.at(1).class != cStitch {
				return d
			}
			d.corner = true
			p.i++
		default:
			return d
		}
		d.said = true
	}
}

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
	if prep == "under" && place.What == ChainStitch && !d.each {
		place.What = ChainSpace // older: "under 1 chain", "under next 2 chain"
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

// target reads the thing worked into: "sts", "dc", "ch-2 sp", "ring", "top of
// turning ch".
func (p *parser) target() (Place, bool) {
	var place Place
	from := p.i
	if p.is(cCorner) {
		place.Corner = true
		p.i++
	}
	if p.is(cTop) {
		p.i++
		p.skip(cThe, cTop, cLast, cNext, cSame, cOrdinal, cA)
		if p.is(cChain, cNumber) { // "top of ch-3", "top of 3 chain"
			p.skip(cChain, cDash, cNumber)
			p.skip(cChain)
			place.What = TurningChain
			return place, true
		}
		if p.is(cAlso) && p.at(1).class == cChain {
			p.i++
			p.skip(cChain, cDash, cNumber)
			place.What = TurningChain
			return place, true
		}
	}
	if p.is(cAlso, cAs) && (p.at(1).class == cSt || p.at(1).class == cStitch || p.at(1).class == cChain) {
		p.i++ // "beg sc"
	}
	switch it := p.cur(); it.class {
	case cNumber:
		if !p.sizedSpace() {
			p.i = from
			return place, false
		}
		p.skip(cNumber, cDash)
		p.skip(cChain)
		p.skip(cDash)
		p.accept(cSpace)
		place.What, place.Size = ChainSpace, it.n
	case cSt:
		p.i++
		place.What = AnyStitch
	case cMake:
		if it.word != "place" || p.items[max(p.i-1, 0)].class != cSame {
			p.i = from
			return place, false
		}
		p.i++ // "in same place"
	case cStitch:
		p.i++
		p.accept(cSt)
		place.What, place.Name = NamedStitch, it.id
	case cChain:
		p.chainTarget(&place)
	case cYarn: // "around the thread between 4 chain and cluster"
		p.i++
		if !p.is(cBetween) {
			p.i = from
			return place, false
		}
		p.betweenTail()
		place.What = Space
	case cSpace:
		p.i++
		place.What = Space
		if p.is(cBetween) {
			p.betweenTail()
			place.What = SpaceBetween
		}
	case cRing, cMagicRing:
		p.i++
		p.word("loop")
		place.What, place.Choice = RingCentre, Around
	case cTurningChain:
		p.i++
		p.skip(cDash)
		if p.is(cNumber) {
			p.i++
		}
		place.What = TurningChain
		if p.accept(cSpace) {
			place.What = ChainSpace
		}
	case cOtherSide:
		p.otherSide(&place)
	case cMarker:
		p.i++
		p.accept(cSt)
		place.What, place.Choice = MarkedStitch, Nth
	case cBetween:
		p.betweenTail()
		place.What, place.Choice = SpaceBetween, Between
	case cFinish, cRow:
		return p.rowEndTarget(place, from)
	default:
		if place.Corner {
			return place, true
		}
		if p.i > from && p.items[p.i-1].class == cTop {
			return place, true
		}
		p.i = from
		return p.sideTarget(place)
	}
	return place, true
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

// placeTail moves past what only tells a place more exactly: "of last row",
// "as joining", "just made".
func (p *parser) placeTail(place *Place, d determiner) determiner {
	if place.What == AnyStitch && d.ordinal > 1 && p.cur().word == "of" && (p.at(1).class == cChain || p.at(1).class == cThe && p.at(2).class == cChain) {
		p.skip(cThe)
		p.i++
		place.What = ChainFromHook // older: "in 8th stitch of chain"
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
