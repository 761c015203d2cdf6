package fabric

import (
	"strings"
	"testing"

	"countwright/calc/notation"
)

// TestNoCountsNoFlip: a text that states no count gives no reason to let
// single crochet turn with a stitch, not even where that would hide a repeat
// that does not come out even.
// By hand: 23 stitches, less one at either end, leave 21 for a repeat of two.
func TestNoCountsNoFlip(t *testing.T) {
	doc := notation.Parse("Row 1: ch 24, sc in 2nd ch from hook and in each ch across.\n"+
		"Row 2: ch 1, turn, sc in first st, *sk next st, 2 sc in next st; rep from * to last st, sc in last st.", notation.Options{})
	r := Work(doc, Options{})
	if len(r.Findings) == 0 {
		t.Errorf("a repeat of 2 over 21 stitches went unnoticed; taken for granted: %v", r.Assumptions)
	}
	for _, a := range r.Assumptions {
		if strings.Contains(a.Message, "stated counts hold") {
			t.Errorf("%q: no count is stated", a.Message)
		}
	}
}
