package notation

import (
	"fmt"
	"strings"

	"countwright/calc/stitch"
)

// printer writes the steps of one row.
type printer struct {
	opt    PrintOptions
	around bool // a round: "around" where a row says "across"
}

func (p printer) uk() bool { return p.opt.Terms == UK }

func (p printer) skip() string {
	if p.uk() {
		return "miss"
	}
	return "sk"
}

func (p printer) toEnd() string {
	if p.around {
		return "around"
	}
	return "across"
}

// sizes names the sizes that work a row, where not all do.
func (p printer) sizes(list []int) string {
	if list == nil {
		return ""
	}
	names := make([]string, 0, len(list))
	for _, i := range list {
		if i < len(p.opt.Sizes) {
			names = append(names, p.opt.Sizes[i])
		} else {
			names = append(names, fmt.Sprint(i+1))
		}
	}
	word := "Sizes "
	if len(names) == 1 {
		word = "Size "
	}
	text := names[len(names)-1]
	if len(names) > 1 {
		text = strings.Join(names[:len(names)-1], ", ") + " and " + text
	}
	return word + text + " only: "
}

func (p printer) claim(c *Claim) string {
	if c == nil || len(c.Entries) == 0 {
		return ""
	}
	var entries []string
	for _, e := range c.Entries {
		what := e.What
		if _, known := stitch.Lookup(stitch.ID(what)); known && what != "st" {
			what = Word(stitch.ID(what), p.opt.Terms)
		} else {
			what = several(what, e.Count)
		}
		entries = append(entries, printNumber(e.Count)+" "+what)
	}
	return " (" + strings.Join(entries, ", ") + ")"
}

func (p printer) steps(steps []Step) string {
	texts := make([]string, 0, len(steps))
	for _, s := range steps {
		texts = append(texts, p.step(s))
	}
	return strings.Join(texts, ", ")
}

func (p printer) step(s Step) string {
	switch s := s.(type) {
	case *Stitches:
		return p.stitches(s)
	case *Chain:
		return p.chain(s)
	case *Skip:
		return p.skip() + " next " + p.counted(s.Many, p.noun(Place{What: s.What, Name: s.Name}))
	case *Group:
		return p.group(s)
	case *Ring:
		if !s.Chains.Said() {
			return "make a magic ring"
		}
		return "ch " + printNumber(s.Chains) + ", join with sl st to form a ring"
	case *Join:
		return p.join(s)
	case *Turn:
		return "turn"
	case *FastenOff:
		return "fasten off"
	case *Attach:
		return p.attach(s)
	case *Leave:
		if !s.Many.Said() {
			return "leave rem sts unworked"
		}
		return "leave next " + p.counted(s.Many, "st") + " unworked"
	case *Mark:
		return s.Text
	case *Remark:
		return s.Text
	case *Unread:
		return s.Text
	}
	panic(fmt.Sprintf("notation: no way to print a %T", s))
}

// counted writes "st", or "3 sts".
func (p printer) counted(n Number, word string) string {
	if len(n) == 0 || len(n) == 1 && n[0] == 1 {
		return word
	}
	return printNumber(n) + " " + several(word, n)
}

func (p printer) chain(c *Chain) string {
	text := "ch " + printNumber(c.Many)
	switch c.Counts {
	case CountsAsNone:
		return text + " (does not count as a st)"
	case CountsAsStitch:
		as := "a st"
		if c.As != "" {
			as = Word(c.As, p.opt.Terms)
		}
		if c.Plus > 0 {
			as += fmt.Sprintf(" + ch %d", c.Plus)
		}
		return text + " (counts as " + as + ")"
	}
	return text
}

func (p printer) stitches(s *Stitches) string {
	word := Word(s.Name, p.opt.Terms)
	if s.Of != "" {
		word = Word(s.Of, p.opt.Terms) + " " + word
	}
	each := ""
	if s.Each.Said() && !equal(s.Each, N(1)) {
		each = printNumber(s.Each) + " "
	}
	loop := map[Loop]string{BackLoop: " in BLO", FrontLoop: " in FLO", ThirdLoop: " in third loop"}[s.Loop]
	if s.Into.Unsaid {
		if s.Into.Many.Said() && !equal(s.Into.Many, N(1)) {
			return printNumber(s.Into.Many) + " " + word + loop
		}
		return each + word + loop
	}
	if known, ok := stitch.Lookup(s.Name); ok && s.Into.Choice == Next && known.Kind == stitch.Together && s.Into.What == AnyStitch {
		// A decrease names its own places.
		if s.Into.Many.Said() && !equal(s.Into.Many, N(1)) {
			return printNumber(s.Into.Many) + " " + word + loop
		}
		return each + word + loop
	}
	return each + word + loop + " " + p.place(s.Into)
}

func (p printer) group(g *Group) string {
	open, shut := "[", "]"
	switch {
	case g.Mark == Star:
		return p.star(g)
	case g.Mark == Paren || g.Into != nil:
		open, shut = "(", ")"
	}
	text := open + p.steps(g.Steps) + shut
	if g.Into != nil {
		text += " " + p.place(*g.Into)
	}
	switch {
	case g.Times.To == ToEnd:
		text += " " + p.toEnd()
	case g.Times.To == ToLast:
		text += " " + p.toLast(g.Times.Left)
	case g.Times.N.Said() && g.Times.More:
		text += " " + printNumber(g.Times.N) + " more " + several("time", g.Times.N)
	case g.Times.N.Said():
		text += " " + printNumber(g.Times.N) + " " + several("time", g.Times.N)
	}
	return text
}

func (p printer) star(g *Group) string {
	steps := p.steps(g.Steps)
	if g.Partial > 0 {
		steps = p.steps(g.Steps[:g.Partial]) + "**, " + p.steps(g.Steps[g.Partial:])
	}
	text := "*" + steps + "; rep from * "
	switch {
	case g.Times.To == ToEnd:
		text += p.toEnd()
	case g.Times.To == ToLast:
		text += p.toLast(g.Times.Left)
	case g.Times.More:
		text += printNumber(g.Times.N) + " more " + several("time", g.Times.N)
	default:
		text += printNumber(less(g.Times.N)) + " more " + several("time", less(g.Times.N))
	}
	if g.Partial > 0 {
		text += ", ending last rep at **"
	}
	return text
}

// less is a number of workings in all as the number after the first.
func less(n Number) Number {
	out := make(Number, len(n))
	for i, v := range n {
		out[i] = max(0, v-1)
	}
	return out
}

func (p printer) toLast(left Number) string {
	return "to last " + p.counted(left, "st")
}

func (p printer) join(j *Join) string {
	if j.Unsaid {
		return "join"
	}
	return "join with sl st " + strings.Replace(p.place(j.Into), "in ", "to ", 1)
}

func (p printer) attach(a *Attach) string {
	text := ""
	if a.Skip.Said() {
		text = p.skip() + " next " + p.counted(a.Skip, "st") + ", "
	}
	if a.Colour != "" {
		text += "join " + a.Colour
	} else {
		text += "rejoin yarn"
	}
	return text + " " + p.place(a.Into)
}

// place writes where stitches go: "in next 3 sts".
func (p printer) place(at Place) string {
	noun := p.noun(at)
	switch at.Choice {
	case EachTo:
		each := "in each " + noun
		if at.Every > 1 {
			each = fmt.Sprintf("in every %s %s", nth(at.Every), noun)
		}
		switch at.To {
		case ToLast:
			left := p.noun(Place{What: at.LeftOf})
			return each + " " + p.toEnd() + " to last " + p.counted(at.Left, left)
		case NoLimit:
			return each
		}
		return each + " " + p.toEnd()
	case Same:
		return "in same " + noun
	case First:
		return "in first " + p.counted(at.Many, noun)
	case Last:
		return "in last " + p.counted(at.Many, noun)
	case Nth:
		if at.What == ChainFromHook {
			return "in " + nth(at.Many.At(0)) + " ch from hook"
		}
		return "in " + nth(at.Many.At(0)) + " " + noun
	case Around:
		return "in " + noun
	case Between:
		return "between next 2 sts"
	case Spread:
		return "evenly " + p.toEnd()
	}
	return "in next " + p.counted(at.Many, noun)
}

func (p printer) noun(at Place) string {
	switch at.What {
	case NamedStitch:
		return Word(at.Name, p.opt.Terms)
	case ChainStitch, ChainFromHook:
		return "ch"
	case ChainSpace:
		if at.Size > 0 {
			return fmt.Sprintf("ch-%d sp", at.Size)
		}
		return "ch-sp"
	case Space:
		return "sp"
	case RowEnd:
		return "row end"
	case OtherSide:
		return "ch on other side of foundation ch"
	case RingCentre:
		return "ring"
	case TurningChain:
		return "top of turning ch"
	case SpaceBetween:
		return "sp between sts"
	case MarkedStitch:
		return "marked st"
	}
	return "st"
}

func nth(n int) string {
	suffix := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}
