package measure

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		text  string
		value float64
		size  int
		src   string
	}{
		{"14", 14, 2, "by hand"},
		{"  14 x 10", 14, 4, "spaces before, something after"},
		{"14.5x", 14.5, 4, "a decimal point"},
		{"14,5x", 14.5, 4, "a decimal comma"},
		{"14, 10", 14, 2, "a comma and a space part two numbers"},
		{"14 1/2 sts", 14.5, 6, "a fraction"},
		{"14-1/2", 14.5, 6, "a fraction with a hyphen"},
		{"14½", 14.5, 4, "a vulgar fraction is two bytes"},
		{"14 ¼", 14.25, 5, "a vulgar fraction after a space"},
		{"⅝ in", 0.625, 3, "a vulgar fraction alone is three bytes"},
		{"14/10", 14, 2, "a stroke after the first digits ends the number"},
		{"14 10", 14, 2, "two numbers"},
		{"14 10 rows", 14, 2, "two numbers"},
		{"14-10", 14, 2, "a range"},
		{"14.", 14, 2, "a full stop"},
		{".5", 0.5, 2, "no digit before the point"},
		{"0,125", 0.125, 5, "nothing before the comma: no thousands"},
	} {
		value, size, err := Number(c.text)
		if err != nil || value != c.value || size != c.size {
			t.Errorf("%q: %v in %d bytes, %v; want %v in %d (%s)", c.text, value, size, err, c.value, c.size, c.src)
		}
	}
	for text, column := range map[string]int{"": 1, "x": 1, "  x": 3, "-3": 1, "1,200": 1, "3 7/5": 3, "3 1/0": 3, "3 1/9999": 3, "٣": 1} {
		_, _, err := Number(text)
		var bad *ParseError
		if !errors.As(err, &bad) || bad.Column != column {
			t.Errorf("%q: %v, want column %d", text, err, column)
		}
	}
}

// TestVulgar: each fraction sign is the fraction that it shows.
func TestVulgar(t *testing.T) {
	for sign, want := range map[string]*big.Rat{
		"½": big.NewRat(1, 2), "⅓": big.NewRat(1, 3), "⅔": big.NewRat(2, 3), "¼": big.NewRat(1, 4), "¾": big.NewRat(3, 4),
		"⅕": big.NewRat(1, 5), "⅖": big.NewRat(2, 5), "⅗": big.NewRat(3, 5), "⅘": big.NewRat(4, 5), "⅙": big.NewRat(1, 6), "⅚": big.NewRat(5, 6),
		"⅛": big.NewRat(1, 8), "⅜": big.NewRat(3, 8), "⅝": big.NewRat(5, 8), "⅞": big.NewRat(7, 8), "⅒": big.NewRat(1, 10),
	} {
		value, _, err := Number(sign)
		if exact, _ := want.Float64(); err != nil || value != exact {
			t.Errorf("%s is %v, %v; want %v", sign, value, err, want)
		}
	}
}

// piece is a number and a unit as somebody might write them, and what they are
// in nanometres, reckoned exactly.
type piece struct {
	text  string
	exact *big.Rat
}

// drawPiece writes a number in one of several ways, then a unit.
func drawPiece(t *rapid.T, unit Length, spellings []string, below int) piece {
	whole := rapid.IntRange(0, below).Draw(t, "whole")
	exact := big.NewRat(int64(whole), 1)
	text := fmt.Sprint(whole)
	switch rapid.SampledFrom([]string{"whole", "decimal", "fraction", "half"}).Draw(t, "form") {
	case "decimal":
		tenths := rapid.IntRange(0, 9).Draw(t, "tenths")
		text += rapid.SampledFrom([]string{".", ","}).Draw(t, "mark") + fmt.Sprint(tenths)
		exact.Add(exact, big.NewRat(int64(tenths), 10))
	case "fraction":
		of := rapid.SampledFrom([]int{2, 4, 8, 16, 32, 64}).Draw(t, "of")
		top := rapid.IntRange(1, of-1).Draw(t, "top")
		text += rapid.SampledFrom([]string{" ", "-", "\u00a0"}).Draw(t, "gap") + fmt.Sprint(top) +
			rapid.SampledFrom([]string{"/", "⁄"}).Draw(t, "stroke") + fmt.Sprint(of)
		exact.Add(exact, big.NewRat(int64(top), int64(of)))
	case "half":
		text += rapid.SampledFrom([]string{"½", " ½"}).Draw(t, "half")
		exact.Add(exact, big.NewRat(1, 2))
	}
	text += rapid.SampledFrom([]string{"", " ", "  "}).Draw(t, "space") + rapid.SampledFrom(spellings).Draw(t, "unit")
	return piece{text, exact.Mul(exact, big.NewRat(int64(unit), 1))}
}

// TestParseExactly writes random lengths in random spellings and reckons them
// with exact fractions: what is read is right to the nanometre.
func TestParseExactly(t *testing.T) {
	units := []struct {
		length    Length
		system    Unit
		spellings []string
	}{
		{Millimetre, Centimetres, []string{"mm", "MM", "millimetres", "мм"}},
		{Centimetre, Centimetres, []string{"cm", "Cm", "cms", "centimeters", "см"}},
		{Metre, Centimetres, []string{"m", "metres", "m."}},
		{Inch, Inches, []string{"in", "inches", `"`, "″", "”", "in.", "''", "’’"}},
		{Foot, Inches, []string{"ft", "feet", "'", "’", "′"}},
		{Yard, Inches, []string{"yd", "yards", "yds"}},
	}
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "of unit")
		p := drawPiece(t, u.length, u.spellings, 999)
		m, err := Parse(p.text, Centimetres)
		if err != nil || m.Unit != u.system || m.Assumed {
			t.Fatalf("%q: %+v, %v", p.text, m, err)
		}
		off := new(big.Rat).Sub(p.exact, big.NewRat(int64(m.Length), 1))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("%q is %d nm, exactly %v", p.text, m.Length, p.exact)
		}
	})
}

// TestParseParts: feet with inches, metres with centimetres, in any spelling.
func TestParseParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pair := rapid.SampledFrom([]struct {
			large, small Length
			large1       []string
			small1       []string
			below        int
		}{
			{Foot, Inch, []string{"'", " ft", "′", " feet,"}, []string{`"`, " in", "″", ""}, 10},
			{Metre, Centimetre, []string{" m", "m", " metres"}, []string{" cm", "cm"}, 98},
			{Yard, Foot, []string{" yd", " yards,"}, []string{" ft", " foot"}, 1},
		}).Draw(t, "units")
		whole := rapid.IntRange(0, 99).Draw(t, "whole")
		p := drawPiece(t, pair.small, pair.small1, pair.below)
		text := fmt.Sprint(whole) + rapid.SampledFrom(pair.large1).Draw(t, "large unit") + " " + p.text
		m, err := Parse(text, Centimetres)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		exact := new(big.Rat).Add(p.exact, big.NewRat(int64(whole)*int64(pair.large), 1))
		off := exact.Sub(exact, big.NewRat(int64(m.Length), 1))
		if off.Abs(off).Cmp(big.NewRat(1, 1)) > 0 {
			t.Fatalf("%q is %d nm, off by %v", text, m.Length, off)
		}
	})
}

// TestParseSignedMirrors: a sign in front changes the sign and nothing else.
func TestParseSignedMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPiece(t, Centimetre, []string{"cm", ""}, 500)
		plain, err := Parse(p.text, Centimetres)
		if err != nil {
			t.Fatal(err)
		}
		minus := rapid.SampledFrom([]string{"-", "−", "–", "- "}).Draw(t, "minus")
		negative, err := ParseSigned(minus+p.text, Centimetres)
		if err != nil || negative.Length != -plain.Length || negative.Assumed != plain.Assumed {
			t.Fatalf("%q is %v, %q is %v, %v", p.text, plain, minus+p.text, negative, err)
		}
		if _, err := Parse(minus+p.text, Centimetres); err == nil {
			t.Fatalf("%q is read without a sign allowed", minus+p.text)
		}
	})
}

// TestColumns: an error points at the character, not at the byte.
func TestColumns(t *testing.T) {
	for text, column := range map[string]int{
		"½ kg": 3, "3¾ stone": 4, "5’ 6 cm": 4, "\u00a0\u00a0x": 3, "1 см 2": 7, "1 m 5": 6, "2 yd 1": 7, "5 ft 6 in 7": 11, "10 cm 5 cm": 7,
	} {
		_, err := Parse(text, Centimetres)
		var bad *ParseError
		if !errors.As(err, &bad) || bad.Column != column {
			t.Errorf("%q: %v, want column %d", text, err, column)
		}
	}
	long := strings.Repeat("x", 1000)
	_, err := Parse(long, Centimetres)
	var bad *ParseError
	if !errors.As(err, &bad) || len([]rune(bad.Text)) > maxText || math.MaxInt == bad.Column {
		t.Errorf("a long text is quoted whole: %d characters", len(bad.Text))
	}
}
