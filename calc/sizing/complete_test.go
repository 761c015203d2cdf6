package sizing

import (
	"errors"
	"math"
	"slices"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

func TestComplete(t *testing.T) {
	woman := table(t, "women")
	for _, c := range []struct {
		chest   float64
		m       Measure
		want    float64
		between [2]string
		beyond  float64
		src     string
	}{
		{94, UpperArm, 28, [2]string{"M", "M"}, 0, "the middle of M"},
		{112, UpperArm, 30.5 + 4*8/10.25, [2]string{"L", "1X"}, 0, "by hand: 8 of 10.25 cm from L (104) to 1X (114.25)"},
		{79, Waist, 59.75 + 5.75*5.5/10, [2]string{"XS", "S"}, 0, "by hand: in the gap, 5.5 of 10 cm from XS (73.5)"},
		{60, UpperArm, 25 - 13.5/10, [2]string{"XS", "XS"}, -11, "by hand: 13.5 cm below XS at 1 cm in 10"},
		{170, UpperArm, 49.5 + 15*2.5/10.5, [2]string{"5X", "5X"}, 12, "by hand: 15 cm above 5X (155) at 2.5 in 10.5"},
		{170, ArmLength, 47, [2]string{"5X", "5X"}, 12, "bones don't grow with girth"},
		{170, FootLength, 26, [2]string{"5X", "5X"}, 12, "bones don't grow with girth, though 5X has longer feet than 4X"},
	} {
		got, err := woman.Complete(Body{Chest: measure.Of(c.chest, measure.Centimetres)})
		if err != nil || math.Abs(got.Body[c.m].In(measure.Centimetres)-c.want) > 1e-5 || got.Between != c.between ||
			math.Abs(got.Beyond.In(measure.Centimetres)-c.beyond) > 1e-9 || len(got.Assumed) != len(woman.Rows)-1 {
			t.Errorf("chest %v: %s %v, between %v, beyond %v, %v; want %v (%s)", c.chest, c.m, got.Body[c.m], got.Between, got.Beyond, err, c.want, c.src)
		}
	}
	given := Body{Chest: 112 * cm, UpperArm: 40 * cm}
	got, err := woman.Complete(given)
	if err != nil || got.Body[UpperArm] != 40*cm || slices.Contains(got.Assumed, UpperArm) || !slices.Contains(got.Assumed, Waist) || len(given) != 2 {
		t.Errorf("what is given stays: %+v, %v", got, err)
	}
	if got, err = woman.Complete(Body{Hips: 104 * cm}); err != nil || got.Key != Hips || !slices.Contains(got.Assumed, Chest) {
		t.Errorf("by the hips: %+v, %v", got, err)
	}
	// By hand: hips 104 lie 5 of 10 cm from M (99) to L (109), chests 94 and 104.
	if got.Body[Chest] != 99*cm {
		t.Errorf("hips of 104 cm go with a chest of %v", got.Body[Chest])
	}
}

func TestCompleteErrors(t *testing.T) {
	woman := table(t, "woman")
	var need *NeedError
	var outside *OutsideError
	var span *measure.RangeError
	var name *NameError
	if _, err := woman.Complete(nil); !errors.As(err, &need) {
		t.Error(err)
	}
	if _, err := table(t, "head").Complete(Body{Chest: 50 * cm}); !errors.As(err, &need) || err.Error() != `the head is needed to fill in from the table "head"` {
		t.Error(err)
	}
	if _, err := woman.Complete(Body{Chest: 40 * cm}); !errors.As(err, &outside) {
		t.Error(err)
	}
	if _, err := woman.Complete(Body{Chest: 400 * cm}); !errors.As(err, &span) || err.Error() != "chest of 400 cm is outside 20 cm to 200 cm" {
		t.Error(err)
	}
	if _, err := woman.Complete(Body{Chest: 90 * cm, "elbow": cm}); !errors.As(err, &name) {
		t.Error(err)
	}
	if _, err := woman.Of("9X", nil); !errors.As(err, &name) {
		t.Error(err)
	}
}

func TestOf(t *testing.T) {
	woman := table(t, "woman")
	c, err := woman.Of("1X", Body{UpperArm: 38 * cm})
	if err != nil || c.Body[Chest] != measure.FromMM(1142.5) || c.Body[UpperArm] != 38*cm || c.Assumed[0] != Chest || len(c.Assumed) != len(woman.Rows)-1 {
		t.Errorf("%+v, %v", c, err)
	}
	for _, tab := range Tables() {
		for _, s := range tab.Sizes {
			c, err := tab.Of(s.Name, nil)
			if err != nil || c.Beyond != 0 {
				t.Errorf("%s %s: %v", tab.Name, s.Name, err)
			}
			for m, l := range s.Body() {
				if (c.Body[m] - l).Abs() > 1 {
					t.Errorf("%s %s: %s is %v, want %v", tab.Name, s.Name, m, c.Body[m], l)
				}
			}
		}
	}
	if c, err := woman.Of("M", Body{Chest: 112 * cm}); err != nil || c.Between != [2]string{"L", "1X"} {
		t.Errorf("a given chest wins over the size: %v, %v", c.Between, err)
	}
}

// TestLargerChestNeverSmaller: no measure falls as the chest grows.
func TestLargerChestNeverSmaller(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := rapid.SampledFrom(Tables()).Draw(t, "table")
		row := tab.Rows[0]
		low, high := row.Ranges[0].Low.Scale(0.8), row.Ranges[len(row.Ranges)-1].High.Scale(1.2)
		limitLow, limitHigh := tab.Key.Limits()
		low, high = max(low, limitLow), min(high, limitHigh)
		a := measure.Length(rapid.Int64Range(int64(low), int64(high)).Draw(t, "smaller"))
		b := measure.Length(rapid.Int64Range(int64(a), int64(high)).Draw(t, "larger"))
		small, err := tab.Complete(Body{tab.Key: a})
		if err != nil {
			t.Fatal(err)
		}
		large, err := tab.Complete(Body{tab.Key: b})
		if err != nil {
			t.Fatal(err)
		}
		for m, l := range small.Body {
			if large.Body[m] < l {
				t.Fatalf("%s falls from %v to %v", m, l, large.Body[m])
			}
			if l <= 0 {
				t.Fatalf("%s is %v", m, l)
			}
		}
	})
}

func TestFind(t *testing.T) {
	woman, baby := table(t, "woman"), table(t, "baby")
	for _, c := range []struct {
		given Body
		table *Table
		size  string
		off   float64
		src   string
	}{
		{Body{Chest: 94 * cm}, woman, "M", 0, "91.5 to 96.5"},
		{Body{Chest: 79 * cm}, woman, "S", -2, "in the gap: 3 above XS, 2 below S"},
		{Body{Chest: 785 * measure.Millimetre}, woman, "S", -2.5, "in the gap, as near to both: the larger"},
		{Body{Chest: 163 * cm}, woman, "5X", 5, "above the largest, near enough"},
		{Body{Chest: 190 * cm}, woman, "", 0, "too far above"},
		{Body{Hips: 100 * cm}, woman, "M", 0, "no chest: by the hips"},
		{Body{Chest: 46 * cm}, baby, "12 months", 0.5, "45.5"},
		{Body{Head: 44 * cm}, table(t, "head"), "18 months", 0, "several hold it: the larger"},
		{Body{}, woman, "", 0, "nothing given"},
	} {
		fits, err := Find(c.given, c.table)
		if err != nil || (len(fits) == 1) != (c.size != "") {
			t.Errorf("%v: %d fits, %v (%s)", c.given, len(fits), err, c.src)
			continue
		}
		if c.size != "" && (fits[0].Size.Name != c.size || math.Abs(fits[0].Off.In(measure.Centimetres)-c.off) > 1e-9) {
			t.Errorf("%v: %s off %v, want %s off %v (%s)", c.given, fits[0].Size.Name, fits[0].Off, c.size, c.off, c.src)
		}
	}
	fits, err := Find(Body{Chest: 112 * cm, UpperArm: 40 * cm, Waist: 94 * cm})
	if err != nil || len(fits) < 2 || fits[0].Off != 0 {
		t.Fatalf("%v, %v", fits, err)
	}
	i := slices.IndexFunc(fits, func(f Fit) bool { return f.Table == woman })
	want := []Difference{
		{Chest, 112 * cm, Range{measure.FromMM(1115), 117 * cm}, Published, 0},
		{Waist, 94 * cm, Range{measure.FromMM(915), measure.FromMM(965)}, Published, 0},
		{UpperArm, 40 * cm, Range{measure.FromMM(345), measure.FromMM(345)}, Published, measure.FromMM(55)},
	}
	if i < 0 || fits[i].Size.Name != "1X" || !slices.Equal(fits[i].Differences, want) {
		t.Errorf("%v", fits)
	}
	if _, err := Find(Body{Chest: 0}); err == nil {
		t.Error("a chest of nothing")
	}
}

// TestEveryEuropeanBustHasOneClass: unlike the craft charts, the European
// classes leave no gaps.
func TestEveryEuropeanBustHasOneClass(t *testing.T) {
	en := table(t, "EN woman")
	for mm := 740; mm <= 1310; mm++ {
		fits, err := Find(Body{Chest: measure.FromMM(float64(mm))}, en)
		if err != nil || len(fits) != 1 || fits[0].Off != 0 {
			t.Fatalf("%d mm: %v, %v", mm, fits, err)
		}
	}
}

func BenchmarkComplete(b *testing.B) {
	women := table(b, "woman")
	given := Body{Chest: 112 * cm}
	for b.Loop() {
		women.Complete(given)
	}
}

func BenchmarkFind(b *testing.B) {
	given := Body{Chest: 112 * cm, UpperArm: 40 * cm}
	for b.Loop() {
		Find(given)
	}
}
