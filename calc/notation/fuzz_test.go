package notation

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"countwright/calc/stitch"
)

// seeds adds to a fuzz target every text that the tests know: patterns, rows,
// unkind pastes, and the words of all tables.
func seeds(f *testing.F) {
	for _, text := range patternFiles(f) {
		f.Add(text)
		for _, line := range strings.Split(text, "\n") {
			f.Add(line)
		}
	}
	names, _ := filepath.Glob("testdata/rows/*.rows")
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		for _, entry := range strings.Split(string(raw), "\n\n") {
			text, _, _ := strings.Cut(entry, "\n")
			f.Add(strings.ReplaceAll(text, " / ", "\n"))
		}
	}
	for _, text := range pastes {
		f.Add(text[:min(len(text), 600)])
	}
	for _, p := range phrases {
		f.Add("Row 1: sc " + strings.ReplaceAll(p.words, "|", " "))
	}
	for _, s := range stitch.All() {
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
			f.Add("2 " + s.In(d).Name + " in next st, " + strings.Join(s.In(d).Abbr, ", ") + " around")
		}
	}
}

// Tokens cover the text in order, and no text fails.
func FuzzLex(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		at := 0
		for _, tok := range lex(text) {
			from, to := int(tok.from.off), int(tok.to.off)
			if from < at || to < from || to > len(text) {
				t.Fatalf("token spans %d to %d behind %d in %q", from, to, at, text)
			}
			at = to
		}
		if rest := strings.TrimSpace(text[at:]); rest != "" && !invisible(rest) {
			t.Fatalf("%q of %q is in no token", rest, text)
		}
	})
}

// invisible reports whether text shows nothing: joiners and soft hyphens.
func invisible(text string) bool {
	return strings.Trim(text, "\u200b\u200d\u2060\u00ad\ufeff \t\r\n\u0085\u00a0\u2028\u2029\v\f") == ""
}

// readFast reads a text and fails when that takes absurdly long: the promise is
// 100 ms for 16 KB, and no test should hang on a slow machine.
func readFast(t *testing.T, text string, opt Options) *Document {
	start := time.Now()
	doc := Parse(text, opt)
	if took := time.Since(start); took > 5*time.Second {
		t.Fatalf("%d bytes took %v", len(text), took)
	}
	return doc
}

// Every text is read, whatever it is, and what is told of it lies within it.
func FuzzParse(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		doc := readFast(t, text, Options{})
		for _, p := range doc.Problems {
			if p.From.Offset > p.To.Offset || p.To.Offset > len(text) || p.Message == "" {
				t.Fatalf("problem %+v in a text of %d bytes", p, len(text))
			}
		}
		last := 0
		for _, part := range doc.Parts {
			for _, l := range part.Lines {
				if l.Pos().Offset < last || l.End().Offset < l.Pos().Offset || l.End().Offset > len(text) {
					t.Fatalf("a line spans %d to %d behind %d in %q", l.Pos().Offset, l.End().Offset, last, text)
				}
				last = l.Pos().Offset
			}
		}
	})
}

// Every text is translated, keeps its lines, and stays as it is where the
// dialects are the same.
func FuzzTranslate(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		uk, _ := Translate(text, US, UK)
		if strings.Count(uk, "\n") > strings.Count(text, "\n") {
			t.Fatalf("%q has more lines as %q", text, uk)
		}
		Translate(text, TermsUnsaid, US)
		Translate(text, Older, UK)
		if same, _ := Translate(text, US, US); same != text {
			t.Fatalf("%q changed within its terms: %q", text, same)
		}
	})
}

// What is printed of any text can be read and printed again.
func FuzzPrint(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		doc := readFast(t, text, Options{Terms: US})
		printed := Print(doc, PrintOptions{Terms: US})
		again := readFast(t, printed, Options{Terms: US})
		Print(again, PrintOptions{Terms: UK, Style: Style{Words: true}})
	})
}
