package fabric

import (
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// checked is how a stated count compares with the work.
type checked struct {
	ok    bool
	said  int    // the count that does not hold, else the total
	made  int    // what was made of it
	what  string // of what: "st", "sc", "ch-2 sp"
	total bool   // it is a count of stitches: the row is off by said - made of them
}

// check compares a row with the count that the text states.
func (w *worker) check(o *outcome, claim *notation.Claim) checked {
	c := checked{ok: true}
	if claim == nil || o.unread {
		return c
	}
	for _, e := range claim.Entries {
		if !e.Count.Said() {
			continue
		}
		said := e.Count.At(w.size)
		made, known := w.madeOf(o, e.What, said, len(claim.Entries) > 1)
		if known && made != said {
			return checked{said: said, made: made, what: e.What, total: o.made && w.isSingle(e.What)}
		}
	}
	c.said, _ = claimed(claim, w.size)
	return c
}

// claimed is the total of stitches that a claim states, and false if it states
// no such thing.
func claimed(claim *notation.Claim, size int) (int, bool) {
	if claim == nil || len(claim.Entries) == 0 {
		return 0, false
	}
	n, some := 0, false
	for _, e := range claim.Entries {
		if _, space := spaceWord(e.What); space || isChains(e.What) && len(claim.Entries) > 1 {
			continue
		}
		n, some = n+e.Count.At(size), true
	}
	if !some {
		return claim.Entries[0].Count.At(size), true
	}
	return n, true
}

// madeOf is how many of a thing the row has; false when it cannot be counted.
func (w *worker) madeOf(o *outcome, what string, said int, mixed bool) (int, bool) {
	t := &o.totals
	if isStitches(what) {
		if !o.made {
			return o.count.Stitches, true
		}
		return w.stated(t), true
	}
	if size, ok := spaceWord(what); ok {
		return t.spacesOf(size), true
	}
	if isChains(what) {
		if !o.made {
			return o.count.Stitches, true
		}
		return pick(said, t.chains, t.fills), true
	}
	id := stitch.ID(strings.ToLower(what))
	if n := of(t.units, id); n > 0 {
		return n, true
	}
	if e := w.entry(id); e.kind == stitch.Group {
		n := shells(o.count.Made, 1)
		return n, n > 0 && e.parts != nil && len(e.parts) == 1 // a V may be written in other ways
	}
	return w.madeStitches(t, id, said, mixed)
}

// madeStitches counts stitches of a name: that very stitch, or every form of
// it, decreases among them.
func (w *worker) madeStitches(t *totals, id stitch.ID, said int, mixed bool) (int, bool) {
	exact, family, incs := of(t.by, id), 0, of(t.units, "inc")
	for _, b := range t.by {
		if b.ID == id || w.baseOf(b.ID) == id {
			family += b.N
		}
	}
	if _, known := stitch.Lookup(id); !known && exact == 0 {
		return 0, false
	}
	if id == "dec" || id == "inc" {
		return w.madeShaping(t, id), true
	}
	turning := 0
	if w.reads.mode == modeBare {
		turning = t.turning
	}
	if mixed {
		return pick(said, family-turning, exact-turning, family-2*incs, exact-of(t.within, id)), true
	}
	return pick(said, family-turning, exact-turning), true
}

// shells counts the places that hold three stitches or more, which is what a
// text calls shells where it does not work them by name.
func shells(made []Made, times int) int {
	n := 0
	for i := range made {
		m := &made[i]
		switch {
		case m.Repeat != nil:
			n += shells(m.Repeat, times*m.N)
		case m.Each >= 3 && m.ID != chainID:
			n += times * m.N
		}
	}
	return n
}

// isSingle says whether a word counts single stitches.
func (w *worker) isSingle(what string) bool {
	if isStitches(what) {
		return true
	}
	_, space := spaceWord(what)
	return !space && !isChains(what) && w.entry(stitch.ID(strings.ToLower(what))).kind != stitch.Group
}

func (w *worker) madeShaping(t *totals, id stitch.ID) int {
	if id == "inc" {
		return of(t.units, id)
	}
	n := 0
	for _, b := range t.by {
		if w.entry(b.ID).kind == stitch.Together || b.ID == "invdec" {
			n += b.N
		}
	}
	return n
}

// of is how many of an ID a list has.
func of(list []Tally, id stitch.ID) int {
	for _, t := range list {
		if t.ID == id {
			return t.N
		}
	}
	return 0
}

// pick returns said if it is among the readings, else the first of them.
func pick(said int, readings ...int) int {
	for _, r := range readings {
		if r == said {
			return r
		}
	}
	return readings[0]
}

func isStitches(what string) bool {
	switch strings.ToLower(what) {
	case "", "st", "sts", "stitch", "stitches", "st total":
		return true
	}
	return false
}

func isChains(what string) bool {
	switch strings.ToLower(what) {
	case "ch", "chs", "chain", "chains":
		return true
	}
	return false
}

// spaceWord reads "ch-2 sp", "loop", "sps": the size is 0 for any.
func spaceWord(what string) (size int, ok bool) {
	low := strings.ToLower(what)
	for _, f := range strings.FieldsFunc(low, func(r rune) bool { return r == ' ' || r == '-' }) {
		switch strings.TrimSuffix(f, "s") {
		case "sp", "space", "loop", "lp", "arch", "arche":
			ok = true
		default:
			n := 0
			for _, d := range f {
				if d < '0' || d > '9' || n > maxStitches {
					n = 0
					break
				}
				n = n*10 + int(d-'0')
			}
			if n > 0 {
				size = n
			}
		}
	}
	return size, ok
}
