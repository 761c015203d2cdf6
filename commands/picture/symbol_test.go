package picture

import (
	"math"
	"testing"

	"countwright/calc/stitch"
)

// strokesOf draws a symbol 10 units wide, upright, and returns its strokes.
func strokesOf(t *testing.T, id stitch.ID) (straight []segment, curves, discs, letters int) {
	t.Helper()
	var ink inks
	c := of(id, -1, -1)
	ink.cell(c, false, []Point{{0, 0}}, Point{0, -10 * c.tall()}, 10)
	for _, m := range append(append(ink.strokes, ink.fills...), ink.texts...) {
		switch m := m.(type) {
		case Path:
			if m.Curve {
				curves++
				continue
			}
			straight = append(straight, segment{m.Points[0], m.Points[1]})
		case Circle:
			discs++
		case Text:
			letters++
		}
	}
	return straight, curves, discs, letters
}

// Bars stand for yarn-overs, and every other part of a symbol is as the lists
// of the Craft Yarn Council and JIS L 0201 have it (from memory).
func TestSymbolParts(t *testing.T) {
	for _, tt := range []struct {
		id                              stitch.ID
		level, upright, slanted, curves int
		src                             string
	}{
		{"ch", 0, 0, 0, 1, "chain: an open oval"},
		{"sl st", 0, 0, 0, 0, "slip stitch: a solid dot"},
		{"sc", 1, 1, 0, 0, "single crochet: +"},
		{"hdc", 1, 1, 0, 0, "half double crochet: T"},
		{"dc", 1, 1, 1, 0, "double crochet: T with one bar"},
		{"tr", 1, 1, 2, 0, "treble: two bars"},
		{"dtr", 1, 1, 3, 0, "double treble: three bars"},
		{"trtr", 1, 1, 4, 0, "triple treble: four bars"},
		{"fpdc", 1, 1, 1, 1, "front post: a hook at the foot"},
		{"bpdc", 1, 1, 1, 1, "back post: a hook at the foot"},
		{"dc2tog", 1, 0, 4, 0, "joined at the top: two slanting legs with a bar each, one T"},
		{"picot", 0, 0, 0, 3, "a ring of three chains"},
		{"puff", 0, 1, 0, 2, "a closed oval with its legs"},
		{"rsc", 1, 1, 0, 1, "+ with a wave over it"},
	} {
		straight, curves, _, _ := strokesOf(t, tt.id)
		level, upright, slanted := 0, 0, 0
		for _, s := range straight {
			switch {
			case math.Abs(s.a.Y-s.b.Y) < 1e-9:
				level++
			case math.Abs(s.a.X-s.b.X) < 1e-9:
				upright++
			default:
				slanted++
			}
		}
		if level != tt.level || upright != tt.upright || slanted != tt.slanted || curves != tt.curves {
			t.Errorf("%s has %d level, %d upright, %d slanted strokes and %d curves; want %d, %d, %d, %d (%s)",
				tt.id, level, upright, slanted, curves, tt.level, tt.upright, tt.slanted, tt.curves, tt.src)
		}
	}
	if _, _, discs, _ := strokesOf(t, "sl st"); discs != 1 {
		t.Error("a slip stitch is not a dot")
	}
	if _, _, _, letters := strokesOf(t, "edc"); letters != 1 {
		t.Error("an extended stitch has no letter")
	}
}

// The hook of a front post opens to the right, that of a back post to the
// left.
func TestPostHooks(t *testing.T) {
	for id, right := range map[stitch.ID]bool{"fpdc": true, "bpdc": false, "fptr": true, "bpsc": false} {
		var ink inks
		c := of(id, -1, -1)
		ink.cell(c, false, []Point{{0, 0}}, Point{0, -c.tall()}, 1)
		for _, m := range ink.strokes {
			if p := m.(Path); p.Curve {
				if b := bounds(p.Points); (b.centre().X > 0) != right {
					t.Errorf("the hook of %s lies at %+v", id, b)
				}
			}
		}
	}
}

// A run of chains has an oval for each chain, however little room it has.
func TestGarland(t *testing.T) {
	for _, n := range []int{1, 2, 5, 12} {
		var ink inks
		ink.garland(Point{0, 0}, Point{3, 0}, n, 1)
		if len(ink.strokes) != n {
			t.Errorf("%d chains are %d ovals", n, len(ink.strokes))
		}
		for _, m := range ink.strokes {
			if b := bounds(m.(Path).Points); b.x1 < -0.5 || b.x2 > 3.5 || b.y2 > 0.6 {
				t.Errorf("of %d chains one lies at %+v", n, b)
			}
		}
	}
}

// Row numbers stand where the rows start.
func TestChartNumbers(t *testing.T) {
	d, err := plainChart(8, 4, "sc").Draw()
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range d.Marks {
		m, ok := m.(Text)
		if !ok || !m.Bold || m.Colour != Pencil {
			continue
		}
		left := m.At.X < sheetWidth/2
		if fromLeft := m.Text == "2" || m.Text == "4" || m.Text == "ch"; left != fromLeft {
			t.Errorf("the number %s stands on the left: %v", m.Text, left)
		}
	}
}

// Rounds run against the clock, one outside the other, and all stitches of a
// round lie between its circles.
func TestChartRounds(t *testing.T) {
	c := circleChart(4, 6, "sc")
	radii := c.radii(4.2, 3)
	p := polar{Point{}, 3, 4.2}
	var below []float64
	for i, r := range c.Rows {
		if radii[i+1] <= radii[i] {
			t.Errorf("round %d ends at %v within %v", i+1, radii[i+1], radii[i])
		}
		angles, _ := p.angles(r, below)
		for j := 1; j < len(angles); j++ {
			if angles[j] <= angles[j-1] {
				t.Errorf("round %d turns back at stitch %d", i+1, j+1)
			}
			if apart := (angles[j] - angles[j-1]) * radii[i+1]; apart < 0.9*4.2 {
				t.Errorf("round %d crowds: %v mm between stitches", i+1, apart)
			}
		}
		if all := angles[len(angles)-1] - angles[0]; all >= 2*math.Pi {
			t.Errorf("round %d goes around more than once", i+1)
		}
		below = angles
	}
	turned, _ := p.angles(ChartRow{FromLeft: true, Cells: c.Rows[0].Cells}, nil)
	if turned[1] >= turned[0] {
		t.Error("a turned round runs against the clock")
	}
}

func TestChartLegend(t *testing.T) {
	c := laceChart()
	seen := map[string]bool{}
	for _, e := range c.legend() {
		if seen[e.Name] {
			t.Errorf("%s stands twice", e.Name)
		}
		seen[e.Name] = true
	}
	for _, r := range c.Rows {
		for _, cell := range r.Cells {
			if !seen[cell.Name] {
				t.Errorf("%s is not explained", cell.Name)
			}
		}
	}
}
