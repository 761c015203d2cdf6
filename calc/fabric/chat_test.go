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
