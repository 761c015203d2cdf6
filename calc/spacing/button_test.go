package spacing

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"

	"pgregory.net/rapid"
)

var twenty = gauge.Gauge{Stitches: 20, Rows: 20} // a stitch is 5 mm wide

// fine is the width of so many stitches at a gauge of twenty.
func fine(stitches int) measure.Length { return measure.Length(stitches) * 5 * measure.Millimetre }

func TestButtonholes(t *testing.T) {
	for _, c := range []struct {
		stitches, buttons, hole, margin int
		first                           []int
		gaps                            []int
		src                             string
	}{
		{125, 8, 4, 1, []int{2, 19, 36, 53, 70, 87, 104, 121}, []int{13, 13, 13, 13, 13, 13, 13},
			"Handbook 1918: 2 stitches, 8 buttonholes of 4 with 13 between, here one stitch at either end"},
		{30, 3, 2, 3, []int{4, 15, 26}, []int{9, 9}, "by hand: 3 + 2 + 9 + 2 + 9 + 2 + 3"},
		{31, 3, 2, 3, []int{4, 15, 26}, []int{9, 9}, "by hand: one left over goes to the end: 3 + 2 + 9 + 2 + 9 + 2 + 4"},
		{31, 4, 2, 3, []int{5, 12, 19, 26}, []int{5, 5, 5}, "by hand: two left over, one for each end: 4 + 4·2 + 3·5 + 4"},
		{21, 1, 3, 2, []int{10}, nil, "by hand: one hole lies in the middle"},
		{22, 1, 3, 2, []int{10}, nil, "by hand: one hole lies as near the middle as can be"},
	} {
		h, err := Buttonholes(Band{c.stitches, c.buttons, fine(c.hole), twenty, fine(c.margin)})
		var first []int
		for _, hole := range h.Holes {
			first = append(first, hole.First)
			if hole.Width != c.hole {
				t.Errorf("a hole of %d, want %d (%s)", hole.Width, c.hole, c.src)
			}
		}
		if err != nil || !slices.Equal(first, c.first) || !slices.Equal(h.Gaps, c.gaps) {
			t.Errorf("%+v: %v, gaps %v, %v; want %v, gaps %v (%s)", c, first, h.Gaps, err, c.first, c.gaps, c.src)
		}
	}
}

// TestHoleWidth: a hole is as wide as its button, to the nearest stitch, a half
// down, and never nothing. A stitch is 5 mm here.
func TestHoleWidth(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want int
	}{{4, 1}, {7, 1}, {7.5, 1}, {7.6, 2}, {12.4, 2}, {12.5, 2}, {12.6, 3}, {14, 3}, {20, 4}, {23, 5}} {
		h, err := Buttonholes(Band{Stitches: 100, Buttons: 3, Diameter: measure.FromMM(c.mm), Gauge: twenty})
		if err != nil || h.Hole != c.want || h.Width != fine(c.want) {
			t.Errorf("a button of %v mm takes %d stitches, %v, %v; want %d", c.mm, h.Hole, h.Width, err, c.want)
		}
	}
}

func TestButtonholesErrors(t *testing.T) {
	g := gauge.Gauge{Stitches: 14, Rows: 10}
	var fit *FitError
	_, err := Buttonholes(Band{Stitches: 30, Buttons: 7, Diameter: 2 * measure.Centimetre, Gauge: g})
	// By hand: 2 stitches at each end leave 26; five holes of 3 and four gaps
	// of 2 take 23, six would take 28.
	if want := "7 buttonholes of 3 stitches don't fit on 30 stitches with 2 at each end: at most 5 fit"; !errors.As(err, &fit) || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	_, err = Buttonholes(Band{Stitches: 3, Buttons: 1, Diameter: 2 * measure.Centimetre, Gauge: g})
	if !errors.As(err, &fit) || fit.Most != 0 {
		t.Errorf("%v, want that none fits", err)
	}
	for _, b := range []Band{
		{Stitches: 0, Buttons: 1, Diameter: fine(3), Gauge: g},
		{Stitches: 50, Buttons: 0, Diameter: fine(3), Gauge: g},
		{Stitches: 50, Buttons: -1, Diameter: fine(3), Gauge: g},
		{Stitches: 50, Buttons: 3, Gauge: g},
		{Stitches: 50, Buttons: 3, Diameter: fine(400), Gauge: g},
		{Stitches: 50, Buttons: 3, Diameter: fine(3)},
		{Stitches: 50, Buttons: 3, Diameter: fine(3), Gauge: g, Margin: -1},
	} {
		if h, err := Buttonholes(b); err == nil || h.Holes != nil {
			t.Errorf("%+v gives %v", b, h)
		}
	}
}

// TestButtonholesLaws: holes lie on the band in order with room between, gaps
// differ by at most one, symmetric where a mirror image exists and the gaps
// can't be equal, and the most that is said to fit does fit.
func TestButtonholesLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Band{
			Stitches: rapid.IntRange(1, 300).Draw(t, "stitches"),
			Buttons:  rapid.IntRange(1, 30).Draw(t, "buttons"),
			Diameter: measure.Length(rapid.Int64Range(int64(MinButton), int64(5*measure.Centimetre)).Draw(t, "diameter")),
			Gauge:    gauge.Gauge{Stitches: rapid.Float64Range(5, 40).Draw(t, "gauge"), Rows: 20},
			Margin:   measure.Length(rapid.Int64Range(0, int64(3*measure.Centimetre)).Draw(t, "margin")),
		}
		h, err := Buttonholes(b)
		var fit *FitError
		if errors.As(err, &fit) {
			if fit.Most >= b.Buttons {
				t.Fatalf("%d don't fit but %d do", b.Buttons, fit.Most)
			}
			if b.Buttons = fit.Most; b.Buttons > 0 {
				if _, err := Buttonholes(b); err != nil {
					t.Fatalf("the most that fit: %v", err)
				}
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if len(h.Holes) != b.Buttons || spreadOf(h.Gaps) > 1 {
			t.Fatalf("%d holes, gaps %v", len(h.Holes), h.Gaps)
		}
		free := 1
		for _, hole := range h.Holes {
			if hole.First < free || hole.Width != h.Hole {
				t.Fatalf("holes %v", h.Holes)
			}
			free = hole.First + hole.Width + MinGap
		}
		sum := h.Before + h.After + b.Buttons*h.Hole
		for _, gap := range h.Gaps {
			sum += gap
		}
		if sum != b.Stitches {
			t.Fatalf("%d of %d stitches", sum, b.Stitches)
		}
		if spreadOf(h.Gaps) == 0 && h.After-h.Before > 1 {
			t.Fatalf("equal gaps leave %d and %d stitches at the ends", h.Before, h.After)
		}
		// A middle hole, or a middle gap, must have as many stitches to its
		// left as to its right.
		possible := b.Buttons%2 == 0 || (b.Stitches-h.Hole)%2 == 0
		if spreadOf(h.Gaps) == 1 && h.Symmetric != possible {
			t.Fatalf("symmetric is %v for %+v", h.Symmetric, h)
		}
	})
}

// spreadOf is how far the numbers differ at most.
func spreadOf(numbers []int) int {
	if len(numbers) == 0 {
		return 0
	}
	return slices.Max(numbers) - slices.Min(numbers)
}

func ExampleButtonholes() {
	h, _ := Buttonholes(Band{
		Stitches: 93, Buttons: 7, Diameter: 20 * measure.Millimetre,
		Gauge: gauge.Gauge{Stitches: 14, Rows: 10},
	})
	fmt.Println(h.Before, h.Gaps, h.After, "holes of", h.Hole)
	// Output: 3 [11 11 11 11 11 11] 3 holes of 3
}

func ExampleShape() {
	p, _ := Shape(40, 6, Row, Increase)
	fmt.Println(p.Result, p.Positions)
	p, _ = Shape(40, 6, Row, Decrease) // 4 and 5 together, 10 and 11, and so on
	fmt.Println(p.Result, p.Positions)
	// Output:
	// 46 [4 11 17 24 30 37]
	// 34 [3 10 17 23 30 37]
}

func ExamplePlan_Repeats() {
	p, _ := Shape(18, 6, Round, Increase)
	for _, r := range p.Repeats() {
		fmt.Println(r.Once, r.Times)
	}
	// Output:
	// [{1 2 0}] 1
	// [{2 2 0}] 5
	// [{1 0 0}] 1
}

func ExamplePlan_Steps() {
	p, _ := Shape(8, 2, Row, Decrease)
	for _, s := range p.Steps() {
		fmt.Println(s.Plain, "plain,", s.Pairs, "decrease")
	}
	// Output:
	// 1 plain, 1 decrease
	// 2 plain, 1 decrease
	// 1 plain, 0 decrease
}

func ExamplePlan_Mirrored() {
	p, _ := Shape(10, 3, Row, Increase) // three can't mirror in an even row
	fmt.Println(p.Positions, p.Mirrored())
	// Output: [2 6 9] false
}

func BenchmarkButtonholes(b *testing.B) {
	band := Band{Stitches: 93, Buttons: 7, Diameter: 20 * measure.Millimetre, Gauge: gauge.Gauge{Stitches: 14, Rows: 10}}
	for b.Loop() {
		Buttonholes(band)
	}
}
