package picture

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/stitch"
)

var charts = map[string]Chart{
	"plain": plainChart(12, 6, "dc"), "lace": laceChart(), "shaped": shapedChart(9), "circle": circleChart(5, 6, "sc"),
	"circle-dc": circleChart(4, 12, "dc"), "granny": granny(3), "large": plainChart(40, 40, "sc"),
}

func TestCharts(t *testing.T) {
	for name, c := range charts {
		t.Run(name, func(t *testing.T) {
			d, err := c.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, "chart-"+name, d)
			if name != "large" {
				golden(t, "chart-"+name+".svg", SVG(d))
			}
		})
	}
}

func BenchmarkChart(b *testing.B) {
	c := plainChart(40, 40, "dc")
	for b.Loop() {
		d, err := c.Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Each stitch of a plain chart stands straight over the one it is worked into.
func TestChartColumns(t *testing.T) {
	xs := plainChart(10, 4, "sc").columns()
	for i := 2; i < len(xs); i++ {
		if len(xs[i]) != 11 {
			t.Fatalf("row %d has %d cells", i, len(xs[i]))
		}
		for j := 1; j < len(xs[i]); j++ {
			if off := xs[i][j] - xs[i-1][11-j]; math.Abs(off) > 1e-6 {
				t.Errorf("row %d, stitch %d stands %v beside its foot", i, j, off)
			}
		}
	}
}

func TestChartRefuses(t *testing.T) {
	sc := of("sc", -1, -1)
	tall := sc
	tall.Height = math.Inf(1)
	endless := chains(10_000, false)
	for what, c := range map[string]Chart{
		"no rows":          {},
		"an empty row":     {Rows: []ChartRow{{}}},
		"too many rows":    {Rows: make([]ChartRow, 81)},
		"too wide a row":   {Rows: []ChartRow{{Cells: make([]Cell, 121)}}},
		"no row below":     {Rows: []ChartRow{{Cells: []Cell{of("sc", 0, 0)}}}},
		"a stitch beyond":  {Rows: []ChartRow{{Cells: []Cell{sc}}, {Cells: []Cell{of("sc", 1, 1)}}}},
		"feet that cross":  {Rows: []ChartRow{{Cells: []Cell{sc, sc}}, {Cells: []Cell{of("sc", 1, 0)}}}},
		"an endless tower": {Rows: []ChartRow{{Cells: []Cell{tall}}}},
		"an endless chain": {Rows: []ChartRow{{Cells: []Cell{endless}}}},
	} {
		if _, err := c.Draw(); err == nil {
			t.Errorf("a chart with %s was drawn", what)
		}
	}
}

// Every stitch of the dictionary has a symbol that stays near its place, and
// the charts' figures do not collide.
func TestSymbolsStayInPlace(t *testing.T) {
	for _, s := range stitch.All() {
		var ink inks
		ink.cell(of(s.ID, -1, -1), false, []Point{{0, 0}}, Point{0, -of(s.ID, -1, -1).tall()}, 1)
		marks := slices.Concat(ink.strokes, ink.fills, ink.texts)
		if len(marks) == 0 {
			t.Errorf("%s is drawn as nothing", s.ID)
		}
		half := max(1, 0.3*float64(s.Symbol.Legs+s.Symbol.Chains))
		for _, m := range marks {
			p, ok := m.(Path)
			if !ok {
				continue
			}
			if b := bounds(p.Points); b.x1 < -half || b.x2 > half || b.y1 < -of(s.ID, -1, -1).tall()-0.6 || b.y2 > 0.6 || math.IsNaN(b.x1+b.y1) {
				t.Errorf("%s runs out of its place: %+v", s.ID, b)
			}
		}
	}
}

// Random charts: whatever is worked into whatever, drawing succeeds and stays
// on its sheet.
func TestAnyChart(t *testing.T) {
	ids := []stitch.ID{"sc", "dc", "tr", "shell", "dc2tog", "bobble", "puff", "fpdc", "v-st", "picot", "sl st", "rsc", "crossed dc"}
	rapid.Check(t, func(t *rapid.T) {
		c := Chart{Title: "Any", Round: rapid.Bool().Draw(t, "round")}
		below := 0
		for range rapid.IntRange(1, 6).Draw(t, "rows") {
			r := ChartRow{FromLeft: rapid.Bool().Draw(t, "left")}
			for range rapid.IntRange(1, 12).Draw(t, "cells") {
				cell := of(rapid.SampledFrom(ids).Draw(t, "id"), -1, -1)
				if rapid.IntRange(0, 4).Draw(t, "chain") == 0 {
					cell = chains(rapid.IntRange(1, 9).Draw(t, "chains"), rapid.Bool().Draw(t, "turning"))
				} else if below > 0 {
					cell.From = rapid.IntRange(0, below-1).Draw(t, "from")
					cell.To = min(below-1, cell.From+rapid.IntRange(0, 2).Draw(t, "more"))
				}
				r.Cells = append(r.Cells, cell)
			}
			below = len(r.Cells)
			c.Rows = append(c.Rows, r)
		}
		d, err := c.Draw()
		if err != nil {
			t.Fatal(err)
		}
		sheet := box{0, 0, d.Width, d.Height}
		for _, m := range d.Marks {
			if p, ok := m.(Path); ok {
				if b := bounds(p.Points); !sheet.contains(b.centre()) {
					t.Fatalf("%+v lies out of the sheet %+v", b, sheet)
				}
			}
		}
	})
}
