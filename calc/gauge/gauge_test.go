package gauge

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

// gauges is what makers write, and what it means per 10 cm.
var gauges = []struct {
	text           string
	stitches, rows float64
	src            string
}{
	{"14x10", 14, 10, "by hand"},
	{"14 x 10", 14, 10, "by hand"},
	{"14×10", 14, 10, "by hand"},
	{"14X10", 14, 10, "by hand"},
	{"14*10", 14, 10, "by hand"},
	{"14 / 10", 14, 10, "by hand"},
	{"14/10", 14, 10, "two numbers, no fraction"},
	{"14.5x10", 14.5, 10, "by hand"},
	{"14,5 x 10,25", 14.5, 10.25, "decimal commas"},
	{"14½ x 10 1/4", 14.5, 10.25, "fractions"},
	{"14, 10", 14, 10, "a comma and a space"},
	{"14 sts x 10 rows", 14, 10, "by hand"},
	{"14 sts and 10 rows", 14, 10, "by hand"},
	{"14 stitches by 10 rows in 10 cm", 14, 10, "by hand"},
	{"14 sc x 16 rnds", 14, 16, "rounds are rows here"},
	{"14 sts, 10 rows = 10 x 10 cm", 14, 10, "a square"},
	{"16x12/4in", 15.748031, 11.811024, "16 and 12 × 100/101.6"},
	{`16 sts x 12 rows = 4"`, 15.748031, 11.811024, "the same"},
	{`16 sts & 12 rows per 4" x 4"`, 15.748031, 11.811024, "the same"},
	{"4x3/in", 0, 0, "no number before the unit"},
	{"7x5/5cm", 14, 10, "twice 7 and 5"},
	{"3 x 2.5 / 1 in", 11.811024, 9.8425197, "× 100/25.4"},
	{"14 sts. x 10 r.", 14, 10, "full stops"},
}

func TestParse(t *testing.T) {
	for _, c := range gauges {
		g, err := Parse(c.text)
		if c.stitches == 0 {
			if err == nil {
				t.Errorf("%q is read as %v (%s)", c.text, g, c.src)
			}
			continue
		}
		if err != nil || math.Abs(g.Stitches-c.stitches) > 1e-6 || math.Abs(g.Rows-c.rows) > 1e-6 {
			t.Errorf("%q: %v, %v; want %vx%v (%s)", c.text, g, err, c.stitches, c.rows, c.src)
		}
	}
}

var refused = []struct{ text, want string }{
	{"", `"", column 1: expected a number; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14", `"14", column 3: expected "x" and the rows after the stitches; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14x", `"14x", column 4: expected a number; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14 x ten", `"14 x ten", column 6: expected a number; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14x10/4", `"14x10/4", column 7: expected cm or in after the length that is counted over; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14x10/4kg", `"14x10/4kg", column 8: unit "kg" is unknown: use mm, cm, m, in, ft or yd; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
	{"14x10/5m", `gauge length of 500 cm is outside 1 cm to 100 cm`},
	{"0.1x10", `0.1 stitches in 10 cm: allowed are 1 to 80`},
	{"14x0", `0 rows in 10 cm: allowed are 1 to 120`},
	{"1000000000x10", `1000000000 stitches in 10 cm: allowed are 1 to 80`},
	{"-14x10", `"-14x10", column 1: expected a number; for example 14x10 (stitches x rows in 10 cm) or 16x12/4in`},
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refused {
		if g, err := Parse(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v\n%v, want\n%v", c.text, g, err, c.want)
		}
	}
}

func TestText(t *testing.T) {
	g := Gauge{15.7480315, 11.8110236}
	if got := g.Text(measure.Inches); got != "16 sts and 12 rows in 4 in" {
		t.Error(got)
	}
	if got := g.Text(measure.Centimetres); got != "15.75 sts and 11.81 rows in 10 cm" {
		t.Error(got)
	}
}

func TestStringReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGauge(t, "gauge")
		back, err := Parse(g.String())
		if err != nil || math.Abs(back.Stitches-g.Stitches) > 0.00501 || math.Abs(back.Rows-g.Rows) > 0.00501 {
			t.Fatalf("%v is read back as %v, %v", g, back, err)
		}
	})
}

func anyGauge(t *rapid.T, name string) Gauge {
	return Gauge{
		rapid.Float64Range(MinStitches, MaxStitches).Draw(t, name+" stitches"),
		rapid.Float64Range(MinRows, MaxRows).Draw(t, name+" rows"),
	}
}

func TestSizes(t *testing.T) {
	g := Gauge{14, 10}
	// By hand: 100/14 = 7.142857 mm, 100/10 = 10 mm; 77 sts are 55 cm.
	if math.Abs(g.StitchWidth()-7.142857) > 1e-6 || g.RowHeight() != 10 {
		t.Error(g.StitchWidth(), g.RowHeight())
	}
	if g.Width(77) != 55*measure.Centimetre || g.Height(31) != 31*measure.Centimetre {
		t.Error(g.Width(77), g.Height(31))
	}
	if g.StitchesIn(55*measure.Centimetre) != 77 || g.RowsIn(31*measure.Centimetre) != 31 {
		t.Error(g.StitchesIn(55*measure.Centimetre), g.RowsIn(31*measure.Centimetre))
	}
	for _, bad := range []Gauge{{}, {math.NaN(), 10}, {14, math.NaN()}, {math.Inf(1), 10}, {14, math.Inf(1)}, {-14, 10}, {14, 121}} {
		var figure *RangeError
		if err := bad.Check(); !errors.As(err, &figure) {
			t.Errorf("%v: %v", bad, err)
		}
	}
}

func TestSwatch(t *testing.T) {
	const cm = measure.Centimetre
	for _, c := range []struct {
		swatch        Swatch
		gauge         Gauge
		doubt         Doubt
		width, height measure.Length // doubt of a finished 106 × 60 cm
		src           string
	}{
		{Swatch{Stitches: 14, Rows: 10, Width: 10 * cm, Height: 10 * cm}, Gauge{14, 10},
			Doubt{0.0228571, 0.03}, 24_228_571, 18 * measure.Millimetre,
			"by hand: ¼/14 + ½/100 and ¼/10 + ½/100"},
		{Swatch{Stitches: 21, Rows: 15, Width: 15 * cm, Height: 15 * cm}, Gauge{14, 10},
			Doubt{0.0152381, 0.02}, 16_152_381, 12 * measure.Millimetre,
			"by hand: ¼/21 + ½/150 and ¼/15 + ½/150: the larger swatch is surer"},
		{Swatch{Stitches: 16, Rows: 12, Width: 4 * measure.Inch, Height: 4 * measure.Inch, Mark: measure.Inch / 8}, Gauge{15.7480315, 11.8110236},
			Doubt{0.03125, 0.0364583}, 33_125_000, 21_875_000,
			"by hand: ¼/16 + (1/16)/4 and ¼/12 + (1/16)/4"},
		{Swatch{Stitches: 18.5, Rows: 20, Width: 10 * cm, Height: 8 * cm}, Gauge{18.5, 25},
			Doubt{0.0185135, 0.01875}, 19_624_324, 11_250_000, "by hand: ¼/18.5 + ½/100 and ¼/20 + ½/80"},
	} {
		g, err := c.swatch.Gauge()
		d := c.swatch.Doubt()
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
		if err != nil || !near(g.Stitches, c.gauge.Stitches) || !near(g.Rows, c.gauge.Rows) || !near(d.Stitches, c.doubt.Stitches) || !near(d.Rows, c.doubt.Rows) {
			t.Errorf("%+v: %v %v, %v; want %v %v (%s)", c.swatch, g, d, err, c.gauge, c.doubt, c.src)
		}
		if w, h := d.Width(106*cm), d.Height(60*cm); (w-c.width).Abs() > 1 || (h-c.height).Abs() > 1 {
			t.Errorf("doubt of 106 × 60 cm: %d × %d, want %d × %d (%s)", w, h, c.width, c.height, c.src)
		}
	}
	if got := (Doubt{0.02, 0.03}).Gauge(Gauge{14, 10}); math.Abs(got.Stitches-0.28) > 1e-12 || math.Abs(got.Rows-0.3) > 1e-12 {
		t.Error(got)
	}
}

func TestSwatchLimits(t *testing.T) {
	const cm = measure.Centimetre
	good := Swatch{Stitches: 14, Rows: 10, Width: 10 * cm, Height: 10 * cm}
	for _, c := range []struct {
		spoil func(*Swatch)
		want  string
	}{
		{func(s *Swatch) { s.Width = 0 }, "swatch width of 0 cm is outside 2 cm to 200 cm"},
		{func(s *Swatch) { s.Height = 400 * cm }, "swatch height of 400 cm is outside 2 cm to 200 cm"},
		{func(s *Swatch) { s.Stitches = 0 }, "0 stitches counted: allowed are 1 to 2000"},
		{func(s *Swatch) { s.Rows = math.NaN() }, "NaN rows counted: allowed are 1 to 2000"},
		{func(s *Swatch) { s.Rows = 1e9 }, "1000000000 rows counted: allowed are 1 to 2000"},
		{func(s *Swatch) { s.Stitches = 1500 }, "1500 stitches in 10 cm: allowed are 1 to 80"},
		{func(s *Swatch) { s.Hook = 99 }, "99 mm hook: allowed are 0 to 60"},
		{func(s *Swatch) { s.Grams = -1 }, "-1 g of swatch weight: allowed are 0 to 5000"},
		{func(s *Swatch) { s.Metres = math.Inf(1) }, "+Inf m of yarn in the swatch: allowed are 0 to 20000"},
		{func(s *Swatch) { s.Mark = 2 * cm }, "smallest mark of the ruler of 2 cm is outside 0 cm to 1 cm"},
	} {
		s := good
		c.spoil(&s)
		if _, err := s.Gauge(); err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v, want %s", s, err, c.want)
		}
	}
	if good.Area() != 10_000 {
		t.Error(good.Area())
	}
}

// TestLargerIsSurer: twice the swatch, half the doubt.
func TestLargerIsSurer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Swatch{
			Stitches: rapid.Float64Range(5, 50).Draw(t, "stitches"), Rows: rapid.Float64Range(5, 50).Draw(t, "rows"),
			Width: 10 * measure.Centimetre, Height: 10 * measure.Centimetre,
		}
		twice := s
		twice.Stitches, twice.Rows, twice.Width, twice.Height = 2*s.Stitches, 2*s.Rows, 2*s.Width, 2*s.Height
		if a, b := s.Doubt(), twice.Doubt(); math.Abs(a.Stitches/b.Stitches-2) > 1e-9 || math.Abs(a.Rows/b.Rows-2) > 1e-9 {
			t.Fatalf("%v and twice as large %v", a, b)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, c := range gauges {
		f.Add(c.text)
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, err := Parse(text)
		if err == nil && g.Check() != nil {
			t.Errorf("%q is %v", text, g)
		}
		var form *measure.ParseError
		if errors.As(err, &form) && (form.Column < 1 || form.Column > len([]rune(text))+1) {
			t.Errorf("%q: column %d", text, form.Column)
		}
	})
}

func ExampleParse() {
	for _, text := range []string{"14x10", "7 x 5 / 5 cm", "16 sts x 12 rows = 4 in"} {
		g, _ := Parse(text)
		fmt.Println(g)
	}
	// Output:
	// 14x10
	// 14x10
	// 15.75x11.81
}

func ExamplePer() {
	g, _ := Per(16, 12, 4*measure.Inch)
	fmt.Println(g.Text(measure.Inches))
	// Output: 16 sts and 12 rows in 4 in
}

func ExampleSwatch_Doubt() {
	s := Swatch{Stitches: 21, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre}
	chest := 106 * measure.Centimetre
	fmt.Println(chest, "give or take", s.Doubt().Width(chest))
	// Output: 106 cm give or take 1.6 cm
}

func ExampleSwatch_Gauge() {
	s := Swatch{Stitches: 21, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre}
	g, _ := s.Gauge()
	fmt.Println(g)
	// Output: 14x10
}

func ExampleGauge_Width() {
	g := Gauge{14, 10}
	fmt.Println(g.Width(77), g.Height(31), g.StitchesIn(55*measure.Centimetre), g.RowsIn(31*measure.Centimetre))
	// Output: 55 cm 31 cm 77 31
}
