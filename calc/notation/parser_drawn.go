package notation

import (
	"slices"
	"strconv"
	"strings"

	"countwright/calc/stitch"
)

// drawn is a stitch told by its movements: "wool over, draw a loop through
// next stitch, over, draw through all the loops".
type drawn struct {
	overs   int   // yarn-overs before the hook first goes in
	places  int   // places that the hook goes into, the same one counted once
	loops   int   // loops drawn up
	pairs   int   // "draw through 2" as often as told
	first   Place // where the hook first goes in
	all     bool  // "draw through all"
	entered bool
	closed  bool // drawn through loops: the stitch is whole
}

// isMovement reports whether a clause that begins here tells a movement of
// hook or yarn rather than a stitch.
func (p *parser) isMovement() bool {
	it, next := p.cur(), p.at(1)
	if it.class == cOpen {
		it, next = next, p.at(2)
	}
	switch it.word {
	case "yo", "yoh", "yrh", "yon":
		return true
	case "over":
		return next.class == cComma || next.class == cTimes || next.class == cAnd || next.word == "draw"
	case "wrap":
		return next.word == "yarn" || next.word == "the"
	case "draw", "pull", "insert", "take", "catch", "pick":
		for k := 1; k < 6; k++ {
			if w := p.at(k); w.class == cSpace || w.class == cHook || w.class == cIn || w.class == cYarn || w.word == "up" {
				return true
			}
		}
		return false
	}
	if it.class == cYarn && next.word == "over" || it.class == cYarn && next.word == "round" || it.class == cYarn && next.word == "around" {
		return true
	}
	return (it.class == cA || it.word == "another") && next.class == cSpace && p.at(2).class == cIn
}

// movements reads a stitch told by its movements.
func (p *parser) movements(f *frame) bool {
	if !p.isMovement() {
		return false
	}
	from := p.i
	end := p.i
	d := &drawn{}
	for p.i < p.stop && p.isMovement() {
		p.movement(d)
		end = p.i
		for p.is(cComma, cSemi, cAnd, cAlso) {
			p.i++
		}
	}
	p.i = end
	s := p.span(from)
	id, ok := d.stitch()
	if !ok {
		f.steps = append(f.steps, &Remark{Span: s, Text: p.source(s)})
		return true
	}
	into := d.first
	if into.Choice == Next && into.Many == nil {
		into = Place{Choice: Next, Many: N(1), Unsaid: true}
	}
	p.assume(s, "these movements are read as "+string(id)+": "+shorten(p.source(s)))
	f.steps = append(f.steps, &Stitches{Span: s, Name: id, Into: into})
	return true
}

// movement reads one clause of movements, a repeated bracket included.
func (p *parser) movement(d *drawn) {
	if p.is(cOpen) {
		before := *d
		p.i++
		for p.i < p.stop && !p.is(cClose) {
			if p.isMovement() {
				p.movement(d)
			} else {
				p.i++
			}
		}
		p.accept(cClose)
		if t, ok := p.times(); ok {
			n := t.N.At(0) - 1
			d.loops += (d.loops - before.loops) * n
			d.pairs += (d.pairs - before.pairs) * n
			d.places += (d.places - before.places) * n
		}
		return
	}
	p.clauseOf(d)
}

// clauseOf reads a movement up to the next comma.
func (p *parser) clauseOf(d *drawn) {
	for p.i < p.stop && !p.is(cComma, cSemi, cPeriod, cClose, cOpen, cStar, cStars) {
		switch it := p.cur(); {
		case p.i > 0 && it.class == cAnd && p.at(1).class == cMake:
			return // "wool over and make a treble": the stitch is named after all
		case it.word == "over" || strings.HasPrefix(it.word, "yo") || it.word == "yrh":
			if !d.entered {
				d.overs++
			}
			p.i++
			if p.is(cPair) && d.overs == 1 {
				d.overs = p.cur().n
			}
			continue
		case it.class == cIn && it.word != "on":
			p.entered(d)
			continue
		case it.word == "all":
			d.all = true
		case it.word == "off":
			d.closed = true
		}
		p.i++
	}
}

// entered reads where the hook goes in, or through how many loops it draws.
func (p *parser) entered(d *drawn) {
	at := p.i
	through := p.cur().word == "through" || p.cur().word == "thru"
	k := p.i + 1
	for k < p.stop && (p.items[k].class == cThe || p.items[k].class == cBetween) {
		k++
	}
	it := p.items[k]
	if through && (it.class == cEach || it.class == cNumber && it.n != 1) {
		if it.class == cEach && it.word != "each" {
			d.all, d.closed = true, true
		} else if it.class == cNumber {
			d.pairs++
			d.closed = true
			if p.i = k + 1; p.is(cSpace, cSt) {
				p.i++
			}
			return
		}
	}
	place, ok := p.place(true)
	if !ok || place.What == TurningChain {
		p.i = max(p.i, at+1)
		return
	}
	if d.all {
		return
	}
	if !d.entered {
		d.first = place
		if place.Choice == Nth || p.lowerRow(at) {
			d.first = Place{Span: place.Span, Choice: Around, What: place.What, Name: place.Name}
		}
		if place.Choice == First || place.Choice == Last {
			d.first = Place{Span: place.Span, Choice: Next, Many: N(1)}
		}
	}
	d.entered = true
	d.loops++
	switch place.Choice {
	case Same:
	case Next:
		d.places += max(1, place.Many.At(0))
	default:
		d.places++
	}
}

// lowerRow reports whether the words just read name a row: "3d stitch of 1st
// row".
func (p *parser) lowerRow(from int) bool {
	return slices.ContainsFunc(p.items[from:p.i], func(it item) bool { return it.class == cRow })
}

// stitch names what the movements make.
func (d *drawn) stitch() (stitch.ID, bool) {
	if !d.entered || !d.closed {
		return "", false
	}
	plain := []stitch.ID{"sc", "dc", "tr", "dtr", "trtr"}
	leg := plain[min(d.overs, len(plain)-1)]
	if d.overs == 1 && d.pairs == 0 && d.all {
		leg = "hdc"
	}
	switch {
	case d.places > 1:
		return stitch.ID(string(leg) + strconv.Itoa(d.places) + "tog"), true
	case d.loops > 1 && leg == "hdc":
		return "puff", true
	case d.loops > 1:
		return stitch.ID(strconv.Itoa(d.loops) + "-" + string(leg) + " cluster"), true
	}
	return leg, true
}
