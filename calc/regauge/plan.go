package regauge

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"countwright/calc/fabric"
	"countwright/calc/grade"
	"countwright/calc/notation"
)

// maker makes one pattern anew.
type maker struct {
	Order
	doc    *notation.Document // in one size
	was    *fabric.Result
	counts map[int]int    // the new count for each count of the pattern
	stays  map[int]string // why pieces stay as they are that did not hold beside the others
}

// plan is one piece on its way.
type plan struct {
	part   *notation.Part
	strand strand
	blocks []block
	chain  chain
	left   *Left // why it stays as it is; nil: it does not
	along  *plan // the piece along whose rows it is worked; nil: none
	now    notation.Part
}

func (p *plan) name() string {
	if p.part.Name == "" {
		return "the piece before it"
	}
	return p.part.Name
}

// plans are the pieces, cut into blocks.
func (m *maker) plans() []*plan {
	var all []*plan
	for i := range m.doc.Parts { // in order: a piece may be worked along the one before it
		p := &plan{part: &m.doc.Parts[i], chain: chain{line: -1}}
		all = append(all, p)
		piece := &m.was.Pieces[i]
		p.strand = strandOf(p.part, piece)
		if len(p.strand.rows) == 0 {
			continue
		}
		p.blocks = blocksOf(p.strand, piece)
		rows := 0
		for j := range p.blocks {
			rows += len(p.blocks[j].rows)
			if where, why := p.blocks[j].why(); why != "" && p.left == nil {
				p.leave(m, where, why)
			}
		}
		if rows != len(p.strand.rows) && p.left == nil {
			p.leave(m, "", "its rows do not follow one another")
		}
		if why := m.stays[i]; why != "" && p.left == nil {
			p.leave(m, "", why)
		}
		if i > 0 && len(all[i-1].strand.rows) == p.strand.rows[0].count.Stitches && onRowEnds(p.strand.rows[0].of.Steps) {
			p.along = all[i-1]
		}
	}
	return all
}

// standsWith says whether a piece is worked along one that stays as it is.
func (p *plan) standsWith() bool { return p.along != nil && p.along.left != nil }

// onRowEnds says whether a row works one stitch into each row end.
func onRowEnds(steps []notation.Step) bool {
	found := false
	notation.Walk(steps, func(s notation.Step) bool {
		if s, ok := s.(*notation.Stitches); ok && s.Into.What == notation.RowEnd && s.Into.Choice == notation.EachTo {
			found = true
		}
		return !found
	})
	return found
}

// leave notes that a piece stays as it is.
func (p *plan) leave(m *maker, rows, why string) {
	widest := 0
	for _, r := range p.strand.rows {
		widest = max(widest, r.count.Stitches)
	}
	p.left = &Left{Piece: p.part.Name, Rows: rows, Why: why,
		Wide: float64(widest) * m.To.StitchWidth(), Tall: float64(len(p.strand.rows)) * m.To.RowHeight()}
}

// rounding is the counts of pieces, rounded together: equal counts of the
// pattern stay equal, so that edges that meet still do.
type rounding struct {
	grade.Rounding
	m     *maker
	byNow map[int]int // index of the count for each count of the pattern
}

// count is the index of the new count for a count of the pattern.
func (r *rounding) count(was int) int {
	if i, ok := r.byNow[was]; ok {
		return i
	}
	target := float64(was) * r.m.To.Stitches / r.m.From.Stitches
	i := r.add(grade.Count{Name: fmt.Sprintf("%d stitches", was), Target: target, MM: r.m.To.StitchWidth(), Weight: 1, Min: 1, Max: 2*int(target) + 60})
	r.byNow[was] = i
	return i
}

func (r *rounding) add(c grade.Count) int {
	r.Counts = append(r.Counts, c)
	return len(r.Counts) - 1
}

// fixed is a count that does not change: a beginning in a ring.
func (r *rounding) fixed(n int) int {
	return r.add(grade.Count{Name: fmt.Sprintf("%d stitches", n), Min: n, Max: n})
}

func (r *rounding) rule(name string, value int, terms ...grade.Term) {
	r.Rules = append(r.Rules, grade.Rule{Name: name, Terms: terms, Value: value})
}

// multiple keeps a count to a multiple.
func (r *rounding) multiple(i, of, plus int, name string) {
	if of < 2 {
		return
	}
	q := r.add(grade.Count{Name: name, Min: 0, Max: r.Counts[i].Max})
	r.rule(name, plus, grade.Term{Count: i, Times: 1}, grade.Term{Count: q, Times: -of})
}

// solve rounds the counts of all pieces together. Where that can't be, each
// piece is rounded alone, and those that still can't be are left.
func (m *maker) solve(plans []*plan) error {
	var good []*plan
	for _, p := range plans {
		if p.left == nil && len(p.blocks) > 0 {
			good = append(good, p)
		}
	}
	err := m.solveTogether(good)
	var clash *grade.ClashError
	var tangle *grade.TangleError
	if err == nil || !errors.As(err, &clash) && !errors.As(err, &tangle) {
		return err
	}
	for _, p := range good {
		if p.left != nil {
			continue
		}
		if p.along != nil {
			p.leave(m, "", "its stitches can't be one for each row of "+p.along.name())
			continue
		}
		switch err := m.solveTogether([]*plan{p}); {
		case errors.As(err, &tangle):
			p.leave(m, "", "its counts hang together too closely to be rounded at once")
		case err != nil:
			p.leave(m, "", err.Error())
		}
	}
	return nil
}

func (m *maker) solveTogether(plans []*plan) error {
	r := &rounding{m: m, byNow: map[int]int{}}
	m.counts = map[int]int{}
	for _, p := range plans {
		r.piece(p)
	}
	value, err := r.Round()
	if err != nil {
		return err
	}
	for was, i := range r.byNow {
		m.counts[was] = value[i]
	}
	for _, p := range plans {
		if p.left != nil {
			continue
		}
		for i := range p.blocks {
			b := &p.blocks[i]
			b.now = Extent{value[b.startAt], value[b.endAt], value[b.rowsAt]}
		}
	}
	return nil
}

// piece enters the counts of a piece.
func (r *rounding) piece(p *plan) {
	if p.standsWith() {
		p.leave(r.m, "", "it is worked along the rows of "+p.along.name()+", which stays as it is")
		return
	}
	height := grade.Goal{Name: "height", Weight: 2}
	aside, below := 0, 0           // stitches left for later; rows up to the end of a block
	upTo := map[int][]grade.Term{} // the rows up to the end of each block, by the number of its last row
	from := p.blocks[0].rows[0].n  // the number of the first row
	for i := range p.blocks {
		b := &p.blocks[i]
		switch {
		case b.grown() && inRing(b.rows[0].of.Steps):
			b.startAt = r.fixed(b.start)
		case i > 0 && p.blocks[i-1].end == b.start && !b.grown():
			b.startAt = p.blocks[i-1].endAt
		default:
			b.startAt = r.count(b.start)
		}
		if i == 0 && p.along != nil {
			terms := []grade.Term{{Count: b.startAt, Times: -1}}
			for k := range p.along.blocks {
				terms = append(terms, grade.Term{Count: p.along.blocks[k].rowsAt, Times: 1})
			}
			r.rule("a stitch for each row of "+p.along.name(), 0, terms...)
		}
		r.end(p, i)
		below += len(b.rows)
		r.rows(b, below, len(p.blocks) > few)
		before := upTo[b.rows[0].n-1]
		r.sides(b, before, b.rows[0].n-from)
		upTo[b.rows[len(b.rows)-1].n] = append(slices.Clone(before), grade.Term{Count: b.rowsAt, Times: 1})
		height.Shares = append(height.Shares, grade.Share{Count: b.rowsAt, MM: r.m.To.RowHeight()})
		height.Target += float64(len(b.rows)) * r.m.From.RowHeight()
		if !r.multiples(p, i) {
			p.leave(r.m, span(b.rows), "its stitch pattern can't be worked over another count")
			return
		}
		aside = r.asides(b, aside)
	}
	if len(p.blocks) <= few {
		r.Goals = append(r.Goals, height)
	}
}

// few is how many blocks are held to one height, and to the side on which each
// begins. Of more, each has its share of the height rounded as it comes.
const few = 10

// end enters the count at the end of a block and how it comes from that at the
// start.
func (r *rounding) end(p *plan, i int) {
	b := &p.blocks[i]
	if b.each == 0 {
		b.endAt = b.startAt
		return
	}
	last := i == len(p.blocks)-1
	if b.closes() && last {
		b.endAt = r.fixed(b.end)
	} else {
		b.endAt = r.count(b.end)
	}
	name := span(b.rows)
	switch start, end := (grade.Term{Count: b.startAt, Times: -1}), (grade.Term{Count: b.endAt, Times: 1}); {
	case b.evenly():
	case leaves(&b.rows[0]) && b.each < 0 && b.rows[0].count.Left > 0:
		left := b.rows[0].count.Left
		terms := []grade.Term{end, start, {Count: r.count(left), Times: 1}}
		if more := -b.each - left; more > 0 {
			terms = append(terms, grade.Term{Count: r.count(more), Times: 1})
		}
		r.rule(name, 0, terms...)
	case b.steps() && b.edge == fabric.BothEdges:
		r.rule(name, 0, end, start, grade.Term{Count: r.count(abs(b.each) / 2), Times: -2 * sign(b.each)})
	case b.steps():
		r.rule(name, 0, end, start, grade.Term{Count: r.count(abs(b.each)), Times: -sign(b.each)})
	default:
		b.timesAt = r.add(grade.Count{Name: name, Min: 1, Max: 10_000})
		times := grade.Term{Count: b.timesAt, Times: -b.each}
		if !b.spreadable() {
			r.rule(name, 0, end, start, times)
			return
		}
		rest := r.add(grade.Count{Name: name, Max: abs(b.each) - 1, MM: r.m.To.StitchWidth(), Weight: 0.02})
		r.rule(name, 0, end, start, times, grade.Term{Count: rest, Times: -sign(b.each)})
		b.restAt = rest
	}
}

// closes says whether rounds draw together to as many stitches as each loses,
// as the top of a hat does.
func (b *block) closes() bool {
	return b.round() && b.each < -1 && len(b.shaped) > 1 && b.end == -b.each
}

// steps says whether a block is one row that gains or loses stitches at its
// edges in one go.
func (b *block) steps() bool {
	return len(b.rows) == 1 && b.each != 0 && (abs(b.each) > 4 || leaves(&b.rows[0])) && !b.evenly()
}

// evenly says whether a block is one shaped row with its shaping spread over
// it, so that any other number of stitches can be gained as well.
func (b *block) evenly() bool {
	return len(b.shaped) == 1 && b.edge == fabric.Spread && !leaves(&b.rows[b.shaped[0]]) && abs(b.each) > 2
}

// rows enters the number of rows of a block, the last of which is so many rows
// up the piece. Of many blocks each is rounded on the way up, so that they don't
// all lose, or gain, a row.
func (r *rounding) rows(b *block, top int, many bool) {
	n := len(b.rows)
	taller := r.m.From.RowHeight() / r.m.To.RowHeight()
	target := float64(n) * taller
	if many {
		target = math.Round(float64(top)*taller) - math.Round(float64(top-n)*taller)
	}
	c := grade.Count{Name: "rows of " + span(b.rows), Target: target, MM: r.m.To.RowHeight(), Weight: 1, Min: 1, Max: 3*n + 60}
	switch {
	case b.steps(), b.evenly() && n == 1, b.each == 0 && n == 1 && b.grown():
		c.Min, c.Max = 1, 1
	case b.each == 0:
		c.Min = b.lead + 1
		if b.cycle > 1 {
			c.Of, c.Plus, c.Min = b.cycle, n%b.cycle, b.lead+b.cycle
		}
	}
	b.rowsAt = r.add(c)
	if b.timesAt < 0 {
		return
	}
	atMost := grade.Rule{Name: "shaping rows of " + span(b.rows), AtMost: true, Terms: []grade.Term{{Count: b.timesAt, Times: 1}, {Count: b.rowsAt, Times: -1}}}
	switch {
	case b.restAt >= 0: // what is left over takes a row of its own
		d := abs(b.each) - 1
		atMost.Terms = []grade.Term{{Count: b.restAt, Times: 1}, {Count: b.timesAt, Times: d}, {Count: b.rowsAt, Times: -d}}
	case b.alternate():
		atMost.Terms[0].Times, atMost.Value = 2, 1-b.shaped[0]%2
	}
	r.Rules = append(r.Rules, atMost)
}

// sides keeps a block that shapes rows of one side beginning on the side that
// it begins on. before are the rows counted up to the one before it.
func (r *rounding) sides(b *block, before []grade.Term, was int) {
	if !b.alternate() || len(before) == 0 || len(before) > few {
		return
	}
	half := r.add(grade.Count{Name: "sides of " + span(b.rows), Max: 5000})
	r.rule("the side on which "+b.rows[0].label()+" begins", was%2, append(slices.Clone(before), grade.Term{Count: half, Times: -2})...)
}

// alternate says whether only every other row is shaped: rows of one side.
func (b *block) alternate() bool {
	if len(b.shaped) < 2 || b.round() {
		return false
	}
	for _, i := range b.shaped {
		if (b.rows[i].n-b.rows[b.shaped[0]].n)%2 != 0 {
			return false
		}
	}
	return true
}

// asides keeps what a row leaves and what a later one works to each other.
func (r *rounding) asides(b *block, aside int) int {
	first := &b.rows[0]
	skip := -1
	for _, s := range first.of.Steps {
		if a, ok := s.(*notation.Attach); ok {
			skip = a.Skip.At(0)
		}
	}
	left := first.count.Left
	if skip >= 0 && aside > 0 && aside == skip+first.count.Stitches+left {
		terms := []grade.Term{{Count: r.count(aside), Times: -1}, {Count: b.startAt, Times: 1}}
		for _, n := range []int{skip, left} {
			if n > 0 {
				terms = append(terms, grade.Term{Count: r.count(n), Times: 1})
			}
		}
		r.rule("what is left for "+first.label(), 0, terms...)
	}
	if left > 0 {
		return left
	}
	if skip >= 0 {
		return 0
	}
	return aside
}

// inRing says whether a first row goes into a ring or all into one chain.
func inRing(steps []notation.Step) bool {
	ring, along := false, false
	see := func(p notation.Place) {
		switch {
		case p.What == notation.RingCentre:
			ring = true
		case p.What == notation.ChainFromHook || p.Choice == notation.Same:
		default:
			along = true
		}
	}
	some := false
	notation.Walk(steps, func(s notation.Step) bool {
		switch s := s.(type) {
		case *notation.Ring:
			ring = true
		case *notation.Stitches:
			if s.Name != "sl st" {
				some = true
				see(s.Into)
			}
		case *notation.Group:
			if s.Into != nil {
				some = true
				see(*s.Into)
				return false
			}
		}
		return true
	})
	return ring || some && !along
}

func abs(n int) int { return max(n, -n) }

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}

// near are counts around a number, the nearest first.
func near(target float64, reach int) []int {
	middle := int(math.Round(target))
	all := []int{middle}
	for d := 1; d <= reach; d++ {
		all = append(all, middle+d)
		if middle-d > 0 {
			all = append(all, middle-d)
		}
	}
	return all
}
