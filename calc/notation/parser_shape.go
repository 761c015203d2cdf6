package notation

import (
	"strconv"

	"countwright/calc/stitch"
)

// alongOnly reports whether a place only tells along what the stitches go:
// "8 stars across", "9 stars on the chain".
func (p *parser) alongOnly(place Place) bool {
	first := ""
	for k := p.i - 1; k >= 0 && int(p.items[k].from.off) >= place.From.Offset; k-- {
		switch p.items[k].class {
		case cEach, cNext, cNumber, cSame, cOrdinal, cLast:
			return false
		}
		first = p.items[k].word
	}
	if place.Choice == EachTo {
		return place.To == ToEnd
	}
	return place.What == ChainStitch && (first == "on" || first == "along" || first == "down" || first == "over")
}

// limitOnly reports whether a place was told by "around" or "across" alone.
func (p *parser) limitOnly(place Place) bool {
	it := p.items[p.i-1]
	return int(it.from.off) == place.From.Offset
}

// sequenceBefore reports whether the row so far is stitches one after another
// that "around" may repeat: no group, and no star or bracket open.
func (p *parser) sequenceBefore(f *frame) bool {
	if f.depth > 0 || f.openMark("*") >= 0 {
		return false
	}
	stitches := 0
	for _, s := range f.steps {
		switch s := s.(type) {
		case *Group:
			return false
		case *Stitches:
			if s.Into.Choice != Next {
				return false
			}
			stitches++
		}
	}
	return stitches > 0
}

// aroundAfter reads "around" behind a place that says all without it: "sc in
// next st, 2 sc in next st around" repeats the row so far.
func (p *parser) aroundAfter(f *frame, s *Stitches, from int) bool {
	if s.Into.Choice != Next || !p.is(cAround, cAcross) {
		return false
	}
	at := p.i
	to, _, ok := p.limit()
	if !ok || to.To != ToEnd || !p.is(cEnd, cComma, cSemi, cPeriod, cOpen, cDash, cEquals, cClose, cAnd) {
		p.i = at
		return false
	}
	if f.openMark("*") >= 0 { // "*sc in next st, inc in next st around": the star's repeat
		p.i = at
		p.wrapStar(f)
		return true
	}
	f.steps = f.steps[:len(f.steps)-1]
	repeats := p.sequenceBefore(f)
	f.steps = append(f.steps, s)
	if repeats {
		p.wrapUnmarked(f, from, Times{To: ToEnd})
	} else if s.Into.Many.At(0) <= 1 {
		s.Into.Choice, s.Into.Many, s.Into.To = EachTo, nil, ToEnd
	}
	return true
}

// wrapStar ends an open star by "around" alone.
func (p *parser) wrapStar(f *frame) {
	if times, ok := p.times(); ok {
		p.wrap(f, f.openMark("*"), times)
	}
}

// spread adds shaping spread over a row; a plain "each" just before is the
// rest of that row.
func (p *parser) spread(f *frame, s *Stitches) {
	if s.Into.Choice == Spread {
		if plain, ok := lastStep[*Stitches](f); ok && plain.Into.Choice == EachTo && plain.Into.To == ToEnd && p.look(plain.Name).kind == stitch.Basic {
			s.Of = plain.Name
			f.steps = f.steps[:len(f.steps)-1]
		}
	}
	p.push(f, s)
}

// eachEnd reads "dec 1 st at each end of row": shaping at both ends, the
// stitch of the row between. "At beg of row" is the first stitch alone.
func (p *parser) eachEnd(f *frame, s *Stitches, from int) bool {
	at := p.i
	both, ends := p.ends()
	if ends == "" {
		p.i = at
		return false
	}
	span := p.span(from)
	s.Span = span
	if !both {
		s.Into = Place{Choice: First}
		if ends == "end" {
			s.Into.Choice = Last
		}
		p.push(f, s)
		return true
	}
	base := p.base
	if plain, ok := lastStep[*Stitches](f); ok && plain.Into.Choice == EachTo && plain.Into.To == ToEnd && p.look(plain.Name).kind == stitch.Basic {
		base = plain.Name // "sc across, increasing at each end"
		f.steps = f.steps[:len(f.steps)-1]
	}
	if base == "" {
		base = "sc"
	}
	left := max(1, p.look(s.Name).consumes)
	last := *s
	s.Into, last.Into = Place{Choice: First}, Place{Choice: Last}
	plain := &Stitches{Span: span, Name: base, Into: Place{Choice: EachTo, To: ToLast, Left: N(left)}}
	p.assume(span, "read as: at the first and the last stitch, "+string(base)+" in each stitch between")
	p.push(f, s)
	last.Of = s.Of
	f.steps = append(f.steps, plain, &last)
	return true
}

// ends reads "at each end of row", "on both sides", "at beginning and end of
// row", "at beg of row": whether both ends are meant, and which one is named
// first, "" for none.
func (p *parser) ends() (both bool, first string) {
	p.skip(cIn)
	p.skip(cThe)
	switch {
	case p.accept(cEach):
		both = true
		if !p.accept(cFinish) && !p.word("side", "sides", "edge", "edges") {
			return false, ""
		}
		first = "each"
	case p.word("beginning", "beg", "start"):
		first = "beginning"
		if p.is(cAnd) && p.at(1).class == cFinish {
			p.i += 2
			both = true
		}
	case p.items[max(p.i-1, 0)].class == cIn && p.is(cFinish):
		p.i++
		first = "end"
	default:
		return false, ""
	}
	p.skip(cThe)
	p.rowTail()
	p.skip(cThe, cRow)
	return both, first
}

// tie names the decrease of n stitches.
func (p *parser) tie(name stitch.ID, n int) stitch.ID {
	base := name
	if d := p.look(name); d.base != "" && d.kind == stitch.Together {
		base = d.base
	}
	return stitch.ID(string(base) + strconv.Itoa(n) + "tog")
}

// evenly reads "inc 6 sts evenly around": the stitches are spread over the row.
func (p *parser) evenly(s *Stitches) {
	if p.items[p.i-1].class == cAlso && p.items[p.i-1].word == "evenly" || p.cur().word == "evenly" {
		from := p.i
		p.skip(cAlso)
		p.word("spaced")
		if _, _, ok := p.limit(); ok || p.i > from {
			if p.isShaping(s.Name) {
				s.Into.Choice, s.Into.Unsaid = Spread, false
			} else {
				s.Into = Place{Choice: EachTo, To: ToEnd}
			}
		}
	}
	if p.word("even") {
		s.Into = Place{Choice: EachTo, To: ToEnd}
		p.limit()
	}
}

// isShaping reports whether the stitch is an increase or decrease.
func (p *parser) isShaping(name stitch.ID) bool {
	k := p.look(name).kind
	return k == stitch.Increase || k == stitch.Together
}

// look returns what the dictionary says of a stitch: a stitch of the pattern's
// own is one of a kind that no rule here is for.
func (p *parser) look(name stitch.ID) look {
	l, ok := p.looks[name]
	if !ok {
		l.kind = stitch.Surface // no rule here is for those
		if d, found := stitch.Lookup(name); found {
			l = look{kind: d.Kind, consumes: d.Consumes, base: d.Base}
		}
		p.looks[name] = l
	}
	return l
}
