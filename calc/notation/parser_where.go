package notation

import "slices"

// lateLimit reads a limit that stands apart from its "each": "a treble in each
// treble, …, up to the 2 chain".
func (p *parser) lateLimit(f *frame) bool {
	if !p.is(cTo) {
		return false
	}
	from := p.i
	to, left, ok := p.limit()
	if !ok {
		return false
	}
	for k := len(f.steps) - 1; k >= 0; k-- {
		switch s := f.steps[k].(type) {
		case *Remark:
			continue
		case *Stitches:
			if s.Into.Choice == EachTo && s.Into.To == ToEnd {
				s.Into.To, s.Into.Left, s.Into.LeftOf, s.Into.LeftSize, s.Into.LeftName = to.To, left, to.LeftOf, to.LeftSize, to.LeftName
				return true
			}
		}
		break
	}
	p.i = from
	return false
}

// inStitch reads "work the cuff in star stitch" and "in double crochet around":
// the stitch in each place.
func (p *parser) inStitch(f *frame, from int) bool {
	if !p.is(cIn) || p.at(1).class != cStitch || !p.items[from].madeOf() {
		return false
	}
	it := p.at(1)
	p.i += 2
	to, left, ok := p.limit()
	if !ok {
		to = Place{To: ToEnd}
	}
	to.Choice, to.Left = EachTo, left
	s := &Stitches{Span: p.span(from), Name: it.id, Into: to, Loop: p.loop}
	p.push(f, s)
	return true
}

func (it item) madeOf() bool { return it.class == cMake || it.class == cAlso }

// loopNote reads "in back loops only," and "working in both loops": it holds
// for the stitches that follow.
func (p *parser) loopNote(f *frame, from int) bool {
	at := p.i
	p.skip(cIn, cThe)
	p.skip(cThe)
	if !p.is(cLoop) {
		p.i = at
		return false
	}
	loop := Loop(p.cur().n)
	p.i++
	p.skip(cAlso)
	p.tail()
	// "BLO sc in each st" is the one stitch's; "in BLO, sc …" the row's.
	if p.is(cStitch) || p.is(cNumber) && p.at(1).class == cStitch {
		p.loop = loop
		return true
	}
	p.loop = loop
	p.remarkFrom(f, from)
	return true
}

func (p *parser) loopNoteOnly() {
	p.loop = Loop(p.cur().n)
	p.i++
}

// makeList reads "in each loop make sc, hdc, 5 dc, hdc and sc": what the verb
// lists goes into the place told before it. A stitch with a place of its own
// ends the list.
func (p *parser) makeList(f *frame, from int, place Place) bool {
	at := p.i
	p.i++
	steps, _ := p.list()
	if len(steps) < 2 {
		p.i = at
		return false
	}
	f.steps = append(f.steps, &Group{Span: p.span(from), Mark: Paren, Steps: steps, Into: &place})
	return true
}

// list reads stitches and chains without places, parted by commas and "and";
// joined reports an "and" before the last one.
func (p *parser) list() (steps []Step, joined bool) {
	for {
		at := p.i
		p.skip(cMake, cAlso)
		n, _ := p.number()
		it := p.cur()
		if it.class != cStitch && it.class != cChain {
			p.i = at
			return steps, joined
		}
		p.i++
		if it.class == cChain && n == nil {
			p.accept(cDash)
			n, _ = p.number()
		}
		if c := p.cur().class; c != cComma && c != cAnd && c != cPeriod && c != cSemi && c != cEnd && c != cStar && c != cClose {
			p.i = at // it has a place of its own
			return steps, joined
		}
		if n == nil {
			n = N(1)
		}
		if it.class == cChain {
			steps = append(steps, &Chain{Span: p.span(at), Many: n})
		} else {
			steps = append(steps, &Stitches{Span: p.span(at), Name: it.id, Into: Place{Choice: Next, Many: n, Unsaid: true}, Loop: p.loop})
		}
		end := p.i
		p.accept(cComma)
		joined = p.accept(cAnd)
		if p.i == end || p.is(cEnd) {
			p.i = end
			return steps, joined
		}
	}
}

// otherSideNow reads "working along opposite side of foundation ch,": the
// stitches that follow in the row go there.
func (p *parser) otherSideNow(f *frame, from int, place Place) bool {
	if place.What != OtherSide {
		return false
	}
	p.other = true
	p.skip(cColon)
	p.remarkFrom(f, from)
	return true
}

// startsIn reads "starting in 2nd ch from hook:": where the first of the
// stitches that follow goes.
func (p *parser) startsIn(f *frame, from int, place Place) bool {
	if place.What != ChainFromHook || !p.is(cComma, cColon) || from == 0 {
		return false
	}
	before := p.items[from-1].word
	if w := p.items[from].word; w == "starting" || w == "beginning" || w == "beg" {
		before = w
	}
	switch before {
	case "starting", "beginning", "beg", "start", "begin", "commencing":
	default:
		return false
	}
	p.start = &place
	return true
}

// startsFrom reads "starting from 2nd ch from hook,".
func (p *parser) startsFrom() bool {
	if p.i == 0 || p.items[p.i-1].class != cAlso {
		return false
	}
	at := p.i
	p.i++
	place, ok := p.placeBody("in")
	if !ok || place.What != ChainFromHook {
		p.i = at
		return false
	}
	p.start = &place
	return true
}

// settled puts stitches where an earlier clause of the row says they go: on the
// other side of the chain, or from the 2nd chain on.
func (p *parser) settled(f *frame, s *Stitches) {
	if p.other && (s.Into.What == AnyStitch || s.Into.What == ChainStitch) && s.Into.Choice != Same {
		s.Into.What, s.Into.Unsaid = OtherSide, false
	}
	if p.start == nil {
		return
	}
	first := &Stitches{Span: s.Span, Name: s.Name, Each: s.Each, Into: *p.start, Loop: s.Loop}
	p.start = nil
	switch {
	case s.Into.Choice == Next && s.Each == nil && (s.Into.What == AnyStitch || s.Into.What == ChainStitch):
		rest := slices.Clone(s.Into.Many)
		for i := range rest {
			rest[i] = max(rest[i]-1, 0)
		}
		s.Into.Many = rest
		f.steps = append(f.steps, first)
		if s.Into.Many.At(0) == 0 {
			*s = Stitches{}
		}
	case s.Into.Choice == EachTo:
		f.steps = append(f.steps, first)
	}
}

// placeList reads "in next st: sc, hdc, dc;": a list worked into one place.
func (p *parser) placeList(f *frame, from int, place Place) bool {
	end := p.i
	commas := 0
	for end < p.stop && p.items[end].class != cSemi && p.items[end].class != cPeriod && p.items[end].class != cClose {
		switch p.items[end].class {
		case cComma:
			commas++
		case cOpen, cStar, cIn:
			return false
		}
		end++
	}
	if commas == 0 {
		return false
	}
	stop := p.stop
	p.i, p.stop = p.i+1, end
	inner := p.sequence(f.depth + 1)
	p.stop = stop
	f.steps = append(f.steps, &Group{Span: p.span(from), Mark: Paren, Steps: inner.steps, Into: &place})
	return true
}

// whereFirst reads "across top of neck make …" and "along the front edge work
// 60 sc": where is a remark, the work follows.
func (p *parser) whereFirst(f *frame, from int) bool {
	for k := 1; k < 10; k++ {
		switch it := p.at(k); it.class {
		case cMake:
			next := p.at(k + 1)
			if next.class == cNumber || next.class == cA || next.class == cStitch || next.class == cSpace || next.class == cOpen {
				p.i += k
				p.remarkFrom(f, from)
				return true
			}
		case cComma, cSemi, cPeriod, cEnd, cOpen, cClose, cStar, cStars:
			return false
		}
	}
	return false
}

// purpose reads "to widen for center of back", "to form a rib".
func (p *parser) purpose(f *frame, from int) bool {
	if !p.is(cTo) {
		return false
	}
	switch next := p.at(1); next.class {
	case cWord, cMake, cJoin, cTurn, cSkip, cAlso, cMarker, cCount:
	case cStitch:
		if next.id != "inc" && next.id != "dec" {
			return false
		}
	default:
		return false
	}
	p.remarkClause(f, from)
	return true
}

// placeFirst reads "in next st, work 3 dc" and "in first ch-1 sp (sc, ch 2,
// sc)".
func (p *parser) placeFirst(f *frame, from int) bool {
	at, prep := p.i, p.cur().word
	place, ok := p.place(true)
	if !ok {
		return false
	}
	if p.otherSideNow(f, from, place) || p.startsIn(f, from, place) {
		return true
	}
	if p.is(cMake) && p.makeList(f, from, place) {
		return true
	}
	p.skip(cMake, cAlso)
	if p.is(cColon) && p.placeList(f, from, place) {
		return true
	}
	p.skip(cComma, cColon, cMake, cAlso)
	switch {
	case p.is(cOpen):
		p.into = &place
		return true
	case p.is(cNumber, cA) && (p.at(1).class == cStitch), p.is(cStitch):
		n, _ := p.number()
		if p.accept(cA) {
			n = N(1)
		}
		name := p.cur()
		p.i++
		p.checkTerms(name, p.i-1)
		s := &Stitches{Span: p.span(from), Name: name.id, Into: place, Loop: p.loop}
		if place.What == ChainStitch && place.Choice == Next && place.Many.At(0) == 1 && n.At(0) > 1 && prep == "on" {
			s.Into = Place{Choice: Next, Many: n, Unsaid: true} // "on the chain make 8 stars"
			p.push(f, s)
			return true
		}
		p.addStitches(f, s, n, place)
		return true
	}
	p.i = at
	return false
}
