package yarn

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/sizing"

	"pgregory.net/rapid"
)

func bodyOf(t testing.TB, table, size string) sizing.Body {
	t.Helper()
	found, err := sizing.Named(table)
	if err != nil {
		t.Fatal(err)
	}
	c, err := found.Of(size, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c.Body
}

func piece(t testing.TB, name string) Piece {
	t.Helper()
	p, err := PieceNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPieceAreas(t *testing.T) {
	for _, c := range []struct {
		name string
		want float64 // square centimetres
		src  string
	}{
		{"scarf", 20 * 170, "by hand"},
		{"shawl", 180 * 80 / 2, "by hand: half the rectangle"},
		{"ball", math.Pi * 100, "by hand: π d², d = 10 cm"},
		{"throw", 130 * 150, "sizing's own throw"},
		{"throw blanket", 130 * 150, "the same by its whole name"},
		{"baby blanket", 75 * 90, "sizing's own pram blanket, by a by-name"},
		{"crib blanket", 90 * 130, "sizing's own cot blanket, by a by-name"},
		{"blanket", 130 * 150, "a throw"},
		{"bag", 2 * 38 * 40, "by hand: two sides"},
	} {
		panels, err := piece(t, c.name).Panels(nil, 0)
		if got := AreaOf(panels) / 100; err != nil || math.Abs(got-c.want) > 1e-6*c.want {
			t.Errorf("%s: %v cm², %v; want %v (%s)", c.name, got, err, c.want, c.src)
		}
	}
}

// TestHat: for a head of 56 cm, worked by hand: around 52.64, across 16.756;
// crown π/4 × 16.756² = 220.5; side 52.64 × (21.28 − 8.378) = 679.2; brim 210.6.
func TestHat(t *testing.T) {
	b := bodyOf(t, "man", "M")
	b[sizing.Head] = 56 * cm
	panels, err := piece(t, "beanie").Panels(b, 0)
	if got := AreaOf(panels) / 100; err != nil || math.Abs(got-1110.3) > 1 {
		t.Errorf("%v cm², %v", got, err)
	}
}

// TestPulloverTakesWhatPulloversTake: a woman's M in DK, worked in single
// crochet, takes a length within what makers report (common practice, no
// source: 1000 to 2000 m), a baby's a sixth to a third of it.
func TestPulloverTakesWhatPulloversTake(t *testing.T) {
	use, err := FromGauge(gauge.Gauge{Stitches: 15, Rows: 17}, 1, Ball{})
	if err != nil {
		t.Fatal(err)
	}
	metres := func(table, size string, ease measure.Length) float64 {
		panels, err := piece(t, "pullover").Panels(bodyOf(t, table, size), ease)
		if err != nil {
			t.Fatal(err)
		}
		return use.Metres * AreaOf(panels) / 1e6
	}
	adult, baby := metres("woman", "M", 8*cm), metres("baby", "6 months", 4*cm)
	if adult < 1000 || adult > 2000 || baby < adult/6 || baby > adult/3 {
		t.Errorf("woman M %v m, baby %v m", adult, baby)
	}
}

// TestLargerTakesMore: no size of a table takes less than the one before, and
// more ease never takes less.
func TestLargerTakesMore(t *testing.T) {
	for _, p := range Pieces() {
		if !p.Body {
			continue
		}
		for _, name := range []string{"baby", "child", "woman", "man"} {
			table, err := sizing.Named(name)
			if err != nil {
				t.Fatal(err)
			}
			last := 0.
			for _, s := range table.Sizes {
				panels, err := p.Panels(bodyOf(t, name, s.Name), 5*cm)
				if area := AreaOf(panels); err != nil || area < last*0.995 {
					t.Errorf("%s for %s %s: %v mm² after %v, %v", p.Name, name, s.Name, area, last, err)
				} else {
					last = area
				}
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		table, _ := sizing.Named("woman")
		c, err := table.Complete(sizing.Body{sizing.Chest: measure.FromMM(rapid.Float64Range(700, 1600).Draw(t, "chest"))})
		if err != nil {
			t.Fatal(err)
		}
		b := c.Body
		ease := measure.FromMM(rapid.Float64Range(-50, 300).Draw(t, "ease"))
		less, _ := pieceOf("pullover").Panels(b, ease)
		more, _ := pieceOf("pullover").Panels(b, ease+cm)
		if AreaOf(more) < AreaOf(less) {
			t.Fatalf("%v of ease: %v, a centimetre more: %v", ease, AreaOf(less), AreaOf(more))
		}
		for _, panel := range less {
			if !(panel.Area() > 0) {
				t.Fatalf("%+v", panel)
			}
		}
	})
}

func pieceOf(name string) Piece { p, _ := PieceNamed(name); return p }

// TestAHatNeedsAHeadOnly: other measures may be missing.
func TestAHatNeedsAHeadOnly(t *testing.T) {
	if panels, err := piece(t, "hat").Panels(sizing.Body{sizing.Head: 40 * cm}, 0); err != nil || AreaOf(panels) <= 0 {
		t.Errorf("%v, %v", panels, err)
	}
}

func TestPieceMistakes(t *testing.T) {
	var name *PieceNameError
	if _, err := PieceNamed("spaceship"); !errors.As(err, &name) || !strings.Contains(err.Error(), "pullover, cardigan, vest, hat") {
		t.Error(err)
	}
	var lacks *PieceError
	if _, err := piece(t, "pullover").Panels(sizing.Body{sizing.Chest: 90 * cm}, 0); !errors.As(err, &lacks) || lacks.Measure != sizing.BackLength {
		t.Error(err)
	}
	b := bodyOf(t, "woman", "M")
	b[sizing.Chest] = 9 * measure.Metre
	if _, err := piece(t, "pullover").Panels(b, 0); err == nil {
		t.Error("a chest of 9 m")
	}
	for old, want := range map[string]string{
		`shape = "triangle"`: `entry "shawl": no shape is called "kite"`,
		`width = 20`:         `entry "scarf": width and length are needed`,
		`count = 2`:          `piece.toml: a key that no entry has`,
	} {
		changed := map[string]string{`shape = "triangle"`: `shape = "kite"`, `width = 20`: `width = 0`, `count = 2`: `pairs = 2`}[old]
		if _, err := readPieces([]byte(strings.Replace(string(pieceFile), old, changed, 1))); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", changed, err)
		}
	}
	seen := map[string]bool{}
	for _, p := range Pieces() {
		for _, n := range append([]string{p.Name}, p.Also...) {
			if seen[plain(n)] {
				t.Errorf("%q names two pieces", n)
			}
			seen[plain(n)] = true
		}
	}
}

func ExamplePiece_Panels() {
	shawl, _ := PieceNamed("shawl")
	panels, _ := shawl.Panels(nil, 0)
	fmt.Printf("%.2f m²\n", AreaOf(panels)/1e6)
	// Output: 0.72 m²
}

func ExamplePieceNamed() {
	p, _ := PieceNamed("jumper")
	fmt.Println(p.Name, p.Body)
	// Output: pullover true
}
