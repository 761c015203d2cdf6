package lookup

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFold(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Stäbchen", "stabchen"},
		{"Großer Fuß", "grosser fuss"},
		{"demi-bride", "demi bride"},
		{"maille  en l’air", "maille en lair"},
		{"kædemaske", "kaedemaske"},
		{"ökning", "okning"},
		{"smygmåska", "smygmaska"},
		{"picô", "pico"},
		{"picô", "pico"}, // with a combining accent
		{"ピコット", "ぴこっと"},
		{"ｄｃ２", "dc2"},
		{"  --  ", ""},
	} {
		if got := Fold(c.in); got != c.want {
			t.Errorf("Fold(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func TestFoldIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := Fold(rapid.String().Draw(t, "text"))
		if twice := Fold(once); twice != once {
			t.Fatalf("folded %q, folded again %q", once, twice)
		}
	})
}

// Source: pairs worked by hand; "ca" and "abc" is the textbook case where the
// restricted distance is 3 and the unrestricted 2.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		open bool
		want int
	}{
		{"single", "single", false, 0},
		{"singel", "single", false, 1}, // swap
		{"singl", "single", false, 1},  // one missing
		{"singgle", "single", false, 1},
		{"sinkle", "single", false, 1},
		{"ca", "abc", false, 3},
		{"kitten", "sitting", false, 3},
		{"trebel", "treblecrochet", true, 1},
		{"tre", "treblecrochet", true, 0},
		{"", "abc", false, 3},
		{"", "abc", true, 0},
	} {
		if got := distance([]rune(c.a), []rune(c.b), 5, c.open); got != c.want {
			t.Errorf("distance(%q, %q, open %v) = %d, want %d", c.a, c.b, c.open, got, c.want)
		}
	}
}

// plainDistance is the recursion of the definition, without a band.
func plainDistance(a, b string) int {
	switch {
	case a == "":
		return len(b)
	case b == "":
		return len(a)
	}
	cost := 1
	if a[len(a)-1] == b[len(b)-1] {
		cost = 0
	}
	d := min(plainDistance(a[:len(a)-1], b)+1, plainDistance(a, b[:len(b)-1])+1, plainDistance(a[:len(a)-1], b[:len(b)-1])+cost)
	if len(a) > 1 && len(b) > 1 && a[len(a)-1] == b[len(b)-2] && a[len(a)-2] == b[len(b)-1] {
		d = min(d, plainDistance(a[:len(a)-2], b[:len(b)-2])+1)
	}
	return d
}

func TestDistanceAgainstDefinition(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, most := word.Draw(t, "a"), word.Draw(t, "b"), rapid.IntRange(0, 4).Draw(t, "most")
		want := min(plainDistance(a, b), most+1)
		if got := distance([]rune(a), []rune(b), most, false); got != want {
			t.Fatalf("distance(%q, %q) up to %d = %d, want %d", a, b, most, got, want)
		}
		open := len(a)
		for i := 0; i <= len(b); i++ {
			open = min(open, plainDistance(a, b[:i]))
		}
		if got := distance([]rune(a), []rune(b), most, true); got != min(open, most+1) {
			t.Fatalf("open distance(%q, %q) up to %d = %d, want %d", a, b, most, got, min(open, most+1))
		}
	})
}

var desk = New([]Word{
	{"dc", "double crochet", "US"},
	{"dc", "dc", "US"},
	{"dc", "treble", "UK"},
	{"dc", "tr", "UK"},
	{"dc", "Stäbchen", "de"},
	{"sc", "single crochet", "US"},
	{"sc", "sc", "US"},
	{"sc", "double crochet", "UK"},
	{"sc", "dc", "UK"},
	{"tr", "treble crochet", "US"},
	{"tr", "treble", "US"},
	{"tr", "tr", "US"},
	{"tr", "Doppelstäbchen", "de"},
	{"hdc", "half double crochet", "US"},
	{"hdc", "hdc", "US"},
	{"hdc", "demi-bride", "fr"},
	{"hdc", "半長編み", "ja"},
	{"sl st", "slip stitch", "US"},
	{"sl st", "sl st", "US"},
	{"cup", "my circle curls up like a bowl", "US"},
	{"cup", "circle cups", "US"},
	{"ruffle", "circle ruffles and waves at the edge", "US"},
})

func keys(found []Match) []string {
	var out []string
	for _, m := range found {
		out = append(out, m.Key)
	}
	return out
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		ask, prefer string
		first       []string
		how         How
	}{
		{"dc", "US", []string{"dc", "sc"}, Exact},
		{"dc", "UK", []string{"sc", "dc"}, Exact},
		{"DOUBLE  crochet", "US", []string{"dc", "sc", "hdc"}, Exact},
		{"doub", "US", []string{"dc", "sc", "hdc"}, Begun},
		{"crochet half", "US", []string{"hdc"}, Within},
		{"stabchen", "", []string{"dc"}, Exact},
		{"Staebchen", "", []string{"dc"}, Exact},
		{"demi bride", "", []string{"hdc"}, Exact},
		{"半長", "", []string{"hdc"}, Begun},
		{"slst", "", []string{"sl st"}, Exact},
		{"slipstich", "", []string{"sl st"}, Near},
		{"singel croceht", "US", []string{"sc"}, Near},
		{"trebel", "US", []string{"tr", "dc"}, Near},
		{"trebel", "UK", []string{"dc", "tr"}, Near},
		{"why does my circle look like a bowl?", "", []string{"cup"}, Partly},
		{"the edge of the circel is full of waves", "", []string{"ruffle"}, Partly},
		{"how do I make a half double crochet", "US", []string{"hdc"}, Exact},
		{"what is it", "", nil, 0},
		{"the circle is ruffling", "", []string{"ruffle"}, Near},
		{"circle curling", "", []string{"cup"}, Near},
		{"xyzzy", "", nil, 0},
		{"", "", nil, 0},
		{"?!", "", nil, 0},
	} {
		got := desk.Find(c.ask, 5, c.prefer)
		if len(got) < len(c.first) || !slices.Equal(keys(got)[:len(c.first)], c.first) || (len(c.first) == 0 && len(got) > 0) {
			t.Errorf("Find(%q) = %v, want %q first", c.ask, got, c.first)
		} else if len(got) > 0 && got[0].How != c.how {
			t.Errorf("Find(%q) answers %v, want %v", c.ask, got[0].How, c.how)
		}
	}
}

// Any name is found by itself, by each beginning of it, and with one slip in a
// word of four letters or more.
func TestNamesAreFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(desk.phrases).Draw(t, "name")
		letters := []rune(p.Text)
		n := rapid.IntRange(1, len(letters)).Draw(t, "typed")
		ask := string(letters[:n])
		if Fold(ask) == "" {
			return
		}
		if !slices.Contains(keys(desk.Find(ask, 50)), p.Key) {
			t.Fatalf("%q does not find %q", ask, p.Text)
		}
		if len(p.runes) < 4 {
			return
		}
		spoilt := slices.Clone(p.runes)
		i := rapid.IntRange(0, len(spoilt)-2).Draw(t, "swapped")
		spoilt[i], spoilt[i+1] = spoilt[i+1], spoilt[i]
		found := desk.Find(string(spoilt), 50)
		if !slices.Contains(keys(found), p.Key) && !slices.ContainsFunc(found, func(m Match) bool { return m.How < Near }) {
			t.Fatalf("%q does not find %q", string(spoilt), p.Text)
		}
	})
}

func TestEntriesStandOnceAndLimitHolds(t *testing.T) {
	got := desk.Find("c", 3)
	if len(got) != 3 {
		t.Fatalf("%d answers, want 3", len(got))
	}
	seen := map[string]bool{}
	for _, m := range got {
		if seen[m.Key] {
			t.Errorf("%s stands twice", m.Key)
		}
		seen[m.Key] = true
	}
	if desk.Find("c", 0) != nil {
		t.Error("a limit of none still answers")
	}
}

func ExampleIndex_Find() {
	ix := New([]Word{{"dc", "double crochet", "US"}, {"dc", "Stäbchen", "de"}, {"sc", "double crochet", "UK"}})
	for _, m := range ix.Find("dubble", 5, "UK") {
		fmt.Println(m.Key, m.Text, m.Tag)
	}
	// Output:
	// sc double crochet UK
	// dc double crochet US
}

func ExampleIndex_Exact() {
	ix := New([]Word{{"dc", "double crochet", "US"}, {"sc", "double crochet", "UK"}, {"hdc", "half double crochet", "US"}})
	for _, m := range ix.Exact("Double-Crochet", "UK") {
		fmt.Println(m.Key)
	}
	fmt.Println(len(ix.Exact("duoble crochet")))
	// Output:
	// sc
	// dc
	// 0
}

func ExamplePlain() {
	fmt.Println(Plain("What does “sl st” mean?"))
	// Output: sl st
}

func ExampleFold() {
	fmt.Println(Fold("Halbes Stäbchen"))
	// Output: halbes stabchen
}

func FuzzFind(f *testing.F) {
	for _, p := range desk.phrases {
		f.Add(p.Text)
	}
	f.Fuzz(func(t *testing.T, ask string) {
		for _, m := range desk.Find(ask, 5, "US") {
			if m.Key == "" {
				t.Errorf("an answer to %q without an entry", ask)
			}
		}
	})
}

// A dictionary of the size of the whole desk, asked letter by letter.
func BenchmarkFind(b *testing.B) {
	var names []Word
	for i := range 10000 {
		names = append(names, Word{fmt.Sprint(i / 10), strings.Repeat(string(rune('a'+i%26)), 1+i%5) + fmt.Sprintf("w%d stitch %d", i%3000, i), "US"})
	}
	names = append(names, Word{"dc", "double crochet", "US"})
	ix := New(names)
	for _, ask := range []string{"d", "double", "dubble crochte", "why is my double crochet so loose today"} {
		b.Run(ask, func(b *testing.B) {
			for b.Loop() {
				ix.Find(ask, 25, "US")
			}
		})
	}
}
