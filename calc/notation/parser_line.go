package notation

import (
	"countwright/calc/stitch"
	"strings"
	"unicode"
	"unicode/utf8"
)

// document reads the whole text into p.lines.
func (p *parser) document() {
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
	return p.readLabel(p.i)
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
	p.claim, p.loop, p.into = l.claim, BothLoops, nil
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
	case it.class == cRepeat && p.rowWordsAhead(j):
		return true
	case it.class == cSize:
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
	p.prose(from, end)
	return section
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
			before.Text = p.source(before.Span)
			return
		}
	}
	p.lines = append(p.lines, &Prose{Span: s, Text: p.source(s)})
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
	p.claim, p.loop, p.into = nil, BothLoops, nil
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
	if before > 0 && !plain && start != cWith && start != cSide && !(start == cIn && p.loopStart(from)) {
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

// heading reads a line that names a part or section, and returns the note
// section it opens, "" for none.
func (p *parser) heading() (string, bool) {
	end, text, ok := p.headingAt(p.i)
	if !ok {
		return "", false
	}
	s := p.stretch(p.i, end-1)
	p.lines = append(p.lines, &Heading{Span: s, Text: text})
	p.i = end
	return noteSection(text), true
}

// noteHeads open sections that hold no rows.
var noteHeads = wordSet(`materials material notes note gauge tension abbreviations abbreviation yarn hook hooks sizes size level
	skill measurements supplies finishing assembly finished key legend terms difficulty tips tip special notions copyright about wool
	dimensions needles hints stitches`)

// noteSection returns the kind of notes that a heading opens: its first word
// of that kind, or "". What stands behind a comma or in brackets only tells
// more of a title: "Left front, size M", "Hat (UK terms)".
func noteSection(text string) string {
	if i := strings.IndexAny(text, ",(["); i > 0 {
		text = text[:i]
	}
	words := strings.Fields(strings.ToLower(text))
	for i, w := range words {
		w = strings.Trim(w, ":.()&,#*")
		if noteHeads[w] && w != "about" && (i == 0 || i == len(words)-1 && i < 3 || strings.HasPrefix(words[0], "#")) {
			return w
		}
	}
	return ""
}

// headingAt recognises a heading at an index: a line of a few words, marked or
// alone or ending with a colon.
func (p *parser) headingAt(at int) (end int, text string, ok bool) {
	if !p.items[at].line {
		return 0, "", false
	}
	last := len(p.items) - 1
	end = at + 1
	for end < last && !p.items[end].line && end-at <= 14 {
		end++
	}
	if end < last && !p.items[end].line {
		return p.inlineHeading(at)
	}
	i, stop := p.i, p.stop
	defer func() { p.i, p.stop = i, stop }()
	p.i, p.stop = at, end
	marked := p.items[at].class == cMark && p.items[at].word != "•"
	bold := p.marks()
	first := p.i
	if first >= end {
		return 0, "", false
	}
	tail := end
	for tail > first && (p.items[tail-1].class == cStars || p.items[tail-1].class == cStar || p.items[tail-1].class == cMark) {
		bold = bold || p.items[tail-1].class == cStars
		tail--
	}
	colon := tail > first && p.items[tail-1].class == cColon
	if colon {
		tail--
	}
	if tail == first || !p.nameWords(first, tail) {
		return p.inlineHeading(at)
	}
	if p.items[first].class == cSize && p.sizesPrefix() {
		p.sizes = nil // "Sizes S and M only:"
		return 0, "", false
	}
	alone := p.items[at].para && (end >= last || p.items[end].para)
	_, labelNext := p.readLabel(end)
	c, _ := utf8.DecodeRuneInString(p.text[p.items[first].from.off:])
	if !unicode.IsUpper(c) && !unicode.IsDigit(c) && !marked && !(colon && labelNext && tail-first <= 6) {
		return 0, "", false
	}
	listed := p.items[at].class == cDash || p.items[at].word == "•"
	shouted := p.items[at].para && p.shouted(first, tail)
	titled := !listed && (p.items[tail-1].class != cPeriod || shouted) && (alone || p.items[at].para || labelNext || p.workNext(end)) && tail-first <= 8
	if !marked && !bold && !colon && !titled {
		return 0, "", false
	}
	return end, p.source(p.stretch(first, tail-1)), true
}

// shouted reports whether a line is in capitals only: "INFANT'S BOOTEES."
func (p *parser) shouted(first, tail int) bool {
	src := p.text[p.items[first].from.off:p.items[tail-1].to.off]
	return len(src) > 4 && src == strings.ToUpper(src) && src != strings.ToLower(src)
}

// workNext reports whether the line at an index begins with a chain or a ring.
func (p *parser) workNext(at int) bool {
	return at < len(p.items) && (p.items[at].class == cChain || p.items[at].class == cMagicRing)
}

// nameWords reports whether items can be a name: no instruction among them.
func (p *parser) nameWords(from, to int) bool {
	if to-from > 10 {
		return false
	}
	for k := from; k < to; k++ {
		switch it := p.items[k]; it.class {
		case cStitch, cChain:
			if k > from && (p.items[k-1].class == cNumber || p.items[k-1].class == cIn) || k+1 < to && (p.items[k+1].class == cNumber || p.items[k+1].class == cIn || p.items[k+1].class == cTurn) {
				return false
			}
			if it.class == cChain && to-from == 1 {
				return false
			}
		case cTurn, cSkip, cSemi, cStar, cRepeat, cEquals, cMagicRing, cFastenOff, cAttach, cX:
			return false
		case cJoin:
			if k == from {
				return false
			}
		case cColon:
			return false
		case cComma, cPeriod:
			if k+1 < to && it.class == cPeriod {
				return false
			}
		case cRow:
			if k+1 < to && p.items[k+1].class == cNumber {
				return false
			}
		}
	}
	return true
}

// inlineHeading recognises "Body: Ch 30." and "For the sleeve: Chain 80": a
// name and work on one line.
func (p *parser) inlineHeading(at int) (end int, text string, ok bool) {
	i, stop := p.i, p.stop
	defer func() { p.i, p.stop = i, stop }()
	p.i, p.stop = at, len(p.items)-1
	p.marks()
	first := p.i
	k := first
	for k < p.stop && k-first < 8 && p.items[k].class != cColon && p.text[p.items[k].from.off:p.items[k].to.off] != "—" {
		if k > at && p.items[k].line {
			return 0, "", false
		}
		k++
	}
	if k >= p.stop || p.items[k].class != cColon && p.items[k].class != cDash || k == first || !p.nameWords(first, k) {
		return 0, "", false
	}
	c, _ := utf8.DecodeRuneInString(p.text[p.items[first].from.off:])
	name := p.source(p.stretch(first, k-1))
	if !unicode.IsUpper(c) || noteSection(name) != "" || p.items[first].class == cSize {
		return 0, "", false
	}
	p.i = k + 1
	p.marks()
	if p.i >= p.stop || p.items[p.i].line || !p.plainWork() && !p.bracketWork() {
		return 0, "", false
	}
	return p.i, name, true
}

// bracketWork reports whether a bracket with stitches begins here.
func (p *parser) bracketWork() bool {
	return p.is(cOpen) && (p.at(1).class == cNumber && p.at(2).class == cStitch || p.at(1).class == cStitch)
}

// plainWork reports whether work begins here beyond doubt.
func (p *parser) plainWork() bool {
	k := 0
	if p.is(cMake) {
		k = 1
		if p.at(1).class == cA && p.at(2).class == cChain {
			k = 2
		}
	}
	switch p.at(k).class {
	case cChain:
		return p.at(k+1).class == cNumber || p.at(k+1).word == "of"
	case cMagicRing, cAttach:
		return true
	case cStitch:
		return p.at(k+1).class == cNumber || p.at(k+1).class == cIn || p.at(k+1).class == cAlso || p.at(k+1).class == cAround
	case cNumber:
		return p.at(k+1).class == cStitch && p.at(k+2).class != cEquals
	case cJoin:
		return p.at(k+1).class == cYarn || p.at(k+1).class == cWith
	case cSkip:
		return p.at(k+1).class == cNext || p.at(k+1).class == cNumber
	case cWith:
		return p.workAheadTo(p.i + 12)
	case cRow:
		return p.at(k+1).class == cNumber
	}
	return false
}

func (p *parser) workAheadTo(end int) bool {
	for j := p.i; j < min(end, p.stop); j++ {
		switch p.items[j].class {
		case cStitch, cChain, cMagicRing:
			return true
		case cPeriod:
			return false
		}
	}
	return false
}
