package notation

// labelled is the head of a row as read.
type labelled struct {
	label Label
	claim *Claim // "Row 2 (24 sts):"
	bare  bool   // "2." without a word for row
	short bool   // "R2:", which may be a row or a round
	from  int    // its first item
	next  int    // the first item of the row's own words
}

// readLabel reads a row's label at an index, which begins a line: "Row 3
// (RS):", "Rnds 5-9:", "R1.", "2nd row:", "Next row:", "36 to 45.", "1)".
func (p *parser) readLabel(at int) (labelled, bool) {
	i, stop := p.i, p.stop
	defer func() { p.i, p.stop = i, stop }()
	p.i, p.stop = at, len(p.items)
	l := labelled{from: at}
	bold := p.marks()
	for p.is(cOpen) && p.at(1).class == cSide && p.at(2).class == cClose {
		l.label.Side = Side(p.at(1).n)
		p.i += 3
	}
	if p.is(cSide) && (p.at(1).class == cRow || p.at(1).class == cOrdinal) {
		l.label.Side = Side(p.cur().n)
		p.i++
	}
	ok := p.ordinalLabel(&l) || p.rowLabel(&l) || p.namedLabel(&l) || p.bareLabel(&l)
	if !ok || !p.labelEnd(&l, bold) {
		return labelled{}, false
	}
	l.next = p.i
	if l.bare && !p.listed {
		// "1. **Rnd 1:** …": the number is a list's
		p.listed = true
		inner, ok := p.readLabel(l.next)
		p.listed = false
		if ok && !inner.bare && inner.label.From.Said() {
			inner.from = at
			return inner, true
		}
	}
	return l, true
}

// marks moves past bullets, heading and bold marks at the start of a line and
// reports whether a bold mark was among them.
func (p *parser) marks() (bold bool) {
	for {
		switch it := p.cur(); {
		case it.class == cMark, it.class == cOther, it.class == cDash && (p.at(1).space || p.at(1).class == cDash):
			p.i++
		case it.class == cStars && !p.at(1).space, it.class == cStar && !p.at(1).line && !p.repeatedFrom(p.i):
			bold = true
			p.i++
		default:
			return bold
		}
	}
}

// repeatedFrom reports whether "rep from *" follows before another star does:
// then the star at the place begins a repeat and is no mark of layout.
func (p *parser) repeatedFrom(at int) bool {
	repeats := false
	for _, it := range p.items[at+1 : min(at+200, len(p.items))] {
		switch {
		case it.para:
			return false
		case it.class == cRepeat:
			repeats = true
		case it.class == cStar:
			return repeats
		}
	}
	return false
}

// rowLabel reads "Row 3", "Rnds 5-9", "Rows 2, 4 and 6", "Rows 3–12 (14, 16)".
func (p *parser) rowLabel(l *labelled) bool {
	if !p.is(cRow) && p.cur().word != "round" || p.cur().word == "ridge" {
		return false
	}
	l.label.Kind, l.short = Kind(p.cur().n), p.cur().word == "r"
	if p.cur().word == "round" {
		l.label.Kind = Round
	}
	if l.short {
		l.label.Kind = p.kindOf
	}
	p.i++
	if !p.is(cNumber) {
		return false
	}
	p.labelNumbers(l)
	return true
}

// ordinalLabel reads "2nd row", "First round", "3rd and 5th rows".
func (p *parser) ordinalLabel(l *labelled) bool {
	if !p.is(cOrdinal) {
		return false
	}
	from := p.i
	list := []int{p.cur().n}
	p.i++
	for (p.is(cAnd, cComma, cDash, cTo) && p.at(1).class == cOrdinal) && len(list) < 40 {
		if p.is(cDash, cTo) {
			for n := list[len(list)-1] + 1; n < p.at(1).n && len(list) < 200; n++ {
				list = append(list, n)
			}
		}
		list = append(list, p.at(1).n)
		p.i += 2
	}
	if !p.is(cRow) && p.cur().word != "round" {
		n := list[0]
		if len(list) == 1 && p.items[from].line && (n == 1 || n == p.lastRow+1) && (p.is(cPeriod, cColon) && (p.at(1).class == cDash || p.at(1).space) || p.is(cDash)) {
			l.bare, l.label.Kind = true, p.kindOf // "2nd.—"
			p.setRows(l, list)
			return true
		}
		p.i = from
		return false
	}
	l.label.Kind = Round
	if p.is(cRow) {
		l.label.Kind = Kind(p.cur().n)
	}
	p.i++
	p.setRows(l, list)
	return true
}

// setRows enters the rows that were named one by one.
func (p *parser) setRows(l *labelled, list []int) {
	l.label.From, l.label.To = N(list[0]), N(list[len(list)-1])
	for k := 1; k < len(list); k++ {
		if list[k] != list[k-1]+1 {
			l.label.List = list
			return
		}
	}
	if len(list) == 2 {
		l.label.List = list
	}
}

// namedLabel reads "Next row:", "Foundation row (RS):", "Next 4 rows:",
// "Edging rnd:".
func (p *parser) namedLabel(l *labelled) bool {
	from := p.i
	name := ""
	for p.i-from < 3 && (p.i == from || !p.cur().line) && p.is(cNext, cLast, cWord, cAlso, cStitch, cJoin, cTurn, cEach, cRemaining, cRepeat) {
		if p.cur().class == cRepeat {
			return false
		}
		if name != "" {
			name += " "
		}
		name += p.cur().word
		p.i++
	}
	many := 0
	if p.is(cNumber) && p.at(1).class == cRow {
		many = p.cur().n
		p.i++
	}
	if name == "" || !p.is(cRow) && p.cur().word != "round" || p.cur().line {
		p.i = from
		return false
	}
	l.label.Kind, l.label.Name = Kind(p.cur().n), name
	if p.cur().word == "round" {
		l.label.Kind = Round
	}
	p.i++
	if p.is(cNumber) && p.at(1).class != cX {
		p.labelNumbers(l)
	}
	if many > 1 {
		l.label.From, l.label.To = N(1), N(many)
	}
	// "Next row" needs its colon, dash or bracket: without it, it is prose.
	return p.is(cColon, cDash, cOpen, cPeriod, cStars, cStar) || (p.is(cComma) && p.at(1).class == cSide)
}

// bareLabel reads "1.", "2)", "3:", "36 to 45.", "46, 47.".
func (p *parser) bareLabel(l *labelled) bool {
	if !p.is(cNumber) || (!p.cur().line && p.i != l.from) || p.cur().real != float64(p.cur().n) {
		return false
	}
	l.bare = true
	l.label.Kind = p.kindOf
	p.labelNumbers(l)
	if p.is(cClose) && p.cur().word == ")" || p.is(cPeriod) && (p.at(1).space || p.at(1).line) || p.is(cColon) || p.is(cDash) && p.cur().space && p.at(1).space && p.worksAt(1) {
		return l.label.To.At(0) >= l.label.From.At(0)
	}
	return false
}

// worksAt reports whether the item n further on begins work.
func (p *parser) worksAt(n int) bool {
	switch p.at(n).class {
	case cStitch, cChain, cMagicRing, cSkip, cOpen, cStar, cTurn:
		return true
	case cNumber:
		return p.at(n+1).class == cStitch || p.at(n+1).class == cChain
	}
	return false
}

// labelNumbers reads "3", "3–12", "3 to 12 (14, 16)", "2, 4, 6", "2 & 4".
func (p *parser) labelNumbers(l *labelled) {
	first, _ := p.number()
	l.label.From, l.label.To = first, first
	list := []int{first.At(0)}
	ranged := false
	for len(list) < 100 {
		word := p.cur().word
		joint := p.is(cDash, cTo, cAnd, cComma, cSlash) || word == "through" || word == "thru"
		step := 1
		if p.is(cComma) && p.at(1).class == cAnd {
			step = 2
		}
		if p.at(step).class == cRow && p.at(step+1).class == cNumber && joint {
			step++ // "Rows 2 and Row 4"
		}
		if !joint || p.at(step).class != cNumber {
			break
		}
		through := p.is(cDash, cTo) || word == "through" || word == "thru"
		if through && p.is(cDash) && p.cur().space && p.at(step).space && p.at(step+1).class != cColon && p.at(step+1).class != cPeriod &&
			p.at(step+1).class != cOpen && p.at(step+1).class != cClose && p.at(step+1).class != cDash {
			break // "Rnd 1 - 6 sc in ring"
		}
		p.i += step
		n, _ := p.number()
		if through {
			l.label.From, n = p.rangeSizes(l.label.From, n)
		}
		if through {
			if n.At(0) < list[len(list)-1] {
				p.i -= step + 1
				break
			}
			ranged = true
			if len(list) > 1 {
				for k := list[len(list)-1] + 1; k < n.At(0) && len(list) < 200; k++ {
					list = append(list, k)
				}
			}
			l.label.To = n
		}
		list = append(list, n.At(0))
		if !through {
			l.label.To = n
		}
	}
	switch p.cur().word {
	case "onward", "onwards", "on", "up":
		p.i++ // "Row 3 onward: rep row 2 until …": how far is said behind
	}
	switch {
	case ranged && len(list) == 2, len(list) == 1:
	default:
		p.setRows(l, list)
	}
}

// rangeSizes reads the ranges of the other sizes: "Rows 21-24 (21-26, 21-28)".
func (p *parser) rangeSizes(from, to Number) (Number, Number) {
	if !p.is(cOpen) || p.at(1).class != cNumber || p.at(2).class != cDash || p.at(3).class != cNumber {
		return from, to
	}
	at := p.i
	p.i++
	for p.is(cNumber) && p.at(1).class == cDash && p.at(2).class == cNumber && len(to) < 40 {
		from, to = append(from[:len(to):len(to)], p.cur().n), append(to[:len(to):len(to)], p.at(2).n)
		p.i += 3
		p.accept(cComma)
	}
	if !p.accept(cClose) {
		p.i = at
		return from[:1], to[:1]
	}
	same := true
	for _, n := range from {
		same = same && n == from[0]
	}
	if same {
		from = from[:1]
	}
	return from, to
}

// labelEnd reads what closes a label: a side, a count, a colon, the end of bold
// type.
func (p *parser) labelEnd(l *labelled, bold bool) bool {
	for range 6 {
		switch it := p.cur(); {
		case it.class == cOpen && p.at(1).class == cSide && p.at(2).class == cClose:
			l.label.Side = Side(p.at(1).n)
			p.i += 3
		case it.class == cOpen && !l.bare && p.labelNote(l):
		case it.class == cComma && p.at(1).class == cSide:
			l.label.Side = Side(p.at(1).n)
			p.i += 2
		case it.class == cSide && (p.at(1).class == cColon || p.at(1).class == cDash || p.at(1).class == cPeriod):
			l.label.Side = Side(it.n)
			p.i++
		case (it.class == cStars || it.class == cStar) && bold && !it.space:
			bold = false
			p.i++
		case it.word == "incl" || it.word == "inclusive":
			p.i++
		case it.class == cAnd && p.alternate(l):
		case it.class == cColon, it.class == cDash && (it.space || it.word == "—" || p.at(1).space || p.at(1).line), it.class == cPeriod && !it.line,
			it.class == cClose && it.word == ")", it.class == cEquals:
			p.i++
			if p.is(cDash) && (p.cur().space || p.at(1).space) {
				p.i++ // "1st round.—"
			}
			if p.is(cStars, cStar) && bold && !p.cur().space {
				p.i++
			}
			return true
		default:
			return !l.bare && !p.is(cComma, cAs) && p.cur().word != "is" && p.cur().word != "are" && p.cur().word != "should"
		}
	}
	return true
}

// labelNote reads a bracket within a label: "(RS facing)", "(24 sts)", "(inc
// row)", "[make 2]".
func (p *parser) labelNote(l *labelled) bool {
	end := p.i + 1
	for end < len(p.items) && end < p.i+8 && p.items[end].class != cClose {
		end++
	}
	if end >= len(p.items) || p.items[end].class != cClose {
		return false
	}
	after := item{}
	if end+1 < len(p.items) {
		after = p.items[end+1]
	}
	if after.class != cColon && after.class != cDash && after.class != cPeriod && after.class != cStars {
		return false
	}
	from := p.i
	for k := p.i + 1; k < end; k++ {
		if p.items[k].class == cSide {
			l.label.Side = Side(p.items[k].n)
		}
	}
	if claim := p.claimBracket(); claim != nil {
		l.claim = claim
		return true
	}
	p.i = from
	if p.at(1).class == cStar || p.at(1).class == cNumber && p.at(2).class == cStitch {
		return false
	}
	p.i = end + 1
	return true
}

// alternate reads "and all WS rows", "and every other row after", "and all
// even-numbered rows".
func (p *parser) alternate(l *labelled) bool {
	if p.at(1).class != cEach {
		return false
	}
	for n := 2; n < 8; n++ {
		switch it := p.at(n); {
		case it.class == cRow:
			p.i += n + 1
			for range 2 {
				if p.is(cAlso) || p.cur().word == "after" || p.cur().word == "thereafter" || p.cur().class == cNext {
					p.i++
				}
			}
			l.label.Alternate = true
			return true
		case it.class == cSide:
			l.label.Side = Side(it.n)
			if it.word == "ws row" || it.word == "rs row" {
				p.i += n + 1
				l.label.Alternate = true
				return true
			}
		case it.class == cEnd || it.class == cColon || it.class == cPeriod:
			return false
		}
	}
	return false
}
