package commands

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"

	"countwright/calc/along"
	"countwright/calc/pattern"
	"countwright/commands/reply"
)

// TestEveryHousePatternCanBeHosted prepares a make-along of each, in several
// rhythms, opens it, and holds what was previewed to what is then planned.
func TestEveryHousePatternCanBeHosted(t *testing.T) {
	for _, p := range pattern.House() {
		for _, how := range []string{"", " every:1 week", " rest:Sunday pace:900", " event:yes midway:no"} {
			m := withSwatch()
			r := run(m, asker, "/makealong create name:Ours zone:Europe/Lisbon start:next Sunday pattern:"+p.Name+how)
			if r.Error != nil {
				t.Errorf("%s%s: %+v", p.Name, how, r.Error)
				continue
			}
			checkReply(t, p.Name+how, r)
			draft := r.Data.(alongData)
			hosted(t, p, m.alongs.list[len(m.alongs.list)-1], r)
			on := run(m, asker, "/makealong open makealong:Ours")
			if on.Error != nil {
				t.Errorf("%s%s: %+v", p.Name, how, on.Error)
				continue
			}
			posts, err := m.alongs.Posts(context.Background(), draft.MakeAlong)
			if err != nil || len(posts) != len(draft.Posts) {
				t.Fatalf("%s%s: %d posts were shown, %d are planned (%v)", p.Name, how, len(draft.Posts), len(posts), err)
			}
			for i, post := range posts {
				if shown := draft.Posts[i]; shown.Key != post.Key || shown.Due != post.Due.Format("2006-01-02T15:04:05Z07:00") {
					t.Errorf("%s%s: %s was shown for %s, %s is planned for %s", p.Name, how, shown.Key, shown.Due, post.Key, post.Due)
				}
			}
		}
	}
}

// hosted holds a draft to what a make-along needs.
func hosted(t *testing.T, p *pattern.Pattern, m MakeAlong, shown reply.Reply) {
	t.Helper()
	stones := m.Course.Milestones
	if len(stones) < 2 || len(stones) > mostMilestones {
		t.Errorf("%s has %d milestones", p.Name, len(stones))
	}
	if err := m.opened().ordered(0, len(stones)-1, asker.Now); err != nil {
		t.Errorf("%s: %v", p.Name, err)
	}
	cautions := 0
	for _, part := range shown.Parts {
		if _, ok := part.(reply.Caution); ok {
			cautions++
		}
	}
	if small := slices.Contains(p.For, "infant") || slices.Contains(p.For, "child"); small && cautions < len(p.Cautions)+len(p.Small) {
		t.Errorf("%s is made for children too, and %d cautions are shown", p.Name, cautions)
	}
	goals := 0
	for _, s := range stones {
		goals += len(s.Goals)
	}
	if goals == 0 {
		t.Errorf("%s: no milestone can be told by rows", p.Name)
	}
}

// TestCalendarFiles reads each attached file with another library: it has the
// start and every milestone on its day.
func TestCalendarFiles(t *testing.T) {
	for _, line := range []string{
		"/makealong create name:Ours zone:Europe/Lisbon start:next Sunday pattern:cardigan",
		"/makealong open makealong:Fog shawl",
		"/makealong dates makealong:Fog shawl",
		"/makealong dates",
		"/makealong pause all:yes resume:yes",
	} {
		m := withSwatch()
		if strings.Contains(line, "resume") {
			run(m, asker, "/makealong pause all:yes")
		}
		r := run(m, asker, line)
		var found []string
		for _, part := range r.Parts {
			file, ok := part.(reply.File)
			if !ok {
				continue
			}
			cal, err := ics.ParseCalendar(bytes.NewReader(file.Body))
			if err != nil || !strings.HasSuffix(file.Name, ".ics") {
				t.Fatalf("%s: %s: %v", line, file.Name, err)
			}
			for _, e := range cal.Events() {
				found = append(found, e.GetProperty(ics.ComponentPropertyDtStart).Value)
			}
		}
		d := r.Data.(alongData)
		for _, s := range d.Milestones {
			if !slices.Contains(found, strings.ReplaceAll(s.Date, "-", "")) {
				t.Errorf("%s: the file has no %s, but %q", line, s.Date, found)
			}
		}
		if len(d.Milestones) == 0 || len(found) < len(d.Milestones) {
			t.Errorf("%s: %d milestones, %d entries", line, len(d.Milestones), len(found))
		}
	}
}

// offered are all command lines that a reply offers.
func offered(r reply.Reply) []string {
	var list []string
	for _, a := range r.Actions {
		switch a := a.(type) {
		case reply.Button:
			list = append(list, a.Line)
		case reply.Menu:
			for _, b := range a.Choices {
				list = append(list, b.Line)
			}
		}
	}
	return list
}

// TestHostsButtonsWork taps every button that hosting offers, each in a world
// of its own, and those that are offered then.
func TestHostsButtonsWork(t *testing.T) {
	begin := []string{
		"/makealong create name:Ours zone:Europe/Lisbon start:next Sunday pattern:hat event:yes",
		"/makealong milestone", "/makealong milestone n:2", "/makealong milestone makealong:Fog shawl n:1", "/makealong open makealong:Fog shawl",
		"/makealong change", "/makealong dates makealong:Fog shawl", "/makealong pause all:yes", "/makealong pause", "/makealong close", "/makealong close makealong:Fog shawl", "/makealong list",
	}
	tapped := 0
	for _, line := range begin {
		first := run(withSwatch(), asker, line)
		if first.Error != nil || len(offered(first)) == 0 {
			t.Errorf("%s: %+v, %d buttons", line, first.Error, len(offered(first)))
		}
		for _, next := range offered(first) {
			if strings.Contains(next, " join ") {
				continue // it asks for a size
			}
			if len(next) > longestLine {
				t.Errorf("%s: %q is too long for a button", line, next)
			}
			m := withSwatch()
			run(m, asker, line)
			r := run(m, asker, next)
			if r.Error != nil {
				t.Errorf("%s, then %s: %+v", line, next, r.Error)
				continue
			}
			checkReply(t, next, r)
			tapped++
		}
	}
	if tapped < 30 {
		t.Errorf("%d buttons were tapped", tapped)
	}
}

// TestFormsComeBack fills in each form and sends it, as it stands and changed.
func TestFormsComeBack(t *testing.T) {
	m := withSwatch()
	form := run(m, asker, "/makealong milestone n:4 edit:yes").Form
	if form == nil {
		t.Fatal("there is no form")
	}
	send := func(change map[string]string) reply.Reply {
		call := asker
		call.Inputs = map[string]Input{}
		for _, f := range form.Fields {
			value := f.Value
			if v, ok := change[f.Option]; ok {
				value = v
			}
			if value != "" {
				call.Inputs[f.Option] = Input{Text: value}
			}
		}
		return run(m, call, form.Line)
	}
	before := asKept(m.alongs.at(1).Course.Milestones)
	if r := send(nil); r.Error != nil || fmt.Sprint(before) != fmt.Sprint(m.alongs.at(1).Course.Milestones) {
		t.Errorf("sent as it stood: %+v, %v", r.Error, m.alongs.at(1).Course.Milestones)
	}
	if r := send(map[string]string{"title": "Buttons!", "note": "none", "date": "2026-04-15", "text": "Here we are:\nbuttons."}); r.Error != nil {
		t.Fatalf("%+v", r.Error)
	}
	got := m.alongs.at(1).Course
	if s := got.Milestones[3]; s.Title != "Buttons!" || s.Note != "" || s.Date.String() != "2026-04-15" || len(s.Goals) != len(before[3].Goals) {
		t.Errorf("got %+v", s)
	}
	if got.Texts["milestone/3"] != "Here we are:\nbuttons." {
		t.Errorf("got %q", got.Texts)
	}
	if form = run(m, asker, "/makealong milestone add:yes").Form; form == nil {
		t.Fatal("there is no form to add one")
	}
	if r := send(map[string]string{"title": "Tea", "date": "in 7 weeks"}); r.Error != nil || len(m.alongs.at(1).Course.Milestones) != 5 {
		t.Errorf("%+v, %d milestones", r.Error, len(m.alongs.at(1).Course.Milestones))
	}
}

// TestHostSuggestions types a little, and takes what is offered.
func TestHostSuggestions(t *testing.T) {
	m := withSwatch()
	set := All(m.services(), nil)
	call := asker
	for _, c := range []struct{ path, option, typed, want string }{
		{"makealong open", "makealong", "fog", "Fog shawl"},
		{"makealong milestone", "n", "slee", "3"},
		{"makealong create", "zone", "lis", "Europe/Lisbon"},
		{"makealong create", "zone", "new y", "America/New_York"},
		{"makealong create", "start", "sun", "2026-03-08"},
		{"makealong create", "pattern", "spring", "spring hat"},
		{"makealong create", "kind", "test", "tester call"},
	} {
		call.Path, call.Inputs = c.path, map[string]Input{}
		offers := set.Complete(context.Background(), call, c.option, c.typed)
		if len(offers) == 0 || offers[0].Value != c.want {
			t.Errorf("%s %s:%s offers %v, want %s first", c.path, c.option, c.typed, offers, c.want)
		}
	}
	call.Path, call.Host, call.Member = "makealong dates", false, Member{ID: "odile"}
	for _, o := range set.Complete(context.Background(), call, "makealong", "") {
		if o.Value == "Fog shawl" {
			t.Error("a draft is offered to somebody who is no host")
		}
	}
	call.Path = "makealong create"
	for _, o := range set.Complete(context.Background(), call, "pattern", "") {
		if o.Value == justChecked {
			t.Error("what one checked is offered to a group")
		}
	}
}

// TestTakenOut leaves the work of a milestone that is taken out to the next one.
func TestTakenOut(t *testing.T) {
	m := withSwatch()
	before := asKept(m.alongs.at(2).Course.Milestones)
	if r := run(m, asker, "/makealong milestone makealong:Fog shawl n:1 remove:yes"); r.Error != nil {
		t.Fatal(r.Error)
	}
	if after := m.alongs.at(2).Course.Milestones; len(after) != 1 || after[0].Stitches != before[0].Stitches+before[1].Stitches {
		t.Errorf("got %+v of %+v", after, before)
	}
	if r := run(m, asker, "/makealong milestone makealong:Fog shawl n:1 remove:yes"); r.Error == nil {
		t.Error("the last one was taken out")
	}
}

// TestMostMilestones stops at as many as a board can show.
func TestMostMilestones(t *testing.T) {
	m := withSwatch()
	a := m.alongs.at(2)
	for len(a.Course.Milestones) < mostMilestones {
		last := a.Course.Milestones[len(a.Course.Milestones)-1]
		a.Course.Milestones = append(a.Course.Milestones, along.Milestone{Title: "More", Date: last.Date.Add(2)})
	}
	if r := run(m, asker, `/makealong milestone makealong:Fog shawl title:"One more" date:in 50 weeks`); r.Error == nil || !strings.Contains(r.Error.Message, "no more can be kept") {
		t.Errorf("%+v", r.Error)
	}
	if r := run(m, asker, "/makealong board makealong:Fog shawl"); r.Error != nil {
		t.Errorf("%+v", r.Error)
	}
	if r := run(m, asker, "/makealong create name:Ours pattern:cardigan start:tomorrow zone:UTC every:1 day pace:400"); r.Error == nil && len(m.alongs.list[len(m.alongs.list)-1].Course.Milestones) > mostMilestones {
		t.Error("too many were proposed")
	}
}
