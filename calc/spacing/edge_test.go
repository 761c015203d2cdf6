package spacing

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"

	"pgregory.net/rapid"
)

// TestHandbookEdges holds the pick-up against the handbooks' rules, at gauges
// where a stitch is as high as they suppose.
func TestHandbookEdges(t *testing.T) {
	for _, c := range []struct {
		fabric, edging gauge.Gauge
		want           Ratio
		src            string
	}{
		{gauge.Gauge{Stitches: 16, Rows: 16}, gauge.Gauge{Stitches: 16, Rows: 16}, Ratio{1, 1, 48}, "handbooks: sc, 1 a row (a sc is as high as wide)"},
		{gauge.Gauge{Stitches: 16, Rows: 8}, gauge.Gauge{Stitches: 16, Rows: 16}, Ratio{2, 1, 96}, "handbooks: dc, 2 a row (twice as high as wide)"},
		{gauge.Gauge{Stitches: 16, Rows: 16. / 3}, gauge.Gauge{Stitches: 16, Rows: 16}, Ratio{3, 1, 144}, "handbooks: tr, 3 a row"},
		{gauge.Gauge{Stitches: 16, Rows: 32. / 3}, gauge.Gauge{Stitches: 16, Rows: 16}, Ratio{3, 2, 72}, "handbooks, from memory: hdc, 3 in 2 rows"},
		{gauge.Gauge{Stitches: 20, Rows: 28}, gauge.Gauge{Stitches: 14, Rows: 16}, Ratio{1, 2, 24}, "handbooks: knitted edge, 1 in 2 rows"},
		{gauge.Gauge{Stitches: 14, Rows: 16}, gauge.Gauge{Stitches: 12, Rows: 12}, Ratio{3, 4, 36}, "by hand: 12/16"},
	} {
		p, err := RowEnds(48, c.fabric, c.edging)
		if err != nil || p.Ratio != c.want {
			t.Errorf("%v with %v: %v, %v; want %v (%s)", c.fabric, c.edging, p.Ratio, err, c.want, c.src)
		}
	}
}

func TestPickupKinds(t *testing.T) {
	g := gauge.Gauge{Stitches: 14, Rows: 10}
	for _, c := range []struct {
		pickup Pickup
		want   int
		length measure.Length
		src    string
	}{
		{must(RowEnds(40, g, g)), 56, 40 * measure.Centimetre, "by hand: 40 cm × 1.4"},
		{must(StitchTops(70, g, gauge.Gauge{Stitches: 18, Rows: 20})), 90, 50 * measure.Centimetre, "by hand: 50 cm × 1.8"},
		{must(Along(55*measure.Centimetre, g)), 77, 55 * measure.Centimetre, "by hand: 55 cm × 1.4"},
		{must(Along(measure.Centimetre, gauge.Gauge{Stitches: 2, Rows: 2})), 1, measure.Centimetre, "by hand: never less than one"},
	} {
		if c.pickup.Stitches != c.want || (c.pickup.Length-c.length).Abs() > measure.Nanometre {
			t.Errorf("%+v, want %d along %v (%s)", c.pickup, c.want, c.length, c.src)
		}
	}
	if got := must(Along(55*measure.Centimetre, g)); got.Spread() != nil || got.Ratio != (Ratio{}) {
		t.Errorf("a bare length has no places: %+v", got)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func TestEdgeLimits(t *testing.T) {
	good := gauge.Gauge{Stitches: 14, Rows: 10}
	var limit *LimitError
	var figure *gauge.RangeError
	var length *measure.RangeError
	if _, err := RowEnds(0, good, good); !errors.As(err, &limit) {
		t.Error(err)
	}
	if _, err := StitchTops(10, gauge.Gauge{}, good); !errors.As(err, &figure) {
		t.Error(err)
	}
	if _, err := RowEnds(10, good, gauge.Gauge{Stitches: math.NaN(), Rows: 1}); !errors.As(err, &figure) {
		t.Error(err)
	}
	if _, err := Along(0, good); !errors.As(err, &length) {
		t.Error(err)
	}
	if _, err := Along(measure.Metre, gauge.Gauge{Stitches: math.Inf(1), Rows: 1}); !errors.As(err, &figure) {
		t.Error(err)
	}
}

// TestPickupLaws: the spread adds up, is as even as can be, and the deviation
// is at most half a stitch.
func TestPickupLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fabric := gauge.Gauge{Stitches: rapid.Float64Range(4, 40).Draw(t, "stitches"), Rows: rapid.Float64Range(4, 60).Draw(t, "rows")}
		edging := gauge.Gauge{Stitches: rapid.Float64Range(4, 40).Draw(t, "edging"), Rows: 20}
		rows := rapid.IntRange(1, 500).Draw(t, "row ends")
		p, err := RowEnds(rows, fabric, edging)
		if err != nil {
			t.Fatal(err)
		}
		if half := edging.StitchWidth() / 2; p.Exact >= 0.5 && math.Abs(p.Deviation.MM()) > half+1e-5 {
			t.Fatalf("deviation %v mm, half a stitch is %v", p.Deviation.MM(), half)
		}
		total, low, high := 0, math.MaxInt, 0
		for _, n := range p.Spread() {
			total += n
			low, high = min(low, n), max(high, n)
		}
		if total != p.Stitches || high-low > 1 {
			t.Fatalf("%d stitches spread as %d, from %d to %d a place", p.Stitches, total, low, high)
		}
		if p.Ratio.Every < 1 || p.Ratio.Every > 12 || p.Ratio.Pick < 1 {
			t.Fatalf("rule %v", p.Ratio)
		}
	})
}

func TestFlatRound(t *testing.T) {
	for _, c := range []struct {
		ratio float64 // row height / stitch width
		exact float64
		whole int
		src   string
	}{
		{1, 6.283, 6, "2π: sc, h/w = 1"},
		{1.5, 9.425, 9, "3π: hdc, h/w = 1.5"},
		{2, 12.566, 13, "4π: dc, h/w = 2"},
		{3, 18.850, 19, "6π: tr, h/w = 3"},
	} {
		f, err := FlatRound(gauge.Gauge{Stitches: 20, Rows: 20 / c.ratio})
		if err != nil || math.Abs(f.Exact-c.exact) > 5e-4 || f.Increases != c.whole {
			t.Errorf("h/w %v: %+v, %v; want %v (%s)", c.ratio, f, err, c.exact, c.src)
		}
	}
	f := must(FlatRound(gauge.Gauge{Stitches: 16, Rows: 16}))
	// Source: round(2πn), n = 1…8.
	for n, want := range []int{6, 13, 19, 25, 31, 38, 44, 50} {
		if got := f.Total(n + 1); got != want {
			t.Errorf("round %d has %d stitches, want %d", n+1, got, want)
		}
	}
	// By hand: 6 / 2π - 1 = -4.5 %: the tradition's 6 cups a little.
	if math.Abs(f.Excess+4.507) > 1e-3 {
		t.Errorf("6 a round are %v %% off", f.Excess)
	}
	if _, err := FlatRound(gauge.Gauge{Stitches: 0.1, Rows: 5}); err == nil {
		t.Error("a gauge of 0.1 is no gauge")
	}
}

func ExampleRowEnds() {
	fabric := gauge.Gauge{Stitches: 14, Rows: 16}
	edging := gauge.Gauge{Stitches: 12, Rows: 12}
	p, _ := RowEnds(64, fabric, edging)
	fmt.Printf("%d stitches: %d in every %d row ends\n", p.Stitches, p.Ratio.Pick, p.Ratio.Every)
	// Output: 48 stitches: 3 in every 4 row ends
}

func ExampleStitchTops() {
	p, _ := StitchTops(70, gauge.Gauge{Stitches: 14, Rows: 10}, gauge.Gauge{Stitches: 18, Rows: 20})
	fmt.Println(p.Stitches, p.Ratio)
	// Output: 90 {9 7 90}
}

func ExampleAlong() {
	p, _ := Along(55*measure.Centimetre, gauge.Gauge{Stitches: 14, Rows: 10})
	fmt.Println(p.Stitches, p.Deviation.Signed(measure.Centimetres))
	// Output: 77 0 cm
}

func ExamplePickup_Spread() {
	p, _ := RowEnds(8, gauge.Gauge{Stitches: 14, Rows: 16}, gauge.Gauge{Stitches: 12, Rows: 12})
	fmt.Println(p.Spread())
	// Output: [1 1 0 1 1 0 1 1]
}

func ExampleFlatRound() {
	f, _ := FlatRound(gauge.Gauge{Stitches: 14, Rows: 10})
	fmt.Printf("%d increases a round, %.1f %% too many\n", f.Increases, f.Excess)
	// Output: 9 increases a round, 2.3 % too many
}

func ExampleFlat_Total() {
	f, _ := FlatRound(gauge.Gauge{Stitches: 16, Rows: 16})
	fmt.Println(f.Total(1), f.Total(2), f.Total(3))
	// Output: 6 13 19
}

func BenchmarkEdge(b *testing.B) {
	for b.Loop() {
		p, _ := RowEnds(120, gauge.Gauge{Stitches: 14, Rows: 16}, gauge.Gauge{Stitches: 12, Rows: 12})
		p.Spread()
	}
}
