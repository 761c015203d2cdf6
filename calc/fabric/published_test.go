package fabric

import (
	"fmt"
	"testing"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// last returns the count of the last row of a text in its first size.
func last(t testing.TB, res *Result) *Count {
	t.Helper()
	p := res.Pieces[len(res.Pieces)-1]
	if len(p.Rows) == 0 {
		t.Fatal("no row was worked")
	}
	return p.Rows[len(p.Rows)-1].PerSize[0]
}

// TestPublishedCounts works rows whose counts are printed somewhere.
func TestPublishedCounts(t *testing.T) {
	for _, c := range []struct {
		src, text string
		start     int
		stitches  int // in the last row
		by        map[stitch.ID]int
	}{
		{"The Ladies' Work-Book (1850s), chapter on marks: the text prints the full expansion, 44 long, 14 chain over 58",
			"Row 2: [dc in next 2 sts, ch 4, sk 4, (dc in next 5 sts, ch 1, sk 1) 3 times, dc in next 5 sts] 2 times.",
			58, 44, map[stitch.ID]int{"dc": 44, "ch": 14}},
		{"The Ladies' Work-Book (1850s), mirror marks b…a: 27 made over 23",
			"Row 2: dc in next 7, ch 3, sk 2, dc in next st, ch 2, sk 1, dc in next st, ch 2, sk 1, dc in next st, ch 3, sk 2, dc in next 7.",
			23, 17, map[stitch.ID]int{"dc": 17, "ch": 10}},
		{"Handbook of Wool Knitting and Crochet (1918), crocheted jacket: chain 54, 26 stitches",
			"Ch 54.\nRow 1: Sk 3 ch, sc in next ch, *ch 1, sk 1 ch, sc in next ch; rep from * across. (26 sc)",
			0, 26, map[stitch.ID]int{"sc": 26, "ch": 26}}, // 25 between stitches, 1 at the edge
		{"Handbook (1918), girl's jacket: chain 52, repeat 10 times, 12 loops in all",
			"Ch 52.\nRow 1: Sc in 8th ch from hook, *ch 3, sk 3 ch, sc in next ch; rep from * 10 times. (12 loops)",
			0, 12, map[stitch.ID]int{"sc": 12, "ch": 36}},
		{"Handbook (1918), hug-me-tight: chain 140, 68 trebles, shell of 3-2-3, a treble in each remaining",
			"Ch 140.\nRow 1: Sk 3 ch, dc in next 68 ch, (3 dc, ch 2, 3 dc) in next ch, dc in each ch across.",
			0, 143, map[stitch.ID]int{"dc": 143, "ch": 2}},
		{"Handbook (1918), baby's shoe sole: chain 33, 31 + 3 + 31 + 3 = 68",
			"Ch 33.\nRnd 1: Sc in 2nd ch from hook and in next 30 ch, 3 sc in last ch, rotate to work in opposite side of foundation chain, sc in next 31 ch, 3 sc in last ch. (68 sc)",
			0, 68, map[stitch.ID]int{"sc": 68}},
		{"Handbook (1918), buttonholes: 2, then 8 of 4 stitches with 13 between = 125",
			"Row 2: Sc in next 2 sts, (ch 4, sk 4, sc in next 13 sts) 7 times, ch 4, sk 4.",
			125, 93, map[stitch.ID]int{"sc": 93, "ch": 32}},
		{"Handbook (1918), button cover: 8, 16, 24",
			"Ch 3.\nRnd 1: 8 sc in 2nd ch from hook. (8)\nRnd 2: 2 sc in each st around. (16)\nRnd 3: *sc in next st, 2 sc in next st; rep from * around. (24)",
			0, 24, map[stitch.ID]int{"sc": 24}},
		{"Handbook (1918), crown of the tam-o'-shanter: 7, 14, 21, 28, 35",
			"Ch 3, join to form a ring.\nRnd 1: 7 sc in ring. (7)\nRnd 2: 2 sc in each st around. (14)\nRnd 3: *sc in next st, 2 sc in next st; rep from * around. (21)\nRnd 4: *sc in next 2 sts, 2 sc in next st; rep from * around. (28)\nRnd 5: *sc in next 3 sts, 2 sc in next st; rep from * around. (35)",
			0, 35, map[stitch.ID]int{"sc": 35}},
		{"hyperbolic plane, N = 1: 6, 12, 24, 48, 96 (Henderson & Taimina, Math. Intelligencer 23(2), 2001: constant ratio N : N+1)",
			"Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\nRnd 3: 2 sc in each st around. (24)\nRnd 4: 2 sc in each st around. (48)\nRnd 5: 2 sc in each st around. (96)",
			0, 96, map[stitch.ID]int{"sc": 96}},
		{"a square in rounds of sc, 3 in each corner: +8 a round (handbook rule)",
			"Rnd 2: (3 sc in next st, sc in next st) 4 times. (16)\nRnd 3: (sc in next st, 3 sc in next st, sc in next 2 sts) 4 times. (24)\nRnd 4: (sc in next 2 sts, 3 sc in next st, sc in next 3 sts) 4 times. (32)",
			8, 32, map[stitch.ID]int{"sc": 32}},
	} {
		res := work(t, c.text, Options{Start: c.start})
		for _, f := range res.Findings {
			t.Errorf("%s: %s", c.src, f.Message)
		}
		n := last(t, res)
		if n.Stitches != c.stitches || n.Left != 0 {
			t.Errorf("%s: %d stitches, %d left; want %d, 0", c.src, n.Stitches, n.Left, c.stitches)
		}
		if len(n.By) != len(c.by) {
			t.Errorf("%s: made %v, want %v", c.src, n.By, c.by)
		}
		for id, want := range c.by {
			if n.Of(id) != want {
				t.Errorf("%s: %d %s, want %d", c.src, n.Of(id), id, want)
			}
		}
	}
}

// TestCrossesOnASleeve: a cross for every three stitches, at each width that
// the book prints.
func TestCrossesOnASleeve(t *testing.T) {
	// Source: Handbook of Wool Knitting and Crochet (1918), baby's sleeve: 42/14, 45/15, 48/16, 51/17.
	for crosses := 14; crosses <= 17; crosses++ {
		res := work(t, "Row 2: *Crossed dc, ch 1, sk 1; rep from * across.", Options{Start: 3 * crosses})
		if n := last(t, res); n.Of("dc") != 2*crosses || n.Left != 0 || !res.OK() {
			t.Errorf("%d stitches: %v, left %d, %v", 3*crosses, n.By, n.Left, res.Findings)
		}
	}
}

// TestSleeveInPairs: 34 stitches, two more at each end of every other row, to
// 74; then one fewer at each end of every 12th row, to 56.
func TestSleeveInPairs(t *testing.T) {
	// Source: Handbook of Wool Knitting and Crochet (1918), sweater sleeve: 10 increase rows, 9 decrease rows over 108 rows.
	text := "Ch 35.\nRow 1: Sc in 2nd ch from hook and in each ch across. (34)\n" +
		"Row 2: Ch 1, sc in each st across.\nRow 3: Ch 1, 3 sc in first st, sc in each st to last st, 3 sc in last st.\n" +
		"Rows 4-21: Rep Rows 2 and 3. (74)\nRow 22: Ch 1, sc in each st across.\nRows 23-32: Rep Row 22.\n" +
		"Row 33: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog.\n" +
		"Rows 34-44: Rep Row 22.\nRow 45: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. (70)\n"
	for r := 46; r <= 129; r += 12 {
		text += fmt.Sprintf("Rows %d-%d: Rep Row 22.\nRow %d: Rep Row 33. (%d)\n", r, r+10, r+11, 70-(r-34)/6)
	}
	res := work(t, text)
	for _, f := range res.Findings {
		t.Error(f.Message)
	}
	if n := last(t, res); n.Stitches != 56 {
		t.Errorf("%d stitches, want 56", n.Stitches)
	}
	s := Sections(res.Pieces[0], 0)
	if len(s) < 3 || s[1].End != 74 || len(s[1].Shaped) != 10 || s[1].Edge != BothEdges {
		t.Errorf("widening: %+v", s)
	}
	end := s[len(s)-1]
	if end.End != 56 || len(end.Shaped) != 9 || end.Edge != BothEdges {
		t.Errorf("narrowing: %+v", end)
	}
}

// TestFirstStitchOfAFoundation: the first stitch goes in the chain behind the
// turning chain, and the chains passed over count by the habit of the stitch.
func TestFirstStitchOfAFoundation(t *testing.T) {
	// Source: Crochet Guild of America lessons (1997): turning chains 1, 2, 3, 4, 5; whether they count: handbook habit.
	for _, c := range []struct {
		stitch string
		in     int
		counts bool
	}{{"sc", 2, false}, {"dc", 4, true}, {"tr", 5, true}, {"dtr", 6, true}} {
		res := work(t, fmt.Sprintf("Ch 30.\nRow 1: %s in %dth ch from hook and in each ch across.", c.stitch, c.in))
		want := 30 - (c.in - 1)
		if c.counts {
			want++
		}
		if n := last(t, res); n.Stitches != want || n.Turning != c.counts || n.Left != 0 {
			t.Errorf("%s: %d stitches, turning chain counts: %v; want %d, %v", c.stitch, n.Stitches, n.Turning, want, c.counts)
		}
		if len(res.Assumptions) == 0 {
			t.Errorf("%s: nothing says how the turning chain was taken", c.stitch)
		}
	}
}

// TestHyperbolicRatio: one increase in every N stitches keeps the ratio N+1 : N.
func TestHyperbolicRatio(t *testing.T) {
	// Source: Henderson & Taimina, Math. Intelligencer 23(2), 2001, 17-28.
	for _, n := range []int{2, 3, 5, 6, 12} {
		start := n * n * n
		row := fmt.Sprintf("*sc in next %d sts, 2 sc in next st; rep from * around.", n-1)
		res := work(t, "Rnd 2: "+row+"\nRnd 3: "+row+"\nRnd 4: "+row, Options{Start: start})
		if got := last(t, res).Stitches; got != (n+1)*(n+1)*(n+1) || !res.OK() {
			t.Errorf("N = %d: %d stitches from %d, want %d", n, got, start, (n+1)*(n+1)*(n+1))
		}
	}
}

// TestTreesWithoutText works trees that were built by hand, not read.
func TestTreesWithoutText(t *testing.T) {
	next := func(n int) notation.Place { return notation.Place{Many: notation.N(n)} }
	row := &notation.Row{Label: notation.Label{Kind: notation.Round, From: notation.N(2)}, Steps: []notation.Step{
		&notation.Group{Times: notation.Times{To: notation.ToEnd}, Steps: []notation.Step{
			&notation.Stitches{Name: "sc", Into: next(3)},
			&notation.Stitches{Name: "sc", Each: notation.N(2), Into: next(1)},
		}},
	}}
	doc := &notation.Document{Parts: []notation.Part{{Lines: []notation.Line{row}}}}
	res := Work(doc, Options{Start: 24})
	if n := last(t, res); n.Stitches != 30 || !res.OK() { // by hand: 24 / 4 = 6 increases
		t.Errorf("%d stitches, %v", n.Stitches, res.Findings)
	}
}
