package commands

import (
	"errors"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/yarn"
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
	for _, text := range []string{"", "x", "12 parsecs", "5 cm 3", "12 cm more", "-", "1,200 m", "3 ft 2 cm", "3 cm 2 m", "1 m 120 cm", "1.5 m 20 cm", "4 3/2 in", "4 1/0 in"} {
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

// TestInWordsOfALanguage: what can't be read as a length, a weight, a gauge or a yarn
// count is told in the reader's language, and in English as calc tells it.
func TestInWordsOfALanguage(t *testing.T) {
	length := func(text string) error { _, err := measure.Parse(text, measure.Centimetres); return err }
	weight := func(text string) error { _, err := measure.ParseWeight(text); return err }
	tension := func(text string) error { _, err := gauge.Parse(text); return err }
	count := func(text string) error { _, err := yarn.ParseCount(text); return err }
	for _, c := range []struct {
		err      error
		code     string
		want     string // part of it
		unwanted string // English that must be gone
	}{
		{length("107 kg"), "de", "die Einheit \"kg\" kenne ich nicht", "unit"},
		{length("1,200 m"), "es-ES", "«1 coma 200» o 1200", "could"},
		{length("3 ft 2 cm"), "nl", "centimeters en inches", "mixed"},
		{length("3 cm 2 m"), "de", "m kann nicht nach cm kommen", "follow"},
		{length("1 m 120 cm"), "nl", "na m moet de rest kleiner zijn dan 1 m", "after"},
		{length("1.5 m 20 cm"), "es-419", "con m va un número entero", "whole"},
		{length("4 3/2 in"), "de", "kleiner als 1 sein", "fraction"},
		{weight("50 cm"), "nl", "gewichtseenheid", "weight"},
		{tension("14"), "de", "14x10 (Maschen x Reihen auf 10 cm)", "stitches"},
		{tension("14x1000"), "es-ES", "hileras en 10 cm", "rows"},
		{count("28"), "nl", "er is een stelsel nodig", "needed"},
		{(3 * measure.Metre).Check("edge", 0, measure.Metre), "de", "Rand von 300 cm liegt außerhalb von 0 cm bis 100 cm", "outside"},
	} {
		told := inWords(c.err)
		var m words.Message
		if !errors.As(told, &m) {
			t.Errorf("%v is told as it is", c.err)
			continue
		}
		if m.String() != c.err.Error() {
			t.Errorf("in English %q, want %q", m, c.err)
		}
		if got := words.For(c.code).Tell(told); !strings.Contains(got, c.want) || strings.Contains(got, c.unwanted) {
			t.Errorf("%s: %q, want %q", c.code, got, c.want)
		}
	}
	if err := errors.New("x"); inWords(err) != err || inWords(nil) != nil {
		t.Error("another error is changed")
	}
}

// TestOptionsTellInTheReadersLanguage: a wrong value brings the same mistake in
// each language, without an English word in it.
func TestOptionsTellInTheReadersLanguage(t *testing.T) {
	for line, want := range map[string]string{
		"/size find chest:wide":         "hier fehlt eine Zahl; zum Beispiel 107 cm oder 42 1/2 in",
		"/yarn weight gauge:14":         "nach den Maschen fehlen \"x\" und die Reihen",
		"/yarn weight wraps:400":        "1 bis 100",
		"/yarn need area:1 yarn:ünsinn": "nennt weder eine Garnstärke",
		"/yarn weight count:7":          "ein System ist nötig",
		"/hook size:99 mm":              "es gibt keine Nadel mit 99 mm",
	} {
		r := inLanguage(t, "de", line)
		if r.Error == nil || !strings.Contains(r.Error.Message, want) {
			t.Errorf("%s: %+v, want %s", line, r.Error, want)
		}
	}
}
