package grade

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestRound(t *testing.T) {
	// A back of 87.4 stitches, a neck of 25.2 and two equal shoulders.
	back := Count{Name: "back", Target: 87.4, MM: 7, Weight: 1, Min: 1, Max: 500}
	neck := Count{Name: "neck", Target: 25.2, MM: 7, Weight: 1, Min: 1, Max: 500}
	shoulder := Count{Name: "shoulder", Target: 31.1, MM: 7, Weight: 1, Min: 1, Max: 500}
	sum := Rule{Name: "back = neck + two shoulders", Terms: []Term{{0, 1}, {1, -1}, {2, -2}}}
	for _, test := range []struct {
		name string
		p    Rounding
		want []int
		src  string
	}{
		{"alone", Rounding{Counts: []Count{back}}, []int{87}, "by hand: nearest"},
		{"half goes up", Rounding{Counts: []Count{{Name: "n", Target: 12.5, MM: 7, Weight: 1, Min: 1, Max: 99}}}, []int{13}, "by hand"},
		{"sum", Rounding{Counts: []Count{back, neck, shoulder}, Rules: []Rule{sum}}, []int{87, 25, 31},
			"by hand: 87 = 25 + 2·31, each the nearest"},
		{"multiple", Rounding{Counts: []Count{{Name: "n", Target: 87.4, MM: 7, Weight: 1, Min: 1, Max: 500, Of: 6, Plus: 2}}}, []int{86},
			"by hand: 80, 86, 92"},
		{"sum with a multiple", Rounding{Counts: []Count{{Name: "back", Target: 87.4, MM: 7, Weight: 1, Min: 1, Max: 500, Of: 4}, neck, shoulder}, Rules: []Rule{sum}},
			[]int{88, 26, 31}, "by hand: neck must be even: 88 − 26 = 62; costs .36 + .64 + .01 = 1.01; 88−24−2·32: .36+1.44+.81"},
		{"order", Rounding{Counts: []Count{{Name: "a", Target: 10.6, MM: 7, Weight: 1, Min: 1, Max: 99}, {Name: "b", Target: 10.4, MM: 7, Weight: 1, Min: 1, Max: 99}},
			Rules: []Rule{{Name: "a ≤ b", Terms: []Term{{0, 1}, {1, -1}}, AtMost: true}}}, []int{11, 11}, "by hand: .16 + .36 = .52; 10, 10: .36 + .16 as good; the larger"},
		{"goal over two", Rounding{
			Counts: []Count{{Name: "a", Target: 10.4, MM: 1, Weight: 1, Min: 0, Max: 99}, {Name: "b", Target: 10.4, MM: 1, Weight: 1, Min: 0, Max: 99}},
			Goals:  []Goal{{Name: "a + b", Shares: []Share{{0, 1}, {1, 1}}, Target: 20.8, Weight: 4}}}, []int{11, 10},
			"by hand: 10+10 costs .32 + 4·.64; 11+10 costs .52 + 4·.04"},
		{"empty", Rounding{}, []int{}, "nothing asked"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.p.Round()
			if err != nil {
				t.Fatal(err)
			}
			if test.name == "goal over two" && slices.Equal(got, []int{10, 11}) {
				return
			}
			if !slices.Equal(got, test.want) && !(len(got) == 0 && len(test.want) == 0) {
				t.Errorf("got %v, want %v (%s)", got, test.want, test.src)
			}
		})
	}
}

func TestRoundNamesWhatClashes(t *testing.T) {
	p := Rounding{
		Counts: []Count{
			{Name: "back", Target: 87, MM: 7, Weight: 1, Min: 1, Max: 500, Of: 2, Plus: 1},
			{Name: "neck", Target: 25, MM: 7, Weight: 1, Min: 1, Max: 500, Of: 2},
			{Name: "shoulder", Target: 31, MM: 7, Weight: 1, Min: 1, Max: 500},
			{Name: "sleeve", Target: 31, MM: 7, Weight: 1, Min: 1, Max: 500},
		},
		Rules: []Rule{
			{Name: "sleeve at least 3", Terms: []Term{{3, -1}}, AtMost: true, Value: -3},
			{Name: "the back is the neck and two shoulders", Terms: []Term{{0, 1}, {1, -1}, {2, -2}}},
		},
	}
	_, err := p.Round()
	var clash *ClashError
	if !errors.As(err, &clash) {
		t.Fatalf("got %v, want a clash", err)
	}
	want := []string{"the back is the neck and two shoulders", "back is a multiple of 2 + 1", "neck is a multiple of 2 + 0"}
	if !slices.Equal(clash.Rules, want) {
		t.Errorf("named %q, want %q", clash.Rules, want)
	}
	if !strings.Contains(err.Error(), "can't all hold") {
		t.Errorf("text %q", err)
	}
}

func TestRoundRefuses(t *testing.T) {
	good := Count{Name: "n", Target: 5, MM: 1, Weight: 1, Min: 0, Max: 9}
	change := func(f func(*Count)) Rounding {
		c := good
		f(&c)
		return Rounding{Counts: []Count{c}}
	}
	for name, p := range map[string]Rounding{
		"target NaN":      change(func(c *Count) { c.Target = math.NaN() }),
		"worth infinite":  change(func(c *Count) { c.MM = math.Inf(1) }),
		"worth nothing":   change(func(c *Count) { c.MM = 0 }),
		"weight negative": change(func(c *Count) { c.Weight = -1 }),
		"bounds crossed":  change(func(c *Count) { c.Min = 10 }),
		"bounds too far":  change(func(c *Count) { c.Max = MaxCount + 1 }),
		"multiple":        change(func(c *Count) { c.Of = -2 }),
		"rule":            {Counts: []Count{good}, Rules: []Rule{{Terms: []Term{{1, 1}}}}},
		"goal share":      {Counts: []Count{good}, Goals: []Goal{{Shares: []Share{{-1, 1}}}}},
		"goal target":     {Counts: []Count{good}, Goals: []Goal{{Target: math.NaN()}}},
	} {
		var wrong *CountError
		if _, err := p.Round(); !errors.As(err, &wrong) {
			t.Errorf("%s: got %v, want a *CountError", name, err)
		}
	}
}

// brute tries every choice of numbers.
func brute(p Rounding) (best float64, possible bool) {
	best = math.Inf(1)
	value := make([]int, len(p.Counts))
	var try func(i int)
	try = func(i int) {
		if i == len(p.Counts) {
			if p.Holds(value) {
				best, possible = min(best, p.Cost(value)), true
			}
			return
		}
		for v := p.Counts[i].Min; v <= p.Counts[i].Max; v++ {
			value[i] = v
			try(i + 1)
		}
	}
	try(0)
	return best, possible
}

func TestRoundIsBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "counts")
		var p Rounding
		for i := range n {
			low := rapid.IntRange(0, 6).Draw(t, "min")
			p.Counts = append(p.Counts, Count{
				Name: fmt.Sprint("c", i), Min: low, Max: low + rapid.IntRange(0, 7).Draw(t, "span"),
				Target: rapid.Float64Range(-2, 14).Draw(t, "target"), MM: rapid.Float64Range(0.5, 12).Draw(t, "mm"),
				Weight: float64(rapid.IntRange(0, 3).Draw(t, "weight")),
				Of:     rapid.IntRange(0, 3).Draw(t, "of"), Plus: rapid.IntRange(0, 2).Draw(t, "plus"),
			})
		}
		for range rapid.IntRange(0, 3).Draw(t, "rules") {
			r := Rule{Name: "r", AtMost: rapid.Bool().Draw(t, "at most"), Value: rapid.IntRange(-6, 12).Draw(t, "value")}
			for range rapid.IntRange(1, 5).Draw(t, "terms") {
				r.Terms = append(r.Terms, Term{rapid.IntRange(0, n-1).Draw(t, "count"), rapid.IntRange(-2, 2).Draw(t, "times")})
			}
			p.Rules = append(p.Rules, r)
		}
		for range rapid.IntRange(0, 2).Draw(t, "goals") {
			g := Goal{Name: "g", Target: rapid.Float64Range(0, 90).Draw(t, "goal"), Weight: float64(rapid.IntRange(0, 2).Draw(t, "pull"))}
			if rapid.Bool().Draw(t, "limited") {
				g.Within, g.Beyond = rapid.Float64Range(1, 30).Draw(t, "within"), float64(rapid.IntRange(0, 50).Draw(t, "beyond"))
			}
			for range rapid.IntRange(1, 3).Draw(t, "shares") {
				g.Shares = append(g.Shares, Share{rapid.IntRange(0, n-1).Draw(t, "count"), rapid.Float64Range(-8, 8).Draw(t, "mm")})
			}
			p.Goals = append(p.Goals, g)
		}
		want, possible := brute(p)
		got, err := p.Round()
		var clash *ClashError
		switch {
		case errors.As(err, &clash):
			if possible {
				t.Fatalf("says impossible (%v), but %g is possible", err, want)
			}
		case err != nil:
			t.Fatal(err)
		case !possible:
			t.Fatalf("found %v where nothing is possible", got)
		case !p.Holds(got):
			t.Fatalf("%v breaks a rule", got)
		case p.Cost(got) > want+1e-6*(1+want):
			t.Fatalf("cost %g of %v, best is %g", p.Cost(got), got, want)
		}
	})
}

// garments is a random rounding as garments pose it: in each size a back with
// neck and shoulders, fronts, a sleeve with even shaping, lengths, multiples;
// sizes in order. Ten counts a size.
func garments(r *rand.Rand, sizes int, spread int) Rounding {
	var p Rounding
	add := func(name string, target, mm float64, of, plus int) int {
		p.Counts = append(p.Counts, Count{Name: name, Target: target, MM: mm, Weight: 1 + float64(r.IntN(3)), Min: max(1, int(target)-spread),
			Max: int(target) + spread, Of: of, Plus: plus})
		return len(p.Counts) - 1
	}
	rule := func(name string, value int, terms ...Term) {
		p.Rules = append(p.Rules, Rule{Name: name, Terms: terms, Value: value})
	}
	of, plus := 1+r.IntN(6), r.IntN(3)
	w, h := 5+5*r.Float64(), 5+7*r.Float64()
	for size := range sizes {
		grow := 1 + 0.06*float64(size)
		at := func(mm float64) float64 { return mm * grow * (0.98 + 0.04*r.Float64()) }
		first := len(p.Counts)
		back := add("back", at(500)/w, w, of, plus)
		neck := add("neck", at(170)/w, w, 1, 0)
		shoulder := add("shoulder", at(165)/w, w, 1, 0)
		front := add("front", at(240)/w, w, 1, 0)
		lapel := add("front neck", at(75)/w, w, 1, 0)
		cuff := add("cuff", at(200)/w, w, 1+r.IntN(2), 0)
		sleeve := add("sleeve", at(400)/w, w, 1, 0)
		pairs := add("increases", at(100)/w, 2*w, 1, 0)
		armhole := add("armhole rows", at(200)/h, h, 1+r.IntN(2), 0)
		body := add("body rows", at(350)/h, h, 1+r.IntN(2), 0)
		rule("back = neck + 2 shoulders", 0, Term{back, 1}, Term{neck, -1}, Term{shoulder, -2})
		rule("front = shoulder + neck", 0, Term{front, 1}, Term{shoulder, -1}, Term{lapel, -1})
		rule("sleeve = cuff + 2 increases", 0, Term{sleeve, 1}, Term{cuff, -1}, Term{pairs, -2})
		p.Goals = append(p.Goals, Goal{Name: "sleeve meets armhole", Shares: []Share{{sleeve, w}, {armhole, -2 * h}}, Weight: 4})
		p.Goals = append(p.Goals, Goal{Name: "length", Shares: []Share{{armhole, h}, {body, h}}, Target: at(550), Weight: 2})
		if size > 0 {
			for i := first; i < len(p.Counts); i++ {
				p.Rules = append(p.Rules, Rule{Name: "order", Terms: []Term{{i - 10, 1}, {i, -1}}, AtMost: true})
			}
		}
	}
	return p
}

func TestRoundManyCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	solved := 0
	for range 200 {
		p := garments(r, 8, 60)
		value, err := p.Round()
		if err != nil {
			var clash *ClashError
			if !errors.As(err, &clash) {
				t.Fatal(err)
			}
			continue
		}
		solved++
		if !p.Holds(value) {
			t.Fatalf("%v breaks a rule", value)
		}
	}
	if solved < 100 {
		t.Errorf("only %d of 200 could be solved", solved)
	}
}

func BenchmarkRound80(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	var problems []Rounding
	for len(problems) < 50 {
		if p := garments(r, 8, 60); !p.impossible() {
			problems = append(problems, p)
		}
	}
	for b.Loop() {
		for _, p := range problems {
			if _, err := p.Round(); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(problems)), "µs/problem")
}
