package picture

import (
	"math"
	"testing"
)

// The advances of DejaVu Sans in units of 2048 an em, as its hmtx table has
// them.
func TestTextWidth(t *testing.T) {
	for _, tt := range []struct {
		text string
		bold bool
		want float64
	}{
		{"", false, 0},
		{"0", false, 1303.0 / 2048},
		{"i", false, 569.0 / 2048},
		{"W", false, 2025.0 / 2048},
		{"00", false, 2 * 1303.0 / 2048},
		{"0", true, 1425.0 / 2048},
	} {
		if got := TextWidth(tt.text, 1, tt.bold); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%q (bold %v) is %v wide, want %v", tt.text, tt.bold, got, tt.want)
		}
	}
	if a, b := TextWidth("Рукав", 2, false), TextWidth("Рукав", 4, false); a <= 0 || math.Abs(2*a-b) > 1e-9 {
		t.Errorf("twice the size gives %v after %v", b, a)
	}
}

// Every sign that the drawings use is in the font: a missing one is drawn as
// an empty box.
func TestFontHasOurSigns(t *testing.T) {
	for _, isBold := range []bool{false, true} {
		for _, r := range "×·–—½¼¾⅓⅔±→←↑↓▲▼○●″′°≈≤≥…ÄÖÜäöüßéèêñçøåæœŁłРукавΠεριφέρεια" {
			if i, err := faceOf(isBold).font.GlyphIndex(nil, r); err != nil || i == 0 {
				t.Errorf("no %q in the font (bold %v)", r, isBold)
			}
		}
	}
}

func TestTextLeft(t *testing.T) {
	w := TextWidth("abc", 3, true)
	for anchor, want := range map[Anchor]float64{Start: 0, Middle: -w / 2, End: -w} {
		if got := (Text{Text: "abc", Size: 3, Bold: true, Anchor: anchor}).Left(); math.Abs(got-want) > 1e-9 {
			t.Errorf("anchor %d begins at %v, want %v", anchor, got, want)
		}
	}
}
