package pace

import (
	"countwright/calc/notation"
	"fmt"
	"testing"
)

func TestX(t *testing.T) {
	p, err := FromText(sleeves, notation.Options{Terms: notation.US}, 0, notation.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range p.Pieces() {
		fmt.Println("==", q.Title())
		for i, r := range q.Rows {
			fmt.Println(q.Said(i), r.Label, r.Number, q.Text(i), r.Count, r.Worked, r.Shape, r.Holes)
		}
		fmt.Println(q.Ending())
	}
}

const sleeves = `Sleeve, cuff (make 2)
Ch 9.
Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (8 sts)
Rows 2–28: Ch 1, sc in BLO of each st across, turn. (8 sts)

Sleeve (make 2)
Row 1 (RS): Ch 2, working along the long edge of the strip, hdc in each row end across, turn. (28 sts)
Row 2: Ch 2, hdc in each st across, turn. (28 sts)
Row 3: Ch 2, 2 hdc in first st, hdc in each st to last st, 2 hdc in last st, turn. (30 sts)
Rows 4–7: Rep Rows 2 and 3. (34 sts)
Rows 8–9: Rep Row 2. (34 sts)
Fasten off.

Button band
Begin at the lower edge of the right front: go up its edge.
Row 1 (RS): With RS facing, rejoin yarn, ch 1, working evenly along the right front hem, sc in next 8 sts, turn. (8 sts)
Row 2: Ch 1, sc in each st across, turn. (8 sts)
Row 3: Ch 1, sc in next 2 sts, ch 3, sk next 3 sts, sc in next 3 sts, turn. (5 sts, 1 ch-3 sp)
Row 4: Ch 1, sc in next 3 sts, 3 sc in next ch-3 sp, sc in next 2 sts, turn. (8 sts)
Row 5: Rep Row 2. (8 sts)
Fasten off.
`
