package sizing

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/measure"
)

const cm = measure.Centimetre

func table(t testing.TB, name string) *Table {
	t.Helper()
	found, err := Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// TestInches holds the centimetre rows of the charts against their inch rows,
// which were printed beside them: a chart rounds to half a centimetre, and
// once or twice further.
func TestInches(t *testing.T) {
	const src = "Craft Yarn Council size charts, inch rows (from memory)"
	for _, c := range []struct {
		table  string
		m      Measure
		inches string
	}{
		{"baby", Chest, "16 17 18 19 20"},
		{"baby", CentreBack, "10.5 11.5 12.5 14 18"},
		{"baby", BackLength, "6 7 7.5 8 8.5"},
		{"baby", CrossBack, "7.25 7.75 8.25 8.5 8.75"},
		{"baby", ArmLength, "6 6.5 7.5 8 8.5"},
		{"baby", UpperArm, "5.5 6 6.5 7 7.5"},
		{"baby", ArmholeDepth, "3.25 3.5 3.75 4 4.25"},
		{"baby", Waist, "18 19 20 20.5 21"},
		{"baby", Hips, "19 20 20 21 22"},
		{"child", Chest, "21 23 25 26.5 28 30 31.5 32.5"},
		{"child", CentreBack, "18 19.5 20.5 22 24 26 27 28"},
		{"child", BackLength, "8.5 9.5 10.5 12.5 14 15 15.5 16"},
		{"child", CrossBack, "9.25 9.75 10.25 10.75 11.25 12 12.25 13"},
		{"child", ArmLength, "8.5 10.5 11.5 12.5 13.5 15 16 16.5"},
		{"child", UpperArm, "7 7.5 8 8.5 8.75 9 9.25 9.5"},
		{"child", ArmholeDepth, "4.25 4.75 5 5.5 6 6.5 7 7.5"},
		{"child", Waist, "21 21.5 22.5 23.5 24.5 25 26.5 27.5"},
		{"child", Hips, "22 23.5 25 28 29.5 31.5 33 35.5"},
		{"woman", Chest, "28-30 32-34 36-38 40-42 44-46 48-50 52-54 56-58 60-62"},
		{"woman", BackLength, "16.5 17 17.25 17.5 17.75 18 18 18.5 18.5"},
	} {
		row, _ := table(t, c.table).Row(c.m)
		cells := strings.Fields(c.inches)
		if len(cells) != len(row.Ranges) {
			t.Errorf("%s %s: %d cells, %d sizes", c.table, c.m, len(cells), len(row.Ranges))
			continue
		}
		for i, cell := range cells {
			r, err := parseRange(cell, measure.Inches)
			if err != nil {
				t.Fatal(err)
			}
			if d := max((r.Low - row.Ranges[i].Low).Abs(), (r.High - row.Ranges[i].High).Abs()); d > 7*measure.Millimetre {
				t.Errorf("%s %s %s: %s is %s in by %s", c.table, table(t, c.table).Sizes[i].Name, c.m, row.Ranges[i].Text(measure.Centimetres), cell, src)
			}
		}
	}
}

// TestHeads holds the heads of babies and children, and of women, against the
// medians and the standard that they are derived from.
func TestHeads(t *testing.T) {
	// Source: WHO Child Growth Standards, 2007, medians of boys and girls.
	for _, c := range []struct {
		table, size string
		boys, girls float64
	}{
		{"baby", "3 months", 40.5, 39.5}, {"baby", "6 months", 43.3, 42.2}, {"baby", "12 months", 46.1, 44.9},
		{"baby", "18 months", 47.4, 46.2}, {"baby", "24 months", 48.2, 47.2},
		{"child", "2", 48.2, 47.2}, {"child", "4", 50.2, 49.3},
		{"head", "newborn", 34.5, 33.9}, {"head", "1 month", 37.2, 36.5}, {"head", "9 months", 45, 43.8}, {"head", "5 years", 50.7, 49.9},
	} {
		s, err := table(t, c.table).Size(c.size)
		if got := s.Ranges[Head].Middle().In(measure.Centimetres); err != nil || math.Abs(got-(c.boys+c.girls)/2) > 0.31 {
			t.Errorf("%s %s: head %v, median %v, %v", c.table, c.size, got, (c.boys+c.girls)/2, err)
		}
	}
	astm := table(t, "ASTM woman")
	for _, s := range table(t, "woman").Sizes[:5] {
		c, err := astm.Complete(Body{Chest: s.Ranges[Chest].Middle()})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []Measure{Head, Neck} {
			want := c.Body[m]
			if c.Beyond < 0 { // smaller than the smallest: held at it
				want = astm.Sizes[0].Ranges[m].Middle()
			}
			if d := (want - s.Ranges[m].Middle()).Abs(); d > 3*measure.Millimetre {
				t.Errorf("woman %s: %s is %v, derived %v", s.Name, m, s.Ranges[m].Middle(), want)
			}
		}
	}
}

func TestCells(t *testing.T) {
	for _, c := range []struct {
		table, size string
		m           Measure
		low, high   float64
		unit        measure.Unit
		src         string
	}{
		{"woman", "1X", UpperArm, 34.5, 34.5, measure.Centimetres, "CYC woman, centimetre rows"},
		{"woman", "5X", Hips, 155, 157, measure.Centimetres, "CYC woman, centimetre rows"},
		{"woman", "M", ArmholeDepth, 17.5, 19, measure.Centimetres, "CYC woman, centimetre rows"},
		{"woman", "L", CentreBack, 73.5, 75, measure.Centimetres, "CYC woman, centimetre rows"},
		{"man", "L", Chest, 42, 44, measure.Inches, "CYC man, from memory"},
		{"man", "2X", HipLength, 28, 28.5, measure.Inches, "CYC man, from memory"},
		{"EN woman", "104", Chest, 102, 107, measure.Centimetres, "EN 13402-3: class limits … 102, 107"},
		{"EN woman", "92", Hips, 100, 100, measure.Centimetres, "EN 13402-3, from memory"},
		{"EN man", "100", Waist, 88, 88, measure.Centimetres, "EN 13402-3, from memory"},
		{"ASTM woman", "12", Neck, 15.125, 15.125, measure.Inches, "ASTM D5585-11e1: 15 1/8"},
		{"ASTM woman", "00", Head, 21.25, 21.25, measure.Inches, "ASTM D5585-11e1: 21 1/4"},
		{"craft head", "toddler", Head, 16, 16, measure.Inches, "CYC heads, from memory"},
		{"head", "newborn", Head, 31.7, 36.9, measure.Centimetres, "WHO: 3rd of girls, 97th of boys at birth"},
	} {
		s, err := table(t, c.table).Size(c.size)
		if want := (Range{measure.Of(c.low, c.unit), measure.Of(c.high, c.unit)}); err != nil || s.Ranges[c.m] != want {
			t.Errorf("%s %s %s is %v, %v; want %v (%s)", c.table, c.size, c.m, s.Ranges[c.m], err, want, c.src)
		}
	}
}

// TestTables holds what every table must: rows that never fall, a source and a
// basis for each, limits that no cell breaks.
func TestTables(t *testing.T) {
	for _, tab := range Tables() {
		if tab.Name == "" || tab.Source == "" || tab.Title == "" || tab.Rows[0].Measure != tab.Key {
			t.Errorf("%+v", tab)
		}
		for _, row := range tab.Rows {
			low, high := row.Measure.Limits()
			if row.Source == "" || row.Measure.How() == "" {
				t.Errorf("%s %s: no source", tab.Name, row.Measure)
			}
			for i, r := range row.Ranges {
				if r.Low < low || r.High > high {
					t.Errorf("%s %s %s: %v", tab.Name, tab.Sizes[i].Name, row.Measure, r)
				}
				if i > 0 && (r.Low < row.Ranges[i-1].Low || r.High < row.Ranges[i-1].High) {
					t.Errorf("%s %s falls at %s", tab.Name, row.Measure, tab.Sizes[i].Name)
				}
				if got := tab.Sizes[i].Body()[row.Measure]; got != r.Middle() {
					t.Errorf("%s %s: %v, %v", tab.Name, row.Measure, got, r)
				}
			}
		}
	}
	// The oddities that are kept.
	baby := table(t, "baby")
	for _, s := range baby.Sizes {
		if s.Ranges[Waist].Low <= s.Ranges[Chest].Low {
			t.Errorf("a baby's waist is larger than its chest in the chart, at %s it is not", s.Name)
		}
	}
	if len(baby.Oddities) != 3 {
		t.Errorf("oddities %q", baby.Oddities)
	}
	// EN classes touch.
	row, _ := table(t, "EN woman").Row(Chest)
	for i := range row.Ranges[1:] {
		if row.Ranges[i].High != row.Ranges[i+1].Low {
			t.Errorf("EN classes %v and %v don't touch", row.Ranges[i], row.Ranges[i+1])
		}
	}
}

func TestNames(t *testing.T) {
	for name, want := range map[string]string{
		"woman": "woman", "Women": "woman", "LADIES": "woman", "men": "man", "Kids": "child", "babies": "baby", "hats": "head",
		"EN women": "EN woman", "astm": "", "": "", "women's": "woman",
	} {
		got, err := Named(name)
		var bad *NameError
		switch {
		case want == "" && !errors.As(err, &bad):
			t.Errorf("%q is %v, %v", name, got, err)
		case want != "" && (err != nil || got.Name != want):
			t.Errorf("%q: %v, want %s", name, err, want)
		}
	}
	for _, c := range []struct{ table, name, want string }{
		{"woman", "m", "M"}, {"woman", "XL", "1X"}, {"woman", "xxl", "2X"}, {"woman", "3XL", "3X"}, {"woman", "large", "L"}, {"woman", "size S", "S"},
		{"man", "1x", "XL"}, {"man", "2XL", "2X"}, {"child", "6 years", "6"}, {"child", "age 10", "10"}, {"child", "4T", "4"}, {"child", "8y", "8"},
		{"baby", "3 mo", "3 months"}, {"baby", "24m", "24 months"}, {"baby", "12-months", "12 months"},
		{"head", "birth", "newborn"}, {"head", "1 month", "1 month"}, {"head", "1mo", "1 month"}, {"head", "2 years", "2 years"},
		{"woman", "9X", ""}, {"man", "3X", ""}, {"baby", "6", ""}, {"child", "6 months", ""}, {"woman", "", ""},
	} {
		s, err := table(t, c.table).Size(c.name)
		if s.Name != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s %q is %q, %v; want %q", c.table, c.name, s.Name, err, c.want)
		}
	}
	found, err := SizesNamed("M")
	if err != nil || len(found) != 2 || found[0].Table.Name != "woman" || found[1].Table.Name != "man" {
		t.Errorf("M: %d, %v", len(found), err)
	}
	if found, err = SizesNamed("newborn"); err != nil || len(found) != 1 || found[0].Table.Key != Head {
		t.Errorf("newborn: %d, %v", len(found), err)
	}
	if _, err = SizesNamed("huge"); err == nil || !strings.Contains(err.Error(), `no size is called "huge"; there are baby 3 months, `) {
		t.Error(err)
	}
}

func TestEase(t *testing.T) {
	for _, c := range []struct {
		name      string
		low, high float64
		open      bool
		usual     float64
	}{ // Source: Craft Yarn Council, Standards & Guidelines, 2015 and 2018 (from memory).
		{"very close", -10, -5, false, -7.5}, {"close", 0, 0, false, 0}, {"classic", 5, 10, false, 7.5},
		{"loose", 10, 15, false, 12.5}, {"oversized", 15, 0, true, 15}, {"Standard", 5, 10, false, 7.5}, {"oversize", 15, 0, true, 15},
	} {
		e, err := EaseNamed(c.name)
		if err != nil || e.Low.In(0) != c.low || e.High.In(0) != c.high || e.Open != c.open || e.Usual().In(0) != c.usual || e.Source == "" {
			t.Errorf("%s: %+v, %v", c.name, e, err)
		}
	}
	for ease, want := range map[float64]string{-30: "very close", -10: "very close", -2: "close", 0: "close", 3: "classic", 8: "classic", 10: "loose", 15: "oversized", 60: "oversized"} {
		if got := EaseOf(measure.Of(ease, measure.Centimetres)); got.Name != want {
			t.Errorf("%v cm is %s, want %s", ease, got.Name, want)
		}
	}
	if _, err := EaseNamed("baggy"); err == nil || err.Error() != `no ease is called "baggy"; there are very close, close, classic, loose, oversized` {
		t.Error(err)
	}
	if len(Eases()) != 5 {
		t.Error(len(Eases()))
	}
}

func TestBlankets(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, length measure.Length
		infant        bool
	}{ // Common practice, no source.
		{"lap", 90 * cm, 120 * cm, false}, {"throw", 130 * cm, 150 * cm, false}, {"pram", 75 * cm, 90 * cm, true},
		{"crib", 90 * cm, 130 * cm, true}, {"Stroller", 75 * cm, 90 * cm, true},
	} {
		b, err := BlanketNamed(c.name)
		if err != nil || b.Width != c.width || b.Length != c.length || b.Infant != c.infant {
			t.Errorf("%s: %+v, %v", c.name, b, err)
		}
	}
	if _, err := BlanketNamed("tent"); err == nil {
		t.Error("no blanket is a tent")
	}
	for i, b := range Blankets()[1:] {
		if b.Name == "" || b.Width < Blankets()[i].Width/2 {
			t.Errorf("%+v", b)
		}
	}
}

// TestFaultyTables: a slip in a data file is named with its file.
func TestFaultyTables(t *testing.T) {
	good, err := files.ReadFile("tables/head.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`unit = "cm"`, `unit = "ell"`, "unit must be cm or in"},
		{`"31.7-36.9", `, ``, "10 values for 11 sizes"},
		{`"31.7-36.9"`, `"36.9-31.7"`, "no range such as"},
		{`measure = "head"`, `measure = "heed"`, `no measure is called "heed"`},
		{`basis = "derived"`, `basis = "hearsay"`, `basis "hearsay" is unknown`},
		{`title =`, `titel =`, "a key that no entry has"},
		{`audience = "infant"`, `audience = "cats"`, "audience must be"},
	} {
		folder := fstest.MapFS{}
		entries, _ := files.ReadDir("tables")
		for _, e := range entries {
			data, _ := files.ReadFile("tables/" + e.Name())
			folder["tables/"+e.Name()] = &fstest.MapFile{Data: data}
		}
		bad := strings.Replace(string(good), c.old, c.new, 1)
		folder["tables/head.toml"] = &fstest.MapFile{Data: []byte(bad)}
		if _, err := read(folder); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "head.toml") {
			t.Errorf("%s: %v, want %s", c.new, err, c.want)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := read(files); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzParseRange(f *testing.F) {
	for _, text := range []string{"71-76", "42", "-3", "76-71", "NaN", "1e400", ""} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := parseRange(text, measure.Centimetres)
		if err == nil && (r.Low > r.High || r.Low < 0) {
			t.Errorf("%s is %v", strconv.Quote(text), r)
		}
	})
}
