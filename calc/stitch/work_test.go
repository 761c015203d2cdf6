package stitch_test

import (
	"fmt"
	"strings"
	"testing"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

const repeats = 6

// work has the engine of written rows work a row over as many stitches as so
// many repeats use, and compares what it makes.
func work(t *testing.T, s stitch.Stitch, d stitch.Dialect, row string) {
	t.Helper()
	text := "Row 1: *" + row + "; rep from * to end."
	doc := notation.Parse(text, notation.Options{Terms: notation.Terms(d)})
	result := fabric.Work(doc, fabric.Options{Start: repeats * s.Consumes})
	if len(result.Pieces) == 0 || len(result.Pieces[0].Rows) == 0 {
		t.Errorf("%s: %q is not worked", s.ID, text)
		return
	}
	rows := result.Pieces[0].Rows
	if got := rows[len(rows)-1].PerSize[0]; got.Stitches != repeats*s.Makes || got.Left != 0 || !result.OK() {
		t.Errorf("%s: %q over %d makes %d and leaves %d, want %d and 0: %+v", s.ID, text, repeats*s.Consumes, got.Stitches, got.Left,
			repeats*s.Makes, result.Findings)
	}
}

// Every counted stitch of the dictionary, worked along a row by its name in US
// and in UK words, uses and makes what its row says.
func TestEngineAgreesWithTheTable(t *testing.T) {
	ids := []stitch.ID{
		"sc3tog", "hdc2tog", "dc4tog", "tr5tog", "fpdc2tog", "bptr3tog", "edc2tog", "sc inc", "hdc inc", "dc inc", "7-dc shell",
		"9-tr shell", "3-tr cluster", "4-dc bobble", "dc popcorn", "tr v-st", "hdc v-st",
	}
	// Rows spell these out rather than name them; see the next test.
	spelt := map[stitch.ID]bool{"granny group": true, "corner": true}
	for _, s := range stitch.All() {
		switch s.Kind {
		case stitch.Basic, stitch.Slip, stitch.Extended, stitch.Post, stitch.Together, stitch.Increase, stitch.Cluster, stitch.Group, stitch.Crossed:
			ids = append(ids, s.ID)
		case stitch.Manner:
			if s.Base != "" {
				ids = append(ids, s.ID)
			}
		}
	}
	for _, id := range ids {
		s, ok := stitch.Lookup(id)
		if !ok {
			t.Fatalf("%s is not in the dictionary", id)
		}
		if spelt[id] {
			continue
		}
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
			row := s.In(d).Short() + " in next st"
			switch {
			case s.Kind == stitch.Together:
				row = s.In(d).Short()
			case s.Consumes > 1:
				row = fmt.Sprintf("%s over next %d sts", s.In(d).Short(), s.Consumes)
			}
			work(t, s, d, row)
		}
	}
}

// Groups and increases spelt out by their parts make what their row says.
func TestEngineAgreesWithTheParts(t *testing.T) {
	ids := []stitch.ID{"3-sc inc", "4-hdc inc", "11-dc shell", "tr v-st"}
	for _, s := range stitch.All() {
		if s.Kind == stitch.Group {
			ids = append(ids, s.ID)
		}
	}
	for _, id := range ids {
		s, _ := stitch.Lookup(id)
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
			var parts []string
			for _, p := range s.Parts {
				part, _ := stitch.Lookup(p.Stitch)
				if p.Stitch == "ch" {
					parts = append(parts, fmt.Sprint("ch ", p.Many))
				} else {
					parts = append(parts, fmt.Sprint(p.Many, " ", part.In(d).Short()))
				}
			}
			work(t, s, d, "("+strings.Join(parts, ", ")+") in next st")
		}
	}
}
