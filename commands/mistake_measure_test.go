package commands

import (
	"errors"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/words"
)

// wrong are texts that are no length or gauge, each in its own way.
func wrong(t *testing.T) []error {
	t.Helper()
	var all []error
	add := func(_ any, err error) {
		if err == nil {
			t.Fatal("it was read")
		}
		all = append(all, err)
	}
	for _, text := range []string{"", "x", "12 parsecs", "5 cm 3", "12 cm more", "-"} {
		_, err := measure.Parse(text, measure.Centimetres)
		add(text, err)
	}
	for _, text := range []string{"", "14", "14x", "14x10/4", "1400x10", "14x0", "14x10 more", strings.Repeat("1", 300)} {
		_, err := gauge.Parse(text)
		add(text, err)
	}
	return append(all, &measure.RangeError{What: "chest", Length: measure.Metre, Low: measure.Centimetre, High: 2 * measure.Centimetre})
}

// TestInWords: the words are those of the error itself, and every catalog has
// them.
func TestInWords(t *testing.T) {
	for _, err := range wrong(t) {
		said := inWords(err)
		if said.Error() != err.Error() {
			t.Errorf("%q became %q", err, said)
		}
		var m words.Message
		if !errors.As(said, &m) {
			t.Errorf("%T is not put in words", err)
			continue
		}
		for _, l := range words.Languages {
			for _, part := range append(m.Args, m.Key) {
				if key, ok := part.(words.Key); ok && !words.For(l.Code).Has(key) {
					t.Errorf("%s lacks %q", l.Code, key)
				}
			}
		}
	}
}
