package care

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestSymbols holds the table against the standard: how many symbols a group
// has, and what bars and dots say.
// Source: ISO 3758:2012 (from memory).
func TestSymbols(t *testing.T) {
	count := map[Group]int{}
	for _, s := range Symbols() {
		count[s.Group]++
		for bars, word := range map[int]string{1: "mild", 2: "very mild"} {
			if (s.Bars == bars) != strings.Contains(s.Means, ", "+word) {
				t.Errorf("%s has %d bars: %q", s.ID, s.Bars, s.Means)
			}
		}
		if s.Degrees > 0 && s.Group != Professional && !strings.Contains(s.Means, fmt.Sprint(s.Degrees, " °C")) {
			t.Errorf("%s says %d °C: %q", s.ID, s.Degrees, s.Means)
		}
		if s.Cross && !strings.HasPrefix(s.Means, "Do not ") {
			t.Errorf("%s is crossed out: %q", s.ID, s.Means)
		}
		if heat := map[int]int{1: 110, 2: 150, 3: 200}[s.Dots]; s.Group == Iron && heat != s.Degrees {
			t.Errorf("%s: %d dots are %d °C, not %d", s.ID, s.Dots, heat, s.Degrees)
		}
	}
	want := map[Group]int{Wash: 14, Bleach: 3, Tumble: 3, Dry: 8, Iron: 4, Professional: 8}
	for _, g := range Groups() {
		if count[g] != want[g] {
			t.Errorf("%s: %d symbols, want %d", g, count[g], want[g])
		}
	}
}

func ids(all []Symbol) []string {
	var list []string
	for _, s := range all {
		list = append(list, s.ID)
	}
	return list
}

func TestBlends(t *testing.T) {
	for _, c := range []struct {
		text, says string
		wash, iron string
		src        string
	}{
		{"cotton", "cotton", "wash-40", "iron-3", "one fibre"},
		{"Merino", "wool", "wash-hand", "iron-2", "by another name"},
		{"80% wool 20% nylon", "80 % wool, 20 % nylon", "wash-hand", "iron-1", "by hand is stricter than mild, one dot than two"},
		{"75 superwash wool, 25 polyamide", "75 % superwash wool, 25 % nylon", "wash-40-very-mild", "iron-1", "by hand: 40 °C both, two bars over one"},
		{"superwash/viscose", "50 % superwash wool, 50 % viscose", "wash-30-very-mild", "iron-1", "by hand: 30 °C of one, two bars of the other"},
		{"60% cotton and acrylic", "60 % cotton, 40 % acrylic", "wash-40-mild", "iron-1", "the rest is the other's"},
		{"baby alpaca, silk & linen", "33 % alpaca, 33 % silk, 33 % linen", "wash-hand", "iron-1", "alike"},
		{"metallic", "metallic", "wash-hand", "iron-none", "one fibre"},
	} {
		b, err := ParseBlend(c.text)
		if err != nil || b.Text() != c.says {
			t.Errorf("%q: %q, %v; want %q", c.text, b.Text(), err, c.says)
			continue
		}
		care := b.Care()
		if len(care) != 6 || care[0].ID != c.wash || care[4].ID != c.iron {
			t.Errorf("%q: %v; want %s and %s (%s)", c.text, ids(care), c.wash, c.iron, c.src)
		}
	}
}

func TestBlendMistakes(t *testing.T) {
	var name *NameError
	if _, err := ParseBlend("80% wool 20% moonbeam"); !errors.As(err, &name) || name.Name != "moonbeam" {
		t.Error(err)
	}
	if _, err := ParseBlend(""); !errors.As(err, &name) {
		t.Error(err)
	}
	if _, err := ParseBlend(strings.Repeat("stone ", 50)); !errors.As(err, &name) || len(name.Name) > 50 {
		t.Error(err)
	}
	var share *ShareError
	for text, percent := range map[string]float64{"80% wool 30% nylon": 110, "50% wool 20% nylon": 70, "100% wool, silk": 100} {
		if _, err := ParseBlend(text); !errors.As(err, &share) || math.Abs(share.Percent-percent) > 1e-9 {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := ParseBlend("33% wool 33% silk 33% linen"); err != nil {
		t.Errorf("rounded thirds: %v", err)
	}
}

// TestBlendIsNeverFreer: what a fibre forbids, a blend with it forbids.
func TestBlendIsNeverFreer(t *testing.T) {
	fibres := Fibres()
	rapid.Check(t, func(t *rapid.T) {
		picked := rapid.SliceOfNDistinct(rapid.IntRange(0, len(fibres)-1), 1, 4, rapid.ID[int]).Draw(t, "fibres")
		var b Blend
		for _, i := range picked {
			b = append(b, Share{fibres[i], 1 / float64(len(picked))})
		}
		care := b.Care()
		if len(care) != len(Groups()) {
			t.Fatalf("%v", ids(care))
		}
		low, high := math.Inf(1), 0.
		for _, s := range b {
			low, high = min(low, s.Fibre.Density), max(high, s.Fibre.Density)
			for i, id := range s.Fibre.Usual {
				own, _ := SymbolOf(id)
				got := care[i]
				if own.Cross && !got.Cross || own.Hand && !got.Hand && !got.Cross || own.Bars > got.Bars && !got.Hand && !got.Cross ||
					own.Degrees > 0 && got.Degrees > own.Degrees && !got.Hand {
					t.Fatalf("%s bears %s, the blend %s", s.Fibre.Name, id, got.ID)
				}
			}
		}
		if d := b.Density(); d < low-1e-9 || d > high+1e-9 {
			t.Fatalf("density %v, of its fibres %v to %v", d, low, high)
		}
		g := b.Grade(func(f Fibre) Grade { return f.Warmth })
		if !g.known() {
			t.Fatalf("grade %v", g)
		}
	})
}

func TestDensity(t *testing.T) {
	b, err := ParseBlend("50% wool 50% cotton")
	// By hand: 100 g are 50/1.31 + 50/1.54 = 70.636 cm³.
	if err != nil || math.Abs(b.Density()-1.41571) > 1e-4 {
		t.Errorf("%v, %v", b.Density(), err)
	}
}

func TestFind(t *testing.T) {
	for asked, want := range map[string]string{
		"hand in a tub": "wash-hand", "hand wash": "wash-hand", "crossed out triangle": "bleach-none", "triangle": "bleach-any", "do not iron": "iron-none",
		"iron with two dots": "iron-2", "circle with P": "pro-p", "do not tumble dry": "tumble-none", "tub with 30 and two bars": "wash-30-very-mild",
		"dry flat": "dry-flat", "two dots in the tub": "wash-40", "do not tumbel dry": "tumble-none", "what does a crossed-out iron mean": "iron-none",
	} {
		found := FindSymbol(asked, 5)
		if len(found) == 0 || found[0].ID != want {
			t.Errorf("%q: %v, want %s", asked, ids(found), want)
		}
	}
	for asked, want := range map[string]string{"merino": "wool", "coton": "cotton", "bamboo": "viscose", "polyamide": "nylon", "rayon": "viscose", "acrilic": "acrylic"} {
		if found := FindFibre(asked, 3); len(found) == 0 || found[0].ID != want {
			t.Errorf("%q: %v, want %s", asked, found, want)
		}
	}
	if found := FindSymbol("zzzzqqq", 3); found != nil {
		t.Error(ids(found))
	}
}

// TestFaultsAreNamed: a person who edits the files is told what is wrong.
func TestFaultsAreNamed(t *testing.T) {
	symbols, fibres := string(symbolFile), string(fibreFile)
	for _, c := range []struct{ file, old, new, want string }{
		{"s", `id = "wash-70"`, `id = "wash-95"`, `entry "wash-95": the id is missing or there twice`},
		{"s", `group = "iron"`, `group = "press"`, `no group is called "press"`},
		{"s", `means = "Do not iron."`, `means = ""`, `entry "iron-none": means and looks are needed`},
		{"s", `dots = 3`, `specks = 3`, `symbol.toml: a key that no entry has`},
		{"f", `density = 1.17`, `density = 11.7`, `entry "acrylic": a density of 11.7 is not a fibre's`},
		{"f", `"wash-40-mild", "bleach-none", "tumble-low"`, `"wash-40-mild", "bleach-none", "iron-3"`, `symbol "iron-3" is none of tumble`},
		{"f", `drape = 3`, `drape = 4`, `stretch, drape and warmth are 1 to 3`},
		{"f", `note = "Heat takes its spring."`, ``, `entry "elastane": id, name and note are needed`},
		{"f", `stretch = 3`, `stretch = "much"`, `fibre.toml: can't be read`},
	} {
		s, f := symbols, fibres
		if c.file == "s" {
			s = strings.Replace(s, c.old, c.new, 1)
		} else {
			f = strings.Replace(f, c.old, c.new, 1)
		}
		if _, err := read([]byte(s), []byte(f)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s → %s: %v; want %q", c.old, c.new, err, c.want)
		}
	}
}

func TestNamesAreDistinct(t *testing.T) {
	seen := map[string]string{}
	for _, f := range Fibres() {
		for _, name := range append([]string{f.Name}, f.Also...) {
			if other, twice := seen[name]; twice {
				t.Errorf("%q names both %s and %s", name, other, f.ID)
			}
			seen[name] = f.ID
			if b, err := ParseBlend(name); err != nil || b[0].Fibre.ID != f.ID {
				t.Errorf("%q: %v, %v", name, b, err)
			}
		}
	}
	if _, ok := SymbolOf("wash-10"); ok {
		t.Error("wash-10")
	}
	if _, ok := FibreOf("stone"); ok {
		t.Error("stone")
	}
}

func FuzzParseBlend(f *testing.F) {
	for _, text := range []string{"cotton", "80% wool 20% nylon", "60 cotton, 40 acrylic", "100 %", "% % 5", "wool wool wool", "1e5 wool", "0.5% silk"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := ParseBlend(text)
		if err != nil {
			return
		}
		sum := 0.
		for _, s := range b {
			if s.Part <= 0 || s.Part > 1 {
				t.Fatalf("%q: part %v", text, s.Part)
			}
			sum += s.Part
		}
		if len(b) == 0 || len(b) > mostFibres || math.Abs(sum-1) > 0.03 || len(b.Care()) != len(Groups()) {
			t.Fatalf("%q: %v", text, b)
		}
	})
}

func ExampleBlend_Care() {
	b, _ := ParseBlend("75% superwash wool 25% nylon")
	for _, s := range b.Care() {
		fmt.Println(s.Means)
	}
	// Output:
	// Machine wash at 40 °C at most, very mild.
	// Do not bleach.
	// Do not tumble dry.
	// Dry flat.
	// Iron at 110 °C at most: cool; steam may harm.
	// Professional dry cleaning in the usual solvents.
}

func ExampleFindSymbol() {
	fmt.Println(FindSymbol("hand in a tub", 1)[0].Means)
	// Output: Wash by hand only, at 40 °C at most; 30 °C by some labels.
}

func ExampleFindFibres() {
	blend, rest := FindFibres("DK merino, soft")
	fmt.Println(blend[0].Fibre.Name, "·", rest)
	// Output: wool · DK soft
}

func ExampleSymbols() {
	last := slices.Collect(func(yield func(string) bool) {
		for _, s := range Symbols() {
			if s.Cross && !yield(s.Means) {
				return
			}
		}
	})
	fmt.Println(len(last), last[0])
	// Output: 5 Do not wash.
}

func BenchmarkFindSymbol(b *testing.B) {
	for b.Loop() {
		FindSymbol("tub with 30 and two bars", 25)
	}
}

func BenchmarkParseBlend(b *testing.B) {
	for b.Loop() {
		ParseBlend("40% baby alpaca 30% superwash merino 30% bamboo viscose")
	}
}
