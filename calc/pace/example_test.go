package pace_test

import (
	"fmt"
	"time"

	"countwright/calc/notation"
	"countwright/calc/pace"
)

func ExampleFromText() {
	plan, err := pace.FromText(`Ch 9.
Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (8 sts)
Row 2: Ch 1, 2 sc in first st, sc in each st across, turn. (9 sts)
Rows 3–4: Rep Row 2. (11 sts)`, notation.Options{Terms: notation.US}, 0, notation.US)
	if err != nil {
		fmt.Println(err)
		return
	}
	piece := plan.Pieces()[0]
	row := piece.Rows[3]
	fmt.Printf("%s: %s %d stitches.\n", row.Label, piece.Text(3), row.Count)
	// Output: Row 4 (WS): Ch 1, 2 sc in first st, sc in each st across, turn. 11 stitches.
}

func ExampleFree() {
	plan, _ := pace.Free("Scarf", 40, 120, 2)
	for _, piece := range plan.Pieces() {
		fmt.Println(piece.Title(), piece.Stitches(40))
	}
	// Output:
	// Scarf (1 of 2) 4800
	// Scarf (2 of 2) 4800
}

func ExamplePlan_Tally() {
	plan, _ := pace.Free("Scarf", 40, 120, 1)
	evening := time.Date(2031, time.March, 3, 20, 0, 0, 0, time.UTC)
	tally, _ := plan.Tally([]pace.Move{
		{At: evening, From: 0, To: 12},
		{At: evening.Add(time.Hour), From: 12, To: 10}, // two rows pulled out
	}, time.UTC)
	fmt.Printf("%d of %d stitches; %d worked that day\n", tally.Stitches, tally.All, tally.Days[0].Worked)
	// Output: 1200 of 4800 stitches; 1440 worked that day
}

func ExampleAhead() {
	var days []pace.Day
	for day := range 60 {
		days = append(days, pace.Day{Day: day, Worked: 240})
	}
	f, _ := pace.Ahead(days, 2400, 59)
	fmt.Printf("%.0f stitches a day; done in %d to %d days\n", f.Pace, f.Early, f.Late)
	// Output: 240 stitches a day; done in 7 to 16 days
}

func ExamplePiece_Due() {
	plan, _ := pace.FromText(`Button band
Row 1: Ch 1, sc in next 8 sts, turn. (8 sts)
Row 2: Ch 1, sc in each st across, turn. (8 sts)
Row 3: Ch 1, sc in next 2 sts, ch 3, sk next 3 sts, sc in next 3 sts, turn. (5 sts, 1 ch-3 sp)`,
		notation.Options{Terms: notation.US}, 0, notation.US)
	for _, e := range plan.Pieces()[0].Due(0, 3) {
		fmt.Printf("%d buttonhole in %d rows\n", e.Holes, e.Row)
	}
	// Output: 1 buttonhole in 2 rows
}
