package notation

import (
	"strings"
	"unicode/utf8"
)

// join reads "join with sl st in first sc", "join to form a ring", "join B in
// any st", "join".
func (p *parser) join(f *frame, from int) bool {
	p.i++
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
	if p.i > at && p.accept(cRing) {
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

// fastenOff reads "fasten off", "break yarn", "fasten off, leaving a long tail".
func (p *parser) fastenOff(f *frame, from int) bool {
	p.i++
	// "fasten back in 1st stitch" and "fasten in space" join with a slip stitch.
	if p.items[p.i-1].word == "fasten" {
		if p.is(cIn) || p.cur().word == "back" {
			p.word("back")
			if place, ok := p.place(true); ok {
				s := &Stitches{Span: p.span(from), Name: "sl st", Into: place}
				p.picot(f, s)
				return true
			}
		}
	}
	p.skip(cYarn, cAlso, cThe)
	if p.isColour() {
		p.i++ // "fasten off MC"
	}
	f.steps = append(f.steps, &FastenOff{p.span(from)})
	return true
}

// picot makes a picot of chains that are fastened back, where the words after
// say so.
func (p *parser) picot(f *frame, s *Stitches) {
	c, chained := lastStep[*Chain](f)
	at := p.i
	if p.cur().word == "for" {
		p.i++
		p.skip(cA, cThe)
		if p.is(cStitch) && strings.HasSuffix(string(p.cur().id), "picot") {
			p.i++
			if chained && len(c.Many) == 1 {
				id, ok := derived(entry{}, "ch-"+numberText(c.Many)+" picot")
				if ok {
					f.steps[len(f.steps)-1] = &Stitches{Span: Span{c.From, p.items[p.i-1].to.pos()}, Name: id.id, Into: Place{Choice: Next, Many: N(1), Unsaid: true}}
					return
				}
			}
		} else {
			p.i = at
		}
	}
	f.steps = append(f.steps, s)
}

// attach reads "rejoin yarn to 5th st", "join yarn with sl st in any st",
// "attach A in first ch-sp".
func (p *parser) attach(f *frame, from int) {
	word := p.cur().word
	p.i++
	if next := p.cur().class; word == "fasten in" && (next == cOrdinal || next == cSpace || next == cNext || next == cSame || next == cTop || next == cStitch || next == cSt) {
		// "chain 4, fasten in space": joined with a slip stitch.
		at := p.i
		if place, ok := p.placeBody("in"); ok {
			f.steps = append(f.steps, &Stitches{Span: p.span(from), Name: "sl st", Into: place})
			return
		}
		p.i = at
	}
	p.attachTail(f, from)
}

func (p *parser) attachTail(f *frame, from int) {
	a := &Attach{}
	p.skip(cThe, cA, cMore, cNext, cSame, cYarn, cAlso)
	for p.isColour() || p.is(cWord) && p.at(1).class == cYarn {
		a.Colour = strings.TrimSpace(a.Colour + " " + p.source(p.cur().span()))
		p.i++
		p.skip(cYarn)
	}
	p.skip(cYarn)
	p.withStitch(a)
	place, placed := p.attachPlace()
	p.withStitch(a)
	if at := p.i; !placed && p.accept(cComma) {
		if place, placed = p.attachPlace(); !placed {
			p.i = at
		}
	}
	a.Into = place
	a.Span = p.span(from)
	if s, ok := lastStep[*Skip](f); ok && len(f.steps) == 1 {
		a.Skip, a.From = s.Many, s.From
		f.steps = f.steps[:0]
	}
	f.steps = append(f.steps, a)
	f.lead = len(f.steps)
}

// withStitch reads "with a sl st" behind a yarn that is joined.
func (p *parser) withStitch(a *Attach) {
	at := p.i
	if p.is(cWith) {
		p.i++
		p.skip(cA)
		if p.is(cStitch) && p.isSlip(p.cur().id) {
			p.i++
			return
		}
		if p.is(cStitch) { // "with a standing sc": the stitch is the next step
			return
		}
	}
	p.i = at
}

// attachPlace reads the place of a yarn, "at" and "any" included.
func (p *parser) attachPlace() (Place, bool) {
	at := p.i
	if p.cur().word != "at" {
		if place, ok := p.place(true); ok {
			return place, true
		}
	}
	p.i = at
	if p.is(cIn, cTo) || p.cur().word == "where" { // "at top of left front": told, but no stitch of the row
		for p.i < p.stop && !p.is(cComma, cSemi, cPeriod, cClose, cOpen, cStitch, cNumber, cStar) && p.cur().word != "so" {
			p.i++
		}
		return Place{}, true
	}
	return Place{}, false
}

// isColour reports whether a yarn's letter or code stands here: "B", "MC",
// "CC1", "color A".
func (p *parser) isColour() bool {
	it := p.cur()
	switch it.class {
	case cWord, cA, cOther, cMagicRing:
	default:
		return false
	}
	src := p.text[it.from.off:it.to.off]
	switch strings.TrimRight(src, "0123456789") {
	case "MC", "CC", "CA", "CB", "CD":
		return true
	}
	return utf8.RuneCountInString(src) == 1 && src >= "A" && src <= "Z"
}

// leave reads "leave rem 20 sts unworked", "leaving last 3 sts unworked".
func (p *parser) leave(f *frame, from int) bool {
	if !p.unworkedAhead() {
		return p.leaveCount(f, from)
	}
	l := &Leave{}
	for p.i < p.stop && !p.is(cUnworked) {
		if p.is(cNumber) {
			l.Many, _ = p.number()
			continue
		}
		if p.is(cLast) && (p.at(1).class == cSt || p.at(1).class == cStitch) {
			l.Many = N(1)
		}
		p.i++
	}
	p.i++
	l.Span = p.span(from)
	// What is left is not worked by the "each" before it.
	if s, ok := lastStep[*Stitches](f); ok && s.Into.Choice == EachTo && s.Into.To == ToEnd && l.Many.Said() {
		s.Into.To, s.Into.Left = ToLast, l.Many
	}
	f.steps = append(f.steps, l)
	return true
}

// leaveCount reads "leaving the other 3 stitches for the instep".
func (p *parser) leaveCount(f *frame, from int) bool {
	at := p.i
	p.i++
	p.skip(cThe, cRemaining, cLast, cA)
	n, ok := p.number()
	if !ok || !p.is(cSt, cStitch) {
		p.i = at
		return false
	}
	p.clauseEnd()
	f.steps = append(f.steps, &Leave{Span: p.span(from), Many: n})
	return true
}

// unworkedAhead reports whether "unworked" ends the clause.
func (p *parser) unworkedAhead() bool {
	for k := 0; k < 24; k++ {
		if p.at(k).class == cOpen && p.at(k-1).class == cNumber { // a size string
			if _, end := p.bracketed(p.i + k); end > p.i+k {
				k = end - p.i
			}
		}
		switch p.at(k).class {
		case cUnworked:
			return true
		case cEnd, cComma, cSemi, cPeriod, cStar:
			return false
		}
	}
	return false
}

// marker reads "place marker in first st", "pm", "move marker up".
func (p *parser) marker(f *frame, from int) {
	p.i++
	p.skip(cTo, cThe, cA)
	p.word("up")
	if place, ok := p.place(true); ok {
		_ = place
	} else {
		p.toSeparator()
	}
	s := p.span(from)
	f.steps = append(f.steps, &Mark{Span: s, Text: p.source(s)})
}
