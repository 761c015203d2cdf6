package picture

import (
	"math"
	"strings"
	"testing"

	"countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
)

func shapeOf(t *testing.T, text string, g *fabric.Gauge) (Piece, bool) {
	t.Helper()
	res := fabric.Work(notation.Parse(text, notation.Options{}), fabric.Options{Gauge: g})
	if !res.OK() {
		t.Fatal(res.Findings[0].Message)
	}
	return Shape(res.Pieces[0], 0, measure.Centimetres)
}

var ten = &fabric.Gauge{Gauge: gauge.Gauge{Stitches: 10, Rows: 10}}

func TestShape(t *testing.T) {
	const flat = "Ch 21\nRow 1: sc in 2nd ch from hook and in each ch across, turn\nRows 2-10: ch 1, sc in each st across, turn\n"
	for _, c := range []struct {
		name, text  string
		wide, tall  float64 // mm, as drawn
		points      int
		first, last string
		src         string
	}{
		{"square", flat, 200, 100, 4, "20 cm · 20 sts", "10 cm · 10 rows", "by hand: a stitch and a row are 10 mm"},
		{"taper", flat + "Rows 11-15: ch 1, sc2tog, sc in each st across to last 2 sts, sc2tog, turn\n", 200, 150, 6, "20 cm · 20 sts", "15 cm · 15 rows", "by hand: ten stitches fewer at the top"},
		{"tube", "Ch 20, join to form a ring\nRnd 1: sc in each ch around\nRnds 2-10: sc in each st around", 100, 100, 4, "20 cm around · 20 sts", "10 cm · 10 rnds", "by hand: 20 cm around lie 10 cm wide"},
	} {
		p, ok := shapeOf(t, c.text, ten)
		if !ok {
			t.Errorf("%s has no shape", c.name)
			continue
		}
		b := bounds(p.Outline)
		if math.Abs(b.width()-c.wide) > 0.01 || math.Abs(b.height()-c.tall) > 0.01 || len(p.Outline) != c.points {
			t.Errorf("%s: %.1f by %.1f mm of %d points (%s)", c.name, b.width(), b.height(), len(p.Outline), c.src)
		}
		if got := p.Dimensions[0].Label; got != c.first {
			t.Errorf("%s starts with %q (%s)", c.name, got, c.src)
		}
		if got := p.Dimensions[len(p.Dimensions)-1].Label; got != c.last {
			t.Errorf("%s is %q tall (%s)", c.name, got, c.src)
		}
		if _, err := (Schematic{Pieces: []Piece{p}}).Draw(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestNoShape(t *testing.T) {
	const two = "Ch 21\nRow 1: sc in 2nd ch from hook and in each ch across, turn\nRow 2: ch 1, sc in next 5 sts, leave rem sts unworked, turn\nRow 3: ch 1, sc in each st across\nFasten off.\nRow 2: sk next 5 sts, rejoin yarn, ch 1, sc in each st across, turn\nRow 3: ch 1, sc in each st across\n"
	if p, ok := shapeOf(t, two, ten); ok {
		t.Errorf("parts side by side are drawn as %v", p.Outline)
	}
	if _, ok := shapeOf(t, strings.Split(two, "Row 2")[0], nil); ok {
		t.Error("a shape is drawn without a gauge")
	}
	if _, ok := Shape(fabric.Piece{}, 0, measure.Inches); ok {
		t.Error("nothing has a shape")
	}
	if _, ok := shapeOf(t, "Rnd 1: 6 sc in magic ring", &fabric.Gauge{Gauge: gauge.Gauge{Stitches: 40, Rows: 40}}); ok {
		t.Error("one small round is drawn")
	}
}
