package commands

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/stitch"
	"countwright/commands/reply"
	"countwright/commands/sheet"
	"countwright/commands/words"
)

// resizedBy is what /resize makes of a line, by a member of some settings.
func resizedBy(t testing.TB, settings Settings, line string) *resized {
	t.Helper()
	m := withSwatch()
	m.settings[asker.Member.ID] = settings
	set := All(m.services(), nil)
	path, inputs, err := ParseLine(line, set)
	if err != nil {
		t.Fatal(err)
	}
	command, _ := set.Lookup(path)
	call := asker
	call.Path, call.Inputs = path, inputs
	r, err := readCall(command, call, settings)
	if err != nil {
		t.Fatal(err)
	}
	o := newResizeOptions(m.services())
	a, err := o.answer(context.Background(), r, o.pattern.Of(r).Pattern, settings.Units)
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	return a
}

// printed is the sheet that a line asks for.
func printed(t testing.TB, settings Settings, line string) sheet.Sheet {
	t.Helper()
	a := resizedBy(t, settings, line)
	n, err := a.yarn()
	if err != nil {
		t.Fatal(err)
	}
	drawing, err := a.schematic().Draw()
	if err != nil {
		t.Fatal(err)
	}
	s, err := a.sheet(drawing, n)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// everyGarment is a line for each house pattern, in three sizes where it is
// made to a body.
func everyGarment() []string {
	var lines []string
	for _, p := range pattern.House() {
		if len(p.Tables) == 0 {
			lines = append(lines, "/resize pattern:"+p.Name+" sheet:Letter")
			continue
		}
		for _, size := range []string{"woman 5X", "child 8", "baby 6 months"} {
			if table, _, _ := strings.Cut(size, " "); slices.Contains(p.Tables, table) {
				lines = append(lines, fmt.Sprintf("/resize pattern:%s size:%q gauge:15x11 sheet:A4", p.Name, size))
			}
		}
	}
	return lines
}

func TestSheetIsAttached(t *testing.T) {
	set := All(withSwatch().services(), nil)
	files := func(line string) map[string][]byte {
		r := set.RunLine(context.Background(), asker, line)
		if r.Error != nil {
			t.Fatalf("%s: %s", line, r.Error.Message)
		}
		found := map[string][]byte{}
		for _, b := range r.Parts {
			if f, ok := b.(reply.File); ok {
				found[f.Name] = f.Body
			}
		}
		return found
	}
	const line = "/resize pattern:cardigan chest:112 cm gauge:14x10"
	if f := files(line); f["cardigan.pdf"] != nil || f["cardigan.svg"] != nil {
		t.Error("a sheet came unasked")
	}
	f := files(line + " sheet:A4")
	if !bytes.HasPrefix(f["cardigan.pdf"], []byte("%PDF-")) || len(f["cardigan.pdf"]) > 300_000 {
		t.Errorf("no sheet, or too large a one: %d bytes", len(f["cardigan.pdf"]))
	}
	if !bytes.HasPrefix(f["cardigan.svg"], []byte("<svg ")) || !bytes.Contains(f["cardigan.svg"], []byte("<title>Drop-Shoulder Cardigan")) {
		t.Errorf("no drawing: %.80q", f["cardigan.svg"])
	}
	if letter := files(line + " sheet:letter"); bytes.Equal(f["cardigan.pdf"], letter["cardigan.pdf"]) || letter["cardigan.pdf"] == nil {
		t.Error("the paper makes no difference")
	}
}

// The lines of a sheet have as many boxes as the garment has rows, and each
// sheet is small.
func TestSheetHasABoxForEachRow(t *testing.T) {
	set := All(withSwatch().services(), nil)
	for _, line := range everyGarment() {
		a := resizedBy(t, Settings{}, line)
		rows, boxes := 0, 0
		for _, p := range a.garment.Pieces {
			rows += len(p.Rows)
		}
		for _, p := range a.sheetPieces() {
			for _, l := range p.Lines {
				if l.Kind == sheet.Work && l.First > 0 {
					boxes += max(1, l.Rows)
				}
				if l.Label != "" && (!strings.HasSuffix(l.Label, ":") || strings.HasPrefix(l.Text, l.Label)) {
					t.Errorf("%s: label %q of %q", line, l.Label, l.Text)
				}
			}
		}
		if boxes != rows || rows == 0 {
			t.Errorf("%s: %d boxes for %d rows", line, boxes, rows)
		}
		for _, b := range set.RunLine(context.Background(), asker, line).Parts {
			if f, ok := b.(reply.File); ok && f.Type == "application/pdf" && len(f.Body) > 300_000 {
				t.Errorf("%s: %d bytes", line, len(f.Body))
			}
		}
	}
}

// everyday are the words of printed rows that anyone knows.
var everyday = strings.Fields(`row rows in to the each next last first from of and with at on into not as is over across around times time once every
	it them same center ring until before after these this evenly working along long edge up down right left side front back body neck sleeve strip
	turn hook magic fasten off leave unworked rejoin yarn facing top bottom hem foundation chain other end ends go where were stitches place marker
	markers begin here there form one two both band cuff a miss point underarm half`)

// What is abbreviated in the rows is explained, and nothing else is.
func TestSheetExplainsItsAbbreviations(t *testing.T) {
	letters := regexp.MustCompile(`[\pL][\pL\d]*`)
	for _, settings := range []Settings{{}, {Terms: termsNamed("UK")}} {
		for _, line := range everyGarment() {
			s := printed(t, settings, line)
			known := map[string]bool{}
			for _, a := range s.Abbreviations {
				if a.Text == "" {
					t.Errorf("%s: %s is not explained", line, a.Name)
				}
				for _, form := range strings.FieldsFunc(strings.ToLower(a.Name), func(r rune) bool { return r == ',' || r == ' ' }) {
					known[form] = true
				}
			}
			used := map[string]bool{}
			var names []string // sections are named in some rows
			for _, p := range s.Pieces {
				names = append(names, p.Name)
				for _, l := range p.Lines {
					if l.Kind == sheet.Heading {
						names = append(names, l.Text)
					}
				}
			}
			plain := append(letters.FindAllString(strings.ToLower(strings.Join(names, " ")), -1), everyday...)
			for _, p := range s.Pieces {
				for _, l := range p.Lines {
					if l.Kind != sheet.Work {
						continue
					}
					for _, w := range letters.FindAllString(l.Label+" "+l.Text, -1) {
						w = strings.ToLower(w)
						used[w] = true
						if w = strings.TrimPrefix(w, "nd"); !known[w] && !slices.Contains(plain, w) && !countingEnd(w) {
							t.Errorf("%s, %s terms: %q is not explained; it stands in %s %s", line, s.Terms, w, l.Label, l.Text)
							known[w] = true
						}
					}
				}
			}
			for w := range known {
				if !used[w] {
					t.Errorf("%s, %s terms: %q is explained and does not occur", line, s.Terms, w)
				}
			}
		}
	}
}

// countingEnd is what is left of "2nd".
func countingEnd(w string) bool { return slices.Contains([]string{"", "st", "nd", "rd", "th"}, w) }

func TestAbbreviation(t *testing.T) {
	for _, test := range []struct {
		word        string
		d           stitch.Dialect
		form, means string
	}{
		{"Sc", stitch.US, "sc", "single crochet"},
		{"dc", stitch.US, "dc", "double crochet"},
		{"dc", stitch.UK, "dc", "double crochet"},
		{"htr", stitch.UK, "htr", "half treble"},
		{"hdc2tog", stitch.US, "hdc2tog", "half double crochet 2 together (2 stitches become 1)"},
		{"chs", stitch.US, "chs", "chain"},
		{"sl st", stitch.US, "sl st", "slip stitch"},
		{"ss", stitch.UK, "ss", "slip stitch"},
		{"BLO", stitch.US, "BLO", "back loop only"},
		{"across", stitch.US, "", ""},
		{"turn", stitch.US, "", ""},
		{"knit", stitch.US, "", ""},
	} {
		if form, means, ok := abbreviation(words.Printer{}, test.word, test.d); form != test.form || means != test.means || ok != (test.form != "") {
			t.Errorf("%q in %v terms is %q: %q, want %q: %q", test.word, test.d, form, means, test.form, test.means)
		}
	}
}

// The maker's own size is marked where it belongs.
func TestSheetSizes(t *testing.T) {
	for _, test := range []struct {
		line, head string
		own        int
		cells      []string
	}{
		{"pattern:cardigan size:woman M", "chest", 3, []string{"M, yours", "91.5 to 96.5 cm"}},
		{"pattern:cardigan chest:112 cm", "chest", 6, []string{"yours", "112 cm"}},           // in 1X, the fifth
		{"pattern:cardigan size:woman L chest:108 cm", "chest", 4, []string{"L, yours", ""}}, // a size is named: it is hers
		{"pattern:hat size:woman M", "head", 3, []string{"M, yours", ""}},
	} {
		got := printed(t, Settings{}, "/resize "+test.line+" gauge:14x10").Sizes
		if got.Head[1] != test.head || got.Own != test.own {
			t.Errorf("%s: sizes by %s, own is row %d; want %s, %d", test.line, got.Head[1], got.Own, test.head, test.own)
			continue
		}
		if own := got.Rows[got.Own-1]; own[0] != test.cells[0] || test.cells[1] != "" && own[1] != test.cells[1] {
			t.Errorf("%s: own is %q, want %q", test.line, own, test.cells)
		}
	}
	if got := printed(t, Settings{}, "/resize pattern:blanket").Sizes; len(got.Rows) != 0 {
		t.Errorf("a blanket has sizes: %v", got.Rows)
	}
}

func TestSheetCautions(t *testing.T) {
	baby := printed(t, Settings{}, `/resize pattern:hat size:"baby 3 months"`)
	if text := strings.Join(baby.Cautions, " "); !strings.Contains(text, "sleeping") || !strings.Contains(text, "local rules") {
		t.Errorf("a baby's hat says %q", text)
	}
	if grown := printed(t, Settings{}, "/resize pattern:hat head:58 cm"); len(grown.Cautions) >= len(baby.Cautions) {
		t.Errorf("a grown-up's hat says %q", grown.Cautions)
	}
}

// Units and terms are the member's throughout.
func TestSheetInInchesAndUKTerms(t *testing.T) {
	s := printed(t, Settings{Units: measure.Inches, Terms: termsNamed("UK")}, "/resize pattern:cardigan chest:44 in gauge:14x10")
	var all []string
	for _, f := range append(s.Materials, s.Gauge...) {
		all = append(all, f.Name+" "+f.Text)
	}
	for _, r := range append(s.Finished.Rows, s.Sizes.Rows...) {
		all = append(all, r...)
	}
	for _, p := range s.Pieces {
		for _, l := range p.Lines {
			all = append(all, l.Text)
		}
	}
	all = append(all, s.Fits...)
	text := strings.Join(append(all, s.Schematic.Words), "\n")
	if m := regexp.MustCompile(`.*\d cm\b.*|.*\b(hdc|sl st|sk)\b.*`).FindString(text); m != "" {
		t.Errorf("not in inches and UK terms: %q", m)
	}
	if s.Terms != "UK" || !strings.Contains(text, "Tension") || !strings.Contains(text, "htr") {
		t.Errorf("%s terms: %.200s", s.Terms, text)
	}
}

func BenchmarkSheet(b *testing.B) {
	a := resizedBy(b, Settings{}, "/resize pattern:cardigan chest:112 cm gauge:14x10")
	size := 0
	for b.Loop() {
		out, err := a.withSheet(reply.Reply{}, "A4")
		if err != nil {
			b.Fatal(err)
		}
		size = len(out.Parts[0].(reply.File).Body)
	}
	b.ReportMetric(float64(size)/1000, "kB")
}
