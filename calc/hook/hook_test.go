package hook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestSizes holds the table against what all stored conversion sheets agree on.
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		mm            float64
		us, uk, japan string
		src           string
	}{
		{3.5, "E-4", "9", "6/0", "all stored sheets"}, {3.75, "F-5", "", "", "all stored sheets"}, {4, "G-6", "8", "7/0", "all stored sheets"},
		{4.5, "7", "7", "7.5/0", "all stored sheets"}, {5, "H-8", "6", "8/0", "all stored sheets"}, {5.5, "I-9", "5", "9/0", "all stored sheets"},
		{8, "L-11", "0", "8 mm", "all stored sheets"}, {9, "M/N-13", "00", "", "all stored sheets"}, {10, "N/P-15", "000", "10 mm", "all stored sheets"},
		{6.5, "K-10½", "3", "", "most sheets"}, {2.25, "B-1", "13", "", "most sheets"},
	} {
		i := slices.IndexFunc(All(Regular), func(h Hook) bool { return h.MM == c.mm })
		if i < 0 {
			t.Errorf("%v mm is missing (%s)", c.mm, c.src)
			continue
		}
		h := All(Regular)[i]
		if strings.Join(h.US, " ") != c.us || strings.Join(h.UK, " ") != c.uk || strings.Join(h.Japan, " ") != c.japan || h.Kind != Regular {
			t.Errorf("%v mm is %v, %v, %v; want %s, %s, %s (%s)", c.mm, h.US, h.UK, h.Japan, c.us, c.uk, c.japan, c.src)
		}
	}
	// Source: Craft Yarn Council, steel table (from memory), 14 to 00.
	steel := []float64{0.75, 0.85, 1, 1.1, 1.3, 1.4, 1.5, 1.65, 1.8, 1.9, 2, 2.1, 2.25, 2.75, 3.25, 3.5}
	for i, h := range All(Steel) {
		want := fmt.Sprint(14 - i)
		if i == 15 {
			want = "00"
		}
		if h.MM != steel[i] || h.US[0] != want || h.Kind != Steel {
			t.Errorf("steel %s is %v mm, want %s at %v", h.US, h.MM, want, steel[i])
		}
	}
	for _, kind := range []Kind{Regular, Steel, Lace} {
		list := All(kind)
		for i := range list[1:] {
			if list[i].MM >= list[i+1].MM {
				t.Errorf("%s hooks are out of order at %v mm", kind, list[i].MM)
			}
		}
	}
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		name string
		want string // thickness and system of each candidate
		src  string
	}{
		{"5 mm", "5 mm", "by thickness"},
		{"5.0mm", "5 mm", "by thickness"},
		{"5,5 mm", "5.5 mm", "a decimal comma"},
		{"H-8", "5 US", "US"},
		{"h", "5 US", "a letter alone"},
		{"H/8", "", "no such spelling in any table"},
		{"G", "4 US, 4.25 US", "two sizes are called G"},
		{"us 7", "4.5 US, 1.65 US steel", "regular and steel"},
		{"7", "7 mm, 4.5 US, 4.5 old UK, 1.65 US steel", "the collision that is printed with the tables"},
		{"8", "8 mm, 4 old UK, 5 US, 1.5 US steel, 0.9 Japan lace", "likewise"},
		{"steel 7", "1.65 US steel", "the word decides"},
		{"US steel 00", "3.5 US steel", "both words"},
		{"UK 6", "5 old UK", "old UK"},
		{"old UK 000", "10 old UK", "old UK"},
		{"uk 3", "6.5 old UK, 6 old UK", "3 in most sheets is 6.5 mm, in one 6 mm"},
		{"00", "9 old UK, 3.5 US steel", "not nothing"},
		{"8/0", "5 Japan", "Japanese"},
		{"no. 7.5/0", "4.5 Japan", "Japanese"},
		{"10½", "6.5 US", "a half"},
		{"K-10 1/2", "6.5 US", "a half"},
		{"k10.5", "6.5 US", "a half"},
		{"N", "9 US, 10 US", "9 mm is M, N or M/N, 10 mm N, N/P or P"},
		{"N/P-15", "10 US", "US"},
		{"p", "10 US, 11.5 US, 15 US, 12 US", "the loosest letter"},
		{"Q", "15 US, 15.75 US, 16 US", "Q is 15, 15.75 or 16"},
		{"B-1", "2.25 US, 2 US, 2.5 US", "2.0 to 2.5 are all called B-1 by some"},
		{"4.1 mm", "4 mm", "the nearest"},
		{"japanese lace 6", "1 Japan lace", "lace"},
		{"#10 steel", "1.3 US steel", "the word after"},
	} {
		found, err := Find(c.name)
		var all []string
		for _, m := range found {
			all = append(all, fmt.Sprintf("%v %s", m.MM, m.System))
		}
		if got := strings.Join(all, ", "); got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%q: %s, %v; want %s (%s)", c.name, got, err, c.want, c.src)
		}
	}
	var bad *NameError
	var span *RangeError
	if _, err := Find("banana"); !errors.As(err, &bad) || err.Error() != `no hook is called "banana"; for example 5 mm, H-8, UK 6, steel 7 or 8/0` {
		t.Error(err)
	}
	if _, err := Find("500 mm"); !errors.As(err, &span) || err.Error() != "no hook is 500 mm: they are from 0.4 to 40 mm" {
		t.Error(err)
	}
	for _, name := range []string{"", "mm", "us", "NaN", "inf mm", "0x10", strings.Repeat("7", 500)} {
		if found, err := Find(name); err == nil {
			t.Errorf("%q is %v", name, found)
		}
	}
}

// TestEveryNameIsFound: each name of each hook leads back to it.
func TestEveryNameIsFound(t *testing.T) {
	for _, kind := range []Kind{Regular, Steel, Lace} {
		for _, h := range All(kind) {
			for _, names := range [][]string{h.US, h.UK, h.Japan, h.SomeUS, h.SomeUK, {h.String()}} {
				for _, name := range names {
					found, err := Find(name)
					if err != nil || !slices.ContainsFunc(found, func(m Match) bool { return m.MM == h.MM && m.Kind == kind }) {
						t.Errorf("%s does not lead to %v (%s): %v, %v", name, h, kind, found, err)
					}
				}
			}
		}
	}
}

func TestNearest(t *testing.T) {
	for _, c := range []struct{ mm, want, thicker float64 }{
		{5, 5, 0}, {4.9, 5, 0.1}, {7.75, 8, 0.25}, {20, 19, -1}, {40, 30, -10}, {1.7, 1.65, -0.05}, {0.5, 0.75, 0.25}, {2.05, 2, -0.05},
	} {
		h, thicker, err := Nearest(c.mm)
		if err != nil || h.MM != c.want || math.Abs(thicker-c.thicker) > 1e-9 {
			t.Errorf("%v mm: %v, %v thicker, %v; want %v", c.mm, h, thicker, err, c.want)
		}
	}
	for _, bad := range []float64{0, -5, 41, math.NaN(), math.Inf(1)} {
		if _, _, err := Nearest(bad); err == nil {
			t.Error(bad)
		}
		if _, err := Step(bad, 1); err == nil {
			t.Error(bad)
		}
		if _, _, err := Ribbing(bad); err == nil {
			t.Error(bad)
		}
		if _, _, err := Effect(bad, 5); err == nil {
			t.Error(bad)
		}
		if _, _, err := Effect(5, bad); err == nil {
			t.Error(bad)
		}
	}
}

func TestStep(t *testing.T) {
	for _, c := range []struct {
		mm    float64
		steps int
		want  float64
	}{{5, 1, 5.5}, {5, -1, 4.5}, {4, -2, 3.5}, {5, 0, 5}, {25, 1, 25}, {2, -3, 2}, {5, math.MaxInt, 25}, {5, math.MinInt, 2}, {4.25, 1, 5}} {
		if got, err := Step(c.mm, c.steps); err != nil || got != c.want {
			t.Errorf("%d from %v mm is %v, %v; want %v", c.steps, c.mm, got, err, c.want)
		}
	}
}

// TestRibbingAndEffect: ribbing is always thinner, a thicker hook never
// narrows, and no change has no effect.
func TestRibbingAndEffect(t *testing.T) {
	if low, high, err := Ribbing(5); err != nil || low != 4 || high != 4.5 {
		t.Error(low, high, err) // half a millimetre to one thinner
	}
	if low, high, err := Effect(5, 5.5); err != nil || math.Abs(low-0.1/3) > 1e-9 || math.Abs(high-0.2/3) > 1e-9 {
		t.Error(low, high, err) // by hand: a tenth thicker
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(Min, Max).Draw(t, "from"), rapid.Float64Range(Min, Max).Draw(t, "to")
		low, high, err := Effect(a, b)
		if err != nil || low > high || b > a && low < 0 || b < a && high > 0 || a == b && (low != 0 || high != 0) {
			t.Fatalf("%v to %v: %v to %v, %v", a, b, low, high, err)
		}
		if low, high, err := Ribbing(a); err != nil || !(0 < low && low <= high && high < a) {
			t.Fatalf("ribbing on %v: %v to %v, %v", a, low, high, err)
		}
	})
}

func FuzzFind(f *testing.F) {
	for _, name := range []string{"5 mm", "H-8", "us steel 00", "10½", "K-10 1/2", "8/0", "N/P-15", "", "#", "-"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		found, err := Find(name)
		if (err == nil) != (len(found) > 0) {
			t.Errorf("%q: %v, %v", name, found, err)
		}
	})
}

func ExampleFind() {
	found, _ := Find("7")
	for _, m := range found {
		fmt.Println(m, m.System, m.Name)
	}
	// Output:
	// 7 mm mm 7 mm
	// 4.5 mm US 7
	// 4.5 mm old UK 7
	// 1.65 mm US steel 7
}

func ExampleNearest() {
	h, thicker, _ := Nearest(4.9)
	fmt.Println(h, h.US, thicker)
	// Output: 5 mm [H-8] 0.1
}

func ExampleStep() {
	up, _ := Step(5, 1)
	fmt.Println(up)
	// Output: 5.5
}

func ExampleEffect() {
	low, high, _ := Effect(5, 5.5)
	fmt.Printf("%.0f to %.0f %% wider\n", 100*low, 100*high)
	// Output: 3 to 7 % wider
}

func ExampleRibbing() {
	low, high, _ := Ribbing(5)
	fmt.Println(low, "to", high, "mm")
	// Output: 4 to 4.5 mm
}

func ExampleAll() {
	fmt.Println(len(All(Regular)), len(All(Steel)), len(All(Lace)))
	// Output: 32 16 8
}

func BenchmarkFind(b *testing.B) {
	for b.Loop() {
		Find("K-10½")
	}
}
