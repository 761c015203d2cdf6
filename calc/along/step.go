package along

import (
	"math"

	"countwright/calc/pace"
)

// step is a stretch of the work that is not taken apart: a section, or a share
// of a long one, or several short ones.
type step struct {
	piece, section int // where it ends, from 0
	row            int // rows of the piece that are done at its end
	part, parts    int // it ends with so many of so many shares of the section
	stitches       int
	cost           float64 // of ending a milestone there
}

// What it costs to end a milestone at a place, against the square of what its
// work is off, as a part of what it should be. Too much counts more than too
// little.
const (
	costOfPiece   = 0.04 // "Back, hem": a piece of a thing that goes on
	costOfSection = 0.06
	costOfShare   = 0.12
	tooMuch       = 2.0
)

// Sections of more than longSection times what a milestone should have can be
// taken apart; steps of less than 1/shortStep of it are taken together.
const (
	longSection = 1.25
	shortStep   = 12
)

// steps divides the work into stretches for milestones of about so many
// stitches.
func steps(pieces []pace.Piece, size float64) []step {
	var out []step
	carried := 0
	for i, p := range pieces {
		sections := Sections(p)
		for j, s := range sections {
			parts := 1
			if float64(s.Stitches) > longSection*size {
				parts = min(max(2, int(math.Round(float64(s.Stitches)/size))), s.To-s.From)
			}
			from := s.From
			for n := 1; n <= parts; n++ {
				next := step{piece: i, section: j, row: s.To, part: n, parts: parts, cost: costOfShare}
				if n < parts {
					row := rowsFor(p, s.From, s.To, float64(s.Stitches*n)/float64(parts))
					next.row = min(max(row, from+1), s.To-(parts-n))
				} else {
					next.cost = costOfEnd(pieces, i, j == len(sections)-1)
				}
				next.stitches = carried + p.Stitches(next.row) - p.Stitches(from)
				last := i == len(pieces)-1 && next.row == len(p.Rows)
				from, carried = next.row, next.stitches
				if last || float64(next.stitches)*shortStep >= size {
					out, carried = append(out, next), 0
				}
			}
		}
	}
	return out
}

// costOfEnd is what it costs to end with a section: nothing where a whole thing
// is made.
func costOfEnd(pieces []pace.Piece, at int, last bool) float64 {
	switch {
	case !last:
		return costOfSection
	case at+1 < len(pieces) && thingOf(pieces[at]) == thingOf(pieces[at+1]):
		return costOfPiece
	default:
		return 0
	}
}

// group takes steps together into as many milestones as there are sizes, each
// of about its size, and returns the index of each one's last step and the
// cost. It needs as many steps at least. The more ends weigh, the more milestones
// end with a piece rather than with the size.
func group(list []step, sizes []float64, ends float64) ([]int, float64) {
	n := len(list)
	sum := make([]float64, n+1)
	for i, s := range list {
		sum[i+1] = sum[i] + float64(s.stitches)
	}
	best := make([]float64, n+1)
	for i := range best[1:] {
		best[i+1] = math.Inf(1)
	}
	from := make([][]int, len(sizes))
	for g, size := range sizes {
		next := make([]float64, n+1)
		from[g] = make([]int, n+1)
		for end := range next {
			next[end] = math.Inf(1)
			for begin := g; begin < end; begin++ {
				off := (sum[end]-sum[begin])/size - 1
				if off > 0 {
					off *= math.Sqrt(tooMuch)
				}
				cost := best[begin] + off*off + ends*list[end-1].cost
				if cost < next[end] {
					next[end], from[g][end] = cost, begin
				}
			}
		}
		best = next
	}
	last := make([]int, len(sizes))
	for g, end := len(sizes)-1, n; g >= 0; g-- {
		last[g] = end - 1
		end = from[g][end]
	}
	return last, best[n]
}
