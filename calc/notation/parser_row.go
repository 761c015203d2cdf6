package notation

import (
	"slices"
	"strings"
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
		if p.i == before {
			p.i++ // never stand still
		}
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

// repeat reads "rep from * …", "repeat across", "rep Rows 2 and 3".
func (p *parser) repeat(f *frame) {
	from := p.i
	if p.rowsAgain(f) {
		return
	}
	p.accept(cRepeat)
	mark, toMark := p.repeatMark(f)
	if mark == -2 {
		s := p.span(from)
		p.problem(s, p.source(s), noStar(p.items[p.i-1].word), "")
		p.times()
		return
	}
	if mark == -1 && p.items[p.i-1].class == cRepeat {
		mark = f.openMark("*")
	}
	times, ok := p.times()
	if !ok {
		times, ok = p.makingTimes(f)
	}
	if !ok {
		// Older texts leave it at "repeat".
		times = Times{To: ToEnd}
		p.assumeOnce(p.span(from), `"repeat" without a number is read as: to the end of the row or round`)
	} else if times.N.Said() && !times.More && mark >= 0 {
		times.More = p.items[p.i-1].class != cTotal
	}
	if toMark >= 0 {
		p.again(f, mark, toMark, times)
		return
	}
	if mark >= 0 {
		p.wrap(f, mark, times)
		p.lastRepeat(f)
		return
	}
	p.wrapUnmarked(f, from, times)
}

// makingTimes reads how often by what comes of it: "repeat, making 5 picots".
func (p *parser) makingTimes(f *frame) (Times, bool) {
	from := p.i
	p.accept(cComma)
	if p.cur().word == "making" && p.at(1).class == cNumber && p.at(2).class == cStitch {
		n, id := N(p.at(1).n), p.at(2).id
		for _, s := range f.steps {
			if s, ok := s.(*Stitches); ok && strings.HasSuffix(string(s.Name), string(id)) {
				p.i += 3
				p.limit()
				p.toSeparator()
				return Times{N: n}, true
			}
		}
	}
	p.i = from
	return Times{}, false
}

// repeatMark reads "from *", "from * to **", "between *s" and returns the
// marks meant: -1 for none, -2 for one that is not there.
func (p *parser) repeatMark(f *frame) (from, to int) {
	from, to = -1, -1
	at := p.i
	p.skip(cFrom, cBetween, cThe, cAlso)
	if !p.is(cStar, cStars) {
		if p.word("beginning", "beg") || p.i > at && p.is(cStitch) {
			return -1, -1
		}
		if p.i > at && !p.is(cPair, cNumber, cAround, cAcross, cTo) {
			p.i = at
		}
		return -1, -1
	}
	word := p.cur().word
	from = f.openMark(word)
	if from < 0 {
		for i := range f.marks { // repeated a second time
			if f.marks[i].word == word {
				from = i
			}
		}
	}
	p.i++
	if from < 0 {
		return -2, -1
	}
	if (p.is(cTo, cAnd, cDash)) && (p.at(1).class == cStar || p.at(1).class == cStars) {
		p.i++
		if other := p.cur().word; other != word {
			to = f.openMark(other)
		} else if f.marks[from].end > 0 {
			to = from
		}
		p.i++
	}
	p.word("s")
	return from, to
}

// again works the steps between two marks once more: "rep from * to **".
func (p *parser) again(f *frame, from, to int, times Times) {
	a, b := f.marks[from].at, min(f.marks[to].at, len(f.steps))
	if from == to {
		b = min(f.marks[to].end, len(f.steps))
	}
	f.marks[from].used, f.marks[to].used = true, true
	if a >= b {
		return
	}
	if b == len(f.steps) {
		f.marks[from].used = false
		p.wrap(f, from, times)
		return
	}
	g := &Group{Mark: Star, Steps: cloneSteps(f.steps[a:b]), Times: times}
	if times.More {
		g.Times.More = false
	}
	g.Span = p.stretch(f.marks[from].item, p.i-1)
	f.steps = append(f.steps, g)
}

// lastRepeat reads "ending last rep at **".
func (p *parser) lastRepeat(f *frame) {
	from := p.i
	p.skip(cComma, cSemi, cAlso)
	if !p.is(cEnding) && p.cur().word != "end" {
		p.i = from
		return
	}
	p.i++
	p.skip(cThe, cLast, cRepeat)
	if !(p.is(cIn, cTo, cWith) || p.cur().word == "at") || p.at(1).class != cStars && p.at(1).class != cStar {
		p.i = from
		return
	}
	p.i++
	word := p.cur().word
	p.i++
	g, ok := f.steps[len(f.steps)-1].(*Group)
	if !ok {
		return
	}
	for i := range f.marks {
		if f.marks[i].word == word && f.marks[i].at > len(f.steps)-1 {
			g.Partial = f.marks[i].at - (len(f.steps) - 1)
			f.marks[i].used = true
		}
	}
	g.To = p.items[p.i-1].to.pos()
	if g.Partial == 0 || g.Partial >= len(g.Steps) {
		g.Partial = 0
		s := p.span(from)
		p.problem(s, p.source(s), noStar(word), "")
	}
}

// wrapUnmarked repeats the row so far, its first chain or ring left out.
func (p *parser) wrapUnmarked(f *frame, from int, times Times) {
	at := f.lead
	for at < len(f.steps) {
		switch f.steps[at].(type) {
		case *Chain, *Ring, *Turn, *Remark, *Attach, *Join, *Mark, *FastenOff:
			at++
			continue
		}
		break
	}
	// Groups that were repeated already stay as they are.
	for k := len(f.steps) - 1; k >= at; k-- {
		if g, ok := f.steps[k].(*Group); ok && g.Mark == Star && g.Times.To != NoLimit {
			at = k + 1
			break
		}
	}
	if s, ok := lastStep[*Stitches](f); ok && s.Into.Choice == EachTo && times.To == ToEnd {
		return // "2 trebles in each space; repeat": each says it already
	}
	if at >= len(f.steps) {
		s := p.span(from)
		if len(f.steps) > 0 && f.lead < len(f.steps) {
			at = f.lead // "ch 3, repeat": only chains to repeat
		}
		if at >= len(f.steps) {
			f.steps = append(f.steps, &Remark{Span: s, Text: p.source(s)})
			return
		}
	}
	if times.N.Said() && !times.More {
		times.More = p.items[p.i-1].class == cTimes || p.items[p.i-1].class == cPair
	}
	g := &Group{Mark: Star, Steps: slices.Clone(f.steps[at:]), Times: times}
	g.Span = Span{g.Steps[0].Pos(), p.items[p.i-1].to.pos()}
	f.steps = append(f.steps[:at], g)
	p.assumeOnce(g.Span, `a "repeat" without a * is read as: from the start of the row, its first chains left out`)
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
