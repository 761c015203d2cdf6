package fabric

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"countwright/calc/notation"
)

var update = flag.Bool("update", false, "rewrite the findings of the planted texts")

const findingsMark = "-- findings --\n"

// TestPlanted works invented patterns, written the way people write in chat,
// some with mistakes planted in them: exactly those must be found. The first
// lines of each file say what was planted.
func TestPlanted(t *testing.T) {
	files, err := filepath.Glob("testdata/planted/*.txt")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d texts: %v", len(files), err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txt"), func(t *testing.T) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			text, want, _ := strings.Cut(string(data), findingsMark)
			res := work(t, text)
			var got strings.Builder
			for _, f := range res.Findings {
				fmt.Fprintf(&got, "%s | %s | %s", f.Label, f.Kind, f.Message)
				if f.Fix != "" {
					fmt.Fprintf(&got, " | %s", f.Fix)
				}
				got.WriteString("\n")
			}
			if *update {
				if err := os.WriteFile(name, []byte(text+findingsMark+got.String()), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got.String() != want {
				t.Errorf("findings:\n%s\nwant:\n%s", got.String(), want)
			}
			if n := planted(name); n >= 0 && len(res.Findings) != n {
				t.Errorf("%d findings, %d mistakes were planted", len(res.Findings), n)
			}
		})
	}
}

// planted reads from a file's name how many mistakes it has.
func planted(name string) int {
	for word, n := range map[string]int{"-right": 0, "-one-": 1, "-two-": 2, "-three-": 3} {
		if strings.Contains(name, word) {
			return n
		}
	}
	return -1
}

// work parses and works a text.
func work(t testing.TB, text string, opt ...Options) *Result {
	t.Helper()
	var o Options
	if len(opt) > 0 {
		o = opt[0]
	}
	return Work(notation.Parse(text, notation.Options{}), o)
}
