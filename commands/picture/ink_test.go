package picture

import (
	"math"
	"testing"
)

// luminance is the relative luminance of a colour.
// Source: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance".
func luminance(c Colour) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func contrast(a, b Colour) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text needs 4.5 : 1 (the same guidelines, criterion 1.4.3), lines 3 : 1 where
// they carry meaning (1.4.11).
func TestContrast(t *testing.T) {
	if got := contrast(Colour{A: 255}, Colour{255, 255, 255, 255}); math.Abs(got-21) > 0.01 {
		t.Fatalf("black on white is %v : 1, want 21", got)
	}
	for ground, g := range map[string]Colour{"paper": Paper, "cloth": Cloth, "ribbing": Cloth2, "an increase": tint(Blue), "a decrease": tint(Rust)} {
		for name, c := range map[string]Colour{"ink": Ink, "pencil": Pencil} {
			if name == "pencil" && (ground == "an increase" || ground == "a decrease") {
				continue // side remarks never stand there
			}
			if got := contrast(c, g); got < 4.5 {
				t.Errorf("%s on %s has a contrast of %.2f : 1", name, ground, got)
			}
		}
	}
	for name, c := range map[string]Colour{"blue": Blue, "rust": Rust, "plum": Plum} {
		for ground, g := range map[string]Colour{"paper": Paper, "cloth": Cloth} {
			if got := contrast(c, g); got < 4.5 {
				t.Errorf("%s on %s has a contrast of %.2f : 1", name, ground, got)
			}
		}
		if got := contrast(tint(c), Cloth); got < 1.15 {
			t.Errorf("a tint of %s can't be told from cloth: %.2f : 1", name, got)
		}
	}
}
