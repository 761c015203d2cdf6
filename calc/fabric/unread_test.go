package fabric

import (
	"testing"

	"countwright/calc/notation"
)

// A row that could not be read counts as what it states: the rows after it are
// not blamed for it.
func TestRowsAfterOneNotRead(t *testing.T) {
	for _, text := range []string{
		"Rnd 1: 6 sc in magic ring (6)\nRnd 2: 2 qxw in each st around (12)\nRnd 3: *sc in next st, 2 sc in next st; rep from * around (18)",
		"Ch 21\nRow 1: sc in 2nd ch from hook and in each ch across (20)\nRow 2: ch 1, qxw in each st across (24)\nRow 3: ch 1, sc in each st across (24)",
	} {
		res := Work(notation.Parse(text, notation.Options{}), Options{})
		if len(res.Findings) != 1 || res.Findings[0].Kind != KindUnread {
			t.Errorf("%s: %+v", text, res.Findings)
		}
	}
}
