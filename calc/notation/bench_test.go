package notation

import (
	"fmt"
	"strings"
	"testing"
)

// garment is a sweater of 200 rows in size strings.
func garment() string {
	var b strings.Builder
	b.WriteString("Sizes: S (M, L)\n\nBack\nCh 201 (221, 241).\nRow 1: Hdc in 3rd ch from hook and in each ch across, turn. (199 (219, 239) sts)\n")
	for n := 2; n <= 200; n++ {
		fmt.Fprintf(&b, "Row %d: Ch 2 (counts as hdc), *hdc in next 3 sts, sk next st, 2 hdc in next st; rep from * to last 2 sts, hdc2tog, turn. (%d (219, 239) sts)\n", n, 199)
	}
	return b.String()
}

func BenchmarkParseGarment(b *testing.B) {
	text := garment()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		Parse(text, Options{})
	}
}

func BenchmarkPrintGarment(b *testing.B) {
	doc := Parse(garment(), Options{})
	b.ReportAllocs()
	for b.Loop() {
		Print(doc, PrintOptions{})
	}
}

// pastes are texts of 16 KB that a member might send, kind or not.
var pastes = map[string]string{
	"rows":     garment(),
	"words":    strings.Repeat("blorp qwzx fromage treble hdv skp ", 600),
	"brackets": strings.Repeat("(", 16<<10),
	"closes":   "Row 1: " + strings.Repeat("sc)]} ", 3000),
	"stars":    "Row 1: " + strings.Repeat("*sc, ", 4000),
	"repeats":  "Row 1: " + strings.Repeat("rep from * ", 1500),
	"numbers":  "Row 1: " + strings.Repeat("7 (8, ", 3000),
	"labels":   strings.Repeat("Row 1: ", 2400),
	"lines":    strings.Repeat("Sc\n", 5500),
	"headings": strings.Repeat("Back:\n", 2700),
	"commas":   "Row 1: " + strings.Repeat("sc,", 5500),
	"unknowns": "Row 1: " + strings.Repeat("hdv in next st, ", 1000),
	"nested":   "Row 1: " + strings.Repeat("[sc, (dc, ", 1600),
	"words in": "Row 1: sc " + strings.Repeat("in each of the next ", 800),
	"one word": strings.Repeat("a", 16<<10),
	"digits":   strings.Repeat("9", 16<<10),
	"prose":    strings.Repeat("You should have a nice hat now and wear it well. ", 340),
	"colons":   strings.Repeat("Shell: 5 dc in next st\n", 700),
	"repeat 2": "Row 1: " + strings.Repeat("repeat row ", 1500),
	"lists":    strings.Repeat("1. ", 5400),
	"far":      strings.Repeat("50. knit\n", 1800),
	"ones":     strings.Repeat("1. knit well\n", 1300),
	"twos":     "1. sc\n" + strings.Repeat("2. knit well\n", 1300),
	"defined":  strings.Repeat("Shell = 5 dc in next\nRep row 2, ", 470),
	"sizes":    "Sizes: S (M, L)\n" + strings.Repeat("Size S only: ", 1300),
	"opens":    strings.Repeat("In each st make sc, ", 800),
	"colon":    strings.Repeat("in next st: sc, dc ", 860),
	"dots":     strings.Repeat("d.c. ", 3200),
	"movement": "Row 1: " + strings.Repeat("(yo, draw a loop through ", 650),
	"marked":   strings.Repeat("1. **", 3200),
	"rules":    strings.Repeat("-", 16<<10),
	"reps":     "Row 1: " + strings.Repeat("rep ", 4000),
	"making":   "Row 1: " + strings.Repeat("making 3 ", 1800),
}

func BenchmarkParsePaste(b *testing.B) {
	for name, text := range pastes {
		text = text[:min(len(text), 16<<10)]
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Parse(text, Options{})
			}
		})
	}
}
