package picture

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// shapes are the outlines on a drawing, in order: what is filled as cloth.
func shapesOf(d *Drawing) (all []box) {
	for _, m := range d.Marks {
		if p, ok := m.(Path); ok && p.Pen.Fill == Cloth && p.Closed {
			all = append(all, bounds(p.Points))
		}
	}
	return all
}

// All pieces of a sheet have the same scale, and none is turned or bent.
func TestOneScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s Schematic
		for range rapid.IntRange(1, 6).Draw(t, "pieces") {
			s.Pieces = append(s.Pieces, somePiece(t))
		}
		d, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		drawn := shapesOf(d)
		if len(drawn) != len(s.Pieces) {
			t.Fatalf("%d outlines for %d pieces", len(drawn), len(s.Pieces))
		}
		first := bounds(s.Pieces[0].Outline)
		scale := drawn[0].width() / first.width()
		for i, p := range s.Pieces {
			real := bounds(p.Outline)
			if math.Abs(drawn[i].width()-scale*real.width()) > 1e-6 || math.Abs(drawn[i].height()-scale*real.height()) > 1e-6 {
				t.Fatalf("piece %d is drawn %v by %v for %v by %v at a scale of %v", i, drawn[i].width(), drawn[i].height(), real.width(), real.height(), scale)
			}
		}
		for i, b := range drawn {
			for _, c := range drawn[:i] {
				if b.overlaps(c) {
					t.Fatalf("pieces lie on one another: %+v, %+v", b, c)
				}
			}
		}
	})
}

// Dimension lines are as long as what they measure, each between its points.
func TestDimensionLinesAreTrue(t *testing.T) {
	p := Piece{Outline: []Point{{0, 0}, {300, 0}, {300, 400}, {0, 400}}, Dimensions: []Dimension{
		{From: Point{0, 0}, To: Point{300, 0}, Label: "30 cm", Side: Bottom},
		{From: Point{300, 400}, To: Point{100, 400}, Label: "20 cm", Side: Top},
		{From: Point{0, 0}, To: Point{0, 400}, Label: "40 cm", Side: Left},
		{From: Point{300, 100}, To: Point{300, 350}, Label: "25 cm", Side: Right},
	}}
	d, err := Schematic{Pieces: []Piece{p}}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	shape := shapesOf(d)[0]
	scale := shape.width() / 300
	want := map[string]bool{}
	for _, l := range []struct{ from, to float64 }{{0, 300}, {100, 300}} {
		want[fmt.Sprintf("x %.3f %.3f", shape.x1+l.from*scale, shape.x1+l.to*scale)] = true
	}
	for _, l := range []struct{ from, to float64 }{{0, 400}, {100, 350}} {
		want[fmt.Sprintf("y %.3f %.3f", shape.y2-l.to*scale, shape.y2-l.from*scale)] = true
	}
	for _, m := range d.Marks {
		q, ok := m.(Path)
		if !ok || len(q.Points) != 2 || q.Pen.Stroke != Pencil || q.Pen.Width != pencil {
			continue
		}
		a, b := q.Points[0], q.Points[1]
		key := fmt.Sprintf("x %.3f %.3f", min(a.X, b.X), max(a.X, b.X))
		if a.X == b.X {
			key = fmt.Sprintf("y %.3f %.3f", min(a.Y, b.Y), max(a.Y, b.Y))
		}
		if !want[key] {
			t.Errorf("a dimension line runs %s", key)
		}
		delete(want, key)
	}
	for key := range want {
		t.Errorf("no dimension line runs %s", key)
	}
}

func TestLettered(t *testing.T) {
	s := cardigan()
	l := s.Lettered()
	// By hand: 16 dimensions; both shoulders of the back and that of the front
	// are equal, all others differ.
	if len(l.Legend) != 15 {
		t.Errorf("%d letters", len(l.Legend))
	}
	texts := map[string]string{}
	for _, e := range l.Legend {
		if texts[e.Letter] != "" {
			t.Errorf("letter %s stands twice", e.Letter)
		}
		texts[e.Letter] = e.Text
	}
	for i, p := range s.Pieces {
		for j, d := range p.Dimensions {
			if got := texts[l.Pieces[i].Dimensions[j].Label]; got != d.Name+": "+d.Label {
				t.Errorf("%s of %s is explained as %q", d.Name, p.Name, got)
			}
		}
	}
	if s.Pieces[0].Dimensions[0].Label != "56 cm · 78 sts" {
		t.Error("the schematic itself was changed")
	}
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "A2", 52: "A3"} {
		if got := letter(n); got != want {
			t.Errorf("letter %d is %s, want %s", n, got, want)
		}
	}
}

// Labels that no sheet has room for become letters of themselves.
func TestCrowdedIsLettered(t *testing.T) {
	d, err := run().Draw()
	if err != nil {
		t.Fatal(err)
	}
	letters := 0
	for _, m := range d.Marks {
		if m, ok := m.(Text); ok && len(m.Text) == 1 {
			letters++
		}
	}
	if letters < 2*10 { // once on a piece and once in the legend
		t.Errorf("%d letters", letters)
	}
	if !strings.Contains(d.Description, "to armhole 46 (51, 56, 61, 66, 71) cm") {
		t.Errorf("described as %q", d.Description)
	}
}

func TestForms(t *testing.T) {
	for _, tt := range []struct {
		label   string
		upright bool
		span    float64
		want    int // lines of the best form
	}{
		{"53 cm", true, 5, 1},
		{"53 cm · 74 sts", false, 60, 1},
		{"53 cm · 74 sts", false, 10, 2},
		{"53 cm · 74 sts", true, 60, 2},
		{"53 cm · 21 in · 74 sts", true, 60, 3},
	} {
		if got := len(forms(tt.label, tt.upright, tt.span)[0].lines); got != tt.want {
			t.Errorf("%q over %v mm is set on %d lines, want %d", tt.label, tt.span, got, tt.want)
		}
	}
}
