package regauge

import (
	"math"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// small is the greatest number in a row that belongs to its stitch pattern or
// its edge and stays as it is. Common practice, no source.
const small = 3

// elastic says whether steps themselves go as far as the row does: "in each
// st across", "rep from * to last 2 sts".
func elastic(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			if s.Into.Choice == notation.EachTo || s.Into.Choice == notation.Spread {
				return true
			}
		case *notation.Group:
			if s.Times.To != notation.NoLimit {
				return true
			}
		case *notation.Leave:
			if !s.Many.Said() {
				return true
			}
		}
	}
	return false
}

// fits are ways to work steps that are written for base stitches over diff
// stitches more, the likeliest first. Whether one comes out is for trial to say.
func (m *maker) fits(steps []notation.Step, base, diff int, shapes bool) [][]notation.Step {
	plain := stepsIn(steps, 0)
	if elastic(steps) {
		scaleEdges(plain, m.scaled)
	} else if diff == 0 {
		return [][]notation.Step{plain}
	}
	var all [][]notation.Step
	if elastic(steps) {
		all = append(all, plain)
		if !shapes || diff == 0 {
			return all
		}
	}
	try := func(change func(steps []notation.Step) ([]notation.Step, bool)) {
		if out, ok := change(stepsIn(steps, 0)); ok {
			all = append(all, out)
		}
	}
	inner := func(s []notation.Step) ([]notation.Step, bool) { return stretchInside(s, base, diff) }
	times := func(s []notation.Step) ([]notation.Step, bool) { return repeatMore(s, diff) }
	if shapes { // in a row without shaping, runs within a repeat are its stitch pattern
		try(inner)
	}
	try(times)
	if !elastic(steps) {
		try(func(s []notation.Step) ([]notation.Step, bool) { return stretchAlong(s, diff) })
	}
	return all
}

// scaleEdges carries the longer runs beside an elastic step over to the new
// gauge: a border of ten stitches stays as wide as it was. Rows of a repeat
// keep theirs, which belong to the stitch pattern.
func scaleEdges(steps []notation.Step, now func(was int) int) {
	for _, s := range steps {
		if g, ok := s.(*notation.Group); ok && g.Times.To != notation.NoLimit {
			return
		}
	}
	more := 0 // stitches that the steps behind the elastic one take more than before
	for i := len(steps) - 1; i >= 0; i-- {
		switch s := steps[i].(type) {
		case *notation.Stitches:
			if s.Into.Choice == notation.EachTo {
				stretchTo(s, steps[i+1:], more, now)
				more = 0
				continue
			}
			if n := run(s); n > small {
				setRun(s, now(n))
				more += now(n) - n
			}
		case *notation.Skip:
			more += scaleNumber(&s.Many, small, now)
		case *notation.Leave:
			more += scaleNumber(&s.Many, 0, now)
		case *notation.Attach:
			scaleNumber(&s.Skip, 0, now)
		}
	}
}

// scaleNumber carries a number over and returns how much more it is.
func scaleNumber(n *notation.Number, above int, now func(was int) int) int {
	was := n.At(0)
	if was <= above {
		return 0
	}
	*n = notation.N(now(was))
	return n.At(0) - was
}

// stretchTo lets a step go on to as many last stitches as what stands behind
// it takes.
func stretchTo(s *notation.Stitches, after []notation.Step, more int, now func(was int) int) {
	if s.Into.To != notation.ToLast {
		return
	}
	left := s.Into.Left.At(0)
	goesOn := false
	for _, a := range after {
		switch a := a.(type) {
		case *notation.Leave:
			goesOn = a.Many.Said()
		case *notation.Stitches, *notation.Group, *notation.Skip:
			goesOn = true
		}
	}
	if !goesOn { // what is left stays unworked
		s.Into.Left = notation.N(now(left))
		return
	}
	s.Into.Left = notation.N(left + more)
}

// scaled carries a number of stitches over to the new gauge.
func (m *maker) scaled(was int) int {
	return max(1, int(math.Round(float64(was)*m.To.Stitches/m.From.Stitches)))
}

// joint is the new count for a count that was rounded together with others.
func (m *maker) joint(was int) int {
	if now, ok := m.counts[was]; ok {
		return now
	}
	return m.scaled(was)
}

// run is how many stitches one after another a step works plainly; 0: it is
// not a plain run.
func run(s *notation.Stitches) int {
	d, ok := stitch.Lookup(s.Name)
	if s.Into.Choice != notation.Next && s.Into.Choice != notation.First && s.Into.Choice != notation.Last || ok && d.Kind == stitch.Together || s.Name == "dec" || s.Name == "inc" || s.Each.At(0) > 1 && !s.Into.Unsaid {
		return 0
	}
	switch s.Into.What {
	case notation.AnyStitch, notation.NamedStitch, notation.ChainStitch:
	default:
		return 0
	}
	n := 1
	if s.Into.Many.Said() {
		n = s.Into.Many.At(0)
	}
	if s.Into.Unsaid && s.Each.At(0) > 1 { // "5 sc"
		n = s.Each.At(0)
	}
	return n
}

// setRun changes the length of a plain run.
func setRun(s *notation.Stitches, n int) {
	if s.Into.Unsaid && s.Each.At(0) > 1 {
		s.Each = notation.N(n)
		return
	}
	s.Into.Many = notation.N(n)
}

// stretchInside changes the longest run within a repeat, which is worked as
// often as before: "*5 sc, inc* 6 times". A run of nothing is left out.
func stretchInside(steps []notation.Step, base, diff int) ([]notation.Step, bool) {
	for _, s := range steps {
		g, ok := s.(*notation.Group)
		if !ok || g.Into != nil {
			continue
		}
		times := timesOf(g)
		if uses := usedBy(g.Steps); times == 0 && uses > 0 && g.Times.To == notation.ToEnd {
			times = base / uses
		}
		if times == 0 || diff%times != 0 {
			continue
		}
		if inner, ok := stretchLongest(g.Steps, diff/times); ok {
			g.Steps = inner
			return steps, true
		}
	}
	return nil, false
}

func stretchLongest(steps []notation.Step, by int) ([]notation.Step, bool) {
	at := -1
	for i, s := range steps {
		if s, ok := s.(*notation.Stitches); ok && run(s) > 0 && (at < 0 || run(s) > run(steps[at].(*notation.Stitches))) {
			at = i
		}
	}
	if at < 0 {
		return nil, false
	}
	s := steps[at].(*notation.Stitches)
	switch n := run(s) + by; {
	case n > 0:
		setRun(s, n)
		return steps, true
	case n == 0 && len(steps) > 1:
		return append(steps[:at:at], steps[at+1:]...), true
	}
	return nil, false
}

// repeatMore changes how often a repeat of a fixed number of times is worked.
func repeatMore(steps []notation.Step, diff int) ([]notation.Step, bool) {
	for _, s := range steps {
		g, ok := s.(*notation.Group)
		if !ok || g.Into != nil || timesOf(g) == 0 {
			continue
		}
		uses := usedBy(g.Steps)
		if uses == 0 || diff%uses != 0 || timesOf(g)+diff/uses < 1 {
			continue
		}
		n := timesOf(g) + diff/uses
		if g.Times.More {
			n--
		}
		if n < 1 {
			continue
		}
		g.Times.N = notation.N(n)
		return steps, true
	}
	return nil, false
}

// timesOf is how often a group is worked in all; 0: it is not said by a number.
func timesOf(g *notation.Group) int {
	if !g.Times.N.Said() {
		return 0
	}
	if g.Times.More {
		return g.Times.N.At(0) + 1
	}
	return g.Times.N.At(0)
}

// usedBy is how many stitches of the row below steps use; 0: that can't be
// told from them alone.
func usedBy(steps []notation.Step) int {
	n := 0
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Skip:
			n += max(1, s.Many.At(0))
		case *notation.Group:
			switch {
			case s.Into != nil:
				n++
			case timesOf(s) > 0:
				n += timesOf(s) * usedBy(s.Steps)
			default:
				return 0
			}
		case *notation.Stitches:
			if s.Into.Choice == notation.Same {
				continue
			}
			if s.Into.Choice == notation.EachTo || s.Into.Choice == notation.Around || s.Into.Choice == notation.Spread {
				return 0
			}
			if r := run(s); r > 0 {
				n += r
				continue
			}
			uses := 1
			if d, ok := stitch.Lookup(s.Name); ok && d.Kind == stitch.Together {
				uses = d.Consumes
			} else if s.Name == "dec" || s.Name == "invdec" {
				uses = 2
			}
			n += uses * max(1, s.Into.Many.At(0))
		}
	}
	return n
}

// stretchAlong spreads a difference over the runs of a row, each in proportion
// to its length; equal runs stay equal where that can be.
func stretchAlong(steps []notation.Step, diff int) ([]notation.Step, bool) {
	var runs []*notation.Stitches
	total := 0
	for _, s := range steps {
		if s, ok := s.(*notation.Stitches); ok && run(s) > 0 {
			runs = append(runs, s)
			total += run(s)
		}
	}
	if len(runs) == 0 || total+diff < len(runs) {
		return nil, false
	}
	want, given := 0., 0
	for _, s := range runs {
		want += float64(run(s)) * float64(total+diff) / float64(total)
		n := max(1, int(math.Round(want))-given)
		given += n
		setRun(s, n)
	}
	return steps, given == total+diff
}

// trial works one row alone on so many stitches and says whether it comes to a
// count without a fault.
func (m *maker) trial(steps []notation.Step, kind notation.Kind, base, want int) bool {
	two := notation.N(2)
	doc := &notation.Document{Terms: m.doc.Terms, SizeCount: 1, Definitions: m.doc.Definitions, Parts: []notation.Part{{Make: 1, Lines: []notation.Line{
		&notation.Row{Label: notation.Label{Kind: kind, From: two, To: two}, Steps: steps,
			Claim: &notation.Claim{Entries: []notation.ClaimEntry{{Count: notation.N(want), What: "st"}}}},
	}}}}
	res := fabric.Work(doc, fabric.Options{Start: base})
	if !res.OK() || len(res.Pieces) != 1 || len(res.Pieces[0].Rows) != 1 {
		return false
	}
	return res.Pieces[0].Rows[0].PerSize[0].Stitches == want
}

// fitted works steps that were written for one base over another; false where
// they can't be.
func (m *maker) fitted(r *row, base, want int) ([]notation.Step, bool) {
	steps := r.of.Steps
	for _, try := range m.fits(steps, r.below, base-r.below, r.delta() != 0) {
		if m.trial(try, r.kind, base, want) {
			return try, true
		}
	}
	return nil, false
}
