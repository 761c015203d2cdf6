package fabric

import (
	"testing"

	"countwright/calc/notation"
)

// TestSkipFirst: the stitch that a counted turning chain stands on is one of
// the first so many, and none of the next so many.
// By hand: 22 stitches are the chain's own and 7 times 3.
func TestSkipFirst(t *testing.T) {
	const head = "Row 1: ch 24, dc in 4th ch from hook and in each ch across. (22 dc)\n"
	for _, c := range []struct {
		row string
		ok  bool
	}{
		{"Row 2: ch 5 (counts as dc and ch 2), turn, sk first 3 sts, dc in next st, *ch 2, sk 2 sts, dc in next st; rep from * across. (8 dc, 7 ch-2 sps)", true},
		{"Row 2: ch 5 (counts as dc and ch 2), turn, sk next 2 sts, dc in next st, *ch 2, sk 2 sts, dc in next st; rep from * across. (8 dc, 7 ch-2 sps)", true},
		{"Row 2: ch 5 (counts as dc and ch 2), turn, sk next 3 sts, dc in next st, *ch 2, sk 2 sts, dc in next st; rep from * across. (8 dc, 7 ch-2 sps)", false},
		{"Row 2: ch 3 (counts as dc), turn, sk first st, dc in each st across. (22 dc)", true},
		{"Row 2: ch 1 (does not count as a st), turn, sk first st, sc in each st across. (21 sc)", true},
	} {
		if r := Work(notation.Parse(head+c.row, notation.Options{}), Options{}); r.OK() != c.ok {
			t.Errorf("%s\nholds: %t, want %t; %v", c.row, r.OK(), c.ok, r.Findings)
		}
	}
}
