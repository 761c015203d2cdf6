package notation

import (
	"slices"
	"strconv"
	"strings"

	"countwright/calc/stitch"
)

// stitches reads one kind of stitch with its place: "sc in next 3 sts",
// "hdc2tog over next 2 sts", "sc 5", "dc around".
func (p *parser) stitches(f *frame, from int, n Number) {
	it := p.cur()
	p.checkTerms(it, p.i)
	p.i++
	name := it.id
	s := &Stitches{Name: name, Loop: p.loop}
	p.accept(cSt)
	p.stitchNumber(&n, name)
	if p.isShaping(s.Name) && p.cur().word == "evenly" {
		s.Into = Place{Choice: Next, Many: n}
		p.i++
		p.evenly(s)
		s.Span = p.span(from)
		p.spread(f, s)
		return
	}
	if p.isShaping(name) && n.At(0) <= 1 && p.eachEnd(f, s, from) {
		return
	}
	p.inlineLoop(s)
	if p.listShell(f, from, name) {
		return
	}
	if p.shellOf(s) {
		p.sized[name] = s.Name
		delete(p.shells, name)
		name = s.Name
	} else if steps, ok := p.shells[name]; ok && n.At(0) <= 1 {
		p.shellGroup(f, from, steps)
		return
	} else if id, ok := p.sized[name]; ok {
		s.Name, name = id, id
	}
	p.asBefore()
	if p.isSlip(name) && p.slipJoin(f, from) {
		return
	}
	at := p.i
	place, ok := p.place(false)
	if !ok {
		p.i = at
		place, ok = p.bracketPlace()
	}
	if ok && p.is(cTogether) && place.Choice == Next {
		p.i++ // "sc next 2 sts together"
		s.Name = p.tie(name, max(2, place.Many.At(0)))
		place.Many = N(1)
	}
	p.inlineLoop(s)
	s.Span = p.span(from)
	if !ok {
		s.Into = Place{Choice: Next, Many: n, Unsaid: true}
		if n == nil {
			s.Into.Many = N(1)
		}
		p.evenly(s)
		p.push(f, s)
		return
	}
	if n.At(0) > 1 && p.alongOnly(place) {
		s.Into = Place{Choice: Next, Many: n, Unsaid: true} // "21 stars down the front"
		if place.What == RowEnd || place.What == OtherSide {
			s.Into = Place{Choice: Next, Many: n, What: place.What} // "5 sc along side of heel"
		}
		p.push(f, s)
		return
	}
	if place.Choice == EachTo && place.To == ToEnd && p.limitOnly(place) && p.isShaping(s.Name) && p.sequenceBefore(f) {
		s.Into = Place{Choice: Next, Many: N(1), Unsaid: true} // "sc 3, inc around"
		p.push(f, s)
		p.wrapUnmarked(f, from, Times{To: ToEnd})
		return
	}
	p.addStitches(f, s, n, place)
	if p.aroundAfter(f, s, from) {
		return
	}
	p.morePlaces(f, s, from)
}

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
// stitch of the row between.
func (p *parser) eachEnd(f *frame, s *Stitches, from int) bool {
	at := p.i
	p.skip(cIn)
	if !p.accept(cEach) || !(p.is(cFinish) || p.cur().word == "side" || p.cur().word == "sides" || p.cur().word == "edge") {
		p.i = at
		return false
	}
	p.i++
	p.skip(cThe)
	p.rowTail()
	span := p.span(from)
	base := p.base
	if base == "" {
		base = "sc"
	}
	left := max(1, p.look(s.Name).consumes)
	first, last := *s, *s
	first.Span, last.Span = span, span
	first.Into, last.Into = Place{Choice: First}, Place{Choice: Last}
	plain := &Stitches{Span: span, Name: base, Into: Place{Choice: EachTo, To: ToLast, Left: N(left)}}
	p.assume(span, "read as: at the first and the last stitch, "+string(base)+" in each stitch between")
	p.push(f, &first)
	f.steps = append(f.steps, plain, &last)
	return true
}

// bracketPlace reads a place in brackets of its own: "dc (in next st)".
func (p *parser) bracketPlace() (Place, bool) {
	if !p.is(cOpen) || p.at(1).class != cIn {
		return Place{}, false
	}
	from := p.i
	p.i++
	place, ok := p.place(true)
	if !ok || !p.accept(cClose) {
		p.i = from
		return Place{}, false
	}
	return place, true
}

// stitchNumber reads a number behind the stitch: "sc 5", "dec twice", "sc x 3",
// "inc 6 times".
func (p *parser) stitchNumber(n *Number, name stitch.ID) {
	from := p.i
	if p.is(cStar) {
		return // "*sc, inc* 6 times": the star's own
	}
	if times, ok := p.countTimes(); ok && !times.More {
		*n = times.N
		return
	}
	p.i = from
	if p.is(cNumber) && p.at(1).class != cTogether {
		many, _ := p.number()
		if p.is(cRow) {
			p.i = from
			return
		}
		if p.is(cSt) { // "dec 2 sts", "sc 5 sts"
			p.i++
		}
		if *n == nil {
			*n = many
			return
		}
		p.i = from
	}
	if p.is(cA) && p.at(1).class == cSt && (name == "inc" || name == "dec") {
		p.i += 2
	}
}

// inlineLoop reads "BLO", "in back loop of" behind the stitch's name.
func (p *parser) inlineLoop(s *Stitches) {
	from := p.i
	p.skip(cIn, cThe)
	if p.is(cLoop) {
		s.Loop = Loop(p.cur().n)
		p.i++
		p.skip(cAlso)
		if p.is(cThe) && !p.is(cIn) {
			// "in back loop of next st": the place follows without "in"
			p.i++
		}
		return
	}
	p.i = from
}

// shellOf reads "shell of 6 trebles", "cluster of 3 dc".
func (p *parser) shellOf(s *Stitches) bool {
	if p.cur().word != "of" || p.at(1).class != cNumber {
		return false
	}
	if e, ok := derived(entry{}, "ch-"+strconv.Itoa(p.at(1).n)+" "+string(s.Name)); ok && p.at(2).class == cChain {
		s.Name = e.id // "picot of 4 chain"
		p.i += 3
		return true
	}
	if p.at(2).class != cStitch {
		return false
	}
	if p.at(3).class == cComma && p.at(4).class == cNumber || p.at(3).class == cAnd && p.at(4).class == cNumber {
		return false // "shell of 3 trebles, 2 chain and 3 trebles"
	}
	id := stitch.ID(strconv.Itoa(p.at(1).n) + "-" + string(p.at(2).id) + " " + string(s.Name))
	if _, ok := stitch.Lookup(id); !ok {
		return false
	}
	s.Name = id
	p.i += 3
	return true
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
	f.steps = append(f.steps, s)
}

// morePlaces reads further places of the same stitch: "in 2nd ch from hook and
// in each ch across", "in next 3 sts and in last st".
func (p *parser) morePlaces(f *frame, s *Stitches, from int) {
	for range 8 {
		at := p.i
		comma := p.accept(cComma)
		and := p.accept(cAnd)
		if and && p.is(cChain) {
			if place, ok := p.target(); ok && place.What == ChainSpace { // "in next dc and ch-1 sp"
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

// isSlip reports whether the stitch is a slip stitch.
func (p *parser) isSlip(name stitch.ID) bool { return name == "sl st" }

// checkTerms points at a word of another dialect than the one asked for, or
// says that one was mixed in.
func (p *parser) checkTerms(it *item, at int) {
	if it.foreign == TermsUnsaid || it.foreign == p.terms {
		return
	}
	s := it.span()
	words := p.source(s)
	if p.assumed[it.word] {
		return // told once
	}
	p.assumed[it.word] = true
	err := &DialectError{Word: words, Has: p.dialects(it), Tried: p.terms}
	near := ""
	if d, ok := stitch.Lookup(it.id); ok {
		near = strings.ToLower(d.In(stitch.Dialect(p.terms)).Short())
	}
	p.problem(s, words, err.Error(), near)
}

// dialects lists the terms in which a word means the stitch.
func (p *parser) dialects(it *item) []Terms {
	var has []Terms
	for _, t := range []Terms{US, UK, Older} {
		if slices.Contains(stitch.Named(it.word, stitch.Dialect(t)), it.id) {
			has = append(has, t)
		}
	}
	if len(has) == 0 {
		has = []Terms{it.foreign}
	}
	return has
}
