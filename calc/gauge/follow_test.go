package gauge

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

const cm = measure.Centimetre

func TestFollow(t *testing.T) {
	for _, c := range []struct {
		theirs, mine           Gauge
		width, length          measure.Length
		comesWidth, comesLenth measure.Length
		percent                float64
		advice                 Advice
		src                    string
	}{
		{Gauge{14, 10}, Gauge{14, 10}, 106 * cm, 60 * cm, 106 * cm, 60 * cm, 0, Keep, "the same gauge"},
		{Gauge{14, 10}, Gauge{16, 11}, 112 * cm, 66 * cm, 98 * cm, 60 * cm, -12.5, LargerHook, "by hand: 112 × 14/16, 66 × 10/11"},
		{Gauge{16, 20}, Gauge{15, 19}, 60 * cm, 57 * cm, 64 * cm, 60 * cm, 100. / 15, SmallerHook, "by hand: 60 × 16/15, 57 × 20/19"},
		{Gauge{14, 10}, Gauge{14, 12}, 106 * cm, 60 * cm, 106 * cm, 50 * cm, 0, AdjustRows, "by hand: 60 × 10/12"},
		{Gauge{20, 10}, Gauge{22, 10}, 110 * cm, 0, 100 * cm, 0, -100. / 11, AdjustStitches, "by hand: 110 × 20/22"},
		{Gauge{20, 10}, Gauge{22, 9}, 110 * cm, 45 * cm, 100 * cm, 50 * cm, -100. / 11, ConvertCounts, "opposite ways: no hook mends both"},
		{Gauge{20, 10}, Gauge{16, 8}, 100 * cm, 40 * cm, 125 * cm, 50 * cm, 25, ConvertCounts, "a fifth off: too far for a hook"},
		{Gauge{14, 10}, Gauge{14.2, 10.1}, 0, 0, 0, 0, (14/14.2 - 1) * 100, Keep, "within two in a hundred"},
	} {
		f, err := Follow(c.theirs, c.mine, c.width, c.length)
		if err != nil || (f.Width.Comes-c.comesWidth).Abs() > 1 || (f.Length.Comes-c.comesLenth).Abs() > 1 ||
			math.Abs(f.Width.Percent-c.percent) > 1e-9 || f.Advice != c.advice {
			t.Errorf("%v at %v: %+v, %v (%s)", c.theirs, c.mine, f, err, c.src)
		}
		if f.Width.Deviation() != f.Width.Comes-c.width {
			t.Errorf("deviation %v (%s)", f.Width.Deviation(), c.src)
		}
	}
}

func TestFollowLimits(t *testing.T) {
	good := Gauge{14, 10}
	var figure *RangeError
	var length *measure.RangeError
	if _, err := Follow(Gauge{}, good, cm, cm); !errors.As(err, &figure) {
		t.Error(err)
	}
	if _, err := Follow(good, Gauge{14, math.NaN()}, cm, cm); !errors.As(err, &figure) {
		t.Error(err)
	}
	if _, err := Follow(good, good, -cm, cm); !errors.As(err, &length) {
		t.Error(err)
	}
	if _, err := Follow(good, good, cm, measure.Limit); !errors.As(err, &length) {
		t.Error(err)
	}
}

func TestConvert(t *testing.T) {
	for _, c := range []struct {
		from, to     Gauge
		stitches     int
		multiple     Multiple
		count        int
		deviation    measure.Length
		below, above int
		src          string
	}{
		{Gauge{16, 12}, Gauge{14, 10}, 96, Multiple{}, 84, 0, 83, 85, "by hand: 60 cm × 1.4"},
		{Gauge{16, 12}, Gauge{14, 10}, 97, Multiple{}, 85, measure.FromMM(85*100/14. - 97*100/16.), 84, 86, "by hand: 84.875"},
		{Gauge{16, 12}, Gauge{14, 10}, 98, Multiple{6, 2}, 86, measure.FromMM(86*100/14. - 612.5), 80, 92, "by hand: 85.75; 86 = 6·14 + 2"},
		{Gauge{20, 20}, Gauge{10, 10}, 10, Multiple{6, 2}, 8, 30 * measure.Millimetre, 0, 14, "by hand: 5; at least one repeat, none below"},
		{Gauge{20, 20}, Gauge{20, 20}, 11, Multiple{6, 2}, 14, 15 * measure.Millimetre, 8, 20, "by hand: 11 lies between 8 and 14: the larger"},
		{Gauge{20, 20}, Gauge{1, 1}, 1, Multiple{}, 1, 95 * measure.Millimetre, 0, 2, "by hand: never less than one"},
	} {
		got, err := ConvertStitches(c.from, c.to, c.stitches, c.multiple)
		below := 0
		if got.Below != nil {
			below = got.Below.Count
		}
		if err != nil || got.Count.Count != c.count || (got.Deviation-c.deviation).Abs() > 1 || below != c.below || got.Above.Count != c.above {
			t.Errorf("%d from %v to %v: %+v below %d, %v; want %d (%s)", c.stitches, c.from, c.to, got, below, err, c.count, c.src)
		}
		if !c.multiple.Fits(got.Count.Count) || got.Size != got.Target+got.Deviation {
			t.Errorf("%+v does not fit %v (%s)", got, c.multiple, c.src)
		}
	}
	rows, err := ConvertRows(Gauge{16, 12}, Gauge{14, 10}, 72, Multiple{4, 0})
	if err != nil || rows.Count.Count != 60 || rows.Wanted != 60 || rows.Target != 60*cm {
		t.Errorf("72 rows at 12 are 60 at 10: %+v, %v", rows, err)
	}
}

func TestConvertLimits(t *testing.T) {
	good := Gauge{14, 10}
	for _, c := range []struct {
		from, to Gauge
		count    int
		multiple Multiple
		want     string
	}{
		{good, good, 0, Multiple{}, "0 stitches to convert: allowed are 1 to 1000000"},
		{good, good, 1e9, Multiple{}, "1000000000 stitches to convert: allowed are 1 to 1000000"},
		{good, good, 5, Multiple{-1, 0}, "-1 as a multiple: allowed are 0 to 1000"},
		{good, good, 5, Multiple{6, -2}, "-2 added to a multiple: allowed are 0 to 1000"},
		{Gauge{0.1, 10}, good, 5, Multiple{}, "0.1 stitches in 10 cm: allowed are 1 to 80"},
		{good, Gauge{14, 500}, 5, Multiple{}, "500 rows in 10 cm: allowed are 1 to 120"},
	} {
		if _, err := ConvertStitches(c.from, c.to, c.count, c.multiple); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if _, err := ConvertRows(good, good, 0, Multiple{}); err == nil {
		t.Error("no rows convert")
	}
}

// TestConvertLaws: the nearest allowed count is at least as near as both its
// neighbours, and converting to the same gauge changes nothing.
func TestConvertLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := anyGauge(t, "from"), anyGauge(t, "to")
		m := Multiple{rapid.IntRange(0, 40).Draw(t, "multiple"), rapid.IntRange(0, 50).Draw(t, "plus")}
		n := rapid.IntRange(1, 3000).Draw(t, "stitches")
		c, err := ConvertStitches(from, to, n, m)
		if err != nil {
			t.Fatal(err)
		}
		off := func(count int) float64 { return math.Abs(float64(count) - c.Wanted) }
		if !m.Fits(c.Count.Count) || !m.Fits(c.Above.Count) || off(c.Above.Count) < off(c.Count.Count) {
			t.Fatalf("%+v of %v", c, m)
		}
		if c.Below != nil && (!m.Fits(c.Below.Count) || off(c.Below.Count) < off(c.Count.Count)) {
			t.Fatalf("%+v of %v", c, m)
		}
		if same, _ := ConvertStitches(from, from, n, Multiple{}); same.Count.Count != n || same.Deviation.Abs() > 1 {
			t.Fatalf("%d at the same gauge is %+v", n, same)
		}
	})
}

func TestMultiple(t *testing.T) {
	for _, c := range []struct {
		m     Multiple
		text  string
		fits  []int
		other []int
	}{
		{Multiple{}, "any count", []int{1, 2, 99}, []int{0, -1}},
		{Multiple{6, 2}, "multiple of 6 + 2", []int{8, 14, 98}, []int{2, 6, 7, 9, -4}},
		{Multiple{4, 0}, "multiple of 4", []int{4, 8}, []int{0, 2, -4}},
		{Multiple{2, 5}, "multiple of 2 + 5", []int{7, 9}, []int{3, 5, 8}},
	} {
		if c.m.String() != c.text {
			t.Errorf("%q, want %q", c.m, c.text)
		}
		for _, n := range c.fits {
			if !c.m.Fits(n) {
				t.Errorf("%d is a %v", n, c.m)
			}
		}
		for _, n := range c.other {
			if c.m.Fits(n) {
				t.Errorf("%d is no %v", n, c.m)
			}
		}
	}
}

func ExampleFollow() {
	f, _ := Follow(Gauge{14, 10}, Gauge{16, 11}, 112*measure.Centimetre, 66*measure.Centimetre)
	fmt.Printf("%v wide (%+.1f %%), %v long; larger hook: %v\n", f.Width.Comes, f.Width.Percent, f.Length.Comes, f.Advice == LargerHook)
	// Output: 98 cm wide (-12.5 %), 60 cm long; larger hook: true
}

func ExampleConvertStitches() {
	c, _ := ConvertStitches(Gauge{16, 12}, Gauge{14, 10}, 98, Multiple{6, 2})
	fmt.Println(c.Count.Count, c.Deviation.Signed(measure.Centimetres), "or", c.Below.Count, c.Above.Count)
	// Output: 86 +0.2 cm or 80 92
}

func ExampleConvertRows() {
	c, _ := ConvertRows(Gauge{16, 12}, Gauge{14, 10}, 72, Multiple{})
	fmt.Println(c.Count.Count)
	// Output: 60
}

func ExampleMultiple_Nearest() {
	fmt.Println(Multiple{6, 2}.Nearest(85.75))
	// Output: 86
}

func BenchmarkFollow(b *testing.B) {
	for b.Loop() {
		Follow(Gauge{14, 10}, Gauge{16, 11}, 112*cm, 66*cm)
	}
}

func BenchmarkConvert(b *testing.B) {
	for b.Loop() {
		ConvertStitches(Gauge{16, 12}, Gauge{14, 10}, 98, Multiple{6, 2})
	}
}
