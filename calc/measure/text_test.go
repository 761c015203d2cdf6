package measure

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	for _, c := range []struct {
		length     Length
		cm, in, as string
	}{
		{107 * Centimetre, "107 cm", "42 1/8 in", "+107 cm"},
		{1075 * Millimetre, "107.5 cm", "42 3/8 in", "+107.5 cm"},
		{42*Inch + Inch/4, "107.3 cm", "42 1/4 in", "+107.3 cm"},
		{42*Inch + Inch/2, "108 cm", "42 1/2 in", "+108 cm"},
		{0, "0 cm", "0 in", "0 cm"},
		{Millimetre, "0.1 cm", "0 in", "+0.1 cm"},
		{-5 * Centimetre, "-5 cm", "-2 in", "-5 cm"},
		{-Inch * 3 / 8, "-1 cm", "-3/8 in", "-1 cm"},
		{Millimetre / 4, "0 cm", "0 in", "0 cm"},
		{-Millimetre / 4, "0 cm", "0 in", "0 cm"},
	} {
		if cm, in, as := c.length.Text(Centimetres), c.length.Text(Inches), c.length.Signed(Centimetres); cm != c.cm || in != c.in || as != c.as {
			t.Errorf("%d: %q %q %q, want %q %q %q", c.length, cm, in, as, c.cm, c.in, c.as)
		}
	}
	if got := (820 * Metre).Long(Centimetres) + ", " + (820 * Metre).Long(Inches); got != "820 m, 897 yd" {
		t.Error(got)
	}
}

// TestExact: millimetres, inches and 64ths are whole nanometres.
func TestExact(t *testing.T) {
	if Inch%64 != 0 || Inch/64 != 396_875 || Yard != 914_400_000 || Foot*3 != Yard {
		t.Error("an inch is 25.4 mm, a yard 36 of them")
	}
	for _, bad := range []float64{math.Inf(1), 1e300} {
		if FromMM(bad) != math.MaxInt64 || FromMM(-bad) != -math.MaxInt64 {
			t.Errorf("%v mm does not saturate", bad)
		}
	}
	if FromMM(math.NaN()) != 0 {
		t.Error("NaN is not zero")
	}
}

func TestCheck(t *testing.T) {
	err := (400 * Centimetre).Check("chest", 40*Centimetre, 200*Centimetre)
	var bad *RangeError
	if !errors.As(err, &bad) || err.Error() != "chest of 400 cm is outside 40 cm to 200 cm" {
		t.Error(err)
	} else if got := bad.In(Inches); got != "chest of 157 1/2 in is outside 15 3/4 in to 78 3/4 in" {
		t.Error(got)
	}
	if err := (40 * Centimetre).Check("chest", 40*Centimetre, 200*Centimetre); err != nil {
		t.Error(err)
	}
}

// TestTextReadsBack: what is printed is read as the same length, within half
// of what is printed last.
func TestTextReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(-int64(500*Metre), int64(500*Metre)).Draw(t, "length"))
		u := rapid.SampledFrom([]Unit{Centimetres, Inches}).Draw(t, "unit")
		half := Millimetre / 2
		if u == Inches {
			half = Inch / 16
		}
		m, err := ParseSigned(l.Text(u), Centimetres)
		if err != nil || (m.Length-l).Abs() > half || m.Unit != u || m.Assumed {
			t.Fatalf("%v is printed %q and read %v, %v", l, l.Text(u), m, err)
		}
		if s, err := ParseSigned(l.Signed(u), Centimetres); err != nil || s != m {
			t.Fatalf("%q is read %v, %v", l.Signed(u), s, err)
		}
	})
}

// TestEighths compares printed inches with exact fractions: what is printed is
// the nearest eighth in lowest terms.
func TestEighths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(0, int64(100*Metre)).Draw(t, "length"))
		m, err := Parse(l.Text(Inches), Inches)
		if err != nil {
			t.Fatal(err)
		}
		printed := new(big.Rat).SetFrac64(int64(m.Length), int64(Inch))
		eighth := new(big.Rat).Mul(printed, big.NewRat(8, 1))
		if !eighth.IsInt() {
			t.Fatalf("%v is printed %q: no eighth", l, l.Text(Inches))
		}
		off := new(big.Rat).Sub(new(big.Rat).SetFrac64(int64(l), int64(Inch)), printed)
		if off.Abs(off).Cmp(big.NewRat(1, 16)) > 0 {
			t.Fatalf("%d nm is printed %q, off by %v in", l, l.Text(Inches), off)
		}
	})
	for eighths, want := range []string{"0 in", "1/8 in", "1/4 in", "3/8 in", "1/2 in", "5/8 in", "3/4 in", "7/8 in", "1 in", "1 1/8 in", "1 1/4 in"} {
		if got := (Length(eighths) * Inch / 8).Text(Inches); got != want {
			t.Errorf("%d eighths are printed %q, want %q", eighths, got, want)
		}
	}
}

// TestRound: halves of a nanometre go away from zero, and no float escapes.
func TestRound(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want Length
	}{
		{0, 0}, {1, Millimetre}, {-1, -Millimetre}, {0.0000005, 1}, {-0.0000005, -1}, {0.0000004, 0},
		{1e12, 1_000_000_000_000_000_000}, {1e13, math.MaxInt64}, {-1e13, -math.MaxInt64},
	} {
		if got := FromMM(c.mm); got != c.want {
			t.Errorf("%v mm is %d, want %d", c.mm, got, c.want)
		}
	}
	if got := (3 * Metre).Scale(1. / 3); got != Metre {
		t.Error(got)
	}
	if got := Metre.Scale(math.Inf(-1)); got != -math.MaxInt64 {
		t.Error(got)
	}
	if got := Metre.Scale(math.NaN()); got != 0 {
		t.Error(got)
	}
	if (-Inch).Abs() != Inch || Inch.Abs() != Inch || Length(0).Abs() != 0 {
		t.Error("a length without its sign")
	}
}

// TestUnits: a length in a unit, and back.
func TestUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(-int64(Limit), int64(Limit)).Draw(t, "length"))
		for _, u := range []Unit{Centimetres, Inches} {
			if back := Of(l.In(u), u); back != l {
				t.Fatalf("%d is %v %s, and back %d", l, l.In(u), u, back)
			}
		}
		if back := FromMM(l.MM()); back != l {
			t.Fatalf("%d is %v mm, and back %d", l, l.MM(), back)
		}
	})
	if Centimetres.String() != "cm" || Inches.String() != "in" || Centimetres.Length() != Centimetre || Inches.Length() != Inch {
		t.Error("the units' names and sizes")
	}
}

func ExampleParse() {
	for _, text := range []string{"107,5cm", `42½"`, `3'6"`, "107"} {
		m, _ := Parse(text, Centimetres)
		fmt.Println(m.Length.MM(), m.Unit, m.Assumed)
	}
	// Output:
	// 1075 cm false
	// 1079.5 in false
	// 1066.8 in false
	// 1070 cm true
}

func ExampleParseSigned() {
	m, _ := ParseSigned("-5 cm", Centimetres)
	fmt.Println(m.Length)
	// Output: -5 cm
}

func ExampleParseWeight() {
	w, _ := ParseWeight("1.75 oz")
	fmt.Printf("%.1f g\n", w.Grams)
	// Output: 49.6 g
}

func ExampleNumber() {
	value, size, _ := Number("14 1/2 sts")
	fmt.Println(value, size)
	// Output: 14.5 6
}

func ExampleLength_Text() {
	l := FromMM(1073)
	fmt.Println(l.Text(Centimetres), "or", l.Text(Inches))
	// Output: 107.3 cm or 42 1/4 in
}

func ExampleLength_Signed() {
	fmt.Println((5 * Centimetre).Signed(Centimetres), (-Inch / 2).Signed(Inches))
	// Output: +5 cm -1/2 in
}

func ExampleLength_Long() {
	fmt.Println((820 * Metre).Long(Centimetres), (820 * Metre).Long(Inches))
	// Output: 820 m 897 yd
}

func ExampleLength_Check() {
	fmt.Println((400 * Centimetre).Check("chest", 40*Centimetre, 200*Centimetre))
	// Output: chest of 400 cm is outside 40 cm to 200 cm
}

func ExampleOf() {
	fmt.Println(Of(42.5, Inches).MM(), FromMM(1079.5) == Of(42.5, Inches))
	// Output: 1079.5 true
}

func ExampleFromMM() {
	fmt.Println(FromMM(1075), FromMM(25.4) == Inch)
	// Output: 107.5 cm true
}

func ExampleLength_In() {
	l := 42*Inch + Inch/4
	fmt.Println(l.In(Inches), l.In(Centimetres), l.MM())
	// Output: 42.25 107.315 1073.15
}

func ExampleLength_Scale() {
	fmt.Println((112 * Centimetre).Scale(14. / 16))
	// Output: 98 cm
}

func ExampleRangeError_In() {
	err := (400 * Centimetre).Check("chest", 40*Centimetre, 200*Centimetre)
	var bad *RangeError
	if errors.As(err, &bad) {
		fmt.Println(bad.In(Inches))
	}
	// Output: chest of 157 1/2 in is outside 15 3/4 in to 78 3/4 in
}

func ExampleUnit() {
	fmt.Println(Centimetres, Inches, Inches.Length().MM())
	// Output: cm in 25.4
}
