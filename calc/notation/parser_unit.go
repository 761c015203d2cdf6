package notation

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// unit reads a sentence or line without a label: a count of sizes, a
// definition, a repeat of rows, unlabelled work, or prose. It returns the note
// section that goes on.
func (p *parser) unit(section string) string {
	from := p.i
	end := p.unitEnd(from)
	p.stop = end
	p.marks()
	if p.i >= end {
		p.i = end
		return section
	}
	if p.multiple(from, end) || p.sizeNames(from, end) || p.turningSentence(from, end) {
		return section
	}
	if p.againLine(from) {
		return ""
	}
	if p.worksHere(section) && p.looseRow(from, end) {
		return ""
	}
	p.i = end
	if p.titleBefore(from, end) {
		return ""
	}
	p.prose(from, end)
	return section
}

// titleBefore reads "EDGING. 1st row: …": a word or two before a label.
func (p *parser) titleBefore(from, end int) bool {
	if end-from > 4 || end-from < 2 || p.items[end-1].class != cPeriod || p.items[end].line || !p.nameWords(from, end-1) {
		return false
	}
	if _, ok := p.readLabel(end); !ok {
		return false
	}
	s := p.stretch(from, end-2)
	p.lines = append(p.lines, &Heading{Span: s, Text: p.source(s)})
	return true
}

// unitEnd finds the end of a sentence or line.
func (p *parser) unitEnd(from int) int {
	last := len(p.items) - 1
	depth := 0
	for j := from + 1; j < last; j++ {
		it, before := p.items[j], p.items[j-1]
		if it.para {
			return j
		}
		switch before.class {
		case cOpen:
			depth++
		case cClose:
			depth--
		case cPeriod:
			if depth <= 0 && it.class != cClose {
				return j
			}
		}
		if it.line && (p.beginsLine(j) || before.class == cColon) {
			return j
		}
	}
	return last
}

// beginsLine reports whether a line begins something new: with a capital
// letter, a mark or a label.
func (p *parser) beginsLine(j int) bool {
	it := p.items[j]
	switch it.class {
	case cMark, cDash, cStars:
		return true
	case cNumber, cRow, cOrdinal, cAround:
		if _, ok := p.readLabel(j); ok {
			return true
		}
	}
	c, _ := utf8.DecodeRuneInString(p.text[it.from.off:])
	return unicode.IsUpper(c) || it.class == cOther && c > 0x2000
}

// prose keeps a sentence, joined to the prose just before it.
func (p *parser) prose(from, end int) {
	s := p.stretch(from, end-1)
	if n := len(p.lines); n > 0 && !p.items[from].para && !p.items[from].line {
		if before, ok := p.lines[n-1].(*Prose); ok {
			before.To = s.To
			return
		}
	}
	p.lines = append(p.lines, &Prose{Span: s}) // its text is set when it is whole
}

// worksHere reports whether a unit begins as work does: with a chain, a
// stitch, a ring, a yarn joined.
func (p *parser) worksHere(section string) bool {
	k := 0
	for k < 4 && (p.at(k).class == cMake || p.at(k).class == cA || p.at(k).class == cThe || p.at(k).class == cAlso || p.at(k).class == cWith) {
		if p.at(k).class == cWith {
			return section == "" && p.workAhead()
		}
		k++
	}
	strong := false
	switch it := p.at(k); it.class {
	case cChain:
		strong = p.at(k+1).class == cNumber || p.at(k+1).class == cDash || p.at(k+1).word == "of" || p.at(k+1).class == cA
	case cMagicRing, cStar:
		strong = true
	case cStitch:
		next := p.at(k + 1).class
		strong = next == cNumber || next == cIn || next == cNext || next == cAround || next == cAcross || next == cEach || next == cComma || next == cAlso
	case cNumber:
		if p.at(k+1).class == cOpen {
			if _, end := p.bracketed(p.i + k + 1); end > p.i+k+1 {
				k = end - p.i - 1
			}
		}
		strong = p.at(k+1).class == cStitch && p.at(k+2).class != cEquals || p.at(k+1).class == cChain
	case cSkip, cJoin, cAttach, cFastenOff, cTurn, cLeave:
		return section == ""
	case cIn, cOpen, cLoop, cSide:
		return section == "" && p.workAhead()
	}
	return strong && (section == "" || p.items[p.i].para)
}

// workAhead reports whether a stitch or chain stands in the unit.
func (p *parser) workAhead() bool {
	for j := p.i; j < p.stop; j++ {
		switch p.items[j].class {
		case cStitch, cChain, cMagicRing, cAttach:
			return true
		}
	}
	return false
}

// looseRow tries to read unlabelled work. What can't be read whole is prose,
// unless it begins so plainly that its problem should be told.
func (p *parser) looseRow(from, end int) bool {
	saved := p.save()
	p.claim, p.loop, p.into, p.other, p.start = nil, BothLoops, nil, false, nil
	sizes := p.sizes
	start := p.items[p.i].class
	f := p.sequence(0)
	problems := len(p.doc.Problems) - saved.problems
	plain := start == cStitch || start == cNumber || start == cChain || start == cStar || start == cMagicRing
	good, before := 0, 0 // steps that work, remarks before the first of them
	for _, s := range f.steps {
		switch s.(type) {
		case *Unread, *Remark, *Mark:
			if good == 0 {
				before++
			}
		default:
			good++
		}
	}
	if before > 0 && !plain && start != cWith && start != cSide && !((start == cAlso || start == cIn) && p.chainsFirst(f.steps)) && !(start == cIn && p.loopStart(from)) {
		good = 0
	}
	if good == 0 || problems > 0 && !(plain && good > problems) {
		p.restore(saved)
		return false
	}
	p.i = end
	p.sizes = nil
	row := &Row{Span: p.stretch(from, end-1), Sizes: sizes, Steps: f.steps, Claim: p.claim}
	if before := p.sameRow(from); before != nil {
		row.Steps = joinChains(before, row.Steps)
		before.Steps, before.To = append(before.Steps, row.Steps...), row.To
		if row.Claim != nil {
			before.Claim = row.Claim
		}
	} else {
		p.lines = append(p.lines, row)
	}
	p.lines = append(p.lines, p.after...)
	p.after, p.claim = nil, nil
	return true
}

// joinChains makes a ring of "Ch 8." and "Join.", told in two sentences; it
// returns the steps that are left.
func joinChains(before *Row, steps []Step) []Step {
	j, ok := steps[0].(*Join)
	last := len(before.Steps) - 1
	c, chained := before.Steps[last].(*Chain)
	if !ok || !chained || !c.Many.Said() || last > 0 && !isRemark(before.Steps[last-1]) {
		return steps
	}
	before.Steps[last] = &Ring{Span: Span{c.From, j.Span.To}, Chains: c.Many}
	steps = steps[1:]
	if len(steps) > 0 {
		if r, ok := steps[0].(*Remark); ok && strings.HasSuffix(r.Text, "ring") { // "to form ring"
			steps = steps[1:]
		}
	}
	return steps
}

// chainsFirst reports whether the first work is a chain or a ring: "Starting at
// center, ch 8."
func (p *parser) chainsFirst(steps []Step) bool {
	for _, s := range steps {
		switch s.(type) {
		case *Remark:
			continue
		case *Chain, *Ring:
			return true
		}
		break
	}
	return false
}

// sameRow returns the unlabelled row that a sentence goes on with: the one just
// before it on the line, where that does not turn.
func (p *parser) sameRow(from int) *Row {
	if p.items[from].line || p.items[from].para || len(p.lines) == 0 {
		return nil
	}
	before, ok := p.lines[len(p.lines)-1].(*Row)
	if !ok || before.Label.Kind != Loose || before.Label.From.Said() || len(before.Steps) == 0 {
		return nil
	}
	switch before.Steps[len(before.Steps)-1].(type) {
	case *Turn, *FastenOff:
		return nil
	}
	return before
}

// loopStart reports whether a unit begins with a loop: "In BLO, …".
func (p *parser) loopStart(from int) bool {
	for _, it := range p.items[from:min(from+4, len(p.items))] {
		if it.class == cLoop {
			return true
		}
	}
	return false
}
