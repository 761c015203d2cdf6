package picture

import (
	"testing"
)

var schematics = map[string]Schematic{"cardigan": cardigan(), "hat": hat(), "blanket": blanket(), "shawl": shawl(), "pullover": pullover(), "run": run()}

func TestSchematics(t *testing.T) {
	for name, s := range schematics {
		t.Run(name, func(t *testing.T) {
			d, err := s.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, "schematic-"+name, d)
			golden(t, "schematic-"+name+".svg", SVG(d))
		})
	}
}

func BenchmarkSchematic(b *testing.B) {
	s := cardigan()
	for b.Loop() {
		d, err := s.Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSchematicDraw(b *testing.B) {
	s := cardigan()
	for b.Loop() {
		if _, err := s.Draw(); err != nil {
			b.Fatal(err)
		}
	}
}
