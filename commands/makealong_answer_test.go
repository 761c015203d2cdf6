package commands

import (
	"context"
	"slices"
	"strings"
	"testing"

	"countwright/commands/reply"
)

// answering is a community in which mira answers.
func answering(change func(*memory)) (*memory, *Set) {
	m := withSwatch()
	if change != nil {
		change(m)
	}
	return m, All(m.services(), nil)
}

func keptOf(t *testing.T, m *memory, milestone int) Answer {
	t.Helper()
	for _, a := range m.alongs.said {
		if a.Member == asker.Member.ID && a.Milestone == milestone {
			return a
		}
	}
	return Answer{}
}

// What is kept of a tap: her name, her place and her words with a call for help
// alone.
func TestTapsAreKept(t *testing.T) {
	const place = "Back, body · Row 12 (WS) of 57 · 89 stitches"
	for line, want := range map[string]Answer{
		"/makealong answer say:on it milestone:2":                               {Milestone: 1, Say: SayOnIt},
		"/makealong answer say:done":                                            {Milestone: 0, Say: SayDone},
		"/makealong answer say:resting milestone:1":                             {Milestone: 0, Say: SayResting},
		"/makealong answer say:need help milestone:1":                           {Milestone: 0, Say: SayNeedHelp, Name: "Mira", Place: place},
		"/makealong answer say:need help milestone:1 words:\"My edges\\ncurl\"": {Milestone: 0, Say: SayNeedHelp, Name: "Mira", Place: place, Words: "My edges\ncurl"},
		"/makealong answer say:done milestone:1 words:not kept":                 {Milestone: 0, Say: SayDone},
	} {
		m, set := answering(nil)
		r := set.RunLine(context.Background(), asker, line)
		checkReply(t, line, r)
		if !r.Private || r.Error != nil {
			t.Errorf("%s: private %t, %+v", line, r.Private, r.Error)
		}
		want.Along, want.Member = 1, asker.Member.ID
		got := keptOf(t, m, want.Milestone)
		got.At = want.At
		if got != want {
			t.Errorf("%s keeps %+v, want %+v", line, got, want)
		}
		for label, button := range buttons(r) {
			if next := set.RunLine(context.Background(), asker, button); next.Error != nil && !strings.HasPrefix(button, "/makealong pause") {
				t.Errorf("%s: %q (%s) fails: %+v", line, label, button, next.Error)
			}
		}
	}
}

// Another tap takes the place of the one before, and takes back what hosts saw.
func TestAnotherTapTakesItBack(t *testing.T) {
	m, set := answering(nil)
	set.RunLine(context.Background(), asker, "/makealong answer say:need help milestone:1 words:help")
	set.RunLine(context.Background(), asker, "/makealong answer say:on it milestone:1")
	if got := keptOf(t, m, 0); got.Say != SayOnIt || got.Name != "" || got.Place != "" || got.Words != "" {
		t.Errorf("kept %+v", got)
	}
	text, _ := reply.Plain(set.RunLine(context.Background(), asker, "/makealong answers"))
	if strings.Contains(text, "Mira") {
		t.Errorf("hosts still read her name:\n%s", text)
	}
}

// The form is asked for after the answer was kept, and what is filled in there
// is kept too.
func TestHelpForm(t *testing.T) {
	m, set := answering(nil)
	first := set.RunLine(context.Background(), asker, "/makealong answer say:need help milestone:1")
	if keptOf(t, m, 0).Say != SayNeedHelp {
		t.Fatal("the answer waits for the form")
	}
	form := set.RunLine(context.Background(), asker, buttons(first)["Tell the hosts more"])
	if form.Form == nil || len(form.Form.Title) > 45 || len(form.Form.Line) > longestLine || form.Form.Fields[0].Required {
		t.Fatalf("%+v", form.Form)
	}
	if keptOf(t, m, 0).Say != SayNeedHelp {
		t.Error("opening the form takes the answer back")
	}
	call := asker
	call.Inputs = map[string]Input{"words": {Text: "It curls."}}
	last := set.RunLine(context.Background(), call, form.Form.Line)
	text, _ := reply.Plain(last)
	if keptOf(t, m, 0).Words != "It curls." || !strings.Contains(flat(text), "your words: “It curls”") || buttons(last)["Tell the hosts more"] != "" {
		t.Errorf("kept %+v, said\n%s", keptOf(t, m, 0), text)
	}
}

// Buttons of what is over, gone or not hers answer kindly and keep nothing.
func TestStaleTaps(t *testing.T) {
	closed := func(m *memory) { m.alongs.at(1).State = AlongClosed }
	left := func(m *memory) {
		m.alongs.party = slices.DeleteFunc(m.alongs.party, func(p Participant) bool { return p.Member == "mira" })
	}
	for name, c := range map[string]struct {
		change func(*memory)
		line   string
		want   string
	}{
		"closed":               {closed, "/makealong answer makealong:1 milestone:1 post:7 say:on it", "has had its farewell, so I note no answers"},
		"closed, help":         {closed, "/makealong answer makealong:1 milestone:1 post:7 say:need help", "has had its farewell"},
		"closed, not in it":    {func(m *memory) { closed(m); left(m) }, "/makealong answer makealong:1 milestone:1 post:7 say:done", "The board still shows what was made"},
		"not in it":            {left, "/makealong answer makealong:1 milestone:1 post:7 say:need help", "You can come in at any time"},
		"just looking":         {left, "/makealong answer makealong:1 post:7 say:just looking", "You are welcome to look"},
		"looking, though in":   {nil, "/makealong answer makealong:1 post:7 say:just looking", "You are in"},
		"a milestone gone":     {nil, "/makealong answer makealong:1 milestone:7 post:7 say:done", "not on the calendar any more"},
		"a make-along gone":    {nil, "/makealong answer makealong:77 milestone:1 post:7 say:done", "not there any more"},
		"a make-along unknown": {nil, "/makealong answer makealong:Gulls say:done", "there is no make-along “Gulls”"},
	} {
		m, set := answering(c.change)
		r := set.RunLine(context.Background(), asker, c.line)
		text, _ := reply.Plain(r)
		if !strings.Contains(flat(text), c.want) || !r.Private {
			t.Errorf("%s: %q is missing in\n%s", name, c.want, text)
		}
		if words := stung(text); len(words) > 0 {
			t.Errorf("%s: %q", name, words)
		}
		if got := keptOf(t, m, 0); got.Say != "" {
			t.Errorf("%s: kept %+v", name, got)
		}
		if _, in := buttons(r)["Join"]; in != (name == "not in it" || name == "just looking") {
			t.Errorf("%s: offers to join: %t", name, in)
		}
	}
}

// Her project may be gone or all done: help is there all the same.
func TestHelpWithoutRows(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*memory)
		place  string
	}{
		"none": {func(m *memory) { m.alongs.party[0].Project = 0 }, ""},
		"gone": {func(m *memory) { m.alongs.party[0].Project = 77 }, ""},
		"done": {func(m *memory) {
			w := m.projects.at(3)
			for i, piece := range w.Pinned.Plan.Pieces() {
				if _, err := m.projects.Count(context.Background(), "", "mira", 3, ProjectStep{Piece: i, Exact: true, To: len(piece.Rows)}); err != nil {
					panic(err)
				}
			}
		}, "all rows done"},
	} {
		m, set := answering(c.change)
		r := set.RunLine(context.Background(), asker, "/makealong answer say:need help milestone:2")
		text, _ := reply.Plain(r)
		if got := keptOf(t, m, 1); got.Say != SayNeedHelp || got.Place != c.place || !strings.Contains(text, "What often happens here") {
			t.Errorf("%s: kept %+v and said\n%s", name, got, text)
		}
	}
}

// The place tells what is shaped there, so that hosts see who is stuck alike.
func TestPlaceTellsTheShaping(t *testing.T) {
	m, set := answering(nil)
	w := m.projects.at(3)
	for i, piece := range w.Pinned.Plan.Pieces() {
		for row := range piece.Rows {
			events := piece.Due(row, row+1)
			if len(events) == 0 || events[0].Shape >= 0 || events[0].Holes > 0 {
				continue
			}
			if _, err := m.projects.Count(context.Background(), "", "mira", 3, ProjectStep{Piece: i, Exact: true, To: row}); err != nil {
				t.Fatal(err)
			}
			set.RunLine(context.Background(), asker, "/makealong answer say:need help milestone:1")
			if got := keptOf(t, m, 0).Place; !strings.HasPrefix(got, piece.Title()+between+piece.Rows[row].Label) || !strings.HasSuffix(got, between+"decrease") {
				t.Errorf("%s, row %d: %q", piece.Title(), row, got)
			}
			return
		}
	}
	t.Fatal("the cardigan has no decrease")
}

// Hosts alone read the answers: here, and in a direct message to the host who
// made it.
func TestWhoReadsAnswers(t *testing.T) {
	_, set := answering(nil)
	for name, c := range map[string]struct {
		call Call
		may  bool
	}{
		"a host here":                  {Call{Member: Member{ID: "odile"}, Server: "s", Channel: "c", Host: true, Now: asker.Now}, true},
		"its host, though no host now": {Call{Member: asker.Member, Server: "s", Channel: "c", Now: asker.Now}, true},
		"its host in a direct message": {Call{Member: asker.Member, Now: asker.Now}, true},
		"a member":                     {Call{Member: Member{ID: "ana"}, Server: "s", Channel: "c", Now: asker.Now}, false},
		"a member in a direct message": {Call{Member: Member{ID: "ana"}, Host: true, Now: asker.Now}, false},
		"a host of another server":     {Call{Member: Member{ID: "odile"}, Server: "z", Host: true, Now: asker.Now}, false},
	} {
		r := set.RunLine(context.Background(), c.call, "/makealong answers makealong:1")
		text, _ := reply.Plain(r)
		if may := r.Error == nil; may != c.may || may != strings.Contains(text, "My ribbing curls") {
			t.Errorf("%s reads answers: %t, want %t\n%s", name, may, c.may, text)
		}
	}
}

// Calls for help are gathered by place, the place with most calls first.
func TestHelpIsGathered(t *testing.T) {
	m := sixWeeks()
	call := func(name, place string) Answer {
		return Answer{Milestone: 2, Say: SayNeedHelp, Name: name, Place: place}
	}
	all := gathered(m, []Answer{
		call("A", ""), call("B", "Back · Row 1 of 9 · 8 stitches"), call("C", "Sleeve (2 of 2) · Row 1 of 9 · 8 stitches · increase"),
		call("D", "Sleeve (1 of 2) · Row 5 of 9 · 9 stitches · increase"), call("E", "sleeve (1 of 2) · Row 5 of 9 · 9 stitches · increase"),
		call("F", "Sleeve (1 of 2) · Row 7 of 9 · 9 stitches"), {Milestone: 0, Say: SayDone}, {Milestone: 9, Say: SayDone},
	})
	if len(all) != 2 || all[0].Milestone != 1 || all[0].Done != 1 || all[1].NeedHelp != 6 {
		t.Fatalf("%+v", all)
	}
	var places []string
	for _, h := range all[1].Help {
		places = append(places, h.Place)
		if h.Place == "Sleeve, at the increase" && len(h.Calls) != 3 {
			t.Errorf("%+v", h)
		}
	}
	if want := []string{"Sleeve, at the increase", "No place told", "Back", "Sleeve"}; !slices.Equal(places, want) {
		t.Errorf("places %q, want %q", places, want)
	}
	for n, want := range map[int]string{1: "one person", 2: "two people", 12: "twelve people", 13: "13 people"} {
		if got := people(n).String(); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
}

// Who taps Done without having counted is told what the board goes by, and can
// count with a tap; who has counted is told nothing of it.
func TestDoneWithoutRows(t *testing.T) {
	m := withSwatch()
	cleo := member("cleo", "Cleo")
	m.says(t, cleo, "/makealong join makealong:1 size:woman M gauge:14x10 named:yes")
	taps := 0
	for ; taps < 20; taps++ {
		r := m.says(t, cleo, "/makealong answer makealong:1 milestone:1 say:done")
		line, ok := buttons(r)["Count them"]
		if text, _ := reply.Plain(r); strings.Contains(text, "The board goes by") != ok {
			t.Fatal(text)
		}
		if !ok {
			break
		}
		m.says(t, cleo, line)
	}
	board := m.says(t, cleo, "/makealong board makealong:1").Data.(boardData)
	if taps == 0 || !slices.Contains(board.Milestones[0].Names, "Cleo") || slices.Contains(board.Milestones[1].Names, "Cleo") {
		t.Errorf("%d taps: %+v", taps, board.Milestones)
	}
	for _, say := range []string{SayOnIt, SayResting} {
		if r := m.says(t, cleo, "/makealong answer makealong:1 milestone:2 say:"+say); buttons(r)["Count them"] != "" {
			t.Errorf("%s: %+v", say, r.Actions)
		}
	}
}
