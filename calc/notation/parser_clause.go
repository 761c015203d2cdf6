package notation

import (
	"slices"
	"strings"
)

// remarkLeads begin a clause that tells how or why, and makes no stitches.
var remarkLeads = wordSet(`leave flatten flattening being so as which thus if when while until because careful see note be keep carry drop pick stuff
	weave sew insert pull tighten remember for by where wherever throughout repeatedly always never optional bear take taking note notes change
	having still rather otherwise except including excluding omit without before after although though either both leaving
	rotate flip lay pin steam block wash thread embroider attach hold holding fold press measure check ensure
	sometimes often usually generally or but because since once whenever unless until too very each likewise ready
	you we it there they i this that these those let one's she he hers his enjoy continue don't optional approx please
	stuffing add place button buttons ribbon draw close gather secure tail tails ends hide piece front back facing side
	working work seam seams graft whipstitch position trim tie cut knot tuck iron glue stitch arrange push thread run line decorate
	finishing assemble assembly finish photo repeat`)

// chatter are words of plain English that a remark may consist of.
var chatter = wordSet(`careful to twist the a an and or of in on at with your work piece safety eye eyes between rounds rows
	firmly lightly polyester filling fiberfill end ends tail tails weaving sewing long leave leaving for yarn off from here through
	opening tightly loosely neatly evenly fabric flat edge edges side front back inside outside top bottom neck sleeve body arm leg
	head collar border cuff hem waist shoulder underarm color colour contrasting main white wool ribbon cord lace final needle`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// clause reads words that begin no instruction: a remark, a mistyped word, or
// what is not understood.
func (p *parser) clause(f *frame) {
	from := p.i
	if it := p.cur(); it.word == "slip" && (p.at(1).class == cIn || p.at(1).class == cTo) {
		it.class, it.id = cStitch, "sl st" // "slip on 3rd of 6 ch"
		p.mended = true
		return
	}
	if p.mend() {
		p.mended = true // read again from here
		return
	}
	p.skip(cMake, cThe, cAlso, cAnd)
	first := p.cur()
	if p.i > from && p.workedIn(f, from) {
		return
	}
	p.i = from
	if p.cur().class == cWith {
		p.withRemark(f)
		return
	}
	if remarkLeads[first.word] || remarkLeads[p.cur().word] || p.participle(p.cur()) || p.participle(first) || first.class == cYarn || first.class == cSide {
		p.remarkClause(f, from)
		return
	}
	p.clauseEnd()
	if p.i == from {
		p.i++
	}
	p.judge(f, from)
}

// judge tells remarks from what is not understood.
func (p *parser) judge(f *frame, from int) {
	s := p.span(from)
	text := p.source(s)
	trade, unknown := p.makeUp(from)
	remark, message := false, unreadable(text)
	switch {
	case p.placeless(from):
		message, unknown = noPlace(text), ""
	case p.afterFastening(f) && p.afterStop(from), unknown == "" && !trade:
		remark = true // finishing, or plain words
	case unknown != "" && !trade && p.i-from >= 3:
		p.assume(s, "read as a remark that makes no stitches: "+shorten(text))
		remark = true
	case unknown != "" && p.stitchPosition(from, unknown):
		message = unknownStitch(unknown)
	}
	if remark {
		f.steps = append(f.steps, &Remark{Span: s, Text: text})
		return
	}
	near := ""
	if unknown != "" {
		near = p.nearOf(unknown)
	}
	p.problem(s, text, message, near)
	f.steps = append(f.steps, &Unread{Span: s, Text: text})
}

// makeUp reports whether the words read since an item speak of work, and the
// first word among them that is not known.
func (p *parser) makeUp(from int) (trade bool, unknown string) {
	for _, it := range p.items[from:p.i] {
		switch it.class {
		case cStitch, cChain, cNumber, cSkip, cNext, cSt, cX:
			trade = true
		case cWord:
			if unknown == "" && !chatter[it.word] && len(it.word) > 1 {
				unknown = it.word
			}
		}
	}
	return trade, unknown
}

// afterFastening reports whether the yarn was fastened off in the row.
func (p *parser) afterFastening(f *frame) bool {
	for k := len(f.steps) - 1; k >= 0; k-- {
		switch f.steps[k].(type) {
		case *FastenOff:
			return true
		case *Remark:
			continue
		}
		return false
	}
	return false
}

// placeless reports whether the clause leads to a place and stops: "in the".
func (p *parser) placeless(from int) bool {
	in := false
	for _, it := range p.items[from:p.i] {
		switch it.class {
		case cIn:
			in = true
		case cThe, cA, cNext, cEach, cSame, cTo:
		default:
			return false
		}
	}
	return in
}

// workedIn reads "work the cuff in star stitch": the stitch in each place.
func (p *parser) workedIn(f *frame, from int) bool {
	for k := 0; k < 5; k++ {
		switch it := p.at(k); it.class {
		case cWord, cTop, cEach, cThe:
		case cIn:
			at := p.i
			p.i += k
			if it.word == "in" && p.at(1).class == cStitch && p.inStitch(f, from) {
				return true
			}
			p.i = at
			return false
		default:
			return false
		}
	}
	return false
}

// stitchPosition reports whether the unknown word stands where a stitch would:
// at the start of the clause or behind a number.
func (p *parser) stitchPosition(from int, unknown string) bool {
	for k := from; k < p.i; k++ {
		it := p.items[k]
		if it.class == cWord && it.word == unknown {
			return true
		}
		if it.class != cNumber && it.class != cMake && it.class != cThe && it.class != cA && it.class != cAlso {
			return false
		}
	}
	return false
}

// participle reports whether a word tells of something done alongside:
// "working", "forming".
func (p *parser) participle(it *item) bool {
	return (it.class == cWord || it.class == cMake) && len(it.word) > 5 && strings.HasSuffix(it.word, "ing")
}

// clauseEnd moves to the end of the clause: a comma, stop, bracket or star.
func (p *parser) clauseEnd() {
	for p.i < p.stop {
		switch p.cur().class {
		case cComma, cSemi, cPeriod, cClose, cOpen, cStar, cStars:
			return
		case cRepeat:
			if p.at(1).class == cFrom {
				return
			}
		case cAnd:
			// "flatten the piece and sc through both layers", "pull tight and fasten off"
			if c, next := p.at(1).class, p.at(2).class; c == cStitch && (next == cIn || next == cAcross || next == cAround || next == cEach || next == cNext || next == cNumber) ||
				c == cNumber && next == cStitch || c == cChain && next == cNumber || c == cFastenOff || c == cTurn {
				return
			}
		}
		p.i++
	}
}

// remarkClause takes the words up to the end of the clause as a remark.
func (p *parser) remarkClause(f *frame, from int) {
	p.clauseEnd()
	if p.i == from {
		p.i++
	}
	for k := from; k+1 < p.i; k++ {
		if p.items[k].class == cOtherSide && p.items[p.i-1].class == cChain {
			p.other = true // "rotate and work along the other side of the chain"
		}
	}
	if p.workIn(from) {
		s := p.span(from)
		p.assume(s, "read as a remark that makes no stitches: "+shorten(p.source(s)))
	}
	p.remarkFrom(f, from)
}

// workIn reports whether the words read since an item name stitches with a
// number or a place: work that a remark would hide.
func (p *parser) workIn(from int) bool {
	for k := from; k+1 < p.i; k++ {
		it, next := p.items[k], p.items[k+1]
		if it.class == cNumber && next.class == cStitch || it.class == cStitch && (next.class == cIn && k+2 < p.i || next.class == cEach) {
			return true
		}
	}
	return false
}

// remarkFrom takes what was read since an item as a remark.
func (p *parser) remarkFrom(f *frame, from int) {
	if p.i <= from {
		return
	}
	s := p.span(from)
	f.steps = append(f.steps, &Remark{Span: s, Text: strings.TrimRight(p.source(s), ": ")})
}

// withRemark reads "With B,": a yarn or side, up to a comma or the first word
// that works.
func (p *parser) withRemark(f *frame) {
	from := p.i
	p.i++
	for p.i < p.stop && !p.is(cComma, cSemi, cPeriod, cColon, cClose, cOpen, cStar, cStars, cStitch, cChain, cSkip, cMake, cJoin, cAttach, cMagicRing, cRepeat, cFastenOff) {
		if p.is(cNumber) && (p.at(1).class == cStitch || p.at(1).class == cChain) {
			break
		}
		p.i++
	}
	f.lead = max(f.lead, 0)
	p.remarkFrom(f, from)
}

// noteBracket reads a bracket that holds words only: "(see note)", "(RS)",
// "(first shell made)".
func (p *parser) noteBracket(f *frame) bool {
	from := p.i
	depth, worked := 0, false
	end := p.i
	for ; end < p.stop && end < from+60; end++ {
		switch it := p.items[end]; it.class {
		case cOpen:
			depth++
		case cClose:
			depth--
		case cStitch, cChain, cSkip, cStar, cStars, cTurn, cJoin:
			worked = true
		case cNumber:
			worked = worked || p.items[end+1].class == cIn
		}
		if depth == 0 {
			break
		}
	}
	if depth != 0 {
		return false
	}
	p.i = from + 1
	lead := p.cur()
	note := !worked
	if worked {
		note = remarkLeads[lead.word] || p.items[end-1].word == "made" || p.items[end-1].word == "completed" ||
			lead.class == cSide || lead.class == cNot || lead.word == "total" || lead.class == cWith || lead.class == cWord && p.participle(lead)
	}
	if !note {
		p.i = from
		return false
	}
	p.i = end + 1
	p.remarkFrom(f, from)
	return true
}

// mend replaces a mistyped word by the one word of the vocabulary that is one
// edit away, and reports whether the clause is to be read again. Words that
// would become a stitch are mended only when they are long: "trebel", not
// "hdv".
func (p *parser) mend() bool {
	it := &p.items[p.i]
	if it.class != cWord || remarkLeads[it.word] || chatter[it.word] {
		return false
	}
	near := p.words.nearest(it.word, func(e entry) bool { return e.class != cWord && e.foreign == TermsUnsaid })
	near = slices.DeleteFunc(near, func(w string) bool {
		return w[0] != it.word[0] || len(it.word) < 5 && len(w) == len(it.word) && !sameLetters(w, it.word)
	})
	if len(near) == 0 || len(near) > 1 && !p.sameMeaning(near) {
		return false
	}
	e := p.words.entries[near[0]]
	if e.class == cStitch && len(it.word) < 6 || len(it.word) < 4 {
		return false
	}
	s := it.span()
	p.assume(s, `"`+p.source(s)+`" is read as "`+near[0]+`"`)
	it.class, it.n, it.id, it.foreign, it.word = e.class, e.n, e.id, e.foreign, near[0]
	if p.i+1 < p.stop && e.class == cStitch {
		// "dobule crochet"
		next := &p.items[p.i+1]
		if whole, ok := p.words.entries[near[0]+" "+next.word]; ok && whole.class == cStitch {
			it.id, it.foreign, it.word = whole.id, whole.foreign, whole.word
			next.class, next.word = cAlso, ""
		}
	}
	return true
}

// sameLetters reports whether one word is the other with letters swapped.
func sameLetters(a, b string) bool {
	x, y := []byte(a), []byte(b)
	slices.Sort(x)
	slices.Sort(y)
	return string(x) == string(y)
}

// sameMeaning reports whether all the words mean the same.
func (p *parser) sameMeaning(words []string) bool {
	first := p.words.entries[words[0]]
	for _, w := range words[1:] {
		if e := p.words.entries[w]; e.class != first.class || e.id != first.id || e.n != first.n {
			return false
		}
	}
	return true
}

// nearOf returns the nearest word, found once a text.
func (p *parser) nearOf(word string) string {
	if near, ok := p.near[word]; ok {
		return near
	}
	near := ""
	found := p.words.nearest(word, func(e entry) bool { return e.foreign == TermsUnsaid })
	for _, w := range found {
		e := p.words.entries[w]
		if near == "" || e.class == cStitch && (p.words.entries[near].class != cStitch || near == w+"s") { // "sc" rather than "scs"
			near = w
		}
	}
	p.near[word] = near
	return near
}
