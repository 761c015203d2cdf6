package trouble

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/measure"
	"countwright/calc/stitch"
)

const goodTrouble = `topic = "Edges"
[[trouble]]
id = "edges"
symptom = "My edges slant"
asked = ["sides are crooked"]
  [[trouble.check]]
  cause = "A stitch is missed."
  test = "Count."
  fix = "Mark it."
  figure = "count"
  when = "loses one each row"
  [[trouble.check]]
  cause = "Your hands."
  test = "Measure."
  fix = "Rest."
`

// figures are the data file of the figures as it stands.
func figures(t *testing.T) []byte {
	data, err := troubleFiles.ReadFile(figureName)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestFaultyTroublesAreNamed(t *testing.T) {
	data := figures(t)
	read := func(text string) error {
		_, err := readTroubles(fstest.MapFS{"a.toml": {Data: []byte(text)}, "f.toml": {Data: data}}, []string{"a.toml"}, "f.toml")
		return err
	}
	if err := read(goodTrouble); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`topic = "Edges"`, ``, `topic is missing`},
		{`id = "edges"`, ``, `id is missing`},
		{`symptom = "My edges slant"`, ``, `symptom is missing`},
		{`["sides are crooked"]`, `[]`, `asked is missing`},
		{`fix = "Mark it."`, ``, `check 1: cause, test or fix is missing`},
		{`Mark it.`, `Mark the {dk}.`, `{dk} is neither a stitch nor a term`},
		{`figure = "count"`, `figure = "counts"`, `check 1: there is no figure "counts"`},
		{`figure = "count"`, ``, `check 1: when without a figure`},
		{`"loses one each row"`, `"sometimes"`, `check 1: the figure "count" never comes out as "sometimes"`},
		{`asked =`, "see = [\"edges\"]\nasked =", `see: "edges" is not another trouble`},
		{`asked =`, "asks =", `asks`},
	} {
		err := read(strings.Replace(goodTrouble, c.old, c.new, 1))
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a.toml") {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	if err := read(goodTrouble + strings.TrimPrefix(goodTrouble, "topic = \"Edges\"\n")); err == nil || !strings.Contains(err.Error(), "stands twice") {
		t.Errorf("two of one id: %v", err)
	}
	if err := read(goodTrouble[:strings.LastIndex(goodTrouble, "  [[")]); err == nil || !strings.Contains(err.Error(), "at least two checks") {
		t.Errorf("one check: %v", err)
	}
}

func TestFaultyFiguresAreNamed(t *testing.T) {
	data := string(figures(t))
	for _, c := range []struct{ old, new, want string }{
		{`id = "circle"`, `id = "sphere"`, `entry "sphere": there is no such arithmetic`},
		{`id = "circle"`, `id = "sphere"`, `the figure "circle" is missing`},
		{`name = "increases"`, `name = "adds"`, `entry "circle": needs are adds, rows, stitches, the arithmetic takes increases, rows, stitches`},
		{`flat = "You add [have]`, `plain = "You add [have]`, `says nothing when it comes out as "flat"`},
		{`flat = "You add [have]`, `plain = "You add [have]`, `never comes out as "plain"`},
		{`flat = "You add [have]`, `flat = "You add [haves]`, `"flat": there is no value [haves]`},
		{`flat = "You add [have]`, `flat = "You add [have {gage}`, `{gage} is neither`},
		{`kind = "count"`, `kind = "counts"`, `kind "counts" is none of`},
		{`high = 60`, `high = -1`, `low is not below high`},
		{`source = "a flat round`, `sauce = "a flat round`, `sauce`},
	} {
		text := strings.Replace(data, c.old, c.new, 1)
		_, err := readFigures(fstest.MapFS{"f.toml": {Data: []byte(text)}}, "f.toml")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
}

func TestEmbeddedFiles(t *testing.T) {
	b, err := readTroubles(troubleFiles, troubleNames, figureName)
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	for _, trouble := range b.troubles {
		for _, c := range trouble.Checks {
			used[c.Figure] = true
		}
	}
	for id := range b.figures {
		if !used[id] {
			t.Errorf("no check uses the figure %q", id)
		}
	}
	entries, err := troubleFiles.ReadDir("troubles")
	if err != nil || len(entries) != len(troubleNames)+1 {
		t.Errorf("%d files in the folder, %d are read (%v)", len(entries), len(troubleNames)+1, err)
	}
}

// Questions in the words of a first week, misspelt ones among them.
func TestFind(t *testing.T) {
	for _, c := range []struct{ ask, want string }{
		{"my edges are slanting in", "edges slant in"},
		{"my scarf gets wider and wider", "edges slant out"},
		{"i keep losing stitches", "count shrinks"},
		{"why do i have too many stitches", "count grows"},
		{"my blanket border is wavy", "edging ruffles"},
		{"the border pulls in", "edging puckers"},
		{"circel ruffels", "circle ruffles"},
		{"my circle looks like a bowl", "circle cups"},
		{"my circle is a hexagon", "circle corners"},
		{"stuffing is showing on my amigurumi", "ball has holes"},
		{"foundation chain to tight", "foundation tight"},
		{"row gauge does not match", "gauge one way"},
		{"my pieces don't line up when sewing", "seams do not meet"},
		{"my cardigan grew in the wash", "grew after washing"},
		{"my wool shrunk", "shrank after washing"},
		{"holes where i decrease", "holes at decreases"},
		{"ribbing is stretched out", "ribbing too loose"},
		{"colour changes look messy", "color joins"},
		{"neck gapes", "neckline gapes"},
		{"sleeve is to narrow", "sleeve too narrow"},
		{"my wrist hurts", "hands hurt"},
		{"stiches are uneven", "uneven stitches"},
		{"is this pattern us or uk", "terms mixed up"},
		{"the hook will not go in", "hands tight"},
	} {
		got := Find(c.ask, 3)
		if len(got) == 0 || got[0].Key != c.want {
			t.Errorf("%q finds %v, want %s first", c.ask, got, c.want)
		}
	}
	if got := Find("zzzz", 3); len(got) > 0 {
		t.Errorf("zzzz finds %v", got)
	}
}

// Every symptom that the desk promises is there.
func TestPromisedSymptoms(t *testing.T) {
	for _, id := range []string{
		"edges slant in", "edges slant out", "count grows", "count shrinks", "edging ruffles", "edging puckers",
		"circle cups", "circle ruffles", "ball has holes", "foundation tight", "gauge one way", "seams do not meet",
		"grew after washing", "holes at decreases", "ribbing too loose", "color joins", "neckline gapes", "sleeve too narrow",
	} {
		trouble, ok := Lookup(id, stitch.US)
		if !ok || len(trouble.Checks) < 2 {
			t.Errorf("%s is missing or has too few checks", id)
		}
	}
	if _, ok := Lookup("banana", stitch.US); ok {
		t.Error("banana is a trouble")
	}
}

// A trouble of the body or of small children carries its caution.
func TestCautionsStandWhereTheyBelong(t *testing.T) {
	for id, want := range map[string]string{
		"hands hurt": "doctor", "hands tight": "doctor", "ball has holes": "under three",
		"button band gapes": "under three", "color joins": "babies", "ribbing too loose": "babies", "neck too tight": "Cords",
	} {
		if trouble, _ := Lookup(id, stitch.US); !strings.Contains(trouble.Caution, want) {
			t.Errorf("%s: the caution is %q, want %q in it", id, trouble.Caution, want)
		}
	}
}

func TestTroublesKeepToOneDialect(t *testing.T) {
	for _, trouble := range All(stitch.UK) {
		if trouble.ID == "terms mixed up" {
			continue // it compares the two
		}
		all := append([]string{trouble.Symptom, trouble.Caution}, trouble.Asked[:0]...)
		for _, c := range trouble.Checks {
			all = append(all, c.Cause, c.Test, c.Fix)
		}
		for _, text := range all {
			for _, word := range []string{" sc", "hdc", "gauge", "{", " color", " fiber", "skip ", "Skip "} {
				if strings.Contains(text, word) {
					t.Errorf("%s in UK terms says %q: %s", trouble.ID, word, text)
				}
			}
		}
	}
}

func ExampleFind() {
	for _, m := range Find("why does my circle curl up", 1) {
		fmt.Println(m.Key)
	}
	// Output: circle cups
}

func ExampleLookup() {
	trouble, _ := Lookup("circle ruffles", stitch.US)
	fmt.Println(trouble.Symptom)
	fmt.Println(trouble.Checks[0].Cause)
	// Output:
	// My circle ruffles
	// There are too many increases in a round.
}

func ExampleFigure_Work() {
	f, _ := FigureOf("circle")
	o, _ := f.Work(Facts{"stitches": 16, "rows": 17, "increases": 8}, stitch.US, measure.Centimetres)
	fmt.Println(o.Text)
	// Output: You add 8 in each round. At your gauge about 6 lie flat. That is too many, so the circle ruffles.
}

func BenchmarkFind(b *testing.B) {
	for b.Loop() {
		Find("why does my circle curl up like a bowl", 5)
	}
}
