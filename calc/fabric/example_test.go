package fabric_test

import (
	"fmt"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

func ExampleWork() {
	doc := notation.Parse(`Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: (sc in next st, 2 sc in next st) 5 times. (18)
Rnd 4: (sc in next 2 sts, 2 sc in next st) 6 times. (24)`, notation.Options{})
	res := fabric.Work(doc, fabric.Options{})
	for _, row := range res.Pieces[0].Rows {
		fmt.Println(row.Label, row.PerSize[0].Stitches, row.OK)
	}
	for _, f := range res.Findings {
		fmt.Println(f.Fix)
	}
	// Output:
	// Rnd 1 6 true
	// Rnd 2 12 true
	// Rnd 3 15 false
	// Rnd 4 24 true
	// repeat 6 times in all
}

func ExampleSections() {
	doc := notation.Parse(`Ch 21.
Row 1: Sc in 2nd ch from hook and in each ch across. (20)
Row 2: Ch 1, sc in each st across.
Row 3: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. (18)
Row 4: Ch 1, sc in each st across.
Row 5: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. (16)`, notation.Options{})
	res := fabric.Work(doc, fabric.Options{})
	for _, s := range fabric.Sections(res.Pieces[0], 0) {
		fmt.Println(s.Name, s.Stitch, s.Start, "to", s.End, "in", s.Rows, "rows, at", s.Edge, "edges", s.Shaped)
	}
	// Output:
	// even sc 20 to 20 in 2 rows, at none edges []
	// decreases sc 20 to 16 in 3 rows, at both edges [1 3]
}

func ExampleCount_All() {
	doc := notation.Parse("Row 2: sc in next st, ch 1, sk 1, 2 sc in next st.", notation.Options{})
	res := fabric.Work(doc, fabric.Options{Start: 3})
	for s := range res.Pieces[0].Rows[0].PerSize[0].All() {
		fmt.Println(s.ID, "into", s.From)
	}
	// Output:
	// sc into 0
	// ch into -1
	// sc into 2
	// sc into 2
}
