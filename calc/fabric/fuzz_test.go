package fabric

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// FuzzWork reads and works any text: nothing panics, hangs or contradicts
// itself.
func FuzzWork(f *testing.F) {
	files, _ := filepath.Glob("testdata/planted/*.txt")
	for _, name := range files {
		if data, err := os.ReadFile(name); err == nil {
			text, _, _ := strings.Cut(string(data), findingsMark)
			f.Add(text, 0)
		}
	}
	for _, text := range hostile() {
		f.Add(text[:min(len(text), 600)], 0)
	}
	f.Add("Row 5: *sc in next 4, inc; rep from * around (36)", 30)
	f.Fuzz(func(t *testing.T, text string, start int) {
		if len(text) > 16<<10 {
			return
		}
		doc := notation.Parse(text, notation.Options{})
		res := Work(doc, Options{Start: start % 5000, Gauge: &Gauge{Gauge: gauge.Gauge{Stitches: 16, Rows: 18}}})
		allConsistent(t, res)
		for _, p := range res.Pieces {
			for size := range res.Sizes {
				Sections(p, size)
			}
		}
		for _, f := range res.Findings {
			if f.Message == "" || f.Kind == "" || f.Size < -1 || f.Size >= len(res.Sizes) {
				t.Errorf("finding %+v", f)
			}
		}
	})
}

// allConsistent holds rows to what they say of themselves, the first of them
// until it has gone through enough stitches.
func allConsistent(t *testing.T, res *Result) {
	cells := 0
	for _, p := range res.Pieces {
		for i := range p.Rows {
			for _, c := range p.Rows[i].PerSize {
				if c == nil || cells > 50_000 {
					continue
				}
				for _, b := range c.By {
					cells += b.N
				}
				consistent(t, &p.Rows[i], c)
			}
		}
	}
}

// consistent holds a row to what it says of itself.
func consistent(t *testing.T, r *Row, c *Count) {
	t.Helper()
	if c.Stitches < 0 || c.Left < 0 || c.Base < 0 {
		t.Fatalf("%s: %+v", r.Label, c)
	}
	if len(c.By) > 0 && c.By[0].N > 20_000 {
		return // too long to go through one by one for every text
	}
	each := map[stitch.ID]int{}
	for s := range c.All() {
		switch {
		case s.As != "":
			each[s.As]++
		case s.Turning:
		case s.ID == chainID:
			each[chainID] += s.Chains
		default:
			each[s.ID]++
		}
		if s.From > s.To || s.To >= max(1, c.Base) {
			t.Fatalf("%s: %s goes into cells %d to %d of %d", r.Label, s.ID, s.From, s.To, c.Base)
		}
	}
	for _, b := range c.By {
		if each[b.ID] != b.N {
			t.Fatalf("%s: %d %s, one by one %d", r.Label, b.N, b.ID, each[b.ID])
		}
	}
}
