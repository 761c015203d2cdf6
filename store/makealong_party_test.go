package store

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"
)

func TestPartIsKept(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	must[Member](t)(s.SaveSettings(ctx, by("ines"), Settings{Zone: "Europe/Lisbon"}))
	p := start(t, s, "ines", "My socks", 40, 12)
	part := Participant{Along: m.ID, Name: "Ines", Project: p.ID, Size: "38", Gauge: "22 sts × 24 rows", Seat: "38", Shift: 7, State: "working",
		Pings: true, Targets: json.RawMessage(`[[{"piece":0,"rows":20}],[]]`), TargetsVersion: 2, Measured: json.RawMessage(`{"yarn":84.5}`), Remarks: "a neat heel"}
	got := must[Participant](t)(s.JoinMakeAlong(ctx, By{"ines", "k1"}, part))
	want := part
	want.Member, want.JoinedAt, want.Zone, want.Work, want.Lengths, want.Done = "ines", day, "Europe/Lisbon", Working, []int{40, 12}, []int{0, 0}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("joined as %+v\nwant %+v", got, want)
	}

	c.add(time.Hour)
	count(t, s, by("ines"), p.ID, Step{By: 9})
	counted := c.now()
	c.add(time.Hour)
	must[Project](t)(s.SetProjectState(ctx, by("ines"), p.ID, Paused)) // changes the project, but counts nothing
	part.State, part.Quiet, part.Name, part.Seat = "resting", true, "", ""
	must[Participant](t)(s.JoinMakeAlong(ctx, By{"ines", "k2"}, part))
	must[Participant](t)(s.JoinMakeAlong(ctx, By{"ines", "k1"}, part)) // delivered again, late: changes nothing
	want.State, want.Quiet, want.Name, want.Seat, want.Work, want.Done, want.CountedAt = "resting", true, "", "", Paused, []int{9, 0}, counted
	for what, list := range map[string][]Participant{"party": must[[]Participant](t)(s.Party(ctx, m.ID)), "joined": must[[]Participant](t)(s.Joined(ctx, "ines"))} {
		if len(list) != 1 || !reflect.DeepEqual(list[0], want) {
			t.Errorf("%s: %+v\nwant %+v", what, list, want)
		}
	}

	// The project goes, the part stays.
	must[string](t)(s.EraseProject(ctx, by("ines"), p.ID))
	want.Project, want.Work, want.Lengths, want.Done, want.CountedAt = 0, "", nil, nil, time.Time{}
	if list := must[[]Participant](t)(s.Party(ctx, m.ID)); !reflect.DeepEqual(list, []Participant{want}) {
		t.Errorf("without the project: %+v\nwant %+v", list, want)
	}
}

func TestPartyInOrder(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	var ids []int64
	for i := range 3 {
		m := addAlong(t, s, "odile", "harbour", fmt.Sprint("Socks ", i))
		ids = append(ids, m.ID)
		for _, member := range []string{"tomás", "ines", "mira"}[i:] {
			c.add(time.Minute)
			must[Participant](t)(s.JoinMakeAlong(ctx, by(member), Participant{Along: m.ID, State: "working"}))
		}
	}
	c.add(time.Minute)
	must[Participant](t)(s.JoinMakeAlong(ctx, by("tomás"), Participant{Along: ids[0], State: "resting"})) // changes nothing in the order
	var party []string
	for _, p := range must[[]Participant](t)(s.Party(ctx, ids[0])) {
		party = append(party, p.Member)
	}
	var joined []int64
	for _, p := range must[[]Participant](t)(s.Joined(ctx, "mira")) {
		joined = append(joined, p.Along)
	}
	if !slices.Equal(party, []string{"tomás", "ines", "mira"}) || !slices.Equal(joined, []int64{ids[2], ids[1], ids[0]}) {
		t.Errorf("party %v, joined %v", party, joined)
	}
}

func TestJoinRefused(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	theirs := start(t, s, "mira", "Her socks", 40)
	seated := Participant{Along: m.ID, State: "working", Seat: "M"}
	must[Participant](t)(s.JoinMakeAlong(ctx, by("mira"), seated))
	must[Participant](t)(s.JoinMakeAlong(ctx, by("mira"), seated))
	must[Participant](t)(s.JoinMakeAlong(ctx, by("tomás"), Participant{Along: m.ID, State: "working"}))
	for _, row := range []struct {
		name string
		p    Participant
		want error
	}{
		{"another has the seat", seated, ErrConflict},
		{"no such make-along", Participant{Along: 99, State: "working"}, ErrNotFound},
		{"another's project", Participant{Along: m.ID, State: "working", Project: theirs.ID}, ErrNotFound},
		{"a state that is none", Participant{Along: m.ID, State: "behind"}, ErrInvalid},
		{"targets that are not JSON", Participant{Along: m.ID, State: "working", Targets: json.RawMessage(`[`)}, ErrInvalid},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := s.JoinMakeAlong(ctx, by("ines"), row.p)
			wantError(t, err, row.want)
			if got := must[[]Participant](t)(s.Joined(ctx, "ines")); len(got) != 0 {
				t.Errorf("joined %+v", got)
			}
		})
	}
	_, err := s.JoinMakeAlong(ctx, by("tomás"), seated)
	wantError(t, err, ErrConflict)
	must[Participant](t)(s.LeaveMakeAlong(ctx, by("mira"), m.ID))
	must[Participant](t)(s.JoinMakeAlong(ctx, by("tomás"), seated))
}

// Targets are made anew by whoever looks at the board, from what was read
// before: that brings nobody back, and undoes nothing that a member said since.
func TestKeepTargets(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	mira, ines := start(t, s, "mira", "Her socks", 40), start(t, s, "ines", "My socks", 40)
	for member, project := range map[string]int64{"mira": mira.ID, "ines": ines.ID} {
		must[Participant](t)(s.JoinMakeAlong(ctx, by(member), Participant{Along: m.ID, State: "working", Project: project, TargetsVersion: 2, Pings: true}))
	}
	read := must[[]Participant](t)(s.Party(ctx, m.ID))
	for i := range read {
		read[i].Targets, read[i].TargetsVersion = json.RawMessage(`[[{"piece":0,"rows":20}]]`), 3
	}
	must[Participant](t)(s.LeaveMakeAlong(ctx, by("mira"), m.ID))
	must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), Participant{Along: m.ID, State: "working", Project: ines.ID, TargetsVersion: 2, Quiet: true}))
	if err := s.KeepTargets(ctx, m.ID, read); err != nil {
		t.Fatal(err)
	}
	party := must[[]Participant](t)(s.Party(ctx, m.ID))
	if len(party) != 1 || party[0].Member != "ines" || !party[0].Quiet || party[0].Pings || party[0].TargetsVersion != 3 || string(party[0].Targets) != `[[{"piece":0,"rows":20}]]` {
		t.Fatalf("party %+v", party)
	}

	// Targets of an older version, or of another project, are left aside.
	other := start(t, s, "ines", "More socks", 40)
	for _, late := range []Participant{{Member: "ines", Project: ines.ID, TargetsVersion: 2}, {Member: "ines", Project: other.ID, TargetsVersion: 9}} {
		if err := s.KeepTargets(ctx, m.ID, []Participant{late}); err != nil {
			t.Fatal(err)
		}
	}
	if got := must[[]Participant](t)(s.Party(ctx, m.ID))[0]; got.TargetsVersion != 3 {
		t.Errorf("targets %+v", got)
	}
	err := s.KeepTargets(ctx, m.ID, []Participant{{Member: "ines", Project: ines.ID, TargetsVersion: 9, Targets: json.RawMessage(`[`)}})
	wantError(t, err, ErrInvalid)
}

func TestLeave(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	m, other := addAlong(t, s, "odile", "harbour", "Socks"), addAlong(t, s, "odile", "harbour", "Hats")
	p := start(t, s, "ines", "My socks", 40)
	for _, member := range []string{"ines", "mira"} {
		for _, id := range []int64{m.ID, other.ID} {
			must[Participant](t)(s.JoinMakeAlong(ctx, by(member), Participant{Along: id, State: "working"}))
			must[Answer](t)(s.SaveAnswer(ctx, by(member), Answer{Along: id, Milestone: 1, Say: "done"}))
			must[Picture](t)(s.SharePicture(ctx, by(member), Picture{Along: id, Place: "message"}))
		}
	}
	for range 2 {
		if left := must[Participant](t)(s.LeaveMakeAlong(ctx, By{"ines", "k"}, m.ID)); left.Along != m.ID {
			t.Errorf("left %+v", left)
		}
	}
	_, err := s.LeaveMakeAlong(ctx, by("ines"), m.ID)
	wantError(t, err, ErrNotFound)
	for _, id := range []int64{m.ID, other.ID} {
		want := 1
		if id == other.ID {
			want = 2
		}
		party, answers, pictures := must[[]Participant](t)(s.Party(ctx, id)), must[[]Answer](t)(s.Answers(ctx, id, -1)), must[[]Picture](t)(s.Pictures(ctx, id))
		if len(party) != want || len(answers) != want || len(pictures) != want || party[want-1].Member != "mira" {
			t.Errorf("of %d there are %v, %v, %v", id, party, answers, pictures)
		}
	}
	must[ProjectWhole](t)(s.ProjectWhole(ctx, "ines", p.ID))
}

func TestAnswers(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	say := func(member string, milestone int, what, words string) {
		c.add(time.Minute)
		must[Answer](t)(s.SaveAnswer(ctx, by(member), Answer{Along: m.ID, Milestone: milestone, Say: what, Words: words, Name: "as shown", Place: "row 4 of 40"}))
	}
	say("mira", 1, "on it", "")
	say("mira", 0, "done", "")
	say("ines", 0, "need help", "How do I turn the heel?")
	say("mira", 0, "resting", "")
	list := func(milestone int) (said []string) {
		for _, a := range must[[]Answer](t)(s.Answers(ctx, m.ID, milestone)) {
			said = append(said, fmt.Sprint(a.Milestone, a.Member, a.Say, a.Words))
		}
		return said
	}
	first := []string{"0inesneed helpHow do I turn the heel?", "0miraresting"}
	if got := list(0); !slices.Equal(got, first) {
		t.Errorf("at the first: %q", got)
	}
	if got, want := list(-1), append(first, "1miraon it"); !slices.Equal(got, want) {
		t.Errorf("at all: %q", got)
	}
	got := must[[]Answer](t)(s.Answers(ctx, m.ID, 1))
	if want := (Answer{Along: m.ID, Milestone: 1, Member: "mira", Name: "as shown", Say: "on it", Place: "row 4 of 40", At: day.Add(time.Minute)}); got[0] != want {
		t.Errorf("kept %+v", got)
	}
	_, err := s.SaveAnswer(ctx, by("mira"), Answer{Along: 99, Say: "done"})
	wantError(t, err, ErrNotFound)
	for _, bad := range []Answer{{Along: m.ID}, {Along: m.ID, Milestone: -1, Say: "done"}} {
		_, err := s.SaveAnswer(ctx, by("mira"), bad)
		wantError(t, err, ErrInvalid)
	}
}

// A picture bears the name that its member goes by now.
func TestPictures(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	part := Participant{Along: m.ID, State: "working", Name: "Ines"}
	must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), part))
	want := []Picture{
		{ID: 1, Along: m.ID, Member: "ines", Name: "", Text: "the heel", Place: "message 1", At: day},
		{ID: 2, Along: m.ID, Member: "mira", Name: "Mira", Place: "message 2", At: day.Add(time.Minute)},
	}
	must[Picture](t)(s.SharePicture(ctx, by("ines"), Picture{Along: m.ID, Name: "Ines", Text: "the heel", Place: "message 1"}))
	c.add(time.Minute)
	for range 2 {
		must[Picture](t)(s.SharePicture(ctx, By{"mira", "k"}, Picture{Along: m.ID, Name: "Mira", Place: "message 2"}))
	}
	part.Name = ""
	must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), part))
	if got := must[[]Picture](t)(s.Pictures(ctx, m.ID)); !slices.Equal(got, want) {
		t.Errorf("shown %+v", got)
	}
	_, err := s.SharePicture(ctx, by("ines"), Picture{Along: 99, Place: "here"})
	wantError(t, err, ErrNotFound)
}

func TestPings(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	var posts []int64
	for _, name := range []string{"Socks", "Hats"} {
		m := inState(t, s, addAlong(t, s, "odile", "harbour", name), AlongOpen, at(1, "milestone/0", "milestone"))
		posts = append(posts, must[[]Post](t)(s.MakeAlongPosts(ctx, m.ID))[0].ID)
		for _, member := range []string{"ines", "mira", "silent", "asleep"} {
			must[Participant](t)(s.JoinMakeAlong(ctx, by(member), Participant{Along: m.ID, State: "working", Pings: member != "silent", Quiet: member == "asleep"}))
		}
	}
	everybody := []string{"mira", "silent", "ines", "asleep", "stranger"}
	ping := func(post int, members ...string) []string {
		return must[[]string](t)(s.TakePings(ctx, posts[post], members))
	}
	for _, row := range []struct {
		name    string
		later   time.Duration
		post    int
		members []string
		want    []string
	}{
		{"one of two", 0, 0, []string{"ines"}, []string{"ines"}},
		{"the same post again", time.Hour, 0, []string{"ines"}, []string{"ines"}},
		{"another post, the same week", time.Hour, 1, everybody, []string{"mira"}},
		{"the first post, the same week", time.Hour, 0, everybody, []string{"ines"}},
		{"a moment before the week is over", PingEvery - 3*time.Hour - time.Millisecond, 1, everybody, []string{"mira"}},
		{"a week after", time.Millisecond, 1, everybody, []string{"mira", "ines"}},
		{"two weeks after the first", 8 * 24 * time.Hour, 0, everybody, []string{"mira", "ines"}},
		{"nobody", 0, 0, nil, nil},
	} {
		c.add(row.later)
		if got := ping(row.post, row.members...); !slices.Equal(got, row.want) {
			t.Fatalf("%s: pinged %v, want %v", row.name, got, row.want)
		}
	}
	must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), Participant{Along: 1, State: "working", Pings: true, Quiet: true}))
	if got := ping(0, everybody...); !slices.Equal(got, []string{"mira"}) {
		t.Errorf("pinged %v after ines asked to be left alone", got)
	}
	c.add(pingsKept + time.Hour)
	ping(1, "mira")
	if got := exported(t, s, "mira").Alongs.Pings; len(got) != 1 || got[0].Post != posts[1] {
		t.Errorf("kept of pings: %+v", got)
	}
	_, err := s.TakePings(ctx, 99, everybody)
	wantError(t, err, ErrNotFound)
}

// A post that nobody read pinged nobody.
func TestPingsTakenBack(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	var posts []TakenPost
	for _, name := range []string{"Socks", "Hats"} {
		m := inState(t, s, addAlong(t, s, "odile", "harbour", name), AlongOpen, at(1, "milestone/0", "milestone"))
		must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), Participant{Along: m.ID, State: "working", Pings: true}))
	}
	c.add(time.Hour)
	posts = take(t, s, "a")
	for _, row := range []struct {
		name string
		do   func(id int64) error
		free bool
	}{
		{"put off", func(id int64) error { return s.PutOff(ctx, "a", id, c.now(), false) }, true},
		{"tried", func(id int64) error { return s.PutOff(ctx, "a", id, c.now(), true) }, false},
		{"put off after a try", func(id int64) error { return s.PutOff(ctx, "a", id, c.now(), false) }, false},
		{"skipped after a try", func(id int64) error { return s.SkipPost(ctx, "a", id, "late") }, false},
	} {
		if got := must[[]string](t)(s.TakePings(ctx, posts[0].ID, []string{"ines"})); len(got) != 1 {
			t.Fatalf("%s: nobody is pinged", row.name)
		}
		if err := row.do(posts[0].ID); err != nil {
			t.Fatal(err)
		}
		got := must[[]string](t)(s.TakePings(ctx, posts[1].ID, []string{"ines"}))
		if (len(got) == 1) != row.free {
			t.Errorf("%s: another post pings %v", row.name, got)
		}
		if row.free { // taken back as well
			if err := s.PutOff(ctx, "a", posts[1].ID, c.now(), false); err != nil {
				t.Fatal(err)
			}
		}
		take(t, s, "a")
	}
	if err := s.SkipPost(ctx, "a", posts[1].ID, "quiet"); err != nil {
		t.Fatal(err)
	}
	if got := exported(t, s, "ines").Alongs.Pings; len(got) != 1 || got[0].Post != posts[0].ID {
		t.Errorf("pings %+v", got)
	}
}

func exported(t testing.TB, s *Store, member string) Export {
	t.Helper()
	return must[Export](t)(s.Export(t.Context(), member))
}
