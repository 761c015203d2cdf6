package notation

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The files of testdata/rows hold texts, each with what it is read as: the rows
// printed in US terms after "=>", problems after "!!" with column, message and
// the nearest word, guesses after "??". A text begins with "UK|" or "older|"
// where it is in other terms ("?|": not told); "/" in it stands for a line's end.
func TestRows(t *testing.T) {
	names, err := filepath.Glob("testdata/rows/*.rows")
	if err != nil || len(names) < 6 {
		t.Fatalf("%d files of rows: %v", len(names), err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".rows"), func(t *testing.T) {
			raw, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			var out strings.Builder
			for _, entry := range strings.Split(strings.TrimSpace(string(raw)), "\n\n") {
				text, _, _ := strings.Cut(entry, "\n")
				got := text
				if !strings.HasPrefix(text, "//") {
					got = text + "\n" + asRead(text)
				} else {
					got = entry
				}
				if !*update && got != entry {
					t.Errorf("read otherwise (-file +now):\n%s", cmp.Diff(entry, got))
				}
				out.WriteString(got + "\n\n")
			}
			if *update {
				if err := os.WriteFile(name, []byte(strings.TrimRight(out.String(), "\n")+"\n"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// asRead writes how a text is read, a line each.
func asRead(text string) string {
	opt := Options{Terms: US}
	for prefix, terms := range map[string]Terms{"UK|": UK, "older|": Older, "?|": TermsUnsaid} {
		if rest, ok := strings.CutPrefix(text, prefix); ok {
			text, opt.Terms = rest, terms
		}
	}
	doc := Parse(strings.ReplaceAll(text, " / ", "\n"), opt)
	var lines []string
	for _, p := range doc.Parts {
		if p.Name != "" {
			lines = append(lines, fmt.Sprintf("=> part %s, make %d", p.Name, p.Make))
		}
		for _, l := range p.Lines {
			lines = append(lines, "=> "+kindOfLine(l)+PrintLine(l, PrintOptions{Sizes: doc.Sizes}))
		}
	}
	for _, p := range doc.Problems {
		near := ""
		if p.Near != "" {
			near = fmt.Sprintf(" (near %s)", p.Near)
		}
		lines = append(lines, fmt.Sprintf("!! %d:%d %s%s", p.From.Line, p.From.Column, p.Message, near))
	}
	for _, a := range doc.Assumptions {
		lines = append(lines, "?? "+a.Message)
	}
	return strings.Join(lines, "\n")
}

func kindOfLine(l Line) string {
	switch l := l.(type) {
	case *Prose:
		return "prose: "
	case *Heading:
		return "heading: "
	case *Row:
		if l.Label.Kind == Loose {
			return "unlabelled: "
		}
	}
	return ""
}
