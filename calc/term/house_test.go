package term_test

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"countwright/calc/lookup"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

// explained reports whether a word is explained as itself, first.
func explained(word string, d stitch.Dialect) bool {
	got := term.Explain(word, d, 1)
	return len(got) > 0 && got[0].How == lookup.Exact
}

// Every stitch of every house pattern is explained, in both dialects.
func TestHousePatternsAreExplained(t *testing.T) {
	seen := map[stitch.ID]bool{}
	for _, p := range pattern.House() {
		seen[p.Stitch] = true
		for _, piece := range p.Pieces {
			for _, s := range piece.Sections {
				seen[s.Stitch] = true
				for _, id := range s.Repeat {
					seen[id] = true
				}
			}
		}
	}
	delete(seen, "")
	if len(seen) < 3 {
		t.Fatalf("the house patterns use %d stitches", len(seen))
	}
	for id := range seen {
		s, ok := stitch.Lookup(id)
		if !ok {
			t.Errorf("%s is not in the dictionary", id)
			continue
		}
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
			got := term.Explain(s.In(d).Short(), d, 1)
			if len(got) == 0 || got[0].Stitch != id {
				t.Errorf("%s in %v terms is explained as %v, want %s", s.In(d).Short(), d, got, id)
			}
		}
	}
}

// plain are words of printed rows that need no glossary.
var plain = strings.Fields(`row rows in to the each next last first from of and with at on into not as is over across around times once every
	it them same center rnds ring until piece measures long size sizes color top before after these this marked counts base`)

// Every word that printed rows abbreviate is explained. The sample holds what
// rows of house patterns are made of.
func TestPrintedRowsAreExplained(t *testing.T) {
	const sample = `Ch 24.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (23 sc)
Row 2: Ch 1, sc in BLO of each st across, turn. (23 sc)
Row 3: Ch 3 (counts as dc), sk first st, *dc in next 2 sts, ch 1, sk next st; rep from * to last st, dc in last st. (16 dc, 7 ch-1 sps)
Row 4: Ch 1, sc2tog, sc in each st and ch-1 sp to last 2 sts, sc2tog. (21 sc)
Row 5: Ch 1, [sc in next 2 sts, 2 sc in next st] 7 times. (28 sc)
Rows 6-9: Rep Row 2.
Rnd 1: Magic ring, 6 sc in ring, join with sl st to first st. (6 sc)
Rnd 2: Ch 1, 2 sc in each st around, join with sl st to first st. (12 sc)
Rnd 3: Ch 2, *FPdc around next st, BPdc around next st; rep from * around, join with sl st to top of ch 2. (12 sts)
Fasten off.`
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		doc := notation.Parse(sample, notation.Options{Terms: notation.US})
		printed := notation.Print(doc, notation.PrintOptions{Terms: notation.Terms(d)})
		words := strings.FieldsFunc(printed, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		for i, word := range words {
			if unicode.IsDigit(rune(word[0])) || slices.Contains(plain, strings.ToLower(word)) || explained(word, d) {
				continue
			}
			// "sl st", "magic ring", "fasten off"
			if explained(words[max(i-1, 0)]+" "+word, d) || explained(word+" "+words[min(i+1, len(words)-1)], d) {
				continue
			}
			t.Errorf("%q in %v terms is not explained; it stands in:\n%s", word, d, printed)
		}
	}
}

// A whole phrase of the glossary is that phrase, though it has words of asking.
func TestPhrasesWithSmallWords(t *testing.T) {
	for asked, want := range map[string]string{"in the round": "in the round", "corner to corner": "corner to corner", "rep from * to end": "repeat from *"} {
		if got := term.Explain(asked, stitch.US, 3); len(got) == 0 || got[0].Term.ID != want || got[0].How != lookup.Exact {
			t.Errorf("%q is explained as %+v, want %s", asked, got, want)
		}
	}
}
