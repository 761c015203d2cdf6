package fabric

import (
	"testing"

	"countwright/calc/notation"
)

// A turn at the start of a row says what a flat row does anyway; it turns a
// round.
func TestTurnAtTheStart(t *testing.T) {
	for _, c := range []struct {
		text   string
		counts []int
		turned bool
		src    string
	}{
		{"Ch 21\nRow 1: sc in 2nd ch from hook and in each ch across (20)\nRow 2: ch 1, turn, sc2tog, sc in each st across (19)",
			[]int{20, 19}, true, "by hand: one decrease"},
		{"Ch 21\nRow 1: sc in 2nd ch from hook and in each ch across, turn (20)\nRow 2: turn, ch 1, sc in each st across (20)",
			[]int{20, 20}, true, "by hand: the turn is told twice"},
		{"Rnd 1: 6 sc in magic ring, join (6)\nRnd 2: ch 1, turn, 2 sc in each st around, join (12)",
			[]int{6, 12}, true, "by hand: worked back over the round"},
		{"Rnd 1: 6 sc in magic ring, join (6)\nRnd 2: ch 1, 2 sc in each st around, join (12)",
			[]int{6, 12}, false, "by hand: rounds go on the same way"},
	} {
		res := Work(notation.Parse(c.text, notation.Options{}), Options{})
		if !res.OK() {
			t.Errorf("%s: %s (%s)", c.text, res.Findings[0].Message, c.src)
		}
		rows := res.Pieces[0].Rows
		rows = rows[len(rows)-2:]
		for i, r := range rows {
			if n := r.PerSize[0].Stitches; n != c.counts[i] {
				t.Errorf("%s: %s makes %d, want %d (%s)", c.text, r.Label, n, c.counts[i], c.src)
			}
		}
		if got := rows[1].PerSize[0].Turned; got != c.turned {
			t.Errorf("%s: turned is %t (%s)", c.text, got, c.src)
		}
	}
}
