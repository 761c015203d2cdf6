package fabric

import (
	"fmt"
	"math"

	"countwright/calc/notation"
)

// again plans rows that are worked like earlier ones.
func (p *planner) again(a *notation.Again, after []notation.Line) {
	if !inSize(a.Sizes, p.w.size) {
		return
	}
	like := p.like(a)
	if len(like) == 0 {
		return
	}
	nums := p.numbers(a.Label, a.Pos())
	rows := len(nums)
	if rows == 0 {
		rows = p.howMany(a, like, after) * len(like)
	}
	for i := range min(rows, maxRows) {
		r := like[i%len(like)]
		n := p.last + 1
		if len(nums) > 0 {
			n = nums[i]
		} else if p.last == 0 {
			n = 0
		}
		j := job{row: r, number: n, label: p.labelOf(r.Label.Kind, n), again: true}
		if i == rows-1 {
			j.claim = a.Claim
		}
		p.byNum[n] = r
		if !p.add(j) {
			return
		}
		p.jobs[len(p.jobs)-1].pos = a.Pos()
		p.last = n
	}
}

// like finds the rows that are to be worked again.
func (p *planner) like(a *notation.Again) []*notation.Row {
	label := "Rows"
	if nums := p.numbers(a.Label, a.Pos()); len(nums) > 0 {
		label = p.labelOf(a.Label.Kind, nums[0])
	}
	if len(a.Like) == 0 {
		return p.back(max(1, a.Back), a, label)
	}
	var rows []*notation.Row
	for _, n := range a.Like {
		r, ok := p.byNum[n]
		if !ok {
			p.w.find(KindRows, fmt.Sprintf("row %d, which is to be repeated, does not stand before it", n), a.Pos(), label)
			return nil
		}
		rows = append(rows, r)
	}
	return rows
}

// back finds the last n rows.
func (p *planner) back(n int, a *notation.Again, label string) []*notation.Row {
	var rows []*notation.Row
	for i := len(p.jobs) - n; i < len(p.jobs); i++ {
		if i >= 0 && p.jobs[i].piece == p.piece {
			rows = append(rows, p.jobs[i].row)
		}
	}
	if len(rows) < n {
		p.w.find(KindRows, fmt.Sprintf("there are not %s before it that could be repeated", plural(n, "row")), a.Pos(), label)
		return nil
	}
	return rows
}

// howMany is how often a list of rows is worked again.
func (p *planner) howMany(a *notation.Again, like []*notation.Row, after []notation.Line) int {
	gap := p.gap(after, len(like))
	n := 1
	switch {
	case a.Times.Said():
		n = a.Times.At(p.w.size)
		if gap == n-1 && n > 1 && !a.More {
			p.w.assume(fmt.Sprintf("“%d times” counts the first working, as the next row's number shows", n), a.Pos(), "")
			return n - 1
		}
		if !a.More {
			p.w.assume(fmt.Sprintf("“repeat … %d times” is taken as %d times more, after the first working", n, n), a.Pos(), "")
		}
	case gap > 0:
		n = gap
		p.w.assume(fmt.Sprintf("repeated %s, as the next row's number shows", plural(n, "time")), a.Pos(), "")
	case a.Until > 0 && p.w.opt.Gauge != nil:
		n = p.until(float64(a.Until), like)
		p.w.assume(fmt.Sprintf("repeated %s to reach %.0f mm at this gauge", plural(n, "time"), float64(a.Until)), a.Pos(), "")
	default:
		p.w.assume("how often the rows are repeated is not stated as a number: they are worked once more", a.Pos(), "")
	}
	return n
}

// gap tells from the number of the next row how often a list was repeated; 0
// when it does not.
func (p *planner) gap(after []notation.Line, like int) int {
	if len(after) == 0 || p.last == 0 {
		return 0
	}
	from := 0
	switch l := after[0].(type) {
	case *notation.Row:
		if l.Label.From.Said() {
			from = l.Label.From.At(p.w.size)
		}
	case *notation.Again:
		if l.Label.From.Said() {
			from = l.Label.From.At(p.w.size)
		}
	}
	if rows := from - 1 - p.last; rows > 0 && rows%like == 0 {
		return rows / like
	}
	return 0
}

// until is how often rows are worked to reach a height.
func (p *planner) until(mm float64, like []*notation.Row) int {
	one := 0.0
	for _, r := range like {
		one += p.height(r)
	}
	if one <= 0 {
		return 1
	}
	n := math.Round((mm - p.tall) / one)
	return int(max(0, min(n, maxRows)))
}
