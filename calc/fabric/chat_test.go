package fabric

import "testing"

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
