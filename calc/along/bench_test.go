package along

import (
	"fmt"
	"strings"
	"testing"

	"countwright/calc/pace"
)

func BenchmarkMilestones(b *testing.B) {
	var cardigan pace.Plan
	for _, list := range houses(b) {
		if strings.HasPrefix(list[0].name, "cardigan") {
			cardigan = list[2].plan
		}
	}
	wide := free(b, "Blanket", 20_000, 300, 1)
	many := free(b, "Square", 200, 300, 100)
	var texts pace.Plan
	for i := range MostPieces {
		texts.Parts = append(texts.Parts, pace.Part{Name: fmt.Sprint("Piece ", i), Rows: []pace.Row{{Label: "Row 1", Words: -1, Worked: 1 + i%7*i, Count: 5}}})
	}
	for _, c := range []struct {
		name string
		plan pace.Plan
		o    Options
	}{
		{"cardigan", cardigan, Options{Start: start, Every: 7}},
		{"20000 rows", wide, Options{Start: start, Pace: HighestPace, Every: 7}},
		{"100 squares", many, Options{Start: start, Pace: HighestPace, Every: 7}},
		{"500 pieces", texts, Options{Start: start, Pace: HighestPace, Every: 92}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				ms, err := Milestones(c.plan, c.o)
				if err != nil {
					b.Fatal(err)
				}
				if AllTargets(c.plan, ms) == nil {
					b.Fatal("no targets")
				}
			}
		})
	}
}
