package notation

import (
	"countwright/calc/stitch"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// The canonical form: trees that every style prints as text which is read back
// as the same tree. It is defined by what the generators below make; in words:
//
//   - places are said (Next has Many), except for "5 sc", which is Unsaid;
//   - a place of several sizes has the document's number of sizes;
//   - Each is nil for one;
//   - stars stand outside brackets, and brackets hold at least two steps;
//   - a bracket is repeated or worked into one place;
//   - shaping that is spread has the stitch of its row with it, or stands alone;
//   - rows are numbered onwards from 1 in each part, and remarks are plain.

// sameTree compares trees but for their places in the text.
var sameTree = cmp.Options{
	cmpopts.IgnoreTypes(Span{}),
	cmpopts.EquateEmpty(),
}

var (
	basics  = []stitch.ID{"sl st", "sc", "hdc", "dc", "tr", "dtr"}
	worked1 = []stitch.ID{"sc", "hdc", "dc", "tr", "fpdc", "bpdc", "shell", "puff", "5-dc shell", "v-st", "bobble", "sc inc", "picot", "esc", "popcorn"}
	ties    = []stitch.ID{"sc2tog", "hdc2tog", "dc3tog", "fpdc2tog"}
)

// canon draws canonical trees.
type canon struct {
	t     *rapid.T
	sizes int
	round bool
}

func (c *canon) one(label string, from, to int) int { return rapid.IntRange(from, to).Draw(c.t, label) }

func (c *canon) yes(label string) bool { return rapid.IntRange(0, 3).Draw(c.t, label) == 0 }

// number draws a count, sometimes of several sizes.
func (c *canon) number(from, to int) Number {
	n := c.one("n", from, to)
	if c.sizes < 3 || !c.yes("sizes") {
		return N(n)
	}
	out := Number{n}
	for range c.sizes - 1 {
		out = append(out, c.one("n", from, to))
	}
	return out
}

func pick[T any](c *canon, from []T) T { return rapid.SampledFrom(from).Draw(c.t, "pick") }

func (c *canon) target() Place {
	switch c.one("target", 0, 6) {
	case 0:
		return Place{What: NamedStitch, Name: pick(c, basics[1:])}
	case 1:
		return Place{What: ChainStitch}
	case 2:
		return Place{What: ChainSpace, Size: c.one("size", 0, 6)}
	case 3:
		return Place{What: Space, Corner: c.yes("corner")}
	case 4:
		return Place{What: RowEnd}
	}
	return Place{}
}

// limit is how far an "each" goes.
func (c *canon) limit(l *Place) {
	l.To = ToEnd
	switch c.one("limit", 0, 5) {
	case 0:
		l.To, l.Left = ToLast, c.number(1, 9)
	case 1:
		l.To, l.LeftOf, l.LeftSize = ToSpace, ChainSpace, c.one("size", 0, 4)
	case 2:
		l.To = ToMark
	}
}

func (c *canon) place() Place {
	l := c.target()
	switch c.one("choice", 0, 8) {
	case 0, 1:
		l.Choice, l.Corner = EachTo, false
		if c.yes("every") && l.What == AnyStitch {
			l.Every = c.one("every", 2, 4)
		}
		l.Spaces = l.What == NamedStitch && c.yes("spaces")
		c.limit(&l)
	case 2:
		return Place{Choice: Same}
	case 3:
		if l.What == RowEnd {
			l.What = AnyStitch
		}
		l.Choice, l.Corner = First, false
		if l.What == AnyStitch && c.yes("several") {
			l.Many = c.number(2, 5)
		}
	case 4:
		return Place{Choice: Last}
	case 5:
		l = Place{Choice: Nth, What: ChainFromHook, Many: N(c.one("nth", 2, 8)), Passed: Counting(c.one("passed", 0, 2))}
		if l.Passed == CountsAsStitch {
			l.PassedAs = pick(c, []stitch.ID{"", "dc"})
		}
		return l
	case 6:
		return pick(c, []Place{{Choice: Around, What: RingCentre}, {Choice: Last, What: TurningChain}, {Choice: Nth, What: MarkedStitch},
			{Choice: EachTo, What: OtherSide, To: ToEnd}, {Choice: Between, What: SpaceBetween}, {Choice: Next, What: SkippedStitch, Many: N(1)},
			{Choice: Next, What: OtherSide, Many: N(3)}})
	default:
		l.Choice, l.Many = Next, c.number(1, 12)
		if l.Corner {
			l.Many = N(1)
		}
	}
	return l
}

func (c *canon) stitches() Step {
	switch c.one("stitches", 0, 5) {
	case 0:
		return &Stitches{Name: pick(c, worked1[:4]), Into: Place{Choice: Next, Many: c.number(1, 15), Unsaid: true}}
	case 1:
		s := &Stitches{Name: pick(c, ties)}
		s.Into = pick(c, []Place{{Choice: Next, Many: N(1)}, {Choice: Next, Many: N(1), Unsaid: true}, {Choice: Next, Many: N(3), Unsaid: true},
			{Choice: First}, {Choice: Last}, {Choice: EachTo, To: ToEnd}})
		return s
	case 2:
		return &Stitches{Name: pick(c, []stitch.ID{"sc inc", "sc2tog", "hdc inc"}), Of: pick(c, []stitch.ID{"", "sc", "dc"}), Into: Place{Choice: Spread, Many: c.number(2, 12)}}
	}
	s := &Stitches{Name: pick(c, worked1), Into: c.place()}
	if c.yes("each") && s.Into.Choice != Between {
		s.Each = c.number(2, 6)
		if s.Each.equal(s.Into.Many) {
			s.Each = nil
		}
	}
	if d, _ := stitch.Lookup(s.Name); c.yes("loop") && d.Kind == stitch.Basic && s.Into.Choice != Between && s.Into.Choice != Around && s.Into.What == AnyStitch {
		s.Loop = pick(c, []Loop{BackLoop, FrontLoop, ThirdLoop})
	}
	if d, _ := stitch.Lookup(s.Name); d.Kind == stitch.Cluster && s.Into.Choice == Next && s.Into.Many.At(0) > 1 && s.Each == nil && s.Into.What == AnyStitch {
		s.Into.Over = c.yes("over")
	}
	return s
}

func (c *canon) skip() Step {
	s := &Skip{Many: c.number(1, 6)}
	switch c.one("skip", 0, 3) {
	case 0:
		s.What, s.Name = NamedStitch, pick(c, basics[1:])
	case 1:
		s.What, s.Size = ChainSpace, c.one("size", 0, 4)
	case 2:
		s.What = ChainStitch
	}
	return s
}

// inner is a step that may stand anywhere.
func (c *canon) inner() Step {
	switch c.one("inner", 0, 6) {
	case 0:
		return &Chain{Many: c.number(1, 9)}
	case 1:
		return c.skip()
	default:
		return c.stitches()
	}
}

func (c *canon) steps(from, to, deep int) []Step {
	var out []Step
	for range c.one("steps", from, to) {
		if deep > 0 && c.yes("bracket") {
			out = append(out, c.bracket(deep-1))
			continue
		}
		next := c.inner()
		if s, ok := next.(*Stitches); ok && s.Into.Choice == Spread && len(out) > 0 {
			if plain, ok := out[len(out)-1].(*Stitches); ok && plain.Into.Choice == EachTo {
				continue // would be read as the stitch of the row
			}
		}
		out = append(out, next)
	}
	if len(out) < from {
		out = append(out, &Chain{Many: N(1)}, &Chain{Many: N(2)})
	}
	return out
}

func (c *canon) bracket(deep int) Step {
	g := &Group{Mark: pick(c, []Bracket{Square, Paren}), Steps: c.steps(2, 3, deep)}
	switch c.one("group", 0, 3) {
	case 0:
		into := pick(c, []Place{{Choice: Next, Many: N(1)}, {Choice: Next, What: ChainSpace, Size: 2, Many: N(1)}, {Choice: Same},
			{Choice: Around, What: RingCentre}, {Choice: First}, {Choice: Last}, {Choice: EachTo, What: Space, To: ToEnd}})
		g.Into = &into
	case 1:
		g.Times.To = ToEnd
	case 2:
		g.Times.N = c.number(2, 12)
	default:
		g.Times.To, g.Times.Left = ToLast, c.number(1, 6)
	}
	return g
}

func (c *canon) star() Step {
	g := &Group{Mark: Star, Steps: c.steps(1, 4, 2)}
	switch c.one("star", 0, 4) {
	case 0:
		g.Times.N, g.Times.More = c.number(1, 12), true
	case 1:
		g.Times.N = c.number(2, 12)
	case 2:
		g.Times.To, g.Times.Left = ToLast, c.number(1, 6)
	default:
		g.Times.To = ToEnd
		if len(g.Steps) > 1 && c.yes("partial") {
			g.Partial = c.one("partial", 1, len(g.Steps)-1)
		}
	}
	return g
}

// row draws the steps of a row: how it begins, its body, how it ends.
func (c *canon) row() []Step {
	var out []Step
	if c.yes("chain") {
		ch := &Chain{Many: c.number(1, 4)}
		switch c.one("counts", 0, 4) {
		case 0:
			ch.Counts = CountsAsStitch
		case 1:
			ch.Counts = CountsAsNone
		case 2:
			ch.Counts, ch.As, ch.Plus = CountsAsStitch, pick(c, basics[1:]), c.one("plus", 0, 2)
		}
		out = append(out, ch)
	}
	for range c.one("body", 1, 3) {
		if c.yes("star") {
			out = append(out, c.star())
		} else {
			out = append(out, c.steps(1, 3, 3)...)
		}
		out = append(out, &Chain{Many: N(1)})
	}
	switch c.one("end", 0, 7) {
	case 0:
		out = append(out, &Turn{})
	case 1:
		out = append(out, &FastenOff{})
	case 2:
		out = append(out, &Remark{Text: pick(c, []string{"do not join", "do not turn"})})
	case 3:
		out = append(out, &Turn{}, &Leave{Many: c.number(1, 9)})
	case 4:
		out = append(out, &Mark{Text: "place marker in last st"})
	case 5:
		if c.round {
			out = append(out, pick(c, []Step{&Join{Into: Place{Choice: First}}, &Join{Into: Place{Choice: First}, Unsaid: true},
				&Join{Into: Place{Choice: First, What: NamedStitch, Name: "dc"}}, &Join{Into: Place{Choice: First, What: TurningChain}}}))
		}
	}
	return out
}

func (c *canon) claim() *Claim {
	if !c.yes("claim") {
		return nil
	}
	claim := &Claim{Entries: []ClaimEntry{{Count: c.number(2, 200), What: pick(c, []string{"", "st", "sc", "dc", "shell"})}}}
	if c.yes("entries") && claim.Entries[0].What != "" {
		claim.Entries = append(claim.Entries, ClaimEntry{Count: c.number(2, 50), What: pick(c, []string{"ch-2 sp", "ch sp", "loop", "puff"})})
	}
	return claim
}

func (c *canon) part(name string) Part {
	part := Part{Name: name, Make: c.one("make", 1, 3)}
	if name == "" {
		part.Make = 1
	}
	kind := FlatRow
	if c.round = c.yes("round"); c.round {
		kind = Round
		part.Lines = append(part.Lines, &Row{Steps: []Step{pick(c, []Step{&Ring{}, &Ring{Chains: N(4)}})}})
	} else if c.yes("foundation") {
		part.Lines = append(part.Lines, &Row{Steps: []Step{&Chain{Many: c.number(20, 90)}}})
	}
	n := 1
	for range c.one("rows", 1, 5) {
		label := Label{Kind: kind, From: N(n), To: N(n), Side: Side(c.one("side", 0, 2))}
		if c.yes("range") {
			label.To = N(n + c.one("range", 1, 9))
		}
		if n > 1 && c.yes("again") {
			label.Side = SideUnsaid
			part.Lines = append(part.Lines, &Again{Label: label, Like: []int{n - 1}, Claim: c.claim()})
		} else {
			part.Lines = append(part.Lines, &Row{Label: label, Steps: c.row(), Claim: c.claim()})
		}
		n = label.To.At(0) + 1
		if c.yes("repeat") {
			part.Lines = append(part.Lines, pick(c, []Line{
				&Again{Label: Label{Kind: kind}, Like: []int{n - 1}, Times: N(c.one("times", 1, 20)), More: true},
				&Again{Label: Label{Kind: kind}, Like: []int{n - 1}, Until: 255},
				&Again{Label: Label{Kind: kind}, Back: 2, Times: N(3), More: true}}))
		}
	}
	return part
}

func (c *canon) document() *Document {
	c.sizes = pick(c, []int{1, 3, 4})
	doc := &Document{}
	if c.sizes > 1 {
		doc.Sizes = []string{"S", "M", "L", "XL"}[:c.sizes]
	}
	names := []string{"Back", "Left Front", "Sleeve"}
	for i := range c.one("parts", 1, 3) {
		doc.Parts = append(doc.Parts, c.part(names[i]))
	}
	return doc
}
