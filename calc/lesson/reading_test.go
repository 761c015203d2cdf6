package lesson_test

import (
	"strings"
	"testing"

	"countwright/calc/guide"
	"countwright/calc/lesson"
	"countwright/calc/prose"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/calc/trouble"
)

// Every text that beginners read is easy to read, in both dialects.
func TestTextsAreEasyToRead(t *testing.T) {
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		texts := map[string]string{}
		for _, l := range lesson.All(d) {
			parts := append([]string{l.What, l.Use, l.Caution}, l.Mistakes...)
			for _, s := range l.Steps {
				parts = append(parts, s.Do)
			}
			texts["lesson "+string(l.Stitch)] = strings.Join(parts, " ")
		}
		for _, e := range term.All() {
			texts["term "+e.ID] = term.Say(e.Means+" "+e.Beware, d)
		}
		for _, p := range trouble.All(d) {
			parts := []string{p.Symptom + ".", p.Caution}
			for _, c := range p.Checks {
				parts = append(parts, c.Cause, c.Test, c.Fix)
			}
			texts["trouble "+p.ID] = strings.Join(parts, " ")
		}
		for _, g := range guide.All(d) {
			parts := []string{g.Last}
			for _, step := range g.Steps {
				parts = append(parts, step.Do)
			}
			texts["guide "+g.ID] = strings.Join(parts, " ")
		}
		var all prose.Measure
		for name, text := range texts {
			m := prose.Of(text)
			all = all.Plus(m)
			if g := m.Grade(); g > prose.Easy {
				t.Errorf("%s in %v terms reads at grade %.1f, more than %.0f: %s", name, d, g, prose.Easy, text)
			}
		}
		t.Logf("%v terms: %d texts, %d words, grade %.1f in all", d, len(texts), all.Words, all.Grade())
	}
}
