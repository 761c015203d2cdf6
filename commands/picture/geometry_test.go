package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func somePoint(t *rapid.T, name string) Point {
	return Point{rapid.Float64Range(-10, 10).Draw(t, name+" x"), rapid.Float64Range(-10, 10).Draw(t, name+" y")}
}

// A segment crosses a box exactly when one of many points on it lies within;
// grazes apart.
func TestCrosses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := segment{somePoint(t, "a"), somePoint(t, "b")}
		b := boxAt(somePoint(t, "c"), rapid.Float64Range(0.5, 8).Draw(t, "w"), rapid.Float64Range(0.5, 8).Draw(t, "h"))
		within := func(b box) bool {
			for i := range 2001 {
				f := float64(i) / 2000
				if b.contains(Point{s.a.X + f*(s.b.X-s.a.X), s.a.Y + f*(s.b.Y-s.a.Y)}) {
					return true
				}
			}
			return false
		}
		if within(b) && !s.crosses(b) {
			t.Fatalf("%+v has a point in %+v", s, b)
		}
		if s.crosses(b) && !within(b.grow(0.02)) {
			t.Fatalf("%+v has no point in %+v", s, b)
		}
	})
}

func TestMeets(t *testing.T) {
	for _, tt := range []struct {
		src  string
		a, b segment
		want bool
	}{
		{"by hand: a cross", segment{Point{-1, 0}, Point{1, 0}}, segment{Point{0, -1}, Point{0, 1}}, true},
		{"by hand: side by side", segment{Point{-1, 0}, Point{1, 0}}, segment{Point{-1, 1}, Point{1, 1}}, false},
		{"by hand: touching at an end", segment{Point{-1, 0}, Point{1, 0}}, segment{Point{1, 0}, Point{1, 1}}, false},
		{"by hand: beside the end", segment{Point{-1, 0}, Point{1, 0}}, segment{Point{2, -1}, Point{2, 1}}, false},
	} {
		if got := tt.a.meets(tt.b); got != tt.want {
			t.Errorf("%+v meets %+v: %v (%s)", tt.a, tt.b, got, tt.src)
		}
	}
}

func TestInside(t *testing.T) {
	l := []Point{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}
	for p, want := range map[Point]bool{{2, 2}: true, {8, 2}: true, {2, 8}: true, {8, 8}: false, {-1, 2}: false, {5, 5}: false} {
		if got := inside(l, p); got != want {
			t.Errorf("%+v inside: %v, want %v", p, got, want)
		}
	}
	for b, want := range map[box]bool{{1, 1, 3, 9}: true, {1, 1, 9, 3}: true, {1, 1, 9, 9}: false, {6, 6, 8, 8}: false, {3, 3, 5, 5}: false} {
		if got := holds(l, b); got != want {
			t.Errorf("%+v held: %v, want %v", b, got, want)
		}
	}
}

// Hatching fills a shape: its lines lie in it, and their lengths times their
// distance are its area.
func TestHatch(t *testing.T) {
	for name, shape := range map[string][]Point{"rectangle": rectangle(40, 10), "disc": disc(30), "L": {{0, 0}, {20, 0}, {20, 8}, {8, 8}, {8, 20}, {0, 20}}} {
		for _, upright := range []bool{true, false} {
			lines := hatch(shape, upright, 0.5)
			b := bounds(shape)
			extent := b.height()
			if upright {
				extent = b.width()
			}
			apart, sum := extent/math.Floor(extent/0.5), 0.0
			for _, l := range lines {
				sum += math.Hypot(l.b.X-l.a.X, l.b.Y-l.a.Y) * apart
				if mid := (Point{(l.a.X + l.b.X) / 2, (l.a.Y + l.b.Y) / 2}); !inside(shape, mid) {
					t.Errorf("%s: %+v lies outside", name, l)
				}
			}
			area := 0.0
			for _, e := range edges(shape) {
				area += (e.a.X*e.b.Y - e.b.X*e.a.Y) / 2
			}
			if math.Abs(sum-math.Abs(area)) > 0.01*math.Abs(area) {
				t.Errorf("%s, upright %v: hatched %v of %v", name, upright, sum, area)
			}
		}
	}
}

func TestWrapText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("ab m½袖W. "))).Draw(t, "text")
		width := rapid.Float64Range(6, 60).Draw(t, "width")
		joined := ""
		for _, l := range wrapText(text, textSize, true, width) {
			if w := TextWidth(l, textSize, true); w > width && len([]rune(l)) > 1 {
				t.Fatalf("%q is %v wide, not %v", l, w, width)
			}
			joined += l
		}
		strip := func(s string) (out string) {
			for _, r := range s {
				if r != ' ' {
					out += string(r)
				}
			}
			return out
		}
		if strip(joined) != strip(text) {
			t.Fatalf("%q became %q", text, joined)
		}
	})
}
