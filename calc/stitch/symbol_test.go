package stitch

import "testing"

// Source: chart symbols of the Craft Yarn Council and JIS L 0201, from memory:
// an oval for a chain, a dot for a slip stitch, a plus or cross for a single
// crochet, a T for a half double, one bar more for each yarn-over from the
// double on; decreases meet at the top, increases and shells at the foot,
// clusters at both; post stitches have a hook at the foot; one loop is an arc.
func TestSymbolsAreTheTrades(t *testing.T) {
	for _, c := range []struct {
		id   ID
		want Symbol
	}{
		{"ch", Symbol{Shape: Oval}},
		{"sl st", Symbol{Shape: Dot}},
		{"sc", Symbol{Shape: Plus}},
		{"hdc", Symbol{Shape: Stem}},
		{"dc", Symbol{Shape: Stem, Bars: 1}},
		{"tr", Symbol{Shape: Stem, Bars: 2}},
		{"dtr", Symbol{Shape: Stem, Bars: 3}},
		{"trtr", Symbol{Shape: Stem, Bars: 4}},
		{"sc2tog", Symbol{Shape: Plus, Legs: 2, Join: AtTop}},
		{"dc2tog", Symbol{Shape: Stem, Bars: 1, Legs: 2, Join: AtTop}},
		{"dc3tog", Symbol{Shape: Stem, Bars: 1, Legs: 3, Join: AtTop}},
		{"sc inc", Symbol{Shape: Plus, Legs: 2, Join: AtFoot}},
		{"hdc inc", Symbol{Shape: Stem, Legs: 2, Join: AtFoot}},
		{"3-dc inc", Symbol{Shape: Stem, Bars: 1, Legs: 3, Join: AtFoot}},
		{"shell", Symbol{Shape: Stem, Bars: 1, Legs: 5, Join: AtFoot}},
		{"7-tr shell", Symbol{Shape: Stem, Bars: 2, Legs: 7, Join: AtFoot}},
		{"cluster", Symbol{Shape: Stem, Bars: 1, Legs: 3, Join: AtBoth}},
		{"3-tr cluster", Symbol{Shape: Stem, Bars: 2, Legs: 3, Join: AtBoth}},
		{"puff", Symbol{Shape: Puff, Legs: 3, Join: AtBoth}},
		{"v-st", Symbol{Shape: Stem, Bars: 1, Legs: 2, Join: AtFoot, Chains: 1}},
		{"picot", Symbol{Shape: Oval, Chains: 3}},
		{"ch-5 picot", Symbol{Shape: Oval, Chains: 5}},
		{"fpdc", Symbol{Shape: Stem, Bars: 1, Post: Front}},
		{"bpdc", Symbol{Shape: Stem, Bars: 1, Post: Back}},
		{"fptr2tog", Symbol{Shape: Stem, Bars: 2, Legs: 2, Join: AtTop, Post: Front}},
		{"crossed dc", Symbol{Shape: Stem, Bars: 1, Legs: 2, Join: Cross}},
		{"blo", Symbol{Arc: Back}},
		{"flo", Symbol{Arc: Front}},
		{"mr", Symbol{Shape: Ring}},
		{"rsc", Symbol{Shape: Tilde}},
		{"surface sl st", Symbol{Shape: Wave}},
	} {
		s, ok := Lookup(c.id)
		if !ok || s.Symbol != c.want {
			t.Errorf("%s is drawn as %+v, want %+v", c.id, s.Symbol, c.want)
		}
	}
}

// Stitches that can stand beside one another on a chart are told apart.
func TestSymbolsDiffer(t *testing.T) {
	drawn := map[Symbol]ID{}
	for _, s := range All() {
		switch s.Kind {
		case Start, Texture, Surface:
			continue // no single place on a chart, or the symbol of what they are made of
		}
		if s.Symbol == (Symbol{}) {
			t.Errorf("%s has no symbol", s.ID)
			continue
		}
		if other, twice := drawn[s.Symbol]; twice && !same(s.ID, other) {
			t.Errorf("%s and %s are both drawn as %+v", s.ID, other, s.Symbol)
		}
		drawn[s.Symbol] = s.ID
	}
}

// same lists pairs that are one drawing because they are one make-up.
func same(a, b ID) bool {
	for _, pair := range [][2]ID{{"granny group", "3-dc inc"}} {
		if a == pair[0] && b == pair[1] || a == pair[1] && b == pair[0] {
			return true
		}
	}
	return false
}

// A symbol draws as many legs as the stitch has parts.
func TestLegsAreParts(t *testing.T) {
	for id, s := range every() {
		legs := 0
		for _, p := range s.Parts {
			if p.Stitch != "ch" && p.Stitch != "sl st" || s.Base == p.Stitch {
				legs += p.Many
			}
		}
		switch s.Kind {
		case Together, Increase, Cluster, Group, Crossed:
			if s.Base != "" && s.Symbol.Legs != legs {
				t.Errorf("%s draws %d legs for %d parts", id, s.Symbol.Legs, legs)
			}
			if s.Symbol.Join == Apart {
				t.Errorf("%s draws its legs apart", id)
			}
		case Basic, Extended, Post, Foundation:
			if s.Symbol.Legs > 1 || s.Symbol.Join != Apart {
				t.Errorf("%s draws %d legs", id, s.Symbol.Legs)
			}
		}
		if s.Kind == Post && s.Symbol.Post == NoSide {
			t.Errorf("%s has no hook at its foot", id)
		}
	}
}
