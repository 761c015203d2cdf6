package notation

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"countwright/calc/stitch"
)

// What goes beyond the limits is told, and the rest is read.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		name, text string
		limits     Limits
		want       string
	}{
		{"length", "Row 1: sc in next st.\nRow 2: sc in next st.", Limits{Bytes: 25}, "the text has 43 bytes; what is beyond the first 25 is not read"},
		{"length within a character", "é é", Limits{Bytes: 4}, "the text has 5 bytes; what is beyond the first 4 is not read"},
		{"count", "Row 1: sc in next 12 sts.", Limits{Count: 10}, "12 is more than the 10 that is read"},
		{"repeats", "Row 1: (sc, dc) 12 times.", Limits{Count: 10}, "12 is more than the 10 that is read"},
		{"sizes", "Row 1: ch 5 (12, 7).", Limits{Count: 10}, "12 is more than the 10 that is read"},
		{"huge", "Row 1: ch 123456789123456789.", Limits{}, "this number is more than the 10000 that is read"},
		{"nesting", "Row 1: [(sc, {dc, ch 1}) in next st, ch 1] 3 times.", Limits{Nesting: 2}, "brackets nest deeper than 2"},
	} {
		doc := Parse(c.text, Options{Terms: US, Limits: c.limits})
		if len(doc.Problems) != 1 || doc.Problems[0].Message != c.want {
			t.Errorf("%s: problems %+v, want %q", c.name, doc.Problems, c.want)
		}
		if strings.HasPrefix(c.text, "Row") && len(doc.Parts[0].Lines) != 1 {
			t.Errorf("%s: %d lines", c.name, len(doc.Parts[0].Lines))
		}
	}
}

// The default limits are those that the reader promises.
func TestDefaultLimits(t *testing.T) {
	long := strings.Repeat("Row 1: sc in next st.\n", 4000)
	doc := Parse(long, Options{Terms: US})
	if len(doc.Problems) != 1 || !strings.Contains(doc.Problems[0].Message, "beyond the first 65536") {
		t.Errorf("problems %+v", doc.Problems)
	}
	if n := len(doc.Parts); n < 2900 {
		t.Errorf("only %d rows read", n)
	}
	if got := (Limits{}).orDefaults(); got != (Limits{65536, 20, 10000}) {
		t.Errorf("defaults %+v", got)
	}
}

// A problem names the place and the words as they stand.
func TestProblemPlace(t *testing.T) {
	doc := Parse("Row 1: sc in next st.\nRow 2: é sc, hdv in next st, turn.", Options{Terms: US})
	var got []string
	for _, p := range doc.Problems {
		got = append(got, p.Text)
		if p.From.Line != 2 {
			t.Errorf("problem at %+v", p.From)
		}
	}
	if want := "hdv in next st"; len(got) == 0 || got[len(got)-1] != want {
		t.Errorf("problems at %q, want %q last", got, want)
	}
	last := doc.Problems[len(doc.Problems)-1]
	if last.From.Column != 14 || last.Near != "hdc" {
		t.Errorf("problem %+v", last)
	}
}

// A heading says how many of a piece are made, in words or in figures.
func TestMakeCount(t *testing.T) {
	for text, want := range map[string]int{"Square": 1, "Square (make 2)": 2, "Sleeve - make two": 2, "Square (make 20)": 20, "Square (make 21)": 21,
		"Square (make 144):": 144, "Mitts: make both": 2, "Square (make 0)": 1, "Square (make 501)": 1, "Square (make 1e2)": 1, "Make it": 1} {
		if _, got := makeCount(text); got != want {
			t.Errorf("%q: %d, want %d", text, got, want)
		}
	}
}

// Sizes, multiples and definitions are found.
func TestDocument(t *testing.T) {
	doc := Parse(`Sizes: XS (S, M, L)
Multiple of 6 + 2, plus 1 for turning
Shell (sh): (2 dc, ch 1, 2 dc) in same st
Back
Ch 81 (89, 97, 105).
Row 1: Sh in next st, turn. (80 (88, 96, 104) sts)
Front (make 2)
Ch 81 (89, 97, 105).
Row 1: Sc in each ch across.
`, Options{Terms: US})
	if len(doc.Problems) > 0 {
		t.Fatalf("problems %+v", doc.Problems)
	}
	if diff := cmp.Diff([]string{"XS", "S", "M", "L"}, doc.Sizes); diff != "" || doc.SizeCount != 4 {
		t.Errorf("sizes %d %s", doc.SizeCount, diff)
	}
	if diff := cmp.Diff([]Multiple{{Of: 6, Plus: 2, Turning: 1}}, doc.Multiples, sameTree); diff != "" {
		t.Errorf("multiples %s", diff)
	}
	if len(doc.Definitions) == 0 || doc.Definitions[0].Name != "shell" || len(doc.Definitions[0].Steps) != 1 {
		t.Errorf("definitions %+v", doc.Definitions)
	}
	var names []string
	for _, p := range doc.Parts {
		names = append(names, p.Name)
	}
	if diff := cmp.Diff([]string{"Back", "Front"}, names); diff != "" || doc.Parts[1].Make != 2 {
		t.Errorf("parts %s", diff)
	}
	rows := 0
	doc.Rows(func(_ *Part, r *Row) {
		rows++
		for _, s := range r.Steps {
			if s, ok := s.(*Stitches); ok && s.Name != "shell" && s.Name != "sc" {
				t.Errorf("stitch %q", s.Name)
			}
		}
	})
	if rows != 4 {
		t.Errorf("%d rows", rows)
	}
}

// Chains of the first row count as the text says once for all.
func TestTurningNotes(t *testing.T) {
	for _, c := range []struct {
		note   string
		counts Counting
		as     stitch.ID
	}{
		{"Ch 3 counts as dc throughout.", CountsAsStitch, "dc"},
		{"The turning chain counts as a stitch.", CountsAsStitch, ""},
		{"Turning ch does not count as a stitch.", CountsAsNone, ""},
		{"Ch 2 counts as hdc throughout.", CountUnsaid, ""},
		{"Beginning ch-3 counts as first dc here and throughout.", CountsAsStitch, "dc"},
	} {
		doc := Parse("Notes\n"+c.note+"\n\nRow 1: Ch 3, dc in each st across.", Options{Terms: US})
		var chain *Chain
		doc.Rows(func(_ *Part, r *Row) { chain, _ = r.Steps[0].(*Chain) })
		if chain == nil || chain.Counts != c.counts || chain.As != c.as {
			t.Errorf("%q: chain %+v", c.note, chain)
		}
	}
}

// Numbers answer for each size.
func TestNumber(t *testing.T) {
	n := N(3, 4, 5)
	for size, want := range map[int]int{0: 3, 2: 5, 7: 5} {
		if got := n.At(size); got != want {
			t.Errorf("At(%d) = %d, want %d", size, got, want)
		}
	}
	var none Number
	if none.Said() || none.At(0) != 0 || !n.Said() {
		t.Error("an empty number is said")
	}
}

// Text with broken characters is read, and what is told of it is valid.
func TestBrokenText(t *testing.T) {
	for _, text := range []string{"Row 1: sc \xff\xfe in next st.", "\x00", "Row 1: \xc3", strings.Repeat("\u202e", 50)} {
		doc := Parse(text, Options{})
		for _, p := range doc.Problems {
			if !utf8.ValidString(p.Message) {
				t.Errorf("%q: message %q", text, p.Message)
			}
		}
		Print(doc, PrintOptions{})
	}
}

// A walk meets every step, and stays out of groups that it is told to.
func TestWalk(t *testing.T) {
	doc := Parse("Row 1: [sc, (dc, ch 1) in next st] 3 times, turn.", Options{Terms: US})
	row := doc.Parts[0].Lines[0].(*Row)
	all, outer := 0, 0
	Walk(row.Steps, func(Step) bool { all++; return true })
	Walk(row.Steps, func(Step) bool { outer++; return false })
	if all != 6 || outer != 2 {
		t.Errorf("met %d and %d steps", all, outer)
	}
	clone := cloneSteps(row.Steps)
	if diff := cmp.Diff(row.Steps, clone); diff != "" {
		t.Errorf("clone differs: %s", diff)
	}
	clone[0].(*Group).Steps[0].(*Stitches).Name = "tr"
	if row.Steps[0].(*Group).Steps[0].(*Stitches).Name != "sc" {
		t.Error("the clone shares its steps")
	}
}
