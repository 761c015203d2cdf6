package regauge

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"countwright/calc/gauge"
	"countwright/calc/notation"
)

var update = flag.Bool("update", false, "rewrite the golden patterns")

// TestGolden makes whole patterns anew. Each file tells what to look at.
func TestGolden(t *testing.T) {
	paths, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(paths) < 10 {
		t.Fatalf("%d patterns: %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(path)
			if err != nil {
				t.Fatal(err)
			}
			order, text := string(a.Files[0].Data), string(a.Files[1].Data)
			got := &txtar.Archive{Comment: a.Comment, Files: append(a.Files[:2:2], remade(t, order, text)...)}
			if *update {
				if err := os.WriteFile(path, txtar.Format(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if !bytes.Equal(txtar.Format(got), txtar.Format(a)) {
				t.Errorf("the pattern changed; see the difference after -update. Now:\n%s", txtar.Format(got))
			}
		})
	}
}

// remade makes a pattern by an order such as "14x10 16x12 2", the last number
// being the size.
func remade(t *testing.T, order, text string) []txtar.File {
	t.Helper()
	o, err := orderOf(order)
	if err != nil {
		t.Fatal(err)
	}
	o.Style = notation.StyleOf(text)
	r, err := Remake(notation.Parse(text, notation.Options{}), o)
	if err != nil {
		var proof *ProofError
		if errors.As(err, &proof) {
			t.Fatal(err)
		}
		return []txtar.File{{Name: "error", Data: []byte(err.Error() + "\n")}}
	}
	var b strings.Builder
	for _, p := range r.Pieces {
		for _, s := range p.Sections {
			wide, tall := s.Deviation(o)
			fmt.Fprintf(&b, "%s, %s, %s: %d–%d over %d rows becomes %d–%d over %d; %+.1f mm wide, %+.1f tall\n", p.Name, s.Name, s.Stitch,
				s.Was.Start, s.Was.End, s.Was.Rows, s.Now.Start, s.Now.End, s.Now.Rows, wide, tall)
		}
	}
	for _, l := range r.Left {
		fmt.Fprintf(&b, "left: %s\n", l)
	}
	return []txtar.File{{Name: "remade", Data: []byte(r.Text)}, {Name: "sections", Data: []byte(b.String())}}
}

func orderOf(text string) (Order, error) {
	var o Order
	words := strings.Fields(text)
	var err error
	if o.From, err = gauge.Parse(words[0]); err != nil {
		return o, err
	}
	if o.To, err = gauge.Parse(words[1]); err != nil {
		return o, err
	}
	if len(words) > 2 {
		_, err = fmt.Sscan(words[2], &o.Size)
	}
	return o, err
}
