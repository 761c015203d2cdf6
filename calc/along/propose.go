package along

import (
	"math"

	"countwright/calc/pace"
	"countwright/calc/schedule"
)

// How many milestones are proposed where nothing says how many, and after how
// many days each: so that a group meets about once a week, and not too often.
// Common practice, no source.
const (
	fewest    = 3
	most      = 10
	usualDays = 5 // of work
)

// freeEnds is how much more the ends of pieces weigh where no rhythm asks for
// like amounts of work.
const freeEnds = 3

// costOfOther is what it costs each milestone that there is one more or fewer of
// them than usual.
const costOfOther = 0.05

// Sewing up and weaving in ends take this part of the time that the rows take,
// and days at least. Common practice, no source.
const (
	finishingShare = 0.08
	finishingDays  = 2
)

// Milestones proposes where a group meets in the work: at the ends of pieces
// and sections where these divide it into like amounts, and within long ones.
// Each date is the first day by which a maker of the relaxed pace has done what
// comes before. With a rhythm or with dates given, the work is shared out to
// those instead. Where there are several pieces, the last milestone is for
// finishing; rows can't tell of it, so it has no goals.
//
// Errors are *pace.PlanError, *RangeError, *DatesError and
// *schedule.DateError.
func Milestones(plan pace.Plan, o Options) ([]Milestone, error) {
	if err := plan.Check(); err != nil {
		return nil, err
	}
	if err := o.check(); err != nil {
		return nil, err
	}
	p := proposal{Options: o, pieces: plan.Pieces()}
	if n := len(p.pieces); n > MostPieces {
		return nil, &RangeError{"pieces", n, 1, MostPieces}
	}
	for _, piece := range p.pieces {
		p.all += piece.Stitches(len(piece.Rows))
	}
	if days := float64(p.all) / o.daily(); days > MostDays {
		return nil, &RangeError{"days of work", int(min(days, math.MaxInt32)), 1, MostDays}
	}
	p.finishing = len(p.pieces) > 1
	if err := p.divide(); err != nil {
		return nil, err
	}
	return p.milestones()
}

// proposal is milestones on their way.
type proposal struct {
	Options
	pieces    []pace.Piece
	all       int // stitches
	finishing bool
	steps     []step
	ends      []int // the last step of each milestone
}

// divide settles how many milestones there are, and where.
func (p *proposal) divide() error {
	finish := 0
	if p.finishing {
		finish = 1
	}
	switch {
	case len(p.Dates) > 0:
		if len(p.Dates) == 1 {
			p.finishing = false
		}
		p.share(p.toDates(max(1, len(p.Dates)-finish)))
	case p.Every > 0:
		each := p.daily() * float64(p.Every*(7-p.restDays())) / 7
		n := max(int(math.Ceil(float64(p.all)/each-slack)), fewest-finish)
		if n+finish > MostMilestones {
			return &RangeError{"milestones", n + finish, 1, MostMilestones}
		}
		p.share(p.even(n))
	default:
		usual := min(max(int(math.Round(float64(p.all)/(p.daily()*usualDays))), fewest-finish), most-finish)
		lowest := math.Inf(1)
		for _, n := range []int{usual, usual - 1, usual + 1} {
			if n < fewest-finish || n > most-finish {
				continue
			}
			q := *p
			cost := q.share(q.even(n)) / float64(n)
			if n != usual {
				cost += costOfOther
			}
			if cost < lowest {
				lowest, *p = cost, q
			}
		}
	}
	return nil
}

// even is n like shares of the stitches.
func (p *proposal) even(n int) []float64 {
	sizes := make([]float64, n)
	for i := range sizes {
		sizes[i] = float64(p.all) / float64(n)
	}
	return sizes
}

// toDates shares the stitches out to the first n of the dates, by the days of
// work up to each.
func (p *proposal) toDates(n int) []float64 {
	sizes := make([]float64, n)
	from, sum := p.Start, 0.
	for i := range sizes {
		sizes[i] = max(p.between(from, p.Dates[i]), 1) // a milestone on the first day has a little too
		from, sum = p.Dates[i], sum+sizes[i]
	}
	for i := range sizes {
		sizes[i] *= float64(p.all) / sum
	}
	return sizes
}

// share takes the work apart and together again for milestones of such sizes,
// or for fewer where it can't be taken apart so far. It returns what that costs.
func (p *proposal) share(sizes []float64) float64 {
	size := float64(p.all) / float64(len(sizes))
	p.steps = steps(p.pieces, size)
	for finer := size; len(p.steps) < len(sizes) && finer > size/2; {
		finer *= 0.8
		p.steps = steps(p.pieces, finer)
	}
	if n := len(p.steps); n < len(sizes) {
		sizes = p.even(n)
	}
	var cost float64
	weight := 1.
	if p.Every == 0 && len(p.Dates) == 0 {
		weight = freeEnds
	}
	p.ends, cost = group(p.steps, sizes, weight)
	return cost
}

// milestones writes them out, with their dates.
func (p *proposal) milestones() ([]Milestone, error) {
	var out []Milestone
	done := 0
	first := 0
	for i, end := range p.ends {
		m := Milestone{Goals: p.goals(p.steps[end])}
		for _, s := range p.steps[first : end+1] {
			m.Stitches += s.stitches
		}
		done += m.Stitches
		m.Title, m.About = p.title(first, end), p.about(first, end)
		m.Date = p.date(i, float64(done))
		out, first = append(out, m), end+1
	}
	if p.finishing {
		extra := max(float64(p.all)*finishingShare, finishingDays*p.daily())
		m := Milestone{Title: "Finishing: weave in the ends", About: []string{AboutEnds}, Date: p.date(len(out), float64(p.all)+extra)}
		if p.things() > 1 {
			m.Title, m.About = "Finishing: sew up and weave in the ends", []string{AboutSeam, AboutEnds}
		}
		out = append(out, m)
	}
	for i := 1; i < len(out) && len(p.Dates) == 0; i++ {
		if !out[i-1].Date.Before(out[i].Date) {
			out[i].Date = p.meeting(out[i-1].Date.Add(1))
		}
	}
	return out, out[len(out)-1].Date.Check()
}

// date is when milestone i (from 0) is, before which so many stitches are
// worked.
func (p *proposal) date(i int, stitches float64) schedule.Date {
	switch {
	case len(p.Dates) > 0:
		return p.Dates[min(i, len(p.Dates)-1)]
	case p.Every > 0:
		return p.meeting(p.Start.Add((i + 1) * p.Every))
	default:
		return p.after(stitches)
	}
}

// goals is all that is done at the end of a step.
func (p *proposal) goals(end step) []Goal {
	var out []Goal
	for i, piece := range p.pieces[:end.piece+1] {
		if i < end.piece || end.row == len(piece.Rows) {
			out = append(out, Goal{Piece: piece.Title(), Share: 1})
			continue
		}
		sections := Sections(piece)
		s := sections[end.section]
		g := Goal{Piece: piece.Title(), Section: end.section + 1, Sections: len(sections)}
		if end.row < s.To {
			g.Within = float64(piece.Stitches(end.row)-piece.Stitches(s.From)) / float64(s.Stitches)
		}
		g.Share = float64(piece.Stitches(end.row)) / float64(piece.Stitches(len(piece.Rows)))
		out = append(out, g)
	}
	return out
}

// begin is where a milestone begins whose first step is given: a piece and the
// rows of it that are done.
func (p *proposal) begin(first int) (piece, row int) {
	if first == 0 {
		return 0, 0
	}
	s := p.steps[first-1]
	if s.row == len(p.pieces[s.piece].Rows) {
		return s.piece + 1, 0
	}
	return s.piece, s.row
}
