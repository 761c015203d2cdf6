package measure

import (
	"errors"
	"math"
	"strings"
	"testing"
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
	{"1 m 5", `"1 m 5", column 6: expected cm after a single figure; for example 107 cm or 42 1/2 in`},
	{"10 cm 5", `"10 cm 5", column 8: expected a unit: mm, cm, m, in, ft or yd; for example 107 cm or 42 1/2 in`},
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

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		Parse("42 1/2 in", Centimetres)
	}
}
