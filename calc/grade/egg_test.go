package grade

import (
	"math"
	"testing"
)

// TestEggIsAsWideAsItsProfile works out each round's circumference by walking
// the profile in the plane in tiny steps, and compares it with the stitches.
func TestEggIsAsWideAsItsProfile(t *testing.T) {
	for _, c := range []struct{ rounds, w, h float64 }{{20, 6, 6}, {35, 5, 5.5}, {60, 3.7, 4.5}} {
		s := &slot{w: c.w, h: c.h}
		counts := s.egg(int(c.rounds))
		// The radius for which the whole way is (rounds + 1) rows: by halving.
		low, high := 0.0, 1e4
		for range 60 {
			if r := (low + high) / 2; walk(r, math.Inf(1), nil) < (c.rounds+1)*c.h {
				low = r
			} else {
				high = r
			}
		}
		for i, n := range counts {
			var wide float64
			walk(low, float64(i+1)*c.h, &wide)
			if off := math.Abs(2*math.Pi*wide/c.w - float64(n)); off > 1 && i > 0 && i < len(counts)-1 {
				t.Errorf("%v: round %d has %d stitches, the profile asks for %.1f", c, i+1, n, 2*math.Pi*wide/c.w)
			}
		}
		widest := 0
		for i, n := range counts {
			if n > counts[widest] {
				widest = i
			}
		}
		if share := float64(widest+1) / c.rounds; share < 0.38 || share > 0.5 {
			t.Errorf("%v: the widest round is %d of %v: an egg is blunt where it begins", c, widest+1, c.rounds)
		}
	}
}

// walk goes from the blunt pole over the surface of an egg of a radius, in
// steps of a thousandth of it, and returns how far it came; it stops after far,
// where wide becomes the distance from the axis.
func walk(radius, far float64, wide *float64) float64 {
	gone, x, r := 0.0, -radius, 0.0
	for x < blunt*radius {
		next := x + radius/2000
		var to float64
		if next <= 0 {
			to = math.Sqrt(math.Max(0, radius*radius-next*next))
		} else {
			to = radius * math.Sqrt(math.Max(0, 1-next*next/(blunt*radius*blunt*radius)))
		}
		step := math.Hypot(next-x, to-r)
		if gone+step >= far {
			*wide = r + (to-r)*(far-gone)/step
			return far
		}
		gone, x, r = gone+step, next, to
	}
	return gone
}
