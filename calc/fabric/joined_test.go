package fabric

import (
	"slices"
	"testing"

	"countwright/calc/notation"
)

// The chain that a joined round begins with is no stitch: passing over it loses
// none. By hand: 9 stitches, twice as many, as many again, and one fewer.
func TestJoinedRoundsShapeByTheirStitches(t *testing.T) {
	doc := notation.Parse(`Rnd 1: Magic ring, ch 2, 9 hdc in ring, join with sl st in first st. (9 sts)
Rnd 2: Ch 2, 2 hdc in each st around, join with sl st in first st. (18 sts)
Rnd 3: Ch 2, hdc in each st around, join with sl st in first st. (18 sts)
Rnd 4: Ch 2, sk first st, hdc in each st around, join with sl st in first st. (17 sts)`, notation.Options{Terms: notation.US})
	var got []int
	for _, row := range Work(doc, Options{}).Pieces[0].Rows {
		sum := 0
		for _, s := range row.PerSize[0].Shaping {
			sum += s.N * s.Delta
		}
		got = append(got, sum)
	}
	if want := []int{0, 9, 0, -1}; !slices.Equal(got, want) {
		t.Errorf("shaping of the rounds: %v, want %v", got, want)
	}
}
