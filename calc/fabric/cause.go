package fabric

import (
	"fmt"
	"strings"

	"countwright/calc/notation"
)

// remedy is an edit that mends a row, and what follows from it.
type remedy struct {
	edit
	out     *outcome
	next    state
	trouble int // rows ahead that still do not hold
	like    string
}

// explain finds the likely cause of a fault, writes the finding, and decides
// what the next row begins on.
func (p *pass) explain(i int, st state, o *outcome, c checked) state {
	j := &p.jobs[i]
	next := o.next
	f := p.finding(i, o, c)
	var worked, stated int
	var best, back *remedy
	p.w.search(func() {
		worked = p.trouble(i+1, o.next, horizon)
		stated = worked
		if c.total && !c.ok {
			stated = p.trouble(i+1, p.w.moved(o, c.said-c.made), horizon)
		}
		best = p.remedy(i, st, j)
		if best == nil || best.trouble > min(stated, worked) || best.cost >= unlikely {
			back = p.lookBack(i, min(stated, worked))
		}
		if back != nil && best != nil && back.cost <= best.cost {
			best = nil
		}
	})
	switch {
	case !c.ok && worked < stated && (best == nil || worked < best.trouble || worked == best.trouble && best.far()):
		f.add(fmt.Sprintf("the rows after it go on from %s, so the stated count is the likely slip", p.w.countOf(c.made, c.what)), p.w.countOf(c.made, c.what))
	case best != nil && best.far() && worked == best.trouble && !c.ok:
		// nothing tells the count from the row: no cause is better than a wrong one
		if c.total {
			next = p.w.moved(o, c.said-c.made)
		}
	case best != nil && best.trouble <= min(stated, worked):
		f.add(best.cause, best.fix)
		next = best.next
		if c.ok && worked <= best.trouble {
			next = o.next
		}
	default:
		if back != nil {
			f.add(back.cause, back.fix)
			next = back.next
		} else if !c.ok && c.total && stated <= worked {
			next = p.w.moved(o, c.said-c.made)
		}
	}
	if !p.told[j.row] {
		p.found = append(p.found, f.Finding)
	}
	p.told[j.row] = j.again || rangeOf(j.row)
	return next
}

// unlikely is the cost from which on an edit is told only where the rows after
// it speak for it.
const unlikely = 4

// far says whether an edit is likely only where the rows after it speak for it.
func (r *remedy) far() bool { return r.like == "" && r.cost >= unlikely }

func rangeOf(r *notation.Row) bool {
	return len(r.Label.List) > 1 || r.Label.To.At(0) > r.Label.From.At(0)
}

// draft is a finding that still gathers its cause.
type draft struct {
	Finding
}

func (d *draft) add(cause, fix string) {
	if cause == "" {
		return
	}
	sep := ": "
	if strings.Contains(d.Message, ": ") {
		sep = "; "
	}
	d.Message += sep + cause
	d.Fix = fix
}

// finding states what is wrong with a row.
func (p *pass) finding(i int, o *outcome, c checked) *draft {
	j := &p.jobs[i]
	d := &draft{Finding{Label: j.label, Pos: j.pos, Size: p.w.size, Piece: j.piece, Row: i}}
	if len(o.faults) > 0 {
		d.Kind = o.faults[0].kind
		if s := o.faults[0].step; s != nil && s.Pos() != (notation.Pos{}) && !j.again {
			d.Pos = s.Pos()
		}
	}
	if !c.ok {
		d.Message = fmt.Sprintf("%s makes %s, the pattern says %s", j.label, p.w.countOf(c.made, c.what), p.w.countOf(c.said, c.what))
		if d.Kind == "" {
			d.Kind = KindClaim
			if j.claim.Pos() != (notation.Pos{}) {
				d.Pos = j.claim.Pos()
			}
		}
		if len(o.faults) > 0 {
			d.Message += ": " + o.faults[0].text
		}
		return d
	}
	d.Message = j.label + ": " + o.faults[0].text
	return d
}

// remedy is the likeliest single edit that makes a row hold; nil if none does.
func (p *pass) remedy(i int, st state, j *job) *remedy {
	var best *remedy
	shapes := p.neighbours(i)
	for _, e := range p.w.edits(j.row, &st) {
		if p.w.fuel <= 0 {
			break
		}
		row := *j.row
		row.Steps = e.steps
		p.w.fuel -= rowFuel
		o := p.w.work(&st, &row)
		if !o.holds(p.w, j.claim) {
			continue
		}
		r := &remedy{edit: e, out: o, next: o.next}
		r.trouble = p.trouble(i+1, o.next, horizon)
		r.weigh(shapes, e.steps)
		if best == nil || r.trouble < best.trouble || r.trouble == best.trouble && r.cost < best.cost {
			best = r
		}
	}
	if best != nil {
		best.tell()
	}
	return best
}

// weigh makes an edit likelier that gives the row the form of a neighbour.
func (r *remedy) weigh(shapes []shaped, steps []notation.Step) {
	exact, form := sketch(steps, true), sketch(steps, false)
	for _, s := range shapes {
		if s.exact == exact {
			r.cost -= 6
			r.like = s.label
			return
		}
	}
	for _, s := range shapes {
		if s.form == form {
			r.cost -= 2
			r.like = s.label
			if r.times > 0 && s.times == r.times {
				r.cost--
			}
			return
		}
	}
}

func (r *remedy) tell() {
	switch {
	case r.edge && r.like != "":
		r.cause = fmt.Sprintf("“%s” is worked at one edge, where %s has it at both", r.cause, r.like)
	case r.edge:
		r.cause = fmt.Sprintf("“%s” is worked at one edge only; at both it would fit", r.cause)
	case r.drops && r.like != "":
		r.cause = strings.TrimSuffix(r.cause, " is one too many") + " is worked once more than in " + r.like
	case r.like != "" && r.times > 0:
		r.cause += ", as in " + r.like
	}
}

// shaped is the form of a row near the one at fault.
type shaped struct {
	exact, form string // with its numbers, and without
	label       string
	times       int
}

// neighbours are the forms of other rows of the piece, the nearest first.
func (p *pass) neighbours(i int) []shaped {
	var all []shaped
	own := p.jobs[i].row
	for d := 1; d <= horizon; d++ {
		for _, k := range []int{i - d, i + d} {
			if k < 0 || k >= len(p.jobs) || p.jobs[k].piece != p.jobs[i].piece || p.jobs[k].row == own {
				continue
			}
			r := p.jobs[k].row
			all = append(all, shaped{sketch(r.Steps, true), sketch(r.Steps, false), p.jobs[k].label, timesOf(r.Steps, p.w.size)})
		}
	}
	return all
}

func timesOf(steps []notation.Step, size int) int {
	for _, s := range steps {
		if g, ok := s.(*notation.Group); ok && g.Times.N.Said() {
			n := g.Times.N.At(size)
			if g.Times.More {
				n++
			}
			return n
		}
	}
	return 0
}

// sketch is the form of a row, with its numbers or without.
func sketch(steps []notation.Step, numbers bool) string {
	var b strings.Builder
	sketchTo(&b, steps, numbers)
	return b.String()
}

func sketchTo(b *strings.Builder, steps []notation.Step, numbers bool) {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches:
			b.WriteString(string(s.Name))
			if numbers {
				fmt.Fprint(b, max(1, s.Each.At(0)), max(1, s.Into.Many.At(0)), s.Into.Left.At(0))
			} else if s.Each.At(0) > 1 {
				b.WriteString("+")
			}
			fmt.Fprint(b, "/", s.Into.Choice, "/", s.Into.What, " ")
		case *notation.Group:
			b.WriteString("(")
			sketchTo(b, s.Steps, numbers)
			fmt.Fprint(b, ")", s.Times.To)
			if numbers {
				fmt.Fprint(b, "x", s.Times.N, s.Times.More, s.Times.Left)
			}
			if s.Into != nil {
				fmt.Fprint(b, "@", s.Into.What)
			}
		case *notation.Skip:
			b.WriteString("sk ")
			if numbers {
				fmt.Fprint(b, s.Many)
			}
		}
	}
}

// lookBack looks for the cause in the rows before that state no count. No more
// than most rows ahead may fail to hold with it.
func (p *pass) lookBack(i, most int) *remedy {
	var best *remedy
	for k := i - 1; k >= max(0, i-4); k-- {
		j := &p.jobs[k]
		if j.claim != nil || j.piece != p.jobs[i].piece || p.done[k] == nil || len(p.done[k].faults) > 0 || j.again || rangeOf(j.row) {
			break
		}
		st := p.before[k]
		for _, e := range p.w.edits(j.row, &st) {
			if p.w.fuel <= 0 {
				break
			}
			row := *j.row
			row.Steps = e.steps
			o := p.w.work(&st, &row)
			if len(o.faults) > 0 || p.trouble(k+1, o.next, i-k) > 0 {
				continue
			}
			r := &remedy{edit: e, out: o, next: p.replay(k+1, i, o.next)}
			r.trouble = p.trouble(i+1, r.next, horizon)
			r.weigh(p.neighbours(k), e.steps)
			if best == nil || r.trouble < best.trouble || r.trouble == best.trouble && r.cost < best.cost {
				r.like = j.label
				best = r
			}
		}
	}
	if best != nil && best.trouble <= most {
		label := best.like
		best.like = ""
		best.tell()
		best.cause = "the likely slip is in " + label + ", which states no count: " + best.cause
		return best
	}
	return nil
}

// replay works rows from one to another and returns the state behind them.
func (p *pass) replay(from, to int, st state) state {
	for i := from; i <= to; i++ {
		st = p.w.workOnce(&st, p.jobs[i].row).next
	}
	return st
}
