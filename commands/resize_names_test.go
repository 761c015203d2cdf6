package commands

import (
	"testing"

	"countwright/calc/grade"
	"countwright/calc/pattern"
	"countwright/commands/words"
)

func TestNamed(t *testing.T) {
	de := words.For("de")
	for _, test := range []struct {
		p            words.Printer
		name         string
		said, within string
	}{
		{words.Printer{}, "Right front", "Right front", "right front"},
		{de, "Right front", "Rechtes Vorderteil", "Rechtes Vorderteil"},
		{words.For("nl"), "Right front", "Rechtervoorpand", "rechtervoorpand"},
		{words.For("es"), "chest", "contorno de pecho", "contorno de pecho"},
		{de, "My own flap", "My own flap", "my own flap"},
	} {
		if said := named(test.p, test.name); said != test.said {
			t.Errorf("%q is called %q, want %q", test.name, said, test.said)
		}
		if within := namedWithin(test.p, test.name); within != test.within {
			t.Errorf("%q within a sentence is %q, want %q", test.name, within, test.within)
		}
	}
}

func TestEdges(t *testing.T) {
	pieces := []grade.Piece{{Name: "Back"}, {Name: "Right front"}, {Name: "Sleeve"}}
	for _, test := range []struct {
		p           words.Printer
		names, want string
	}{
		{words.Printer{}, "Back upper back + Sleeve", "Back upper back + Sleeve"},
		{words.For("de"), "Back upper back + Right front V neck", "Rückenteil, Oberer Rücken + Rechtes Vorderteil, V-Ausschnitt"},
		{words.For("nl"), "Sleeve cuff", "Mouw, boord"},
		{words.For("de"), "Back neck", "Rückenteil, Hals"},
		{words.For("de"), "Back own flap + Pocket", "Rückenteil, own flap + Pocket"},
		{words.For("es"), "Backing", "Backing"},
	} {
		a := &resized{r: Request{Printer: test.p}, garment: &grade.Garment{Pieces: pieces}}
		if got := a.edges(test.names); got != test.want {
			t.Errorf("%q is %q, want %q", test.names, got, test.want)
		}
	}
}

// TestHouseIsTranslated: what the patterns at hand are called, and what stands
// about them outside their rows, is in every language.
func TestHouseIsTranslated(t *testing.T) {
	for _, p := range pattern.House() {
		names := []string{p.Yarn.Fibre}
		texts := append([]string{p.Title, p.Summary}, p.Notes...)
		texts = append(append(append(texts, p.Cautions...), p.Small...), p.Finishing...)
		for _, piece := range p.Pieces {
			names = append(names, piece.Name)
			for _, s := range piece.Sections {
				names, texts = append(names, s.Name), append(texts, s.Note)
			}
		}
		for _, f := range p.Finished {
			names = append(names, f.Name)
		}
		for _, j := range p.Joins {
			names = append(names, j.Name)
		}
		for _, c := range p.Changes {
			names = append(names, c.Name)
		}
		for _, a := range p.Asks {
			names = append(names, a.Name)
		}
		for _, n := range names {
			texts = append(texts, "in a pattern: "+n)
		}
		for _, l := range words.Languages[1:] {
			for _, text := range texts {
				if text != "" && !words.For(l.Code).Has(words.Key(text)) {
					t.Errorf("%s: %q is not in %s", p.Name, text, l.Code)
				}
			}
		}
	}
}

func TestStepIn(t *testing.T) {
	de := words.For("de")
	const raw = "Sew the shoulder seams, stitch to stitch: {Back.Right shoulder.top} stitches each."
	if said, want := stepIn(de, raw, "Sew the shoulder seams, stitch to stitch: 5 stitches each."), "Näh die Schulternähte, Masche an Masche: je 5 Maschen."; said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
	const own = "Sew {Flap.top} stitches on."
	if said := stepIn(de, own, "Sew 7 stitches on."); said != "Sew 7 stitches on." {
		t.Errorf("a step of a member's own became %q", said)
	}
	if said := stepIn(words.Printer{}, raw, "Sew the shoulder seams, stitch to stitch: 5 stitches each."); said != "Sew the shoulder seams, stitch to stitch: 5 stitches each." {
		t.Errorf("in English it says %q", said)
	}
}
