package commands

import (
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"countwright/calc/gauge"
	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/commands/reply"
)

// TestJudge, by hand, for a claim of 1000 mm at 14 by 10. The doubt of a gauge
// counted over 10 cm is (¼ ÷ 14 + 0.5 ÷ 100) = 2.29 % of its stitches and
// (¼ ÷ 10 + 0.5 ÷ 100) = 3 % of its rows.
func TestJudge(t *testing.T) {
	claim := claims{gauge: gauge.Gauge{Stitches: 14, Rows: 10}}
	wide := grade.Finished{Name: "chest", MM: 1000, Across: 1000, Unit: 8}
	tall := grade.Finished{Name: "length", MM: 1000, Unit: 10}
	// Of the width 4 + 5 + 22.86 = 31.86 mm are explained, of the length 5 + 5 + 30 = 40.
	tight := &measuredGauge{Gauge: gauge.Gauge{Stitches: 16, Rows: 10}, wide: 100, tall: 100} // 1000 × 14 ÷ 16 = 875, give or take 5 + 875 × (0.25 ÷ 16 + 0.005) = 23
	for _, c := range []struct {
		f    grade.Finished
		got  float64
		mine *measuredGauge
		want testVerdict
	}{
		{wide, 1000, nil, agrees}, {wide, 1031, nil, agrees}, {wide, 969, nil, agrees}, {wide, 1032, nil, differs}, {wide, 968, nil, differs},
		{tall, 1039, nil, agrees}, {tall, 1041, nil, differs},
		{wide, 875, tight, byGauge}, {wide, 853, tight, byGauge}, {wide, 851, tight, differs}, {wide, 897, tight, byGauge}, {wide, 899, tight, differs},
		{wide, 1000, tight, odd},
		{tall, 1000, tight, agrees}, // her rows are the pattern's
	} {
		if got := judge(c.f, c.got, claim, c.mine); got.verdict != c.want {
			t.Errorf("%s %.0f: %q, want %q (explained %.1f, at her gauge %.1f)", c.f.Name, c.got, got.verdict, c.want, got.allowed, got.expected)
		}
	}
	// A larger swatch explains less.
	small := measuredGauge{Gauge: claim.gauge, wide: 50, tall: 50}
	large := measuredGauge{Gauge: claim.gauge, wide: 300, tall: 300}
	if a, b := small.doubt(), large.doubt(); a.Stitches <= b.Stitches || a.Rows <= b.Rows {
		t.Errorf("doubts: %v of a small swatch, %v of a large one", a, b)
	}
	for _, c := range []struct {
		grams float64
		want  testVerdict
	}{{600, agrees}, {721, agrees}, {723, differs}, {477, differs}} { // 600 g give or take 20 % and 2 g of the scale
		if got := judgeYarn(claims{grams: 600, doubt: 0.2}, c.grams); got.verdict != c.want {
			t.Errorf("%.0f g: %q, want %q", c.grams, got.verdict, c.want)
		}
	}
	if got := judgeYarn(claims{}, 300); got.verdict != unclaimed {
		t.Errorf("yarn that the pattern does not tell: %q", got.verdict)
	}
}

// TestJudgeTrueTester: whoever makes the counts at a gauge of her own, and
// measures as well as people do, is never said to differ.
func TestJudgeTrueTester(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := gauge.Gauge{Stitches: rapid.Float64Range(8, 30).Draw(t, "stitches"), Rows: rapid.Float64Range(6, 30).Draw(t, "rows")}
		f := grade.Finished{Name: "chest", MM: rapid.Float64Range(50, 2000).Draw(t, "mm"), Unit: 100 / base.Rows}
		f.Across = f.MM * rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(t, "across")
		hers := gauge.Gauge{Stitches: base.Stitches * rapid.Float64Range(0.8, 1.25).Draw(t, "tighter"), Rows: base.Rows * rapid.Float64Range(0.8, 1.25).Draw(t, "shorter")}
		// She counts a fifth of a stitch wrong at most, and reads the tape to 3 mm.
		told := &measuredGauge{Gauge: gauge.Gauge{Stitches: hers.Stitches + rapid.Float64Range(-0.2, 0.2).Draw(t, "miscount"), Rows: hers.Rows + rapid.Float64Range(-0.2, 0.2).Draw(t, "misrow")}, wide: 100, tall: 100}
		got := f.At(base, hers) + rapid.Float64Range(-3, 3).Draw(t, "tape")
		if v := judge(f, got, claims{gauge: base}, told); v.verdict == differs || v.verdict == odd {
			t.Fatalf("%.1f mm of %.1f is said to be %q; at her gauge %.1f", got, f.MM, v.verdict, v.expected)
		}
	})
}

func TestReadFinished(t *testing.T) {
	names := []string{"chest, buttoned", "length from shoulder", "sleeve length", "sleeve around the top"}
	for _, c := range []struct {
		text  string
		names []string
		want  string // name=mm, …
		wrong string
	}{
		{"chest 106 cm; length 60,5 cm", names, "chest, buttoned=1060 length from shoulder=605", ""},
		{"chest, buttoned: 106\nsleeve length = 43 1/2 cm", names, "chest, buttoned=1060 sleeve length=435", ""},
		{"Chest 106 cm, sleeve length 43 cm and length 2 ft", names, "", "sleeve length: "},
		{"Chest 106 cm, sleeve length 43 cm, and length 60", names, "chest, buttoned=1060 sleeve length=430 length from shoulder=600", ""},
		{"• chest – 42½ in", names, "chest, buttoned=1079.5", ""},
		{"around the top ½ m", names, "sleeve around the top=500", ""},
		{"brim 56; crown 20", nil, "brim=560 crown=200", ""},
		{"sleeve 30 cm", names, "", "can be sleeve length, sleeve around the top"},
		{"elbow 30 cm", names, "", "names no “elbow”"},
		{"chest 106; chest 107", names, "", "told twice"},
		{"chest", names, "", "has no length"},
		{"106 cm", names, "", "has no name"},
		{"chest 106 parsecs", names, "", "chest: "},
		{"chest 0 cm", names, "", "chest: "},
		{"chest 40 m", names, "", "chest: "},
		{" ;\n; ", names, "", "no measurement"},
		{strings.Repeat("a", 61) + " 5 cm", nil, "", "more letters"},
	} {
		got, err := readFinished(c.text, measure.Centimetres, c.names)
		if c.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), c.wrong) {
				t.Errorf("%q: %v, %v; want %q", c.text, got, err, c.wrong)
			}
			continue
		}
		var said []string
		for _, m := range got {
			said = append(said, fmt.Sprintf("%s=%g", m.Name, m.Length.MM()))
		}
		if err != nil || strings.Join(said, " ") != c.want {
			t.Errorf("%q: %q, %v; want %q", c.text, said, err, c.want)
		}
	}
}

func FuzzReadFinished(f *testing.F) {
	for _, s := range []string{"chest 106 cm; length 60,5 cm", "chest, buttoned: 106\nsleeve length = 43 1/2", "½", "a 1,b 2, c 3", "• chest – 42½ in", "length 1e9"} {
		f.Add(s)
	}
	names := []string{"chest, buttoned", "length from shoulder"}
	f.Fuzz(func(t *testing.T, text string) {
		for _, known := range [][]string{nil, names} {
			got, err := readFinished(text, measure.Inches, known)
			if err != nil {
				continue
			}
			for _, m := range got {
				if m.Length < measure.Millimetre || m.Length > 10*measure.Metre || m.Name == "" || known != nil && !slices.Contains(known, m.Name) {
					t.Fatalf("%q: %+v", text, m)
				}
			}
		}
	})
}

func TestReadWorkTime(t *testing.T) {
	for text, want := range map[string]int{
		"38 h": 2280, "38:30": 2310, "38 h 30": 2310, "38h30min": 2310, "38,5 h": 2310, "38.5": 2310, "2300 min": 2300, "12 hours 5 minutes": 725, "2000 h": 120_000,
		"": 0, "0 h": 0, "-3 h": 0, "2001 h": 0, "38:75": 0, "soon": 0, "1e3 h": 0, "NaN": 0, "5 h 3 h": 0,
	} {
		got, err := readWorkTime(text, Settings{})
		if (err != nil) != (want == 0) || err == nil && got != want {
			t.Errorf("%q: %d, %v; want %d", text, got, err, want)
		}
	}
}

func FuzzReadWorkTime(f *testing.F) {
	for _, s := range []string{"38 h", "38:30", "38,5 h", "2300 min", "h", "m", "1.5.2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if got, err := readWorkTime(text, Settings{}); err == nil && (got < 1 || got > mostWorkHours*60) {
			t.Fatalf("%q: %d minutes", text, got)
		}
	})
}

// TestMeasuredComesFromProject: a finished project's minutes and yarn are taken
// where she says none, and what she says wins.
func TestMeasuredComesFromProject(t *testing.T) {
	m := withSwatch()
	cleo := member("cleo", "Cleo")
	m.says(t, cleo, "/makealong join makealong:3 size:woman L")
	m.says(t, cleo, "/project note left:800 g")
	p, _ := m.part(3, "cleo")
	book, _, _ := m.projects.Open(t.Context(), "cleo", p.Project)
	for i, piece := range book.Pinned.Plan.Pieces() {
		m.says(t, cleo, fmt.Sprintf("/project row n:+%d piece:%d time:3 h", len(piece.Rows), i+1))
	}
	m.says(t, cleo, "/project note left:150 g")
	want := map[string]float64{"yarn": 650, "time": float64(180 * len(book.Pinned.Plan.Pieces()))}
	check := func(r reply.Reply) {
		t.Helper()
		for _, f := range r.Data.(testerData).Findings {
			if v, ok := want[f.What]; ok && (math.Abs(f.Measured-v) > 0.5 || !f.Project) {
				t.Errorf("%s: %v, from her project %t; want %v", f.What, f.Measured, f.Project, v)
			}
		}
	}
	check(m.says(t, cleo, "/makealong measured remarks:fine"))
	for _, f := range m.says(t, cleo, "/makealong measured yarn:700 g").Data.(testerData).Findings {
		if f.What == "yarn" && (f.Measured != 700 || f.Project) {
			t.Errorf("what she says: %+v", f)
		}
	}
}

// TestPaces, by hand: 12 000 stitches in 20 h are 600 an hour.
func TestPaces(t *testing.T) {
	one := func(seat string, stitches, hours int) tester {
		return tester{stitches: stitches, part: Participant{Seat: seat, Measured: map[string]float64{measuredMinutes: float64(60 * hours)}}}
	}
	got := paces(inEnglish, []tester{one("S", 12_000, 20), one("M", 14_000, 28), one("L", 15_000, 5), one("XL", 0, 9), one("2X", 16_000, 0)})
	want := []string{
		"S: about 600, 12 000 stitches in 20 h",
		"M: about 500, 14 000 stitches in 28 h",
		"L: about 3000, 15 000 stitches in 5 h. The middle of all is about 600: worth asking how it was timed",
	}
	if len(got) != 3 {
		t.Fatalf("%q", got)
	}
	for i := range got {
		if strings.Map(plainSpace, got[i]) != strings.Map(plainSpace, want[i]) {
			t.Errorf("%q\nwant %q", got[i], want[i])
		}
	}
	if two := paces(inEnglish, []tester{one("S", 12_000, 20), one("L", 15_000, 5)}); strings.Contains(strings.Join(two, ""), "worth") {
		t.Errorf("of two, neither is the odd one: %q", two)
	}
}

// plainSpace makes every space a plain one.
func plainSpace(r rune) rune {
	if unicode.IsSpace(r) {
		return ' '
	}
	return r
}

// TestTestersCSV: the table holds each figure once, in the host's unit, and
// nothing in it is taken for a formula.
func TestTestersCSV(t *testing.T) {
	m := withSwatch()
	for i := range m.alongs.party {
		if m.alongs.party[i].Along == 3 {
			m.alongs.party[i].Remarks, m.alongs.party[i].Name = "=HYPERLINK(1)", "+Ana"
		}
	}
	m.settings["mira"] = Settings{Units: measure.Inches}
	r := m.says(t, asker, "/makealong testers makealong:3")
	var body []byte
	for _, p := range r.Parts {
		if f, ok := p.(reply.File); ok && f.Name == "testers.csv" {
			body = f.Body
		}
	}
	records, err := csv.NewReader(strings.NewReader(string(body))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	chest, rows := false, 0
	for _, d := range r.Data.([]testerData) {
		rows += len(d.Findings)
		if d.Remarks != "" {
			rows++
		}
	}
	if len(records) != rows+1 {
		t.Errorf("%d records, want %d and a head", len(records), rows)
	}
	for _, rec := range records[1:] {
		for _, cell := range rec {
			if strings.IndexAny(cell, "=@") == 0 || strings.HasPrefix(cell, "+A") {
				t.Errorf("%q may be taken for a formula", cell)
			}
		}
		if rec[2] == "chest, buttoned" {
			chest = true
			// by hand: 1069.05 mm and 1080 mm in inches of 25.4 mm
			if rec[3] != "in" || rec[4] != "42.09" || rec[5] != "42.52" {
				t.Errorf("the chest: %v", rec)
			}
		}
	}
	if !chest || !r.Private {
		t.Errorf("the chest is there: %t; private: %t", chest, r.Private)
	}
	if other := All(m.services(), nil).RunLine(t.Context(), member("ana", "Ana"), "/makealong testers makealong:3"); other.Error == nil {
		t.Error("a member who is no host sees the testers' table")
	}
}
