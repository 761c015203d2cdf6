package notation

import (
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// usRows are the texts of the row files that are in US terms.
func usRows(t *testing.T) []string {
	names, err := filepath.Glob("testdata/rows/*.rows")
	if err != nil {
		t.Fatal(err)
	}
	var rows []string
	for _, name := range names {
		if strings.HasSuffix(name, "problems.rows") {
			continue
		}
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, entry := range strings.Split(string(raw), "\n\n") {
			text, _, _ := strings.Cut(entry, "\n")
			if !strings.Contains(text, "|") && !strings.HasPrefix(text, "//") {
				rows = append(rows, strings.ReplaceAll(text, " / ", "\n"))
			}
		}
	}
	if len(rows) < 150 {
		t.Fatalf("only %d rows", len(rows))
	}
	return rows
}

// sameWork compares what is worked; the words of remarks may differ.
var sameWork = cmp.Options{sameTree, cmpopts.IgnoreFields(Remark{}, "Text"), cmpopts.IgnoreFields(Mark{}, "Text"),
	cmpopts.IgnoreFields(Unread{}, "Text"), cmpopts.IgnoreFields(Prose{}, "Text"), cmpopts.IgnoreFields(Heading{}, "Text"),
	cmpopts.IgnoreFields(Part{}, "Name"), cmpopts.IgnoreFields(Attach{}, "Colour")}

// A row that is translated is read as the same work.
func TestRowsTranslated(t *testing.T) {
	for _, text := range usRows(t) {
		if strings.Contains(text, "dobule") {
			continue // mistyped: translated by nobody
		}
		uk, _ := Translate(text, US, UK)
		want, got := Parse(text, Options{Terms: US}), Parse(uk, Options{Terms: UK})
		if diff := cmp.Diff(want.Parts, got.Parts, sameWork); diff != "" {
			t.Errorf("%q\nin UK terms %q\nis read otherwise (-US +UK):\n%s", text, uk, diff)
		}
	}
}

// How a row is written changes nothing: small letters, kinds of dashes and
// spaces, lines broken anywhere, a full stop more.
func TestRowsWritten(t *testing.T) {
	hyphen := regexp.MustCompile(`(\d)-(\d)`)
	colour := regexp.MustCompile(`\b(A|B|MC|CC)\b`)
	for _, c := range []struct {
		name string
		to   func(string) string
	}{
		{"small letters", strings.ToLower},
		{"en dashes", func(s string) string { return hyphen.ReplaceAllString(s, "$1–$2") }},
		{"hard spaces", func(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }},
		{"double spaces", func(s string) string { return strings.ReplaceAll(s, " ", "  ") }},
		{"a tab", func(s string) string { return strings.Replace(s, " ", "\t", 3) }},
		{"curly quotes", func(s string) string { return strings.ReplaceAll(s, "'", "’") }},
		{"Windows line ends", func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }},
		{"broken lines", func(s string) string { return breakLines(s) }},
	} {
		for _, text := range usRows(t) {
			if c.name == "small letters" && (colour.MatchString(text) || strings.Contains(text, "\n") || !strings.Contains(text, ":")) {
				continue // letters of yarns, headings
			}
			if c.name == "broken lines" && strings.Contains(text, "\n") {
				continue
			}
			other := c.to(text)
			want, got := Parse(text, Options{Terms: US}), Parse(other, Options{Terms: US})
			if diff := cmp.Diff(want.Parts, got.Parts, sameWork); diff != "" {
				t.Errorf("%s: %q\nis read otherwise than %q (-plain +so):\n%s", c.name, other, text, diff)
			}
		}
	}
}

// breakLines breaks a row behind its label before every small word that is far
// enough from the start, as mail programs do.
func breakLines(text string) string {
	at := strings.Index(text, ":")
	if at < 0 {
		return text
	}
	words := strings.Split(text[at:], " ")
	for i := 4; i < len(words); i += 5 {
		if c := words[i][:min(1, len(words[i]))]; c >= "a" && c <= "z" {
			words[i] = "\n" + words[i]
		}
	}
	return text[:at] + strings.ReplaceAll(strings.Join(words, " "), " \n", "\n")
}

// Reading takes memory in proportion to the text, whatever the text is: 64 MB
// at most for 16 KB.
func TestUnkindTexts(t *testing.T) {
	Parse("Row 1: sc.", Options{}) // the vocabulary is built once
	for name, text := range pastes {
		text = text[:min(len(text), 16<<10)]
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		doc := Parse(text, Options{})
		runtime.ReadMemStats(&after)
		if mb := float64(after.TotalAlloc-before.TotalAlloc) / (1 << 20); mb > 64 {
			t.Errorf("%s: %.0f MB for %d bytes", name, mb, len(text))
		}
		if len(doc.Parts) == 0 {
			t.Errorf("%s: nothing read", name)
		}
	}
}
