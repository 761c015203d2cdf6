package fabric

import "countwright/calc/stitch"

// kind is what a place of a row is.
type kind uint8

const (
	stitchCell kind = iota
	chainCell       // one chain of a foundation
	spaceCell       // chains between two stitches
	turnCell        // a turning chain, or the chains skipped at the start of a foundation
)

// cell is a place of a worked row that a later row can be worked into.
type cell struct {
	kind kind
	id   stitch.ID // the stitch; of a turning chain: the stitch it stands for
	size int       // chains in it
	of   int       // stitches worked together in one place, 0 for a single one
	same bool      // worked into the place of the cell before it
	dead bool      // no place when a text says "stitch": a space, a slip stitch for travelling, a turning chain that does not count
}

// width is how many chains or stitches the cell can be worked in, one by one.
func (c cell) width() int {
	if c.kind == spaceCell {
		return c.size
	}
	return 1
}

// live is how many stitches "in each stitch" finds in the cell.
func (c cell) live() int {
	if c.dead {
		return 0
	}
	return c.width()
}

// idle reports a cell that is no stitch and no space: nothing is lost where it
// is passed over.
func (c cell) idle() bool { return c.dead && c.kind != spaceCell }

// run is n equal cells, or n times the same cells.
type run struct {
	cell
	n    int
	sub  seq       // not nil: these, n times
	unit stitch.ID // the shell or other group that sub is; empty for a mere repeat
	raw  int       // cells in one of n
	live int       // stitches in one of n
	even bool      // of a repeat: every cell is one stitch
}

// seq is a row as the next row meets it: runs of cells, and repeats of runs.
// Repeats are not nested. A seq is never changed once it is made.
type seq []run

func leaf(c cell, n int) run { return run{cell: c, n: n, raw: 1, live: c.live()} }

func block(sub seq, n int, unit stitch.ID) run {
	r := run{n: n, sub: sub, unit: unit}
	r.raw, r.live = sub.weight()
	r.even = true
	for i := range sub {
		r.even = r.even && !sub[i].dead && sub[i].kind != spaceCell
	}
	return r
}

// weight returns the cells and stitches of the whole sequence.
func (s seq) weight() (raw, live int) {
	for i := range s {
		raw += s[i].n * s[i].raw
		live += s[i].n * s[i].live
	}
	return raw, live
}

// add appends a run, joined to the last one where both are alike.
func (s seq) add(r run) seq {
	if r.n <= 0 {
		return s
	}
	if k := len(s) - 1; k >= 0 && r.sub == nil && s[k].sub == nil && s[k].cell == r.cell {
		s[k].n += r.n
		return s
	}
	if k := len(s) - 1; k >= 0 && r.unit != "" && s[k].unit == r.unit && equal(s[k].sub, r.sub) {
		s[k].n += r.n
		return s
	}
	return append(s, r).fold()
}

// fold takes the last runs into the repeat before them, if they are that
// repeat once more.
func (s seq) fold() seq {
	for long := 1; long <= foldReach && long < len(s); long++ {
		at := len(s) - 1 - long
		if r := &s[at]; r.sub != nil {
			if len(r.sub) == long && r.unit == "" && equal(r.sub, s[at+1:]) {
				r.n++
				return s[:at+1]
			}
			return s
		}
	}
	return s
}

// foldReach is the longest repeat that fold recognizes.
const foldReach = 12

// flatLimit is the longest repeat unit that is kept as a repeat when it holds
// repeats itself.
const flatLimit = 64

// addTimes appends t, n times over.
func (s seq) addTimes(t seq, n int) seq {
	if n <= 0 || len(t) == 0 {
		return s
	}
	if n == 1 || len(t) == 1 && t[0].sub == nil {
		for _, r := range t {
			if len(t) == 1 {
				r.n *= n
			}
			s = s.add(r)
		}
		return s
	}
	if len(t) == 1 && t[0].unit != "" {
		r := t[0]
		r.n *= n
		return s.add(r)
	}
	flat := t.flat()
	if flat == nil {
		for range n {
			for _, r := range t {
				s = s.add(r)
			}
		}
		return s
	}
	for len(s) >= len(flat) && equal(flat, s[len(s)-len(flat):]) {
		s = s[:len(s)-len(flat)]
		n++
	}
	return append(s, block(flat, n, ""))
}

// price is how many runs adding this sequence n times handles.
func (s seq) price(n int) int {
	if n > 1 && len(s) > 1 && s.flat() == nil {
		return n * len(s)
	}
	return len(s)
}

// flat spells out the repeats within t; nil if that gets too long, or t holds
// groups that keep their name.
func (s seq) flat() seq {
	long := 0
	for _, r := range s {
		if r.unit != "" {
			return nil
		}
		long += max(1, len(r.sub)*r.n)
	}
	if long > flatLimit {
		return nil
	}
	out := make(seq, 0, long)
	for _, r := range s {
		if r.sub == nil {
			out = out.add(r)
			continue
		}
		for range r.n {
			for _, k := range r.sub {
				out = out.add(k)
			}
		}
	}
	return out
}

// reversed is the row as the next one meets it when the work is turned.
func (s seq) reversed() seq {
	if len(s) == 1 && s[0].sub == nil {
		return s
	}
	out := make(seq, len(s))
	for i, r := range s {
		if r.sub != nil {
			r.sub = r.sub.reversed()
		}
		out[len(s)-1-i] = r
	}
	return out
}

func equal(a, b seq) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		x, y := &a[i], &b[i]
		if x.cell != y.cell || x.n != y.n || x.unit != y.unit || !equal(x.sub, y.sub) {
			return false
		}
	}
	return true
}
