package fabric

import (
	"cmp"
	"slices"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// totals are the counts that a text may mean when it states one.
type totals struct {
	raw      int
	stitches int // with a turning chain that counts
	fills    int // chains that stand for stitches below them
	chains   int // all chains of spaces
	spaces   []sized
	slips    int // slip stitches that moved the hook along
	turning  int // 1 when the turning chain counts
	units    []Tally
	by       []Tally
	within   []Tally // of by, those that are part of a shell or another group with a name
}

// sized is how many spaces of one size there are.
type sized struct{ size, n int }

// total counts a finished row.
func (mk *maker) total(top seq) totals {
	t := totals{units: mk.out.units}
	t.raw, _ = top.weight()
	t.add(top, 1, false)
	by := map[stitch.ID]int{}
	tally(mk.out.made, 1, by)
	for id, n := range by {
		t.by = append(t.by, Tally{id, n})
	}
	slices.SortFunc(t.by, func(a, b Tally) int { return cmp.Compare(a.ID, b.ID) })
	return t
}

func (t *totals) add(s seq, times int, group bool) {
	for i := range s {
		r := &s[i]
		n := r.n * times
		switch {
		case r.sub != nil:
			t.add(r.sub, n, group || r.unit != "")
		case r.kind == spaceCell:
			t.chains += n * r.size
			if !r.dead {
				t.fills += n * r.size
			}
			t.space(r.size, n)
		case r.kind == stitchCell && r.dead:
			if r.id == slip {
				t.slips += n
			}
		case !r.dead:
			t.stitches += n
			if group {
				t.inGroup(r.id, n)
			}
			if r.kind == turnCell {
				t.turning += n
			}
		}
	}
}

func (t *totals) inGroup(id stitch.ID, n int) {
	for i := range t.within {
		if t.within[i].ID == id {
			t.within[i].N += n
			return
		}
	}
	t.within = append(t.within, Tally{id, n})
}

func (t *totals) space(size, n int) {
	for i := range t.spaces {
		if t.spaces[i].size == size {
			t.spaces[i].n += n
			return
		}
	}
	t.spaces = append(t.spaces, sized{size, n})
}

// spacesOf counts the spaces of a size, of any when it is 0.
func (t *totals) spacesOf(size int) int {
	n := 0
	for _, s := range t.spaces {
		if size == 0 || s.size == size {
			n += s.n
		}
	}
	return n
}

// tally counts stitches by name. A turning chain that counts is the stitch it
// stands for; one that does not is not counted.
func tally(made []Made, times int, by map[stitch.ID]int) {
	for i := range made {
		m := &made[i]
		switch {
		case m.Repeat != nil:
			tally(m.Repeat, times*m.N, by)
		case m.As != "":
			by[m.As] += times * m.N
		case !m.Turning:
			by[m.ID] += times * m.N * m.Each
		}
	}
}

// counted is the Count of a finished row.
func (mk *maker) counted(o *outcome) *Count {
	t := &o.totals
	c := &Count{By: t.by, Left: mk.left() + mk.missed, Turning: t.turning > 0, Made: mk.out.made, Base: mk.raw,
		Turned: mk.st.turned, main: mk.id}
	if mk.ring || mk.beyond || mk.side && c.Left <= 1 {
		c.Left = 0
	}
	if !o.made {
		c.Left, c.main = 0, ""
		if n := mk.found.chains; n > 0 && n != mk.st.chains {
			c.Stitches, c.By, c.Made = n, []Tally{{chainID, n}}, []Made{{ID: chainID, N: 1, Each: n}}
		}
		return c
	}
	c.Stitches = mk.w.stated(t)
	for _, b := range t.by {
		if e := mk.w.entry(b.ID); e.kind != stitch.Slip {
			c.height = max(c.height, e.height)
		}
	}
	mk.shape(c)
	return c
}

// stated is the total that a pattern would state, as this one is read.
func (w *worker) stated(t *totals) int {
	switch w.reads.mode {
	case modeFills:
		return t.stitches + t.fills
	case modeChains:
		return t.stitches + t.chains
	case modeSpaces:
		return t.stitches + t.spacesOf(0)
	case modeBare:
		return t.stitches - t.turning
	}
	return t.stitches
}

// missing faults a row that leaves stitches unworked without a word.
func (mk *maker) missing() {
	if mk.leave || mk.beyond || mk.ended && mk.done.raw == 0 || mk.w.fuel <= 0 {
		return
	}
	if mk.ring && (mk.loop == want{}) || mk.found.chains > 0 && mk.spots == 1 {
		return // all in a ring, or in one chain
	}
	n := mk.left() + mk.missed
	switch mk.loop.target {
	case notation.ChainSpace, notation.Space:
		n = mk.ahead(mk.loop)
	case notation.SpaceBetween, notation.TurningChain, notation.RingCentre:
		n = mk.missed
	case notation.NamedStitch:
		n = mk.ahead(mk.loop) + mk.missed
	}
	if n == 0 || mk.side && n <= 1 || !mk.used {
		return
	}
	mk.unworked(n)
}
