package along

import (
	"strings"

	"countwright/calc/pace"
)

// Target is a goal in one member's rows.
type Target struct {
	Piece int `json:"piece"` // index into her plan's pieces
	Rows  int `json:"rows"`  // that must be done, from 1
}

// Targets is what one milestone asks of a member, in the rows of her own plan.
// Goals in pieces that her plan lacks are left out: she does not make them.
func Targets(plan pace.Plan, m Milestone) []Target {
	pieces := plan.Pieces()
	return targets(pieces, byTitle(pieces), m)
}

// byTitle is the index of each piece.
func byTitle(pieces []pace.Piece) map[string]int {
	at := map[string]int{}
	for i, p := range pieces {
		at[strings.ToLower(p.Title())] = i
	}
	return at
}

func targets(pieces []pace.Piece, at map[string]int, m Milestone) []Target {
	var out []Target
	for _, g := range m.Goals {
		i, ok := at[strings.ToLower(g.Piece)]
		if !ok {
			continue
		}
		if rows := g.rows(pieces[i]); rows > 0 {
			out = append(out, Target{i, rows})
		}
	}
	return out
}

// AllTargets is the targets of each milestone: what it asks beyond those before
// it. A member whose plan has none of
// the pieces, such as one of whose work only the rows are known, gets the same
// shares of the whole.
func AllTargets(plan pace.Plan, ms []Milestone) [][]Target {
	out := make([][]Target, len(ms))
	pieces := plan.Pieces()
	at := byTitle(pieces)
	known, all, goals := false, 0, 0
	for i, m := range ms {
		out[i] = targets(pieces, at, m)
		known = known || len(out[i]) > 0
		all, goals = all+m.Stitches, goals+len(m.Goals)
	}
	if known || all == 0 || goals == 0 {
		return further(out)
	}
	whole, sum := 0, 0
	for _, p := range pieces {
		whole += p.Stitches(len(p.Rows))
	}
	for i, m := range ms {
		if sum += m.Stitches; len(m.Goals) > 0 {
			out[i] = upTo(pieces, float64(whole)*float64(sum)/float64(all))
		}
	}
	return further(out)
}

// further leaves out of each milestone's targets what those before it ask
// already. One that asks nothing more keeps the last of its targets, by which
// rows tell of it.
func further(all [][]Target) [][]Target {
	asked := map[int]int{}
	for i, list := range all {
		var more []Target
		for _, t := range list {
			if t.Rows > asked[t.Piece] {
				asked[t.Piece], more = t.Rows, append(more, t)
			}
		}
		if n := len(list); n > 0 && len(more) == 0 {
			more = list[n-1:]
		}
		all[i] = more
	}
	return all
}

// upTo is the rows in which so many stitches of the whole are worked, the
// pieces being worked one after another.
func upTo(pieces []pace.Piece, stitches float64) []Target {
	var out []Target
	for i, p := range pieces {
		if stitches <= slack {
			break
		}
		out = append(out, Target{i, rowsFor(p, 0, len(p.Rows), stitches)})
		stitches -= float64(p.Stitches(len(p.Rows)))
	}
	return out
}

// slack is less than a stitch: sums of shares are a little off.
const slack = 1e-6

// rows is how many rows of a member's piece reach the goal.
func (g Goal) rows(p pace.Piece) int {
	if g.Section == 0 {
		return len(p.Rows)
	}
	sections := Sections(p)
	if len(sections) != g.Sections || g.Section < 0 || g.Section > g.Sections {
		return rowsFor(p, 0, len(p.Rows), g.Share*float64(p.Stitches(len(p.Rows))))
	}
	s := sections[g.Section-1]
	if g.Within == 0 {
		return s.To
	}
	return rowsFor(p, s.From, s.To, g.Within*float64(s.Stitches))
}

// rowsFor is the row between two up to which so many stitches are worked from
// the first.
func rowsFor(p pace.Piece, from, to int, stitches float64) int {
	for row := from; row < to; row++ {
		if stitches <= slack {
			return row
		}
		stitches -= float64(p.Rows[row].Worked)
	}
	return to
}

// Reached reports whether a milestone's targets are met by the rows done of
// each piece. One without targets is never met by rows.
func Reached(done []int, targets []Target) bool {
	for _, t := range targets {
		if t.Piece < 0 || t.Piece >= len(done) || done[t.Piece] < t.Rows {
			return false
		}
	}
	return len(targets) > 0
}

// Progress is how many milestones are reached, in their order, by the rows
// done of each piece, and how far the way to the next one is done, from 0 to
// 1, by rows. A milestone without targets, which rows can't tell of, is reached
// with the next one that has some.
func Progress(done []int, targets [][]Target) (reached int, share float64) {
	before := map[int]int{} // rows of each piece that the milestones reached ask
	for i, list := range targets {
		if len(list) == 0 {
			continue
		}
		if !Reached(done, list) {
			return reached, way(done, before, list)
		}
		reached = i + 1
		for _, t := range list {
			before[t.Piece] = max(before[t.Piece], t.Rows)
		}
	}
	return reached, 0
}

// way is the share of the rows from one milestone to the next that are done.
func way(done []int, before map[int]int, next []Target) float64 {
	asked, worked := 0, 0
	for _, t := range next {
		from := before[t.Piece]
		asked += max(0, t.Rows-from)
		if t.Piece >= 0 && t.Piece < len(done) {
			worked += max(0, min(done[t.Piece], t.Rows)-from)
		}
	}
	if asked == 0 {
		return 0
	}
	return float64(worked) / float64(asked)
}
