package yarn

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func numbers(matches []Match) []int {
	var all []int
	for _, m := range matches {
		all = append(all, m.Number)
	}
	return all
}

// TestClasses holds the table against its source, cell by cell.
func TestClasses(t *testing.T) {
	const src = "Craft Yarn Council, crochet and knitting tables, stored reprints"
	want := []struct{ crochet, knit, hook string }{
		{"32-42", "33-40", "1.5-2.25"}, {"21-32", "27-32", "2.25-3.5"}, {"16-20", "23-26", "3.5-4.5"}, {"12-17", "21-24", "4.5-5.5"},
		{"11-14", "16-20", "5.5-6.5"}, {"8-11", "12-15", "6.5-9"}, {"6-9", "7-11", "9-16"}, {"5 and fewer", "6 and fewer", "16 and more"},
	}
	for i, c := range Classes() {
		if c.Number != i || c.Crochet.String() != want[i].crochet || c.Knit.String() != want[i].knit || c.Hook.String() != want[i].hook {
			t.Errorf("class %d: %v, %v, %v; want %v (%s)", i, c.Crochet, c.Knit, c.Hook, want[i], src)
		}
		if (c.Stitch == "dc") != (i == 0) || c.Name == "" {
			t.Errorf("class %d is counted in %s: only class 0 is stated in double crochet (%s)", i, c.Stitch, src)
		}
	}
	// Source: Spin-Off, Yarn Standards, yards a pound; a yard is 0.9144 m, a pound 453.59237 g.
	for i, yards := range [][2]float64{{2401, 0}, {1901, 2400}, {1201, 1900}, {901, 1200}, {601, 900}, {401, 600}} {
		m := Classes()[i].Metres
		if low := yards[0] * 0.9144 / 4.5359237; math.Abs(m.Low-low) > 0.6 {
			t.Errorf("class %d: from %v m, %v yd a pound are %v", i, m.Low, yards[0], low)
		}
		if high := yards[1] * 0.9144 / 4.5359237; math.Abs(m.High-high) > 0.6 {
			t.Errorf("class %d: to %v m, %v yd a pound are %v", i, m.High, yards[1], high)
		}
	}
}

func TestByGauge(t *testing.T) {
	for _, c := range []struct {
		sc   float64
		want []int
		off  float64
		src  string
	}{
		{12, []int{3, 4}, 0, "the ranges overlap: 12 to 14 are 3 or 4"},
		{13, []int{3, 4}, 0, "the ranges overlap"},
		{14, []int{3, 4}, 0, "the ranges overlap"},
		{11, []int{4, 5}, 0, "11 is 4 or 5"},
		{8, []int{5, 6}, 0, "8 and 9 are 5 or 6"},
		{9, []int{5, 6}, 0, "8 and 9 are 5 or 6"},
		{16, []int{2, 3}, 0, "16 and 17 are 2 or 3"},
		{17, []int{2, 3}, 0, "16 and 17 are 2 or 3"},
		{15, []int{3}, 0, "12-17 only"},
		{25, []int{1}, 0, "21-32"},
		{32, []int{1}, 0, "21-32; the 32 of class 0 are double crochets"},
		{40, []int{0}, 0, "finer than class 1"},
		{20.5, []int{1, 2}, 0.5, "in the gap between 20 and 21"},
		{5.25, []int{7}, 0.25, "in the gap between 5 and 6, nearer to 5"},
		{14.1, []int{3, 4}, 0, "14, to a quarter of a stitch"},
		{2, []int{7}, 0, "5 and fewer"},
	} {
		got, err := ByGauge(c.sc)
		if err != nil || !slices.Equal(numbers(got), c.want) || math.Abs(got[0].Off) != c.off {
			t.Errorf("%v sc: %v off %v, %v; want %v (%s)", c.sc, numbers(got), got[0].Off, err, c.want, c.src)
		}
	}
}

func TestByWrapsAndLength(t *testing.T) {
	for wraps, want := range map[float64][]int{25: {0, 1}, 13: {2, 3}, 11: {3, 4}, 9: {4, 5}, 4.5: {6, 7}, 3: {7}} {
		got, err := ByWraps(wraps)
		if err != nil || !slices.Equal(numbers(got), want) {
			t.Errorf("%v wraps: %v, %v; want %v", wraps, numbers(got), err, want)
		}
	}
	for metres, want := range map[float64][]int{600: {0}, 420: {1}, 250: {2}, 210: {3}, 170: {4}, 100: {5}, 60: {6}, 20: {7}, 181.5: {3, 4}} {
		got, err := ByLength(metres)
		if err != nil || !slices.Equal(numbers(got), want) {
			t.Errorf("%v m in 100 g: %v, %v; want %v", metres, numbers(got), err, want)
		}
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1), 1e9} {
		var span *RangeError
		if _, err := ByGauge(bad); !errors.As(err, &span) {
			t.Errorf("%v sc: %v", bad, err)
		}
		if _, err := ByWraps(bad); !errors.As(err, &span) {
			t.Errorf("%v wraps: %v", bad, err)
		}
		if _, err := ByLength(bad); !errors.As(err, &span) {
			t.Errorf("%v m: %v", bad, err)
		}
	}
}

func TestByName(t *testing.T) {
	for name, want := range map[string][]int{
		"DK": {3}, "double knitting": {3}, "8-ply": {3}, "worsted": {4}, "Worsted Weight": {4}, "aran": {4}, "4 ply": {1, 2}, "4ply": {1, 2},
		"fingering": {0, 1}, "baby": {1, 2}, "sock": {1}, "chunky": {5}, "BULKY": {5}, "super chunky": {6}, "roving": {6, 7}, "3": {3}, "class 7": {7}, "lace": {0}, "2 ply": {0},
	} {
		got, err := ByName(name)
		var all []int
		for _, c := range got {
			all = append(all, c.Number)
		}
		if err != nil || !slices.Equal(all, want) {
			t.Errorf("%q: %v, %v; want %v", name, all, err, want)
		}
	}
	var bad *NameError
	if _, err := ByName("spaghetti"); !errors.As(err, &bad) || err.Error() != `no yarn weight is called "spaghetti"; for example DK, 4 ply, worsted, or 3` {
		t.Error(err)
	}
	for _, name := range Names() {
		if _, err := ByName(name); err != nil {
			t.Error(err)
		}
	}
	if got := Classes()[3].TradeNames(); !slices.Equal(got, []string{"8 ply"}) {
		t.Error(got)
	}
}

func TestRange(t *testing.T) {
	for _, c := range []struct {
		r           Range
		v, off, mid float64
		text        string
	}{
		{Range{12, 17}, 12, 0, 14.5, "12-17"}, {Range{12, 17}, 18, 1, 14.5, "12-17"}, {Range{12, 17}, 10, -2, 14.5, "12-17"},
		{Range{0, 5}, 1, 0, 5, "5 and fewer"}, {Range{16, 0}, 99, 0, 16, "16 and more"}, {Range{16, 0}, 15, -1, 16, "16 and more"},
	} {
		if c.r.Off(c.v) != c.off || c.r.Holds(c.v) != (c.off == 0) || c.r.Middle() != c.mid || c.r.String() != c.text {
			t.Errorf("%v: off %v, middle %v", c.r, c.r.Off(c.v), c.r.Middle())
		}
	}
}

// TestEveryGaugeHasAClass: finer never is thicker.
func TestEveryGaugeHasAClass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(1, 80).Draw(t, "sc")
		b := rapid.Float64Range(a, 80).Draw(t, "more sc")
		coarse, err := ByGauge(a)
		if err != nil || len(coarse) == 0 || len(coarse) > 2 {
			t.Fatalf("%v, %v", coarse, err)
		}
		fine, _ := ByGauge(b)
		if fine[0].Number > coarse[0].Number {
			t.Fatalf("%v sc are class %d, %v are %d", a, coarse[0].Number, b, fine[0].Number)
		}
	})
}

func ExampleByGauge() {
	found, _ := ByGauge(13)
	for _, m := range found {
		fmt.Println(m.Number, m.Name, m.Crochet)
	}
	// Output:
	// 3 light 12-17
	// 4 medium 11-14
}

func ExampleByName() {
	found, _ := ByName("4 ply")
	for _, c := range found {
		fmt.Println(c.Number, c.Name)
	}
	// Output:
	// 1 super fine
	// 2 fine
}

func ExampleByLength() {
	found, _ := ByLength(170)
	fmt.Println(found[0].Name, found[0].Metres)
	// Output: medium 121-181
}

func ExampleByWraps() {
	found, _ := ByWraps(3)
	fmt.Println(found[0].Name, found[0].Wraps)
	// Output: jumbo 1-4
}

func BenchmarkByGauge(b *testing.B) {
	for b.Loop() {
		ByGauge(13)
	}
}
