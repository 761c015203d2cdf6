package fabric

import (
	"math"
	"testing"

	"countwright/calc/gauge"
)

// TestSections divides worked pieces into stretches; every figure is counted
// by hand from the text.
func TestSections(t *testing.T) {
	type want struct {
		stitch     string
		start, end int
		rows       int
		edge       Edge
		shaped     []int
	}
	for _, c := range []struct {
		name, text string
		want       []want
	}{
		{"even, then narrowed at both edges every 4th row, then even",
			"Ch 41.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2: Ch 1, sc in each st across.\nRows 3-20: Rep Row 2.\n" +
				"Row 21: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog.\nRows 22-24: Rep Row 2.\nRow 25: Rep Row 21.\nRows 26-28: Rep Row 2.\nRow 29: Rep Row 21.\nRows 30-40: Rep Row 2.",
			[]want{{"sc", 40, 40, 20, NoEdge, nil}, {"sc", 40, 34, 9, BothEdges, []int{1, 5, 9}}, {"sc", 34, 34, 11, NoEdge, nil}}},
		{"one edge: the end of right-side rows lies at the left",
			"Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2: Ch 1, sc in each st across.\nRow 3: Ch 1, sc in each st to last 2 sts, sc2tog.\nRow 4: Ch 1, sc in each st across.\nRow 5: Ch 1, sc in each st to last 2 sts, sc2tog.",
			[]want{{"sc", 20, 20, 2, NoEdge, nil}, {"sc", 20, 18, 3, LeftEdge, []int{1, 3}}}},
		{"a slope worked at the same edge from both sides",
			"Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2: Ch 1, sc2tog, sc in each st across.\nRow 3: Ch 1, sc in each st to last 2 sts, sc2tog.",
			[]want{{"sc", 20, 20, 1, NoEdge, nil}, {"sc", 20, 18, 2, LeftEdge, []int{1, 2}}}},
		{"a flat round, then a tube of another stitch",
			"Rnd 1: 6 sc in magic ring.\nRnd 2: 2 sc in each st around.\nRnd 3: *sc in next st, 2 sc in next st; rep from * around.\nRnd 4: Ch 2 (does not count as a st), hdc in each st around, join.\nRnd 5: Ch 2 (does not count as a st), hdc in each st around, join.",
			[]want{{"sc", 6, 6, 1, NoEdge, nil}, {"sc", 6, 18, 2, Spread, []int{1, 2}}, {"hdc", 18, 18, 2, NoEdge, nil}}},
	} {
		res := work(t, c.text)
		if !res.OK() {
			t.Errorf("%s: %+v", c.name, res.Findings)
		}
		got := Sections(res.Pieces[0], 0)
		if len(got) != len(c.want) {
			t.Errorf("%s: %d sections, want %d: %+v", c.name, len(got), len(c.want), got)
			continue
		}
		for i, w := range c.want {
			g := got[i]
			if string(g.Stitch) != w.stitch || g.Start != w.start || g.End != w.end || g.Rows != w.rows || g.Edge != w.edge {
				t.Errorf("%s, section %d: %+v, want %+v", c.name, i, g, w)
			}
			for k := range w.shaped {
				if k >= len(g.Shaped) || g.Shaped[k] != w.shaped[k] {
					t.Errorf("%s, section %d: shaped in rows %v, want %v", c.name, i, g.Shaped, w.shaped)
					break
				}
			}
		}
	}
}

// TestOutline: widths and heights follow from the gauge, and the edges from
// where the shaping falls.
func TestOutline(t *testing.T) {
	// By hand: 20 stitches and 25 rows in 100 mm, so 5 mm a stitch and 4 mm a row of sc, 8 mm a row of dc.
	g := &Gauge{Gauge: gauge.Gauge{Stitches: 20, Rows: 25}, Stitch: "sc"}
	res := work(t, "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20)\nRow 2: Ch 1, sc in each st across.\n"+
		"Row 3: Ch 1, sc in each st to last 2 sts, sc2tog. (19)\nRow 4: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. (17)\n"+
		"Row 5: Ch 3 (does not count as a st), dc in each st across. (17)", Options{Gauge: g})
	if !res.OK() {
		t.Fatal(res.Findings)
	}
	want := []Level{{0, -50, 50}, {4, -50, 50}, {8, -50, 50}, {12, -45, 50}, {16, -40, 45}, {24, -40, 45}}
	got := res.Pieces[0].Outlines[0]
	if len(got.Levels) != len(want) || got.Round {
		t.Fatalf("%+v", got)
	}
	for i := range want {
		w, l := want[i], got.Levels[i]
		if math.Abs(w.Y-l.Y) > 1e-9 || math.Abs(w.Left-l.Left) > 1e-9 || math.Abs(w.Right-l.Right) > 1e-9 {
			t.Errorf("level %d: %+v, want %+v", i, l, w)
		}
	}
}

// TestShaping: where a row grows is told stitch by stitch.
func TestShaping(t *testing.T) {
	res := work(t, "Rnd 2: *sc in next 3 sts, 2 sc in next st; rep from * around. (30)", Options{Start: 24})
	s := last(t, res).Shaping
	grown := 0
	for _, e := range s {
		grown += e.N * e.Delta
	}
	if grown != 6 { // by hand: 24 / 4
		t.Errorf("%+v grows by %d, want 6", s, grown)
	}
}

// TestCellsBelow: each stitch knows what it was worked into, in the order in
// which the row below was made.
func TestCellsBelow(t *testing.T) {
	res := work(t, "Ch 7.\nRow 1: Sc in 2nd ch from hook and in each ch across. (6)\nRow 2: Ch 1, sc2tog, ch 1, sk 1, sc in next st, 2 sc in next st, sc in last st.")
	// By hand: row 1 has a turning chain (cell 0) and six sc (1 to 6); row 2 meets them from 6 down.
	type into struct{ from, to int }
	want := []into{{-1, -1}, {5, 6}, {-1, -1}, {3, 3}, {2, 2}, {2, 2}, {1, 1}}
	i := 0
	for s := range last(t, res).All() {
		if i >= len(want) || (into{s.From, s.To}) != want[i] {
			t.Errorf("%d: %s goes into %d to %d, want %v", i, s.ID, s.From, s.To, want[min(i, len(want)-1)])
		}
		i++
	}
	if i != len(want) {
		t.Errorf("%d stitches, want %d", i, len(want))
	}
}
