package trouble_test

import (
	"errors"
	"fmt"

	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/trouble"
)

func ExampleAll() {
	for _, t := range trouble.All(stitch.UK)[:2] {
		fmt.Println(t.Symptom)
	}
	// Output:
	// My edges slant in
	// My edges slant out
}

// A guided talk: the likeliest cause first, each with its test; where there is
// arithmetic, it tells whether the cause holds.
func ExampleTrouble() {
	t, _ := trouble.Lookup("edging ruffles", stitch.US)
	check := t.Checks[0]
	fmt.Println(check.Cause)
	fmt.Println(check.Test)
	f, _ := trouble.FigureOf(check.Figure)
	for _, need := range f.Needs {
		fmt.Println("-", need.Ask)
	}
	o, _ := f.Work(trouble.Facts{"stitches": 20, "length": 400, "picked": 96}, stitch.US, measure.Centimetres)
	fmt.Println(o.Text)
	fmt.Println("this is it:", o.Name == check.When)
	// Output:
	// There are too many stitches along the edge.
	// Count the stitches of one side and measure the side.
	// - How many stitches of the edging do you have in 10 cm (4 in)?
	// - How long is the edge that it stands on?
	// - How many stitches did you work along it?
	// You have 96 stitches along 40 cm. At your gauge about 80 lie flat. That is 16 too many, so it waves.
	// this is it: true
}

// A fact that is missing is asked for.
func ExampleFigure_Work_missing() {
	f, _ := trouble.FigureOf("wash")
	_, err := f.Work(trouble.Facts{"before": 500}, stitch.US, measure.Centimetres)
	var missing *trouble.FactError
	if errors.As(err, &missing) {
		fmt.Println(missing.Need.Ask)
	}
	// Output: How long is it now?
}

func ExampleValue_Text() {
	v := trouble.Value{Number: 254, Kind: trouble.Length}
	fmt.Println(v.Text(measure.Centimetres), "or", v.Text(measure.Inches))
	// Output: 25.4 cm or 10 in
}
