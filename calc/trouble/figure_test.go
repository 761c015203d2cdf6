package trouble

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/measure"
	"countwright/calc/stitch"
)

func TestWork(t *testing.T) {
	for _, c := range []struct {
		figure string
		facts  Facts
		want   string
		values map[string]float64
		src    string
	}{
		{"circle", Facts{"stitches": 16, "rows": 16, "increases": 6}, "flat", map[string]float64{"want": 6}, "tradition: 6 for stitches as high as wide; 2π = 6.28"},
		{"circle", Facts{"stitches": 16, "rows": 16, "increases": 8}, "ruffles", map[string]float64{"want": 6, "have": 8}, "by hand: 8 > 2π"},
		{"circle", Facts{"stitches": 14, "rows": 7, "increases": 6}, "cups", map[string]float64{"want": 13}, "by hand: 2π·14/7 = 12.57"},
		{"circle", Facts{"stitches": 15, "rows": 10, "increases": 9}, "flat", map[string]float64{"want": 9}, "by hand: 2π·1.5 = 9.42"},
		{"edge", Facts{"stitches": 20, "length": 500, "picked": 100}, "fits", map[string]float64{"want": 100}, "by hand: 50 cm × 2 a cm"},
		{"edge", Facts{"stitches": 20, "length": 500, "picked": 120}, "ruffles", map[string]float64{"more": 20, "percent": 20}, "by hand"},
		{"edge", Facts{"stitches": 20, "length": 500, "picked": 80}, "puckers", map[string]float64{"more": 20}, "by hand"},
		{"count", Facts{"start": 40, "now": 30, "worked": 10}, "loses one each row", map[string]float64{"change": 10}, "by hand"},
		{"count", Facts{"start": 40, "now": 60, "worked": 10}, "gains two each row", map[string]float64{"change": 20}, "by hand"},
		{"count", Facts{"start": 40, "now": 35, "worked": 10}, "loses one every second row", nil, "by hand"},
		{"count", Facts{"start": 40, "now": 37, "worked": 10}, "loses now and then", nil, "by hand"},
		{"count", Facts{"start": 40, "now": 40, "worked": 10}, "steady", nil, "by hand"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 16, "rows": 20}, "fits", nil, "by hand"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 17, "rows": 21.25}, "tight", map[string]float64{"width": 470.588}, "by hand: 50 · 16/17 cm"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 15, "rows": 18.75}, "loose", map[string]float64{"width": 533.333}, "by hand: 50 · 16/15 cm"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 16, "rows": 22}, "rows only", map[string]float64{"forty": 44}, "by hand: 40 · 22/20"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 18, "rows": 20}, "stitches only", map[string]float64{"hundred": 112.5}, "by hand: 100 · 18/16"},
		{"gauge", Facts{"pattern stitches": 16, "pattern rows": 20, "stitches": 18, "rows": 18}, "mixed", nil, "by hand"},
		{"wash", Facts{"before": 500, "after": 550}, "grew", map[string]float64{"percent": 10, "make": 454.545}, "by hand: 500/1.1"},
		{"wash", Facts{"before": 500, "after": 450}, "shrank", map[string]float64{"percent": 10, "make": 555.556}, "by hand: 500/0.9"},
		{"wash", Facts{"before": 500, "after": 505}, "steady", nil, "by hand"},
		{"seam", Facts{"one": 500, "other": 505}, "meets", nil, "by hand"},
		{"seam", Facts{"one": 525, "other": 500}, "eases in", map[string]float64{"gap": 25, "percent": 5}, "by hand"},
		{"seam", Facts{"one": 400, "other": 500}, "too far", map[string]float64{"gap": 100, "percent": 25}, "by hand"},
		{"sleeve", Facts{"around": 48, "stitches": 16, "arm": 300}, "tight", map[string]float64{"width": 300, "ease": 0, "want": 56, "add": 8}, "by hand: 48/1.6 cm; 35 cm × 1.6"},
		{"sleeve", Facts{"around": 56, "stitches": 16, "arm": 300}, "snug", map[string]float64{"width": 350, "ease": 50}, "by hand"},
		{"sleeve", Facts{"around": 80, "stitches": 16, "arm": 300}, "roomy", map[string]float64{"width": 500}, "by hand"},
		{"foundation", Facts{"chain": 450, "row": 500}, "tight", map[string]float64{"percent": 10}, "by hand"},
		{"foundation", Facts{"chain": 550, "row": 500}, "loose", map[string]float64{"percent": 10}, "by hand"},
		{"foundation", Facts{"chain": 500, "row": 500}, "fits", nil, "by hand"},
		{"ribbing", Facts{"rib": 1000, "body": 1000}, "loose", map[string]float64{"want": 850}, "by hand"},
		{"ribbing", Facts{"rib": 850, "body": 1000}, "fits", map[string]float64{"percent": 15}, "by hand"},
		{"ribbing", Facts{"rib": 700, "body": 1000}, "tight", map[string]float64{"percent": 30}, "by hand"},
		{"larger", Facts{"hook": 5}, "try", map[string]float64{"hook": 5.5}, "Craft Yarn Council hook sizes: 5 mm, then 5.5 mm"},
		{"smaller", Facts{"hook": 4}, "try", map[string]float64{"hook": 3.75}, "Craft Yarn Council hook sizes: 3.75 mm before 4 mm"},
	} {
		f, ok := FigureOf(c.figure)
		if !ok {
			t.Fatalf("there is no figure %s", c.figure)
		}
		o, err := f.Work(c.facts, stitch.US, measure.Centimetres)
		if err != nil || o.Name != c.want {
			t.Errorf("%s of %v comes out as %q, %v, want %q (%s)", c.figure, c.facts, o.Name, err, c.want, c.src)
		}
		for key, want := range c.values {
			if got := o.Values[key].Number; math.Abs(got-want) > 0.001 {
				t.Errorf("%s of %v: %s is %v, want %v (%s)", c.figure, c.facts, key, got, want, c.src)
			}
		}
		if strings.ContainsAny(o.Text, "[]{}") || o.Text == "" {
			t.Errorf("%s: the sentence is not filled: %q", c.figure, o.Text)
		}
	}
}

func TestFactsAreChecked(t *testing.T) {
	f, _ := FigureOf("circle")
	good := Facts{"stitches": 16, "rows": 17, "increases": 8}
	for _, c := range []struct {
		name  string
		value float64
		want  string
	}{
		{"stitches", math.NaN(), "stitches is NaN, not between 1 and 80"},
		{"stitches", math.Inf(1), "stitches is +Inf"},
		{"rows", 0, "rows is 0, not between 1 and 120"},
		{"increases", 6.5, "increases is 6.5"},
		{"increases", -1, "increases is -1"},
	} {
		facts := Facts{}
		for k, v := range good {
			facts[k] = v
		}
		facts[c.name] = c.value
		_, err := f.Work(facts, stitch.US, measure.Centimetres)
		var wrong *FactError
		if !errors.As(err, &wrong) || wrong.Need.Name != c.name || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v: %v, want %q", c.name, c.value, err, c.want)
		}
	}
	_, err := f.Work(Facts{"stitches": 16}, stitch.US, measure.Centimetres)
	var wrong *FactError
	if !errors.As(err, &wrong) || !wrong.Missing {
		t.Errorf("a missing fact: %v", err)
	}
}

// Within its limits a figure always comes out, with every number finite and
// the sentence filled.
func TestFiguresAlwaysComeOut(t *testing.T) {
	var ids []string
	for id := range desk().figures {
		ids = append(ids, id)
	}
	rapid.Check(t, func(t *rapid.T) {
		f, _ := FigureOf(rapid.SampledFrom(ids).Draw(t, "figure"))
		facts := Facts{}
		for _, n := range f.Needs {
			v := rapid.Float64Range(n.Low, n.High).Draw(t, n.Name)
			if n.Kind == Count {
				v = math.Trunc(v)
				v = max(v, math.Ceil(n.Low))
			}
			facts[n.Name] = v
		}
		o, err := f.Work(facts, stitch.UK, measure.Inches)
		if err != nil {
			t.Fatalf("%s of %v: %v", f.ID, facts, err)
		}
		if o.Text == "" || strings.ContainsAny(o.Text, "[]{}") || strings.Contains(o.Text, "NaN") || strings.Contains(o.Text, "Inf") {
			t.Fatalf("%s of %v says %q", f.ID, facts, o.Text)
		}
	})
}

func TestValueText(t *testing.T) {
	for _, c := range []struct {
		v    Value
		u    measure.Unit
		want string
	}{
		{Value{505, Length}, measure.Centimetres, "50.5 cm"},
		{Value{508, Length}, measure.Inches, "20 in"},
		{Value{3.75, Size}, measure.Inches, "3.75 mm"},
		{Value{16.04, PerTen}, measure.Centimetres, "16"},
		{Value{6.4, Count}, measure.Centimetres, "6"},
		{Value{12.6, Percent}, measure.Centimetres, "13"},
	} {
		if got := c.v.Text(c.u); got != c.want {
			t.Errorf("%v is %q, want %q", c.v, got, c.want)
		}
	}
}

func ExampleFigureOf() {
	f, _ := FigureOf("wash")
	for _, n := range f.Needs {
		fmt.Println(n.Ask)
	}
	// Output:
	// How long was it before washing?
	// How long is it now?
}
