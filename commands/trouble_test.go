package commands

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/calc/trouble"
	"countwright/commands/reply"
)

// TestTalkGoesThroughEveryCause follows "no, the next one" through every
// trouble: each cause comes once, in its order, with its test and its fix, and
// the talk ends.
func TestTalkGoesThroughEveryCause(t *testing.T) {
	for _, terms := range []notation.Terms{notation.US, notation.UK} {
		for _, want := range trouble.All(stitch.Dialect(terms)) {
			line := "/trouble symptom:" + want.ID
			for i, c := range want.Checks {
				r := tapped(t, line, terms)
				checkReply(t, line, r)
				if r.Error != nil {
					t.Fatalf("%s: %+v", line, *r.Error)
				}
				text, _ := reply.Plain(r)
				if r.Title != want.Symptom || !strings.Contains(flat(text), fmt.Sprintf("Cause %d of %d: %s", i+1, len(want.Checks), c.Cause)) || !strings.Contains(flat(text), c.Test) {
					t.Errorf("%s: not cause %d, %q:\n%s", line, i+1, c.Cause, text)
				}
				next := buttons(r)
				fix := tapped(t, next["Yes, that is it"], terms)
				fixed, _ := reply.Plain(fix)
				if fix.Error != nil || !strings.Contains(flat(fixed), flat(c.Fix)) {
					t.Errorf("%s: the fix is not told:\n%s", next["Yes, that is it"], fixed)
				}
				if want.Caution != "" && (!strings.Contains(flat(text), want.Caution) || !strings.Contains(flat(fixed), want.Caution)) {
					t.Errorf("%s: its caution is missing", line)
				}
				label := "No, the next one"
				if i == len(want.Checks)-1 {
					label = "None of these"
				}
				line = next[label]
			}
			end := tapped(t, line, terms)
			if text, _ := reply.Plain(end); end.Error != nil || !strings.Contains(text, "None of the usual causes") {
				t.Errorf("%s does not end the talk:\n%s", line, text)
			}
		}
	}
}

// TestNumbersTell gives the numbers of each kind of arithmetic and looks at
// what comes of them.
func TestNumbersTell(t *testing.T) {
	for _, c := range []struct {
		line, trouble, says string
		check               float64 // the cause that is shown
		src                 string
	}{
		{"symptom:circle ruffles increases:8 gauge:14x18 stitch:sc", "circle ruffles", "You add 8 in each round. At your gauge about 5 lie flat.", 1, "2π·14/18 = 4.9"},
		{"symptom:my coaster is wavy increases:8 gauge:20x20", "circle ruffles", "At your gauge about 6 lie flat. That is too many, so the circle ruffles.", 1, "2π = 6.3"},
		{"increases:5 gauge:20x20", "circle cups", "That is too few, so the circle cups.", 1, "2π = 6.3; no symptom said"},
		{"increases:8 gauge:20x20", "circle ruffles", "That is too many", 1, "2π = 6.3; no symptom said"},
		{"start:40 now:30 worked:10", "edges slant in", "one less in each row", 1, "by hand"},
		{"start:40 now:50 worked:10", "edges slant out", "one more in each row", 1, "by hand"},
		{"symptom:count shrinks start:40 now:35 worked:10", "count shrinks", "one less in every second row", 3, "by hand"},
		{"symptom:count grows start:40 now:43 worked:10", "count grows", "You gained 3 in 10 rows, with no rhythm", 4, "by hand"},
		{"picked:130 length:50 cm gauge:20x20", "edging ruffles", "about 100 lie flat. That is 30 too many", 1, "20 in 10 cm"},
		{"picked:70 length:50 cm gauge:20x20", "edging puckers", "about 100 lie flat. That is 30 too few", 1, "20 in 10 cm"},
		{"symptom:neckline gapes picked:130 length:50 cm gauge:20x20", "neckline gapes", "30 too many", 1, "20 in 10 cm"},
		{"before:50 cm after:55 cm", "grew after washing", "It grew by 10 percent. Next time work to 45.5 cm", 1, "50 / 1.1 = 45.5"},
		{"before:50 cm after:45 cm", "shrank after washing", "It shrank by 10 percent", 1, "by hand"},
		{"length:50 cm other:58 cm", "seams do not meet", "One edge is 8 cm longer, or 16 percent", 1, "by hand"},
		{"length:50 cm other:52 cm", "seams do not meet", "One edge is 2 cm longer. That can be eased in", 2, "by hand"},
		{"around:40 arm:30 cm gauge:14x10", "sleeve too narrow", "The sleeve is about 28.6 cm around", 1, "40 / 1.4 = 28.6 cm"},
		{"chain:38 cm row:42 cm", "foundation tight", "The chain is 10 percent shorter", 1, "1 - 38/42 = 9.5 %"},
		{"chain:44 cm row:40 cm", "foundation loose", "10 percent longer", 1, "by hand"},
		{"rib:40 cm body:41 cm", "ribbing too loose", "The rib is too long to gather. About 34.9 cm would hold", 1, "0.85 · 41 = 34.9"},
		{"rib:25 cm body:40 cm", "ribbing too tight", "38 percent shorter", 1, "1 - 25/40 = 37.5 %"},
		{"theirs:16x12 gauge:18x13.5", "size off", "You work tighter", 1, "both a ninth less"},
		{"theirs:16x12 gauge:16x10", "gauge one way", "Where the pattern has 40 rows, you need 33", 1, "40 · 10/12 = 33.3"},
	} {
		r := tapped(t, "/trouble "+c.line, notation.US)
		checkReply(t, c.line, r)
		text, _ := reply.Plain(r)
		if r.Error != nil || figureOf(t, r, "trouble") != c.trouble || figureOf(t, r, "check") != c.check || !strings.Contains(flat(text), c.says) {
			t.Errorf("%s: want %s, cause %v, %q (%s):\n%s", c.line, c.trouble, c.check, c.says, c.src, text)
		}
	}
}

// TestNumbersSpeakAgainst: a cause that the numbers speak against is passed
// over, and what they rather show is offered.
func TestNumbersSpeakAgainst(t *testing.T) {
	r := tapped(t, "/trouble symptom:circle ruffles increases:4 gauge:20x20", notation.US)
	text, _ := reply.Plain(r)
	if !strings.Contains(flat(text), "so the circle cups. Cause 2 of 3") {
		t.Errorf("the first cause is not passed over:\n%s", text)
	}
	if line := buttons(r)["My circle curls up like a bowl"]; line == "" {
		t.Errorf("what the numbers show is not offered: %q", buttons(r))
	}
	r = tapped(t, "/trouble symptom:my scarf gets narrower start:40 now:50 worked:10", notation.US)
	if line := buttons(r)["My edges slant out"]; line == "" {
		t.Errorf("the other direction is not offered: %q", buttons(r))
	}
}

// TestSwatchServesForGauge takes the gauge from the newest swatch, and scales
// its rows to another stitch.
func TestSwatchServesForGauge(t *testing.T) {
	m := newMemory()
	m.swatches[asker.Member.ID] = []SavedSwatch{{Swatch: gauge.Swatch{Name: "sc", Stitches: 20, Rows: 20, Width: 10 * measure.Centimetre, Height: 10 * measure.Centimetre, Stitch: "sc", Hook: 5}}}
	set := All(m.services(), nil)
	for _, c := range []struct {
		line string
		want float64
	}{
		{"increases:30", math.Round(2 * math.Pi)},
		{"increases:30 stitch:sc", math.Round(2 * math.Pi)},
		{"increases:30 stitch:dc", math.Round(4 * math.Pi)}, // twice as high
		{"increases:30 stitch:dc terms:UK", math.Round(2 * math.Pi)},
		{"increases:30 gauge:20x10", math.Round(4 * math.Pi)},
	} {
		r := set.RunLine(context.Background(), asker, "/trouble symptom:circle ruffles "+c.line)
		figures, _ := figureOf(t, r, "figures").(map[string]any)
		circle, _ := figures["circle"].(map[string]any)
		values, _ := circle["values"].(map[string]any)
		if values["want"] != c.want {
			t.Errorf("%s: %v lie flat, want %v", c.line, values["want"], c.want)
		}
		text, _ := reply.Plain(r)
		if said := strings.Contains(text, "I took the gauge of your swatch “sc”"); said == strings.Contains(c.line, "gauge:") {
			t.Errorf("%s: says that the gauge is the swatch's: %t", c.line, said)
		}
	}
	text, _ := reply.Plain(set.RunLine(context.Background(), asker, "/trouble symptom:too stiff"))
	if !strings.Contains(text, "The next size up is 5.5 mm") {
		t.Errorf("the swatch's hook is not used:\n%s", text)
	}
}

// TestNumbersAreAskedFor: the form asks for just what is missing, and its
// answers make a line that works.
func TestNumbersAreAskedFor(t *testing.T) {
	for _, want := range trouble.All(stitch.US) {
		for i := range want.Checks {
			line := fmt.Sprintf("/trouble symptom:%s check:%d", want.ID, i+1)
			ask, ok := buttons(tapped(t, line, notation.US))["I have numbers"]
			if !ok {
				continue
			}
			r := tapped(t, ask, notation.US)
			if r.Form == nil || len(r.Form.Fields) == 0 || len(r.Form.Fields) > 5 {
				t.Errorf("%s opens no form: %+v", ask, r)
				continue
			}
			filled := r.Form.Line
			for _, f := range r.Form.Fields {
				if len([]rune(f.Label)) > 45 || len([]rune(f.Hint)) > 100 || f.Label == "" {
					t.Errorf("%s: field %+v", ask, f)
				}
				filled += " " + f.Option + ":" + factExamples[f.Option]
			}
			if got := tapped(t, filled, notation.US); got.Error != nil || len(figureOf(t, got, "figures").(map[string]any)) == 0 {
				t.Errorf("%s: %+v %v", filled, got.Error, got.Data)
			}
		}
	}
}

// TestLinesStayShort: no button is too long for the service, whatever the
// numbers are, and each leads on.
func TestLinesStayShort(t *testing.T) {
	facts := []string{"gauge:14.25x10.75/4in", "theirs:16.25x12.75/4in", "stitch:half double crochet", "hook:10 mm", "increases:12", "picked:1234", "length:107.5 cm",
		"start:1234", "now:1234", "worked:1999", "around:123", "arm:30.5 cm", "level:maker", "terms:US"}
	for _, tr := range trouble.All(stitch.US) {
		for n := 1; n <= len(facts); n++ {
			line := "/trouble symptom:" + tr.ID + " " + strings.Join(facts[:n], " ")
			r := tapped(t, line, notation.US)
			checkReply(t, line, r)
			if r.Error != nil {
				t.Fatalf("%s: %+v", line, *r.Error)
			}
			for label, next := range buttons(r) {
				if len(next) > longestLine {
					t.Errorf("%s: %q has %d characters: %s", line, label, len(next), next)
				}
				if n == len(facts) {
					if got := tapped(t, next, notation.UK); got.Error != nil {
						t.Errorf("%s: %+v", next, *got.Error)
					}
				}
			}
		}
	}
}

func TestTroubleMistakes(t *testing.T) {
	for line, want := range map[string]string{
		"symptom:qwxz jkvp":                                           "I can't tell what “qwxz jkvp” is",
		"symptom:circle ruffles check:9":                              "there are 3 possible causes",
		"symptom:pills show:numbers":                                  "no numbers help with this cause",
		"symptom:circle ruffles increases:8 gauge:14x10 stitch:spoon": `"spoon" is not a plain stitch`,
		"symptom:grew after washing before:1 cm after:55 cm":          "1 cm is outside what I can work with: 2 cm to 500 cm",
		"start:40 now:40 worked:10 symptom:edges slant in show:other": "is none of test, fix, numbers",
		"increases:6 gauge:20x20":                                     "these numbers alone show nothing that is wrong",
		"symptom:sleeve too narrow around:52 gauge:14x10 arm:5 cm":    "5 cm is outside what I can work with: 8 cm to 100 cm",
	} {
		r := tapped(t, "/trouble "+line, notation.US)
		if r.Error == nil || !strings.Contains(r.Error.Message, want) || r.Error.Example == "" {
			t.Errorf("%s: %+v, want %q", line, r.Error, want)
		}
	}
}

// TestTroubleList: without a word, all troubles are offered, as many rows of
// menus as the service has.
func TestTroubleList(t *testing.T) {
	r := tapped(t, "/trouble", notation.UK)
	if len(r.Actions) > 5 || len(buttons(r)) != len(trouble.All(stitch.UK)) {
		t.Errorf("%d menus with %d troubles, want up to 5 with %d", len(r.Actions), len(buttons(r)), len(trouble.All(stitch.UK)))
	}
	for label, line := range buttons(r) {
		if got := tapped(t, line, notation.UK); got.Error != nil || got.Title != label {
			t.Errorf("%q leads to %q: %+v", label, got.Title, got.Error)
		}
	}
}

func TestTroubleSuggestions(t *testing.T) {
	set := readers[notation.US]()
	call := asker
	call.Path = "trouble"
	for typed, want := range map[string]string{"": "edges slant in", "my circel": "circle ruffles", "narrow": "edges slant in", "wavy bord": "edging ruffles", "holes": "ball has holes", "hurt": "hands hurt"} {
		offers := set.Complete(context.Background(), call, "symptom", typed)
		found := false
		for i, o := range offers {
			found = found || i < 3 && o.Value == want
			if len([]rune(o.Label)) > 100 || o.Label == "" {
				t.Errorf("%q offers %+v", typed, o)
			}
			if _, ok := trouble.Lookup(o.Value, stitch.US); !ok {
				t.Errorf("%q offers %+v, no trouble", typed, o)
			}
		}
		if len(offers) == 0 || len(offers) > 25 || !found {
			t.Errorf("%q offers %v, want %s among the first three", typed, offers, want)
		}
	}
}
