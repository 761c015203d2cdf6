package notation

import (
	"slices"
)

// frame is a row or bracket being read: its steps so far and the repeat marks
// among them.
type frame struct {
	steps []Step
	marks []starMark
	depth int
	lead  int // steps at the start that an unmarked "repeat" leaves out
}

// starMark is a * or ** and the steps that stood before it.
type starMark struct {
	word string
	at   int
	item int
	end  int // where a closing star stood, 0 if none
	used bool
}

// sequence reads steps up to the end of the row or the bracket.
func (p *parser) sequence(depth int) *frame {
	f := &frame{depth: depth}
	for p.i < p.stop {
		before := p.i
		switch it := p.cur(); it.class {
		case cClose:
			if depth > 0 {
				p.finish(f)
				return f
			}
			p.i++
			if it.word != ")" || len(f.steps) > 0 {
				p.problem(p.span(before), it.word, unopened(it.word), "")
			}
		case cComma, cSemi, cPeriod, cAnd, cOther, cMark, cAlso, cColon:
			if it.class == cAlso && p.explaining(f) {
				p.sentence(f, before)
				continue
			}
			p.i++
			if it.class == cSemi || it.class == cPeriod {
				p.into = nil
			}
		case cStar, cStars:
			p.star(f)
		case cRepeat:
			p.repeat(f)
		case cOpen:
			if !p.movements(f) {
				p.bracket(f)
			}
		default:
			p.step(f)
		}
		if p.i == before && !p.mended {
			p.i++ // never stand still
		}
		p.mended = false
	}
	p.finish(f)
	return f
}

// finish ends a frame: a star that nothing repeats is pointed at.
func (p *parser) finish(f *frame) {
	for _, m := range f.marks {
		if m.used || m.word != "*" && len(m.word) != 1 {
			continue
		}
		if m.at >= len(f.steps) {
			continue // a footnote's mark at the end
		}
		s := p.stretch(m.item, m.item)
		p.problem(s, m.word, openStar(m.word), "")
	}
}

// star reads a repeat mark: the beginning of a repeat, the place of "**", or
// the end of "*…* 6 times".
func (p *parser) star(f *frame) {
	it := p.cur()
	from := p.i
	p.i++
	open := f.openMark(it.word)
	if open < 0 {
		f.marks = append(f.marks, starMark{word: it.word, at: len(f.steps), item: from})
		return
	}
	// A second star: what follows says whether it closes the first.
	sep := p.i
	p.skip(cComma, cSemi, cAlso)
	if p.is(cRepeat) && (p.at(1).class == cFrom || p.at(1).class == cBetween || p.at(1).class == cStar || p.at(1).class == cStars) {
		return // "*…*; rep from * to *": the repeat itself comes next
	}
	p.accept(cRepeat)
	times, ok := p.times()
	if !ok {
		p.i = sep
		if p.starToStar() {
			f.marks[open].end = len(f.steps)
			return
		}
		if p.is(cRepeat) || p.i >= p.stop || p.is(cPeriod, cClose) {
			return
		}
		f.marks = append(f.marks, starMark{word: it.word, at: len(f.steps), item: from})
		return
	}
	p.wrap(f, open, times)
}

// starToStar reports whether a later repeat in the row goes "from * to *".
func (p *parser) starToStar() bool {
	for k := p.i; k+4 < p.stop && k < p.i+200; k++ {
		if p.items[k].class == cRepeat && p.items[k+1].class == cFrom && p.items[k+2].class == cStar &&
			(p.items[k+3].class == cTo || p.items[k+3].class == cDash || p.items[k+3].class == cAnd) && p.items[k+4].class == cStar {
			return true
		}
	}
	return false
}

// openMark returns the index of the last mark of that word that no repeat has
// used, -1 if there is none.
func (f *frame) openMark(word string) int {
	for i := len(f.marks) - 1; i >= 0; i-- {
		if f.marks[i].word == word && !f.marks[i].used {
			return i
		}
	}
	return -1
}

// wrap makes one group of the steps since a mark.
func (p *parser) wrap(f *frame, mark int, times Times) {
	m := &f.marks[mark]
	m.used = true
	at := min(m.at, len(f.steps))
	if at == len(f.steps) {
		return
	}
	g := &Group{Mark: Star, Steps: slices.Clone(f.steps[at:]), Times: times}
	g.Span = p.stretch(m.item, max(p.i-1, 0))
	f.steps = append(f.steps[:at], g)
}

// bracket reads what an opening bracket begins: a count, a note, or a group.
func (p *parser) bracket(f *frame) {
	from := p.i
	if claim := p.claimBracket(); claim != nil {
		p.claim = claim
		return
	}
	p.i = from
	if p.countsBracket(f) || p.noteBracket(f) {
		return
	}
	p.i = from
	if f.depth+1 > p.limits.Nesting {
		p.skipBracket(f)
		return
	}
	open := p.cur()
	p.i++
	into := p.into
	p.into = nil
	inner := p.sequence(f.depth + 1)
	closed := p.cur().class == cClose
	if closed {
		p.i++
	} else {
		s := Span{p.items[p.i-1].to.pos(), p.items[p.i-1].to.pos()}
		p.problem(s, "", unclosed(open.word, int(open.from.col)), closing(open.word))
	}
	g := &Group{Mark: Paren, Steps: inner.steps}
	if open.word != "(" {
		g.Mark = Square
	}
	g.Span = p.span(from)
	p.groupTail(f, g, into)
}

// groupTail reads what is done with a bracket: "6 times", "in next st".
func (p *parser) groupTail(f *frame, g *Group, into *Place) {
	from := p.i
	if times, ok := p.times(); ok {
		g.Times = times
	} else if p.is(cComma, cSemi) && p.at(1).class == cRepeat && p.at(2).class != cFrom && p.at(2).class != cRow {
		p.i++
		if times, ok := p.times(); ok {
			g.Times = times
		} else {
			p.i = from
		}
	}
	if !g.Times.said() {
		if place, ok := p.place(true); ok {
			into = &place
			if times, ok := p.times(); ok {
				g.Times = times
			}
		}
	}
	if into == nil && g.Times.N.Said() {
		if place, ok := p.place(true); ok {
			// "[dc, ch 1] 3 times in next sp": all the repeats in one place
			g.To = p.items[p.i-1].to.pos()
			f.steps = append(f.steps, &Group{Span: g.Span, Mark: Paren, Steps: []Step{g}, Into: &place})
			return
		}
	}
	if into != nil && !g.Times.said() || into != nil && into.Choice != EachTo {
		g.Into = into
	}
	g.To = p.items[p.i-1].to.pos()
	if len(g.Steps) == 0 {
		f.steps = append(f.steps, &Remark{Span: g.Span, Text: p.source(g.Span)})
		return
	}
	if g.Into == nil && !g.Times.said() && len(g.Steps) == 1 {
		if _, ok := g.Steps[0].(*Group); ok || g.Mark == Paren {
			f.steps = append(f.steps, g.Steps...) // brackets around one step, for reading only
			return
		}
	}
	f.steps = append(f.steps, g)
}

func (t Times) said() bool { return t.N.Said() || t.To != NoLimit }

// skipBracket passes over a bracket that nests too deep.
func (p *parser) skipBracket(f *frame) {
	from := p.i
	depth := 0
	for p.i < p.stop {
		if p.is(cOpen) {
			depth++
		}
		if p.is(cClose) {
			depth--
		}
		p.i++
		if depth == 0 {
			break
		}
	}
	s := p.span(from)
	p.problem(s, shorten(p.source(s)), tooDeep(p.limits.Nesting), "")
	f.steps = append(f.steps, &Unread{Span: s, Text: shorten(p.source(s))})
}
