package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/lesson"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
)

// manyStitches are the rows of the dictionary and some that are derived.
func manyStitches(t testing.TB) []stitch.Stitch {
	t.Helper()
	all := stitch.All()
	for _, id := range []stitch.ID{"dc2tog", "hdc3tog", "dc5tog", "fptr2tog", "6-dc shell", "5-dc cluster", "dc inc", "tr v-st", "bphdc"} {
		s, ok := stitch.Lookup(id)
		if !ok {
			t.Fatalf("%s is not in the dictionary", id)
		}
		all = append(all, s)
	}
	return all
}

// readers are sets of commands for a member with US and with UK terms. Nothing
// that is asked of them changes what they remember.
var readers = map[notation.Terms]func() *Set{
	notation.US: sync.OnceValue(func() *Set { return reader(notation.US) }),
	notation.UK: sync.OnceValue(func() *Set { return reader(notation.UK) }),
}

func reader(terms notation.Terms) *Set {
	m := withSwatch()
	m.settings[asker.Member.ID] = Settings{Terms: terms}
	return All(m.services(), nil)
}

// tapped runs the line of a button as a member with these terms. They need not
// be those of the answer in which the button stands: a line must say all that
// it means.
func tapped(t testing.TB, line string, terms notation.Terms) reply.Reply {
	t.Helper()
	return readers[terms]().RunLine(context.Background(), asker, line)
}

// figureOf is one of a reply's figures.
func figureOf(t testing.TB, r reply.Reply, name string) any {
	t.Helper()
	data, err := json.Marshal(r.Data)
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	return m[name]
}

// buttons are all lines that a reply offers, by their labels.
func buttons(r reply.Reply) map[string]string {
	all := map[string]string{}
	for _, a := range r.Actions {
		switch a := a.(type) {
		case reply.Button:
			all[a.Label] = a.Line
		case reply.Menu:
			for _, c := range a.Choices {
				all[c.Label] = c.Line
			}
		}
	}
	return all
}

// TestEveryStitchIsTaught asks for every stitch in either terms and at either
// level: it is that stitch, with its figures, and every button works for a
// member with the other terms, too.
func TestEveryStitchIsTaught(t *testing.T) {
	for _, s := range manyStitches(t) {
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			for _, level := range []string{"beginner", "maker"} {
				line := stitchLine(s, terms) + " level:" + level
				r := tapped(t, line, notation.US)
				if r.Error != nil {
					t.Fatalf("%s: %+v", line, *r.Error)
				}
				if got := figureOf(t, r, "stitch"); got != string(s.ID) {
					t.Errorf("%s is about %v, want %s", line, got, s.ID)
				}
				checkReply(t, line, r)
				text, _ := reply.Plain(r)
				for _, want := range []string{termsName(terms) + " terms", s.US.Name, s.UK.Name} {
					if !strings.Contains(flat(text), want) {
						t.Errorf("%s does not say %q:\n%s", line, want, text)
					}
				}
				if s.Chain > 0 && !strings.Contains(flat(text), fmt.Sprintf("ch %d; ", s.Chain)) {
					t.Errorf("%s does not say its turning chain:\n%s", line, text)
				}
				if l, ok := lesson.For(s.ID, stitch.Dialect(terms)); ok && !strings.Contains(flat(text), l.Steps[len(l.Steps)-1].Do) {
					t.Errorf("%s does not tell its last step:\n%s", line, text)
				}
			}
		}
	}
}

// flat undoes the breaking of lines.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// TestStepsGoOnAndBack follows the buttons through the steps of every lesson
// and counts the loops by the signs of its steps.
func TestStepsGoOnAndBack(t *testing.T) {
	for _, l := range lesson.All(stitch.US) {
		s, _ := stitch.Lookup(l.Stitch)
		line, ok := buttons(tapped(t, stitchLine(s, notation.US), notation.US))["Step by step"]
		if !ok {
			if len(l.Steps) > 1 {
				t.Errorf("%s: no way to its steps", l.Stitch)
			}
			continue
		}
		on := l.Start
		before := ""
		for i, step := range l.Steps {
			r := tapped(t, line, notation.UK)
			checkReply(t, line, r)
			if r.Error != nil || figureOf(t, r, "step") != float64(i+1) {
				t.Fatalf("%s: %+v at step %d", line, r.Error, i+1)
			}
			text, _ := reply.Plain(r)
			if !strings.Contains(flat(text), step.Do) {
				t.Errorf("%s does not say %q", line, step.Do)
			}
			var err error
			if on, err = lesson.Loops(on, step.Hook); err != nil || on != step.Loops {
				t.Errorf("%s: %d loops, %v; the step says %d", line, on, err, step.Loops)
			}
			if on > 1 && !strings.Contains(text, strconv.Itoa(on)+" loops on the hook") {
				t.Errorf("%s does not say its %d loops:\n%s", line, on, text)
			}
			next := buttons(r)
			if i > 0 && next["Back"] != before {
				t.Errorf("%s: back leads to %q, not %q", line, next["Back"], before)
			}
			if _, on := next["Next"]; on == (i == len(l.Steps)-1) {
				t.Errorf("%s: step %d of %d offers the next: %t", line, i+1, len(l.Steps), on)
			}
			before, line = line, next["Next"]
		}
	}
}

// TestButtonsKeepTheStitch: whoever taps, in whatever terms, gets what the
// label says.
func TestButtonsKeepTheStitch(t *testing.T) {
	for _, terms := range []notation.Terms{notation.US, notation.UK} {
		other := notation.US + notation.UK - terms
		for _, s := range manyStitches(t) {
			r := tapped(t, stitchLine(s, terms), other)
			for _, label := range []string{"In " + termsName(other) + " terms", "More detail"} {
				line := buttons(r)[label]
				got := tapped(t, line, terms)
				if figureOf(t, got, "stitch") != string(s.ID) {
					t.Errorf("%s in %v: %q leads to %v", s.ID, terms, line, figureOf(t, got, "stitch"))
				}
				if label != "More detail" && figureOf(t, got, "terms") != termsName(other) {
					t.Errorf("%q answers in %v terms", line, figureOf(t, got, "terms"))
				}
			}
		}
	}
}

// TestComparedHeights: a stitch stands among its neighbours, from the lowest
// to the tallest.
func TestComparedHeights(t *testing.T) {
	for id, want := range map[stitch.ID]string{
		"hdc": "sl st sc hdc dc tr", "sl st": "sl st sc hdc dc tr", "quadtr": "dc tr dtr trtr quadtr", "fpdc": "hdc dc fpdc tr dtr", "esc": "sl st sc esc hdc dc",
	} {
		s, _ := stitch.Lookup(id)
		var got []string
		for _, c := range compared(s) {
			got = append(got, string(c.ID))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s stands among %q, want %q", id, got, want)
		}
	}
	for _, s := range manyStitches(t) {
		list := compared(s)
		if len(list) != 5 || !slices.IsSortedFunc(list, func(a, b stitch.Stitch) int { return int(4 * (a.Height - b.Height)) }) {
			t.Errorf("%s stands among %d, out of order", s.ID, len(list))
		}
	}
}

// TestOwnMillimetres reads heights off the newest swatch that says its stitch.
func TestOwnMillimetres(t *testing.T) {
	swatch := func(stitch string) SavedSwatch {
		return SavedSwatch{Swatch: gauge.Swatch{Name: stitch, Stitches: 20, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre, Stitch: stitch}}
	}
	for _, c := range []struct {
		settings Settings
		swatches []SavedSwatch
		want     any
		src      string
	}{
		{Settings{}, nil, nil, "no swatch"},
		{Settings{}, []SavedSwatch{swatch("")}, nil, "it does not say its stitch"},
		{Settings{}, []SavedSwatch{swatch("hdc")}, 10.0 / 1.5 * 2, "by hand: rows of 10 mm are 1.5 sc, a dc is 2"},
		{Settings{}, []SavedSwatch{swatch(""), swatch("sc")}, 20.0, "by hand: the older one says its stitch"},
		{Settings{Terms: notation.UK}, []SavedSwatch{swatch("dc")}, 20.0, "by hand: a UK dc is the US sc"},
	} {
		m := newMemory()
		m.settings[asker.Member.ID] = c.settings
		m.swatches[asker.Member.ID] = c.swatches
		r := All(m.services(), nil).RunLine(context.Background(), asker, "/stitch name:dc terms:US")
		if got := figureOf(t, r, "height_mm"); got != c.want {
			t.Errorf("%v mm, want %v (%s)", got, c.want, c.src)
		}
	}
}

// TestStitchQuestions are asked as people type.
func TestStitchQuestions(t *testing.T) {
	for _, c := range []struct {
		ask   string
		terms notation.Terms
		want  stitch.ID
		says  string
	}{
		{"how do I singel crochet", notation.US, "sc", "I read"},
		{"trebel", notation.UK, "dc", "I read"},
		{"htr", notation.US, "hdc", "“htr” is a UK name. In US terms it is half double crochet (hdc)."},
		{"Stäbchen", notation.UK, "dc", "“Stäbchen” is German for treble (tr)."},
		{"maille serrée", notation.US, "sc", "is French for single crochet (sc)"},
		{"長編み", notation.US, "dc", "is Japanese for"},
		{"dc", notation.UK, "sc", "“dc” is a false friend: in US patterns it is what UK terms call treble"},
		{"treble", notation.US, "tr", "is a false friend: in UK patterns it is what US terms call double crochet"},
		{"magic cirlce", notation.US, "mr", "I read"},
		{"front post d", notation.US, "fpdc", "I took"},
		{"shell", notation.UK, "shell", "5 tr in one place"},
	} {
		r := tapped(t, "/stitch name:"+quoted(c.ask), c.terms)
		text, _ := reply.Plain(r)
		if r.Error != nil || figureOf(t, r, "stitch") != string(c.want) || !strings.Contains(flat(text), c.says) {
			t.Errorf("%q in %v terms: want %s and %q:\n%s", c.ask, c.terms, c.want, c.says, text)
		}
	}
}

// TestWordsThatAreNoStitches are explained all the same, and the buttons stay
// with the command.
func TestWordsThatAreNoStitches(t *testing.T) {
	for asked, want := range map[string]string{"slipknot": "slip knot", "turning chain": "turning chain", "amigurumi": "amigurumi", "how to turn": "turn", "front post": "front post"} {
		r := tapped(t, "/stitch name:"+asked, notation.US)
		if got := about(t, r); len(got) == 0 || got[0] != "term "+want {
			t.Errorf("%q is about %q, want the term %s", asked, got, want)
		}
		checkReply(t, asked, r)
		for label, line := range buttons(r) {
			if got := tapped(t, line, notation.UK); got.Error != nil {
				t.Errorf("%q: %q (%s): %+v", asked, label, line, *got.Error)
			}
		}
	}
	if r := tapped(t, "/stitch name:qwxzkj", notation.US); r.Error == nil || r.Error.Option != "name" {
		t.Errorf("nonsense: %+v", r.Error)
	}
	if r := tapped(t, "/stitch name:hdc step:9", notation.US); r.Error == nil || r.Error.Message != "half double crochet has 3 steps" {
		t.Errorf("a step that there is not: %+v", r.Error)
	}
}

// No text of the dictionary keeps a brace, or a US name in UK terms.
func TestAssumedMakeUp(t *testing.T) {
	for _, s := range stitch.All() {
		if err := term.CheckText(s.Assumed); err != nil {
			t.Errorf("%s: %v", s.ID, err)
		}
		said := term.Say(s.Assumed, stitch.UK)
		for _, word := range strings.FieldsFunc(said, func(r rune) bool { return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz", r) }) {
			if slices.Contains([]string{"sc", "hdc", "single"}, word) {
				t.Errorf("%s in UK terms: %q", s.ID, said)
			}
		}
	}
}

func TestStitchSuggestions(t *testing.T) {
	set := All(withSwatch().services(), nil)
	call := asker
	call.Path = "stitch"
	for typed, want := range map[string]string{"": "ch", "hd": "hdc", "half d": "hdc", "stabc": "dc", "trebl": "tr", "popc": "pc", "fp": "FPsc", "こま": "sc"} {
		offers := set.Complete(context.Background(), call, "name", typed)
		if len(offers) == 0 || len(offers) > 25 || offers[0].Value != want {
			t.Errorf("%q offers %v, want %s first", typed, offers, want)
		}
		seen := map[string]bool{}
		for _, o := range offers {
			if len([]rune(o.Label)) > 100 || len([]rune(o.Value)) > 100 || o.Label == "" || seen[o.Value] {
				t.Errorf("%q offers %+v", typed, o)
			}
			seen[o.Value] = true
			r := set.RunLine(context.Background(), asker, "/stitch name:"+quoted(o.Value))
			if r.Error != nil {
				t.Errorf("the offer %+v: %+v", o, r.Error)
			}
		}
	}
	call.Inputs = map[string]Input{"terms": {Text: "UK"}}
	if offers := set.Complete(context.Background(), call, "name", "dc"); len(offers) == 0 || offers[0].Label != "double crochet (dc)" || offers[0].Value != "dc" {
		t.Errorf("UK dc offers %v", offers)
	}
}
