package notation

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Words that differ are replaced where they stand, in the writer's letter case.
// Source: the US and UK names of stitches agree across the usual tables; skip =
// miss, gauge = tension, yarn over = yarn round hook.
func TestTranslate(t *testing.T) {
	for _, c := range []struct {
		from, to   Terms
		text, want string
	}{
		{US, UK, "Row 2 (RS): Ch 2, hdc in each st across, hdc2tog, turn. (98 hdc)", "Row 2 (RS): Ch 2, htr in each st across, htr2tog, turn. (98 htr)"},
		{US, UK, "Sc in next st, DC in next, SC2TOG, (2 tr, ch 1).", "Dc in next st, TR in next, DC2TOG, (2 dtr, ch 1)."},
		{US, UK, "Single crochet in next st. Half Double Crochet around.", "Double crochet in next st. Half Treble Crochet around."},
		{US, UK, "half double in each, 1 double in next, a treble in last", "half treble in each, 1 treble in next, a double treble in last"},
		{US, UK, "Skip next st, FPdc around next dc, BPsc.", "Miss next st, FPtr around next tr, BPdc."},
		{US, UK, "sc = single crochet\ndc: double crochet", "dc = double crochet\ntr: treble crochet"},
		{US, UK, "Shell: (2 dc, ch 2, 2 dc) in same sp. Yo, insert hook.", "Shell: (2 tr, ch 2, 2 tr) in same sp. Yrh, insert hook."},
		{US, UK, "Gauge: 16 sc = 4 in. Written in US terms.", "Tension: 16 dc = 4 in. Written in UK terms."},
		{US, UK, "Use a double strand; every single stitch; double-check.", "Use a double strand; every single stitch; double-check."},
		{US, UK, "6 sc in MR, sl st to join, fasten off, inc, dec.", "6 dc in MR, sl st to join, fasten off, inc, dec."},
		{US, UK, "  *sc,\n\tdc**,  tr ; ", "  *dc,\n\ttr**,  dtr ; "},
		{US, UK, "fsc 30, esc in next, dtr, trtr", "fdc 30, edc in next, trtr, qtr"},
		{UK, US, "1 dc in next st, 2htr in next, miss 1, 1 tr, dtr2tog.", "1 sc in next st, 2hdc in next, skip 1, 1 dc, tr2tog."},
		{UK, US, "Tension: 18 tr. Yrh. British terms.", "Gauge: 18 dc. Yo. American terms."},
		{UK, US, "5dc, 3 trebles in next st, double treble.", "5sc, 3 doubles in next st, treble."},
		{Older, US, "A double in each double, 2 trebles in next.", "A single in each single, 2 doubles in next."},
		{Older, UK, "d c in next, t c in each t c", "dc in next, tr in each tr"},
		{US, US, "sc in next st", "sc in next st"},
		{US, UK, "", ""},
	} {
		if got, _ := Translate(c.text, c.from, c.to); got != c.want {
			t.Errorf("%s to %s: %q\nis %q\nwant %q", c.from, c.to, c.text, got, c.want)
		}
	}
}

// What is doubtful is told.
func TestTranslateNotes(t *testing.T) {
	for _, c := range []struct {
		from Terms
		text string
		want string
	}{
		{TermsUnsaid, "dc in next st, tr in last", "nothing tells for certain which terms the text is in; it is read as US"},
		{TermsUnsaid, "sc in next st, htr in last", `the text mixes terms: "sc" is US and "htr" is UK; "htr" is a word of UK terms, and the text is read in US terms`},
		{TermsUnsaid, "sc in next st", ""},
		{UK, "sc in next st", `"sc" is a word of US terms, and the text is read in UK terms`},
		{US, "1 htr in next st, 1 htr in last", `"htr" is a word of UK terms, and the text is read in US terms`},
	} {
		to := UK
		if c.from == UK {
			to = US
		}
		_, notes := Translate(c.text, c.from, to)
		var got []string
		for _, n := range notes {
			got = append(got, n.Message)
		}
		if strings.Join(got, "; ") != c.want {
			t.Errorf("%q from %s: notes %q, want %q", c.text, c.from, got, c.want)
		}
	}
}

// US to UK and back is the same text, whatever the rows are.
func TestTranslateThereAndBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := &canon{t: rt}
		doc := c.document()
		text := Print(doc, PrintOptions{Style: pick(c, []Style{{}, {Words: true}, {Count: "["}})})
		uk, _ := Translate(text, US, UK)
		back, _ := Translate(uk, UK, US)
		if back != text {
			rt.Fatalf("there and back (-before +after):\n%s", cmp.Diff(text, back))
		}
	})
}

// The translated text is read as the same tree.
func TestTranslateKeepsTheTree(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := &canon{t: rt}
		doc := c.document()
		uk, _ := Translate(Print(doc, PrintOptions{}), US, UK)
		read := Parse(uk, Options{Terms: UK, Sizes: c.sizes})
		for i := range read.Parts {
			dropSizes(&read.Parts[i])
		}
		if diff := cmp.Diff(doc.Parts, read.Parts, sameTree); diff != "" {
			rt.Fatalf("%s\n\nread otherwise (-drawn +read):\n%s", uk, diff)
		}
	})
}

// The invented patterns come back from UK terms letter for letter, if they are
// in US terms only.
func TestPatternsThereAndBack(t *testing.T) {
	tried := 0
	for name, text := range patternFiles(t) {
		if d := DetectTerms(text); d.Terms != US || !d.Certain {
			continue
		}
		tried++
		uk, _ := Translate(text, US, UK)
		if back, _ := Translate(uk, UK, US); back != text {
			t.Errorf("%s there and back (-before +after):\n%s", name, cmp.Diff(text, back))
		}
		if uk == text && strings.Contains(text, "sc ") {
			t.Errorf("%s is not translated", name)
		}
	}
	if tried < 8 {
		t.Errorf("only %d patterns were tried", tried)
	}
}
