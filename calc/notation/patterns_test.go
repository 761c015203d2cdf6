package notation

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// patternFiles are invented patterns, each in another writer's manner.
func patternFiles(t testing.TB) map[string]string {
	names, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(names) < 12 {
		t.Fatalf("%d patterns in testdata: %v", len(names), err)
	}
	files := map[string]string{}
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(raw)
	}
	return files
}

// Every invented pattern is read whole; its golden file shows how.
func TestPatterns(t *testing.T) {
	for name, text := range patternFiles(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			doc := Parse(text, Options{})
			for _, p := range doc.Problems {
				t.Errorf("%d:%d %s", p.From.Line, p.From.Column, p.Message)
			}
			got := described(doc)
			golden := strings.TrimSuffix(name, ".txt") + ".golden"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("read otherwise than %s shows (-golden +now):\n%s", golden, diff)
			}
		})
	}
}

// described writes a document as read, in US terms, with what was guessed.
func described(doc *Document) string {
	var b strings.Builder
	fmt.Fprintf(&b, "terms: %s\nsizes: %d %s\n", doc.Terms, doc.SizeCount, strings.Join(doc.Sizes, " "))
	for _, m := range doc.Multiples {
		fmt.Fprintf(&b, "multiple: %d + %d, turning %d\n", m.Of, m.Plus, m.Turning)
	}
	for _, d := range doc.Definitions {
		fmt.Fprintf(&b, "defines %s:", d.Name)
		for _, s := range d.Steps {
			fmt.Fprintf(&b, " %s", PrintStep(s, PrintOptions{}))
		}
		b.WriteString("\n")
	}
	for _, p := range doc.Parts {
		fmt.Fprintf(&b, "\npart %q, make %d\n", p.Name, p.Make)
		for _, l := range p.Lines {
			kind := map[bool]string{true: "prose    "}[isProse(l)]
			if _, ok := l.(*Heading); ok {
				kind = "heading  "
			}
			if r, ok := l.(*Row); ok && r.Label.Kind == Loose {
				kind = "unlabelled "
			}
			fmt.Fprintf(&b, "  %s%s\n", kind, PrintLine(l, PrintOptions{Sizes: doc.Sizes}))
		}
	}
	for _, a := range doc.Assumptions {
		fmt.Fprintf(&b, "\nassumed at %d:%d: %s", a.From.Line, a.From.Column, a.Message)
	}
	return b.String() + "\n"
}

func isProse(l Line) bool {
	_, ok := l.(*Prose)
	return ok
}

// A pattern that is printed reads as the same rows again, and prints the same.
func TestPatternsPrintStable(t *testing.T) {
	for name, text := range patternFiles(t) {
		doc := Parse(text, Options{})
		opt := PrintOptions{Terms: doc.Terms, Style: StyleOf(text)}
		printed := Print(doc, opt)
		again := Parse(printed, Options{Terms: doc.Terms, Sizes: doc.SizeCount})
		if twice := Print(again, opt); twice != printed {
			t.Errorf("%s: printed otherwise the second time (-first +second):\n%s", name, cmp.Diff(printed, twice))
		}
		for _, p := range again.Problems {
			t.Errorf("%s printed: %d:%d %s", name, p.From.Line, p.From.Column, p.Message)
		}
	}
}

// Spans lie within the text, begin before they end, and rows follow one
// another.
func TestPatternSpans(t *testing.T) {
	for name, text := range patternFiles(t) {
		doc := Parse(text, Options{})
		last := 0
		for _, p := range doc.Parts {
			for _, l := range p.Lines {
				from, to := l.Pos().Offset, l.End().Offset
				if from < last || to < from || to > len(text) {
					t.Errorf("%s: a line spans %d to %d behind %d", name, from, to, last)
				}
				last = from
				r, ok := l.(*Row)
				if !ok {
					continue
				}
				Walk(r.Steps, func(s Step) bool {
					if s.Pos().Offset < from || s.End().Offset > to || s.End().Offset < s.Pos().Offset {
						t.Errorf("%s line %d: a %T spans %d to %d outside its row's %d to %d", name, l.Pos().Line, s, s.Pos().Offset, s.End().Offset, from, to)
					}
					return true
				})
			}
		}
	}
}
