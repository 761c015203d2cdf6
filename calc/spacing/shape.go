// Package spacing spreads things evenly: increases and decreases over a row or
// round, shaping over rows, picked-up stitches along an edge, buttonholes.
//
// Evenly means: the gaps between neighbours differ by at most one. In a round
// the places form a maximally even set (Clough & Douthett, "Maximally even
// sets", J. Music Theory 35, 1991, 93-173; the same sets as the Euclidean
// rhythms of Toussaint, Proc. BRIDGES 2005, 47-56). In a flat row each place is
// the nearest to its ideal one, half a gap stays at both ends, and the row is
// its own mirror image wherever arithmetic permits.
package spacing

// Kind says what is shaped: a flat row or a closed round.
type Kind uint8

const (
	Row Kind = iota
	Round
)

// Change says which way the stitch count goes.
type Change uint8

const (
	Increase Change = iota // several stitches into one
	Decrease               // two stitches worked together
)

// Most stitches, events and rows that are spread.
const Most = 1_000_000

// Plan is a row or round with its shaping spread evenly.
type Plan struct {
	Kind     Kind
	Change   Change
	Stitches int // before
	Events   int // increases or decreases
	Result   int // stitches after

	// Positions names the stitch that is shaped for each event, from 1, in
	// order. Of increases it is the stitch that is worked into: one that takes
	// two increases stands here twice (three stitches into it). Of decreases
	// it is the first of the two stitches worked together; the second is the
	// next stitch, and no two pairs overlap.
	Positions []int
}

// Shape spreads increases or decreases over a row or round. There may be more
// increases than stitches: each stitch then takes several, as evenly as can
// be. There can be at most half as many decreases as stitches. Errors are
// *LimitError.
func Shape(stitches, events int, kind Kind, change Change) (Plan, error) {
	p := Plan{Kind: kind, Change: change, Stitches: stitches, Events: events}
	if err := limit("stitches", stitches, 1, Most, ""); err != nil {
		return p, err
	}
	if change == Decrease {
		if err := limit("decreases", events, 0, stitches/2, "each takes two stitches"); err != nil {
			return p, err
		}
		p.Result = stitches - events
		p.Positions = spread(p.Result, events, kind)
		for j := range p.Positions { // each pair before this one adds a stitch
			p.Positions[j] += j
		}
		return p, nil
	}
	if err := limit("increases", events, 0, Most, ""); err != nil {
		return p, err
	}
	p.Result = stitches + events
	p.Positions = spread(stitches, events, kind)
	return p, nil
}

// spread chooses places from 1 to n for k things, in order, evenly; with more
// things than places each place takes its equal share first.
func spread(n, k int, kind Kind) []int {
	each, extra := k/n, k%n
	places := make([]int, 0, k)
	next := 1
	for j := 1; j <= extra; j++ {
		at := place(n, extra, j, kind)
		places = fill(places, next, at, each)
		places = append(places, at)
		next = at
		if each > 0 { // this place's share first, then the rest from the next
			places = fill(places, at, at+1, each)
			next = at + 1
		}
	}
	return fill(places, next, n+1, each)
}

// fill appends each place from first to before limit, so many times.
func fill(places []int, first, limit, times int) []int {
	if times == 0 {
		return places
	}
	for at := first; at < limit; at++ {
		for range times {
			places = append(places, at)
		}
	}
	return places
}

// place is the place of the j-th of k things (k ≤ n): the stitch nearest to
// (j - ½)·n/k. Where two are equally near it is the later one; but a row that
// can be a mirror image takes the one nearer its middle. (It can't be one if
// an odd number of things has no middle stitch to lie on.)
func place(n, k, j int, kind Kind) int {
	mirror := kind == Row && (k%2 == 0 || n%2 == 1)
	if mirror && 2*j > k+1 {
		return n + 1 - place(n, k, k+1-j, kind)
	}
	return (2*j-1)*n/(2*k) + 1
}

// Mirrored says whether the shaping is its own mirror image.
func (p Plan) Mirrored() bool {
	ends := p.Stitches + 1
	if p.Change == Decrease {
		ends = p.Stitches
	}
	for i, at := range p.Positions {
		if at+p.Positions[len(p.Positions)-1-i] != ends {
			return false
		}
	}
	return true
}

// Step is a stretch of the row as it is worked: plain stitches, then one
// shaped place.
type Step struct {
	Plain int // stitches worked one by one
	Into  int // then so many stitches into the next one; 0 in a decrease or at the end
	Pairs int // then so many decreases: 1, or 0
}

// Steps is the row in working order, one step an event's place; what is left
// at the end is a step of plain stitches only.
func (p Plan) Steps() []Step {
	steps := make([]Step, 0, min(len(p.Positions), p.Stitches)+1)
	done := 0 // stitches used up
	for i := 0; i < len(p.Positions); i++ {
		at := p.Positions[i]
		if p.Change == Decrease {
			steps = append(steps, Step{Plain: at - 1 - done, Pairs: 1})
			done = at + 1
			continue
		}
		into := 2
		for i+1 < len(p.Positions) && p.Positions[i+1] == at {
			into++
			i++
		}
		steps = append(steps, Step{Plain: at - 1 - done, Into: into})
		done = at
	}
	if done < p.Stitches {
		steps = append(steps, Step{Plain: p.Stitches - done})
	}
	return steps
}

// Repeats is Steps with what repeats drawn together, as the trade writes it:
// [5 plain, increase] 3 times.
func (p Plan) Repeats() []Repeat[Step] { return repeats(p.Steps()) }
