package yarn

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"countwright/calc/measure"
)

var counts = []struct {
	text   string
	tex    float64
	metres float64
	src    string
}{
	{"Nm 2/28", 71.428571, 1400, "two plies of Nm 28: Nm 14, 71.4 tex, 1400 m in 100 g"},
	{"28/2 Nm", 71.428571, 1400, "the other order"},
	{"250 tex", 250, 400, "400 m in 100 g = 250 tex"},
	{"Nm 4", 250, 400, "400 m in 100 g = Nm 4"},
	{"2250 den", 250, 400, "400 m in 100 g = 2250 den"},
	{"2500 dtex", 250, 400, "tex ÷ 10"},
	{"Ne 1", 590.54, 169.336, "590.54/Ne"},
	{"Nw 1", 885.8, 112.89, "885.8/Nw"},
	{"Ny 1", 310.0, 322.55, "310.0/Ny"},
	{"NeC 20/2", 59.054, 1693.36, "two plies of Ne 20"},
	{"Nm 2,5", 400, 250, "a decimal comma"},
}

// TestParseCount. Source: ISO 1144, ASTM D861, definitions from memory.
func TestParseCount(t *testing.T) {
	for _, c := range counts {
		got, err := ParseCount(c.text)
		if err != nil || math.Abs(got.Tex()/c.tex-1) > 2e-4 || math.Abs(got.MetresIn100g()/c.metres-1) > 2e-4 {
			t.Errorf("%q: %v tex, %v m, %v; want %v tex, %v m (%s)", c.text, got.Tex(), got.MetresIn100g(), err, c.tex, c.metres, c.src)
		}
	}
}

var badCounts = []struct{ text, want string }{
	{"", `"", column 1: a system is needed: tex, dtex, den, Nm, Ne, Nw or Ny; for example Nm 2/28 or 250 tex`},
	{"28", `"28", column 1: a system is needed: tex, dtex, den, Nm, Ne, Nw or Ny; for example Nm 2/28 or 250 tex`},
	{"Nm", `"Nm", column 3: expected a number; for example Nm 2/28 or 250 tex`},
	{"Nm 2/", `"Nm 2/", column 6: expected a number after the stroke; for example Nm 2/28 or 250 tex`},
	{"Nm 1.5/28", `"Nm 1.5/28", column 4: plies must be a whole number; for example Nm 2/28 or 250 tex`},
	{"Nm 0", `0 as a count in Nm: allowed are 0.01 to 1e+06`},
	{"Nm 0/28", `0 plies: allowed are 1 to 100`},
}

func TestParseCountRefuses(t *testing.T) {
	for _, c := range badCounts {
		if got, err := ParseCount(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v\n%v, want\n%v", c.text, got, err, c.want)
		}
	}
}

func FuzzParseCount(f *testing.F) {
	for _, c := range counts {
		f.Add(c.text)
	}
	for _, c := range badCounts {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCount(text)
		if tex := c.Tex(); err == nil && (!(tex > 0) || math.IsInf(tex, 0)) {
			t.Errorf("%q is %v, %v tex", text, c, tex)
		}
		var form *measure.ParseError
		if errors.As(err, &form) && form.Column < 1 {
			t.Errorf("%q: %v", text, err)
		}
	})
}

func ExampleParseCount() {
	c, _ := ParseCount("Nm 2/28")
	fmt.Printf("%d plies, %.1f tex, %.0f m in 100 g\n", c.Plies, c.Tex(), c.MetresIn100g())
	// Output: 2 plies, 71.4 tex, 1400 m in 100 g
}
