package commands

import (
	"testing"

	"countwright/calc/term"
	"countwright/commands/words"
)

// TestGlossaryIsTranslated: every word that /term explains is explained in
// every language.
func TestGlossaryIsTranslated(t *testing.T) {
	if len(term.All()) < 100 {
		t.Fatalf("only %d words", len(term.All()))
	}
	for _, w := range term.All() {
		for _, text := range []string{w.Means, w.Beware} {
			for _, l := range words.Languages {
				if text != "" && !words.For(l.Code).Has(words.Key(text)) {
					t.Errorf("%s: %q is not in %s", w.ID, text, l.Code)
					break
				}
			}
		}
	}
}
