package picture

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// inkOf is the box that a text really covers, reckoned from its marks and not
// from the layout.
func inkOf(m Text) box {
	x := m.At.X + m.Left()
	return box{x, m.At.Y - capHeight*m.Size, x + m.Width(), m.At.Y + 0.1*m.Size}
}

// collisions lists the texts of a drawing that lie on one another, on a drawn
// line or outside the sheet.
func collisions(d *Drawing) []string {
	var found []string
	var texts []Text
	for _, m := range d.Marks {
		if t, ok := m.(Text); ok {
			texts = append(texts, t)
		}
	}
	sheet := box{1, 1, d.Width - 1, d.Height - 1}
	for i, t := range texts {
		ink := inkOf(t)
		if ink.x1 < sheet.x1 || ink.y1 < sheet.y1 || ink.x2 > sheet.x2 || ink.y2 > sheet.y2 {
			found = append(found, fmt.Sprintf("%q stands out of the sheet: %+v", t.Text, ink))
		}
		for _, u := range texts[:i] {
			if ink.overlaps(inkOf(u)) {
				found = append(found, fmt.Sprintf("%q and %q lie on one another", t.Text, u.Text))
			}
		}
		for _, m := range d.Marks {
			p, ok := m.(Path)
			if !ok || p.Pen.Stroke.A == 0 && p.Pen.Fill != Pencil {
				continue
			}
			n := len(p.Points)
			if !p.Closed {
				n--
			}
			for j := range n {
				if (segment{p.Points[j], p.Points[(j+1)%len(p.Points)]}).crosses(ink) {
					found = append(found, fmt.Sprintf("%q stands on a line", t.Text))
					break
				}
			}
		}
	}
	return found
}

func TestSchematicsDoNotCollide(t *testing.T) {
	for name, s := range schematics {
		d, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range collisions(d) {
			t.Errorf("%s: %s", name, c)
		}
	}
}

// somePiece is a garment piece of any proportions, with dimensions anywhere
// on it.
func somePiece(t *rapid.T) Piece {
	w, h := rapid.Float64Range(20, 1600).Draw(t, "width"), rapid.Float64Range(20, 1600).Draw(t, "height")
	in := rapid.Float64Range(0, 0.45).Draw(t, "in")
	shapes := map[string][]Point{
		"rectangle": rectangle(w, h),
		"sleeve":    {{in * w, 0}, {w - in*w, 0}, {w, h}, {0, h}},
		"V front":   {{0, 0}, {w, 0}, {w, 0.97 * h}, {in * w, h}, {0, 0.6 * h}},
		"triangle":  {{0, h}, {w / 2, 0}, {w, h}},
		"disc":      disc(w),
		"neckline":  {{0, 0}, {w, 0}, {w, 0.96 * h}, {0.6 * w, h}, {0.55 * w, 0.9 * h}, {0.45 * w, 0.9 * h}, {0.4 * w, h}, {0, 0.96 * h}},
	}
	names := []string{"rectangle", "sleeve", "V front", "triangle", "disc", "neckline"}
	p := Piece{
		Name:    rapid.SampledFrom([]string{"", "Back", "Left front, worked sideways", "Sleeve"}).Draw(t, "name"),
		Outline: shapes[rapid.SampledFrom(names).Draw(t, "shape")],
		Rows:    Direction(rapid.IntRange(0, 4).Draw(t, "rows")),
	}
	b := bounds(p.Outline)
	if rapid.Bool().Draw(t, "ribbed") {
		p.Areas = []Area{{Outline: []Point{{b.x1, 0}, {b.x2, 0}, {b.x2, b.height() * 0.1}, {b.x1, b.height() * 0.1}}, Stitch: "ribbing", Ribs: Up}}
	}
	corner := rapid.SampledFrom(p.Outline)
	for range rapid.IntRange(0, 7).Draw(t, "dimensions") {
		d := Dimension{
			From: corner.Draw(t, "from"), To: corner.Draw(t, "to"),
			Label: rapid.SampledFrom([]string{"7 cm", "53 cm · 74 sts", "53 cm (20⅞ in) · 74 sts", "148.5 cm · 1,207 rows", "A"}).Draw(t, "label"),
			Side:  Side(rapid.IntRange(0, int(Along)).Draw(t, "side")),
		}
		if d.From != d.To {
			p.Dimensions = append(p.Dimensions, d)
		}
	}
	return p
}

// On no schematic do labels lie on one another, on lines or outside the
// sheet, and none is lost.
func TestLabelsNeverCollide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Schematic{Title: "Pieces"}
		for range rapid.IntRange(1, 5).Draw(t, "pieces") {
			s.Pieces = append(s.Pieces, somePiece(t))
		}
		d, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range collisions(d) {
			t.Error(c)
		}
		texts := 0
		for _, m := range d.Marks {
			if m, ok := m.(Text); ok {
				if texts++; m.Size < smallSize {
					t.Errorf("%q is too small for a telephone: %v", m.Text, m.Size)
				}
			}
		}
		for _, p := range s.Pieces {
			texts -= len(p.Dimensions)
		}
		if texts < 2 {
			t.Error("a label was lost")
		}
	})
}

func TestSchematicRefuses(t *testing.T) {
	square := rectangle(100, 100)
	for what, p := range map[string]Piece{
		"no outline":              {},
		"two points":              {Outline: square[:2]},
		"no area":                 {Outline: []Point{{0, 0}, {100, 0}, {50, 0}}},
		"not a number":            {Outline: []Point{{0, 0}, {math.NaN(), 0}, {50, 60}}},
		"infinite":                {Outline: []Point{{0, 0}, {math.Inf(1), 0}, {50, 60}}},
		"as wide as a street":     {Outline: rectangle(30_000, 100)},
		"a dimension of nothing":  {Outline: square, Dimensions: []Dimension{{Label: "0"}}},
		"an area without surface": {Outline: square, Areas: []Area{{}}},
		"a fold nowhere":          {Outline: square, Folds: [][2]Point{{{0, math.NaN()}, {1, 1}}}},
		"too many dimensions":     {Outline: square, Dimensions: make([]Dimension, 41)},
	} {
		if _, err := (Schematic{Pieces: []Piece{p}}).Draw(); err == nil {
			t.Errorf("a piece with %s was drawn", what)
		}
	}
	for _, n := range []int{0, 25} {
		pieces := make([]Piece, n)
		for i := range pieces {
			pieces[i] = Piece{Outline: square}
		}
		if _, err := (Schematic{Pieces: pieces}).Draw(); err == nil {
			t.Errorf("a schematic of %d pieces was drawn", n)
		}
	}
}
