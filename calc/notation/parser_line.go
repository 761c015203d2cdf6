package notation

import (
	"countwright/calc/stitch"
)

// document reads the whole text into p.lines.
func (p *parser) document() {
	p.readLines()
	for _, l := range p.lines {
		if prose, ok := l.(*Prose); ok {
			prose.Text = p.source(prose.Span)
		}
	}
}

func (p *parser) readLines() {
	last := len(p.items) - 1
	section := ""
	for p.i < last {
		p.stop = last
		before := p.i
		if p.items[p.i].line && p.sizesPrefix() && p.i >= last {
			return
		}
		if l, ok := p.labelHere(); ok && p.labelledLine(l) {
			section = ""
		} else if p.definition() {
			continue
		} else if name, ok := p.heading(); ok {
			section = name
		} else {
			section = p.unit(section)
		}
		if p.i == before {
			p.i++
		}
	}
}

func (p *parser) labelHere() (labelled, bool) {
	if !p.items[p.i].line && !p.afterStop(p.i) && !p.afterCount(p.i) && p.sizes == nil {
		return labelled{}, false
	}
	l, ok := p.readLabel(p.i)
	return l, ok && (!l.bare || p.items[p.i].line && p.follows(l))
}

// afterCount reports whether a row's label stands right behind a bracket: "…
// across (20 sts) Row 3: ch 1".
func (p *parser) afterCount(at int) bool {
	return at > 0 && p.items[at].class == cRow && p.items[at-1].class == cClose
}

// labelledLine reads a row or rounds with a label. It declines a bare number
// before words that work no stitches: those are a numbered list.
func (p *parser) labelledLine(l labelled) bool {
	saved := p.save()
	p.i, p.stop = l.next, p.rowEnd(l.next)
	end := p.stop
	if !l.bare && !l.short {
		p.kindOf = l.label.Kind
	}
	if p.sizesPrefix() {
		l.from = min(l.from, p.i)
	}
	sizes := p.sizes
	p.sizes = nil
	p.claim, p.loop, p.into, p.other, p.start = l.claim, BothLoops, nil, false, nil
	if p.againRow(l, sizes) {
		return true
	}
	f := p.sequence(0)
	if l.bare && !works(f.steps) && len(p.after) == 0 && (p.lastRow == 0 || l.label.From.At(0) != p.lastRow+1) {
		p.restore(saved)
		return false
	}
	p.i = end
	if len(f.steps) == 0 && p.claim == nil && len(p.after) == 0 {
		s := p.stretch(l.from, max(end-1, l.from))
		p.problem(s, p.source(s), emptyRow, "")
	}
	row := &Row{Span: p.stretch(l.from, max(end-1, l.from)), Label: l.label, Sizes: sizes, Steps: f.steps, Claim: p.claim}
	if l.bare || l.short {
		p.bareKind(row)
	}
	p.unreadRow(row)
	p.starInStar(row)
	p.addRow(row)
	return true
}

// addRow appends a row and the lines that its words held besides.
func (p *parser) addRow(row *Row) {
	p.lines = append(p.lines, row)
	if row.Label.To.Said() && row.Label.Name == "" {
		p.lastRow = row.Label.To.At(0)
	}
	p.lines = append(p.lines, p.after...)
	p.after, p.claim = nil, nil
}

// bareKind decides whether rows told by a bare number are rows or rounds.
func (p *parser) bareKind(row *Row) {
	for k := p.i - 1; k > 0 && int(p.items[k].from.off) >= row.From.Offset; k-- {
		switch p.items[k].word {
		case "around", "round":
			p.kindOf = Round
		case "across":
			p.kindOf = FlatRow
		}
	}
	for _, s := range row.Steps {
		switch s := s.(type) {
		case *Turn:
			p.kindOf = FlatRow
		case *Ring, *Join:
			p.kindOf = Round
		case *Stitches:
			if s.Into.What == RingCentre {
				p.kindOf = Round
			}
		}
	}
	row.Label.Kind = p.kindOf
	what := "rows worked flat"
	if p.kindOf == Round {
		what = "rounds"
	}
	p.assumeOnce(row.Span, "row numbers without a word for rows or rounds are read as "+what)
}

// unreadRow points at a row of which nothing was read as work.
func (p *parser) unreadRow(row *Row) {
	if works(row.Steps) || len(p.after) > 0 || len(row.Steps) == 0 {
		return
	}
	for _, s := range row.Steps {
		if _, told := s.(*Unread); told {
			return
		}
	}
	s := row.Span
	p.problem(s, shorten(p.source(s)), unreadable(p.source(s)), "")
}

// works reports whether any step makes or passes over stitches.
func works(steps []Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *Stitches, *Chain, *Skip, *Ring, *FastenOff, *Join, *Leave, *Attach:
			return true
		case *Group:
			if works(s.Steps) {
				return true
			}
		}
	}
	return false
}

// rowEnd finds where a row's words end: before a blank line, a heading, or the
// next label.
func (p *parser) rowEnd(at int) int {
	last := len(p.items) - 1
	for j := at; j < last; j++ {
		it := p.items[j]
		if j > at && it.para {
			return j
		}
		if j == at || !it.line && !(it.class == cRow && p.items[j-1].class == cPeriod) && !p.afterCount(j) {
			continue
		}
		if l, ok := p.readLabel(j); ok && (!l.bare || it.line && p.follows(l)) {
			return j
		}
		if it.line && p.startsBlock(j) {
			return j
		}
	}
	return last
}

// follows reports whether a bare number goes on from the row before.
func (p *parser) follows(l labelled) bool {
	n := l.label.From.At(0)
	return n >= 1 && (n == 1 || n > p.lastRow && n <= p.lastRow+30)
}

// startsBlock reports whether the line at an index begins something other than
// a row's further words.
func (p *parser) startsBlock(j int) bool {
	if _, _, ok := p.headingAt(j); ok {
		return true
	}
	it := p.items[j]
	switch {
	case it.class == cRepeat && p.items[j-1].class != cComma && p.rowWordsAhead(j), p.workAgain(j):
		return true
	case it.class == cSize, it.class == cDash && p.items[j+1].class == cDash && !p.items[j+1].space: // a rule
		return true
	case noteHeads[it.word] && p.items[j+1].class == cColon, noteHeads[it.word] && it.class == cWord && j+1 < len(p.items) && p.items[j+1].line:
		return true
	}
	return p.definitionAt(j) > 0
}

// snapshot is what a trial reading may change.
type snapshot struct {
	i, stop, problems, assumptions, turning int
	base                                    stitch.ID
	loop                                    Loop
	into                                    *Place
	claim                                   *Claim
	sizes                                   []int
	after                                   []Line
	kindOf                                  Kind
}

func (p *parser) save() snapshot {
	return snapshot{i: p.i, stop: p.stop, problems: len(p.doc.Problems), assumptions: len(p.doc.Assumptions), turning: len(p.turning),
		base: p.base, loop: p.loop, into: p.into, claim: p.claim, sizes: p.sizes, after: p.after, kindOf: p.kindOf}
}

func (p *parser) restore(s snapshot) {
	for _, a := range p.doc.Assumptions[s.assumptions:] {
		delete(p.assumed, a.Message)
	}
	p.i, p.stop = s.i, s.stop
	p.doc.Problems, p.doc.Assumptions = p.doc.Problems[:s.problems], p.doc.Assumptions[:s.assumptions]
	p.turning = p.turning[:s.turning]
	p.base, p.loop, p.into, p.claim, p.sizes, p.after, p.kindOf = s.base, s.loop, s.into, s.claim, s.sizes, s.after, s.kindOf
}
