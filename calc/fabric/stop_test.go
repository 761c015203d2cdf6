package fabric

import (
	"testing"

	"countwright/calc/notation"
)

// "To last 4 sts, turn" leaves four stitches where the stated count agrees;
// without one it may be a slip.
func TestRowsThatStop(t *testing.T) {
	const base = "Ch 44\nRow 1: sc in 2nd ch from hook and in each ch across, turn (43)\n"
	for _, c := range []struct {
		row      string
		findings int
		src      string
	}{
		{"Row 2: sl st in first 4 sts, ch 1, sc in each st across to last 4 sts, turn (35)", 0, "by hand: 43 - 8"},
		{"Row 2: ch 1, sc in each st across to last 4 sts, turn (39)", 0, "by hand: 43 - 4"},
		{"Row 2: ch 1, sc in each st across to last 4 sts, turn", 1, "no count says that they are meant to stay"},
		{"Row 2: ch 1, sc2tog, sc in each st across to last 2 sts, turn (41)", 1, "a decrease is missing at the end"},
		{"Row 2: ch 1, sc in next 39 sts, turn (39)", 1, "nothing says where it stops"},
	} {
		res := Work(notation.Parse(base+c.row, notation.Options{}), Options{})
		if len(res.Findings) != c.findings {
			t.Errorf("%s: %d findings, want %d (%s): %+v", c.row, len(res.Findings), c.findings, c.src, res.Findings)
		}
	}
}
