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
	which := " next "
	if s.First {
		which = " first "
	}
	p.add(p.skipWord(), which)
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
