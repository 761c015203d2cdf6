package stitch

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// every returns all stitches that Lookup knows, in no order.
func every() map[ID]Stitch { return dictionary().byID }

func TestFamilies(t *testing.T) {
	for _, c := range []struct {
		id              ID
		consumes, makes int
		uk              string
		src             string
	}{
		{"sc2tog", 2, 1, "dc2tog", "Craft Yarn Council abbreviations; UK pair from memory"},
		{"sc3tog", 3, 1, "dc3tog", "by hand: three stitches below become one"},
		{"dc2tog", 2, 1, "tr2tog", "Craft Yarn Council abbreviations"},
		{"tr9tog", 9, 1, "dtr9tog", "by hand"},
		{"fpdc2tog", 2, 1, "FPtr2tog", "by hand"},
		{"etr2tog", 2, 1, "edtr2tog", "by hand"},
		{"sc inc", 1, 2, "dc inc", "by hand: two stitches in one"},
		{"3-sc inc", 1, 3, "3-dc inc", "outer corner of three stitches, stored pages"},
		{"7-tr shell", 1, 7, "7-dtr shell", "by hand"},
		{"3-dc cluster", 1, 1, "3-tr cluster", "Craft Yarn Council symbols, from memory"},
		{"5-dc popcorn", 1, 1, "5-tr popcorn", "Craft Yarn Council symbols, from memory"},
		{"hdc puff", 1, 1, "htr puff", "by hand"},
		{"crossed tr", 2, 2, "crossed dtr", "by hand: two stitches over two"},
		{"hdc v-st", 1, 2, "htr V-st", "by hand: two stitches and a chain that is not counted"},
		{"ch-4 picot", 0, 0, "ch-4 picot", "by hand: a picot sits on top and is not counted"},
		{"fdc", 0, 1, "ftr", "by hand: nothing is below a foundation stitch"},
		{"FPTR", 1, 1, "FPdtr", "letter case does not matter"},
	} {
		s, ok := Lookup(c.id)
		if !ok {
			t.Errorf("%s is not known", c.id)
			continue
		}
		if s.Consumes != c.consumes || s.Makes != c.makes || s.UK.Short() != c.uk {
			t.Errorf("%s: consumes %d, makes %d, UK %q; want %d, %d, %q (%s)",
				c.id, s.Consumes, s.Makes, s.UK.Short(), c.consumes, c.makes, c.uk, c.src)
		}
	}
	for _, id := range []ID{"", "banana", "dc1tog", "dc10tog", "fp", "2tog", "1-dc shell"} {
		if s, ok := Lookup(id); ok {
			t.Errorf("%q is known as %v", id, s)
		}
	}
}

// What a stitch consumes and makes follows from its parts.
func TestPartsAgreeWithCounts(t *testing.T) {
	for id, s := range every() {
		made := 0
		for _, p := range s.Parts {
			if part := every()[p.Stitch]; part.Kind != Chain && part.Kind != Slip {
				made += p.Many * part.Makes
			} else if s.Kind == Increase {
				made += p.Many
			}
		}
		switch s.Kind {
		case Group, Crossed, Increase:
			if s.Base != "" && made != s.Makes {
				t.Errorf("%s: its parts make %d, it says %d", id, made, s.Makes)
			}
		case Cluster:
			if s.Makes != 1 || s.Consumes != 1 {
				t.Errorf("%s: a cluster is one stitch in one place", id)
			}
		case Together:
			if s.Makes != 1 || (len(s.Parts) > 0 && s.Parts[0].Many != s.Consumes) {
				t.Errorf("%s: consumes %d with the legs %v", id, s.Consumes, s.Parts)
			}
		case Foundation, Picot, Surface, Start:
			if s.Consumes != 0 && s.Base == "" {
				t.Errorf("%s: has nothing below it, consumes %d", id, s.Consumes)
			}
		case Basic, Extended, Post:
			if s.Consumes != 1 || s.Makes != 1 {
				t.Errorf("%s: consumes %d, makes %d", id, s.Consumes, s.Makes)
			}
		}
	}
}

// The trade's table is a ladder: from the half double up each yarn-over adds
// half a double crochet to the height, one chain to the turn and one bar to
// the symbol.
func TestLadderOfBasicStitches(t *testing.T) {
	for _, id := range []ID{"dc", "tr", "dtr", "trtr", "quadtr"} {
		s := every()[id]
		if s.Height != float64(s.YarnOvers+1) || s.Chain != s.YarnOvers+2 || s.Symbol.Bars != s.YarnOvers {
			t.Errorf("%s: %d yarn-overs, height %v, chain %d, %d bars", id, s.YarnOvers, s.Height, s.Chain, s.Symbol.Bars)
		}
	}
	for _, id := range []ID{"esc", "ehdc", "edc", "etr"} {
		s := every()[id]
		base := every()[s.Base]
		if !(s.Height > base.Height && s.Height < base.Height+1) || s.Chain != base.Chain+1 {
			t.Errorf("%s: height %v above %v, chain %d", id, s.Height, base.Height, s.Chain)
		}
	}
}

// A derived stitch stands as tall and as thick as its base.
func TestDerivedStitchesKeepTheirBase(t *testing.T) {
	for id, s := range every() {
		base, ok := every()[s.Base]
		if s.Source != derivedSource || !ok || s.Kind == Picot {
			continue
		}
		if s.Height != base.Height || s.Chain != base.Chain || s.YarnOvers != base.YarnOvers || s.Symbol.Bars != base.Symbol.Bars {
			t.Errorf("%s differs from %s", id, s.Base)
		}
	}
}

// Every word of a stitch finds it again, in each dialect and in any spacing.
func TestWordsFindTheirStitch(t *testing.T) {
	var ids []ID
	for id := range every() {
		ids = append(ids, id)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := every()[rapid.SampledFrom(ids).Draw(t, "id")]
		d := rapid.SampledFrom([]Dialect{US, UK, Older}).Draw(t, "dialect")
		words := append(append([]string{s.In(d).Name}, s.In(d).Abbr...), s.In(d).Also...)
		word := rapid.SampledFrom(words).Draw(t, "word")
		switch rapid.IntRange(0, 3).Draw(t, "spelling") {
		case 1:
			word = strings.ToUpper(word)
		case 2:
			word = strings.ReplaceAll(word, " ", "-")
		case 3:
			word = " " + strings.ReplaceAll(word, "-", "  ") + "."
		}
		for _, id := range Named(word, d) {
			if id == s.ID {
				return
			}
		}
		t.Fatalf("%q in %v terms names %q, not %s", word, d, Named(word, d), s.ID)
	})
}

// Preferred words name exactly one stitch, or the stitch comes first among
// rows that share them.
func TestPreferredWordsComeFirst(t *testing.T) {
	for _, s := range All() {
		for _, d := range []Dialect{US, UK, Older} {
			for _, word := range []string{s.In(d).Short(), s.In(d).Name} {
				if got := Named(word, d); len(got) == 0 || got[0] != s.ID {
					t.Errorf("%q in %v terms names %q, want %s first", word, d, got, s.ID)
				}
			}
		}
	}
}

func TestClonesAreIndependent(t *testing.T) {
	s, _ := Lookup("shell")
	s.Parts[0].Many, s.US.Abbr[0] = 99, "spoilt"
	again, _ := Lookup("shell")
	if again.Parts[0].Many != 5 || again.US.Abbr[0] != "sh" {
		t.Error("a caller changed the dictionary")
	}
	if math.IsNaN(again.Height) {
		t.Error("height is not a number")
	}
}

func ExampleLookup() {
	s, _ := Lookup("fpdc2tog")
	fmt.Println(s.US.Name, "uses", s.Consumes, "and makes", s.Makes)
	fmt.Println("UK:", s.In(UK).Name)
	// Output:
	// front post double crochet 2 together uses 2 and makes 1
	// UK: front post treble 2 together
}

func ExampleNamed() {
	fmt.Println(Named("dc", US), Named("dc", UK), Named("half trebles", UK))
	// Output: [dc] [sc] [hdc]
}

func ExampleStitch_Chains() {
	v, _ := Lookup("v-st")
	fmt.Println(v.Makes, "stitches and", v.Chains(), "chain")
	// Output: 2 stitches and 1 chain
}

func ExampleAll() {
	all := All()
	fmt.Println(all[0].ID, all[1].ID, all[2].ID)
	// Output: ch sl st sc
}

func FuzzNamed(f *testing.F) {
	for _, s := range All() {
		f.Add(s.US.Name)
		f.Add(s.UK.Short() + "2tog")
	}
	f.Fuzz(func(t *testing.T, words string) {
		for d := AnyDialect; d <= Older; d++ {
			for _, id := range Named(words, d) {
				if _, ok := Lookup(id); !ok {
					t.Errorf("Named(%q) gives %q, which Lookup does not know", words, id)
				}
			}
		}
	})
}

func BenchmarkNamed(b *testing.B) {
	for _, word := range []string{"sc", "half trebles", "front post double crochet 2 together"} {
		b.Run(word, func(b *testing.B) {
			for b.Loop() {
				Named(word, US)
			}
		})
	}
}
