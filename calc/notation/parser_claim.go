package notation

import "countwright/calc/stitch"

// claimBracket reads a count in brackets: "(99 sts)", "[18]", "(24 sc, 6 ch-1
// sps)". It returns nil where the bracket holds something else, or where what
// follows shows that the bracket is worked.
func (p *parser) claimBracket() *Claim {
	from := p.i
	if !p.is(cOpen) {
		return nil
	}
	p.i++
	c := p.claimEntries()
	if c == nil || !p.is(cClose) {
		p.i = from
		return nil
	}
	p.i++
	switch next := p.cur(); next.class {
	case cIn, cX, cTimes, cNext, cEach, cPair:
		p.i = from
		return nil
	case cAround, cAcross:
		p.i = from
		return nil
	case cNumber:
		at := p.i
		if _, ok := p.countTimes(); ok {
			p.i = from
			return nil
		}
		p.i = at
	case cTo:
		p.i = from
		return nil
	case cRepeat:
		if len(c.Entries) > 1 || c.Entries[0].What != "" && c.Entries[0].What != "st" {
			p.i = from
			return nil
		}
	case cComma, cSemi:
		// "(3 dc), rep …" and "(2 dc, ch 1), …" are work; a count alone is not.
		if p.at(1).class == cRepeat && c.Entries[0].What != "" && c.Entries[0].What != "st" && !p.at(1).line {
			p.i = from
			return nil
		}
	}
	c.Span = p.span(from)
	return c
}

// claimEntries reads counts up to a bracket, stop or the end.
func (p *parser) claimEntries() *Claim {
	c := &Claim{}
	for {
		for k := 0; k < 8 && (p.is(cTotal, cAlso, cThe, cSt, cEquals, cColon, cMake, cDash, cCount) || p.cur().word == "now" || p.cur().word == "have" || p.cur().word == "you" || p.cur().word == "should"); k++ {
			p.i++
		}
		if !p.is(cNumber) {
			return nil
		}
		n, _ := p.number()
		what, ok := p.claimed()
		if !ok {
			return nil
		}
		c.Entries = append(c.Entries, ClaimEntry{Count: n, What: what})
		if len(c.Entries) > 20 {
			return nil
		}
		at := p.i
		p.skip(cComma, cAnd, cSemi, cPlus)
		if p.i == at || !p.is(cNumber) {
			p.i = at
			break
		}
	}
	if len(c.Entries) > 1 && len(c.Entries) == p.sizeList {
		c.mergeSizes()
	}
	return c
}

// mergeSizes reads "(30, 32, 34)" as one count for each size.
func (c *Claim) mergeSizes() {
	last := len(c.Entries) - 1
	one := ClaimEntry{What: c.Entries[last].What}
	for i, e := range c.Entries {
		if len(e.Count) != 1 || i < last && e.What != "" {
			return
		}
		one.Count = append(one.Count, e.Count[0])
	}
	c.Entries = []ClaimEntry{one}
}

// claimed reads what a count is of: "sts", "sc", "ch-2 sps", "shells", nothing.
func (p *parser) claimed() (string, bool) {
	p.skip(cTotal, cMore)
	what := ""
	switch it := p.cur(); it.class {
	case cClose, cComma, cPeriod, cEnd, cSemi, cAnd, cPlus:
		return "", true
	case cSt:
		p.i++
		what = "st"
	case cStitch:
		p.i++
		p.accept(cSt)
		what = string(it.id)
		if p.is(cSpace) {
			p.i++
			what += " sp"
		}
	case cChain:
		p.i++
		dash := p.accept(cDash)
		what = "ch"
		if p.is(cNumber) && (dash || p.at(1).class == cSpace) {
			what += "-" + numberText(N(p.cur().n))
			p.i++
			p.accept(cDash)
		}
		if p.is(cSpace) {
			p.i++
			what += " sp"
		}
	case cTurningChain:
		p.i++
		what = "tch"
	case cSpace:
		p.i++
		what = "sp"
		if it.word == "loop" || it.word == "loops" || it.word == "lp" || it.word == "lps" {
			what = "loop"
		}
	case cWord, cCorner, cMarker:
		if p.at(1).class != cClose && p.at(1).class != cComma && p.at(1).class != cTotal {
			return "", false
		}
		p.i++
		what = singular(it.word)
	default:
		return "", false
	}
	p.claimTail()
	return what, true
}

// claimTail moves past "total", "in each section", "including turning ch",
// "made", "per side".
func (p *parser) claimTail() {
	for {
		switch it := p.cur(); {
		case it.class == cTotal, it.class == cRemaining, it.class == cMake:
			p.i++
		case it.word == "including" || it.word == "inc" || it.word == "incl" || it.word == "counting" || it.word == "per" || it.word == "for" || it.word == "on" || it.word == "not" || it.word == "excluding":
			for p.i < p.stop && !p.is(cClose, cPeriod, cSemi) && !(p.is(cComma) && p.at(1).class == cNumber) {
				p.i++
			}
		case p.claimWhere() > 0:
			p.i += p.claimWhere()
		default:
			return
		}
	}
}

// claimWhere returns how many items tell where a count holds: "in each
// section", "each side", "around". 0: none.
func (p *parser) claimWhere() int {
	if !p.is(cIn, cEach, cAround, cAcross) {
		return 0
	}
	for k := 0; k < 6; k++ {
		switch p.at(k).class {
		case cIn, cEach, cThe, cWord, cRow, cCorner, cAround, cAcross:
		case cClose, cComma, cSemi, cPeriod, cEnd:
			return k
		default:
			return 0
		}
	}
	return 0
}

// singular takes a plural's ending off a word that can be counted.
func singular(word string) string {
	if n := len(word); n > 3 && word[n-1] == 's' && word[n-2] != 's' {
		return word[:n-1]
	}
	return word
}

// bareClaim reads a count without brackets: "— 24 sc", "= 24 sts", "24 sts.",
// "making 26 doubles".
func (p *parser) bareClaim(from int) bool {
	at := p.i
	made := p.items[from].class == cMake && p.items[from].word == "making"
	marked := p.is(cDash, cEquals)
	for k := 0; k < 3 && p.is(cDash, cEquals); k++ {
		p.i++
	}
	if p.is(cTotal) {
		marked = true
	}
	if marked && (p.i == p.stop || p.at(-1).class == cDash && p.i-at == 1 && !p.items[at].space) {
		p.i = at
		return false
	}
	start := p.i
	if made {
		p.skip(cAlso)
	}
	c := p.claimEntries()
	if made {
		for k := start; k < p.i; k++ {
			if w := p.items[k].word; w == "on" || w == "per" || w == "for" || w == "in" && !(p.items[k+1].class == cThe && p.items[min(k+2, len(p.items)-1)].class == cRow || p.items[min(k+2, len(p.items)-1)].word == "round") {
				c = nil // "making 11 stars on chain" is no count of the row
			}
		}
	}
	if c == nil || !p.is(cEnd, cPeriod, cComma, cSemi, cClose, cTurn, cJoin) {
		p.i = at
		return false
	}
	if marked && p.is(cComma, cSemi) && p.restIsQuiet() {
		c.Span = p.span(from) // "– 24 hdc, turn"
		p.claim = c
		return true
	}
	counted := len(c.Entries) == 1 && c.Entries[0].What == "st"
	ends := p.is(cEnd, cPeriod) && p.restIsQuiet()
	if !(marked && ends || made || counted && ends || counted && p.restIsQuiet() || ends && p.afterStop(from) && start > 0) {
		p.i = at
		return false
	}
	if what := c.Entries[0].What; !marked && !made && what == "" {
		p.i = at
		return false
	}
	c.Span = p.span(from)
	p.claim = c
	return true
}

// afterStop reports whether a full stop stands before the item.
func (p *parser) afterStop(from int) bool {
	return from > 0 && p.items[from-1].class == cPeriod
}

// restIsQuiet reports whether nothing but turning, joining and fastening off
// follows in the row.
func (p *parser) restIsQuiet() bool {
	for k := p.i; k < p.stop; k++ {
		switch p.items[k].class {
		case cPeriod, cComma, cSemi, cTurn, cAlso, cFastenOff, cClose:
		default:
			return p.items[k].class == cJoin || p.items[k].class == cChain && p.items[k].n == 0 && p.turnsAfter(k)
		}
	}
	return true
}

func (p *parser) turnsAfter(k int) bool {
	for ; k < p.stop; k++ {
		switch p.items[k].class {
		case cChain, cNumber, cComma, cAnd, cPeriod, cDash:
		case cTurn:
			return true
		default:
			return false
		}
	}
	return false
}

// countsBracket reads "(counts as dc)" behind a chain that stands somewhat
// before it: "ch 3, turn (counts as dc)".
func (p *parser) countsBracket(f *frame) bool {
	from := p.i
	p.i++
	for k := len(f.steps) - 1; k >= 0 && k >= len(f.steps)-3; k-- {
		c, ok := f.steps[k].(*Chain)
		if !ok {
			continue
		}
		if c.Counts == CountUnsaid && p.countsAs(c) {
			for p.i < p.stop && !p.is(cClose) {
				p.i++
			}
			p.accept(cClose)
			return true
		}
		break
	}
	p.i = from
	return false
}

// countsAs reads "counts as first dc", "counts as dc + ch 1", "does not count
// as a st", "not counted as a stitch here and throughout".
func (p *parser) countsAs(c *Chain) bool {
	from := p.i
	for p.is(cThe, cTurningChain, cAlso, cOrdinal, cMake) || p.is(cChain) || p.is(cDash) || p.is(cNumber) || p.cur().word == "which" || p.cur().word == "will" {
		if p.is(cNumber) && p.at(-1).class != cDash && p.at(-1).class != cChain {
			break
		}
		p.i++
	}
	not := false
	for p.is(cNot) || p.cur().word == "does" || p.cur().word == "do" || p.cur().word == "is" || p.cur().word == "will" || p.cur().word == "should" {
		not = not || p.is(cNot)
		p.i++
	}
	if !p.accept(cCount) {
		p.i = from
		return false
	}
	c.Counts = CountsAsStitch
	if not {
		c.Counts = CountsAsNone
	}
	p.skip(cAs, cThe, cA, cOrdinal)
	if p.is(cNumber) && (p.at(1).class == cStitch || p.at(1).class == cSt) {
		p.i++
	}
	switch it := p.cur(); it.class {
	case cStitch:
		c.As = it.id
		p.i++
		p.accept(cSt)
		p.countsPlus(c)
	case cSt:
		p.i++
	}
	always := false
	for p.i < p.stop && !p.is(cClose, cComma, cSemi, cPeriod) && !(p.is(cDash) && p.cur().space) {
		always = always || p.cur().word == "throughout"
		p.i++
	}
	if always {
		p.turning = append(p.turning, turningNote{many: c.Many, counts: c.Counts, as: c.As})
	}
	return true
}

// countsPlus reads the chains beyond the stitch: "dc + ch 1", "dc and ch-1
// sp", "dc, ch 1".
func (p *parser) countsPlus(c *Chain) {
	at := p.i
	p.skip(cAnd, cPlus, cComma, cA)
	if p.i > at && p.is(cChain) {
		p.i++
		p.accept(cDash)
		c.Plus = 1
		if p.is(cNumber) {
			c.Plus = p.cur().n
			p.i++
		}
		p.skip(cSpace)
		return
	}
	if p.i > at && p.is(cNumber) && p.at(1).class == cChain {
		c.Plus = p.cur().n
		p.i += 2
		p.skip(cSpace)
		return
	}
	p.i = at
}

// turningNote is what a text says once of all its turning chains.
type turningNote struct {
	many   Number // the chains it is about; nil: of any length
	counts Counting
	as     stitch.ID
}
