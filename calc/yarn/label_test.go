package yarn

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestParseLabel(t *testing.T) {
	for _, c := range []struct {
		text          string
		grams, metres float64
		src           string
	}{
		{"50 g = 120 m", 50, 120, "as labels have it"},
		{"120m/50g", 50, 120, "the other way round"},
		{"400 m per 100 g", 100, 400, "as labels have it"},
		{"1.75 oz, 137 yd", 49.61166546875, 125.2728, "an ounce is 28.349523125 g, a yard 0.9144 m"},
		{"1 3/4 oz/137 yds.", 49.61166546875, 125.2728, "with a fraction"},
		{"ball of 50 grams (approx. 85 metres)", 50, 85, "in words"},
		{"0,1 kg 250 mtr", 100, 250, "a comma"},
		{"100g", 100, 0, "weight alone"},
		{"210 m", 0, 210, "length alone"},
	} {
		b, err := ParseLabel(c.text)
		if err != nil || math.Abs(b.Grams-c.grams) > 1e-9 || math.Abs(b.Metres-c.metres) > 1e-9 {
			t.Errorf("%q: %+v, %v; want %v g, %v m (%s)", c.text, b, err, c.grams, c.metres, c.src)
		}
	}
	for _, text := range []string{"", "fifty grams", "50", "50 g 120 m 3 cats", "4 mm", "blue", strings.Repeat("9", 400) + " g", strings.Repeat("x", 400)} {
		var label *LabelError
		var span *RangeError
		if _, err := ParseLabel(text); !errors.As(err, &label) && !errors.As(err, &span) {
			t.Errorf("%q: %v", text, err)
		}
	}
	var span *RangeError
	if _, err := ParseLabel("50 g = 1 m"); !errors.As(err, &span) {
		t.Errorf("2 m in 100 g: %v", err)
	}
}

func TestFindLabel(t *testing.T) {
	for text, want := range map[string]string{
		"DK merino, 50 g = 120 m, soft": "DK merino soft",
		"50g/85m 4 ply cotton":          "4 ply cotton",
		"worsted":                       "worsted",
		"80% wool 20% silk 100 g/210 m": "80% wool 20% silk",
		"4 ply, 5 mm":                   "4 ply , 5 mm",
	} {
		if _, rest := FindLabel(text); rest != want {
			t.Errorf("%q leaves %q, want %q", text, rest, want)
		}
	}
}

func FuzzFindLabel(f *testing.F) {
	for _, text := range []string{"50 g = 120 m", "½ lb 3 m", "g m", "50 g 60 g 7 m", "9 kg/", "∞ g", "1e9 g"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := ParseLabel(text)
		if err == nil && (b == Ball{} || b.Check() != nil || math.IsNaN(b.Grams+b.Metres)) {
			t.Fatalf("%q: %+v", text, b)
		}
	})
}

func ExampleParseLabel() {
	b, _ := ParseLabel("50 g = 120 m")
	fmt.Println(b.In100g(), "m in 100 g")
	// Output: 240 m in 100 g
}

func ExampleFindLabel() {
	b, rest := FindLabel("DK merino, 50 g = 120 m")
	fmt.Println(b.Metres, rest)
	// Output: 120 DK merino
}
