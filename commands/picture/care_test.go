package picture

import (
	"testing"

	"countwright/calc/care"
)

func group(g care.Group) []care.Symbol {
	var all []care.Symbol
	for _, s := range care.Symbols() {
		if s.Group == g {
			all = append(all, s)
		}
	}
	return all
}

func TestCareLabels(t *testing.T) {
	blend, err := care.ParseBlend("75% superwash wool 25% nylon")
	if err != nil {
		t.Fatal(err)
	}
	labels := map[string]CareLabel{"care-blend": {Title: "75 % superwash wool, 25 % nylon", Symbols: blend.Care()}, "care-one": {Title: "Hand wash", Symbols: group(care.Wash)[12:13]}}
	for _, g := range care.Groups() {
		labels["care-"+string(g)] = CareLabel{Title: string(g), Symbols: group(g)}
	}
	for name, l := range labels {
		t.Run(name, func(t *testing.T) {
			d, err := l.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, name, d)
			golden(t, name+".svg", SVG(d))
		})
	}
	for _, l := range []CareLabel{{}, {Symbols: make([]care.Symbol, 99)}} {
		if _, err := l.Draw(); err == nil {
			t.Errorf("%d symbols were drawn", len(l.Symbols))
		}
	}
}

// TestSymbolsStayInTheirCells: no stroke or word leaves the sheet.
func TestSymbolsStayInTheirCells(t *testing.T) {
	for _, s := range care.Symbols() {
		d, err := CareLabel{Title: s.ID, Symbols: []care.Symbol{s, s, s}}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		sheet := box{0, 0, d.Width, d.Height}
		for _, m := range d.Marks {
			var b box
			switch m := m.(type) {
			case Path:
				b = bounds(m.Points)
			case Circle:
				b = boxAt(m.Centre, 2*m.R, 2*m.R)
			case Text:
				b = box{m.At.X + m.Left(), m.At.Y - m.Size, m.At.X + m.Left() + m.Width(), m.At.Y}
			}
			if b.x1 < sheet.x1 || b.y1 < sheet.y1 || b.x2 > sheet.x2 || b.y2 > sheet.y2 {
				t.Errorf("%s: %+v leaves the sheet", s.ID, m)
			}
		}
	}
}

func BenchmarkCareLabel(b *testing.B) {
	l := CareLabel{Title: "wash", Symbols: group(care.Wash)}
	for b.Loop() {
		d, _ := l.Draw()
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
