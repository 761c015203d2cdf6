package commands

import (
	"strings"
	"testing"

	"countwright/commands/reply"
)

// TestHostMistakes: what is wrong is said, with what is allowed; all the lines
// before the last one work.
func TestHostMistakes(t *testing.T) {
	const hat = "/makealong create name:Ours zone:UTC pattern:hat start:tomorrow "
	for _, c := range []struct {
		lines  string // one a line; the last one is answered with
		option string
		want   string
	}{
		{"/makealong create name:77 zone:UTC pattern:hat start:tomorrow", "name", "needs a letter"},
		{hat + "sizes:M", "sizes", "for a tester call"},
		{hat + "pace:20 every:1 day", "every", "can have 40 at most"},
		{hat + "dates:2026-04-01, 2026-03-20", "dates", "not after"},
		{hat + "dates:2025-04-01", "dates", "not after"},
		{hat + "rest:mon tue wed thu fri sat every:1 week", "", ""},
		{hat + "rest:7", "rest", "0 to 6"},
		{hat + `kind:"tester call" sizes:,`, "sizes", "names no size"},
		{"/makealong create name:Ours zone:UTC pattern:blanket start:tomorrow kind:tester call sizes:small", "sizes", "has no sizes of its own"},
		{"/makealong create name:Ours zone:UTC pattern:hat start:2099-01-01", "start", "too far to plan"},
		{"/makealong create name:Ours zone:UTC pattern:cardigan start:tomorrow every:1 day pace:200", "every", "can have 40 at most"},
		{"/makealong milestone remove:yes", "n", "which milestone?"},
		{"/makealong milestone n:2 by:7 date:tomorrow", "by", "not both"},
		{"/makealong milestone title:Tea", "date", "needs a title and a date"},
		{"/makealong milestone n:2 by:-30", "by", "is past"},
		{"/makealong milestone n:2 by:-14", "by", "is not after"},
		{"/makealong milestone title:Tea date:2026-03-22", "date", "a day of its own"},
		{"/makealong milestone title:Tea date:2026-02-01", "date", ""},
		{"/makealong milestone makealong:Fog shawl title:Tea date:2026-03-20", "date", "before the start"},
		{"/makealong milestone title:Tea date:2032-03-20", "date", "as long as a make-along can be"},
		{`/makealong milestone n:2 text:""`, "text", "empty"},
		{`/makealong milestone n:2 text:"{`, "text", "never closed"},
		{`/makealong milestone n:2 text:"{milestone"`, "text", "is not closed"},
		{"/makealong milestone n:1 remove:yes", "", "was posted already, so it stays"}, // the note halfway to it was
		{"/makealong open makealong:Harbour", "", "is open already"},
		{"/makealong pause all:yes\n/makealong open", "", "it can go on"},
		{"/makealong close sure:yes\n/makealong open makealong:Harbour make-along", "", "is closed"},
		{"/makealong close sure:yes\n/makealong change makealong:Harbour make-along at:9:00", "", "is closed"},
		{"/makealong close sure:yes\n/makealong milestone makealong:Harbour make-along", "", "is closed"},
		{"/makealong close sure:yes\n/makealong pause makealong:Harbour make-along", "", "is closed"},
		{"/makealong change name:12", "name", "needs a letter"},
		{"/makealong change name:harbour TEST", "name", "another name"},
		{"/makealong change makealong:Fog shawl start:2026-02-01", "start", "is past"},
		{"/makealong change channel:two words", "channel", "no channel that I can find"},
		{"/makealong pause all:yes makealong:fog", "", "is a draft"},
		{"/makealong pause all:yes resume:yes", "", "is running"},
		{"/makealong pause all:yes\n/makealong pause all:yes", "", "rests already"},
		{"/makealong pause all:yes keep:yes", "keep", "when it goes on"},
		{"/makealong pause keep:yes resume:yes", "keep", "for hosts"},
		{"/makealong leave\n/makealong pause", "", "you are not in"},
		{"/makealong dates makealong:nothing like it", "makealong", "there is no make-along"},
	} {
		m := withSwatch()
		lines := strings.Split(c.lines, "\n")
		for _, line := range lines[:len(lines)-1] {
			if r := run(m, asker, line); r.Error != nil {
				t.Fatalf("%s: %+v", line, r.Error)
			}
		}
		r := run(m, asker, lines[len(lines)-1])
		if r.Error == nil {
			if c.want != "" {
				t.Errorf("%s: it was done, %s", c.lines, r.Title)
			}
			continue
		}
		if r.Error.Option != c.option || !strings.Contains(r.Error.Message, c.want) {
			t.Errorf("%s: %+v; want %q of %q", c.lines, *r.Error, c.want, c.option)
		}
		if strings.HasPrefix(r.Error.Example, "/") && r.Error.Example != "/pattern add" && !strings.Contains(c.lines, "resume") {
			if again := run(m, asker, r.Error.Example); again.Error != nil && again.Form == nil {
				t.Errorf("%s: the example %s: %+v", c.lines, r.Error.Example, *again.Error)
			}
		}
	}
}

// TestPastDatesKeepADraftShut waits too long with a draft.
func TestPastDatesKeepADraftShut(t *testing.T) {
	m := withSwatch()
	later := asker
	later.Now = asker.Now.AddDate(0, 2, 0)
	r := run(m, later, "/makealong open makealong:Fog shawl")
	if r.Error == nil || !strings.Contains(r.Error.Message, "is past already") {
		t.Fatalf("%+v", r.Error)
	}
	if r := run(m, later, r.Error.Example); r.Error != nil {
		t.Fatalf("the example: %+v", r.Error)
	}
	if r := run(m, later, "/makealong open makealong:Fog shawl"); r.Error != nil {
		t.Errorf("after all dates moved: %+v", r.Error)
	}
}

// TestInADirectMessage: there one sees what one is in, or hosts.
func TestInADirectMessage(t *testing.T) {
	direct := asker
	direct.Server, direct.Channel, direct.Host = "", "dm", false
	for _, c := range []struct{ member, line, want string }{
		{"mira", "/makealong list", "Harbour make-along"},
		{"odile", "/makealong list", "You are in none at the moment"},
		{"bo", "/makealong dates", "Your dates: Harbour make-along"},
		{"odile", "/makealong dates", "You are in no make-along"},
		{"odile", "/makealong pause all:yes makealong:1", "You are in no make-along"},
		{"bo", "/makealong pause all:yes makealong:1", "It is for hosts"},
		{"mira", "/makealong pause all:yes makealong:1", "At rest"}, // she made it: the button of a note to hosts
		{"mira", "/makealong pause all:yes makealong:3", "At rest"},
		{"mira", "/makealong close", "for a server's hosts"},
	} {
		m := withSwatch()
		call := direct
		call.Member = Member{ID: c.member, Name: c.member}
		r := run(m, call, c.line)
		got := r.Title
		if r.Error != nil {
			got = r.Error.Message
		}
		if text := spokenLine(r); !strings.Contains(got+"\n"+text, c.want) {
			t.Errorf("%s, %s: %q; want %q\n%s", c.member, c.line, got, c.want, text)
		}
	}
}

// TestListTellsHowItStands reads a line of each state.
func TestListTellsHowItStands(t *testing.T) {
	for state, want := range map[MakeAlongState]string{
		AlongOpen: "next “The back”", AlongPaused: "resting at the moment", AlongBlocked: "waiting for its channel", AlongClosed: "closed", AlongDraft: "a draft that only hosts see",
	} {
		m := withSwatch()
		m.alongs.at(1).State = state
		if text := spokenLine(run(m, asker, "/makealong list")); !strings.Contains(text, want) {
			t.Errorf("%s: no %q in\n%s", state, want, text)
		}
	}
	m := withSwatch()
	later := asker
	later.Now = asker.Now.AddDate(0, 6, 0)
	if text := spokenLine(run(m, later, "/makealong list")); !strings.Contains(text, "all its dates have come by") {
		t.Errorf("months later:\n%s", text)
	}
	m.alongs.list = nil
	if text := spokenLine(run(m, asker, "/makealong list")); !strings.Contains(text, "/makealong create prepares one") {
		t.Errorf("none at all:\n%s", text)
	}
	if r := run(m, asker, "/makealong dates"); r.Error == nil || !strings.Contains(r.Error.Message, "no make-along here yet") {
		t.Errorf("none at all: %+v", r.Error)
	}
}

// spokenLine is a reply's text, in one line.
func spokenLine(r reply.Reply) string {
	text, err := reply.Plain(r)
	if err != nil {
		return err.Error()
	}
	return strings.Join(strings.Fields(text), " ")
}
