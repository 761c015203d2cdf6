package fabric

import (
	"os"
	"testing"

	"countwright/calc/notation"
)

// The handbook stands beside the project where its tests run in full.
const handbookPath = "../../../shared/corpus/handbook-1918.txt"

// TestHandbook works the crochet directions of a public-domain book and meets
// every count that the book itself states.
func TestHandbook(t *testing.T) {
	// Source: Handbook of Wool Knitting and Crochet (Needlecraft Publishing Company, 1918).
	data, err := os.ReadFile(handbookPath)
	if err != nil {
		t.Skipf("the handbook is not here (%v): its counts are not checked", err)
	}
	doc := notation.Parse(string(data), notation.Options{Terms: notation.Older})
	res := Work(doc, Options{})
	row := func(foundation, number int) *Count {
		for _, p := range res.Pieces {
			if len(p.Rows) == 0 || p.Rows[0].PerSize[0].Stitches != foundation || p.Rows[0].Number != 0 {
				continue
			}
			for _, r := range p.Rows {
				if r.Number == number {
					return r.PerSize[0]
				}
			}
		}
		t.Fatalf("no piece on %d chains with a row %d", foundation, number)
		return nil
	}
	if c := row(54, 1); c.Of("sc") != 26 || c.Left != 0 {
		t.Errorf("jacket, chain 54: %v; the book says 26 doubles", c.By)
	}
	if c := row(52, 1); c.Of(chainID) != 36 || c.Claim != 12 {
		t.Errorf("girl's jacket, chain 52: %v; the book says 12 loops (of 3)", c.By)
	}
	if c := row(140, 1); c.Of("dc")-boolInt(c.Turning) != 68+6+68 || c.Left != 0 {
		t.Errorf("hug-me-tight, chain 140: %v; the book says 68 trebles, a shell of 3 and 3, and trebles to the end", c.By)
	}
	for round, want := range map[int]int{1: 7, 2: 14, 3: 21, 4: 28, 5: 35} {
		if c := row(3, round); c.Stitches != want {
			t.Errorf("crown, round %d: %d, the book's sections say %d", round, c.Stitches, want)
		}
	}
	for _, f := range res.Findings {
		if f.Kind == KindClaim {
			t.Errorf("line %d: %s", f.Pos.Line, f.Message)
		} else {
			t.Logf("line %d: %s: %s", f.Pos.Line, f.Kind, f.Message)
		}
	}
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}
