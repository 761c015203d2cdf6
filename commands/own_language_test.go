package commands

import (
	"strings"
	"testing"

	"countwright/calc/notation"
	"countwright/commands/words"
)

func TestFilled(t *testing.T) {
	const text = "The color used most."
	for _, test := range []struct {
		p    words.Printer
		t    notation.Terms
		want string
	}{
		{words.Printer{}, notation.US, "The color used most."},
		{words.Printer{}, notation.UK, "The colour used most."},
		{words.For("es"), notation.UK, "El color que más se usa."}, // no English spelling
	} {
		r := Request{Printer: test.p, Settings: Settings{Terms: test.t}}
		if got := r.filled(text); got != test.want {
			t.Errorf("it says %q, want %q", got, test.want)
		}
	}
	r := Request{Printer: words.For("de"), Settings: Settings{Terms: notation.UK}}
	if got := r.filled("Is it all {sc}?"); got != "Ist alles dc?" {
		t.Errorf("in UK terms and German it says %q", got)
	}
}

func TestWhatStaysEnglish(t *testing.T) {
	en, de := words.Printer{}, words.For("de")
	for _, test := range []struct {
		name string
		said bool
	}{
		{"rows in English", len(rowsInEnglish(en)) > 0},
		{"explanations in English", len(stillEnglish(en)) > 0},
		{"an unknown text in English", len(partlyEnglish(en, "nobody says this")) > 0},
		{"a translated text in German", len(partlyEnglish(de, "Fasten off.", "")) > 0},
	} {
		if test.said {
			t.Errorf("%s: there is a note", test.name)
		}
	}
	for name, n := range map[string]int{"rows": len(rowsInEnglish(de)), "explanations": len(stillEnglish(de)), "an unknown text": len(partlyEnglish(de, "Fasten off.", "nobody says this"))} {
		if n != 1 {
			t.Errorf("German: %d notes about %s, want 1", n, name)
		}
	}
}

// TestCommonTroublesAreTranslated: a symptom is offered in every language, and
// its causes are, where the commonest go wrong.
func TestCommonTroublesAreTranslated(t *testing.T) {
	for _, l := range words.Languages[1:] {
		r := Request{Printer: words.For(l.Code)}
		for _, trouble := range troublesIn(r) {
			if strings.HasPrefix(trouble.Symptom, "My ") || strings.HasPrefix(trouble.Symptom, "I ") {
				t.Errorf("%s: %q is told in English", l.Code, trouble.Symptom)
			}
		}
		for _, id := range []string{"circle ruffles", "circle cups", "edges slant in", "edges slant out", "count shrinks", "count grows", "gauge one way", "size off", "curls", "too stiff", "hands tight", "foundation tight", "hands hurt", "too floppy", "uneven stitches", "not enough yarn"} {
			found, _ := troubleIn(r, id)
			talk := &talk{Trouble: found, r: r}
			if len(partlyEnglish(r.Printer, talk.keys(nil)...)) > 0 {
				t.Errorf("%s: part of %q is in English", l.Code, id)
			}
		}
	}
}
