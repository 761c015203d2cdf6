package notation

import "testing"

// TestStarOfARepeatIsNoBullet: a row pasted without its label may begin with
// the star that its repeat goes back to.
func TestStarOfARepeatIsNoBullet(t *testing.T) {
	for _, c := range []struct {
		text  string
		group bool
	}{
		{"*sc in next 5 sts, sc2tog; rep from * around. (20)", true},
		{"* sc in next 5 sts, sc2tog, rep from * to end", true},
		{"*Row 1:* sc in next 5 sts, sc2tog. (6)", false},
	} {
		doc := Parse(c.text, Options{})
		if len(doc.Problems) > 0 {
			t.Errorf("%q: %v", c.text, doc.Problems[0].Message)
		}
		found := false
		doc.Rows(func(_ *Part, r *Row) {
			Walk(r.Steps, func(s Step) bool {
				_, group := s.(*Group)
				found = found || group
				return true
			})
		})
		if found != c.group {
			t.Errorf("%q: a repeat is found: %t, want %t", c.text, found, c.group)
		}
	}
}
