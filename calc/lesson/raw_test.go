package lesson

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"countwright/calc/stitch"
	"countwright/calc/term"
)

// TestRaw: a lesson told with the words of a dialect is the one that For
// returns, for every stitch of the dictionary.
func TestRaw(t *testing.T) {
	braces := 0
	for _, s := range stitch.All() {
		raw, ok := Raw(s.ID)
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
			want, known := For(s.ID, d)
			got := raw.Told(func(text string) string { return term.Say(text, d) })
			if ok != known || ok && !reflect.DeepEqual(got, want) {
				t.Errorf("%s, %v: told it is %+v, want %+v", s.ID, d, got, want)
			}
		}
		if slices.ContainsFunc(raw.Texts(), func(text string) bool { return strings.Contains(text, "{") }) {
			braces++
		}
	}
	if braces < 20 {
		t.Errorf("only %d lessons have words in braces", braces)
	}
	if _, ok := Raw("no such stitch"); ok {
		t.Error("an unknown stitch has a lesson")
	}
}

func TestToldLeavesTheLessonAlone(t *testing.T) {
	raw, _ := Raw("hdc")
	before := strings.Join(raw.Texts(), "|")
	loud := raw.Told(strings.ToUpper)
	if after := strings.Join(raw.Texts(), "|"); after != before {
		t.Errorf("it became %q", after)
	}
	if got := strings.Join(loud.Texts(), "|"); got != strings.ToUpper(before) {
		t.Errorf("told loudly it is %q", got)
	}
	if loud.Sample != raw.Sample || loud.Steps[0].Hook != raw.Steps[0].Hook {
		t.Error("what is no text was told, too")
	}
}
