package fabric

import (
	"strings"
	"testing"
)

// TestRules works small texts; every count is worked out by hand beside it.
func TestRules(t *testing.T) {
	for _, c := range []struct {
		name, text string
		opt        Options
		want       int // stitches of the last row
		left       int
		finding    string // kind of the only finding; empty: none
		says       string // part of its message or its fix
	}{
		// Places.
		{"every other stitch", "Row 2: sc in every other st across.", Options{Start: 20}, 10, 0, "", ""},
		{"each to the last two", "Row 2: sc in each st to last 2 sts, 2 sc in each of last 2 sts.", Options{Start: 20}, 22, 0, "", ""},
		{"a row too short", "Row 2: sc in next 21 sts.", Options{Start: 20}, 20, 0, KindShort, "21 stitches needed"},
		{"a row left over", "Row 2: sc in next 18 sts.", Options{Start: 20}, 18, 2, KindLeft, "2 stitches of the row below are left"},
		{"left over, and said so", "Row 2: sc in next 15 sts, leave rem sts unworked.", Options{Start: 20}, 15, 5, "", ""},
		{"left over, wrongly counted", "Row 2: sc in next 15 sts, leave rem 6 sts unworked.", Options{Start: 20}, 15, 5, KindLeft, "5 stitches are left"},
		{"no such stitch", "Row 2: ch 1, fpdc around next dc, sc in each st across.", Options{Start: 20}, 20, 0, KindPlace, "there is no dc"},
		{"in the same stitch", "Rnd 2: sc in next st, sc in same st, sc in each st around.", Options{Start: 6}, 7, 0, "", ""},
		{"spread evenly", "Rnd 2: inc 6 sts evenly around. (30)", Options{Start: 24}, 30, 0, "", ""},
		{"over several", "Row 2: *cluster over next 3 sts, ch 2; rep from * across.", Options{Start: 21}, 7, 0, "", ""},
		{"foundation stitches", "Row 1: fsc 20.\nRow 2: Ch 1, sc in each st across. (20)", Options{}, 20, 0, "", ""},
		{"picots add nothing", "Rnd 2: *sc in next 3 sts, picot; rep from * around. (18)", Options{Start: 18}, 18, 0, "", ""},
		{"picots from chains", "Rnd 2: *sc in next 3 sts, ch 3, sl st in 3rd ch from hook; rep from * around. (18)", Options{Start: 18}, 18, 0, "", ""},
		{"slip stitches only", "Ch 13.\nRow 1: sl st in 2nd ch from hook and in each ch across. (12)\nRow 2: ch 1, sl st in each st across. (12)", Options{}, 12, 0, "", ""},
		{"slip stitches along an edge", "Row 2: sl st in next 5 sts, ch 1, sc in same st, sc in next 10 sts, leave rem sts unworked. (11)", Options{Start: 20}, 11, 5, "", ""},
		{"a zero in one size", "Row 2: 0 sc in next st, sc in each st across.", Options{Start: 20}, 20, 0, "", ""},

		// Repeats.
		{"does not come out even", "Row 2: *sc in next 4 sts, 2 sc in next st; rep from * across.", Options{Start: 32}, 36, 2, KindRepeat, "30 or 35, not on 32"},
		{"more times and in all", "Row 2: *sc in next st, ch 1, sk 1; rep from * 4 more times, sc in next st.", Options{Start: 11}, 6, 0, "", ""},
		{"times in brackets are in all", "Row 2: [sc in next st, ch 1, sk 1] 5 times, sc in next st.", Options{Start: 11}, 6, 0, "", ""},
		{"a repeat without an end", "Rnd 2: *ch 3, 2 dc; rep from * around.", Options{Start: 20}, 0, 0, "?", ""},
		{"nothing of the row is used", "Row 2: sc in next 20 sts, *ch 3; rep from * across.", Options{Start: 21}, 20, 1, KindRepeat, "no end"},
		{"ending the last repeat early", "Row 2: *sc in next 3 sts, ** ch 1, sk 1; rep from * across, ending last rep at **.", Options{Start: 23}, 18, 0, "", ""},
		{"steps behind a repeat keep their stitches", "Row 2: *2 dc in next st, sk 1; rep from * across, dc in last 3 sts.", Options{Start: 23}, 23, 0, "", ""},

		// Spaces.
		{"chains over skipped stitches are stitches", "Row 2: sc in next 5, ch 2, sk 2, sc in next 5.\nRow 3: sc in each st across. (12)", Options{Start: 12}, 12, 0, "", ""},
		{"chains of a corner are none", "Rnd 2: (sc, ch 2, sc) in next st, sc in next 5.\nRnd 3: sc in each sc around. (7)", Options{Start: 6}, 7, 0, "", ""},
		{"one stitch for each space", "Row 2: sc in next st, *ch 3, sk 2, sc in next st; rep from * across.\nRow 3: sc in each st and ch-3 sp across.", Options{Start: 13}, 9, 0, "", ""},
		{"a space of another size", "Row 2: sc in next st, ch 3, sk 2, sc in next st.\nRow 3: ch 1, sc in next sc, 3 sc in next ch-2 sp, sc in next sc.", Options{Start: 4}, 5, 0, KindPlace, "no ch-2 space"},
		{"an opening under the arm", "Rnd 2: sc in next 20, ch 4, sk 16, sc in next 20.\nRnd 3: sc in each st and each ch around. (44)", Options{Start: 56}, 44, 0, "", ""},
		{"between groups", "Ch 4, join to form a ring.\nRnd 1: Ch 3 (counts as dc), 2 dc in ring, (3 dc in ring) 3 times, join.\nRnd 2: Ch 3, 2 dc in first sp, 3 dc in next sp between 3-dc groups, 3 dc in next sp between 3-dc groups.", Options{}, 9, 0, "?", ""},

		// Words that only skip.
		{"a skip that the chain has done", "Row 2: Ch 3 (counts as dc), sk first st, dc in each st across. (20)", Options{Start: 20}, 20, 0, "", ""},
		{"a joined round", "Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around, join. (24)", Options{Start: 12}, 24, 0, "", ""},
		{"sc in the joining stitch", "Rnd 2: Ch 1, sc in same st as join, sc in each st around, join. (12)", Options{Start: 12}, 12, 0, "", ""},

		// Rows named.
		{"a row that is not there", "Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRows 2-5: Rep Row 7.", Options{}, 10, 0, KindRows, "row 7"},
		{"all wrong-side rows", "Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2 and all WS rows: Ch 1, sc in each st across.\nRow 3: Ch 1, 2 sc in first st, sc in each st across. (11)\nRow 5: Ch 1, 2 sc in first st, sc in each st across. (12)", Options{}, 12, 0, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := work(t, c.text, c.opt)
			if c.finding == "?" {
				return // only must not fail to end
			}
			n := last(t, res)
			if n.Stitches != c.want || n.Left != c.left {
				t.Errorf("%d stitches, %d left; want %d, %d", n.Stitches, n.Left, c.want, c.left)
			}
			switch {
			case c.finding == "" && len(res.Findings) > 0:
				t.Errorf("found %+v", res.Findings)
			case c.finding != "" && (len(res.Findings) != 1 || res.Findings[0].Kind != c.finding):
				t.Errorf("found %+v, want one of kind %s", res.Findings, c.finding)
			case c.finding != "" && !strings.Contains(res.Findings[0].Message+res.Findings[0].Fix, c.says):
				t.Errorf("%q does not say %q", res.Findings[0].Message, c.says)
			}
		})
	}
}

// TestCauses: the single edit that mends a row is named.
func TestCauses(t *testing.T) {
	for _, c := range []struct{ text, says, fix string }{
		{"Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. (10)\nRow 2: Ch 1, sc2tog, sc in each st across. (8)\nRow 3: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. (6)\nRow 4: Ch 1, sc in each st across. (6)",
			"at one edge, where Row 3 has it at both", "sc2tog at the end too"},
		{"Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\nRnd 3: (sc in next st, 2 sc in next st) 5 times. (18)\nRnd 4: (sc in next 2 sts, 2 sc in next st) 6 times. (24)",
			"worked 5 times, where 6 would fit", "repeat 6 times in all"},
		{"Rnd 4: (sc in next 2 sts, 2 sc in next st) 6 times. (24)\nRnd 5: (sc in next 3 sts, sc2tog) 6 times. (30)\nRnd 6: (sc in next 4 sts, 2 sc in next st) 6 times. (36)",
			"stands where", "2 sc in next"},
		{"Row 2: Ch 1, sc in each st across. (20)\nRow 3: Ch 1, sc in each st across. (21)\nRow 4: Ch 1, sc in each st across. (20)",
			"the stated count is the likely slip", "20"},
		{"Rnd 5: (sc in next 3 sts, 2 sc in next st) 5 times. (25)\nRnd 6: sc in each st around.\nRnd 7: 2 sc in next st, sc in each st around.\nRnd 8: sc in each st around. (27)",
			"Rnd 7, which states no count", ""},
	} {
		res := work(t, c.text)
		if len(res.Findings) != 1 {
			t.Errorf("%q: found %+v", c.text, res.Findings)
			continue
		}
		f := res.Findings[0]
		if !strings.Contains(f.Message, c.says) || c.fix != "" && f.Fix != c.fix {
			t.Errorf("%q\n says %q (%q)\nwant %q (%q)", c.text, f.Message, f.Fix, c.says, c.fix)
		}
	}
}

// TestTurningChains: as the text says, else by habit, else as the stated
// counts need it; and the answer says which.
func TestTurningChains(t *testing.T) {
	for _, c := range []struct {
		name, text string
		counts     bool
		assumed    string
	}{
		{"said", "Row 2: Ch 2 (counts as hdc), hdc in each st across.", true, ""},
		{"said not", "Row 2: Ch 3 (does not count as a st), dc in each st across.", false, ""},
		{"said in a note", "The turning ch counts as a st throughout.\n\nRow 2: Ch 2, hdc in each st across.", true, ""},
		{"habit of sc", "Row 2: Ch 1, sc in each st across.", false, "habit for sc"},
		{"habit of dc", "Row 2: Ch 3, dc in each st across.", true, "habit for dc"},
		{"too short for its stitch", "Row 2: Ch 1, dc in each st across.", false, "habit for dc"},
		{"needed by the counts", "Row 2: Ch 2, hdc in each of next 19 sts. (20)\nRow 3: Ch 2, hdc in each of next 19 sts. (20)", true, "because the stated counts"},
		{"needed not to count", "Row 2: Ch 3, dc in each of next 20 sts. (20)\nRow 3: Ch 3, dc in each of next 20 sts. (20)", false, "because the stated counts"},
	} {
		res := work(t, c.text, Options{Start: 20})
		if n := last(t, res); n.Turning != c.counts || !res.OK() {
			t.Errorf("%s: counts %v, want %v; %v", c.name, n.Turning, c.counts, res.Findings)
		}
		told := ""
		for _, a := range res.Assumptions {
			if strings.Contains(a.Message, " before ") {
				told += a.Message
			}
		}
		if !strings.Contains(told, c.assumed) || c.assumed == "" && told != "" {
			t.Errorf("%s: assumed %q, want %q", c.name, told, c.assumed)
		}
	}
}

// TestSplit leaves stitches for later: two shoulders and two sleeves.
func TestSplit(t *testing.T) {
	res := work(t, `Back
Ch 61.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (60)
Row 2: Ch 1, sc in next 18 sts, leave rem sts unworked, turn. (18)
Row 3: Ch 1, sc in each st across. (18)
Fasten off.

Left shoulder
Row 2: Sk next 24 sts, join yarn in next st, ch 1, sc in same st and in each st across, turn. (18)
Row 3: Ch 1, sc in each st across. (18)
Fasten off.`)
	for _, f := range res.Findings {
		t.Error(f.Message)
	}
	if n := last(t, res); n.Stitches != 18 {
		t.Errorf("left shoulder has %d, by hand 60 - 18 - 24 = 18", n.Stitches)
	}
}

// TestSizes works each size with its own numbers.
func TestSizes(t *testing.T) {
	res := work(t, "Ch 31 (41, 51).\nRow 1: Sc in 2nd ch from hook and in each ch across. (30 (40, 50) sts)\nRow 2: Ch 1, sc in each st across.\nRows 3-5 (7, 9): Rep Row 2.\nRow 6 (8, 10): Ch 1, sc2tog, sc in each st across. (29 (39, 48) sts)")
	if len(res.Sizes) != 3 || len(res.Findings) != 1 || res.Findings[0].Size != 2 {
		t.Fatalf("sizes %v, findings %+v", res.Sizes, res.Findings)
	}
	rows := map[int]int{}
	for _, r := range res.Pieces[0].Rows {
		for size, c := range r.PerSize {
			if c != nil && r.Number > 0 {
				rows[size]++
			}
		}
	}
	if rows[0] != 6 || rows[1] != 8 || rows[2] != 10 {
		t.Errorf("rows by size %v", rows)
	}
}

// TestStart: a single row is worked on the stitches that it is said to have
// below, or on those that it fits.
func TestStart(t *testing.T) {
	row := "*sc in next 4, inc; rep from * around (36)"
	if res := work(t, row, Options{Start: 30}); !res.OK() || last(t, res).Stitches != 36 {
		t.Errorf("from 30: %+v", res.Findings)
	}
	if res := work(t, row, Options{Start: 31}); res.OK() {
		t.Error("from 31 it came out even")
	}
	res := work(t, row)
	if !res.OK() || len(res.Assumptions) == 0 {
		t.Errorf("from nothing: %+v, %+v", res.Findings, res.Assumptions)
	}
	if res := work(t, "Rnd 3: sc in each st around"); res.OK() {
		t.Error("nothing tells how many stitches there are, and nothing is said")
	}
}

// TestLimits: what is too much is said, and what comes before it is worked.
func TestLimits(t *testing.T) {
	for name, text := range hostile() {
		res := work(t, text)
		if name == "brackets" || name == "steps and spaces" || name == "one long row" || name == "nested repeats" || name == "mistakes" {
			continue // bounded by what it is
		}
		limit := false
		for _, f := range res.Findings {
			limit = limit || f.Kind == KindLimit
		}
		if !limit {
			t.Errorf("%s: no limit is told of", name)
		}
	}
	res := work(t, "Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRows 2-9999: Ch 1, sc in each st across. (10)")
	if !res.OK() || len(res.Pieces[0].Rows) != 10_000 {
		t.Errorf("%d rows: %+v", len(res.Pieces[0].Rows), res.Findings)
	}
}
