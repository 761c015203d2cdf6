package lesson_test

import (
	"fmt"

	"countwright/calc/lesson"
	"countwright/calc/stitch"
)

func ExampleAll() {
	all := lesson.All(stitch.US)
	fmt.Println(all[0].Stitch, all[1].Stitch, all[2].Stitch)
	// Output: ch sl st sc
}

// A stitch without a lesson of its own gets that of its kin.
func ExampleFor_kin() {
	l, _ := lesson.For("9-dc shell", stitch.US)
	fmt.Println(l.Stitch, "-", l.What)
	// Output: shell - Five double crochets in one place. They fan out.
}

// The same lesson, said in either dialect.
func ExampleFor_dialects() {
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		l, _ := lesson.For("shell", d)
		fmt.Println(l.Steps[1].Do)
	}
	// Output:
	// Work five dc in the next stitch.
	// Work five tr in the next stitch.
}

// Where a stitch can hurt somebody, its lesson says so.
func ExampleLesson_caution() {
	l, _ := lesson.For("loop st", stitch.US)
	fmt.Println(l.Caution)
	// Output: Long loops can catch small fingers and toes. Leave them off things for babies.
}

// A question in a whole sentence, with a slip.
func ExampleFind_question() {
	m := lesson.Find("how do I make an invisable decrease?", stitch.US, 1)[0]
	fmt.Println(m.Key)
	// Output: invdec
}
