package prose_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/prose"
)

func ExampleOf() {
	m := prose.Of("The cat sat on the mat.")
	fmt.Println(m.Sentences, m.Words, m.Syllables)
	// Output: 1 6 6
}

func ExampleSyllables() {
	fmt.Println(prose.Syllables("together"), prose.Syllables("crochet"), prose.Syllables("112"))
	// Output: 3 2 3
}

// By hand: 20 words, 2 sentences, 21 syllables give 3.9 + 12.39 − 15.59.
func ExampleMeasure_Grade() {
	m := prose.Of("Put a marker in the first stitch of each row. On the way back it shows where the row ends.")
	fmt.Printf("%.1f, easy: %t\n", m.Grade(), m.Grade() <= prose.Easy)
	// Output: 0.7, easy: true
}

func ExampleMeasure_Plus() {
	fmt.Println(prose.Of("Chain two.").Plus(prose.Of("Turn; chain one.")))
	// Output: {3 5 5}
}

// Source: syllables as dictionaries divide them.
func TestSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"hook": 1, "yarn": 1, "stitch": 1, "stitches": 2, "single": 2, "chain": 1, "over": 2, "between": 2,
		"ribbing": 2, "loosely": 2, "blanket": 2, "garment": 2, "joined": 1, "counted": 2, "edges": 2, "together": 3, "decrease": 2, "needle": 2,
		"circle": 2, "magic": 2, "invisible": 4, "Treble": 2, "hdc": 3, "cm": 4, "makes": 1, "washes": 2, "added": 2, "worked": 1, "the": 1, "tsk": 1, "": 1, "7": 1,
	} {
		if got := prose.Syllables(word); got != want {
			t.Errorf("%s has %d syllables, want %d", word, got, want)
		}
	}
}

// Source: by hand from the formula: 6 words, 1 sentence, 6 syllables give
// 0.39·6 + 11.8·1 − 15.59 = −1.45; 5 words in 2 sentences with 9 syllables give
// 0.39·2.5 + 11.8·1.8 − 15.59 = 6.625.
func TestGrade(t *testing.T) {
	for text, want := range map[string]float64{
		"The cat sat on the mat.":            -1.45,
		"Invisible decrease. Turn the hook!": 6.625,
		"":                                   0,
		" … ?! ":                             0,
	} {
		if got := prose.Of(text).Grade(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q reads at %.3f, want %.3f", text, got, want)
		}
	}
}

// Any text has a grade, that of two together lies between theirs in words a
// sentence, and longer words never make it easier.
func TestMeasureHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.String().Draw(t, "a"), rapid.String().Draw(t, "b")
		m, both := prose.Of(a), prose.Of(a+". "+b)
		if g := both.Grade(); math.IsNaN(g) || math.IsInf(g, 0) {
			t.Fatalf("%q reads at %v", a+". "+b, g)
		}
		if both != m.Plus(prose.Of(b)) {
			t.Fatalf("%q and %q measure %+v together, %+v apart", a, b, both, m.Plus(prose.Of(b)))
		}
		if m.Syllables < m.Words || m.Words < m.Sentences {
			t.Fatalf("%q measures %+v", a, m)
		}
	})
	short, long := strings.Repeat("Work one row. ", 5), strings.Repeat("Unravel additional alternatives. ", 5)
	if prose.Of(short).Grade() >= prose.Of(long).Grade() {
		t.Error("longer words read more easily")
	}
}
