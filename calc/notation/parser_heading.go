package notation

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

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
	if !unicode.IsUpper(c) && k-first > 3 || noteSection(name) != "" || p.items[first].class == cSize {
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
