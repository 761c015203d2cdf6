package picture

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// someMark is any mark of few pens, so that neighbours often share one.
func someMark(t *rapid.T) Mark {
	pens := []Pen{
		{Stroke: Ink, Width: thin}, {Stroke: Ink, Width: medium}, {Stroke: Rust, Width: medium, Dash: []float64{1, 1}},
		{Fill: Cloth}, {Fill: Cloth, Stroke: Ink, Width: thin}, {Stroke: Colour{0, 0, 0, 0x40}, Width: 1},
	}
	at := func(name string) Point {
		return Point{rapid.Float64Range(5, 95).Draw(t, name+" x"), rapid.Float64Range(5, 45).Draw(t, name+" y")}
	}
	pen := rapid.SampledFrom(pens).Draw(t, "pen")
	switch rapid.IntRange(0, 4).Draw(t, "kind") {
	case 0:
		return Circle{Centre: at("c"), R: 3, Pen: pen}
	case 1:
		return Text{At: at("t"), Text: "12 sts", Size: 3, Colour: Ink}
	case 2:
		return Path{Points: []Point{at("a"), at("b"), at("c"), at("d")}, Curve: true, Pen: pen}
	}
	return Path{Points: []Point{at("a"), at("b")}, Pen: pen}
}

// Runs bring every mark once and in order, and only opaque strokes of one pen
// together.
func TestRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var marks, back []Mark
		for range rapid.IntRange(0, 60).Draw(t, "n") {
			marks = append(marks, someMark(t))
		}
		for run := range runs(marks) {
			back = append(back, run...)
			if len(run) == 1 {
				continue
			}
			for _, m := range run {
				p, ok := m.(Path)
				if !ok || !p.Pen.plain() || !p.Pen.same(run[0].(Path).Pen) {
					t.Fatalf("%+v is painted with %+v", m, run[0])
				}
			}
		}
		if !reflect.DeepEqual(marks, back) {
			t.Fatalf("%d marks became %d", len(marks), len(back))
		}
	})
}

// Whatever is on a drawing, both surfaces take it.
func TestSurfacesTakeAnyDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &Drawing{Width: 100, Height: 50}
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			d.Add(someMark(t))
		}
		if _, err := PNG(d, PNGOptions{Width: 100}); err != nil {
			t.Fatal(err)
		}
		if _, err := readXML(SVG(d)); err != nil {
			t.Fatal(err)
		}
	})
}
