package commands

import (
	"context"
	"strings"
	"testing"

	"countwright/calc/guide"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/commands/reply"
)

// TestEveryCommandIsWanted: help lists a command by what a person wants, so
// each says it; and each is listed at its level and above.
func TestEveryCommandIsWanted(t *testing.T) {
	set := readers[notation.US]()
	host, member := asker, asker
	host.Host, member.Host = true, false
	listed := func(call Call, level string) string {
		text, _ := reply.Plain(set.RunLine(context.Background(), call, "/help level:"+level))
		return flat(text) + " "
	}
	texts := map[string]string{"beginner": listed(member, "beginner"), "maker": listed(member, "maker"), "host": listed(host, "host")}
	for _, c := range runnable(set.Commands) {
		if c.Name == "help" {
			continue
		}
		if c.Want == "" {
			t.Errorf("/%s does not say what a person wants who needs it (Want)", c.Path())
		}
		if first := strings.Fields(c.want(Request{}))[0]; first != strings.ToLower(first) || strings.HasSuffix(c.Want, ".") {
			t.Errorf("/%s: %q does not go after “I want to”", c.Path(), c.want(Request{}))
		}
		entry := c.want(Request{}) + ": /" + c.Path() + " "
		for i, level := range levels {
			wanted := i >= position(c.level())
			if strings.Contains(texts[level], entry) != wanted {
				t.Errorf("/%s is listed for a %s: %t, want %t", c.Path(), level, !wanted, wanted)
			}
		}
	}
}

// position is where a level stands among the levels.
func position(level string) int {
	for i, l := range levels {
		if l == level {
			return i
		}
	}
	return -1
}

// TestHelpKnowsTheLevel: the member's level serves where none is said.
func TestHelpKnowsTheLevel(t *testing.T) {
	for level, want := range map[string]string{"": "beginner", "beginner": "beginner", "maker": "maker", "host": "host"} {
		m := newMemory()
		m.settings[asker.Member.ID] = Settings{Level: level}
		r := All(m.services(), nil).RunLine(context.Background(), asker, "/help")
		if got := figureOf(t, r, "level"); got != want {
			t.Errorf("a member at %q gets help for a %v", level, got)
		}
		checkReply(t, "/help", r)
		for label, line := range buttons(r) {
			if got := tapped(t, line, notation.US); got.Error != nil {
				t.Errorf("%q (%s): %+v", label, line, *got.Error)
			}
		}
	}
}

// TestOnlyHostsSeeHosts: a member is not shown what she may not do.
func TestOnlyHostsSeeHosts(t *testing.T) {
	member := asker
	member.Host = false
	text, _ := reply.Plain(readers[notation.US]().RunLine(context.Background(), member, "/help"))
	if strings.Contains(text, "/pattern add") {
		t.Errorf("a member is shown what hosts do:\n%s", text)
	}
	text, _ = reply.Plain(readers[notation.US]().RunLine(context.Background(), member, "/help level:host"))
	if !strings.Contains(text, "What hosts do needs a host's role") {
		t.Errorf("who asks as a host is not told that it takes a role:\n%s", text)
	}
}

// TestGuidesWork: every line that a guide shows works as it stands, in either
// terms, and so does every button.
func TestGuidesWork(t *testing.T) {
	host := asker
	host.Host = true
	byLevel := map[string]int{}
	for _, g := range guide.All(stitch.US) {
		byLevel[g.Level]++
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			g, _ := guide.Lookup(g.ID, stitch.Dialect(terms))
			line := "/help guide:" + g.ID + " terms:" + termsName(terms)
			r := tapped(t, line, notation.US)
			checkReply(t, line, r)
			if r.Error != nil {
				t.Fatalf("%s: %+v", line, *r.Error)
			}
			text, _ := reply.Plain(r)
			if strings.ContainsAny(text, "{}") {
				t.Errorf("%s keeps a brace:\n%s", line, text)
			}
			m := withSwatch()
			m.settings[asker.Member.ID] = Settings{Terms: terms}
			set := All(m.services(), nil)
			asked := Request{Settings: Settings{Terms: terms}}
			for _, s := range g.Steps {
				if got := set.RunLine(context.Background(), host, guideLine(asked, s)); got.Error != nil {
					t.Errorf("guide %s: %s: %+v", g.ID, guideLine(asked, s), *got.Error)
				}
			}
			for label, next := range buttons(r) {
				if got := tapped(t, next, notation.US+notation.UK-terms); got.Error != nil {
					t.Errorf("guide %s: %q (%s): %+v", g.ID, label, next, *got.Error)
				}
			}
		}
	}
	for _, l := range levels {
		if byLevel[l] == 0 || byLevel[l] > 5 {
			t.Errorf("%d guides for a %s", byLevel[l], l)
		}
	}
}

func TestHelpSuggestions(t *testing.T) {
	set := readers[notation.US]()
	call := asker
	call.Path = "help"
	for typed, want := range map[string]string{"": "", "even": "even shape", "/yarn e": "yarn enough", "wash": "yarn care", "went wrong": "trouble", "buttonh": "even buttonholes"} {
		offers := set.Complete(context.Background(), call, "command", typed)
		if len(offers) == 0 || want != "" && offers[0].Value != want {
			t.Errorf("%q offers %v, want %q first", typed, offers, want)
		}
	}
	if offers := set.Complete(context.Background(), call, "guide", "fits"); len(offers) != 1 || offers[0].Value != "fit" {
		t.Errorf("fits offers %v", offers)
	}
	if r := tapped(t, "/help guide:first stiches", notation.US); r.Error == nil || r.Error.Example != "guide:first stitches" {
		t.Errorf("a misspelt guide: %+v", r.Error)
	}
	if r := tapped(t, "/help guide:nonsense", notation.US); r.Error == nil || !strings.Contains(r.Error.Message, "first stitches") {
		t.Errorf("a guide that there is not: %+v", r.Error)
	}
}
