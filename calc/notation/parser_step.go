package notation

import (
	"strings"

	"countwright/calc/stitch"
)

// step reads one instruction, or the words of one that can't be read.
func (p *parser) step(f *frame) {
	from := p.i
	if p.explaining(f) {
		p.sentence(f, from)
		return
	}
	if p.cornersToo(f) || p.handling(f, from) || p.insertInto(f, from) {
		return
	}
	p.skip(cMake, cThe, cAlso)
	if p.i >= p.stop || p.is(cComma, cSemi, cPeriod, cClose, cColon) {
		if p.i-from > 1 || p.i < p.stop && p.items[from].class == cMake && p.is(cColon) {
			return
		}
		p.remarkFrom(f, from)
		return
	}
	if p.isColour() && p.at(1).class == cColon { // "A: sc 4, B: sc 3"
		p.i++
		p.remarkFrom(f, from)
		return
	}
	if p.word("even") || p.backAndForth() {
		p.workEven(f, from)
		return
	}
	if p.movements(f) || p.described(f, from) || p.required(f, from) || p.spacesOf(f, from) {
		return
	}
	switch it := p.cur(); it.class {
	case cChain:
		if p.chain(f, from, nil) {
			return
		}
	case cWith:
		if p.cornerNote(f) {
			return
		}
		if next := p.at(2).class; p.at(1).class == cA && next == cChain || p.is(cWith) && (p.at(1).class == cNumber || p.at(1).class == cA) && (next == cChain || next == cStitch) && p.items[max(p.i-1, 0)].class == cAlso {
			p.i++ // "commence with a chain of 140 stitches", "start with 6 sc"
			p.counted(f, from)
			return
		}
	case cEnding:
		if p.ending(f, from) {
			return
		}
	case cNumber, cA:
		if it.class == cA && p.at(1).class == cMagicRing {
			p.i++
			p.ring(f, from)
			return
		}
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
		if p.loopNote(f, from) || p.lateLimit(f) || p.inStitch(f, from) || p.placeFirst(f, from) || p.whereFirst(f, from) || p.purpose(f, from) {
			return
		}
	case cTotal:
		if p.bareClaim(from) {
			return
		}
	case cDash, cEquals:
		if p.bareClaim(from) {
			return
		}
		p.i++
		return
	case cAcross, cRemaining:
		if p.placeFirst(f, from) || p.whereFirst(f, from) {
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
	if p.lastNumber(from) {
		return true
	}
	var n Number
	if p.accept(cA) {
		n = N(1)
		if p.is(cChain) && p.at(1).word == "of" {
			n = nil // "a chain of 54 stitches"
		}
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
			g.From = p.items[from].from.pos()
			return true
		}
	}
	p.i = at
	return false
}

// lastNumber reads a number that stands alone at the end of the row: a count.
func (p *parser) lastNumber(from int) bool {
	if !p.is(cNumber) || from == 0 || !(p.afterStop(from) || p.items[from-1].class == cDash) {
		return false
	}
	at := p.i
	n, _ := p.number()
	p.accept(cPeriod)
	if p.i < p.stop {
		p.i = at
		return false
	}
	p.claim = &Claim{Span: p.span(from), Entries: []ClaimEntry{{Count: n}}}
	return true
}

func lastStep[S Step](f *frame) (S, bool) {
	if len(f.steps) == 0 {
		var none S
		return none, false
	}
	s, ok := f.steps[len(f.steps)-1].(S)
	return s, ok
}

// backAndForth reads "back and forth", behind "work".
func (p *parser) backAndForth() bool {
	if p.cur().word == "back" && p.at(1).class == cAnd && p.at(2).word == "forth" {
		p.i += 3
		if p.is(cIn) && p.at(1).class != cStitch { // "on the 12 stitches"
			p.toSeparator()
		}
		return true
	}
	return false
}

// workEven reads "work even", "continue even in sc": the stitch of the rows
// before in each place.
func (p *parser) workEven(f *frame, from int) {
	s := &Stitches{Name: p.base, Into: Place{Choice: EachTo, To: ToEnd}, Loop: p.loop}
	if s.Name == "" {
		s.Name = "sc"
	}
	if p.is(cIn) && p.at(1).class == cStitch {
		s.Name = p.at(1).id
		p.i += 2
	}
	if p.is(cIn) && (p.at(1).word == "pattern" || p.at(1).word == "patt" || p.at(1).word == "pat") {
		p.i += 2
	}
	p.limit()
	s.Span = p.span(from)
	p.assume(s.Span, `"work even" is read as `+string(s.Name)+" in each stitch")
	p.push(f, s)
}

// ending reads "ending with a double in top of ch": the words before the stitch
// say nothing more. "Ending with a RS row" is a remark.
func (p *parser) ending(f *frame, from int) bool {
	p.i++
	p.accept(cWith)
	if p.is(cA, cNumber) && p.at(1).class == cStitch || p.is(cStitch) {
		p.step(f)
		return true
	}
	p.remarkClause(f, from)
	return true
}

// lateLimit reads a limit that stands apart from its "each": "a treble in each
// treble, …, up to the 2 chain".
func (p *parser) lateLimit(f *frame) bool {
	if !p.is(cTo) {
		return false
	}
	from := p.i
	to, left, ok := p.limit()
	if !ok {
		return false
	}
	for k := len(f.steps) - 1; k >= 0; k-- {
		switch s := f.steps[k].(type) {
		case *Remark:
			continue
		case *Stitches:
			if s.Into.Choice == EachTo && s.Into.To == ToEnd {
				s.Into.To, s.Into.Left, s.Into.LeftOf, s.Into.LeftSize, s.Into.LeftName = to.To, left, to.LeftOf, to.LeftSize, to.LeftName
				return true
			}
		}
		break
	}
	p.i = from
	return false
}

// inStitch reads "work the cuff in star stitch" and "in double crochet around":
// the stitch in each place.
func (p *parser) inStitch(f *frame, from int) bool {
	if !p.is(cIn) || p.at(1).class != cStitch || !p.items[from].madeOf() {
		return false
	}
	it := p.at(1)
	p.i += 2
	to, left, ok := p.limit()
	if !ok {
		to = Place{To: ToEnd}
	}
	to.Choice, to.Left = EachTo, left
	s := &Stitches{Span: p.span(from), Name: it.id, Into: to, Loop: p.loop}
	p.push(f, s)
	return true
}

func (it item) madeOf() bool { return it.class == cMake || it.class == cAlso }

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
	s := &Skip{Many: d.many, What: place.What, Name: place.Name, Size: place.Size}
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
	p.word("work", "piece")
	if p.is(cNumber) && strings.HasPrefix(p.at(1).word, "degree") || p.is(cNumber) && p.at(1).class == cOther {
		p.i += 2 // "turn work 90 degrees" to go on along the side: no turn
		p.remarkFrom(f, from)
		return true
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

// placeList reads "in next st: sc, hdc, dc;": a list worked into one place.
func (p *parser) placeList(f *frame, from int, place Place) bool {
	end := p.i
	commas := 0
	for end < p.stop && p.items[end].class != cSemi && p.items[end].class != cPeriod && p.items[end].class != cClose {
		switch p.items[end].class {
		case cComma:
			commas++
		case cOpen, cStar, cIn:
			return false
		}
		end++
	}
	if commas == 0 {
		return false
	}
	stop := p.stop
	p.i, p.stop = p.i+1, end
	inner := p.sequence(f.depth + 1)
	p.stop = stop
	f.steps = append(f.steps, &Group{Span: p.span(from), Mark: Paren, Steps: inner.steps, Into: &place})
	return true
}

// whereFirst reads "across top of neck make …" and "along the front edge work
// 60 sc": where is a remark, the work follows.
func (p *parser) whereFirst(f *frame, from int) bool {
	for k := 1; k < 10; k++ {
		switch it := p.at(k); it.class {
		case cMake:
			next := p.at(k + 1)
			if next.class == cNumber || next.class == cA || next.class == cStitch || next.class == cSpace || next.class == cOpen {
				p.i += k
				p.remarkFrom(f, from)
				return true
			}
		case cComma, cSemi, cPeriod, cEnd, cOpen, cClose, cStar, cStars:
			return false
		}
	}
	return false
}

// purpose reads "to widen for center of back", "to form a rib".
func (p *parser) purpose(f *frame, from int) bool {
	if !p.is(cTo) {
		return false
	}
	switch next := p.at(1); next.class {
	case cWord, cMake, cJoin, cTurn, cSkip, cAlso, cMarker, cCount:
	case cStitch:
		if next.id != "inc" && next.id != "dec" {
			return false
		}
	default:
		return false
	}
	p.remarkClause(f, from)
	return true
}

// placeFirst reads "in next st, work 3 dc" and "in first ch-1 sp (sc, ch 2,
// sc)".
func (p *parser) placeFirst(f *frame, from int) bool {
	at, prep := p.i, p.cur().word
	place, ok := p.place(true)
	if !ok {
		return false
	}
	p.skip(cMake, cAlso)
	if p.is(cColon) && p.placeList(f, from, place) {
		return true
	}
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
		s := &Stitches{Span: p.span(from), Name: name.id, Into: place, Loop: p.loop}
		if place.What == ChainStitch && place.Choice == Next && place.Many.At(0) == 1 && n.At(0) > 1 && prep == "on" {
			s.Into = Place{Choice: Next, Many: n, Unsaid: true} // "on the chain make 8 stars"
			p.push(f, s)
			return true
		}
		p.addStitches(f, s, n, place)
		return true
	}
	p.i = at
	return false
}
