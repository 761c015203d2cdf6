package pace

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// steady is days of equal work, every so many days.
func steady(from, days, every, stitches int) []Day {
	var out []Day
	for d := 0; d < days; d += every {
		out = append(out, Day{Day: from + d, Worked: stitches})
	}
	return out
}

func TestSteadyMaker(t *testing.T) {
	// by hand: 300 stitches each day for 70 days, 3000 left: 10 days
	f, err := Ahead(steady(1000, 70, 1, 300), 3000, 1069)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Pace-300) > 5 || f.Middle < 9 || f.Middle > 12 || f.Early < 7 || f.Late > 25 || f.Worked != 70 || f.Pauses != 0 {
		t.Errorf("forecast %+v", f)
	}
	// every second day: half of the days are rest
	f, err = Ahead(steady(1000, 70, 2, 300), 3000, 1068)
	if err != nil || math.Abs(f.Pace-150) > 6 || math.Abs(f.Rests-0.5) > 0.03 {
		t.Errorf("every second day: %+v %v", f, err)
	}
}

// A month of nothing does not ruin the pace.
func TestMonthOfNothing(t *testing.T) {
	before, err := Ahead(steady(1000, 40, 1, 300), 6000, 1039)
	if err != nil {
		t.Fatal(err)
	}
	after, err := Ahead(append(steady(1000, 40, 1, 300), steady(1070, 5, 1, 300)...), 6000, 1074)
	if err != nil {
		t.Fatal(err)
	}
	if after.Pauses != 1 || math.Abs(after.Pace-before.Pace) > 0.05*before.Pace {
		t.Errorf("pace %v before, %+v after", before.Pace, after)
	}
	resting, err := Ahead(steady(1000, 40, 1, 300), 6000, 1070)
	if err != nil || resting.Resting != 31 || math.Abs(resting.Pace-before.Pace) > 0.05*before.Pace {
		t.Errorf("resting: %+v %v", resting, err)
	}
}

// Who works once a fortnight does not pause in between.
func TestSeldomIsNoPause(t *testing.T) {
	f, err := Ahead(steady(1000, 140, 14, 2000), 10_000, 1126)
	if err != nil || f.Pauses != 0 || f.Resting != 0 {
		t.Errorf("once a fortnight: %+v %v", f, err)
	}
}

// More history narrows the range; frogging puts the end off.
func TestSurer(t *testing.T) {
	little, _ := Ahead(steady(1000, 5, 1, 300), 6000, 1004)
	much, _ := Ahead(steady(1000, 150, 1, 300), 6000, 1149)
	if much.Late-much.Early >= little.Late-little.Early || much.Sure <= little.Sure {
		t.Errorf("after 5 days %+v, after 150 %+v", little, much)
	}
	frogging := steady(1000, 150, 1, 300)
	for i := range frogging {
		frogging[i].Frogged = 100
	}
	if f, _ := Ahead(frogging, 6000, 1149); f.Middle <= much.Middle {
		t.Errorf("a third frogged: %+v, none: %+v", f, much)
	}
}

func TestNothingToTellFrom(t *testing.T) {
	var few *FewError
	for _, days := range [][]Day{nil, steady(1, 2, 1, 300), {{Day: 1, Frogged: 30}, {Day: 2, Minutes: 20}, {Day: 3, Worked: 10}}} {
		if _, err := Ahead(days, 100, 10); !errors.As(err, &few) || few.Need != FewestDays {
			t.Errorf("%+v: %v", days, err)
		}
	}
	var outside *RangeError
	for name, c := range map[string]struct {
		days        []Day
		left, today int
	}{
		"less than nothing left": {steady(1, 9, 1, 300), -1, 9},
		"too much left":          {steady(1, 9, 1, 300), math.MaxInt, 9},
		"days to come":           {steady(1, 9, 1, 300), 10, 5},
		"days out of order":      {[]Day{{Day: 3, Worked: 1}, {Day: 2, Worked: 1}, {Day: 4, Worked: 1}}, 10, 9},
		"less than no work":      {[]Day{{Day: 1, Worked: -1}}, 10, 9},
	} {
		if _, err := Ahead(c.days, c.left, c.today); !errors.As(err, &outside) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if f, err := Ahead(steady(1, 9, 1, 300), 0, 9); err != nil || f.Late != 0 {
		t.Errorf("nothing left: %+v %v", f, err)
	}
}

// Whatever the days, the range is in order and finite; more left is never done
// sooner.
func TestRangesAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var days []Day
		day := 0
		for range rapid.IntRange(3, 40).Draw(t, "days") {
			day += rapid.IntRange(1, 60).Draw(t, "gap")
			worked := rapid.IntRange(1, 100_000).Draw(t, "worked")
			days = append(days, Day{Day: day, Worked: worked, Frogged: rapid.IntRange(0, worked).Draw(t, "frogged")})
		}
		left := rapid.IntRange(0, 1_000_000).Draw(t, "left")
		today := day + rapid.IntRange(0, 100).Draw(t, "since")
		f, err := Ahead(days, left, today)
		if err != nil {
			t.Fatal(err)
		}
		if f.Early < 0 || f.Middle < f.Early || f.Late < f.Middle || f.Late > farthest || !(f.Pace > 0) || f.Rests < 0 || f.Rests >= 1 {
			t.Fatalf("%+v", f)
		}
		if more, err := Ahead(days, left+1000, today); err != nil || more.Early < f.Early || more.Middle < f.Middle || more.Late < f.Late {
			t.Fatalf("%d left: %+v; %d left: %+v %v", left, f, left+1000, more, err)
		}
	})
}

// The quantiles are gonum's.
// Source: gonum.org/v1/gonum/stat/distuv v0.17.0.
func TestQuantiles(t *testing.T) {
	unit := distuv.Normal{Mu: 0, Sigma: 1}
	for u := 0.001; u < 1; u += 0.001 {
		if got, want := normal(u), unit.Quantile(u); math.Abs(got-want) > 1e-9 {
			t.Errorf("normal %v: %v, want %v", u, got, want)
		}
	}
	for _, freedom := range []float64{3, 4, 7, 20, 100} {
		reference := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}
		for u := 0.02; u < 0.985; u += 0.005 {
			if got, want := student(u, freedom), reference.Quantile(u); math.Abs(got-want) > 0.03*math.Abs(want)+1e-6 {
				t.Errorf("t with %v, %.3f: %v, want %v", freedom, u, got, want)
			}
		}
	}
}

// Pauses are counted as gonum draws them: Poisson, with a rate drawn by Gamma.
func TestPausesAgainstDraws(t *testing.T) {
	const n = 200_000
	seen, days, ahead := 2.5, 180.0, 90.0
	random := distuvSource(3)
	rates := distuv.Gamma{Alpha: seen, Beta: days, Src: random}
	drawn, ours := make([]float64, 30), make([]float64, 30)
	for i := range n {
		k := distuv.Poisson{Lambda: rates.Rand() * ahead, Src: random}.Rand()
		drawn[min(int(k), 29)] += 1. / n
		ours[min(pauses(radical(i, 2), seen, days, ahead), 29)] += 1. / n
	}
	for k := range 8 {
		if math.Abs(drawn[k]-ours[k]) > 0.005 {
			t.Errorf("%d pauses: %.4f, drawn %.4f", k, ours[k], drawn[k])
		}
	}
}

// The unevenness of weeks is gonum's standard deviation, with the guess for
// some weeks more.
func TestSpreadAgainstGonum(t *testing.T) {
	weeks := []float64{2100, 900, 1800, 2500, 1200, 1900, 700, 2300}
	var h history
	h.spread(weeks)
	mean, deviation := stat.MeanStdDev(weeks, nil)
	n := float64(len(weeks) - 1)
	part := deviation / mean
	want := math.Sqrt((guessWeeks*guessUneven*guessUneven + n*part*part) / (guessWeeks + n))
	if math.Abs(h.uneven-want) > 1e-12 || h.freedom != guessWeeks+n {
		t.Errorf("uneven %v with %v, want %v", h.uneven, h.freedom, want)
	}
}

// The points are even, and even together in two bases.
func TestPoints(t *testing.T) {
	const n = 2048
	mean, product := 0., 0.
	for i := range n {
		a, b := radical(i, 2), radical(i, 3)
		if a <= 0 || a >= 1 || b <= 0 || b >= 1 {
			t.Fatalf("point %d: %v, %v", i, a, b)
		}
		mean += a / n
		product += (a - 0.5) * (b - 0.5) / n
	}
	if math.Abs(mean-0.5) > 1e-3 || math.Abs(product) > 1e-3 {
		t.Errorf("mean %v, covariance %v", mean, product)
	}
}

func BenchmarkAhead(b *testing.B) {
	days := steady(1000, 150, 1, 300)
	for b.Loop() {
		if _, err := Ahead(days, 6000, 1149); err != nil {
			b.Fatal(err)
		}
	}
}
