package commands

import (
	"testing"
	"unicode"

	"countwright/calc/care"
	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/calc/yarn"
	"countwright/commands/words"
)

// facts are the texts of the tables of package calc that replies of /hook,
// /yarn and /size say, by where they stand.
func facts(t *testing.T) map[words.Key]string {
	t.Helper()
	all := map[words.Key]string{}
	add := func(where string, texts ...string) {
		for _, text := range texts {
			all[words.Key(text)] = where
		}
	}
	for _, f := range care.Fibres() {
		add("fibre "+f.ID, f.Name, f.Note)
	}
	for _, s := range care.Symbols() {
		add("care symbol "+s.ID, s.Means, s.Looks)
	}
	for _, c := range yarn.Classes() {
		add("yarn weight", c.Name)
	}
	woman, err := sizing.Named("woman")
	if err != nil {
		t.Fatal(err)
	}
	body, err := woman.Of("M", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range yarn.Pieces() {
		add("piece", p.Name)
		panels, err := p.Panels(body.Body, 5*measure.Centimetre)
		if err != nil {
			t.Fatal(err)
		}
		for _, panel := range panels {
			add("panel of "+p.Name, panel.Name)
		}
	}
	for _, m := range sizing.Measures() {
		add("measure", string(m), m.How())
	}
	for _, table := range sizing.Tables() {
		add("table "+table.Name, table.Name, table.Title, table.Source)
		add("table "+table.Name, table.Oddities...)
		for _, s := range table.Sizes {
			if len(s.Name) > 3 || unicode.IsLower(rune(s.Name[0])) {
				add("size of "+table.Name, s.Name)
			}
		}
		for _, row := range table.Rows {
			add("row of "+table.Name, row.Source)
		}
	}
	for _, e := range sizing.Eases() {
		add("ease", e.Name)
	}
	for _, b := range sizing.Blankets() {
		add("blanket", b.Name)
	}
	return all
}

// TestFactsAreTranslated: what comes out of the tables is in every language.
func TestFactsAreTranslated(t *testing.T) {
	for key, where := range facts(t) {
		for _, l := range words.Languages {
			if !words.For(l.Code).Has(key) {
				t.Errorf("%s: %q is not in %s", where, key, l.Code)
				break
			}
		}
	}
}
