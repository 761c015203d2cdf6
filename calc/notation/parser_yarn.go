package notation

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// fastenOff reads "fasten off", "break yarn", "fasten off, leaving a long tail".
func (p *parser) fastenOff(f *frame, from int) bool {
	p.i++
	// "fasten back in 1st stitch" and "fasten in space" join with a slip stitch.
	if p.items[p.i-1].word == "fasten" {
		if p.is(cIn) || p.cur().word == "back" {
			p.word("back")
			if place, ok := p.place(true); ok {
				s := &Stitches{Span: p.span(from), Name: "sl st", Into: place}
				p.picot(f, s)
				return true
			}
		}
	}
	p.skip(cYarn, cAlso, cThe)
	if p.isColour() {
		p.i++ // "fasten off MC"
	}
	f.steps = append(f.steps, &FastenOff{p.span(from)})
	return true
}

// picot makes a picot of chains that are fastened back, where the words after
// say so.
func (p *parser) picot(f *frame, s *Stitches) {
	c, chained := lastStep[*Chain](f)
	at := p.i
	if p.cur().word == "for" {
		p.i++
		p.skip(cA, cThe)
		if p.is(cStitch) && strings.HasSuffix(string(p.cur().id), "picot") {
			p.i++
			if chained && len(c.Many) == 1 {
				id, ok := derived(entry{}, "ch-"+numberText(c.Many)+" picot")
				if ok {
					f.steps[len(f.steps)-1] = &Stitches{Span: Span{c.From, p.items[p.i-1].to.pos()}, Name: id.id, Into: Place{Choice: Next, Many: N(1), Unsaid: true}}
					return
				}
			}
		} else {
			p.i = at
		}
	}
	f.steps = append(f.steps, s)
}

// attach reads "rejoin yarn to 5th st", "join yarn with sl st in any st",
// "attach A in first ch-sp".
func (p *parser) attach(f *frame, from int) {
	word := p.cur().word
	p.i++
	if next := p.cur().class; word == "fasten in" && (next == cOrdinal || next == cSpace || next == cNext || next == cSame || next == cTop || next == cStitch || next == cSt) {
		// "chain 4, fasten in space": joined with a slip stitch.
		at := p.i
		if place, ok := p.placeBody("in"); ok {
			f.steps = append(f.steps, &Stitches{Span: p.span(from), Name: "sl st", Into: place})
			return
		}
		p.i = at
	}
	p.attachTail(f, from)
}

func (p *parser) attachTail(f *frame, from int) {
	a := &Attach{}
	p.skip(cThe, cA, cMore, cNext, cSame, cYarn, cAlso)
	for p.isColour() || p.is(cWord) && p.at(1).class == cYarn {
		a.Colour = strings.TrimSpace(a.Colour + " " + p.source(p.cur().span()))
		p.i++
		p.skip(cYarn)
	}
	p.skip(cYarn)
	p.withStitch(a)
	place, placed := p.attachPlace()
	p.withStitch(a)
	if at := p.i; !placed && p.accept(cComma) {
		if place, placed = p.attachPlace(); !placed {
			p.i = at
		}
	}
	a.Into = place
	a.Span = p.span(from)
	if skip := skippedFirst(f.steps); skip != nil {
		a.Skip, a.From = skip.Many, skip.From
		f.steps[slices.IndexFunc(f.steps, func(s Step) bool { return s == skip })] = a
		f.lead = len(f.steps)
		return
	}
	f.steps = append(f.steps, a)
	f.lead = len(f.steps)
}

// skippedFirst returns the skip that is all that was told before a yarn is
// joined: "skip next 12 sts from left shoulder, rejoin yarn".
func skippedFirst(steps []Step) *Skip {
	var skip *Skip
	for _, s := range steps {
		switch s := s.(type) {
		case *Skip:
			if skip != nil {
				return nil
			}
			skip = s
		case *Remark:
		default:
			return nil
		}
	}
	return skip
}

// withStitch reads "with a sl st" behind a yarn that is joined.
func (p *parser) withStitch(a *Attach) {
	at := p.i
	if p.is(cWith) {
		p.i++
		p.skip(cA)
		if p.is(cStitch) && p.isSlip(p.cur().id) {
			p.i++
			return
		}
		if p.is(cStitch) { // "with a standing sc": the stitch is the next step
			return
		}
	}
	p.i = at
}

// attachPlace reads the place of a yarn, "at" and "any" included.
func (p *parser) attachPlace() (Place, bool) {
	at := p.i
	if p.cur().word != "at" {
		if place, ok := p.place(true); ok {
			return place, true
		}
	}
	p.i = at
	if p.is(cIn, cTo) || p.cur().word == "where" { // "at top of left front": told, but no stitch of the row
		for p.i < p.stop && !p.is(cComma, cSemi, cPeriod, cClose, cOpen, cStitch, cNumber, cStar) && p.cur().word != "so" {
			p.i++
		}
		return Place{}, true
	}
	return Place{}, false
}

// isColour reports whether a yarn's letter or code stands here: "B", "MC",
// "CC1", "color A".
func (p *parser) isColour() bool {
	it := p.cur()
	switch it.class {
	case cWord, cA, cOther, cMagicRing:
	default:
		return false
	}
	src := p.text[it.from.off:it.to.off]
	switch strings.TrimRight(src, "0123456789") {
	case "MC", "CC", "CA", "CB", "CD":
		return true
	}
	return utf8.RuneCountInString(src) == 1 && src >= "A" && src <= "Z"
}

// leave reads "leave rem 20 sts unworked", "leaving last 3 sts unworked".
func (p *parser) leave(f *frame, from int) bool {
	if !p.unworkedAhead() {
		return p.leaveCount(f, from)
	}
	l := &Leave{}
	for p.i < p.stop && !p.is(cUnworked) {
		if p.is(cNumber) {
			l.Many, _ = p.number()
			continue
		}
		if p.is(cLast) && (p.at(1).class == cSt || p.at(1).class == cStitch) {
			l.Many = N(1)
		}
		p.i++
	}
	p.i++
	l.Span = p.span(from)
	// What is left is not worked by the "each" before it.
	if s, ok := lastStep[*Stitches](f); ok && s.Into.Choice == EachTo && s.Into.To == ToEnd && l.Many.Said() {
		s.Into.To, s.Into.Left = ToLast, l.Many
	}
	f.steps = append(f.steps, l)
	return true
}

// leaveCount reads "leaving the other 3 stitches for the instep".
func (p *parser) leaveCount(f *frame, from int) bool {
	at := p.i
	p.i++
	p.skip(cThe, cRemaining, cLast, cA)
	n, ok := p.number()
	if !ok || !p.is(cSt, cStitch) {
		p.i = at
		return false
	}
	p.clauseEnd()
	f.steps = append(f.steps, &Leave{Span: p.span(from), Many: n})
	return true
}

// unworkedAhead reports whether "unworked" ends the clause.
func (p *parser) unworkedAhead() bool {
	for k := 0; k < 24; k++ {
		if p.at(k).class == cOpen && p.at(k-1).class == cNumber { // a size string
			if _, end := p.bracketed(p.i + k); end > p.i+k {
				k = end - p.i
			}
		}
		switch p.at(k).class {
		case cUnworked:
			return true
		case cEnd, cComma, cSemi, cPeriod, cStar:
			return false
		}
	}
	return false
}

// marker reads "place marker in first st", "pm", "move marker up".
func (p *parser) marker(f *frame, from int) {
	p.i++
	p.skip(cTo, cThe, cA)
	p.word("up")
	if place, ok := p.place(true); ok {
		_ = place
	} else {
		p.toSeparator()
	}
	s := p.span(from)
	f.steps = append(f.steps, &Mark{Span: s, Text: p.source(s)})
}
