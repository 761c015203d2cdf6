package notation

// rowWordsAhead reports whether the "repeat" at an index goes back to rows:
// "Rep Rows 2 and 3", "Repeat 2d row", "rep last 2 rnds".
func (p *parser) rowWordsAhead(j int) bool {
	for k := j + 1; k < len(p.items) && k < j+14; k++ {
		switch it := p.items[k]; it.class {
		case cRow:
			return true
		case cThe, cLast, cOrdinal, cNumber, cAnd, cComma, cDash, cTo, cAlso, cEach, cMake:
			if it.class == cComma && p.items[k+1].class != cOrdinal && p.items[k+1].class != cNumber && p.items[k+1].class != cAnd {
				return false
			}
		case cWord:
			if it.word != "previous" && it.word != "prev" && it.word != "preceding" && it.word != "pattern" && it.word != "round" {
				return false
			}
		case cAround:
			return it.word == "round"
		default:
			return false
		}
	}
	return false
}

// workAgain reports whether "Work round 4 until …" or "Work Rows 2 and 3 six
// times" stands at a place: rows told before are worked again.
func (p *parser) workAgain(at int) bool {
	return at+2 < len(p.items) && p.items[at].word == "work" && p.items[at].line &&
		(p.items[at+1].class == cRow || p.items[at+1].word == "round") && p.items[at+2].class == cNumber
}

// rowRefs reads which rows are meant: "Rows 2 and 3", "2d row", "28th, 29th
// and 30th rows", "last 2 rows", "row 2-5".
func (p *parser) rowRefs() (like []int, back int, ok bool) {
	from := p.i
	p.skip(cThe, cAlso, cMake, cEach)
	switch {
	case p.is(cLast) || p.cur().word == "previous" || p.cur().word == "prev" || p.cur().word == "preceding":
		p.i++
		back = 1
		if p.is(cNumber) {
			back = min(p.cur().n, p.limits.Count)
			p.i++
		}
		if p.rowWord() {
			return nil, back, true
		}
	case p.rowWord() && p.is(cNumber):
		var l labelled
		p.labelNumbers(&l)
		return p.spelled(l.label), 0, true
	case p.is(cOrdinal):
		var l labelled
		if p.ordinalLabel(&l) {
			return p.spelled(l.label), 0, true
		}
	}
	p.i = from
	return nil, 0, false
}

func (p *parser) rowWord() bool {
	if p.is(cRow) || p.cur().word == "round" {
		p.i++
		return true
	}
	return false
}

// spelled spells a label's rows out.
func (p *parser) spelled(l Label) []int {
	if l.List != nil {
		return l.List
	}
	var rows []int
	for n := l.From.At(0); n <= l.To.At(0) && len(rows) < 1000; n++ {
		rows = append(rows, n)
	}
	return rows
}

// againRow reads the words of a labelled row that is worked like another:
// "Rows 3–12: Rep Row 2.", "4. Same as 2d row."
func (p *parser) againRow(l labelled, sizes []int) bool {
	saved := p.save()
	end := p.stop
	a := &Again{Label: l.label, Sizes: sizes}
	if !p.againWords(a) || !p.againDone(a) {
		p.restore(saved)
		p.i, p.stop = l.next, end
		return false
	}
	if a.Times.Said() && len(a.Times) == 1 && a.Times[0] == 0 {
		a.Times = nil
	}
	p.finishAgain(a, l.from, end)
	return true
}

// finishAgain reads what follows a repeat of rows and appends it.
func (p *parser) finishAgain(a *Again, from, end int) {
	a.Claim = p.claim
	p.claim = nil
	next := end
	if p.i < end {
		p.skip(cComma, cSemi, cPeriod, cAlso)
		if p.i < end && p.items[p.i].line && p.beginsLine(p.i) {
			next = p.i
		} else {
			p.restOfAgain(a, end)
			p.i = next
		}
	}
	a.Span = p.stretch(from, max(p.i, from+1)-1)
	if a.Label.To.Said() && a.Label.Name == "" {
		p.lastRow = a.Label.To.At(0)
	}
	p.lines = append(p.lines, a)
	p.lines = append(p.lines, p.after...)
	p.after = nil
	p.i = next
}

// restOfAgain reads the words behind "same as row 2": a count, work of its
// own, or what makes the row different, which is told as not worked.
func (p *parser) restOfAgain(a *Again, end int) {
	p.stop = end
	from := p.i
	p.skip(cComma, cSemi, cPeriod, cAlso)
	if p.i >= end {
		return
	}
	at := p.i
	f := p.sequence(0)
	if p.claim != nil {
		a.Claim = p.claim
		p.claim = nil
	}
	if !works(f.steps) {
		if len(f.steps) > 0 && p.exception(at, end) {
			s := p.stretch(at, end-1)
			p.assume(s, "told beside a repeated row and not worked: "+shorten(p.source(s)))
		}
		return
	}
	if ends(f.steps) && !p.exception(at, end) {
		row := &Row{Span: p.stretch(from, end-1), Steps: f.steps}
		p.after = append([]Line{row}, p.after...)
		return
	}
	s := p.stretch(at, end-1)
	p.assume(s, "told beside a repeated row and not worked: "+shorten(p.source(s)))
}

// exception reports whether words tell how a repeated row differs.
func (p *parser) exception(from, end int) bool {
	for _, it := range p.items[from:end] {
		switch it.word {
		case "except", "but", "widen", "widening", "inc", "dec", "making", "increase", "decrease":
			return true
		}
	}
	return false
}

// ends reports whether the steps only end the work: join, fasten off.
func ends(steps []Step) bool {
	for _, s := range steps {
		switch s.(type) {
		case *FastenOff, *Join, *Turn, *Remark, *Mark, *Chain, *Leave, *Attach:
		default:
			return false
		}
	}
	return true
}

// againWords reads "rep Row 2", "same as 2d row", "work as Row 2", "like 28th
// row, with white".
func (p *parser) againWords(a *Again) bool {
	if p.is(cWith) { // "With B, repeat Row 2"
		for k := 0; k < 8 && !p.is(cComma, cPeriod, cEnd); k++ {
			p.i++
		}
		p.accept(cComma)
	}
	again := p.workAgain(p.i)
	p.skip(cAlso, cMake, cThe)
	switch {
	case again:
	case p.is(cRepeat):
		p.i++
	case p.is(cSame):
		p.i++
		if !p.is(cAs) {
			return false
		}
		p.i++
		p.word("for", "in")
	case p.is(cAs):
		p.i++
		p.word("for", "in", "on", "given")
		p.word("for")
	default:
		return false
	}
	p.skip(cThe, cAlso)
	like, back, ok := p.rowRefs()
	a.Like, a.Back = like, back
	return ok
}

// againDone reads how long rows are repeated: "six times", "2 more times",
// "until piece measures 20 cm", "for 10 rows", "to Row 20". A label has said
// it already, or the words end.
func (p *parser) againDone(a *Again) bool {
	p.againTail()
	for range 4 {
		at := p.i
		p.skip(cComma, cAlso)
		switch {
		case p.againTimes(a), p.againUntil(a), p.againClaim():
		default:
			p.i = at
			return p.is(cEnd, cPeriod, cComma, cSemi, cOpen, cWord, cMake, cTo, cIn, cEnding, cWith, cAnd, cDash, cAround, cAcross, cFinish, cFastenOff, cStar, cClose, cTurn, cAs, cLeave, cNot)
		}
	}
	return true
}

func (p *parser) againClaim() bool {
	from := p.i
	if c := p.claimBracket(); c != nil {
		p.claim = c
		return true
	}
	p.i = from
	return p.is(cDash, cEquals, cNumber) && p.bareClaim(p.i)
}

// againTail moves past "of border", "for pattern", "alternately".
func (p *parser) againTail() {
	for p.is(cThe, cAlso) && p.cur().word != "until" || p.cur().word == "border" || p.cur().word == "body" || p.cur().word == "alternately" {
		p.i++
	}
	if p.cur().word == "for" && p.at(1).class != cNumber {
		p.i++
		p.skip(cThe)
		p.word("pattern", "patt", "pat")
	}
}

// againLine reads an unlabelled line that repeats rows: "Rep Rows 2 and 3 six
// times."
func (p *parser) againLine(from int) bool {
	like := p.is(cMake) && (p.at(1).class == cAs || p.at(1).class == cSame)
	if !like && !p.workAgain(p.i) && (!p.is(cRepeat) || !p.rowWordsAhead(p.i)) {
		return false
	}
	saved := p.save()
	end := p.stop
	a := &Again{Sizes: p.sizes}
	p.claim = nil
	if !p.againWords(a) || !p.againDone(a) {
		p.restore(saved)
		return false
	}
	p.sizes = nil
	p.againKind(a, saved.i)
	p.finishAgain(a, from, end)
	return true
}

// againKind takes rows or rounds from the words of an unlabelled repeat.
func (p *parser) againKind(a *Again, from int) {
	if a.Label.Kind != Loose {
		return
	}
	for _, it := range p.items[from:p.i] {
		if it.class == cRow {
			a.Label.Kind = Kind(it.n)
			return
		}
	}
	a.Label.Kind = p.kindOf
}

// rowsAgain reads a repeat of rows within a row's words: "…, turn. Repeat 2d
// and 3d rows for the pattern."
func (p *parser) rowsAgain(f *frame) bool {
	if f.depth > 0 || !p.rowWordsAhead(p.i) {
		return false
	}
	saved := p.save()
	from := p.i
	a := &Again{}
	claim := p.claim
	p.claim = nil
	if !p.againWords(a) || !p.againDone(a) {
		p.restore(saved)
		return false
	}
	p.againKind(a, from)
	a.Claim, p.claim = p.claim, claim
	a.Span = p.span(from)
	p.after = append(p.after, a)
	return true
}
