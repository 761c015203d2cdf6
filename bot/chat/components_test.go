package chat

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"countwright/bot/chat/loopback"
	"countwright/commands"
	"countwright/commands/reply"
)

func TestButtonsAndMenus(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	ids := fake.Ask(loopback.Ask{Path: "more"}).Shown().Buttons()
	if len(ids) != 4 {
		t.Fatalf("got %q", ids)
	}
	a := fake.Ask(loopback.Ask{Button: ids[0]})
	if m := a.Shown(); !strings.Contains(m.Content, "tapped") || a.ForOne() {
		t.Errorf("a button was answered with %s", m.Content)
	}
	if m := fake.Ask(loopback.Ask{Button: "cw13:", Value: ids[3]}).Shown(); !strings.Contains(m.Content, "two") {
		t.Errorf("a menu was answered with %s", m.Content)
	}
	if a := fake.Ask(loopback.Ask{Button: ids[0], OnPrivate: true}); !a.ForOne() {
		t.Error("a button on a private answer was answered to everyone")
	}
}

func TestOldButtonsGetAKindAnswer(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	for _, id := range []string{"cw0:/say text:x", "something else", "cw1:/gone", "cw1:/say colour:red", "cw1:", "cw1x:/say", ":"} {
		a := fake.Ask(loopback.Ask{Button: id})
		if m := a.Shown(); !a.ForOne() || !strings.Contains(m.Content, "from an earlier time") {
			t.Errorf("%q was answered with %s", id, m.Content)
		}
	}
}

func TestForm(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "form"}).Wait()
	if a.Form == nil || a.Form.Title != "Paste your pattern" || len(a.Form.Components) != 1 {
		t.Fatalf("got %+v", a.Form)
	}
	field := a.Form.Components[0].Components[0].CustomID
	sent := fake.Ask(loopback.Ask{Form: a.Form.CustomID, Fields: map[string]string{field: "Row 1: ch 12\r\nRow 2: \"sc\" count:9"}})
	if m := sent.Shown(); !strings.Contains(m.Content, "3:Row 1: ch 12\nRow 2: \"sc\" count:9") {
		t.Errorf("got %s", m.Content)
	}
	// An answer to a form can't be a form: then there is a button.
	again := fake.Ask(loopback.Ask{Form: a.Form.CustomID, Fields: map[string]string{field: " "}}).Wait()
	if ids := again.Shown().Buttons(); len(ids) != 1 || fake.Ask(loopback.Ask{Button: ids[0]}).Wait().Form == nil {
		t.Errorf("got %s with %q", again.Message.Content, ids)
	}
}

func TestFormAfterDeferralComesByAButton(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), hurried)
	a := fake.Ask(loopback.Ask{Path: "lateform"})
	waitFor(t, "the deferral", a.Deferred)
	close(stubs.gate)
	ids := a.Shown().Buttons()
	if len(ids) != 1 || fake.Ask(loopback.Ask{Button: ids[0]}).Wait().Form == nil {
		t.Errorf("got %s with %q", a.Message.Content, ids)
	}
}

func TestSuggestions(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	ask := func(option, typed string) []loopback.Choice {
		return fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{option: typed}, Typing: option}).Wait().Choices
	}
	if c := ask("yarn", ""); len(c) != 3 || c[0].Name != "Fjord wool" || utf8.RuneCountInString(c[2].Name) > 100 {
		t.Errorf("got %v", c)
	}
	if c := ask("yarn", "Li"); len(c) != 1 || c[0].Value != "Lichen linen" {
		t.Errorf("got %v", c)
	}
	if c := ask("yarn", "zzz"); c == nil || len(c) != 0 {
		t.Errorf("got %v, want an empty list", c)
	}
	if c := ask("rows", "1"); len(c) != 1 || c[0].Value != float64(12) {
		t.Errorf("got %v, want the number only", c)
	}
}

func TestActionsAreLaidOut(t *testing.T) {
	many := func(n int) (actions []reply.Action) {
		for range n {
			actions = append(actions, reply.Button{Label: "Again", Line: "/say"})
		}
		return actions
	}
	menu := func(n int) reply.Menu {
		m := reply.Menu{Label: "Which"}
		for i := range n {
			m.Choices = append(m.Choices, reply.Button{Label: "Choice", Line: "/say count:" + string(rune('a'+i/26)) + string(rune('a'+i%26))})
		}
		return m
	}
	tests := []struct {
		name        string
		actions     []reply.Action
		rows, spare int
	}{
		{"none", nil, 0, 0}, {"one", many(1), 1, 0}, {"six", many(6), 2, 0}, {"twenty-six", many(26), 5, 1},
		{"a menu", []reply.Action{menu(3)}, 1, 0}, {"a long menu", []reply.Action{menu(30)}, 2, 0},
		{"a menu between", append(append(many(2), menu(2)), many(2)...), 3, 0},
		{"menus beyond", []reply.Action{menu(130)}, 5, 5},
		{"long line", []reply.Action{reply.Button{Label: "Long", Line: "/say text:" + strings.Repeat("x", 100)}}, 0, 1},
		{"no label", []reply.Action{reply.Button{Label: "\u200b", Line: "/say"}}, 0, 1},
	}
	for _, tt := range tests {
		rows, spare := componentsOf(tt.actions)
		if len(rows) != tt.rows || len(spare) != tt.spare {
			t.Errorf("%s: %d rows and %d lines, want %d and %d", tt.name, len(rows), len(spare), tt.rows, tt.spare)
		}
	}
	twice := reply.Button{Label: "a", Line: "/say"}
	if rows, _ := componentsOf([]reply.Action{reply.Menu{Label: "W", Choices: []reply.Button{twice, twice}}}); len(rows[0].Components[0].Options) != 1 {
		t.Error("a menu offers the same line twice")
	}
}

func TestCustomIDRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, line := rapid.IntRange(0, 999).Draw(t, "n"), rapid.String().Draw(t, "line")
		if got, ok := customLine(customID(n, line)); !ok || got != line {
			t.Fatalf("%q came back as %q", line, got)
		}
	})
}

func TestFormLimits(t *testing.T) {
	blank := reply.Blank{Option: "text", Label: strings.Repeat("long ", 20), Hint: strings.Repeat("hint ", 40), Most: 9000}
	if _, fits := formOf(reply.Form{Title: strings.Repeat("title ", 20), Line: "/say", Fields: []reply.Blank{blank}}); !fits {
		t.Error("labels that can be shortened were refused")
	}
	for name, f := range map[string]reply.Form{
		"no fields":  {Title: "T", Line: "/say"},
		"six fields": {Title: "T", Line: "/say", Fields: []reply.Blank{blank, blank, blank, blank, blank, blank}},
		"long line":  {Title: "T", Line: "/say text:" + strings.Repeat("x", 100), Fields: []reply.Blank{blank}},
		"no title":   {Line: "/say", Fields: []reply.Blank{blank}},
	} {
		if _, fits := formOf(f); fits {
			t.Errorf("%s: taken", name)
		}
	}
}

func TestReopenLineFitsAButton(t *testing.T) {
	rows, spare := componentsOf([]reply.Action{reply.Button{Label: "Open the form", Line: commands.Line("pattern check", nil)}})
	if len(rows) != 1 || len(spare) != 0 {
		t.Error("the plainest line does not fit")
	}
}
