package loopback

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"
)

// Each rule is broken once, and seen. Source of the rules: the service's
// developer documentation as of August 2026 (resources/message,
// components/reference, interactions/application-commands and
// interactions/receiving-and-responding).

func TestMessageRules(t *testing.T) {
	x := func(n int) string { return strings.Repeat("x", n) }
	button := func(id string) string { return fmt.Sprintf(`{"type":2,"style":2,"label":"L","custom_id":%q}`, id) }
	row := func(parts ...string) string {
		return `{"type":1,"components":[` + strings.Join(parts, ",") + `]}`
	}
	message := func(content, rest string) string {
		return fmt.Sprintf(`{"content":%q,"components":[],"attachments":[],"allowed_mentions":{"parse":[]}%s}`, content, rest)
	}
	with := func(rows ...string) string {
		return `{"content":"c","attachments":[],"allowed_mentions":{"parse":[]},"components":[` + strings.Join(rows, ",") + `]}`
	}
	menu := func(choices ...string) string {
		return `{"type":3,"custom_id":"m","options":[` + strings.Join(choices, ",") + `]}`
	}
	choice := func(label, value string) string { return fmt.Sprintf(`{"label":%q,"value":%q}`, label, value) }
	var choices []string
	for i := range 26 {
		choices = append(choices, choice("c", fmt.Sprint(i)))
	}
	tests := []struct {
		name, body string
		files      []File
		says       string
	}{
		{"good", message("hello", ""), nil, ""},
		{"long", message(x(2001), ""), nil, "2001 characters"},
		{"empty", message(" ", ""), nil, "empty message"},
		{"unknown field", message("c", `,"colour":1`), nil, "unknown field"},
		{"flags", message("c", `,"flags":1`), nil, "flags"},
		{"no mentions", `{"content":"c","components":[],"attachments":[]}`, nil, "no allowed_mentions"},
		{"mentions let through", `{"content":"c","components":[],"attachments":[],"allowed_mentions":{"parse":["users"]}}`, nil, "let kinds"},
		{"mentions null", `{"content":"c","components":[],"attachments":[],"allowed_mentions":{"parse":null}}`, nil, "let kinds"},
		{"good button", with(row(button("a"), button("b"))), nil, ""},
		{"same id", with(row(button("a")), row(button("a"))), nil, "two components"},
		{"long id", with(row(button(x(101)))), nil, "101 characters"},
		{"no id", with(row(button(""))), nil, "0 characters"},
		{"six buttons", with(row(button("a"), button("b"), button("c"), button("d"), button("e"), button("f"))), nil, "6 of them buttons"},
		{"six rows", with(row(button("a")), row(button("b")), row(button("c")), row(button("d")), row(button("e")), row(button("f"))), nil, "6 rows"},
		{"button without row", with(button("a")), nil, "empty row"},
		{"long label", with(row(`{"type":2,"style":1,"custom_id":"a","label":"` + x(81) + `"}`)), nil, "81 characters"},
		{"good menu", with(row(menu(choices[:25]...))), nil, ""},
		{"long menu", with(row(menu(choices...))), nil, "26 choices"},
		{"same choice", with(row(menu(choice("a", "v"), choice("b", "v")))), nil, "two choices"},
		{"long choice", with(row(menu(choice("a", x(101))))), nil, "101 characters"},
		{"menu beside button", with(row(menu(choice("a", "v")), button("a"))), nil, "a row of 2"},
		{"file not described", message("c", ""), []File{{Name: "a.txt"}}, "1 files for 0"},
		{"file described", strings.Replace(message("c", ""), `"attachments":[]`, `"attachments":[{"id":"0","filename":"a.txt"}]`, 1), []File{{Name: "a.txt"}}, ""},
		{"large file", strings.Replace(message("c", ""), `"attachments":[]`, `"attachments":[{"id":"0","filename":"a.txt"}]`, 1), []File{{Name: "a.txt", Body: make([]byte, 101)}}, "101 bytes"},
		{"long alt", strings.Replace(message("c", ""), `"attachments":[]`, `"attachments":[{"id":"0","filename":"a.txt","description":"`+x(1025)+`"}]`, 1), []File{{Name: "a.txt"}}, "1025"},
	}
	for _, tt := range tests {
		_, broken := messageOf(json.RawMessage(tt.body), tt.files, 100)
		expect(t, tt.name, broken, tt.says)
	}
}

func expect(t *testing.T, name string, broken []string, says string) {
	t.Helper()
	all := strings.Join(broken, "; ")
	if (says == "") != (all == "") || !strings.Contains(all, says) {
		t.Errorf("%s: got %q, want %q", name, all, says)
	}
}

func TestCommandRules(t *testing.T) {
	n := func(f float64) *float64 { return &f }
	option := func(change func(*CommandOption)) []CommandOption {
		o := CommandOption{Type: typeString, Name: "o", Description: "d"}
		change(&o)
		return []CommandOption{o}
	}
	many := func(k int) (all []CommandOption) {
		for i := range k {
			all = append(all, CommandOption{Type: typeString, Name: fmt.Sprint("o", i), Description: strings.Repeat("d", 100)})
		}
		return all
	}
	family := func(o CommandOption) []CommandOption {
		return []CommandOption{{Type: typeCommand, Name: "sub", Description: "d", Options: []CommandOption{o}}}
	}
	tests := []struct {
		name string
		c    Command
		says string
	}{
		{"good", Command{Name: "even", Options: many(25)}, ""},
		{"upper case", Command{Name: "Even"}, "the name"},
		{"space", Command{Name: "even shape"}, "the name"},
		{"long name", Command{Name: strings.Repeat("e", 33)}, "the name"},
		{"no description", Command{Name: "even", Description: " "}, "description of 0"},
		{"26 options", Command{Name: "even", Options: many(26)}, "26 options"},
		{"required last", Command{Name: "even", Options: append(many(1), CommandOption{Type: typeString, Name: "r", Description: "d", Required: true})}, "required after optional"},
		{"same name", Command{Name: "even", Options: append(many(1), many(1)...)}, "two options"},
		{"26 choices", Command{Name: "even", Options: option(func(o *CommandOption) { o.Choices = make([]Choice, 26) })}, "26 choices"},
		{"choice of another type", Command{Name: "even", Options: option(func(o *CommandOption) { o.Choices = []Choice{{Name: "c", Value: 1.0}} })}, "the choice 1"},
		{"long choice", Command{Name: "even", Options: option(func(o *CommandOption) { o.Choices = []Choice{{Name: strings.Repeat("c", 101), Value: "v"}} })}, "101 characters"},
		{"autocomplete beside choices", Command{Name: "even", Options: option(func(o *CommandOption) { o.Autocomplete, o.Choices = true, []Choice{{Name: "c", Value: "v"}} })}, "autocomplete"},
		{"autocomplete of a flag", Command{Name: "even", Options: option(func(o *CommandOption) { o.Autocomplete, o.Type = true, typeBoolean })}, "autocomplete"},
		{"bounds of a text", Command{Name: "even", Options: option(func(o *CommandOption) { o.MinValue = n(1) })}, "bounds"},
		{"bounds crossed", Command{Name: "even", Options: option(func(o *CommandOption) { o.Type, o.MinValue, o.MaxValue = typeInteger, n(2), n(1) })}, "least above most"},
		{"bounds too large", Command{Name: "even", Options: option(func(o *CommandOption) { o.Type, o.MaxValue = typeInteger, n(1<<60) })}, "a bound"},
		{"nested too deep", Command{Name: "even", Options: family(CommandOption{Type: typeGroup, Name: "g", Description: "d"})}, "too deep"},
		{"options beside commands", Command{Name: "even", Options: append(family(many(1)[0]), CommandOption{Type: typeString, Name: "o", Description: "d"})}, "beside"},
		{"too large as a whole", Command{Name: "even", Options: []CommandOption{{Type: 1, Name: "a", Description: "d", Options: many(25)}, {Type: 1, Name: "b", Description: "d", Options: many(25)}, {Type: 1, Name: "c", Description: "d", Options: many(25)}, {Type: 1, Name: "e", Description: "d", Options: many(25)}}}, "8000 are allowed"},
	}
	for _, tt := range tests {
		tt.c.Type = 1
		if tt.c.Description == "" {
			tt.c.Description = "d"
		}
		tt.c.Description = strings.TrimSpace(tt.c.Description)
		expect(t, tt.name, tt.c.Broken(true), tt.says)
	}
	expect(t, "contexts on a server", Command{Type: 1, Name: "even", Description: "d", Contexts: []int{0}}.Broken(true), "global commands only")
}

func TestAnswerRules(t *testing.T) {
	input := `{"type":1,"components":[{"type":4,"custom_id":"f","label":"L","style":2}]}`
	form := func(title string, rows ...string) string {
		return fmt.Sprintf(`{"type":9,"data":{"custom_id":"c","title":%q,"components":[%s]}}`, title, strings.Join(rows, ","))
	}
	tests := []struct {
		name string
		kind int
		body string
		says string
	}{
		{"deferral", 2, `{"type":5}`, ""},
		{"private deferral", 2, `{"type":5,"data":{"flags":64}}`, ""},
		{"deferral with more", 2, `{"type":5,"data":{"flags":4}}`, "deferral"},
		{"unknown type", 2, `{"type":99}`, "type 99"},
		{"message to a typing member", 4, `{"type":4,"data":{}}`, "type 4"},
		{"suggestions to a command", 2, `{"type":8,"data":{"choices":[]}}`, "type 8"},
		{"suggestions", 4, `{"type":8,"data":{"choices":[]}}`, ""},
		{"suggestions without list", 4, `{"type":8,"data":{}}`, "without a list"},
		{"suggestion of another type", 4, `{"type":8,"data":{"choices":[{"name":"a","value":1}]}}`, "the choice 1"},
		{"form", 2, form("T", input), ""},
		{"form to a form", 5, form("T", input), "type 9"},
		{"long title", 2, form(strings.Repeat("x", 46), input), "46 characters"},
		{"no fields", 2, form("T"), "0 fields"},
		{"same field twice", 2, form("T", input, input), "custom id"},
	}
	for _, tt := range tests {
		a := &Answer{kind: tt.kind, option: typeString, done: make(chan struct{})}
		expect(t, tt.name, a.take(json.RawMessage(tt.body), nil, 0), tt.says)
	}
}

func TestPingsAreSeen(t *testing.T) {
	for content, want := range map[string]int{"<@1>": 1, `\<@1>`: 0, "<@2>": 0, "@everyone": 0, "<@!1> <@1>": 2} {
		m, _ := messageOf(json.RawMessage(fmt.Sprintf(`{"content":%q,"allowed_mentions":{"parse":[],"users":["1"]}}`, content)), nil, 0)
		if got := len(m.Pings()); got != want {
			t.Errorf("%s pings %d, want %d", content, got, want)
		}
	}
	if open := (&Message{Content: "<@9> @everyone"}); len(open.Pings()) != 2 {
		t.Error("a message without allowed_mentions pings nobody")
	}
}

func TestLateAndDoubleAnswersAreRefused(t *testing.T) {
	s := Start(t)
	post := func(a *Answer) int {
		s.answers["t"] = a
		body := strings.NewReader(`{"type":5}`)
		resp, err := http.Post(s.server().URL+api+"/interactions/1/t/callback", "application/json", body)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.StatusCode
	}
	in := func(ago time.Duration) *Answer {
		return &Answer{kind: 2, name: "/even", asked: time.Now().Add(-ago), done: make(chan struct{})}
	}
	a := in(time.Second)
	for _, tt := range []struct {
		name   string
		a      *Answer
		status int
		says   string
	}{{"in time", a, 204, ""}, {"twice", a, 400, "answered twice"}, {"late", in(4 * time.Second), 404, "first answered after"}} {
		if got := post(tt.a); got != tt.status {
			t.Errorf("%s: status %d, want %d", tt.name, got, tt.status)
		}
		expect(t, tt.name, s.Broken(), tt.says)
	}
}
