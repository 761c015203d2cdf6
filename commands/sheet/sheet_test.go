package sheet

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/commands/picture"
)

func mustPDF(t testing.TB, s Sheet, opt Options) []byte {
	t.Helper()
	pdf, err := PDF(s, opt)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

func TestDocument(t *testing.T) {
	for _, test := range []struct {
		name  string
		paper Paper
		box   string // in points: millimetres × 72 / 25.4
	}{
		{"A4", A4, "/MediaBox [0 0 595.28 841.89]"},
		{"Letter", Letter, "/MediaBox [0 0 612.00 792.00]"}, // 8.5 × 11 in
	} {
		t.Run(test.name, func(t *testing.T) {
			d := open(t, mustPDF(t, long(2, 40), Options{Paper: test.paper, Made: made, Language: "en-GB"}))
			_, tree := d.at(d.catalogue(), "Pages")
			if !strings.Contains(tree, test.box) {
				t.Errorf("the pages are not %s: %s", test.box, tree)
			}
			for _, want := range []string{"/Lang (en-GB)", "/Outlines", "/MarkInfo <</Marked true>>", "/StructTreeRoot", "/DisplayDocTitle true"} {
				if !strings.Contains(d.catalogue(), want) {
					t.Errorf("the catalogue lacks %s: %s", want, d.catalogue())
				}
			}
			_, info := d.at(d.trailer, "Info")
			title := regexp.MustCompile(`(?s)/Title \(((?:[^()\\]|\\.)*)\)`).FindStringSubmatch(info)
			if title == nil || strings.TrimPrefix(decode(title[1]), "\uFEFF") != "Größe ½ Café, chest 112 cm × arm 60 cm" {
				t.Errorf("the title is %q", title)
			}
			if !strings.Contains(info, "D:20260314093000") || strings.Count(info, "D:20260314093000") != 2 {
				t.Errorf("the dates are not those given: %s", info)
			}
			pages := d.pages()
			if len(pages) < 3 {
				t.Fatalf("%d pages", len(pages))
			}
			for i, p := range pages {
				all := texts(d.content(p))
				if want := fmt.Sprintf("%d / %d", i+1, len(pages)); !slices.Contains(all, want) {
					t.Errorf("page %d does not say %q", i+1, want)
				}
				if i > 0 && !slices.Contains(all, "Größe ½ Café, chest 112 cm × arm 60 cm") {
					t.Errorf("page %d does not say what it belongs to", i+1)
				}
			}
		})
	}
}

// Every font that a text is set in is embedded, with a map back to Unicode.
func TestFontsAreEmbedded(t *testing.T) {
	d := open(t, mustPDF(t, sample(), Options{Made: made}))
	_, resources := d.at(d.objects[d.pages()[0]], "Resources")
	fonts := regexp.MustCompile(`/F\w+ (\d+) 0 R`).FindAllStringSubmatch(resources, -1)
	if len(fonts) != 2 {
		t.Fatalf("%d fonts: %s", len(fonts), resources)
	}
	for _, f := range fonts {
		_, font := d.at("/Font "+f[1], "Font")
		if n, _ := d.at(font, "ToUnicode"); len(d.streams[n]) == 0 {
			t.Errorf("no map to Unicode: %s", font)
		}
		descendant := regexp.MustCompile(`/DescendantFonts \[(\d+) 0 R\]`).FindStringSubmatch(font)
		_, cid := d.at("/Font "+descendant[1], "Font")
		_, descriptor := d.at(cid, "FontDescriptor")
		n, _ := d.at(descriptor, "FontFile2")
		if file := d.streams[n]; len(file) < 5_000 || len(file) > 200_000 {
			t.Errorf("the embedded font has %d bytes", len(file))
		}
	}
}

// All words of the sheet stand in the document, and in the order of reading.
func TestTextInReadingOrder(t *testing.T) {
	d := open(t, mustPDF(t, sample(), Options{Made: made}))
	var all []string
	for _, p := range d.pages() {
		all = append(all, texts(d.content(p))...)
	}
	text := strings.Join(all, "\n")
	at := 0
	for _, want := range []string{"Größe ½ Café", "For chest 112 cm × arm 60 cm", "A jumper (invented) with a \\ and a ♥", "Take care", "choking hazard", "Materials", "Yarn:", "16 balls of",
		"Gauge", "Finished measurements", "chest, buttoned", "126.9 cm", "Sizes", "yours", "112 cm", "53 cm · 74 sts", "Back: 53 cm wide.", "Abbreviations (US terms)", "hdc", "half double crochet",
		"Before you begin", "Back", "Ch 9.", "Row 1 (RS):", "Hdc in 3rd ch", "Rows 2–38:", "Neck", "Place a marker.", "Row 39:", "Sleeve (make 2)", "Rnds 1–4:", "No. 1", "No. 2",
		"Finishing", "1. ", "Sew the seams.", "What meets what", "Care", "label wins."} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q does not follow where it should in\n%s", want, text)
		}
		at += i
	}
}

// The structure names every part, and each piece of marked content is in it.
func TestStructure(t *testing.T) {
	d := open(t, mustPDF(t, sample(), Options{Made: made}))
	_, root := d.at(d.catalogue(), "StructTreeRoot")
	_, top := d.at(root, "K")
	roles := map[string]int{}
	content := 0
	var walk func(text, parent string)
	walk = func(text, parent string) {
		kids := text[strings.Index(text, "/K ["):]
		content += strings.Count(kids, "/MCID")
		refs := regexp.MustCompile(`<<[^>]*>>`).ReplaceAllString(kids, "")
		for _, m := range reference.FindAllStringSubmatch(refs, -1) {
			_, kid := d.at("/K "+m[1], "K")
			role := regexp.MustCompile(`/S /(\w+)`).FindStringSubmatch(kid)[1]
			roles[role]++
			walk(kid, m[1])
		}
	}
	walk(top, "")
	for role, want := range map[string]int{"H1": 1, "H2": 11, "H3": 2, "Table": 2, "TR": 6, "TH": 3, "TD": 8, "L": 5, "LI": 8, "Figure": 2} {
		if roles[role] != want {
			t.Errorf("%d of %s, want %d (all: %v)", roles[role], role, want, roles)
		}
	}
	marked := 0
	for i, p := range d.pages() {
		c := d.content(p)
		marked += strings.Count(c, "/MCID")
		if opened, shut := strings.Count(c, " BDC")+strings.Count(c, " BMC"), strings.Count(c, "EMC"); opened != shut {
			t.Errorf("page %d opens %d marked contents and ends %d", i+1, opened, shut)
		}
		if !strings.Contains(d.objects[p], fmt.Sprintf("/StructParents %d", i)) {
			t.Errorf("page %d has no place in the tree: %s", i+1, d.objects[p])
		}
	}
	if marked != content || marked == 0 {
		t.Errorf("%d marked contents, %d in the tree", marked, content)
	}
	var alts []string
	for _, o := range d.objects {
		if m := regexp.MustCompile(`/Alt <([0-9A-F]+)>`).FindStringSubmatch(o); m != nil {
			alts = append(alts, m[1])
		}
	}
	slices.Sort(alts)
	want := []string{utf16Hex("Back: 53 cm wide."), utf16Hex("Wash at 30 °C.")}
	slices.Sort(want)
	if !slices.Equal(alts, want) {
		t.Errorf("figures say %q, want %q", alts, want)
	}
}

func TestOutline(t *testing.T) {
	d := open(t, mustPDF(t, sample(), Options{Made: made}))
	_, root := d.at(d.catalogue(), "Outlines")
	n, item := d.at(root, "First")
	var titles []string
	for n != 0 {
		m := regexp.MustCompile(`(?s)/Title \(((?:[^()\\]|\\.)*)\)`).FindStringSubmatch(item)
		titles = append(titles, strings.TrimPrefix(decode(m[1]), "\uFEFF"))
		n, item = d.at(item, "Next")
	}
	want := []string{"Größe ½ Café", "Materials", "Gauge", "Finished measurements", "Sizes", "Schematic", "Abbreviations (US terms)", "Before you begin", "Back", "Sleeve (make 2)", "Finishing", "What meets what", "Care"}
	slices.Sort(titles)
	slices.Sort(want)
	if !slices.Equal(titles, want) {
		t.Errorf("the outline is %q, want %q", titles, want)
	}
}

func TestSameSheetSameBytes(t *testing.T) {
	first := mustPDF(t, sample(), Options{Made: made})
	for range 4 {
		if !bytes.Equal(first, mustPDF(t, sample(), Options{Made: made})) {
			t.Fatal("the bytes differ")
		}
	}
	if bytes.Equal(first, mustPDF(t, sample(), Options{Made: made.Add(time.Hour)})) {
		t.Error("the date is not in the bytes")
	}
	if !bytes.Equal(mustPDF(t, sample(), Options{}), mustPDF(t, sample(), Options{})) {
		t.Error("without a date the bytes differ")
	}
}

// A sheet of only a title, and one of each part alone, can be printed.
func TestPartsMayBeMissing(t *testing.T) {
	full := sample()
	for name, s := range map[string]Sheet{
		"title":     {Title: "Hat"},
		"schematic": {Title: "Hat", Schematic: full.Schematic},
		"tall":      {Title: "Hat", Schematic: Figure{drawing(100, 400), ""}, Materials: full.Materials},
		"wide":      {Title: "Hat", Schematic: Figure{drawing(260, 80), ""}},
		"table":     {Title: "Hat", Sizes: Table{Rows: [][]string{{"M"}, {}, {"L", "2", "3"}}, Own: 2}},
		"label":     {Title: "Hat", Label: full.Label},
		"care":      {Title: "Hat", Care: full.Care, Label: full.Label},
		"piece":     {Title: "Hat", Pieces: []Piece{{Name: "Crown"}, {Name: "Brim", Lines: []Line{{}}}}},
		"many made": {Title: "Squares", Pieces: []Piece{{Name: "Square", Make: 48, Lines: []Line{{Label: "Rnd 1:", Text: "12 dc in ring.", First: 1, Rows: 1}}}}},
		"odd text":  {Title: "\u202Eevil\x00\n🧶 cap \uFEFF", Summary: "汉字 and 👩‍👩‍👧 " + strings.Repeat("x", 400)},
		"no words":  {Title: "   x"},
	} {
		for _, paper := range []Paper{A4, Letter} {
			d := open(t, mustPDF(t, s, Options{Paper: paper, Made: made}))
			if len(d.pages()) == 0 {
				t.Errorf("%s: no pages", name)
			}
		}
	}
}

func TestErrors(t *testing.T) {
	bad := drawing(100, 100)
	bad.Marks = append(bad.Marks, nil)
	for _, test := range []struct {
		name string
		s    Sheet
		opt  Options
		want string
	}{
		{"no title", Sheet{Title: " "}, Options{}, "print sheet: it has no title"},
		{"paper", sample(), Options{Paper: 9}, "print sheet: paper 9 is neither A4 nor Letter"},
		{"lines", long(3, 7000), Options{}, "lines; 20000 are allowed"},
		{"pages", many(210), Options{}, "pages; 200 are allowed"},
		{"mark", Sheet{Title: "Hat", Schematic: Figure{bad, "x"}}, Options{}, "print sheet: unknown mark <nil>"},
	} {
		if _, err := PDF(test.s, test.opt); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
}

// A page as a picture is a way to look at a layout; this one holds that the
// marks of a page are such as any surface can draw.
func TestPagesAreDrawings(t *testing.T) {
	f, _ := pageFrame(A4)
	p, err := sample().layOut(f)
	if err != nil {
		t.Fatal(err)
	}
	for i, spans := range p.spans {
		d := &picture.Drawing{Width: f.width, Height: f.height}
		for _, s := range spans {
			d.Marks = append(d.Marks, s.marks...)
		}
		if _, err := picture.PNG(d, picture.PNGOptions{Width: 420}); err != nil {
			t.Errorf("page %d: %v", i+1, err)
		}
	}
}

// An outside reader finds the same text, and all fonts embedded.
func TestOutsideReader(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext (poppler-utils) is not installed: only our own reader has checked the text")
	}
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(path, mustPDF(t, sample(), Options{Made: made}), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(reader, "-raw", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, want := range []string{"Größe ½ Café", "chest 112 cm × arm 60 cm", "53 cm · 74 sts", "Rows 2–38: Ch 2, hdc in each st across, turn. (8 sts)", "Row 1 (RS): Hdc in 3rd ch"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("pdftotext does not find %q in\n%s", want, out)
		}
	}
	if lister, err := exec.LookPath("pdffonts"); err == nil {
		out, err := exec.Command(lister, path).Output()
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")
		if err != nil || len(lines) != 4 {
			t.Fatalf("pdffonts: %v\n%s", err, out)
		}
		for _, l := range lines[2:] {
			if !regexp.MustCompile(`yes +\w+ +yes`).MatchString(l) { // embedded, subset, to Unicode
				t.Errorf("a font is not embedded: %s", l)
			}
		}
	}
}

func BenchmarkPDF(b *testing.B) {
	s := long(5, 12)
	size := 0
	for b.Loop() {
		size = len(mustPDF(b, s, Options{Made: made}))
	}
	b.ReportMetric(float64(size)/1000, "kB")
}
