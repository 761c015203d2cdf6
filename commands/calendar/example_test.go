package calendar_test

import (
	"fmt"
	"strings"
	"time"

	"countwright/calc/schedule"
	"countwright/commands/calendar"
)

func ExampleFile() {
	out, err := calendar.File(calendar.Plan{
		Name: "Spring cardigan", UID: "server 1, make-along 7", Version: 2, Made: time.Date(2027, time.January, 3, 8, 30, 0, 0, time.UTC),
		Entries: []calendar.Entry{{Key: "milestone/0", Title: "The back", Date: schedule.Date{Year: 2027, Month: time.January, Day: 17}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for line := range strings.Lines(string(out)) {
		if strings.HasPrefix(line, "DTSTART") || strings.HasPrefix(line, "SUMMARY") || strings.HasPrefix(line, "SEQUENCE") {
			fmt.Println(strings.TrimSpace(line))
		}
	}
	// Output:
	// SEQUENCE:2
	// DTSTART;VALUE=DATE:20270117
	// SUMMARY:The back
}
