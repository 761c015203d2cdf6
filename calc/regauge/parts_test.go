package regauge

import (
	"slices"
	"strings"
	"testing"

	"countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/notation"
)

// stepsOf reads the steps of one row.
func stepsOf(t *testing.T, text string) []notation.Step {
	t.Helper()
	doc := notation.Parse("Row 9: "+text, notation.Options{Terms: notation.US})
	if len(doc.Problems) > 0 || len(doc.Parts[0].Lines) != 1 {
		t.Fatalf("%s: %+v", text, doc.Problems)
	}
	return doc.Parts[0].Lines[0].(*notation.Row).Steps
}

func makerOf(wider float64) *maker {
	return &maker{Order: Order{From: gauge.Gauge{Stitches: 10, Rows: 10}, To: gauge.Gauge{Stitches: 10 * wider, Rows: 10}},
		doc: &notation.Document{Terms: notation.US}, counts: map[int]int{}}
}

func TestElastic(t *testing.T) {
	for text, want := range map[string]bool{
		"sc in each st across": true, "*sc in next st, hdc in next st; rep from * across": true,
		"sc in next 5 sts, leave rem sts unworked": true, "sc2tog, sc in each st across to last 2 sts, sc2tog": true,
		"sc in next 20 sts": false, "[sc in next 3 sts, sc2tog] 5 times": false, "ch 1, turn": false,
	} {
		if got := elastic(stepsOf(t, text)); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
}

// Rows written for one count, worked over another. Each is tried with the
// engine, which must agree.
func TestFits(t *testing.T) {
	for _, c := range []struct {
		text                string
		below, makes        int // as written
		base, want          int // as wanted
		fitted              string
		src                 string
		impossibleOtherwise bool
	}{
		{"sc in each st across", 20, 20, 27, 27, "Sc in each st across.", "elastic", false},
		{"sc in next 20 sts", 20, 20, 27, 27, "Sc in next 27 sts.", "one run", false},
		{"sc in next 10 sts, hdc in next 10 sts", 20, 20, 26, 26, "Sc in next 13 sts, hdc in next 13 sts.", "in proportion", false},
		{"sc in next 5 sts, hdc in next 10 sts, sc in next 5 sts", 20, 20, 28, 28, "Sc in next 7 sts, hdc in next 14 sts, sc in next 7 sts.", "in proportion", false},
		{"[sc in next 2 sts, hdc in next 2 sts] 5 times", 20, 20, 28, 28, "[sc in next 2 sts, hdc in next 2 sts] 7 times.", "repeats of four", false},
		{"*sc in next 3 sts, 2 sc in next st; rep from * 5 times in all", 20, 25, 30, 35, "*sc in next 5 sts, 2 sc in next st; rep from * 5 times in all.", "as many increases", false},
		{"*sc in next 3 sts, 2 sc in next st; rep from * across", 20, 25, 35, 40, "*sc in next 6 sts, 2 sc in next st; rep from * across.", "as many increases", false},
		{"*sc in next st, 2 sc in next st; rep from * across", 12, 18, 6, 12, "*2 sc in next st; rep from * across.", "a run of nothing is left out", false},
		{"sc2tog, sc in each st across to last 2 sts, sc2tog", 20, 18, 31, 29, "Sc2tog, sc in each st to last 2 sts, sc2tog.", "elastic", false},
		{"[sc in next 2 sts, hdc in next 2 sts] 5 times", 20, 20, 30, 30, "", "30 is no multiple of four", true},
		{"*sc in next 3 sts, 2 sc in next st; rep from * 5 times in all", 20, 25, 32, 37, "", "32 is no multiple of five", true},
	} {
		r := &row{of: &notation.Row{Steps: stepsOf(t, c.text)}, kind: notation.FlatRow, below: c.below, count: &fabric.Count{Stitches: c.makes}}
		got, ok := makerOf(1).fitted(r, c.base, c.want)
		if ok == c.impossibleOtherwise {
			t.Errorf("%s over %d: %t (%s)", c.text, c.base, ok, c.src)
			continue
		}
		if ok {
			if text := notation.PrintRow(&notation.Row{Steps: got}, notation.PrintOptions{}); text != c.fitted {
				t.Errorf("%s over %d becomes %q, want %q (%s)", c.text, c.base, text, c.fitted, c.src)
			}
		}
		if text := formOf(r.of.Steps); text != formOf(stepsOf(t, c.text)) {
			t.Errorf("%s was changed to %s", c.text, text)
		}
	}
}

// Borders stay as wide as they were; what belongs to the stitch pattern stays
// as it is.
func TestScaleEdges(t *testing.T) {
	for _, c := range []struct{ text, want, src string }{
		{"hdc in next 10 sts, sc in each st across to last 10 sts, hdc in last 10 sts", "Hdc in next 15 sts, sc in each st to last 15 sts, hdc in last 15 sts.", "by hand: half as many more"},
		{"sc in next 2 sts, hdc in each st across to last 2 sts, sc in next 2 sts", "Sc in next 2 sts, hdc in each st to last 2 sts, sc in next 2 sts.", "an edge of two belongs to the pattern"},
		{"sl st in next 6 sts, sc in each st across to last 6 sts, leave last 6 sts unworked", "Sl st in next 9 sts, sc in each st to last 9 sts, leave last 9 sts unworked.", "by hand"},
		{"sc in each st across to last 6 sts, leave rem sts unworked", "Sc in each st to last 9 sts, leave rem sts unworked.", "by hand"},
		{"dc in next 5 sts, *ch 1, sk 1, dc in next st; rep from * across to last 5 sts, dc in last 5 sts", "Dc in next 5 sts, *ch 1, sk next st, dc in next st; rep from * to last 5 sts, dc in last 5 sts.", "rows of a repeat stay"},
		{"sc2tog, sc in each st across to last 2 sts, sc2tog", "Sc2tog, sc in each st to last 2 sts, sc2tog.", "shaping stays"},
	} {
		steps := stepsIn(stepsOf(t, c.text), 0)
		scaleEdges(steps, makerOf(1.5).scaled)
		if got := notation.PrintRow(&notation.Row{Steps: steps}, notation.PrintOptions{}); got != c.want {
			t.Errorf("%s becomes %q, want %q (%s)", c.text, got, c.want, c.src)
		}
	}
}

func TestUsedBy(t *testing.T) {
	for text, want := range map[string]int{
		"sc in next 3 sts, 2 sc in next st": 4, "sc in next st, sc2tog": 3, "sk 2 sts, 5 dc in next st, sk 2 sts, sc in next st": 6,
		"(2 dc, ch 1, 2 dc) in next st, sc in next st": 2, "[sc, hdc] 3 times": 6, "sc in each st across": 0, "dec, sc in next 2 sts": 4,
		"sc3tog, sc in next st": 4, "2 dc in next st, dc in same st": 1,
	} {
		if got := usedBy(stepsOf(t, text)); got != want {
			t.Errorf("%s uses %d, want %d", text, got, want)
		}
	}
}

func rowsOf(forms string) []row {
	var rows []row
	for i, f := range forms {
		rows = append(rows, row{form: string(f), n: i + 1, below: 20, count: &fabric.Count{Stitches: 20}})
	}
	return rows
}

func TestPeriods(t *testing.T) {
	for _, c := range []struct {
		forms       string
		lead, cycle int
		src         string
	}{
		{"aaaa", 0, 1, "all alike"},
		{"abbbb", 1, 1, "a first row, then all alike"},
		{"abcbcbc", 1, 2, "two rows take turns"},
		{"xyabcdabcdab", 2, 4, "four rows, the last time not whole"},
		{"abcdef", 5, 1, "each differs: five are led by, one is left"},
		{"a", 0, 1, "one row"},
		{"abab", 0, 2, "no first row"},
	} {
		if lead, cycle := periods(rowsOf(c.forms)); lead != c.lead || cycle != c.cycle {
			t.Errorf("%s: %d rows, then %d in turns; want %d, %d (%s)", c.forms, lead, cycle, c.lead, c.cycle, c.src)
		}
	}
}

func TestChangesColour(t *testing.T) {
	for text, want := range map[string]bool{
		"sc in next 8 sts, change to B, sc in next 4 sts": true,
		"sc in each st across, change to B":               false,
		"sc in each st across":                            false,
	} {
		if got := changesColour(stepsOf(t, text)); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
}

// madeRows are rows on their way to paper: a letter for each form, all of one
// count.
func madeRows(forms string) []made {
	var rows []made
	for i, f := range forms {
		rows = append(rows, made{kind: notation.FlatRow, n: i + 1, form: string(f), count: 20, claim: "-",
			steps: []notation.Step{&notation.Remark{Text: string(f)}}})
	}
	return rows
}

func TestWritten(t *testing.T) {
	for _, c := range []struct{ forms, want, src string }{
		{"aaaa", "Rows 1–4: A.", "one line"},
		{"abbbb", "Row 1: A.|Rows 2–5: B.", "the first apart"},
		{"ababab", "Row 1: A.|Row 2: B.|Rows 3–6: Rep Rows 1 and 2.", "two rows take turns"},
		{"abcabcab", "Row 1: A.|Row 2: B.|Row 3: C.|Rows 4–6: Rep Rows 1–3.|Row 7: A.|Row 8: B.", "only whole repeats"},
		{"aabaab", "Rows 1–2: A.|Row 3: B.|Rows 4–6: Rep Rows 1–3.", "three rows take turns"},
		{"abcd", "Row 1: A.|Row 2: B.|Row 3: C.|Row 4: D.", "each differs"},
	} {
		var lines []string
		for _, l := range written(madeRows(c.forms)) {
			lines = append(lines, notation.PrintLine(l, notation.PrintOptions{}))
		}
		if got := strings.Join(lines, "|"); got != c.want {
			t.Errorf("%s is written %q, want %q (%s)", c.forms, got, c.want, c.src)
		}
	}
}

// shapedBlock is a block whose rows at the given places gain each stitches.
func shapedBlock(rows, each int, shaped ...int) *block {
	b := &block{rows: make([]row, rows), each: each, shaped: shaped, edge: fabric.BothEdges}
	n := 40
	for i := range b.rows {
		b.rows[i] = row{n: i + 1, kind: notation.FlatRow, below: n}
		if slices.Contains(shaped, i) {
			n += each
		}
		b.rows[i].count = &fabric.Count{Stitches: n}
	}
	b.start, b.end = 40, n
	return b
}

func TestPlaces(t *testing.T) {
	for _, c := range []struct {
		name        string
		b           *block
		rows, times int
		first       int
		want        []int
		src         string
	}{
		{"as it was", shapedBlock(9, -2, 0, 2, 4, 6, 8), 9, 5, 1, []int{0, 2, 4, 6, 8}, "the same numbers"},
		{"right-side rows stay", shapedBlock(9, -2, 0, 2, 4, 6, 8), 11, 6, 1, []int{0, 2, 4, 6, 8, 10}, "odd rows of eleven"},
		{"begins on the wrong side", shapedBlock(9, -2, 0, 2, 4, 6, 8), 12, 6, 2, []int{1, 3, 5, 7, 9, 11}, "odd rows from row 2 on"},
		{"one in every row", shapedBlock(5, 2, 0, 1, 2, 3, 4), 6, 6, 1, []int{0, 1, 2, 3, 4, 5}, "every row"},
		{"one only", shapedBlock(4, -2, 2), 8, 1, 1, []int{4}, "by hand: half way up"},
	} {
		c.b.now.Rows = c.rows
		got, err := c.b.places(c.times, c.first)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v %v, want %v (%s)", c.name, got, err, c.want, c.src)
		}
	}
	b := shapedBlock(9, -2, 0, 2, 4, 6, 8)
	b.now.Rows = 4
	if got, err := b.places(6, 1); err == nil {
		t.Errorf("six in four rows are placed on %v", got)
	}
}

// Shaping that is crowded at the end stays crowded at the end.
func TestBentShaping(t *testing.T) {
	b := shapedBlock(24, 2, 4, 8, 17, 18)
	if !b.uneven() {
		t.Fatal("it is taken for even")
	}
	b.now.Rows = 48
	got, err := b.places(8, 1)
	if err != nil || len(got) != 8 || !slices.IsSorted(got) || got[7] >= 48 {
		t.Fatalf("%v %v", got, err)
	}
	late := 0
	for _, at := range got {
		if at >= 30 {
			late++
		}
	}
	if late < 3 || late > 5 {
		t.Errorf("%d of 8 are in the last 18 rows: %v; two of four were", late, got)
	}
}

func TestGains(t *testing.T) {
	for _, c := range []struct {
		name       string
		each       int
		edge       fabric.Edge
		start, end int
		rows       int
		want       []int
		src        string
	}{
		{"whole", 6, fabric.Spread, 6, 24, 5, []int{6, 6, 6}, "18 = 3·6"},
		{"a rest while growing", 6, fabric.Spread, 6, 27, 5, []int{6, 6, 6, 3}, "21 = 3·6 + 3, last where there are most"},
		{"a rest while shrinking", -8, fabric.Spread, 91, 8, 20, []int{-3, -8, -8, -8, -8, -8, -8, -8, -8, -8, -8}, "83 = 3 + 10·8, first where there are most"},
		{"no row to spare", 6, fabric.Spread, 6, 27, 3, []int{6, 6, 9}, "21 in three rows"},
		{"edges", -2, fabric.BothEdges, 40, 34, 9, []int{-2, -2, -2}, "6 = 3·2"},
	} {
		b := shapedBlock(4, c.each, 0, 1)
		b.edge = c.edge
		b.now = Extent{c.start, c.end, c.rows}
		if got := b.gains(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v (%s)", c.name, got, c.want, c.src)
		}
	}
}

func TestCommon(t *testing.T) {
	for _, c := range []struct {
		good     []int
		of, plus int
		ok       bool
	}{
		{[]int{44, 50, 56}, 6, 2, true}, {[]int{50, 44, 38}, 6, 2, true}, {[]int{9, 11, 15}, 2, 1, true}, {[]int{40}, 0, 0, false}, {nil, 0, 0, false},
	} {
		of, plus, ok := common(c.good)
		if of != c.of || plus != c.plus || ok != c.ok {
			t.Errorf("%v: multiple of %d + %d, %t", c.good, of, plus, ok)
		}
	}
}

func TestInRing(t *testing.T) {
	for text, want := range map[string]bool{
		"6 sc in ring": true, "magic ring, 6 sc in ring": true, "6 sc in 2nd ch from hook": true, "2 dc in 4th ch from hook": true,
		"sc in 2nd ch from hook and in each ch across": false, "sc in each st around": false, "ch 3, (2 dc, ch 2, 3 dc) in ring": true,
	} {
		if got := inRing(stepsOf(t, text)); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
}

func TestGathered(t *testing.T) {
	text := "sc in next 2 sts, 2 sc in next st, sc in next 2 sts, 2 sc in next st, sc in next 2 sts, 2 sc in next st, sc in next st"
	got := notation.PrintRow(&notation.Row{Steps: gathered(stepsOf(t, text))}, notation.PrintOptions{})
	if want := "[sc in next 2 sts, 2 sc in next st] 3 times, sc in next st."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// One size of a text for three is a text of its own that holds.
func TestOneSize(t *testing.T) {
	text := "Sizes: S (M, L)\nCh 31 (33, 37).\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (30, 32, 36)\n" +
		"Rows 2–5 (7, 9): Ch 1, sc in each st across, turn.\nSizes M and L only: Row 10: Ch 1, sc2tog, sc in each st across, turn. Fasten off.\n"
	doc := notation.Parse(text, notation.Options{})
	before := notation.Print(doc, notation.PrintOptions{})
	for size, want := range []struct{ rows, last int }{{5, 30}, {8, 31}, {10, 35}} {
		one := oneSize(doc, size)
		res := fabric.Work(one, fabric.Options{})
		rows := 0
		last := 0
		for _, r := range res.Pieces[0].Rows {
			if r.Number > 0 {
				rows, last = rows+1, r.PerSize[0].Stitches
			}
		}
		if len(res.Sizes) != 1 || rows != want.rows || last != want.last {
			t.Errorf("size %d: %d sizes, %d rows, %d stitches; want %d, %d", size, len(res.Sizes), rows, last, want.rows, want.last)
		}
		if out := notation.Print(one, notation.PrintOptions{}); strings.Contains(out, "32, 36") || strings.Contains(out, "only") {
			t.Errorf("size %d still tells of others:\n%s", size, out)
		}
	}
	if after := notation.Print(doc, notation.PrintOptions{}); after != before {
		t.Errorf("the text of all sizes was changed:\n%s", after)
	}
}

func TestErrorTexts(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&SizeError{3, 2}, "size 4 of a pattern with 2"},
		{&NothingError{}, "the pattern has no rows"},
		{&NothingError{[]Left{{Piece: "Front", Rows: "Row 2", Why: "it can't"}}}, "no piece can be made at another gauge: Front, Row 2: it can't"},
		{&NothingError{[]Left{{Rows: "Row 2", Why: "it can't"}, {Why: "nor that"}}}, "no piece can be made at another gauge: Row 2: it can't; nor that"},
		{&ProofError{Row: "Row 3", Wrong: "it makes 5"}, "prove the rows made anew: Row 3: it makes 5"},
		{&FaultError{[]fabric.Finding{{Message: "Row 2 makes 9"}}}, "the pattern does not hold: Row 2 makes 9"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
