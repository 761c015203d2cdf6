package commands

import (
	"context"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// TestExamplesInEveryLanguage asks every declared example in every language:
// each is answered, within the limits of the chat service, with the same
// figures and the same lines behind its buttons as in English.
func TestExamplesInEveryLanguage(t *testing.T) {
	for _, code := range []string{"de", "nl", "es-419"} { // es-ES has the same texts
		t.Run(code, func(t *testing.T) {
			m := withSwatch()
			set := All(m.services(), nil)
			for _, path := range set.Paths() {
				c, _ := set.Lookup(path)
				for _, line := range c.Examples {
					if changes := []string{"gauge", "makealong", "me", "pattern", "project"}; slices.Contains(changes, c.family) {
						m = withSwatch() // each line must work by itself
					}
					m.settings[asker.Member.ID] = Settings{Language: code}
					r := All(m.services(), nil).RunLine(context.Background(), asker, line)
					if r.Error != nil {
						t.Errorf("%s: %+v", line, *r.Error)
						continue
					}
					checkReply(t, line, r)
					checkLabels(t, line, r)
				}
			}
		})
	}
}

// checkLabels holds what is tapped and filled in to the limits of the chat
// service.
// Source: the service's documentation, components, as of August 2026.
func checkLabels(t *testing.T, line string, r reply.Reply) {
	t.Helper()
	within := func(what, text string, most int) {
		if n := utf8.RuneCountInString(text); n < 1 || n > most {
			t.Errorf("%s: %s %q has %d characters; %d are allowed", line, what, text, n, most)
		}
	}
	for _, a := range r.Actions {
		switch a := a.(type) {
		case reply.Button:
			within("button", a.Label, 80)
		case reply.Menu:
			within("menu", a.Label, 150)
			for _, c := range a.Choices {
				within("choice", c.Label, 100)
			}
		}
	}
	if r.Form != nil {
		within("form", r.Form.Title, 45)
		for _, b := range r.Form.Fields {
			within("field", b.Label, 45)
			if b.Hint != "" {
				within("hint", b.Hint, 100)
			}
		}
	}
}

// TestOwnNamesWork asks every example by the names of each language: the line
// that is shown can be typed back.
func TestOwnNamesWork(t *testing.T) {
	set := All(withSwatch().services(), nil)
	for _, l := range words.Languages[1:] {
		p := words.For(l.Code)
		for _, path := range set.Paths() {
			c, _ := set.Lookup(path)
			for _, line := range c.Examples {
				own := set.lineIn(p, line)
				wantPath, wantInputs, err := ParseLine(line, set)
				if err != nil {
					t.Fatal(err)
				}
				gotPath, gotInputs, err := parsed(lineReader{set, p}, own)
				if err != nil || gotPath != wantPath || len(gotInputs) != len(wantInputs) {
					t.Errorf("%s: %q is read as %s %v: %v", l.Code, own, gotPath, gotInputs, err)
				}
				for name, in := range wantInputs {
					if gotInputs[name].Text != in.Text {
						t.Errorf("%s: %q has %s %q, want %q", l.Code, own, name, gotInputs[name].Text, in.Text)
					}
				}
			}
		}
	}
}

// TestLanguageOfAnswer: the member's own choice wins over her client, that over
// the server.
func TestLanguageOfAnswer(t *testing.T) {
	for _, c := range []struct{ own, locale, server, want string }{
		{"", "", "", "en"},
		{"", "", "nl", "nl"},
		{"", "de", "nl", "de"},
		{"es-ES", "de", "nl", "es-ES"},
		{"", "en-GB", "nl", "en"},
		{"", "fr", "nl", "nl"}, // nobody has translated into French
		{"en", "de", "nl", "en"},
	} {
		m := newMemory()
		m.settings[asker.Member.ID] = Settings{Language: c.own}
		call := asker
		call.Locale, call.ServerLocale = c.locale, c.server
		for _, line := range []string{"/me show", "/even shape", "/nonsense"} {
			r := All(m.services(), nil).RunLine(context.Background(), call, line)
			if got := r.Words.Language().Code; got != c.want {
				t.Errorf("%+v: %s is answered in %s", c, line, got)
			}
		}
	}
}

// TestChoosingALanguage: the choice is kept, told in itself, and can be undone.
func TestChoosingALanguage(t *testing.T) {
	m := newMemory()
	set := All(m.services(), nil)
	call := asker
	call.Locale = "nl"
	for _, step := range []struct{ line, kept, says string }{
		{"/me set language:de", "de", "Gespeichert"},
		{"/me set language:español", "es-ES", "Guardado"},
		{"/yo ajustar idioma:en", "en", "Saved"},
		{"/me set language:any", "", "Bewaard"},
		{"/me set language:xx", "", "Dat lukte niet"},
	} {
		r := set.RunLine(context.Background(), call, step.line)
		if kept := m.settings[asker.Member.ID].Language; kept != step.kept || r.Title != step.says {
			t.Errorf("%s: kept %q and said %q, %+v", step.line, kept, r.Title, r.Error)
		}
	}
}

// TestFinished: names and decimals in prose, but neither in written rows, nor
// in the lines of buttons.
func TestFinished(t *testing.T) {
	set := All(Services{}, nil)
	c, _ := set.Lookup("gauge swatch")
	r := set.finished(words.For("de"), c, reply.Reply{
		Title: "1.5 cm",
		Parts: []reply.Block{
			reply.Text{Text: "See /gauge swatch, (/even), and/or /etc; /hook for:DK. 2.5"},
			reply.Rows{Lines: []string{"Row 1: 1.5 x /gauge swatch", "/gauge swatch stitches:21.5 rows:15 width:15 cm"}},
		},
		Actions: []reply.Action{reply.Button{Label: "1.5", Line: "/gauge swatch stitches:1.5 rows:3 width:2 cm"}},
		Error:   &reply.Error{Option: "stitches", Message: "m", Example: "stitches:21"},
	})
	want := []string{
		"1,5 cm",
		"See /maschenprobe festhalten, (/verteilen), and/or /etc; /häkelnadel für:DK. 2,5",
		"Row 1: 1.5 x /gauge swatch\n/maschenprobe festhalten maschen:21.5 reihen:15 breite:15 cm",
		"1,5 /gauge swatch stitches:1.5 rows:3 width:2 cm",
		"stitches maschen maschen:21",
	}
	button := r.Actions[0].(reply.Button)
	got := []string{
		r.Title, r.Parts[0].(reply.Text).Text, strings.Join(r.Parts[1].(reply.Rows).Lines, "\n"), button.Label + " " + button.Line,
		r.Error.Option + " " + r.Error.Named + " " + r.Error.Example,
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("finished as %q, want %q", got[i], want[i])
		}
	}
}
