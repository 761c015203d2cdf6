package measure

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// lengths is what makers write, and what it means in millimetres.
var lengths = []struct {
	text    string
	mm      float64
	unit    Unit
	assumed bool
	src     string
}{
	{"107", 1070, Centimetres, true, "bare: centimetres"},
	{"107 cm", 1070, Centimetres, false, "by hand"},
	{"107,5cm", 1075, Centimetres, false, "a decimal comma"},
	{"107.5 CM", 1075, Centimetres, false, "capitals"},
	{"0,125 m", 125, Centimetres, false, "0,125 can't be thousands"},
	{`42"`, 1066.8, Inches, false, "42 × 25.4"},
	{"42 1/2 in", 1079.5, Inches, false, "42.5 × 25.4"},
	{`42½"`, 1079.5, Inches, false, "42.5 × 25.4"},
	{"42 ½ in.", 1079.5, Inches, false, "42.5 × 25.4"},
	{"½ in", 12.7, Inches, false, "half an inch"},
	{"1/64 in", 0.396875, Inches, false, "a 64th is exact"},
	{`3'6"`, 1066.8, Inches, false, "3 × 304.8 + 6 × 25.4"},
	{"3′6″", 1066.8, Inches, false, "primes"},
	{"3’ 6½”", 1079.5, Inches, false, "typographic quotes"},
	{"5''", 127, Inches, false, "two feet marks make an inch mark"},
	{"5 ft 6", 1676.4, Inches, false, "66 in"},
	{"5 ft, 6 in", 1676.4, Inches, false, "66 in"},
	{"5 feet", 1524, Inches, false, "60 in"},
	{"2 yd 1 ft 3 in", 2209.8, Inches, false, "87 in"},
	{"300 yards", 274320, Inches, false, "300 × 914.4"},
	{"1.07m", 1070, Centimetres, false, "by hand"},
	{"1 m 20 cm", 1200, Centimetres, false, "by hand"},
	{"1 m 20", 1200, Centimetres, false, "as people say it"},
	{"38 mm", 38, Centimetres, false, "by hand"},
	{`3-3/4"`, 95.25, Inches, false, "3.75 × 25.4"},
	{"3¾ in", 95.25, Inches, false, "3.75 × 25.4"},
	{"3\u00a01⁄4 in", 82.55, Inches, false, "unbreakable space and fraction stroke"},
	{"42 inches", 1066.8, Inches, false, "42 × 25.4"},
	{"107 см", 1070, Centimetres, false, "Cyrillic"},
	{" 20 centimetres ", 200, Centimetres, false, "spaces"},
	{".5 cm", 5, Centimetres, false, "no digit before the point"},
	{"0", 0, Centimetres, true, "nothing is a length too"},
}

func TestParse(t *testing.T) {
	for _, c := range lengths {
		m, err := Parse(c.text, Centimetres)
		if err != nil || math.Abs(m.Length.MM()-c.mm) > 1e-6 || m.Unit != c.unit || m.Assumed != c.assumed {
			t.Errorf("%q: %v mm %v %v, %v; want %v mm (%s)", c.text, m.Length.MM(), m.Unit, m.Assumed, err, c.mm, c.src)
		}
	}
	m, err := Parse("42 1/2", Inches)
	if err != nil || m != (Measured{42*Inch + Inch/2, Inches, true}) {
		t.Errorf("a bare number in inches: %+v, %v", m, err)
	}
}

// refused is what is not a length, and why. The texts are a promise.
var refused = []struct{ text, want string }{
	{"", `"", column 1: expected a number; for example 107 cm or 42 1/2 in`},
	{"wide", `"wide", column 1: expected a number; for example 107 cm or 42 1/2 in`},
	{"NaN", `"NaN", column 1: expected a number; for example 107 cm or 42 1/2 in`},
	{"-5 cm", `"-5 cm", column 1: a length here can't have a sign; for example 107 cm or 42 1/2 in`},
	{"107 kg", `"107 kg", column 5: unit "kg" is unknown: use mm, cm, m, in, ft or yd; for example 107 cm or 42 1/2 in`},
	{"1e9", `"1e9", column 2: unit "e" is unknown: use mm, cm, m, in, ft or yd; for example 107 cm or 42 1/2 in`},
	{"107 £", `"107 £", column 5: expected a unit: mm, cm, m, in, ft or yd; for example 107 cm or 42 1/2 in`},
	{"1,200 m", `"1,200 m", column 1: 1,200 could be 1.200 or 1200: write one of these; for example 107 cm or 42 1/2 in`},
	{"3 ft 2 cm", `"3 ft 2 cm", column 6: metric and inch units can't be mixed in one length; for example 107 cm or 42 1/2 in`},
	{"3 cm 2 m", `"3 cm 2 m", column 6: m can't follow cm: write the larger unit first; for example 107 cm or 42 1/2 in`},
	{"1 m 120 cm", `"1 m 120 cm", column 5: after m the rest must be less than 1 m; for example 107 cm or 42 1/2 in`},
	{"1.5 m 20 cm", `"1.5 m 20 cm", column 1: the m must be a whole number when a smaller unit follows; for example 107 cm or 42 1/2 in`},
	{"6 in 2", `"6 in 2", column 6: expected the end here; for example 107 cm or 42 1/2 in`},
	{"5 6", `"5 6", column 3: expected a unit: mm, cm, m, in, ft or yd; for example 107 cm or 42 1/2 in`},
	{"4 3/2 in", `"4 3/2 in", column 3: a fraction after a whole number must be less than 1; for example 107 cm or 42 1/2 in`},
	{"4 1/0 in", `"4 1/0 in", column 3: a fraction needs a number from 1 to 1000 below the stroke; for example 107 cm or 42 1/2 in`},
	{"1000000000 m", `"1000000000 m", column 1: longer than 100 km; for example 107 cm or 42 1/2 in`},
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refused {
		m, err := Parse(c.text, Centimetres)
		var bad *ParseError
		if !errors.As(err, &bad) || err.Error() != c.want || m != (Measured{}) {
			t.Errorf("%q: %v\n%v, want\n%v", c.text, m, err, c.want)
		}
	}
	if _, err := Parse(strings.Repeat("9", 5000), Centimetres); err == nil || len(err.Error()) > 400 {
		t.Errorf("a long text: %v", err)
	}
}

func TestParseSigned(t *testing.T) {
	for _, c := range []struct {
		text string
		want Length
	}{
		{"-5 cm", -5 * Centimetre}, {"− 5,5", -55 * Millimetre}, {"+2 in", 2 * Inch}, {"–1/2 in", -Inch / 2},
		{"10", 10 * Centimetre}, {"0", 0}, {" -1 ft 2", -14 * Inch},
	} {
		m, err := ParseSigned(c.text, Centimetres)
		if err != nil || m.Length != c.want {
			t.Errorf("%q: %v, %v; want %v", c.text, m.Length, err, c.want)
		}
	}
	for _, text := range []string{"", "-", "--5", "+-5", "5-", "-x"} {
		if m, err := ParseSigned(text, Centimetres); err == nil {
			t.Errorf("%q is read as %v", text, m)
		}
	}
}

func TestParseWeight(t *testing.T) {
	for _, c := range []struct {
		text    string
		grams   float64
		assumed bool
		src     string
	}{
		{"50", 50, true, "bare: grams"},
		{"50g", 50, false, "by hand"},
		{"1.75 oz", 49.6116654688, false, "1.75 × 28.349523125: the ounces of a 50 g ball"},
		{"1 3/4 oz", 49.6116654688, false, "the same"},
		{"3½ oz.", 99.2233309375, false, "3.5 × 28.349523125: the ounces of a 100 g ball"},
		{"0,5 kg", 500, false, "by hand"},
		{"1 lb", 453.59237, false, "the pound of 1959"},
		{"50 г", 50, false, "Cyrillic"},
	} {
		w, err := ParseWeight(c.text)
		if err != nil || math.Abs(w.Grams-c.grams) > 1e-9 || w.Assumed != c.assumed {
			t.Errorf("%q: %+v, %v; want %v g (%s)", c.text, w, err, c.grams, c.src)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"", `"", column 1: expected a number; for example 50 g or 1.75 oz`},
		{"50 cm", `"50 cm", column 4: expected a unit of weight: g, kg, oz or lb; for example 50 g or 1.75 oz`},
		{"50 g 2", `"50 g 2", column 6: expected the end here; for example 50 g or 1.75 oz`},
		{"2000 kg", `"2000 kg", column 1: heavier than 1000 kg; for example 50 g or 1.75 oz`},
		{"-50 g", `"-50 g", column 1: expected a number; for example 50 g or 1.75 oz`},
	} {
		if _, err := ParseWeight(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v, want %s", c.text, err, c.want)
		}
	}
}

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

func FuzzParse(f *testing.F) {
	for _, c := range lengths {
		f.Add(c.text)
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := Parse(text, Inches)
		if err == nil && (m.Length < 0 || m.Length > Limit) {
			t.Errorf("%q is %v", text, m)
		}
		var bad *ParseError
		if err != nil && (!errors.As(err, &bad) || bad.Column < 1 || bad.Column > len([]rune(text))+1 || m != Measured{}) {
			t.Errorf("%q: %v %v", text, m, err)
		}
		if s, serr := ParseSigned(text, Inches); err == nil && (serr != nil || s != m) {
			t.Errorf("%q: %v without, %v with a sign", text, m, s)
		}
		if w, err := ParseWeight(text); err == nil && !(w.Grams >= 0 && w.Grams <= 1e6) {
			t.Errorf("%q weighs %v", text, w)
		}
		if v, size, err := Number(text); err == nil && (!(v >= 0) || size < 1 || size > len(text) || math.IsInf(v, 0)) {
			t.Errorf("%q is %v in %d bytes", text, v, size)
		}
	})
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

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		Parse("42 1/2 in", Centimetres)
	}
}
