package yarn

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"

	"pgregory.net/rapid"
)

const cm = measure.Centimetre

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(1, math.Abs(b)) }

// swatch is 15 × 15 cm.
func swatch(grams, metres float64) gauge.Swatch {
	return gauge.Swatch{Stitches: 21, Rows: 15, Width: 15 * cm, Height: 15 * cm, Grams: grams, Metres: metres}
}

func TestFromSwatch(t *testing.T) {
	label := Ball{50, 85}
	for _, c := range []struct {
		swatch        gauge.Swatch
		label         Ball
		metres, grams float64
		doubt         float64
		basis         Basis
		src           string
	}{
		{swatch(9, 0), label, 680, 400, 1./150 + 0.5/9, Weighed, "by hand: 9 g on 0.0225 m², 170 m in 100 g"},
		{swatch(9, 0), Ball{}, 0, 400, 1./150 + 0.5/9, Weighed, "by hand: without a label no metres"},
		{swatch(0, 18), label, 800, 470.588235, 1./150 + 0.01, Measured, "by hand: 18 m on 0.0225 m²"},
		{swatch(9, 18), Ball{}, 800, 400, 1./150 + 0.01, Measured, "by hand: both known"},
	} {
		u, ok, err := FromSwatch(c.swatch, c.label)
		if err != nil || !ok || !near(u.Metres, c.metres) || !near(u.Grams, c.grams) || !near(u.Doubt, c.doubt) || u.Basis != c.basis {
			t.Errorf("%+v, %v, %v; want %v m, %v g (%s)", u, ok, err, c.metres, c.grams, c.src)
		}
	}
	if u, ok, err := FromSwatch(swatch(0, 0), label); ok || err != nil || u != (Use{}) {
		t.Errorf("a swatch not weighed: %v, %v, %v", u, ok, err)
	}
	if _, _, err := FromSwatch(gauge.Swatch{}, label); err == nil {
		t.Error("no swatch")
	}
	if _, _, err := FromSwatch(swatch(9, 0), Ball{50, 1}); err == nil {
		t.Error("2 m in 100 g")
	}
}

// TestFromGauge checks the shape of the estimate, not its figures, for those
// are common practice: a fabric of thin yarn takes more length, tall stitches
// take less, and a label turns metres into grams.
func TestFromGauge(t *testing.T) {
	medium, err := FromGauge(gauge.Gauge{Stitches: 13, Rows: 14}, 1, Ball{100, 170})
	if err != nil || !near(medium.Grams, medium.Metres/1.7) || medium.Basis != Typical || medium.Doubt != DoubtTypical {
		t.Errorf("%+v, %v", medium, err)
	}
	// By hand: a yard makes 16 single crochets, 13 × 14 in a square
	// decimetre: 0.9144/16 × 182 × 100 = 1040 m in a square metre.
	if math.Abs(medium.Metres/1040-1) > 0.05 {
		t.Errorf("medium yarn: %v m in a square metre", medium.Metres)
	}
	thin, _ := FromGauge(gauge.Gauge{Stitches: 24, Rows: 26}, 1, Ball{})
	tall, _ := FromGauge(gauge.Gauge{Stitches: 13, Rows: 7}, 2, Ball{})
	if thin.Metres < 1.5*medium.Metres || tall.Metres > medium.Metres || thin.Grams != 0 {
		t.Errorf("medium %v, thin %v, tall %v", medium.Metres, thin.Metres, tall.Metres)
	}
	told, _ := FromGauge(gauge.Gauge{Stitches: 14, Rows: 7}, 0, Ball{})
	said, _ := FromGauge(gauge.Gauge{Stitches: 14, Rows: 7}, 2, Ball{})
	if told != said {
		t.Errorf("a stitch twice as high as wide: %v, said to be: %v", told, said)
	}
	if _, err := FromGauge(gauge.Gauge{}, 1, Ball{}); err == nil {
		t.Error("no gauge")
	}
}

func TestNeed(t *testing.T) {
	use := Use{Metres: 680, Grams: 400, Doubt: 0.06, Basis: Weighed}
	for _, c := range []struct {
		area, spare   float64
		ball          Ball
		metres, grams float64
		balls         int
		src           string
	}{
		{1.3e6, 0.1, Ball{50, 85}, 884, 520, 12, "by hand: 884 × 1.1 / 85 = 11.44"},
		{1.3e6, 0.1, Ball{}, 884, 520, 12, "by hand: 520 × 1.1 / 50 = 11.44"},
		{1.3e6, 0, Ball{Grams: 100}, 884, 520, 6, "by hand: 5.2 balls"},
		{1.25e6, 0, Ball{Grams: 100}, 850, 500, 5, "by hand: 5 balls, not 6"},
		{1e4, 0.1, Ball{50, 85}, 6.8, 4, 1, "by hand: one ball is enough"},
	} {
		a, err := use.Need(c.area, c.spare, c.ball)
		if err != nil || !near(a.Metres, c.metres) || !near(a.Grams, c.grams) || a.Balls != c.balls || a.OneLot != (c.balls > 1) {
			t.Errorf("%+v, %v; want %v m, %v g, %d balls (%s)", a, err, c.metres, c.grams, c.balls, c.src)
		}
		if !near(a.Low(), c.metres*0.94) || !near(a.High(), c.metres*1.06) {
			t.Errorf("from %v to %v (%s)", a.Low(), a.High(), c.src)
		}
	}
	metres := Use{Metres: 680}
	if a, err := metres.Need(1e6, 0.1, Ball{}); err != nil || a.Balls != 0 {
		t.Errorf("metres can't be counted in balls of grams: %+v, %v", a, err)
	}
	// By hand: class 4 has 121 to 181 m in 100 g, its middle 151.
	if u := metres.WithClass(Classes()[4]); !near(u.Grams, 680/1.51) || u.Doubt != DoubtBand {
		t.Errorf("%+v", u)
	}
	if u := (Use{Grams: 400, Doubt: 0.45}).WithClass(Classes()[4]); !near(u.Metres, 604) || u.Doubt != 0.5 {
		t.Errorf("%+v", u)
	}
	if u := use.WithClass(Classes()[4]); u != use {
		t.Errorf("%+v", u)
	}
	for _, bad := range []struct {
		area, spare float64
		ball        Ball
	}{{0, 0.1, Ball{}}, {math.NaN(), 0.1, Ball{}}, {1e12, 0.1, Ball{}}, {1e6, -1, Ball{}}, {1e6, 0.1, Ball{Grams: -5}}, {1e6, 0.1, Ball{50, math.Inf(1)}}} {
		var span *RangeError
		if _, err := use.Need(bad.area, bad.spare, bad.ball); !errors.As(err, &span) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}

// TestNeedLaws: twice the piece takes twice the yarn, and the balls hold what
// is needed with the spare, but one ball fewer would not.
func TestNeedLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := Use{Metres: rapid.Float64Range(100, 4000).Draw(t, "metres"), Grams: rapid.Float64Range(50, 2000).Draw(t, "grams")}
		ball := Ball{rapid.Float64Range(10, 500).Draw(t, "ball"), 0}
		area := rapid.Float64Range(1e3, 5e6).Draw(t, "area")
		a, err := u.Need(area, Spare, ball)
		if err != nil {
			t.Fatal(err)
		}
		twice, _ := u.Need(2*area, Spare, ball)
		if !near(twice.Metres, 2*a.Metres) || !near(twice.Grams, 2*a.Grams) {
			t.Fatalf("%+v, twice %+v", a, twice)
		}
		with := a.Grams * (1 + Spare)
		if float64(a.Balls)*ball.Grams < with*(1-1e-6) || float64(a.Balls-1)*ball.Grams >= with {
			t.Fatalf("%d balls of %v g for %v g", a.Balls, ball.Grams, with)
		}
	})
}

func TestReach(t *testing.T) {
	for _, c := range []struct {
		have, need, doubt float64
		rows              int
		verdict           Verdict
		reach, stop       int
		src               string
	}{
		{120, 100, 0.1, 40, Yes, 40, 20, "by hand: 110 at most"},
		{105, 100, 0.1, 40, Tight, 38, 19, "by hand: 105 / (110/40) = 38.18 rows"},
		{95, 100, 0.1, 40, Tight, 34, 17, "by hand: 95 / 2.75 = 34.5"},
		{80, 100, 0.1, 40, No, 29, 14, "by hand: 80 / 2.75 = 29.09"},
		{0, 100, 0.1, 40, No, 0, 0, "nothing left"},
		{110, 100, 0.1, 40, Yes, 40, 20, "by hand: just enough"},
	} {
		e, err := Reach(c.have, c.need, c.doubt, c.rows)
		if err != nil || e.Verdict != c.verdict || e.Rows != c.reach || e.StopAt != c.stop || e.Margin != c.have-c.need {
			t.Errorf("%+v, %v; want %v, %d rows (%s)", e, err, c.verdict, c.reach, c.src)
		}
	}
	for _, bad := range [][4]float64{{-1, 100, 0.1, 40}, {1, 0, 0.1, 40}, {1, 100, 2, 40}, {1, 100, 0.1, 0}, {math.NaN(), 1, 0, 1}} {
		if _, err := Reach(bad[0], bad[1], bad[2], int(bad[3])); err == nil {
			t.Errorf("%v", bad)
		}
	}
}

func TestSwap(t *testing.T) {
	wool, cotton, thin := Ball{50, 120}, Ball{50, 110}, Ball{50, 200}
	for _, c := range []struct {
		from, to Ball
		grams    float64
		balls    int
		likeness Likeness
		thicker  float64
		src      string
	}{
		{wool, wool, 500, 11, Alike, 0, "by hand: 1200 m are 10 balls and a tenth"},
		{wool, cotton, 1200. / 2.2, 12, Alike, 1. / 11, "by hand: 1200/110 × 1.1 = 12"},
		{wool, thin, 300, 7, Unalike, -0.4, "by hand: 1200/200 × 1.1 = 6.6"},
		{Ball{50, 120}, Ball{100, 200}, 600, 7, Near, 0.2, "by hand: 1200/200 × 1.1 = 6.6"},
	} {
		s, err := Swap(c.from, c.to, 1200, Spare)
		if err != nil || !near(s.Amount.Grams, c.grams) || s.Amount.Balls != c.balls || s.Likeness != c.likeness || !near(s.Thicker, c.thicker) {
			t.Errorf("%+v, %v; want %v g, %d balls (%s)", s, err, c.grams, c.balls, c.src)
		}
	}
	for _, bad := range []Ball{{}, {50, 0}, {0, 120}, {50, 1}, {math.NaN(), 120}} {
		if _, err := Swap(wool, bad, 1200, Spare); err == nil {
			t.Errorf("%+v", bad)
		}
		if _, err := Swap(bad, wool, 1200, Spare); err == nil {
			t.Errorf("%+v", bad)
		}
	}
	if _, err := Swap(wool, wool, 0, Spare); err == nil {
		t.Error("nothing to swap")
	}
}

func ExampleFromSwatch() {
	s := gauge.Swatch{Stitches: 21, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre, Grams: 9}
	use, _, _ := FromSwatch(s, Ball{Grams: 50, Metres: 85})
	need, _ := use.Need(1.3e6, Spare, Ball{Grams: 50, Metres: 85})
	fmt.Printf("%.0f m, %.0f g: %d balls\n", need.Metres, need.Grams, need.Balls)
	// Output: 884 m, 520 g: 12 balls
}

func ExampleFromGauge() {
	use, _ := FromGauge(gauge.Gauge{Stitches: 13, Rows: 14}, 1, Ball{Grams: 50, Metres: 85})
	need, _ := use.Need(1.3e6, Spare, Ball{Grams: 50, Metres: 85})
	fmt.Printf("%.0f to %.0f m\n", need.Low(), need.High())
	// Output: 1010 to 1684 m
}

func ExampleUse_WithClass() {
	found, _ := ByName("worsted")
	use := Use{Metres: 680}.WithClass(found[0])
	fmt.Printf("%.0f g a square metre, give or take %.0f %%\n", use.Grams, 100*use.Doubt)
	// Output: 450 g a square metre, give or take 15 %
}

func ExampleReach() {
	e, _ := Reach(105, 100, 0.1, 40)
	fmt.Println(e.Verdict == Tight, e.Margin, e.Rows)
	// Output: true 5 38
}

func ExampleSwap() {
	s, _ := Swap(Ball{Grams: 50, Metres: 120}, Ball{Grams: 50, Metres: 110}, 1200, Spare)
	fmt.Printf("%.0f g, %d balls, %.0f %% thicker\n", s.Amount.Grams, s.Amount.Balls, 100*s.Thicker)
	// Output: 545 g, 12 balls, 9 % thicker
}
