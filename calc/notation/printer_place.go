package notation

import (
	"strconv"
)

func (p *printer) toEnd() string {
	if p.kind == Round {
		return "around"
	}
	return "across"
}

// place writes where stitches go; each asks for "in each of next 3 sts".
func (p *printer) place(l Place, prep string, each bool) {
	switch l.Choice {
	case EachTo:
		p.everyPlace(l, prep)
		return
	case Same:
		p.add(prep, " same ", p.target(l, false))
	case First:
		p.ordered(l, prep, "first", each)
	case Last:
		if l.What == TurningChain {
			p.add(prep, " ", p.target(l, false))
			return
		}
		p.ordered(l, prep, "last", each)
	case Nth:
		switch l.What {
		case MarkedStitch:
			p.add(prep, " ", p.target(l, false))
		default:
			p.add(prep, " ", Ordinal(l.Many.At(0)), " ", p.target(l, false))
			p.passed(l)
		}
	case Around:
		p.add(prep, " ", p.target(l, false))
	case Between:
		p.add("between next 2 ", p.short("sts", "stitches"))
	default:
		p.ordered(l, prep, "next", each)
	}
}

// passed writes whether the chains passed over count.
func (p *printer) passed(l Place) {
	switch {
	case l.Passed == CountsAsNone:
		p.add(" (skipped chs do not count as ", p.short("st", "stitch"), ")")
	case l.Passed == CountsAsStitch && l.PassedAs == "":
		p.add(" (skipped chs count as ", p.short("st", "stitch"), ")")
	case l.Passed == CountsAsStitch:
		p.add(" (skipped chs count as ", p.name(l.PassedAs, false), ")")
	}
}

// ordered writes "in next st", "in each of next 3 sts", "in first 2 sts".
func (p *printer) ordered(l Place, prep, which string, each bool) {
	many := l.Many.Said() && !l.Many.equal(N(1))
	p.add(prep, " ")
	if each && many {
		p.add("each of ")
	}
	p.add(which, " ")
	if many {
		p.add(numberText(l.Many), " ")
	}
	if l.What == OtherSide {
		p.add(p.target(Place{What: ChainStitch}, many), " on other side of foundation ch")
		return
	}
	p.add(p.target(l, many))
}

// everyPlace writes "in each st across to last 2 sts".
func (p *printer) everyPlace(l Place, prep string) {
	p.add(prep, " ")
	switch {
	case l.Every == 2:
		p.add("every other ")
	case l.Every > 2:
		p.add("every ", Ordinal(l.Every), " ")
	default:
		p.add("each ")
	}
	if l.What == OtherSide {
		p.add("ch across other side of foundation ch")
		return
	}
	p.add(p.target(l, false))
	if l.Spaces {
		p.add(" and ch sp")
	}
	p.add(" ")
	p.limit(l)
}

// limit writes how far: "across", "to last 2 sts", "to next ch-2 sp".
func (p *printer) limit(l Place) {
	switch l.To {
	case ToLast:
		many := !l.Left.equal(N(1))
		p.add("to last ")
		if many {
			p.add(numberText(l.Left), " ")
		}
		p.add(p.target(Place{What: l.LeftOf, Size: l.LeftSize, Name: l.LeftName}, many))
	case ToSpace:
		p.add("to next ", p.target(Place{What: l.LeftOf, Size: l.LeftSize, Name: l.LeftName}, false))
	case ToMark:
		p.add("to ")
		if l.Left.Said() {
			p.add(numberText(l.Left), " ", p.target(Place{}, !l.Left.equal(N(1))), " before ")
		}
		p.add("next marker")
	default:
		p.add(p.toEnd())
	}
}

// target writes the thing worked into.
func (p *printer) target(l Place, many bool) string {
	corner := ""
	if l.Corner {
		corner = "corner "
	}
	switch l.What {
	case NamedStitch:
		return corner + p.name(l.Name, many)
	case ChainStitch:
		return corner + plain(p.short("ch", "chain"), many)
	case ChainSpace:
		size := ""
		if l.Size > 0 {
			size = "-" + strconv.Itoa(l.Size)
		}
		return corner + "ch" + size + " " + plain(p.short("sp", "space"), many)
	case Space:
		return corner + plain(p.short("sp", "space"), many)
	case RowEnd:
		return plain("row end", many)
	case OtherSide:
		return "other side of foundation ch"
	case RingCentre:
		return "ring"
	case TurningChain:
		return "top of turning ch"
	case ChainFromHook:
		return p.short("ch", "chain") + " from hook"
	case SpaceBetween:
		return "sp between sts"
	case MarkedStitch:
		return "marked " + p.short("st", "stitch")
	case SkippedStitch:
		return "skipped " + plain(p.short("st", "stitch"), many)
	}
	return corner + plain(p.short("st", "stitch"), many)
}

// Ordinal writes a place in a row: "2nd", "3rd", "11th".
func Ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}
