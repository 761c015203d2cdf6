package commands

import (
	"context"
	"strings"
	"testing"

	"countwright/calc/notation"
	"countwright/commands/reply"
)

// TestToldAsAsked: the line's terms and level win over the member's own, and
// hold for one answer only.
func TestToldAsAsked(t *testing.T) {
	m := newMemory()
	m.settings[asker.Member.ID] = Settings{Terms: notation.UK, Level: "maker"}
	set := All(m.services(), nil)
	for _, c := range []struct {
		line, terms string
		maker       bool
	}{
		{"/stitch name:hdc", "UK", true},
		{"/stitch name:hdc terms:US", "US", true},
		{"/stitch name:hdc level:beginner", "UK", false},
		{"/stitch name:hdc terms:US level:beginner", "US", false},
		{"/stitch name:hdc level:host", "UK", true},
		{"/stitch name:hdc", "UK", true},
	} {
		r := set.RunLine(context.Background(), asker, c.line)
		text, _ := reply.Plain(r)
		if figureOf(t, r, "terms") != c.terms || strings.Contains(text, "In other languages") != c.maker || strings.Contains(text, "When to use it") == c.maker {
			t.Errorf("%s: want %s terms, for a maker: %t:\n%s", c.line, c.terms, c.maker, text)
		}
	}
	if got := m.settings[asker.Member.ID]; got.Terms != notation.UK || got.Level != "maker" {
		t.Errorf("an answer changed the settings to %+v", got)
	}
}

// TestSwitchesGoThereAndBack: the buttons for terms and level lead to the same
// answer told otherwise, and back.
func TestSwitchesGoThereAndBack(t *testing.T) {
	for _, line := range []string{"/stitch name:FPdc terms:US", "/term word:gauge terms:US", "/trouble symptom:edges slant in check:2 terms:US", "/help guide:fit terms:US", "/stitch name:turning chain terms:US"} {
		there := buttons(tapped(t, line, notation.US))["In UK terms"]
		back := buttons(tapped(t, there, notation.US))["In US terms"]
		first, _ := reply.Plain(tapped(t, line, notation.US))
		again, _ := reply.Plain(tapped(t, back, notation.UK))
		other, _ := reply.Plain(tapped(t, there, notation.US))
		if first != again {
			t.Errorf("%s leads over %s and %s to another answer:\n%s\nthan\n%s", line, there, back, again, first)
		}
		if other == first && !strings.HasPrefix(line, "/trouble") {
			t.Errorf("%s says in UK terms what it says in US terms:\n%s", there, other)
		}
	}
	for line, more := range map[string]string{"/stitch name:hdc": "More detail", "/term word:sk": "More detail", "/trouble symptom:pills": "All causes at once"} {
		there := buttons(tapped(t, line, notation.US))[more]
		back := buttons(tapped(t, there, notation.US))["In plain words"]
		first, _ := reply.Plain(tapped(t, line, notation.US))
		again, _ := reply.Plain(tapped(t, back, notation.US))
		if other, _ := reply.Plain(tapped(t, there, notation.US)); other == first {
			t.Errorf("%s says no more than %s", there, line)
		}
		if first != again {
			t.Errorf("%s leads over %s and %s to another answer", line, there, back)
		}
	}
}

// TestPagesAreForOne: only the beginning of an explanation is for the whole
// channel.
func TestPagesAreForOne(t *testing.T) {
	for line, private := range map[string]bool{
		"/stitch name:hdc": false, "/stitch name:hdc step:1": true, "/trouble symptom:pills": false, "/trouble symptom:pills check:2": true,
		"/trouble symptom:pills check:1 show:fix": true, "/term word:sk": false, "/help": true,
	} {
		if got := tapped(t, line, notation.US).Private; got != private {
			t.Errorf("%s is for one: %t, want %t", line, got, private)
		}
	}
}

// FuzzDesk asks whatever comes: an answer or a mistake, never a fault of ours,
// and no button too long.
func FuzzDesk(f *testing.F) {
	for _, s := range []string{"hdc", "how do I singel crochet", "*", "( )", "2dc", "rep from * to end", "Stäbchen", "長編み", "\"", "a:b", "  ", "my circle is wavy", "🧶", "{dc}", "dc2tog dc2tog", "sc\nhdc", "qwx\nzkj"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, bad := range []string{"NaN", "%!", "<nil>", "Inf", "stitchs"} {
			if strings.Contains(text, bad) {
				return // an answer says the question again
			}
		}
		for command, option := range map[string]string{"stitch": "name", "term": "word", "trouble": "symptom"} {
			for _, terms := range []notation.Terms{notation.US, notation.UK} {
				line := "/" + command + " " + option + ":" + quoted(text)
				r := tapped(t, line, terms)
				if r.Error != nil {
					if strings.Contains(r.Error.Message, "Something went wrong") {
						t.Errorf("%q: %s", line, r.Error.Message)
					}
					continue
				}
				checkReply(t, line, r)
				call := asker
				call.Path = command
				for _, o := range readers[terms]().Complete(context.Background(), call, option, text) {
					if n := len([]rune(o.Label)); n == 0 || n > 100 || len([]rune(o.Value)) > 100 {
						t.Errorf("%q offers %+v", text, o)
					}
				}
			}
		}
	})
}
