package notation

import (
	"slices"
	"strings"

	"countwright/calc/stitch"
)

// Idioms of texts in prose, mostly of the older dialect.

// sentenceLeads begin a sentence that explains or allows something and works
// nothing.
var sentenceLeads = wordSet(`or this that these those if when keep bear it they you one note always be commencing-with another thus
	otherwise should do don't remember there for-example`)

// explains reports whether the sentence that begins here only explains: "This
// completes the body.", "Or, one can work back …", "Commence with 3 chain for
// 1st treble" once the row is told.
func (p *parser) explaining(f *frame) bool {
	if f.depth > 0 || len(f.steps) == 0 || !p.afterStop(p.i) {
		return false
	}
	it := p.cur()
	if sentenceLeads[it.word] && !(it.word == "this" && p.at(1).class == cRow) {
		return true
	}
	if it.word == "commence" || it.word == "begin" || it.word == "start" {
		return true
	}
	if it.class == cThe && it.word == "the" || it.class == cWord {
		for k := 1; k < 9; k++ {
			switch p.at(k).word {
			case "is", "are", "was", "will", "should", "must", "may", "completes", "can", "makes", "forms":
				return true
			}
			if c := p.at(k).class; c == cComma || c == cPeriod || c == cEnd {
				break
			}
		}
	}
	return false
}

// sentence takes the words up to the full stop as a remark; "turn" at its end
// is kept.
func (p *parser) sentence(f *frame, from int) {
	for p.i < p.stop && !p.is(cPeriod) {
		if p.cur().word == "have" && p.at(1).class == cNumber {
			p.i++
			if c := p.claimEntries(); c != nil && p.is(cPeriod, cEnd) { // "You should have 24 sts."
				c.Span = p.span(from)
				p.claim = c
				return
			}
		}
		p.i++
	}
	turned := p.i > from+1 && p.items[p.i-1].class == cTurn
	if turned {
		p.i--
	}
	p.remarkFrom(f, from)
	if turned {
		p.i++
		f.steps = append(f.steps, &Turn{p.span(p.i - 1)})
	}
}

// listShell reads "shell of 3 trebles, 2 chain and 3 trebles in next stitch":
// a group in one place, which a later "shell" means too.
func (p *parser) listShell(f *frame, from int, name stitch.ID) bool {
	if p.cur().word != "of" || p.at(1).class != cNumber {
		return false
	}
	at := p.i
	p.i++
	var steps []Step
	for p.is(cNumber) && (p.at(1).class == cStitch || p.at(1).class == cChain) {
		k := p.i
		n, _ := p.number()
		it := p.cur()
		p.i++
		if it.class == cChain {
			steps = append(steps, &Chain{Span: p.span(k), Many: n})
		} else {
			steps = append(steps, &Stitches{Span: p.span(k), Name: it.id, Into: Place{Choice: Next, Many: n, Unsaid: true}})
		}
		if !p.is(cComma, cAnd) || !(p.at(1).class == cNumber || p.at(1).class == cAnd) {
			break
		}
		p.skip(cComma, cAnd)
	}
	if len(steps) < 2 {
		p.i = at
		return false
	}
	p.shells[name] = steps
	delete(p.sized, name)
	p.shellGroup(f, from, steps)
	return true
}

// shellGroup adds a group for a shell that the text has spelt out.
func (p *parser) shellGroup(f *frame, from int, steps []Step) {
	g := &Group{Mark: Paren, Steps: cloneSteps(steps)}
	p.asBefore()
	if place, ok := p.place(false); ok {
		g.Into = &place
	} else {
		g.Into = &Place{Choice: Next, Many: N(1), Unsaid: true}
	}
	g.Span = p.span(from)
	f.steps = append(f.steps, g)
}

// asBefore moves past "as before" and "as usual".
func (p *parser) asBefore() {
	if p.is(cAs) && (p.at(1).word == "before" || p.at(1).word == "usual" || p.at(1).word == "directed" || p.at(1).word == "above") {
		p.i += 2
	}
}

// handling reads "taking front loop of stitch", "working in back vein of
// stitch": the loop of the stitches just told, or of those to come.
func (p *parser) handling(f *frame, from int) bool {
	k := p.i
	p.skip(cMake, cAlso, cThe)
	p.word("taking", "catching", "using", "always", "inserting", "picking", "through")
	p.word("up")
	p.skip(cMake, cAlso, cIn, cThe, cHook)
	p.skip(cIn, cThe)
	if p.i == k || !p.is(cLoop) {
		p.i = k
		return false
	}
	loop := Loop(p.cur().n)
	p.i++
	p.skip(cAlso)
	p.tail()
	told := p.items[k].word == "taking" || p.items[k].word == "catching" || p.items[k].word == "inserting"
	last, ok := lastStep[*Stitches](f)
	switch {
	case told && ok:
		last.Loop = loop
	case p.stitchAhead() || f.depth > 0:
		p.loop = loop
	default:
		setLoop(f.steps, loop)
	}
	p.clauseEnd()
	p.remarkFrom(f, from)
	return true
}

// stitchAhead reports whether stitches follow in the row.
func (p *parser) stitchAhead() bool {
	for k := p.i; k < min(p.stop, p.i+200); k++ {
		switch p.items[k].class {
		case cStitch:
			return true
		case cRepeat, cPeriod:
			return false
		}
	}
	return false
}

func setLoop(steps []Step, loop Loop) {
	for _, s := range steps {
		switch s := s.(type) {
		case *Stitches:
			s.Loop = loop
		case *Group:
			setLoop(s.Steps, loop)
		}
	}
}

// insertInto reads "inserting the hook under the treble of 3d row": where the
// stitch just told goes, which may be a row below.
func (p *parser) insertInto(f *frame, from int) bool {
	if w := p.cur().word; w != "inserting" && w != "putting" {
		return false
	}
	s, ok := lastStep[*Stitches](f)
	k := p.i
	p.i++
	p.skip(cThe)
	if !ok || !p.accept(cHook) {
		p.i = k
		return false
	}
	place, found := p.place(true)
	if !found {
		p.i = k
		return false
	}
	if p.lowerRow(k) || place.Choice == Nth {
		place = Place{Span: place.Span, Choice: Around, What: place.What, Name: place.Name}
	}
	s.Into = place
	s.To = p.items[p.i-1].to.pos()
	_ = from
	return true
}

// described reads "make star-stitches along the rib, thus: …": the stitch in
// each place; how it is made is a remark.
func (p *parser) described(f *frame, from int) bool {
	if !p.is(cStitch) {
		return false
	}
	for k := 1; k < 10; k++ {
		it := p.at(k)
		switch {
		case it.class == cColon && (p.at(k-1).word == "thus" || p.at(k-1).word == "follows"):
			id := p.cur().id
			start := p.i
			p.i += k
			s := &Stitches{Span: p.span(start), Name: id, Into: Place{Choice: EachTo, To: ToEnd}}
			p.push(f, s)
			p.i++
			p.sentence(f, p.i)
			return true
		case it.class == cPeriod || it.class == cSemi || it.class == cEnd || it.class == cStar || it.class == cColon:
			return false
		}
	}
	_ = from
	return false
}

// required reads "the required number of stars": the stitch in each place.
func (p *parser) required(f *frame, from int) bool {
	w := p.cur().word
	if w != "required" && w != "necessary" && w != "desired" && w != "same" && w != "usual" {
		return false
	}
	if p.at(1).word != "number" || p.at(3).class != cStitch {
		return false
	}
	id := p.at(3).id
	p.i += 4
	s := &Stitches{Span: p.span(from), Name: id, Into: Place{Choice: EachTo, To: ToEnd}}
	p.assume(s.Span, "a number that is not told is read as: one in each stitch")
	p.push(f, s)
	return true
}

// spaces reads "spaces of trebles, separated by 2 chain": the stitch and the
// chains in turn.
func (p *parser) spacesOf(f *frame, from int) bool {
	if !p.is(cSpace) || p.at(1).word != "of" || p.at(2).class != cStitch {
		return false
	}
	s := &Stitches{Name: p.at(2).id, Into: Place{Choice: Next, Many: N(1), Unsaid: true}}
	p.i += 3
	s.Span = p.span(from)
	c := &Chain{Many: N(1)}
	p.accept(cComma)
	if p.word("separated") {
		p.word("by")
		p.skip(cThe)
		if p.is(cNumber) && p.at(1).class == cChain {
			c.Many, _ = p.number()
			p.i++
		}
	}
	c.Span = p.span(p.i - 1)
	g := &Group{Span: p.span(from), Mark: Star, Steps: []Step{s, c}, Times: Times{To: ToEnd}}
	p.assume(g.Span, "spaces are read as: a stitch and "+numberText(c.Many)+" chain in turn, to the end")
	f.steps = append(f.steps, g)
	return true
}

// cornerNote reads "with 4 trebles in eye of star at corners": what corners
// have besides is told, and not worked.
func (p *parser) cornerNote(f *frame) bool {
	if !p.is(cWith) || p.at(1).class != cNumber {
		return false
	}
	return p.cornersTold(f)
}

// cornersTold reads a clause, if it is about corners, as a remark.
func (p *parser) cornersTold(f *frame) bool {
	from := p.i
	p.clauseEnd()
	if !slices.ContainsFunc(p.items[from:p.i], func(it item) bool { return it.class == cCorner }) {
		p.i = from
		return false
	}
	s := p.span(from)
	p.assume(s, "told of the corners and not worked: "+p.source(s))
	p.remarkFrom(f, from)
	return true
}

// cornersToo reads "working 3 sc in each corner" behind stitches all around:
// what corners have besides is told, and not worked.
func (p *parser) cornersToo(f *frame) bool {
	s, ok := lastStep[*Stitches](f)
	if !ok || !p.is(cMake) || s.Into.Choice != EachTo || s.Into.To != ToEnd || p.cur().word != "working" && p.cur().word != "making" && p.cur().word != "placing" {
		return false
	}
	return p.cornersTold(f)
}

// starInStar makes "make star in star", where it is all that a row says, one
// in each.
func (p *parser) starInStar(row *Row) {
	if len(row.Label.From) == 0 {
		return
	}
	var only *Stitches
	for _, s := range row.Steps {
		switch s := s.(type) {
		case *Stitches:
			if only != nil {
				return
			}
			only = s
		case *Remark, *Turn, *Join, *FastenOff:
		default:
			return
		}
	}
	if only == nil || only.Into.Choice != Next || only.Into.What != NamedStitch || only.Into.Many.At(0) != 1 || only.Into.Unsaid {
		return
	}
	if text := strings.ToLower(p.source(only.Span)); strings.Contains(text, "next") {
		return
	}
	only.Into.Choice, only.Into.To, only.Into.Many = EachTo, ToEnd, nil
	p.assume(only.Span, "a row of one stitch in one stitch is read as: in each, to the end")
}
