package fabric

import (
	"strings"
	"testing"

	"countwright/calc/notation"
)

// TestClaimsBySize: each size is shown with the count stated for it.
func TestClaimsBySize(t *testing.T) {
	res := work(t, "Ch 21 (23, 25).\nRow 1: hdc in 2nd ch from hook and in each ch across. (20 (22, 24) sts)")
	rows := res.Pieces[0].Rows
	for size, want := range []int{20, 22, 24} {
		if c := rows[len(rows)-1].PerSize[size]; c == nil || !c.Claimed || c.Claim != want || c.Stitches != want {
			t.Errorf("size %d: %+v, want %d made and stated", size, c, want)
		}
	}
}

// chat is a text as people write it, with what must come out, worked by hand.
type chat struct {
	name, text string
	terms      notation.Terms
	start      int
	made       string // stitches of each row in the first size, foundations among them
	found      string // what each finding says, in order, parted by "|"; empty: nothing is found
}

func (c chat) check(t *testing.T) {
	t.Helper()
	doc := notation.Parse(c.text, notation.Options{Terms: c.terms})
	res := Work(doc, Options{Start: c.start})
	var made []string
	for _, p := range res.Pieces {
		for _, r := range p.Rows {
			if n := r.PerSize[0]; n != nil {
				made = append(made, numeral(n.Stitches))
			}
		}
	}
	if got := strings.Join(made, " "); got != c.made {
		t.Errorf("%s makes %s\nby hand %s", c.name, got, c.made)
	}
	var want []string
	if c.found != "" {
		want = strings.Split(c.found, "|")
	}
	for i, f := range res.Findings {
		if i >= len(want) || !strings.Contains(f.Message, want[i]) {
			t.Errorf("%s: line %d: %s: %s", c.name, f.Pos.Line, f.Kind, f.Message)
		}
	}
	if len(res.Findings) < len(want) {
		t.Errorf("%s: %d findings, planted %d", c.name, len(res.Findings), len(want))
	}
}

// TestTurnBehindChain: "ch 3, turn" at the start of a row is the turn between
// two rows, and the chain stands on the first stitch.
func TestTurnBehindChain(t *testing.T) {
	const shawl = "Row 1: ch 4, 2 dc in 4th ch from hook (3 dc)\nRow 2: ch 3, turn, dc in same st, dc in next st, 2 dc in last st (5 dc)\n" +
		"Row 3: ch 3, turn. 1 dc in same st, dc across to last st, 2 dc in last st (7 dc)\n"
	for _, c := range []chat{
		// Each row gains one at its start (chain and dc in one stitch) and one at its end.
		{name: "shawl", text: shawl, made: "3 5 7"},
		{name: "a count that the next row does not share", text: shawl +
			"Row 4: ch 3, turn. 1 dc in same st, dc across to last st, 2 dc in last st (8 dc)\nRow 5: ch 3, turn. 1 dc in same st, dc across to last st, 2 dc in last st (11 dc)",
			made: "3 5 7 9 11", found: "Row 4 makes 9 dc, the pattern says 8 dc: the rows after it go on from 9"},
		// ch 1 does not count: the first sc goes where it stands.
		{name: "single crochet", start: 10, text: "Row 2: ch 1, turn, 2 sc in same st, sc in each st to last st, 2 sc in last st (12)", made: "12"},
		// A joined round turned before it: nothing is gained.
		{name: "turned rounds", text: "Rnd 1: 12 dc in magic ring, join. (12)\nRnd 2: ch 3 (counts as dc), turn, dc in next st and in each st around, join. (12)", made: "12 12"},
	} {
		c.check(t)
	}
}

// TestFoundationFits: chains that a repeat leaves over before "in last ch" are
// a fault, so an open foundation gets a length that the repeat fits.
func TestFoundationFits(t *testing.T) {
	const row = "2 sc in second ch from hook, *sk 1 ch, 2 sc in next ch; rep from * to last ch, sc in last ch."
	for _, c := range []chat{
		// One chain turns, one has 2 sc, k times 2 chains, one has 1 sc: 3 + 2k chains, 3 + 2k sc.
		// 25 is the first odd length from 24 on.
		{name: "any length", text: "Chain any length.\nRow 1: " + row, made: "25 25"},
		{name: "no foundation", text: "Row 1: " + row, made: "25"},
		{name: "a length that fits", text: "Ch 17.\nRow 1: " + row, made: "17 17"},
		// 18: after 2 sc in the 2nd, 16 are left, 1 for the end, 15 are seven pairs and one over.
		{name: "a length that does not", text: "Ch 18.\nRow 1: " + row, made: "18 17", found: "1 stitch of the row below is left"},
		// 14 for the first wave (3 turn), 13 for each of three more, 1 at the end: 54; five more are too many.
		{name: "ripple", text: "Ch 59.\nRow 1: Dc in 4th ch from hook, dc in next 4 ch, 3 dc in next ch, dc in next 5 ch, *sk 2 ch, dc in next 5 ch, 3 dc in next ch, dc in next 5 ch; rep from * to last ch, dc in last ch.",
			made: "59 54", found: "5 stitches of the row below are left"},
	} {
		c.check(t)
	}
}

// TestRowEnds: mitts worked flat, joined, and gone on with along the side.
func TestRowEnds(t *testing.T) {
	chat{name: "mitts", text: "Fingerless mitts\nSizes: S (M, L)\nCh 13 (15, 17).\nRow 1: hdc in 2nd ch from hook and in each ch across. 12 (14, 16)\n" +
		"Row 2: ch 1, turn, hdc blo in each st across. 12 (14, 16)\nRepeat row 2 until you have 4 (6, 8) rows.\nSl st ends together to form a tube.\n\n" +
		"Now working in row ends:\nRnd 1: ch 1, work 28 (32, 36) sc evenly around, join. 28 (32, 36)\nRnd 2: ch 1, hdc in each st around, join. 28 (32, 36)\nRep rnd 2 2 (3, 4) times.\n" +
		"Thumb hole: ch 1, hdc in next 3 sts, ch 6, skip 6 sts, hdc in each st around, join.\nNext rnd: ch 1, hdc in each st and ch around. 28 (32,36)\nFasten off.",
		// Rows 1 to 4; 28 along the side, Rnd 2 and two more; 28 - 6 = 22 with 6 chains; those are worked: 28.
		made: "13 12 12 12 12 28 28 28 28 22 28"}.check(t)
	// The first of each repeat, not the first of the round again: (1 + 6 + 1) × 2 of 16, making 10 × 2.
	chat{name: "first in a repeat", start: 16, text: "Rnd 2: *2 sc in first st, sc in next 6 sts, 2 sc in next st; rep from * once. 20 sts.", made: "20"}.check(t)
}
