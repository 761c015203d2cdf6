package regauge

import (
	"fmt"
	"math"
	"slices"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/spacing"
)

// made is a row made anew.
type made struct {
	kind  notation.Kind
	n     int // its number; 0: none
	line  int // of the part, where it stands
	steps []notation.Step
	form  string
	count int
	claim string // what its stated count is of; "-": none is stated
	side  notation.Side
}

// cannotError says that a row can't be made anew.
type cannotError struct{ rows, why string }

func (e *cannotError) Error() string { return e.rows + ": " + e.why }

// rows makes the rows of a piece anew.
func (m *maker) rows(p *plan) ([]made, error) {
	var all []made
	numbers := map[int]int{} // the new number of the last row of each block, by the old one
	for i := range p.blocks {
		b := &p.blocks[i]
		next := b.rows[0].n
		if n, ok := numbers[next-1]; ok {
			next = n + 1
		}
		rows, err := m.block(p, i, next)
		if err != nil {
			return nil, err
		}
		last := &b.rows[len(b.rows)-1]
		for j := range rows {
			if b.rows[0].n > 0 {
				rows[j].n = next + j
			}
			rows[j].line, rows[j].kind = b.rows[0].line, b.rows[0].kind
			rows[j].form = formOf(rows[j].steps)
		}
		if b.rows[0].n > 0 {
			numbers[last.n] = next + len(rows) - 1
		}
		rows[0].side = b.rows[0].of.Label.Side
		if i > 0 {
			rows[0].side = notation.SideUnsaid
		}
		all = append(all, rows...)
	}
	return all, nil
}

// block makes the rows of one block.
func (m *maker) block(p *plan, i, first int) ([]made, error) {
	b := &p.blocks[i]
	switch {
	case b.each == 0:
		return m.evenRows(p, b)
	case b.steps():
		return m.stepRow(b)
	}
	return m.shapedRows(p, b, first)
}

// evenRows are those of a block without shaping.
func (m *maker) evenRows(p *plan, b *block) ([]made, error) {
	n := b.now.Start
	out := make([]made, 0, b.now.Rows)
	for i := range b.now.Rows {
		at := i
		if i >= b.lead && b.cycle > 0 {
			at = b.lead + (i-b.lead)%b.cycle
		}
		r := &b.rows[min(at, len(b.rows)-1)]
		if i == 0 && b.grown() {
			out = append(out, made{steps: m.first(p, b, n), count: n, claim: b.claimLike(r)})
			continue
		}
		steps, ok := m.fitted(r, n, n)
		if !ok {
			if steps, ok = m.within(b, i, n); !ok {
				return nil, &cannotError{r.label(), fmt.Sprintf("it can't be worked over %d stitches", n)}
			}
		}
		out = append(out, made{steps: steps, count: n, claim: b.claimLike(r)})
	}
	return out, nil
}

// within fits a row that works into what the row below it left, spaces and
// groups, and so can't be tried alone: the proof of the whole will tell.
func (m *maker) within(b *block, i, n int) ([]notation.Step, bool) {
	at := i
	if b.cycle > 0 && i >= b.lead {
		at = b.lead + (i-b.lead)%b.cycle
	}
	tries := m.fits(b.rows[at].of.Steps, b.start, n-b.start, false)
	if len(tries) == 0 {
		return nil, false
	}
	return tries[0], true
}

// first is the first row of a block that begins on nothing.
func (m *maker) first(p *plan, b *block, n int) []notation.Step {
	r := &b.rows[0]
	if p.chain.line >= 0 && b == p.begun() {
		many := p.chain.length(n)
		return m.onChain(r, many, many-p.chain.many)
	}
	steps := r.of.Steps
	if n == b.start && !leaves(r) {
		return stepsIn(steps, 0)
	}
	if leaves(r) {
		out := stepsIn(steps, 0)
		scaleEdges(out, m.joint)
		return out
	}
	if tries := m.fits(steps, b.start, n-b.start, false); len(tries) > 0 {
		return tries[0]
	}
	return steps
}

// begun is the block that begins on the foundation chain.
func (p *plan) begun() *block {
	for i := range p.blocks {
		if p.blocks[i].grown() {
			return &p.blocks[i]
		}
	}
	return nil
}

// stepRow is a row that gains or loses stitches at its edges in one go.
func (m *maker) stepRow(b *block) ([]made, error) {
	r := &b.rows[0]
	steps := stepsIn(r.of.Steps, 0)
	scaleEdges(steps, m.joint)
	if !m.trial(steps, r.kind, b.now.Start, b.now.End) && r.count.Left == 0 {
		fit, ok := m.fitted(r, b.now.Start, b.now.End)
		if !ok {
			return nil, &cannotError{r.label(), fmt.Sprintf("it can't be worked from %d stitches to %d", b.now.Start, b.now.End)}
		}
		steps = fit
	}
	return []made{{steps: steps, count: b.now.End, claim: r.claim}}, nil
}

// shapedRows are those of a block with shaping.
func (m *maker) shapedRows(p *plan, b *block, first int) ([]made, error) {
	gains := b.gains()
	at, err := b.places(len(gains), first)
	if err != nil {
		return nil, err
	}
	n := b.now.Start
	out := make([]made, 0, b.now.Rows)
	for i := range b.now.Rows {
		k := slices.Index(at, i)
		if k < 0 {
			r := p.plain(b, first+i)
			if r == nil {
				return nil, &cannotError{span(b.rows), "no plain row shows how the rows between the shaping are worked"}
			}
			steps, ok := m.fitted(r, n, n)
			if !ok {
				return nil, &cannotError{r.label(), fmt.Sprintf("it can't be worked over %d stitches", n)}
			}
			out = append(out, made{steps: steps, count: n, claim: b.claim(false)})
			continue
		}
		steps, ok := m.shapedRow(b, n, gains[k], first+i)
		if !ok {
			return nil, &cannotError{b.rows[b.shaped[0]].label(), fmt.Sprintf("its shaping can't be worked over %d stitches", n)}
		}
		n += gains[k]
		out = append(out, made{steps: steps, count: n, claim: b.claim(true)})
	}
	return out, nil
}

// gains are the stitches that each shaped row gains: as many as in the
// pattern, and in one row what is left over. That row comes where there are
// most stitches, and a small difference shows least.
func (b *block) gains() []int {
	all := b.now.End - b.now.Start
	if b.evenly() {
		if all == 0 {
			return nil
		}
		return []int{all}
	}
	times, rest := all/b.each, all%b.each
	gains := slices.Repeat([]int{b.each}, times)
	switch {
	case rest == 0:
	case times >= b.now.Rows && b.each > 0:
		gains[times-1] += rest
	case times >= b.now.Rows:
		gains[0] += rest
	case b.each > 0:
		gains = append(gains, rest)
	default:
		gains = append([]int{rest}, gains...)
	}
	return gains
}

// claimLike is what the stated count of a row like another is of: as there, or
// as in the block, where only the last of several rows states it.
func (b *block) claimLike(r *row) string {
	if r.claim != "-" {
		return r.claim
	}
	for i := range b.rows {
		if b.rows[i].of == r.of && b.rows[i].claim != "-" {
			return b.rows[i].claim
		}
	}
	return b.claim(r.delta() != 0)
}

// claim is what the stated counts of a block's rows are of.
func (b *block) claim(shaped bool) string {
	for i := range b.rows {
		if b.rows[i].claim != "-" && (b.rows[i].delta() != 0) == shaped {
			return b.rows[i].claim
		}
	}
	return "-"
}

// places are the rows, from 0, on which so many times is shaped: as the
// pattern has them where the numbers are the same, else spread evenly.
func (b *block) places(times, first int) ([]int, error) {
	if b.now.Rows == len(b.rows) && times == len(b.shaped) && (first-b.rows[0].n)%2 == 0 {
		return b.shaped, nil
	}
	if times < 2 {
		return []int{b.shaped[0] * b.now.Rows / len(b.rows)}[:times], nil
	}
	if b.uneven() {
		return b.bent(times, first)
	}
	slope := spacing.Slope{Stitches: times, Rows: b.now.Rows}
	if b.alternate() {
		slope.On = spacing.RightSide
		slope.WrongFirst = (first-b.rows[b.shaped[0]].n)%2 != 0
	}
	spread, err := slope.Grouped()
	if err != nil {
		return nil, &cannotError{span(b.rows), err.Error()}
	}
	all := make([]int, 0, times)
	for _, row := range spread.ShapingRows() {
		all = append(all, row-1)
	}
	if b.shaped[0] == 0 && !b.alternate() { // it begins with a shaped row
		for i := range all {
			all[i] = b.now.Rows - 1 - all[i]
		}
		slices.Reverse(all)
	}
	if len(all) < times {
		return nil, &cannotError{span(b.rows), "it has too few rows for its shaping"}
	}
	return all, nil
}

// uneven says whether the shaping of a block follows a bend: some of its rows
// stand much closer together than others.
func (b *block) uneven() bool {
	least, most := len(b.rows), 0
	for i := 1; i < len(b.shaped); i++ {
		gap := b.shaped[i] - b.shaped[i-1]
		least, most = min(least, gap), max(most, gap)
	}
	return most > 2*least+1
}

// bent places the shaping along the same bend as the pattern's own: where a
// share of it was done, as large a share is done again.
func (b *block) bent(times, first int) ([]int, error) {
	step, from := 1, 0
	if b.alternate() {
		step, from = 2, abs((first-b.rows[b.shaped[0]].n)%2)
	}
	slots := (b.now.Rows - from + step - 1) / step
	if times > slots {
		return nil, &cannotError{span(b.rows), "it has too few rows for its shaping"}
	}
	all := make([]int, times)
	least := 0 // the first slot that is still free
	for k := range all {
		at := b.along((float64(k)+0.5)*float64(len(b.shaped))/float64(times)) * float64(b.now.Rows) / float64(len(b.rows))
		slot := int(at-float64(from)) / step
		slot = min(max(slot, least), slots-(times-k))
		all[k], least = from+slot*step, slot+1
	}
	return all, nil
}

// along is the height, in rows, at which so many shaped rows are done; the
// middle of row 0 is 0.5.
func (b *block) along(done float64) float64 {
	done -= 0.5
	last := len(b.shaped) - 1
	i := min(max(int(math.Floor(done)), 0), last-1)
	low, high := float64(b.shaped[i]), float64(b.shaped[i+1])
	return low + 0.5 + (done-float64(i))*(high-low)
}

// plain finds a row without shaping like which the rows between are worked: of
// the block, else of the piece; of the same side where there is one.
func (p *plan) plain(b *block, number int) *row {
	var found *row
	see := func(r *row) {
		if r.delta() != 0 || r.below == 0 || r.count.Main() != b.stitch || r.kind != b.rows[0].kind || leaves(r) {
			return
		}
		if found == nil || (found.n-number)%2 != 0 && (r.n-number)%2 == 0 {
			found = r
		}
	}
	for i := range b.rows {
		see(&b.rows[i])
	}
	if found != nil {
		return found
	}
	for i := range p.strand.rows {
		see(&p.strand.rows[i])
	}
	return found
}

// shapedRow works a shaped row over a count: like one of the block's own, of
// the same side where there is one and the nearest in its count.
func (m *maker) shapedRow(b *block, base, by, number int) ([]notation.Step, bool) {
	rows := make([]*row, 0, len(b.shaped))
	for _, i := range b.shaped {
		rows = append(rows, &b.rows[i])
	}
	slices.SortStableFunc(rows, func(x, y *row) int {
		if !b.round() && b.edge != fabric.Spread {
			if xs, ys := (x.n-number)%2 != 0, (y.n-number)%2 != 0; xs != ys {
				if xs {
					return 1
				}
				return -1
			}
		}
		return abs(x.below-base) - abs(y.below-base)
	})
	for _, r := range rows {
		if steps, ok := m.fitted(r, base, base+by); ok {
			return steps, true
		}
	}
	switch {
	case len(rows) == 0:
		return nil, false
	case by == b.each && m.shapesWithin(b):
		tries := m.fits(rows[0].of.Steps, rows[0].below, base-rows[0].below, false)
		if len(tries) == 0 {
			return nil, false
		}
		return tries[0], true
	case !b.spreadable():
		return nil, false
	}
	return m.spread(rows[0], base, by)
}
