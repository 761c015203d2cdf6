package fabric

import (
	"fmt"
	"testing"

	"countwright/calc/notation"
	"countwright/calc/stitch"
	"pgregory.net/rapid"
)

// The naive simulator works rows one stitch at a time on plain slices. It
// shares nothing with the package: no runs, no cursors, no shortcuts. Its laws:
//
//   - chains of a number equal to the stitches passed over below them, or fewer
//     chains over bigSkip stitches or more, are worked as stitches in the next row; other
//     chains are only spaces;
//   - "in next space" passes over whatever lies before the space;
//   - a repeat to the end goes on while it fits whole and enough is left for
//     what follows; a skip that ends it may find nothing left.

// spot1 is one place of a naive row: a stitch, or one chain of a space.
type spot1 struct {
	live  bool
	space int // which space it belongs to, from 1; 0: a stitch
}

type naive struct {
	base []spot1
	pos  int
	top  []spot1
	by   map[stitch.ID]int
	gone int // stitches passed over since the last place
	open int // chains that wait
	ids  int
	calm bool // at the steps of a repeat to the end
}

func (n *naive) copy() naive {
	c := *n
	c.top = append([]spot1{}, n.top...)
	c.by = map[stitch.ID]int{}
	for k, v := range n.by {
		c.by[k] = v
	}
	return c
}

// op is one step of a random row.
type op struct {
	kind string // st, inc, dec, sk, ch, sp, rep
	n    int
	sub  []op
	last bool // nothing behind it in its list uses a stitch
}

func (n *naive) left() int {
	live := 0
	for _, s := range n.base[n.pos:] {
		if s.live {
			live++
		}
	}
	return live
}

// place takes the next live spot.
func (n *naive) place() bool {
	for i := n.pos; i < len(n.base); i++ {
		if n.base[i].live {
			n.pos = i + 1
			return true
		}
	}
	return false
}

func (n *naive) close() {
	if n.open == 0 {
		return
	}
	n.ids++
	fills := n.gone == n.open || n.gone >= bigSkip && n.open < n.gone
	for range n.open {
		n.top = append(n.top, spot1{live: fills, space: n.ids})
	}
	n.by["ch"] += n.open
	n.open = 0
}

func (n *naive) put(id stitch.ID, many int) {
	n.close()
	for range many {
		n.top = append(n.top, spot1{live: true})
	}
	n.by[id] += many
	n.gone = 0
}

// do works one step; false when stitches run out.
func (n *naive) do(o op) bool {
	switch o.kind {
	case "st":
		for range o.n {
			if !n.place() {
				return false
			}
			n.put("sc", 1)
		}
	case "inc":
		if !n.place() {
			return false
		}
		n.put("sc", o.n)
	case "dec":
		if first, second := n.place(), n.place(); !first || !second {
			return false
		}
		n.put("sc2tog", 1)
	case "sk":
		for i := range o.n {
			if !n.place() {
				return i == 0 && o.last && n.calm // "sk 1" at the end of a repeat, with nothing left
			}
			n.gone++
		}
	case "ch":
		n.open += o.n
	case "sp":
		return n.inSpace()
	case "rep":
		calm := n.calm
		n.calm = false
		defer func() { n.calm = calm }()
		for range o.n {
			for _, s := range o.sub {
				if !n.do(s) {
					return false
				}
			}
		}
	}
	return true
}

// inSpace works into the next whole space.
func (n *naive) inSpace() bool {
	for i := n.pos; i < len(n.base); i++ {
		id := n.base[i].space
		if id == 0 || i > 0 && n.base[i-1].space == id {
			continue
		}
		for k := n.pos; k < i; k++ {
			if n.base[k].live {
				n.gone++
			}
		}
		for i < len(n.base) && n.base[i].space == id {
			i++
		}
		n.pos = i
		n.put("sc", 1)
		return true
	}
	return false
}

// row works a whole random row: steps, then a repeat to the last few, then the
// steps that use those few.
func (n *naive) row(head []op, loop []op, tail int) {
	for _, o := range head {
		n.do(o)
	}
	for len(loop) > 0 && n.left() > tail {
		before := n.copy()
		n.calm = true
		ok := true
		for _, o := range loop {
			ok = ok && n.do(o)
		}
		if !ok || n.left() < tail || n.pos == before.pos {
			*n = before
			break
		}
	}
	n.calm = false
	if tail > 0 {
		n.do(op{kind: "st", n: tail})
	}
	n.close()
}

// steps of the tree for the same row.
func treeOf(ops []op) []notation.Step {
	var steps []notation.Step
	for _, o := range ops {
		switch o.kind {
		case "st":
			steps = append(steps, &notation.Stitches{Name: "sc", Into: notation.Place{Many: notation.N(o.n)}})
		case "inc":
			steps = append(steps, &notation.Stitches{Name: "sc", Each: notation.N(o.n), Into: notation.Place{Many: notation.N(1)}})
		case "dec":
			steps = append(steps, &notation.Stitches{Name: "sc2tog", Into: notation.Place{Many: notation.N(1)}})
		case "sk":
			steps = append(steps, &notation.Skip{Many: notation.N(o.n)})
		case "ch":
			steps = append(steps, &notation.Chain{Many: notation.N(o.n)})
		case "sp":
			steps = append(steps, &notation.Stitches{Name: "sc", Into: notation.Place{Many: notation.N(1), What: notation.ChainSpace}})
		case "rep":
			steps = append(steps, &notation.Group{Mark: notation.Square, Steps: treeOf(o.sub), Times: notation.Times{N: notation.N(o.n)}})
		}
	}
	return steps
}

func drawOps(t *rapid.T, label string, deep int, spaces bool) []op {
	kinds := []string{"st", "st", "inc", "dec", "sk", "ch"}
	if spaces {
		kinds = append(kinds, "sp")
	}
	if deep > 0 {
		kinds = append(kinds, "rep", "rep")
	}
	var ops []op
	for i := range rapid.IntRange(1, 4).Draw(t, label) {
		o := op{kind: rapid.SampledFrom(kinds).Draw(t, "kind"), n: rapid.IntRange(1, 5).Draw(t, "n")}
		switch o.kind {
		case "inc":
			o.n = min(o.n, 3) + 1
		case "sk":
			if i == 0 && len(ops) == 0 && label == "head" {
				o.kind = "st"
			}
			o.n = min(o.n, 3)
		case "ch":
			if len(ops) == 0 {
				o.kind = "st"
			}
		case "rep":
			o.sub = drawOps(t, "inner", deep-1, spaces)
			o.sub = append([]op{{kind: "st", n: 1}}, o.sub...)
		}
		ops = append(ops, o)
	}
	for i := len(ops) - 1; i >= 0; i-- {
		ops[i].last = true
		if ops[i].kind != "ch" && ops[i].kind != "sp" {
			break
		}
	}
	return ops
}

// TestRowsAgreeWithNaive works three random rounds, one on the other, both
// ways.
func TestRowsAgreeWithNaive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := rapid.IntRange(30, 160).Draw(t, "start")
		base := make([]spot1, start)
		for i := range base {
			base[i].live = true
		}
		w := newWorker(&notation.Document{}, Options{})
		st := state{base: seq{leaf(cell{kind: stitchCell, id: "sc"}, start)}, rows: 1, id: "sc", raw: start}
		for r := 2; r < 5; r++ {
			head := append([]op{{kind: "st", n: 1}}, drawOps(t, "head", 2, r > 2)...)
			loop := append([]op{{kind: "st", n: 1}}, drawOps(t, "loop", 1, r > 2)...)
			tail := rapid.IntRange(0, 3).Draw(t, "tail")
			n := naive{base: base, by: map[stitch.ID]int{}}
			n.row(head, loop, tail)
			base = n.top
			steps := append(treeOf(head), &notation.Group{Steps: treeOf(loop), Times: notation.Times{To: notation.ToLast, Left: notation.N(tail)}})
			if tail > 0 {
				steps = append(steps, &notation.Stitches{Name: "sc", Into: notation.Place{Many: notation.N(tail)}})
			}
			o := w.work(&st, &notation.Row{Label: notation.Label{Kind: notation.Round, From: notation.N(r)}, Steps: steps})
			for _, f := range o.faults {
				if f.kind == KindShort || f.kind == KindPlace || f.kind == KindLimit {
					return // what is made after stitches ran out is nobody's law
				}
			}
			compare(t, r, &n, o.count)
			st = o.next
		}
	})
}

func compare(t *rapid.T, row int, want *naive, got *Count) {
	for id, n := range want.by {
		if got.Of(id) != n {
			t.Fatalf("row %d: %d %s, naive %d", row, got.Of(id), id, n)
		}
	}
	if got.Left != want.left() {
		t.Fatalf("row %d: %d left, naive %d", row, got.Left, want.left())
	}
	stitches := want.by["sc"] + want.by["sc2tog"]
	if got.Stitches != stitches {
		t.Fatalf("row %d: %d stitches, naive %d", row, got.Stitches, stitches)
	}
	cells, each := 0, map[stitch.ID]int{}
	for s := range got.All() {
		cells++
		if s.From < -1 || s.To >= got.Base {
			t.Fatalf("row %d: %s goes into %d to %d of %d cells", row, s.ID, s.From, s.To, got.Base)
		}
		each[s.ID] += max(1, s.Chains)
	}
	if fmt.Sprint(each) != fmt.Sprint(dropZero(want.by)) {
		t.Fatalf("row %d, one by one: %v, naive %v", row, each, want.by)
	}
}

func dropZero(m map[stitch.ID]int) map[stitch.ID]int {
	out := map[stitch.ID]int{}
	for k, v := range m {
		if v != 0 {
			out[k] = v
		}
	}
	return out
}
