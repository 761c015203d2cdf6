package picture

import (
	"math"
	"testing"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

var patterns = map[string]string{
	"swatch": `Ch 13.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (12 sts)
Row 2: Ch 1, 2 sc in first st, sc in each st to last 2 sts, sc2tog, turn. (12 sts)
Row 3: Ch 3 (counts as dc), dc in next st, *ch 1, sk 1, dc in next st; rep from * to last 2 sts, dc in each of last 2 sts, turn.
Row 4: Ch 1, sc in each st and ch-1 sp across.`,
	"shells": `Ch 20.
Row 1: Sc in 2nd ch from hook, *sk 2 ch, 5 dc in next ch, sk 2 ch, sc in next ch; rep from * to end, turn.
Row 2: Ch 3 (counts as dc), 2 dc in first st, *sk 2 dc, sc in BLO of next dc, sk 2 dc, 5 dc in next sc; rep from * to end.`,
	"disc": `Rnd 1: 6 sc in magic ring. (6 sts)
Rnd 2: 2 sc in each st around. (12 sts)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18 sts)
Rnd 4: *2 sc in next st, sc in each of next 2 sts; rep from * around. (24 sts)`,
}

func worked(t *testing.T, text string) Chart {
	t.Helper()
	result := fabric.Work(notation.Parse(text, notation.Options{}), fabric.Options{})
	if len(result.Pieces) != 1 {
		t.Fatalf("%d pieces", len(result.Pieces))
	}
	return Worked(result.Pieces[0], 0, stitch.UK)
}

func TestWorkedPictures(t *testing.T) {
	for name, text := range patterns {
		d, err := worked(t, text).Draw()
		if err != nil {
			t.Fatal(err)
		}
		look(t, "worked-"+name, d)
	}
}

func TestWorked(t *testing.T) {
	c := worked(t, patterns["swatch"])
	if c.Round || len(c.Rows) != 5 {
		t.Fatalf("%d rows, round %v", len(c.Rows), c.Round)
	}
	// By hand: 12 chains stay a foundation, the 13th stands up; a turning
	// chain and 12 stitches; 2 + 9 + 1 after it; a chain 3, a double, four
	// times (chain, double), two doubles; a chain and 12 singles.
	for i, want := range []int{12, 13, 13, 12, 13} {
		if got := len(c.Rows[i].Cells); got != want {
			t.Errorf("row %d has %d cells, want %d", i, got, want)
		}
	}
	for i, want := range []bool{false, false, true, false, true} {
		if c.Rows[i].FromLeft != want {
			t.Errorf("row %d runs from the left: %v, want %v", i, c.Rows[i].FromLeft, want)
		}
	}
	xs := c.columns()
	for j := 1; j <= 12; j++ { // row 1 stands straight on the foundation
		if off := xs[1][j] - xs[0][j-1]; math.Abs(off) > 1e-6 {
			t.Errorf("stitch %d of row 1 stands %v beside its chain", j, off)
		}
	}
	if name := c.Rows[1].Cells[1].Name; name != "dc: double crochet" {
		t.Errorf("a single crochet is called %q in UK terms", name)
	}
	last := c.Rows[2].Cells[12]
	if last.To-last.From != 1 || last.Symbol.Join != stitch.AtTop {
		t.Errorf("the decrease is %+v", last)
	}
}

func TestWorkedLoops(t *testing.T) {
	for _, cell := range worked(t, patterns["shells"]).Rows[2].Cells {
		if cell.Symbol.Shape == stitch.Plus && (cell.Symbol.Arc != stitch.Back || cell.Name != "dc: double crochet, back loop only") {
			t.Errorf("in the back loop: %+v", cell)
		}
	}
}

func TestWorkedRounds(t *testing.T) {
	c := worked(t, patterns["disc"])
	if !c.Round || len(c.Rows) != 4 {
		t.Fatalf("%d rows, round %v", len(c.Rows), c.Round)
	}
	for i, r := range c.Rows {
		if len(r.Cells) != 6*(i+1) {
			t.Errorf("round %d has %d stitches", i+1, len(r.Cells))
		}
	}
	if none := Worked(fabric.Piece{Name: "nothing"}, 0, stitch.US); len(none.Rows) != 0 || none.Title != "nothing" {
		t.Errorf("nothing is drawn as %+v", none)
	}
}

// A size that skips a row has a chart without it; a stitch of the pattern's
// own is a square with its name in the legend.
func TestWorkedSizesAndOwnStitches(t *testing.T) {
	own := fabric.Made{ID: "twisted knot", N: 3, Each: 1, Takes: 1}
	sc := fabric.Made{ID: "sc", N: 3, Each: 1, Takes: 1}
	p := fabric.Piece{Name: "Cuff", Rows: []fabric.Row{
		{Label: "Foundation", PerSize: []*fabric.Count{{Stitches: 3, Made: []fabric.Made{{ID: "ch", N: 1, Each: 3}}}, {Stitches: 3, Made: []fabric.Made{{ID: "ch", N: 1, Each: 3}}}}},
		{Label: "Row 1", Number: 1, Kind: notation.FlatRow, PerSize: []*fabric.Count{{Stitches: 3, Base: 3, Made: []fabric.Made{sc}}, nil}},
		{Label: "Row 2", Number: 2, Kind: notation.FlatRow, PerSize: []*fabric.Count{{Stitches: 3, Base: 3, Turned: true, Made: []fabric.Made{own}}, {Stitches: 3, Base: 3, Made: []fabric.Made{own}}}},
	}}
	first, second := Worked(p, 0, stitch.US), Worked(p, 1, stitch.US)
	if len(first.Rows) != 3 || len(second.Rows) != 2 {
		t.Fatalf("%d and %d rows, want 3 and 2", len(first.Rows), len(second.Rows))
	}
	cell := first.Rows[2].Cells[0]
	if cell.Name != "twisted knot" || cell.Symbol.Shape != stitch.NoShape || cell.From != 2 {
		t.Errorf("the own stitch is %+v", cell)
	}
	for _, c := range []Chart{first, second} {
		if _, err := c.Draw(); err != nil {
			t.Error(err)
		}
	}
	if none := Worked(p, 2, stitch.US); len(none.Rows) != 0 {
		t.Errorf("a size that is not there has %d rows", len(none.Rows))
	}
}
