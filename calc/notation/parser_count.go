package notation

import (
	"slices"
	"strconv"

	"countwright/calc/stitch"
)

// addStitches settles how many go into each place, and adds the step.
func (p *parser) addStitches(f *frame, s *Stitches, n Number, place Place) {
	if place.Choice == Nth && place.What == ChainStitch && !anyStitches(f.steps) {
		place.What = ChainFromHook // "in the 4th chain" begins a row on a chain
	}
	s.Into = place
	d := p.look(s.Name)
	if d.kind == stitch.Together || d.kind == stitch.Basic || d.kind == stitch.Slip {
		s.Into.Over, place.Over = false, false
	}
	each := p.items[p.i-1].class == cEach || place.Many == nil || p.saidEach(place)
	k := place.Many.At(0)
	if place.Choice == Nth {
		k = 1
	}
	switch {
	case d.kind == stitch.Together && d.consumes > 1 && place.Many.At(0) > 1 && (place.Choice == First || place.Choice == Last):
		if s.Into.Many = p.decreases(s, n, d.consumes, each); s.Into.Many.equal(N(1)) {
			s.Into.Many = nil
		}
	case d.kind == stitch.Together && place.Choice == Next && d.consumes > 1:
		s.Into.Many = p.decreases(s, n, d.consumes, each)
		n = nil
	case n == nil || len(n) == 1 && n[0] == 1:
	case place.Choice != Next && place.Choice != First && place.Choice != Last || each || k <= 1 && len(place.Many) < 2:
		s.Each = n
	case n.equal(place.Many):
		p.assumeOnce(s.Span, `a number before the stitch and the same number of places ("3 sc in next 3 sts") is read as one stitch in each`)
	default:
		s.Each = n
		p.assume(s.Span, "read as "+strconv.Itoa(n.At(0))+" in each of "+strconv.Itoa(k)+" stitches")
	}
	p.placeTimes(s)
	s.To = p.items[p.i-1].to.pos()
	p.startRing(f, s)
	p.push(f, s)
}

// placeTimes reads "2 dc in next st 6 times" and "dc in same st twice".
func (p *parser) placeTimes(s *Stitches) {
	if p.is(cStar) {
		return
	}
	at := p.i
	times, ok := p.countTimes()
	switch {
	case !ok || times.More:
		p.i = at
	case s.Into.Choice == Next && s.Into.Many.At(0) <= 1 && len(s.Into.Many) <= 1:
		s.Into.Many = times.N
	case s.Into.Choice == Same || s.Into.Choice == First || s.Into.Choice == Last || s.Into.Choice == Around:
		if len(s.Each) <= 1 {
			each := max(1, s.Each.At(0))
			s.Each = slices.Clone(times.N)
			for i := range s.Each {
				s.Each[i] *= each
			}
		}
	default:
		p.i = at
	}
}

func anyStitches(steps []Step) bool {
	for _, s := range steps {
		switch s.(type) {
		case *Stitches, *Group:
			return true
		}
	}
	return false
}

// passedChains reads "(skipped chs count as first hdc)" behind "in 3rd ch from
// hook".
func (p *parser) passedChains(s *Stitches) {
	if !p.is(cOpen) || s.Into.What != ChainFromHook {
		return
	}
	end, counts, not := p.i, false, false
	var as stitch.ID
	for end < p.stop && end < p.i+20 && p.items[end].class != cClose {
		switch it := p.items[end]; it.class {
		case cCount:
			counts = true
		case cNot:
			not = true
		case cStitch:
			as = it.id
		}
		end++
	}
	if !counts || end >= p.stop || p.items[end].class != cClose {
		return
	}
	s.Into.Passed, s.Into.PassedAs = CountsAsStitch, as
	if not {
		s.Into.Passed, s.Into.PassedAs = CountsAsNone, ""
	}
	p.i = end + 1
}

// startRing adds the ring that "6 sc in MR" makes on the way.
func (p *parser) startRing(f *frame, s *Stitches) {
	if s.Into.What != RingCentre || f.depth > 0 || hasRing(f.steps) {
		return
	}
	for k := p.i - 1; k >= 0 && int(p.items[k].from.off) >= s.From.Offset; k-- {
		if it := p.items[k]; it.class == cMagicRing {
			f.steps = append(f.steps, &Ring{Span: it.span()})
			f.lead = len(f.steps)
			p.kindOf = Round
			return
		}
	}
}

func hasRing(steps []Step) bool {
	for _, s := range steps {
		if _, ok := s.(*Ring); ok {
			return true
		}
	}
	return false
}

// saidEach reports whether the words of the place hold "each".
func (p *parser) saidEach(place Place) bool {
	for k := p.i - 1; k >= 0 && int(p.items[k].from.off) >= place.From.Offset && place.Span.To.Offset > 0; k-- {
		if p.items[k].class == cEach {
			return true
		}
	}
	return false
}

// decreases returns how many decreases "over next 4 sts" are.
func (p *parser) decreases(s *Stitches, n Number, consumes int, each bool) Number {
	many := s.Into.Many
	if many.At(0) < consumes || each {
		if n.Said() && n.At(0) > 1 && many.At(0) <= 1 {
			return n
		}
		return many
	}
	made := make(Number, len(many))
	for i := range many {
		made[i] = many[i] / consumes
		if many[i]%consumes != 0 {
			return many
		}
	}
	if made.At(0) > 1 && !n.equal(made) {
		p.assume(s.Span, "read as "+strconv.Itoa(made.At(0))+" decreases over "+strconv.Itoa(many.At(0))+" stitches")
	}
	return made
}

func (n Number) equal(m Number) bool {
	if len(n) != len(m) {
		return false
	}
	for i := range n {
		if n[i] != m[i] {
			return false
		}
	}
	return true
}

// push adds stitches to the row and remembers what "inc" will be of.
func (p *parser) push(f *frame, s *Stitches) {
	k := p.look(s.Name).kind
	switch {
	case s.Name == "inc" || s.Name == "dec":
		s.Of = p.base
		of := s.Of
		if of == "" {
			of = "sc"
		}
		p.assumeOnce(s.Span, `"`+string(s.Name)+`" is read as of the stitch around it, here `+string(of))
	case k == stitch.Basic || k == stitch.Extended || k == stitch.Texture:
		p.base = s.Name
	}
	p.settled(f, s)
	if s.Name != "" {
		f.steps = append(f.steps, s)
	}
}

// morePlaces reads further places of the same stitch: "in 2nd ch from hook and
// in each ch across", "in next 3 sts and in last st".
func (p *parser) morePlaces(f *frame, s *Stitches, from int) {
	p.passedChains(s)
	for range 8 {
		at := p.i
		comma := p.accept(cComma)
		and := p.accept(cAnd)
		if and && p.is(cChain) {
			place, ok := p.target()
			if ok && place.What == ChainStitch && s.Into.Choice == EachTo && s.Into.To == ToEnd && p.is(cAround, cAcross, cComma, cPeriod, cEnd) {
				if to, _, ok := p.limit(); ok { // "in each st and ch around"
					s.Into.To, s.Into.Left = to.To, to.Left
				}
				more := *s
				more.Into.What, more.Into.Name = ChainStitch, ""
				more.Span = p.stretch(at, p.i-1)
				f.steps = append(f.steps, &more)
				continue
			}
			if ok && place.What == ChainSpace { // "in next dc and ch-1 sp"
				place.Many = N(1)
				f.steps = append(f.steps, &Stitches{Span: p.stretch(at, p.i-1), Name: s.Name, Each: s.Each, Into: place, Loop: s.Loop})
				continue
			}
			p.i = at
			return
		}
		if !and && !comma || !p.is(cIn, cEach, cNext, cSame, cLast, cAcross, cAround, cRemaining, cOrdinal, cTo) || comma && !and && !p.is(cIn, cEach, cAcross) {
			p.i = at
			return
		}
		if p.is(cIn) && p.at(1).class == cLoop {
			p.i = at
			return
		}
		place, ok := p.place(false)
		// "in next st, 3 dc" tells a new stitch's place before it.
		if !ok || !p.is(cComma, cSemi, cPeriod, cEnd, cClose, cAnd, cOpen, cStar, cStars, cRepeat, cTurn, cEnding, cDash, cEquals, cX, cNumber, cAround, cAcross) || p.is(cComma) && p.at(1).class == cMake {
			p.i = at
			return
		}
		more := &Stitches{Span: p.stretch(at, p.i-1), Name: s.Name, Each: s.Each, Into: place, Loop: s.Loop}
		if place.Many.At(0) > 1 && s.Each.At(0) > 1 && !p.saidEach(place) {
			more.Each = nil
		}
		f.steps = append(f.steps, more)
		_ = from
	}
}
