package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"
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

// Whatever falls wherever, figures are legible and never collide, and the
// description tells all.
func TestAnyStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Strip{Title: "Any", What: Happening(rapid.IntRange(0, 2).Draw(t, "what")), Round: rapid.Bool().Draw(t, "round")}
		s.Width = rapid.IntRange(1, 4).Draw(t, "width")
		at := 0
		for range rapid.IntRange(0, 90).Draw(t, "places") {
			at += rapid.IntRange(0, 9).Draw(t, "plain") + 1
			s.Positions = append(s.Positions, at)
			at += s.Width - 1
		}
		s.Stitches = at + rapid.IntRange(0, 9).Draw(t, "after") + 1
		d, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range d.Marks {
			if m, ok := m.(Text); ok && m.Size < smallSize {
				t.Errorf("%q is too small", m.Text)
			}
		}
		texts := 0
		var figures []box
		for _, m := range d.Marks {
			m, ok := m.(Text)
			if !ok {
				continue
			}
			texts++
			for _, other := range figures {
				if other.overlaps(inkOf(m)) {
					t.Fatalf("%q lies on another figure", m.Text)
				}
			}
			figures = append(figures, inkOf(m))
			if ink := inkOf(m); ink.x1 < 0 || ink.x2 > d.Width || ink.y2 > d.Height {
				t.Fatalf("%q stands out of the sheet", m.Text)
			}
		}
		if texts == 0 {
			t.Error("no word on the picture")
		}
	})
}

// The signs stand over the middle of their stitches, to scale.
func TestStripToScale(t *testing.T) {
	d, err := Strip{Stitches: 40, Positions: []int{5, 15, 36}}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	var feet []float64
	for _, m := range d.Marks {
		if p, ok := m.(Path); ok && p.Pen.Fill == Blue {
			feet = append(feet, p.Points[0].X)
		}
	}
	if len(feet) != 4 { // three in the row, one in the key
		t.Fatalf("%d signs", len(feet))
	}
	for i, stitch := range []float64{5, 15, 36} {
		want := margin + (sheetWidth-2*margin)*(stitch-0.5)/40
		if math.Abs(feet[i]-want) > 1e-9 {
			t.Errorf("stitch %v is marked at %v, want %v", stitch, feet[i], want)
		}
	}
}

func TestStripRefuses(t *testing.T) {
	for what, s := range map[string]Strip{
		"no stitches":           {},
		"a stitch before it":    {Stitches: 10, Positions: []int{0}},
		"a stitch beyond it":    {Stitches: 10, Positions: []int{11}},
		"a decrease at its end": {What: Decreases, Stitches: 10, Positions: []int{10}},
		"overlapping decreases": {What: Decreases, Stitches: 10, Positions: []int{4, 5}},
		"disorder":              {Stitches: 10, Positions: []int{5, 3}},
		"an unknown happening":  {What: 9, Stitches: 10},
		"a negative width":      {Stitches: 10, Width: -1},
	} {
		if _, err := s.Draw(); err == nil {
			t.Errorf("a strip with %s was drawn", what)
		}
	}
}

func TestStripDescription(t *testing.T) {
	d, err := Strip{What: Decreases, Stitches: 24, Positions: []int{6, 17}, Round: true}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	if want := "A round of 24 stitches with 2 decreases. Plain stitches between: 5, 9, 6."; d.Description != want {
		t.Errorf("described as %q, want %q", d.Description, want)
	}
}
