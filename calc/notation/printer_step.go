package notation

import (
	"strconv"
	"strings"

	"countwright/calc/stitch"
)

func (p *printer) steps(steps []Step) {
	for i, s := range steps {
		if i > 0 {
			p.add(", ")
		}
		p.step(s)
	}
}

func (p *printer) step(s Step) {
	switch s := s.(type) {
	case *Stitches:
		p.stitches(s)
	case *Chain:
		p.chain(s)
	case *Skip:
		p.skip(s)
	case *Group:
		p.group(s)
	case *Ring:
		p.ring(s)
	case *Join:
		p.join(s)
	case *Turn:
		p.add("turn")
	case *FastenOff:
		p.add("fasten off")
	case *Attach:
		p.attach(s)
	case *Leave:
		p.leave(s)
	case *Mark:
		p.add(s.Text)
	case *Remark:
		p.add(s.Text)
	case *Unread:
		p.add(s.Text)
	}
}

func (p *printer) stitches(s *Stitches) {
	kind := stitch.Basic
	if d, ok := stitch.Lookup(s.Name); ok {
		kind = d.Kind
	}
	count := s.Each
	if s.Into.Unsaid && !count.Said() {
		count = s.Into.Many
	}
	many := count.Said() && !count.equal(N(1))
	if many {
		p.add(numberText(count), " ")
	}
	p.add(p.name(s.Name, many))
	if s.Into.Choice == Spread && s.Of != "" && s.Name != "inc" && s.Name != "dec" {
		inner := p.b.String()
		p.b.Reset()
		p.add(strings.TrimSuffix(inner, p.name(s.Name, many)), p.name(s.Of, false), " in each ", p.short("st", "stitch"), " ", p.toEnd(), ", ", p.name(s.Name, many))
	}
	if s.Into.Choice == Spread {
		p.add(" ", numberText(s.Into.Many), " times evenly ", p.toEnd())
		return
	}
	if s.Loop != BothLoops {
		p.add(" in ", p.loop(s.Loop))
	}
	if s.Into.Unsaid {
		return
	}
	if kind == stitch.Together {
		p.together(s)
		return
	}
	prep := "in"
	switch {
	case s.Loop != BothLoops && s.Into.Choice != Between && s.Into.Choice != Around:
		prep = "of"
	case kind == stitch.Post:
		prep = "around"
	case s.Into.Over:
		prep = "over"
	}
	p.add(" ")
	p.place(s.Into, prep, s.Each.Said() && !s.Each.equal(N(1)))
}

// together writes the place of a decrease, told in the stitches it uses.
func (p *printer) together(s *Stitches) {
	d, _ := stitch.Lookup(s.Name)
	into := s.Into
	if (into.Choice == Next || into.Choice == First || into.Choice == Last) && d.Consumes > 1 {
		made := into.Many
		if !made.Said() {
			made = N(1)
		}
		used := make(Number, len(made))
		for i := range made {
			used[i] = made[i] * d.Consumes
		}
		into.Many = used
		p.add(" ")
		p.place(into, "over", false)
		return
	}
	p.add(" ")
	if into.Choice == EachTo && into.What == AnyStitch && into.Every == 0 && !into.Spaces {
		p.add("over each ", strconv.Itoa(max(2, d.Consumes)), " ", p.short("sts", "stitches"), " ")
		p.limit(into)
		return
	}
	p.place(into, "in", false)
}

func (p *printer) loop(l Loop) string {
	switch l {
	case BackLoop:
		return p.short("BLO", "back loop only")
	case FrontLoop:
		return p.short("FLO", "front loop only")
	}
	return "third loop"
}

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
			p.add(prep, " ", ordinal(l.Many.At(0)), " ", p.target(l, false))
		}
	case Around:
		p.add(prep, " ", p.target(l, false))
	case Between:
		p.add("between next 2 ", p.short("sts", "stitches"))
	default:
		p.ordered(l, prep, "next", each)
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
	p.add(p.target(l, many))
}

// everyPlace writes "in each st across to last 2 sts".
func (p *printer) everyPlace(l Place, prep string) {
	p.add(prep, " ")
	switch {
	case l.Every == 2:
		p.add("every other ")
	case l.Every > 2:
		p.add("every ", ordinal(l.Every), " ")
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

// ordinal writes "2nd", "3rd", "11th".
func ordinal(n int) string {
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

func (p *printer) chain(c *Chain) {
	p.add(p.short("ch", "chain"))
	if c.Many.Said() {
		p.add(" ", numberText(c.Many))
	} else {
		p.add(" desired length")
	}
	switch {
	case c.Counts == CountsAsNone:
		p.add(" (does not count as ", p.short("st", "stitch"), ")")
	case c.Counts == CountsAsStitch && c.As == "":
		p.add(" (counts as ", p.short("st", "stitch"), ")")
	case c.Counts == CountsAsStitch:
		p.add(" (counts as ", p.name(c.As, false))
		if c.Plus > 0 {
			p.add(" + ", p.short("ch", "chain"), " ", strconv.Itoa(c.Plus))
		}
		p.add(")")
	}
}

func (p *printer) skipWord() string {
	if p.opt.Terms == UK || p.opt.Terms == Older {
		return "miss"
	}
	return p.short("sk", "skip")
}

func (p *printer) skip(s *Skip) {
	many := !s.Many.equal(N(1))
	p.add(p.skipWord(), " next ")
	if many {
		p.add(numberText(s.Many), " ")
	}
	p.add(p.target(Place{What: s.What, Name: s.Name, Size: s.Size}, many))
}

func (p *printer) group(g *Group) {
	if g.Mark == Star && p.deep == 0 && g.Into == nil && g.Times.said() {
		p.starGroup(g)
		return
	}
	open, shut := "(", ")"
	if g.Mark != Paren {
		open, shut = "[", "]"
	}
	p.add(open)
	p.deep++
	p.steps(g.Steps)
	p.deep--
	p.add(shut)
	if g.Into != nil && !g.Into.Unsaid {
		p.add(" ")
		p.place(*g.Into, "in", true)
	}
	if g.Times.said() {
		p.add(" ")
		p.count(g.Times, false)
	}
}

func (p *printer) starGroup(g *Group) {
	p.add("*")
	p.deep++
	if k := g.Partial; k > 0 && k < len(g.Steps) {
		p.steps(g.Steps[:k])
		p.add("**, ")
		p.steps(g.Steps[k:])
	} else {
		p.steps(g.Steps)
	}
	p.deep--
	p.add("; ", p.short("rep", "repeat"), " from * ")
	p.count(g.Times, true)
	if g.Partial > 0 && g.Partial < len(g.Steps) {
		p.add(", ending last ", p.short("rep", "repeat"), " at **")
	}
}

// count writes how often: "6 times", "2 more times", "around", "to last 2 sts".
// Behind a repeat "6 times" would be six more, so the whole number is told as
// "in all".
func (p *printer) count(t Times, behindRepeat bool) {
	switch {
	case t.N.Said() && t.More:
		p.add(numberText(t.N), " more ", plain("time", !t.N.equal(N(1))))
	case t.N.Said() && !behindRepeat && p.opt.Style.Times == "x" && len(t.N) == 1:
		p.add("x ", numberText(t.N))
	case t.N.Said():
		p.add(numberText(t.N), " ", plain("time", !t.N.equal(N(1))))
		if behindRepeat {
			p.add(" in all")
		}
	default:
		p.limit(Place{To: t.To, Left: t.Left, LeftOf: AnyStitch})
	}
}

func (p *printer) ring(r *Ring) {
	if !r.Chains.Said() {
		p.add("magic ring")
		return
	}
	p.add(p.short("ch", "chain"), " ", numberText(r.Chains), ", join with ", p.name("sl st", false), " to form a ring")
}

func (p *printer) join(j *Join) {
	p.add("join")
	if !j.Unsaid {
		p.add(" with ", p.name("sl st", false))
	}
	if j.Into.What == AnyStitch && j.Unsaid && j.Into.Choice == First {
		return
	}
	p.add(" ")
	if j.Into.What == TurningChain {
		p.add("in ", p.target(j.Into, false))
		return
	}
	p.place(j.Into, "in", false)
}

func (p *printer) attach(a *Attach) {
	if a.Skip.Said() {
		p.skip(&Skip{Many: a.Skip})
		p.add(", ")
	}
	if a.Colour != "" {
		p.add("join ", a.Colour)
	} else {
		p.add("rejoin yarn")
	}
	if a.Into.Many.Said() || a.Into.Choice != Next || a.Into.What != AnyStitch {
		p.add(" ")
		p.place(a.Into, "in", false)
	}
}

func (p *printer) leave(l *Leave) {
	if !l.Many.Said() {
		p.add("leave rem ", p.short("sts", "stitches"), " unworked")
		return
	}
	many := !l.Many.equal(N(1))
	p.add("leave last ")
	if many {
		p.add(numberText(l.Many), " ")
	}
	p.add(plain(p.short("st", "stitch"), many), " unworked")
}
