package notation

import (
	"slices"
	"strconv"
	"strings"
)

// multiple reads "multiple of 6 + 2, plus 1 for turning" and "divisible by 3".
func (p *parser) multiple(from, end int) bool {
	at := -1
	for k := p.i; k+2 < end; k++ {
		if p.items[k].word == "multiple" || p.items[k].word == "multiples" || p.items[k].word == "divisible" {
			at = k
			break
		}
	}
	if at < 0 {
		return false
	}
	p.i = at + 1
	p.skip(cThe)
	p.word("by")
	if !p.is(cNumber) {
		p.i = from
		return false
	}
	m := Multiple{Of: min(p.cur().n, p.limits.Count)}
	p.i++
	p.skip(cSt, cChain)
	for p.is(cPlus, cAnd, cComma, cOpen, cWith, cMore) || p.cur().word == "add" {
		k := p.i
		p.skip(cPlus, cAnd, cComma, cOpen, cWith, cMore, cMake, cA)
		p.word("add")
		if !p.is(cNumber) {
			p.i = k
			break
		}
		n := min(p.cur().n, p.limits.Count)
		p.i++
		turning := false
		for p.is(cChain, cSt, cTo, cTurn, cThe, cMore, cTurningChain) || slices.Contains([]string{"for", "base", "foundation", "turning"}, p.cur().word) {
			turning = turning || p.is(cTurn, cTurningChain) || p.cur().word == "base" || p.cur().word == "foundation"
			p.i++
		}
		if turning {
			m.Turning = n
		} else {
			m.Plus += n
		}
		p.accept(cClose)
	}
	m.Span = p.stretch(at, p.i-1)
	p.doc.Multiples = append(p.doc.Multiples, m)
	p.i = from
	if p.worksHere("") && p.looseRow(from, end) { // "Ch a multiple of 6 + 2."
		return true
	}
	p.i = end
	p.prose(from, end)
	return true
}

// isMultiple reports whether "a multiple of" follows.
func (p *parser) isMultiple() bool {
	return p.is(cA) && (p.at(1).word == "multiple" || p.at(1).word == "number")
}

// sizeNames reads "Sizes: S (M, L, XL)" and "Size: Small [Medium, Large]".
func (p *parser) sizeNames(from, end int) bool {
	if !p.is(cSize) && !(p.cur().word == "to" && p.at(1).word == "fit") {
		return false
	}
	k := p.i + 1
	for k < end && (p.items[k].class == cColon || p.items[k].word == "fit") {
		k++
	}
	var names []string
	bracket := false
	for k < end {
		it := p.items[k]
		src := p.text[it.from.off:it.to.off]
		switch {
		case it.class == cOpen:
			bracket = true
		case it.class == cComma || it.class == cSlash || it.class == cClose || it.class == cAnd || it.class == cPeriod:
		case sizeName(src) != "":
			if n := len(names); n > 0 && p.items[k-1].class == cDash {
				names[n-1] += "-" + src
			} else {
				names = append(names, src)
			}
		case it.class == cDash, it.class == cNumber && len(names) > 0:
		default:
			k = end
		}
		k++
	}
	if len(names) < 2 || !bracket && len(names) != p.sizeList && p.sizeList != 0 {
		return false
	}
	if p.doc.Sizes == nil && (p.sizeList == 0 || p.sizeList == len(names)) {
		p.doc.Sizes = names
		p.sizeList = len(names)
	}
	p.i = end
	p.prose(from, end)
	return true
}

// sizeName returns the words as a size's name: "XS", "2X", "Small", "" for
// none.
func sizeName(src string) string {
	low := strings.ToLower(src)
	switch low {
	case "xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl", "small", "medium", "large", "1x", "2x", "3x", "4x", "5x", "6x", "2xl", "3xl", "4xl", "5xl",
		"newborn", "baby", "toddler", "child", "youth", "teen", "adult", "infant", "preemie":
		return low
	}
	return ""
}

// sizesPrefix reads "Sizes S and M only:" and "For size L:", and keeps the
// sizes for the row that follows.
func (p *parser) sizesPrefix() bool {
	from := p.i
	p.word("for")
	p.skip(cOpen)
	if !p.accept(cSize) {
		p.i = from
		return false
	}
	var sizes []int
	only := false
	for p.i < p.stop && p.i < from+24 {
		it := p.cur()
		src := p.text[it.from.off:it.to.off]
		switch {
		case it.class == cColon || it.class == cClose || it.class == cPeriod && only || only && it.class == cComma || only && it.class == cDash:
			p.i++
			if len(sizes) == 0 {
				p.i = from
				return false
			}
			p.sizes = sizes
			return true
		case it.word == "only":
			only = true
		case it.class == cAnd, it.class == cComma, it.class == cSlash, it.class == cSize:
		default:
			n := slices.IndexFunc(p.doc.Sizes, func(s string) bool { return strings.EqualFold(s, src) })
			if n < 0 {
				p.i = from
				return false
			}
			sizes = append(sizes, n)
		}
		p.i++
	}
	p.i = from
	return false
}

// turningSentence reads a note that holds for all turning chains: "Ch 3 counts
// as dc throughout.", "Turning chain does not count as a stitch."
func (p *parser) turningSentence(from, end int) bool {
	counts := -1
	for k := p.i; k < end; k++ {
		if p.items[k].class == cCount {
			counts = k
		}
		if p.items[k].class == cOpen || p.items[k].class == cStar {
			return false
		}
	}
	if counts < 0 {
		return false
	}
	about := false
	note := turningNote{}
	at := p.i
	for k := p.i; k < counts; k++ {
		switch it := p.items[k]; it.class {
		case cTurningChain:
			about = true
		case cChain:
			about = true
			if k+1 < counts && p.items[k+1].class == cNumber {
				note.many = N(p.items[k+1].n)
			} else if k+2 < counts && p.items[k+1].class == cDash && p.items[k+2].class == cNumber {
				note.many = N(p.items[k+2].n)
			} else if k > at && p.items[k-1].class == cNumber {
				note.many = N(p.items[k-1].n)
			}
		case cStitch, cNext, cSkip:
			return false
		}
	}
	if !about {
		return false
	}
	c := &Chain{Many: note.many}
	for k := counts; k >= at; k-- {
		switch p.items[k].class {
		case cNot:
			c.Counts = CountsAsNone
		}
	}
	not := c.Counts == CountsAsNone
	p.i = counts
	if !p.countsAs(c) {
		p.i = from
		return false
	}
	note.counts, note.as = c.Counts, c.As
	if not {
		note.counts = CountsAsNone
	}
	p.turning = append(p.turning, note)
	p.i = end
	p.prose(from, end)
	return true
}

// applyTurningNotes writes what the text says once of its turning chains into
// each chain at the start of a row that says nothing itself.
func (p *parser) applyTurningNotes() {
	if len(p.turning) == 0 {
		return
	}
	for i := range p.doc.Parts {
		for _, l := range p.doc.Parts[i].Lines {
			row, ok := l.(*Row)
			if !ok || row.Label.Kind == Loose {
				continue
			}
			for _, s := range row.Steps {
				c, ok := s.(*Chain)
				if !ok {
					if _, skip := s.(*Remark); skip {
						continue
					}
					break
				}
				p.applyTurning(c)
				break
			}
		}
	}
}

func (p *parser) applyTurning(c *Chain) {
	if c.Counts != CountUnsaid {
		return
	}
	for _, n := range p.turning {
		if n.many == nil || n.many.equal(c.Many) {
			c.Counts, c.As = n.counts, n.as
			return
		}
	}
}

// numberText writes a number with its sizes: "81 (89, 97)".
func numberText(n Number) string {
	if len(n) == 0 {
		return ""
	}
	text := strconv.Itoa(n[0])
	if len(n) == 1 {
		return text
	}
	rest := make([]string, len(n)-1)
	for i, v := range n[1:] {
		rest[i] = strconv.Itoa(v)
	}
	return text + " (" + strings.Join(rest, ", ") + ")"
}
