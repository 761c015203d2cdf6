package notation

import (
	"countwright/calc/measure"
)

// againTimes reads how often: "six times", "2 more times", "once more".
func (p *parser) againTimes(a *Again) bool {
	from := p.i
	if p.is(cA) && p.at(1).class == cTotal {
		p.i += 2
		p.skip(cThe)
	}
	total := p.i > from
	if p.word("for") {
		p.skip(cA, cTotal, cThe, cNext)
		if n, ok := p.number(); ok {
			p.accept(cMore)
			if p.rowWord() {
				p.rowsMade(a, n)
				return true
			}
		}
		p.i = from
		return false
	}
	times, ok := p.countTimes()
	if !ok {
		p.i = from
		return false
	}
	a.Times = times.N
	a.More = !total && p.items[p.i-1].class != cTotal
	return true
}

// rowsMade sets how often a list is worked from the number of rows it makes.
func (p *parser) rowsMade(a *Again, n Number) {
	rows := max(len(a.Like), a.Back, 1)
	times := make(Number, len(n))
	for i := range n {
		times[i] = n[i] / rows
		if n[i]%rows != 0 {
			s := p.span(p.i - 1)
			p.assume(s, numberText(n)+" rows are no whole number of repeats; the last one is left out")
		}
	}
	a.Times, a.More = times, true
}

// againUntil reads "until piece measures 20 cm (8 in)", "to Row 20", "until
// there are 12 rows".
func (p *parser) againUntil(a *Again) bool {
	from := p.i
	if p.cur().word == "for" {
		p.i++
		if p.untilDistance(a) {
			return true
		}
		p.i = from
		return false
	}
	if !p.is(cTo) && p.cur().word != "through" {
		return false
	}
	p.i++
	if p.rowWord() && p.is(cNumber) {
		n, _ := p.number()
		if a.Label.From == nil && p.lastRow > 0 {
			a.Label = Label{Kind: p.kindOf, From: N(p.lastRow + 1), To: n}
		}
		p.skip(cAlso)
		p.word("is", "are")
		p.word("complete", "completed", "done", "worked")
		return true
	}
	for p.i < p.stop && !p.is(cPeriod, cSemi) {
		if p.untilDistance(a) {
			return true
		}
		if n, more, ok := p.rowCount(); ok {
			p.toSeparator()
			if more {
				p.rowsMade(a, n)
				return true
			}
			if a.Label.From.Said() {
				return true // the label has the rows already
			}
			p.assume(p.span(from), "read as: until the piece has "+numberText(n)+" rows in all")
			a.Label = Label{Kind: p.kindOf, From: N(p.lastRow + 1), To: n}
			if n.At(0) <= p.lastRow {
				a.Label = Label{}
				p.rowsMade(a, n)
			}
			return true
		}
		p.i++
	}
	return true // "until desired length"
}

// rowCount reads a number of rows: "28 (32, 36) rows", "4 more rows".
func (p *parser) rowCount() (n Number, more, ok bool) {
	at := p.i
	n, ok = p.number()
	more = ok && p.accept(cMore)
	if !ok || !p.rowWord() {
		p.i = at
		return nil, false, false
	}
	return n, more, true
}

// untilDistance reads "20 cm (8 in)" and "12 (12, 13) in from underarm".
func (p *parser) untilDistance(a *Again) bool {
	if !p.is(cNumber) {
		return false
	}
	at := p.i
	values := []float64{p.cur().real}
	if _, end := p.bracketed(p.i + 1); p.at(1).class == cOpen && end > p.i+1 {
		for _, it := range p.items[p.i+2 : end] {
			if it.class == cNumber {
				values = append(values, it.real)
			}
		}
		p.i = end - 1 // the unit follows
	}
	unit, ok := p.distance()
	if !ok {
		p.i = at
		return false
	}
	a.Until = Distance(values[0]) * unit
	for _, v := range values {
		if len(values) > 1 {
			a.Untils = append(a.Untils, Distance(v)*unit)
		}
	}
	p.toSeparator()
	p.measureBracket()
	return true
}

// measureBracket moves past the same length in the other unit: "(8 in)".
func (p *parser) measureBracket() {
	if p.is(cOpen) && (p.at(1).class == cNumber) {
		for p.i < p.stop && !p.accept(cClose) {
			p.i++
		}
	}
}

// distance reads the unit behind a length ("20 cm", "8½ in", "22 inches") and
// returns its size; the number, or the bracket of a size string, stands here.
func (p *parser) distance() (Distance, bool) {
	unit := p.at(1)
	var length measure.Length
	switch unit.word {
	case "cm", "cms", "centimetres", "centimeters":
		length = measure.Centimetre
	case "mm":
		length = measure.Millimetre
	case "in", "inch", "inches", "ins", `"`, "”", "″":
		length = measure.Inch
	case "m", "metres", "meters":
		length = measure.Metre
	case "yd", "yds", "yard", "yards":
		length = measure.Yard
	case "ft", "feet":
		length = measure.Foot
	default:
		return 0, false
	}
	p.i += 2
	return Distance(length.MM()), true
}
