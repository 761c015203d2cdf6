package schedule_test

import (
	"encoding/json"
	"fmt"
	"time"
	_ "time/tzdata" // the examples need zones wherever they run

	"countwright/calc/schedule"
)

func zone(name string) *time.Location {
	z, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return z
}

func ExampleAt() {
	berlin := zone("Europe/Berlin")
	half := schedule.Clock(2*60 + 30)
	fmt.Println(schedule.At(schedule.Date{Year: 2027, Month: time.March, Day: 28}, half, berlin))   // left out
	fmt.Println(schedule.At(schedule.Date{Year: 2027, Month: time.October, Day: 31}, half, berlin)) // comes twice
	// Output:
	// 2027-03-28 03:00:00 +0200 CEST
	// 2027-10-31 02:30:00 +0200 CEST
}

func ExampleNext() {
	berlin := zone("Europe/Berlin")
	at := time.Date(2027, time.October, 30, 18, 0, 0, 0, berlin)
	for range 2 {
		at = schedule.Next(at, 18*60, berlin)
		fmt.Println(at)
	}
	// Output:
	// 2027-10-31 18:00:00 +0100 CET
	// 2027-11-01 18:00:00 +0100 CET
}

func ExampleQuiet_After() {
	lisbon := zone("Europe/Lisbon")
	quiet, _ := schedule.ParseQuiet("10pm to 8am")
	fmt.Println(quiet.After(time.Date(2027, time.June, 4, 23, 15, 0, 0, lisbon), lisbon))
	fmt.Println(quiet.After(time.Date(2027, time.June, 5, 9, 15, 0, 0, lisbon), lisbon))
	// Output:
	// 2027-06-05 08:00:00 +0100 WEST
	// 2027-06-05 09:15:00 +0100 WEST
}

func ExampleParseDate() {
	for _, text := range []string{"10 Jan 2027", "Saturday, February 29 2028", "29 Feb 2027", "3/4/2027"} {
		d, err := schedule.ParseDate(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(d, d.Long())
	}
	// Output:
	// 2027-01-10 Sunday 10 January 2027
	// "Saturday, February 29 2028": that day is a Tuesday; write it as 2027-01-10
	// there is no 29 February 2027; February 2027 has 28 days
	// "3/4/2027" can be Saturday 3 April 2027 or Thursday 4 March 2027, as countries differ in writing the day or the month first; write 2027-04-03 or 2027-03-04
}

func ExampleParseClock() {
	for _, text := range []string{"9.30", "7 p.m.", "19h", "7"} {
		c, err := schedule.ParseClock(text)
		fmt.Println(c, err)
	}
	// Output:
	// 09:30 <nil>
	// 19:00 <nil>
	// 19:00 <nil>
	// 00:00 "7": it can be morning or evening; write it as 19:00
}

func ExampleDate() {
	text, err := json.Marshal(struct {
		Start schedule.Date  `json:"start"`
		None  schedule.Date  `json:"none"`
		At    schedule.Clock `json:"at"`
	}{schedule.Date{Year: 2028, Month: time.February, Day: 28}.Add(2), schedule.Date{}, 10 * 60})
	fmt.Println(string(text), err)
	// Output: {"start":"2028-03-01","none":"","at":"10:00"} <nil>
}
