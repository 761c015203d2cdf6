package fabric

import (
	"fmt"
	"strconv"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// job is one row to be worked in one size.
type job struct {
	row     *notation.Row
	claim   *notation.Claim // what it must come to; nil: nothing is stated
	label   string
	number  int
	piece   int
	line    int // of its piece: which line makes it
	k       int // which row of that line it is
	heading string
	pos     notation.Pos
	fresh   bool // begins on nothing
	again   bool // worked like an earlier row
	gap     int  // how many row numbers are left out before it
	told    bool // and words stand there that may say why
}

// planner turns the lines of a text into the rows to be worked in one size.
type planner struct {
	w     *worker
	jobs  []job
	byNum map[int]*notation.Row
	last  int // number of the row planned last
	piece int
	line  int
	head  string
	name  string // of the piece
	prose bool   // words stand since the last row
	newly bool   // under a heading that no row stands under yet
	tall  float64
	prev  *notation.Row
	// everyOther is the row worked wherever an even, or odd, number is left out.
	everyOther [2]*notation.Row
	later      map[int]*notation.Row // rows of a list whose turn has not come
}

// plan lays out all rows of one size. Rows beyond the limit are left out, and
// that is a finding.
func (w *worker) plan() []job {
	if had, ok := w.plans[w.size]; ok {
		w.findings = had.findings
		return had.jobs
	}
	p := &planner{w: w}
	for i := range w.doc.Parts {
		part := &w.doc.Parts[i]
		p.byNum, p.last, p.piece, p.head, p.newly, p.tall, p.prev = map[int]*notation.Row{}, 0, i, "", true, 0, nil
		p.name = part.Name
		p.everyOther, p.later = [2]*notation.Row{}, map[int]*notation.Row{}
		for n, line := range part.Lines {
			p.line = n
			switch l := line.(type) {
			case *notation.Heading:
				p.head, p.newly = l.Text, true
			case *notation.Row:
				p.row(l, part.Lines[n+1:])
			case *notation.Prose:
				p.prose = true
			case *notation.Again:
				p.again(l, part.Lines[n+1:])
			}
		}
	}
	w.plans[w.size] = planned{p.jobs, w.findings[:len(w.findings):len(w.findings)]}
	return p.jobs
}

// planned are the rows of one size, and what is wrong with their numbers.
type planned struct {
	jobs     []job
	findings []Finding
}

func inSize(sizes []int, size int) bool {
	if sizes == nil {
		return true
	}
	for _, s := range sizes {
		if s == size {
			return true
		}
	}
	return false
}

// numbers lists the row numbers that a label covers; none for an unnumbered
// row.
func (p *planner) numbers(l notation.Label, at notation.Pos) []int {
	if len(l.List) > 0 {
		return l.List
	}
	if !l.From.Said() {
		return nil
	}
	from, to := l.From.At(p.w.size), l.From.At(p.w.size)
	if l.To.Said() {
		to = l.To.At(p.w.size)
	}
	if to < from {
		p.w.find(KindRows, fmt.Sprintf("the rows go from %d back to %d", from, to), at, p.labelOf(l.Kind, from))
		to = from
	}
	if to-from >= maxRows {
		to = from + maxRows
	}
	nums := make([]int, 0, to-from+1)
	for n := from; n <= to; n++ {
		nums = append(nums, n)
	}
	return nums
}

func (p *planner) labelOf(k notation.Kind, n int) string {
	name := "Row"
	if k == notation.Round {
		name = "Rnd"
	}
	if n == 0 {
		return name
	}
	return name + " " + strconv.Itoa(n)
}

func (p *planner) row(r *notation.Row, after []notation.Line) {
	if !inSize(r.Sizes, p.w.size) || len(r.Steps) == 0 {
		return
	}
	r = p.placed(r)
	nums := p.numbers(r.Label, r.Pos())
	if len(nums) == 0 {
		p.add(job{row: r, claim: r.Claim, label: p.looseLabel(r), fresh: p.fresh(r, after)})
		return
	}
	if r.Label.Alternate && len(nums) > 0 {
		p.everyOther[nums[0]%2] = r
	}
	p.between(nums[0])
	nums = p.putOff(r, nums)
	for i, n := range nums {
		j := job{row: r, number: n, label: p.labelOf(r.Label.Kind, n), fresh: i == 0 && p.fresh(r, after), told: p.prose}
		if i == 0 && p.last > 0 && !p.newly && !j.fresh {
			j.gap = max(0, n-p.last-1)
		}
		if i == len(nums)-1 {
			j.claim = r.Claim
		}
		p.byNum[n] = r
		if !p.add(j) {
			return
		}
		p.last = n
	}
	p.deferred()
}

// placed is a row with what its place in the text says of it: work without a
// label among rounds is a round, and what stands under "working in row ends"
// goes along an edge.
func (p *planner) placed(r *notation.Row) *notation.Row {
	round := r.Label.Kind == notation.Loose && p.prev != nil && p.prev.Label.Kind == notation.Round && joins(r.Steps)
	edge := p.newly && alongEdge(p.head+" "+p.name)
	if !round && !edge {
		return r
	}
	c := *r
	if round {
		c.Label.Kind = notation.Round
	}
	if edge {
		c.Steps = append([]notation.Step{&notation.Remark{Span: r.Span, Text: p.head + " " + p.name}}, r.Steps...)
	}
	return &c
}

// joins says whether steps work stitches and close a round.
func joins(steps []notation.Step) bool {
	if !hasStitches(steps) || len(steps) == 0 {
		return false
	}
	for _, s := range steps {
		if _, ok := s.(*notation.Join); ok {
			return true
		}
	}
	return false
}

// putOff keeps the rows of a list with gaps ("Rnds 3, 5, 7") until their turn
// comes, and returns those that come at once.
func (p *planner) putOff(r *notation.Row, nums []int) []int {
	for i := 1; i < len(nums); i++ {
		if nums[i] == nums[i-1]+1 {
			continue
		}
		for _, n := range nums[i:] {
			p.later[n] = r
		}
		return nums[:i]
	}
	return nums
}

// deferred works the rows kept for later whose turn it is.
func (p *planner) deferred() {
	for n := p.last + 1; p.later[n] != nil; n++ {
		r := p.later[n]
		delete(p.later, n)
		if !p.add(job{row: r, number: n, label: p.labelOf(r.Label.Kind, n), again: true}) {
			return
		}
		p.byNum[n], p.last = r, n
	}
}

// between works the rows that an earlier line gave for all of their kind: "Row
// 2 and all WS rows".
func (p *planner) between(next int) {
	for n := p.last + 1; n < next && p.last > 0; n++ {
		r := p.everyOther[n%2]
		if p.later[n] != nil {
			r = p.later[n]
			delete(p.later, n)
		}
		if r == nil || !p.add(job{row: r, number: n, label: p.labelOf(r.Label.Kind, n), again: true}) {
			return
		}
		p.byNum[n], p.last = r, n
	}
}

// looseLabel names a row without a label after what it does.
func (p *planner) looseLabel(r *notation.Row) string {
	if name := r.Label.Name; name != "" {
		return strings.ToUpper(name[:1]) + name[1:] + " " + strings.ToLower(p.labelOf(r.Label.Kind, 0))
	}
	if p.newly && p.head != "" && hasStitches(r.Steps) && !startsAlone(r.Steps) {
		return p.head
	}
	for _, s := range r.Steps {
		switch s.(type) {
		case *notation.Chain:
			if startsAlone(r.Steps) || !hasStitches(r.Steps) {
				return "Foundation chain"
			}
		case *notation.Ring:
			return "Ring"
		case *notation.Remark, *notation.Mark, *notation.Attach:
		default:
			return "Line " + strconv.Itoa(max(1, r.Pos().Line))
		}
	}
	return "Line " + strconv.Itoa(max(1, r.Pos().Line))
}

// add plans one row; false when there are too many.
func (p *planner) add(j job) bool {
	if p.w.rows++; p.w.rows > maxRows {
		if p.w.rows == maxRows+1 {
			p.w.find(KindLimit, fmt.Sprintf("the text makes more than %d rows: the rest is not worked", maxRows), j.row.Pos(), j.label)
		}
		return false
	}
	if k := len(p.jobs) - 1; k >= 0 && p.jobs[k].piece == p.piece && p.jobs[k].line == p.line {
		j.k = p.jobs[k].k + 1
	}
	j.piece, j.line, j.heading, j.pos = p.piece, p.line, p.head, j.row.Pos()
	p.newly, p.prose = false, false
	p.tall += p.height(j.row)
	p.prev = j.row
	p.jobs = append(p.jobs, j)
	return true
}

// height of a row in millimetres, as far as its stitch tells; 0 without a
// gauge.
func (p *planner) height(r *notation.Row) float64 {
	if p.w.opt.Gauge == nil {
		return 0
	}
	main, _ := p.w.prevailing(r.Steps, "")
	if !hasStitches(r.Steps) {
		return 0
	}
	return p.w.opt.Gauge.rowHeight(p.w.entry(main).height, p.w)
}

// fresh says whether a row begins a piece of its own, whatever was made
// before.
func (p *planner) fresh(r *notation.Row, after []notation.Line) bool {
	if p.prev == nil {
		return startsAlone(r.Steps)
	}
	if ring(r.Steps) {
		return true
	}
	if !startsAlone(r.Steps) {
		return false
	}
	if hasStitches(r.Steps) {
		n := 0
		if r.Label.From.Said() {
			n = r.Label.From.At(p.w.size)
		}
		return p.newly || n == 1 && p.last >= 1
	}
	if p.newly || ends(p.prev.Steps) {
		return true
	}
	for _, l := range after {
		if next, ok := l.(*notation.Row); ok && len(next.Steps) > 0 {
			return next.Label.From.Said() && next.Label.From.At(p.w.size) <= 1
		}
	}
	return false
}

// startsAlone says whether steps begin with a foundation of their own.
func startsAlone(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Ring:
			return true
		case *notation.Chain:
			return !hasStitches(steps) || backAlong(steps) || !s.Many.Said() || s.Many.At(0) > 6
		case *notation.Stitches:
			e, ok := stitch.Lookup(s.Name)
			return s.Into.What == notation.RingCentre || s.Into.What == notation.ChainFromHook || ok && e.Kind == stitch.Foundation
		case *notation.Remark, *notation.Mark:
		default:
			return false
		}
	}
	return false
}

// backAlong says whether stitches go back along chains just made, or into a
// ring of them.
func backAlong(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			return s.Into.What == notation.ChainFromHook || s.Into.What == notation.RingCentre || s.Into.What == notation.ChainStitch
		case *notation.Join, *notation.Ring:
			return true
		case *notation.Group:
			if s.Into != nil {
				return s.Into.What == notation.RingCentre || s.Into.What == notation.ChainFromHook
			}
			return backAlong(s.Steps)
		}
	}
	return false
}

func ring(steps []notation.Step) bool {
	for _, s := range steps {
		if _, ok := s.(*notation.Ring); ok {
			return true
		}
	}
	return false
}

func ends(steps []notation.Step) bool {
	for _, s := range steps {
		if _, ok := s.(*notation.FastenOff); ok {
			return true
		}
	}
	return false
}

func hasStitches(steps []notation.Step) bool {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			return true
		case *notation.Group:
			if hasStitches(s.Steps) {
				return true
			}
		}
	}
	return false
}
