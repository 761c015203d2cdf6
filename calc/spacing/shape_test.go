package spacing

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// placements calls f with each choice of k places from 1 to n, in order.
func placements(n, k int, f func(places []int)) {
	places := make([]int, 0, k)
	for set := range uint(1) << n {
		if bits.OnesCount(set) != k {
			continue
		}
		places = places[:0]
		for at := range n {
			if set>>at&1 == 1 {
				places = append(places, at+1)
			}
		}
		f(places)
	}
}

// chords is the sum of the straight distances between all places on a circle
// of n. Maximally even sets, and their rotations, are exactly those where it
// is largest.
// Source: Block & Douthett, "Vector products and intervallic weighting",
// J. Music Theory 38, 1994, 21-41 (from memory).
func chords(n int, places []int) float64 {
	sum := 0.
	for i, a := range places {
		for _, b := range places[:i] {
			sum += math.Sin(math.Pi * float64(a-b) / float64(n))
		}
	}
	return sum
}

// astray is the sum of the distances of places from their ideal ones in a flat
// row, (j - ½)·n/k + ½, times 2k, so that it is whole.
func astray(n int, places []int) int {
	k, sum := len(places), 0
	for j, at := range places {
		d := 2*k*at - (2*j+1)*n - k
		sum += max(d, -d)
	}
	return sum
}

// uneven is how far the gaps between neighbours differ at most.
func uneven(places []int) int {
	if len(places) < 3 {
		return 0
	}
	low, high := math.MaxInt, 0
	for i := range places[1:] {
		gap := places[i+1] - places[i]
		low, high = min(low, gap), max(high, gap)
	}
	return high - low
}

func mirrored(n int, places []int) bool {
	for i, at := range places {
		if at+places[len(places)-1-i] != n+1 {
			return false
		}
	}
	return true
}

// TestNoRoundIsMoreEven tries every placement in rounds of up to 18 stitches.
func TestNoRoundIsMoreEven(t *testing.T) {
	for n := 1; n <= 18; n++ {
		for k := 1; k <= n; k++ {
			p, err := Shape(n, k, Round, Increase)
			if err != nil {
				t.Fatal(err)
			}
			ours := chords(n, p.Positions)
			placements(n, k, func(places []int) {
				if chords(n, places) > ours+1e-9 {
					t.Fatalf("%d in %d: %v is more even than %v", k, n, places, p.Positions)
				}
			})
		}
	}
}

// TestNoRowIsMoreEven tries every placement in rows of up to 18 stitches: none
// lies nearer to the ideal places, gaps differ by at most one, and where any
// placement as even as ours is a mirror image, ours is.
func TestNoRowIsMoreEven(t *testing.T) {
	for n := 1; n <= 18; n++ {
		for k := 1; k <= n; k++ {
			p, err := Shape(n, k, Row, Increase)
			if err != nil {
				t.Fatal(err)
			}
			ours := astray(n, p.Positions)
			if uneven(p.Positions) > 1 {
				t.Errorf("%d in %d: gaps of %v differ by more than one", k, n, p.Positions)
			}
			mirrors := false
			placements(n, k, func(places []int) {
				if astray(n, places) < ours {
					t.Fatalf("%d in %d: %v is nearer the ideal than %v", k, n, places, p.Positions)
				}
				mirrors = mirrors || mirrored(n, places)
			})
			if mirrors != p.Mirrored() || mirrors != mirrored(n, p.Positions) {
				t.Errorf("%d in %d: %v, a mirror image exists: %v", k, n, p.Positions, mirrors)
			}
		}
	}
}

// TestNoDecreasesAreMoreEven tries every placement of pairs that do not
// overlap: none lies nearer to (j - ½)·n/k, where the middles of the pairs
// should be.
func TestNoDecreasesAreMoreEven(t *testing.T) {
	distance := func(n int, firsts []int) int { // times 2k
		k, sum := len(firsts), 0
		for j, at := range firsts { // the middle of stitches at, at+1 is the place at
			d := 2*k*at - (2*j+1)*n
			sum += max(d, -d)
		}
		return sum
	}
	for n := 2; n <= 18; n++ {
		for k := 1; k <= n/2; k++ {
			p, err := Shape(n, k, Row, Decrease)
			if err != nil {
				t.Fatal(err)
			}
			ours, mirrors := distance(n, p.Positions), false
			placements(n-1, k, func(firsts []int) {
				for i := range firsts[1:] {
					if firsts[i+1]-firsts[i] < 2 {
						return
					}
				}
				if distance(n, firsts) < ours {
					t.Fatalf("%d decreases in %d: %v is nearer the ideal than %v", k, n, firsts, p.Positions)
				}
				mirrors = mirrors || mirrored(n-1, firsts)
			})
			if mirrors != p.Mirrored() {
				t.Errorf("%d decreases in %d: %v, a mirror image exists: %v", k, n, p.Positions, mirrors)
			}
		}
	}
}

// TestEuclideanRhythms compares rounds with the published rhythms, up to
// rotation, for a round has no first stitch.
func TestEuclideanRhythms(t *testing.T) {
	const src = "Toussaint, The Euclidean algorithm generates traditional musical rhythms, Proc. BRIDGES 2005, 47-56"
	for _, word := range strings.Fields(`
		x.x x.x.. x.xx x.x.x x.x.x.. x..x..x. x.x.x.x x.x.x.x.. x..x..x..x.
		x.xxxx x.xx.xx x.xx.xx. x.x.x.x.x x.x.x.x.x.. x..x.x..x.x. x..x.x..x.x..
		x..x..x..x..x... x.xxxxxx x.xx.x.xx.x. x..x.x.x..x.x.x. x.xx.x.x.xx.x.x.
		x..x.x.x.x.x..x.x.x.x.x. x.xx.x.x.x.x.xx.x.x.x.x.`) {
		n, k := len(word), strings.Count(word, "x")
		p, err := Shape(n, k, Round, Increase)
		if err != nil {
			t.Fatal(err)
		}
		ours := []byte(strings.Repeat(".", n))
		for _, at := range p.Positions {
			ours[at-1] = 'x'
		}
		if !strings.Contains(word+word, string(ours)) {
			t.Errorf("E(%d,%d): %s is no rotation of %s (%s)", k, n, ours, word, src)
		}
	}
}

// TestJFunction compares rounds with the published J function: ours starts in
// the middle of a gap, which is J with m = ⌊n/2⌋.
func TestJFunction(t *testing.T) {
	const src = "Clough & Douthett, Maximally even sets, J. Music Theory 35, 1991, 93-173"
	for n := 1; n <= 60; n++ {
		for k := 1; k <= n; k++ {
			p, _ := Shape(n, k, Round, Increase)
			for i, at := range p.Positions {
				if j := (n*i + n/2) / k; at != j+1 {
					t.Fatalf("%d in %d: place %d is %d, J says %d (%s)", k, n, i, at, j+1, src)
				}
			}
		}
	}
}

func TestShape(t *testing.T) {
	for _, c := range []struct {
		stitches, events int
		kind             Kind
		change           Change
		result           int
		positions        []int
		src              string
	}{
		{8, 8, Round, Increase, 16, []int{1, 2, 3, 4, 5, 6, 7, 8}, "Handbook 1918, button cover: 2 in each of 8 makes 16"},
		{16, 8, Round, Increase, 24, []int{2, 4, 6, 8, 10, 12, 14, 16}, "Handbook 1918, button cover: (2, 1) around makes 24"},
		{7, 7, Round, Increase, 14, []int{1, 2, 3, 4, 5, 6, 7}, "Handbook 1918, a crown: starts 7, then 14"},
		{14, 7, Round, Increase, 21, []int{2, 4, 6, 8, 10, 12, 14}, "Handbook 1918, a crown: 14, then 21"},
		{21, 7, Round, Increase, 28, []int{2, 5, 8, 11, 14, 17, 20}, "Handbook 1918, a crown: 21, then 28"},
		{28, 7, Round, Increase, 35, []int{3, 7, 11, 15, 19, 23, 27}, "Handbook 1918, a crown: 28, then 35"},
		{6, 6, Round, Increase, 12, []int{1, 2, 3, 4, 5, 6}, "tradition: a disc of 6, 12, 18"},
		{12, 6, Round, Increase, 18, []int{2, 4, 6, 8, 10, 12}, "tradition: a disc of 6, 12, 18"},
		{18, 6, Round, Decrease, 12, []int{2, 5, 8, 11, 14, 17}, "by hand: 1 plain, a pair, six times makes 12"},
		{12, 6, Row, Decrease, 6, []int{1, 3, 5, 7, 9, 11}, "by hand: pairs throughout"},
		{9, 2, Row, Increase, 11, []int{3, 7}, "by hand: ideal places 2.75 and 7.25"},
		{10, 2, Row, Decrease, 8, []int{3, 7}, "by hand: 2, pair, 2, pair, 2"},
		{5, 12, Row, Increase, 17, []int{1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5, 5}, "by hand: two each, one more in the 2nd and 4th"},
		{3, 9, Round, Increase, 12, []int{1, 1, 1, 2, 2, 2, 3, 3, 3}, "by hand: four into each"},
		{1, 0, Row, Increase, 1, []int{}, "by hand: nothing to do"},
		{200, 0, Row, Decrease, 200, []int{}, "by hand: nothing to do"},
	} {
		p, err := Shape(c.stitches, c.events, c.kind, c.change)
		if err != nil || p.Result != c.result || !slices.Equal(p.Positions, c.positions) {
			t.Errorf("Shape(%d, %d) = %d %v, %v; want %d %v (%s)",
				c.stitches, c.events, p.Result, p.Positions, err, c.result, c.positions, c.src)
		}
	}
}

func TestShapeLimits(t *testing.T) {
	for _, c := range []struct {
		stitches, events int
		change           Change
		want             string
	}{
		{0, 1, Increase, "0 stitches: allowed are 1 to 1000000"},
		{-3, 1, Increase, "-3 stitches: allowed are 1 to 1000000"},
		{1_000_001, 1, Increase, "1000001 stitches: allowed are 1 to 1000000"},
		{10, -1, Increase, "-1 increases: allowed are 0 to 1000000"},
		{10, 6, Decrease, "6 decreases: allowed are 0 to 5, for each takes two stitches"},
		{1, 1, Decrease, "1 decreases: only 0 is possible, for each takes two stitches"},
		{math.MinInt, math.MaxInt, Decrease, fmt.Sprintf("%d stitches: allowed are 1 to 1000000", math.MinInt)},
	} {
		_, err := Shape(c.stitches, c.events, Row, c.change)
		var limit *LimitError
		if !errors.As(err, &limit) || err.Error() != c.want {
			t.Errorf("Shape(%d, %d): %v, want %s", c.stitches, c.events, err, c.want)
		}
	}
}

// TestShapeLarge holds the laws for rows and rounds of any length.
func TestShapeLarge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20_000).Draw(t, "stitches")
		kind := rapid.SampledFrom([]Kind{Row, Round}).Draw(t, "kind")
		change := rapid.SampledFrom([]Change{Increase, Decrease}).Draw(t, "change")
		most := 3 * n
		if change == Decrease {
			most = n / 2
		}
		k := rapid.IntRange(0, most).Draw(t, "events")
		p, err := Shape(n, k, kind, change)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Positions) != k || !slices.IsSorted(p.Positions) {
			t.Fatalf("%d positions for %d events", len(p.Positions), k)
		}
		last := n
		if change == Decrease {
			last = n - 1
		}
		if k > 0 && (p.Positions[0] < 1 || p.Positions[k-1] > last) {
			t.Fatalf("positions from %d to %d of %d", p.Positions[0], p.Positions[k-1], n)
		}
		checkSpread(t, p)
		checkSteps(t, p)
	})
}

func checkSpread(t *rapid.T, p Plan) {
	if p.Events <= p.Stitches {
		if uneven(p.Positions) > 1 {
			t.Fatalf("gaps of %v differ by more than one", p.Positions)
		}
		if p.Kind == Round && p.Events > 1 {
			around := append(slices.Clone(p.Positions), p.Positions[0]+p.Stitches)
			if uneven(around) > 1 {
				t.Fatalf("gaps around %v differ by more than one", around)
			}
		}
		if p.Kind == Row && p.Events > 0 {
			units := p.Stitches
			if p.Change == Decrease {
				units = p.Result
			}
			if possible := p.Events%2 == 0 || units%2 == 1; p.Mirrored() != possible {
				t.Fatalf("mirrored is %v", p.Mirrored())
			}
		}
		return
	}
	share := make(map[int]int)
	for _, at := range p.Positions {
		share[at]++
	}
	for at := 1; at <= p.Stitches; at++ {
		if n := share[at]; n < p.Events/p.Stitches || n > p.Events/p.Stitches+1 {
			t.Fatalf("stitch %d takes %d of %d increases", at, n, p.Events)
		}
	}
}

// checkSteps works the steps and the repeats stitch by stitch.
func checkSteps(t *rapid.T, p Plan) {
	work := func(steps []Step) (used, made int, places []int) {
		for _, s := range steps {
			used, made = used+s.Plain, made+s.Plain
			if s.Into > 0 {
				used, made = used+1, made+s.Into
				for range s.Into - 1 {
					places = append(places, used)
				}
			}
			if s.Pairs > 0 {
				places = append(places, used+1)
				used, made = used+2*s.Pairs, made+s.Pairs
			}
		}
		return used, made, places
	}
	var drawn []Step
	for _, r := range p.Repeats() {
		for range r.Times {
			drawn = append(drawn, r.Once...)
		}
	}
	for _, steps := range [][]Step{p.Steps(), drawn} {
		used, made, places := work(steps)
		if used != p.Stitches || made != p.Result || !slices.Equal(places, p.Positions) {
			t.Fatalf("worked %d into %d, want %d into %d", used, made, p.Stitches, p.Result)
		}
	}
}

func TestMillion(t *testing.T) {
	for _, change := range []Change{Increase, Decrease} {
		p, err := Shape(Most, Most/2-1, Round, change)
		if err != nil || len(p.Positions) != Most/2-1 || uneven(p.Positions) > 1 {
			t.Errorf("half a million in a million: %d places, %v", len(p.Positions), err)
		}
	}
	allocated := testing.AllocsPerRun(5, func() { Shape(Most, 14, Row, Increase) })
	if allocated > 2 {
		t.Errorf("14 places in a million stitches take %v allocations", allocated)
	}
}

func BenchmarkShape(b *testing.B) {
	for b.Loop() {
		Shape(87, 14, Row, Increase)
	}
}

func BenchmarkShapeWritten(b *testing.B) {
	for b.Loop() {
		p, _ := Shape(5000, 618, Row, Decrease)
		p.Repeats()
	}
}

func BenchmarkShapeMillion(b *testing.B) {
	for b.Loop() {
		Shape(Most, Most/3, Round, Increase)
	}
}
