package notation

import (
	"strings"

	"countwright/calc/stitch"
)

// step reads one instruction, or the words of one that can't be read.
func (p *parser) step(f *frame) {
	from := p.i
	if p.idiom(f, from) {
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
	if p.is(cStar, cStars, cOpen, cRepeat) { // the sequence's own
		return
	}
	if p.told(f, from) || p.work(f, from) || p.yarnWork(f, from) || p.placed(f, from) || p.joint(f, from) {
		return
	}
	p.i = from
	p.clause(f)
}

// idiom reads sentences and clauses that are told by their first words.
func (p *parser) idiom(f *frame, from int) bool {
	if p.explaining(f) {
		p.sentence(f, from)
		return true
	}
	return p.cornersToo(f) || p.handling(f, from) || p.insertInto(f, from)
}

// told reads work that is told otherwise than by naming a stitch first: "work
// even", movements of the hook, "the required number of stars".
func (p *parser) told(f *frame, from int) bool {
	if p.isColour() && p.at(1).class == cColon { // "A: sc 4, B: sc 3"
		p.i++
		p.remarkFrom(f, from)
		return true
	}
	if p.word("even") || p.backAndForth() {
		p.workEven(f, from)
		return true
	}
	return p.movements(f) || p.described(f, from) || p.required(f, from) || p.spacesOf(f, from)
}

// work reads what makes, skips or turns: stitches, chains, rings.
func (p *parser) work(f *frame, from int) bool {
	switch it := p.cur(); it.class {
	case cChain:
		return p.chain(f, from, nil)
	case cNumber, cA:
		if it.class == cA && p.at(1).class == cMagicRing {
			p.i++
			p.ring(f, from)
			return true
		}
		return p.counted(f, from)
	case cStitch:
		p.stitches(f, from, nil)
		return true
	case cSkip:
		return p.skipping(f, from)
	case cTurn:
		return p.turn(f, from)
	case cJoin:
		return p.join(f, from)
	case cMagicRing:
		p.ring(f, from)
		return true
	}
	return false
}

// yarnWork reads what is done with the yarn and around the row: fastening off,
// joining yarn, leaving stitches, markers.
func (p *parser) yarnWork(f *frame, from int) bool {
	switch p.cur().class {
	case cFastenOff:
		return p.fastenOff(f, from)
	case cAttach:
		p.attach(f, from)
		return true
	case cLeave:
		return p.leave(f, from)
	case cMarker:
		p.marker(f, from)
		return true
	}
	return false
}

// placed reads what begins with a place: "in next st, work 3 dc".
func (p *parser) placed(f *frame, from int) bool {
	switch p.cur().class {
	case cLoop, cIn, cEach, cNext, cSame, cLast, cOrdinal, cBetween, cAround, cTo, cOtherSide:
		return p.loopNote(f, from) || p.lateLimit(f) || p.inStitch(f, from) || p.placeFirst(f, from) || p.whereFirst(f, from) || p.purpose(f, from)
	case cAcross, cRemaining:
		return p.placeFirst(f, from) || p.whereFirst(f, from)
	case cFrom:
		return p.startsFrom()
	}
	return false
}

// joint reads what begins with a word between: "with", "ending with", a dash
// before a count, "do not".
func (p *parser) joint(f *frame, from int) bool {
	switch next, third := p.at(1).class, p.at(2).class; p.cur().class {
	case cWith:
		if p.cornerNote(f) {
			return true
		}
		started := p.items[max(p.i-1, 0)].class == cAlso
		if next == cA && third == cChain || started && (next == cNumber || next == cA) && (third == cChain || third == cStitch) {
			p.i++ // "commence with a chain of 140 stitches", "start with 6 sc"
			p.counted(f, from)
			return true
		}
	case cEnding:
		return p.ending(f, from)
	case cFinish:
		if next == cChain || next == cStitch || next == cWith || next == cNumber {
			return p.ending(f, from) // "rep from *, end ch 2, dc in last sc"
		}
	case cTotal:
		return p.bareClaim(from)
	case cDash, cEquals:
		if !p.bareClaim(from) {
			p.i++
		}
		return true
	case cNot:
		p.remarkClause(f, from)
		return true
	}
	return false
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
	if p.i < p.stop && !(p.items[p.i].line && p.restIsQuiet()) {
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
	if p.is(cA, cNumber) && (p.at(1).class == cStitch || p.at(1).class == cChain) || p.is(cStitch, cChain) {
		p.step(f)
		return true
	}
	p.remarkClause(f, from)
	return true
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
