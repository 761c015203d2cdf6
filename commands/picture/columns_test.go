package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestColumnsOf(t *testing.T) {
	nan := math.NaN()
	for _, tt := range []struct {
		src          string
		wanted, wide []float64
		want         []float64
	}{
		{"by hand: all have room", []float64{0, 1, 3}, []float64{1, 1, 1}, []float64{0, 1, 3}},
		{"by hand: two in one place stand half a stitch to both sides", []float64{2, 2}, []float64{1, 1}, []float64{1.5, 2.5}},
		{"by hand: they push a neighbour, all three share the way", []float64{0, 0, 1}, []float64{1, 1, 1}, []float64{-2. / 3, 1. / 3, 4. / 3}},
		{"by hand: a wide one needs more", []float64{0, 0}, []float64{3, 1}, []float64{-1, 1}},
		{"by hand: what is worked into nothing follows its neighbours", []float64{0, nan, 4}, []float64{1, 1, 1}, []float64{0, 2, 4}},
		{"by hand: a foundation stands side by side", []float64{nan, nan, nan}, []float64{1, 1, 1}, []float64{-1, 0, 1}},
	} {
		got := columnsOf(tt.wanted, tt.wide)
		for i := range tt.want {
			if math.Abs(got[i]-tt.want[i]) > 1e-9 {
				t.Errorf("columnsOf(%v, %v) = %v, want %v (%s)", tt.wanted, tt.wide, got, tt.want, tt.src)
				break
			}
		}
	}
}

// Stitches never crowd, and no small push of one of them or of all after it
// brings the row nearer to what is wanted.
func TestColumnsAreNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		wanted := rapid.SliceOfN(rapid.Float64Range(-5, 15), n, n).Draw(t, "wanted")
		wide := rapid.SliceOfN(rapid.Float64Range(0.5, 3), n, n).Draw(t, "wide")
		got := columnsOf(wanted, wide)
		cost := func(x []float64) (c float64, ok bool) {
			for i := range x {
				c += (x[i] - wanted[i]) * (x[i] - wanted[i])
				if i > 0 && x[i]-x[i-1] < (wide[i]+wide[i-1])/2-1e-9 {
					return c, false
				}
			}
			return c, true
		}
		best, ok := cost(got)
		if !ok {
			t.Fatalf("%v crowd at %v", wide, got)
		}
		for i := range n {
			for j := i + 1; j <= n; j++ {
				for _, push := range []float64{-1e-3, 1e-3} {
					x := append([]float64{}, got...)
					for k := i; k < j; k++ {
						x[k] += push
					}
					if c, ok := cost(x); ok && c < best-1e-9 {
						t.Fatalf("pushing %d to %d by %v is nearer: %v after %v", i, j, push, c, best)
					}
				}
			}
		}
	})
}
