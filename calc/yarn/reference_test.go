package yarn

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"

	"pgregory.net/rapid"
)

// TestNeedExactly reckons the balls with exact fractions, ball by ball.
func TestNeedExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams := int64(rapid.IntRange(50, 900).Draw(t, "grams a square metre"))
		area := int64(rapid.IntRange(1, 300).Draw(t, "square decimetres"))
		ball := int64(rapid.SampledFrom([]int{25, 50, 100, 150, 200}).Draw(t, "ball"))
		spare := int64(rapid.SampledFrom([]int{0, 5, 10, 15, 50}).Draw(t, "spare per cent"))
		a, err := Use{Grams: float64(grams)}.Need(float64(area)*1e4, float64(spare)/100, Ball{Grams: float64(ball)})
		if err != nil {
			t.Fatal(err)
		}
		need := big.NewRat(grams*area*(100+spare), 100*100)
		balls, have := 0, new(big.Rat)
		for have.Cmp(need) < 0 {
			balls++
			have.Add(have, big.NewRat(ball, 1))
		}
		if a.Balls != balls {
			t.Fatalf("%d g on %d dm² with %d %% are %v g: %d balls of %d g, exactly %d", grams, area, spare, need, a.Balls, ball, balls)
		}
	})
}

// TestSwatchToGarment: a garment that is the swatch again and again takes the
// swatch's yarn as often.
func TestSwatchToGarment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := gauge.Swatch{
			Stitches: 20, Rows: 20,
			Width:  measure.Length(rapid.Int64Range(int64(8*cm), int64(30*cm)).Draw(t, "width")),
			Height: measure.Length(rapid.Int64Range(int64(8*cm), int64(30*cm)).Draw(t, "height")),
			Grams:  rapid.Float64Range(2, 80).Draw(t, "grams"),
		}
		label := Ball{50, rapid.Float64Range(40, 250).Draw(t, "metres")}
		times := rapid.IntRange(1, 60).Draw(t, "times")
		use, ok, err := FromSwatch(s, label)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		need, err := use.Need(s.Area()*float64(times), 0, label)
		if err != nil || !near(need.Grams, s.Grams*float64(times)) || !near(need.Metres, s.Grams*float64(times)*label.Metres/50) {
			t.Fatalf("%d swatches of %v g: %+v, %v", times, s.Grams, need, err)
		}
		if use.Doubt <= 0 || use.Doubt > 0.5 || need.Low() > need.Metres || need.High() < need.Metres {
			t.Fatalf("doubt %v", use.Doubt)
		}
	})
}

// TestTypicalLaws: the usual figures are finite and positive for any gauge, and
// a finer fabric of the same shape takes more length.
func TestTypicalLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := gauge.Gauge{Stitches: rapid.Float64Range(1, 40).Draw(t, "stitches"), Rows: rapid.Float64Range(1, 60).Draw(t, "rows")}
		height := rapid.SampledFrom([]float64{0, 1, 1.5, 2, 3, 4}).Draw(t, "height")
		use, err := FromGauge(g, height, Ball{50, 100})
		if err != nil || !(use.Metres > 0) || math.IsInf(use.Metres, 0) || !near(use.Grams, use.Metres/2) {
			t.Fatalf("%+v, %v", use, err)
		}
		finer, err := FromGauge(gauge.Gauge{Stitches: 2 * g.Stitches, Rows: 2 * g.Rows}, height, Ball{50, 100})
		if err != nil || finer.Metres <= use.Metres {
			t.Fatalf("twice as fine takes %v m, not more than %v, %v", finer.Metres, use.Metres, err)
		}
	})
	if _, err := FromGauge(gauge.Gauge{Stitches: 14, Rows: 10}, math.NaN(), Ball{}); err != nil {
		t.Error("a height that is not said is told from the gauge:", err)
	}
}

// TestReachRowByRow works the rows one after another until the yarn is gone.
func TestReachRowByRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		have := int64(rapid.IntRange(0, 400).Draw(t, "have"))
		need := int64(rapid.IntRange(1, 400).Draw(t, "need"))
		doubt := int64(rapid.IntRange(0, 40).Draw(t, "doubt per cent"))
		rows := rapid.IntRange(1, 200).Draw(t, "rows")
		e, err := Reach(float64(have), float64(need), float64(doubt)/100, rows)
		if err != nil {
			t.Fatal(err)
		}
		row := big.NewRat(need*(100+doubt), 100*int64(rows))
		left, worked := big.NewRat(have, 1), 0
		for worked < rows && left.Cmp(row) >= 0 {
			left.Sub(left, row)
			worked++
		}
		if e.Rows != worked || e.StopAt != worked/2 {
			t.Fatalf("%d for %d give or take %d %% over %d rows: %d rows, row by row %d", have, need, doubt, rows, e.Rows, worked)
		}
		if (e.Verdict == Yes) != (worked == rows) {
			t.Fatalf("verdict %v after %d of %d rows", e.Verdict, worked, rows)
		}
		if least := need * (100 - doubt); (e.Verdict == No) != (have*100 < least) {
			t.Fatalf("verdict %v: %d at hand, at least %d needed", e.Verdict, have*100, least)
		}
	})
}

// TestSwapLaws: the length stays, and swapping back gives the weight back.
func TestSwapLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Ball {
			return Ball{rapid.Float64Range(25, 200).Draw(t, name+" grams"), rapid.Float64Range(50, 400).Draw(t, name+" metres")}
		}
		a, b := draw("from"), draw("to")
		metres := rapid.Float64Range(10, 3000).Draw(t, "metres")
		there, err := Swap(a, b, metres, 0)
		if err != nil || !near(there.Amount.Metres, metres) || !near(there.Amount.Grams*b.In100g()/100, metres) {
			t.Fatalf("%+v, %v", there, err)
		}
		back, err := Swap(b, a, metres, 0)
		if err != nil || !near((1+there.Thicker)*(1+back.Thicker), 1) {
			t.Fatalf("%v thicker there, %v back, %v", there.Thicker, back.Thicker, err)
		}
		if float64(there.Amount.Balls)*b.Metres < metres*(1-1e-9) {
			t.Fatalf("%d balls of %v m for %v m", there.Amount.Balls, b.Metres, metres)
		}
	})
}

// TestCountsAgree writes one yarn in every system and reads it back.
// Source: definitions of ISO 1144 and ASTM D861 (from memory).
func TestCountsAgree(t *testing.T) {
	const yard, pound = 0.9144, 453.59237
	rapid.Check(t, func(t *rapid.T) {
		tex := rapid.Float64Range(10, 2000).Draw(t, "tex")
		gramsPerMetre := tex / 1000
		yardsPerPound := pound / gramsPerMetre / yard
		for _, text := range []string{
			fmt.Sprintf("%.6f tex", tex), fmt.Sprintf("%.6f dtex", 10*tex), fmt.Sprintf("%.6f den", 9*tex), fmt.Sprintf("Nm %.9f", 1/gramsPerMetre),
			fmt.Sprintf("Ne %.9f", yardsPerPound/840), fmt.Sprintf("Nw %.9f", yardsPerPound/560), fmt.Sprintf("Ny %.9f", yardsPerPound/1600),
		} {
			c, err := ParseCount(text)
			if err != nil {
				if c.Single < 0.01 && strings.HasPrefix(text, "N") { // thicker than any count
					continue
				}
				t.Fatalf("%q: %v", text, err)
			}
			if math.Abs(c.Tex()/tex-1) > 1e-5 || math.Abs(c.MetresIn100g()*tex/1e5-1) > 1e-5 || c.Plies != 1 || c.Assumed {
				t.Fatalf("%q is %v tex, want %v", text, c.Tex(), tex)
			}
		}
	})
}

// TestPlies: so many plies of a single are so many times its weight, written
// either way round.
func TestPlies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plies, single := rapid.IntRange(1, 12).Draw(t, "plies"), rapid.IntRange(13, 80).Draw(t, "single")
		one, err := ParseCount(fmt.Sprintf("Nm %d", single))
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{fmt.Sprintf("Nm %d/%d", plies, single), fmt.Sprintf("%d/%d Nm", single, plies), fmt.Sprintf("nm %d / %d", plies, single)} {
			c, err := ParseCount(text)
			if err != nil || c.Plies != plies || !c.Assumed || !near(c.Tex(), float64(plies)*one.Tex()) {
				t.Fatalf("%q: %+v, %v", text, c, err)
			}
		}
	})
}

// TestErrors: each refusal names the figure and its limits.
func TestErrors(t *testing.T) {
	use := Use{Metres: 680, Grams: 400}
	_, need := use.Need(-5, 0.1, Ball{})
	_, spare := use.Need(1e6, 3, Ball{})
	_, ball := use.Need(1e6, 0.1, Ball{Grams: 99999})
	_, reach := Reach(10, 10, 0.1, -1)
	_, swap := Swap(Ball{Grams: 50}, Ball{50, 120}, 100, 0.1)
	for _, c := range []struct {
		err  error
		want string
	}{
		{need, "-5 square millimetres: allowed are 1 to 1e+08"},
		{spare, "3 as a part to spare: allowed are 0 to 1"},
		{ball, "99999 g in a ball: allowed are 1 to 5000"},
		{reach, "-1 rows left: allowed are 1 to 1e+06"},
		{swap, "0 m in a ball: allowed are 1 to 20000"},
		{Ball{Grams: 50, Metres: 20000}.Check(), "40000 m in 100 g: allowed are 5 to 5000"},
	} {
		var span *RangeError
		if !errors.As(c.err, &span) || c.err.Error() != c.want {
			t.Errorf("%v, want %s", c.err, c.want)
		}
	}
	if (Ball{}).Check() != nil || (Ball{}).In100g() != 0 {
		t.Error("a label may say nothing")
	}
}

func ExampleClasses() {
	for _, c := range Classes()[3:6] {
		fmt.Println(c.Number, c.Name, c.Crochet, c.Hook, "mm")
	}
	// Output:
	// 3 light 12-17 4.5-5.5 mm
	// 4 medium 11-14 5.5-6.5 mm
	// 5 bulky 8-11 6.5-9 mm
}

func ExampleNames() {
	fmt.Println(Names()[:5])
	// Output: [10 ply 12 ply 14 ply 16 ply 2 ply]
}

func ExampleClass_TradeNames() {
	fmt.Println(Classes()[2].TradeNames())
	// Output: [4 ply]
}

func ExampleUse_Need() {
	need, _ := Use{Metres: 680, Grams: 400}.Need(1.3e6, Spare, Ball{Grams: 50, Metres: 85})
	fmt.Println(need.Metres, need.Grams, need.Balls, need.OneLot)
	// Output: 884 520 12 true
}

func ExampleBall_In100g() {
	fmt.Println(Ball{Grams: 50, Metres: 85}.In100g())
	// Output: 170
}
