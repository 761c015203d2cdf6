package trouble

import (
	"reflect"
	"strings"
	"testing"

	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

// TestRaw: a trouble told with the words of a dialect is the one that All and
// Lookup return.
func TestRaw(t *testing.T) {
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		say := func(text string) string { return term.Say(text, d) }
		all := All(d)
		for i, raw := range Raw() {
			if got := raw.Told(say); !reflect.DeepEqual(got, all[i]) {
				t.Errorf("%s: told it is %+v, want %+v", raw.ID, got, all[i])
			}
			one, ok := RawOf(raw.ID)
			if !ok || !reflect.DeepEqual(one, raw) {
				t.Errorf("%s alone is %+v, want %+v", raw.ID, one, raw)
			}
		}
	}
	if _, ok := RawOf("no such trouble"); ok {
		t.Error("an unknown trouble is found")
	}
	raw, _ := RawOf("gauge one way")
	if !strings.Contains(raw.Symptom, "{gauge}") {
		t.Errorf("%q has no word in braces", raw.Symptom)
	}
}

func TestWorkTold(t *testing.T) {
	figure, ok := FigureOf("circle")
	if !ok {
		t.Fatal("there is no such figure")
	}
	facts := Facts{"stitches": 14, "rows": 18, "increases": 12}
	plain, err := figure.Work(facts, stitch.US, measure.Centimetres)
	if err != nil {
		t.Fatal(err)
	}
	told, err := figure.WorkTold(facts, func(string) string { return "Statt [have] etwa [want]." }, measure.Centimetres)
	if err != nil {
		t.Fatal(err)
	}
	if told.Name != plain.Name || !reflect.DeepEqual(told.Values, plain.Values) {
		t.Errorf("told otherwise it comes to %+v, want %+v", told, plain)
	}
	if want := "Statt 12 etwa " + plain.Values["want"].Text(measure.Centimetres) + "."; told.Text != want {
		t.Errorf("it says %q, want %q", told.Text, want)
	}
	if _, err := figure.WorkTold(Facts{}, func(text string) string { return text }, measure.Centimetres); err == nil {
		t.Error("it works without facts")
	}
}
