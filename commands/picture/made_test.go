package picture

import (
	"strings"
	"testing"

	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// house makes each house pattern in the sizes of its tables (a blanket as
// lap, throw and so on, what has no sizes as it comes), at its own gauge.
func house(t *testing.T, visit func(t *testing.T, name string, g *grade.Garment)) {
	t.Helper()
	made := func(p *pattern.Pattern, name string, o grade.Order) {
		o.Gauge = p.Gauge
		g, err := grade.Make(p, o)
		if err != nil {
			t.Fatalf("%s %s: %v", p.Name, name, err)
		}
		visit(t, p.Name+" "+name, g)
	}
	for _, p := range pattern.House() {
		for _, name := range p.Tables {
			table, err := sizing.Named(name)
			if err != nil {
				t.Fatal(err)
			}
			for _, size := range table.Sizes {
				c, err := table.Complete(size.Body())
				if err != nil {
					t.Fatal(err)
				}
				made(p, name+" "+size.Name, grade.Order{Body: c.Body})
			}
		}
		if len(p.Tables) == 0 && p.Name != "blanket" {
			made(p, "as it comes", grade.Order{})
		}
		if p.Name == "blanket" {
			for _, b := range sizing.Blankets() {
				made(p, b.Name, grade.Order{Asks: map[string]measure.Length{"width": b.Width, "length": b.Length}})
			}
		}
	}
}

// Every house pattern in every size, in both units: drawn without collisions,
// each count of its outline on the sheet.
func TestMadeGarments(t *testing.T) {
	seen := map[string]bool{}
	house(t, func(t *testing.T, name string, g *grade.Garment) {
		for _, u := range []measure.Unit{measure.Centimetres, measure.Inches} {
			s := Made(g, u)
			d, err := s.Draw()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			for _, c := range collisions(d) {
				t.Errorf("%s: %s", name, c)
			}
			if first := g.Pattern.Name + u.String(); !seen[first] {
				seen[first] = true
				look(t, "made-"+strings.ReplaceAll(first, " ", "-"), d)
			}
			if len(d.Description) == 0 || !strings.Contains(d.Description, s.Pieces[0].Dimensions[0].Label) {
				t.Errorf("%s is described as %q", name, d.Description)
			}
		}
	})
	if len(seen) == 0 {
		t.Error("no house pattern was drawn")
	}
}

func TestMadeLabel(t *testing.T) {
	for _, tt := range []struct {
		d      grade.Dimension
		rounds bool
		u      measure.Unit
		want   string
	}{
		{grade.Dimension{MM: 530, Count: 74}, false, measure.Centimetres, "53 cm · 74 sts"},
		{grade.Dimension{MM: 530, Count: 1}, false, measure.Centimetres, "53 cm · 1 st"},
		{grade.Dimension{MM: 254, Count: 25, Rows: true}, false, measure.Inches, "10 in · 25 rows"},
		{grade.Dimension{MM: 520, Count: 72}, true, measure.Centimetres, "52 cm around · 72 sts"},
		{grade.Dimension{MM: 193, Count: 27, Single: true}, true, measure.Centimetres, "19.3 cm · 27 sts"},
		{grade.Dimension{MM: 105, Count: 10, Rows: true}, true, measure.Centimetres, "10.5 cm · 10 rnds"},
	} {
		if got := madeLabel(tt.d, tt.rounds, tt.u); got != tt.want {
			t.Errorf("%+v is labelled %q, want %q", tt.d, got, tt.want)
		}
	}
}
