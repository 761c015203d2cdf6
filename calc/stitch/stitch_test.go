package stitch

import (
	"slices"
	"testing"
)

// Source: agreement of stored trade tables, among them the Crochet Guild of
// America lessons (1997); heights of the usual handbooks, from memory.
func TestBasicTable(t *testing.T) {
	for _, c := range []struct {
		id                   ID
		us, uk, usAbbr, ukAb string
		overs                int
		height               float64
		chain                int
		counts               Habit
	}{
		{"sl st", "slip stitch", "slip stitch", "sl st", "ss", 0, 0, 0, Never},
		{"sc", "single crochet", "double crochet", "sc", "dc", 0, 1, 1, UsuallyNot},
		{"hdc", "half double crochet", "half treble", "hdc", "htr", 1, 1.5, 2, Varies},
		{"dc", "double crochet", "treble", "dc", "tr", 1, 2, 3, Usually},
		{"tr", "treble crochet", "double treble", "tr", "dtr", 2, 3, 4, Usually},
		{"dtr", "double treble crochet", "triple treble", "dtr", "trtr", 3, 4, 5, Always},
		{"trtr", "triple treble crochet", "quadruple treble", "trtr", "qtr", 4, 5, 6, Always},
	} {
		s, ok := Lookup(c.id)
		if !ok {
			t.Fatalf("%s is not in the dictionary", c.id)
		}
		if s.US.Name != c.us || s.UK.Name != c.uk || s.US.Short() != c.usAbbr || s.UK.Short() != c.ukAb {
			t.Errorf("%s: words %v and %v", c.id, s.US, s.UK)
		}
		if s.YarnOvers != c.overs || s.Height != c.height || s.Chain != c.chain || s.Counts != c.counts {
			t.Errorf("%s: yarn-overs %d, height %v, chain %d, counts %v", c.id, s.YarnOvers, s.Height, s.Chain, s.Counts)
		}
		if s.Consumes != 1 || s.Makes != 1 {
			t.Errorf("%s: consumes %d, makes %d", c.id, s.Consumes, s.Makes)
		}
	}
}

func TestNamed(t *testing.T) {
	for _, c := range []struct {
		words string
		d     Dialect
		want  []ID
	}{
		{"sc", US, []ID{"sc"}},
		{"sc", UK, nil}, // never occurs in UK text
		{"s c", Older, []ID{"sl st"}},
		{"dc", US, []ID{"dc"}},
		{"dc", UK, []ID{"sc"}},
		{"d c", Older, []ID{"sc"}},
		{"dc", AnyDialect, []ID{"dc", "sc"}},
		{"Treble", US, []ID{"tr"}},
		{"trebles", UK, []ID{"dc"}},
		{"half-treble", UK, []ID{"hdc"}},
		{"short treble", Older, []ID{"hdc"}},
		{"sl-st", US, []ID{"sl st"}},
		{"slip stitches", US, []ID{"sl st"}},
		{"qtr", US, []ID{"quadtr"}},
		{"qtr", UK, []ID{"trtr"}},
		{"sc2tog", US, []ID{"sc2tog"}},
		{"dc 2 tog", UK, []ID{"sc2tog"}},
		{"single crochet two together", US, []ID{"sc2tog"}},
		{"fp dc 2 together", US, []ID{"fpdc2tog"}},
		{"FPdc", UK, []ID{"fpsc"}},
		{"3 tr cluster", US, []ID{"3-tr cluster"}},
		{"3 tr cluster", UK, []ID{"3-dc cluster"}},
		{"hdc puff", US, []ID{"hdc puff"}},
		{"5-dc shells", US, []ID{"5-dc shell"}},
		{"V-sts", US, []ID{"v-st"}},
		{"sc dec", US, []ID{"sc2tog"}},
		{"inv dec", US, []ID{"invdec"}},
		{"crossed dc", UK, []ID{"crossed sc"}},
		{"ch-4 picot", US, []ID{"ch-4 picot"}},
		{"banana", US, nil},
		{"", US, nil},
	} {
		if got := Named(c.words, c.d); !slices.Equal(got, c.want) {
			t.Errorf("Named(%q, %v) = %q, want %q", c.words, c.d, got, c.want)
		}
	}
}
