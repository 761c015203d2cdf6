package notation

import (
	"slices"
	"strings"
)

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
