package picture

import (
	"math"
	"testing"

	"countwright/calc/stitch"
)

// compare makes a comparison of stitches of the dictionary, the first of them
// asked for.
func compare(title string, single float64, ids ...stitch.ID) Heights {
	h := Heights{Title: title, Unit: "single crochet", Single: single}
	for i, id := range ids {
		s, ok := stitch.Lookup(id)
		if !ok {
			panic("no stitch " + id)
		}
		h.Stitches = append(h.Stitches, Tall{Name: s.US.Short(), Symbol: s.Symbol, Height: s.Height, Chain: s.Chain, Asked: i == len(ids)/2})
	}
	return h
}

var comparisons = map[string]Heights{
	"basic": compare("Half double crochet among its neighbours", 0, "sl st", "sc", "hdc", "dc", "tr"),
	"all":   compare("All basic stitches", 8, "sl st", "sc", "hdc", "dc", "tr", "dtr", "trtr"),
	"posts": compare("Post stitches", 0, "fpsc", "fpdc", "bpdc"),
	"one":   compare("One stitch", 0, "sc"),
}

func TestHeights(t *testing.T) {
	for name, h := range comparisons {
		d, err := h.Draw()
		if err != nil {
			t.Fatal(err)
		}
		look(t, "heights-"+name, d)
		golden(t, "heights-"+name+".svg", SVG(d))
		for _, m := range d.Marks {
			if m, ok := m.(Text); ok && m.Size < 2.8 {
				t.Errorf("%s: %q is too small for a telephone: %v", name, m.Text, m.Size)
			}
		}
	}
}

// The stems are to scale: each is as high as its stitch.
func TestHeightsToScale(t *testing.T) {
	h := compare("Scale", 0, "hdc", "dc", "tr", "dtr")
	d, err := h.Draw()
	if err != nil {
		t.Fatal(err)
	}
	var tops []float64 // of the bars on top: level strokes of the symbols' pen
	foot := 0.0
	for _, m := range d.Marks {
		p, ok := m.(Path)
		if !ok || len(p.Points) != 2 || p.Pen.Stroke != Ink || math.Abs(p.Points[0].Y-p.Points[1].Y) > 1e-9 {
			continue
		}
		if p.Pen.Width == medium {
			foot = p.Points[0].Y
		} else {
			tops = append(tops, p.Points[0].Y)
		}
	}
	if len(tops) != 4 || foot == 0 {
		t.Fatalf("%d tops over a foot at %v", len(tops), foot)
	}
	unit := (foot - tops[3]) / 4
	for i, want := range []float64{1.5, 2, 3, 4} {
		if got := (foot - tops[i]) / unit; math.Abs(got-want) > 0.05 {
			t.Errorf("stitch %d is drawn %.3f high, want %v", i, got, want)
		}
	}
}

func TestHeightsRefuses(t *testing.T) {
	for what, h := range map[string]Heights{
		"nothing":                   {},
		"nine stitches":             {Stitches: make([]Tall, 9)},
		"a negative height":         {Stitches: []Tall{{Height: -1}}},
		"no number":                 {Stitches: []Tall{{Height: math.NaN()}}},
		"a tower of chains":         {Stitches: []Tall{{Height: 1, Chain: 13}}},
		"a stitch as high as a man": {Stitches: []Tall{{Height: 1}}, Single: 1800},
	} {
		if _, err := h.Draw(); err == nil {
			t.Errorf("a comparison of %s was drawn", what)
		}
	}
}

func BenchmarkHeights(b *testing.B) {
	h := comparisons["all"]
	for b.Loop() {
		d, err := h.Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
