package measure

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

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

// TestWeightReadsBack: a weight written in any unit is read as that weight.
func TestWeightReadsBack(t *testing.T) {
	units := map[string]float64{"g": 1, "gram": 1, " grams": 1, " kg": 1000, "oz": 28.349523125, " ounces": 28.349523125, " lb": 453.59237, " lbs.": 453.59237}
	rapid.Check(t, func(t *rapid.T) {
		hundredths := rapid.IntRange(0, 99_999).Draw(t, "hundredths")
		unit := rapid.SampledFrom([]string{"g", "gram", " grams", " kg", "oz", " ounces", " lb", " lbs."}).Draw(t, "unit")
		mark := rapid.SampledFrom([]string{".", ","}).Draw(t, "decimal mark")
		text := fmt.Sprintf("%d%s%02d%s", hundredths/100, mark, hundredths%100, unit)
		w, err := ParseWeight(text)
		if want := float64(hundredths) / 100 * units[unit]; err != nil || math.Abs(w.Grams-want) > 1e-6 || w.Assumed {
			t.Fatalf("%q weighs %v, %v; want %v", text, w, err, want)
		}
	})
}

// TestWeightErrors: each refusal is a *ParseError that points into the text.
func TestWeightErrors(t *testing.T) {
	for text, column := range map[string]int{
		"": 1, "  ": 3, "heavy": 1, "50 cm": 4, "50 g g": 6, "50,000 g": 1, "1/0 oz": 1, "1 5/4 oz": 3, "9999999 g": 1, "50 \u00a0£": 5,
	} {
		_, err := ParseWeight(text)
		var bad *ParseError
		if !errors.As(err, &bad) || bad.Column != column || bad.Text != text || bad.Reason == "" || bad.Example != "50 g or 1.75 oz" {
			t.Errorf("%q: %v, want column %d", text, err, column)
		}
	}
}

func ExampleParseWeight_bare() {
	w, _ := ParseWeight("50")
	fmt.Println(w.Grams, w.Assumed)
	// Output: 50 true
}
