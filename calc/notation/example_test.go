package notation_test

import (
	"fmt"

	"countwright/calc/notation"
)

func ExampleParse() {
	doc := notation.Parse("Rnd 3: *sc in next st, 2 sc in next st; rep from * around. (18)", notation.Options{})
	doc.Rows(func(_ *notation.Part, r *notation.Row) {
		fmt.Println(r.Label.From.At(0), len(r.Steps), r.Claim.Entries[0].Count.At(0))
	})
	// Output: 3 1 18
}

func ExampleParse_problem() {
	doc := notation.Parse("Row 1: hdv in next 3 sts, sc in last st.", notation.Options{Terms: notation.US})
	for _, p := range doc.Problems {
		fmt.Printf("line %d, column %d: %s, perhaps %q\n", p.From.Line, p.From.Column, p.Message, p.Near)
	}
	// Output: line 1, column 8: I don't know the stitch "hdv", perhaps "hdc"
}

func ExamplePrint() {
	doc := notation.Parse("row 2 - ch 3, *fpdc around next dc, bpdc around next dc* rep across, turn", notation.Options{})
	fmt.Print(notation.Print(doc, notation.PrintOptions{Terms: notation.UK}))
	// Output: Row 2: Ch 3, *FPtr around next tr, BPtr around next tr; rep from * across, turn.
}

func ExamplePrintRow() {
	row := &notation.Row{
		Label: notation.Label{Kind: notation.FlatRow, From: notation.N(2), To: notation.N(2), Side: notation.RightSide},
		Steps: []notation.Step{
			&notation.Chain{Many: notation.N(2), Counts: notation.CountsAsStitch, As: "hdc"},
			&notation.Stitches{Name: "hdc", Into: notation.Place{Choice: notation.EachTo, To: notation.ToLast, Left: notation.N(2)}},
			&notation.Stitches{Name: "hdc2tog", Into: notation.Place{Choice: notation.Next, Many: notation.N(1), Unsaid: true}},
			&notation.Turn{},
		},
		Claim: &notation.Claim{Entries: []notation.ClaimEntry{{Count: notation.N(98), What: "st"}}},
	}
	fmt.Println(notation.PrintRow(row, notation.PrintOptions{}))
	// Output: Row 2 (RS): Ch 2 (counts as hdc), hdc in each st to last 2 sts, hdc2tog, turn. (98 sts)
}

func ExamplePrintStep() {
	step := &notation.Stitches{Name: "dc", Each: notation.N(2), Into: notation.Place{Choice: notation.Next, Many: notation.N(3)}}
	fmt.Println(notation.PrintStep(step, notation.PrintOptions{}))
	fmt.Println(notation.PrintStep(step, notation.PrintOptions{Terms: notation.UK}))
	// Output:
	// 2 dc in each of next 3 sts
	// 2 tr in each of next 3 sts
}

func ExamplePrintLine() {
	again := &notation.Again{Label: notation.Label{Kind: notation.FlatRow, From: notation.N(3), To: notation.N(12)}, Like: []int{2}}
	fmt.Println(notation.PrintLine(again, notation.PrintOptions{}))
	// Output: Rows 3–12: Rep Row 2.
}

func ExampleStyleOf() {
	style := notation.StyleOf("Round 1: 6 sc in ring. [6]\nRound 2: inc x 6. [12]")
	fmt.Println(style.Round, style.Count, style.Times)
	// Output: Round [ x
}

func ExampleTranslate() {
	text, notes := notation.Translate("Sk next st, hdc2tog, *SC in next dc; rep from * around.", notation.US, notation.UK)
	fmt.Println(text, len(notes))
	// Output: Sk next st, htr2tog, *DC in next tr; rep from * around. 0
}

func ExampleDetectTerms() {
	d := notation.DetectTerms("1 htr in next st, miss 1 st.")
	fmt.Println(d.Terms, d.Certain, d.Mixed)
	for _, e := range d.Evidence {
		fmt.Println(e.Word, e.Terms)
	}
	// Output:
	// UK true false
	// htr UK
	// miss UK
}

func ExampleParseTerms() {
	terms, err := notation.ParseTerms("British")
	fmt.Println(terms, err)
	// Output: UK <nil>
}

func ExampleWalk() {
	doc := notation.Parse("Row 1: [sc, (dc, ch 1) in next st] 3 times.", notation.Options{})
	doc.Rows(func(_ *notation.Part, r *notation.Row) {
		notation.Walk(r.Steps, func(s notation.Step) bool {
			fmt.Printf("%T\n", s)
			return true
		})
	})
	// Output:
	// *notation.Group
	// *notation.Stitches
	// *notation.Group
	// *notation.Stitches
	// *notation.Chain
}
