package picture

import (
	"math"
	"testing"
)

// evenly is k places of n, by hand's own rule: nearest to (j - ½)·n/k.
func evenly(n, k int) []int {
	var at []int
	for j := 1; j <= k; j++ {
		at = append(at, int(math.Floor((float64(j)-0.5)*float64(n)/float64(k)))+1)
	}
	return at
}

var strips = map[string]Strip{
	"strip":       {Title: "14 increases over 87 stitches", Stitches: 87, Positions: evenly(87, 14), Notes: []string{"87 + 14 = 101 stitches"}},
	"strip-few":   {Title: "2 decreases over 24 stitches", What: Decreases, Stitches: 24, Positions: []int{6, 17}, Notes: []string{"24 − 2 = 22 stitches"}},
	"strip-many":  {Title: "75 increases over 420 stitches", Stitches: 420, Positions: evenly(420, 75)},
	"strip-too":   {Title: "400 increases over 2,100 stitches", Stitches: 2100, Positions: evenly(2100, 400)},
	"strip-over":  {Title: "14 increases over 10 stitches", Stitches: 10, Positions: []int{1, 2, 2, 3, 4, 5, 5, 6, 7, 7, 8, 9, 9, 10}},
	"strip-holes": {Title: "6 buttonholes on 92 stitches", What: Buttonholes, Stitches: 92, Width: 3, Positions: []int{5, 21, 37, 53, 70, 87}},
	"ring":        {Title: "8 increases in a round of 96", Stitches: 96, Round: true, Positions: evenly(96, 8)},
	"ring-dec":    {Title: "20 decreases in a round of 130 stitches", What: Decreases, Stitches: 130, Round: true, Positions: evenly(129, 20)},
	"ring-many":   {Title: "60 increases in a round of 250", Stitches: 250, Round: true, Positions: evenly(250, 60)},
	"ring-small":  {Title: "6 increases in a round of 6", Stitches: 6, Round: true, Positions: []int{1, 2, 3, 4, 5, 6}},
}

func TestStrips(t *testing.T) {
	for name, s := range strips {
		t.Run(name, func(t *testing.T) {
			d, err := s.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, name, d)
			golden(t, name+".svg", SVG(d))
		})
	}
}
