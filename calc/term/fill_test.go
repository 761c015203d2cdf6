package term

import (
	"testing"

	"countwright/calc/stitch"
)

func TestFillLeavesSpellingAlone(t *testing.T) {
	for _, test := range []struct {
		text, fill, say string
		d               stitch.Dialect
	}{
		{"Compara los metros y el color de {dc}.", "Compara los metros y el color de tr.", "Compara los metros y el colour de tr.", stitch.UK},
		{"De meter telt.", "De meter telt.", "De metre telt.", stitch.UK},
		{"The color of {dc}.", "The color of dc.", "The color of dc.", stitch.US},
	} {
		if got := Fill(test.text, test.d); got != test.fill {
			t.Errorf("%q is filled as %q, want %q", test.text, got, test.fill)
		}
		if got := Say(test.text, test.d); got != test.say {
			t.Errorf("%q is said as %q, want %q", test.text, got, test.say)
		}
	}
}
