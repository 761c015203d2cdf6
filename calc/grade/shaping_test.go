package grade

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/spacing"
)

func ExampleShaping() {
	plan, err := spacing.Shape(24, 4, spacing.Row, spacing.Increase)
	if err != nil {
		fmt.Println(err)
		return
	}
	row := &notation.Row{Steps: Shaping(plan, "hdc")}
	fmt.Println(notation.PrintRow(row, notation.PrintOptions{Terms: notation.UK}))
	// By hand: 3 + 5 + 4 + 5 + 3 plain stitches and 4 that are shaped are 24, and
	// the row is its own mirror image.

	// Output: Htr in next 3 sts, 2 htr in next st, htr in next 5 sts, 2 htr in next st, htr in next 4 sts, 2 htr in next st, htr in next 5 sts, 2 htr in next st, htr in next 3 sts.
}
