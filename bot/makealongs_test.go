package main

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands"
	"countwright/store"
)

var noon = time.Date(2027, time.March, 28, 12, 0, 0, 0, time.UTC)

// course uses every field.
var course = commands.Course{
	Pattern: "Harbour socks", Version: "2", Tester: true, Sizes: []string{"S", "M"},
	Start: schedule.Date{Year: 2027, Month: time.April, Day: 3}, Zone: "Europe/Lisbon", At: 9 * 60, Quiet: schedule.Quiet{From: 21 * 60, To: 8 * 60},
	Milestones: []along.Milestone{{Title: "The cuff", Date: schedule.Date{Year: 2027, Month: time.April, Day: 10}, Goals: []along.Goal{{Piece: "Sock", Section: 1, Share: 0.25}},
		Stitches: 2400, About: []string{"round"}, Note: "No hurry."}},
	Texts: map[string]string{"welcome": "Hello!"}, Tell: "c9", Midway: true, Event: true, PausedOn: schedule.Date{Year: 2027, Month: time.May, Day: 1},
}

func keeping(t *testing.T) (*store.Store, commands.Services, func(time.Duration)) {
	t.Helper()
	now := noon
	s, err := store.Open(t.Context(), store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s, services(s), func(d time.Duration) { now = now.Add(d) }
}

// need returns a value that a test relies on.
func need[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestMakeAlongsAreKept(t *testing.T) {
	_, kept, _ := keeping(t)
	ctx, alongs := t.Context(), kept.MakeAlongs
	asked := commands.MakeAlong{Server: "s", Channel: "c", Name: "Spring socks", Course: course}
	made := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "odile", asked))
	want := asked
	want.ID, want.Version, want.State, want.Host, want.Made, want.Changed = made.ID, 1, commands.AlongDraft, "odile", noon, noon
	if !reflect.DeepEqual(made, want) {
		t.Fatalf("made  %+v\nasked %+v", made, want)
	}
	if again := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "odile", asked)); !reflect.DeepEqual(again, want) {
		t.Errorf("made again %+v", again)
	}
	posts := []commands.Post{
		{Key: "milestone/0", Kind: commands.MilestonePost, Due: noon.Add(2 * time.Hour)},
		{Key: "welcome", Kind: commands.WelcomePost, Milestone: -1, Due: noon.Add(time.Hour)},
		{Key: "help/0", Kind: commands.HostNote, Due: noon.Add(3 * time.Hour), To: "odile", Text: "three ask"},
	}
	open := made
	open.State = commands.AlongOpen
	saved := need[commands.MakeAlong](t)(alongs.Save(ctx, "2", "odile", open, posts))
	found, ok, err := alongs.Along(ctx, made.ID)
	if !ok || err != nil || saved.Version != 2 || saved.State != commands.AlongOpen || !reflect.DeepEqual(saved, found) || !reflect.DeepEqual(found.Course, course) {
		t.Errorf("saved %+v\nfound %+v %v", saved, found, err)
	}
	if list := need[[]commands.MakeAlong](t)(alongs.List(ctx, "s")); !reflect.DeepEqual(list, []commands.MakeAlong{found}) {
		t.Errorf("listed %+v", list)
	}
	planned := need[[]commands.Post](t)(alongs.Posts(ctx, made.ID))
	for i, at := range []int{1, 0, 2} { // in order of when they are due
		want := posts[at]
		want.ID, want.Along, want.State = planned[i].ID, made.ID, commands.PostPlanned
		if planned[i] != want {
			t.Errorf("post %d is %+v, want %+v", i, planned[i], want)
		}
	}
	if _, ok, err := alongs.Along(ctx, 99); ok || err != nil {
		t.Errorf("found what is not there: %v %v", ok, err)
	}
}

func TestMakeAlongsRefuse(t *testing.T) {
	_, kept, _ := keeping(t)
	ctx, alongs := t.Context(), kept.MakeAlongs
	socks := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "odile", commands.MakeAlong{Server: "s", Name: "Socks"}))
	hats := need[commands.MakeAlong](t)(alongs.Make(ctx, "2", "odile", commands.MakeAlong{Server: "s", Name: "Hats"}))
	need[commands.MakeAlong](t)(alongs.Save(ctx, "3", "odile", socks, nil))
	named, gone := hats, hats
	named.Name = "SOCKS"
	gone.ID = 99
	_, again := alongs.Make(ctx, "4", "mira", commands.MakeAlong{Server: "s", Name: "hats"})
	save := func(m commands.MakeAlong) error { _, err := alongs.Save(ctx, "", "odile", m, nil); return err }
	join := func(member string, id int64) error {
		return alongs.Join(ctx, "", commands.Participant{Along: id, Member: member, Seat: "M"})
	}
	need[bool](t)(true, join("ines", socks.ID))
	var refusal *commands.Refusal
	for _, row := range []struct {
		name      string
		got, want error
	}{
		{"a name twice", again, commands.ErrNamed},
		{"a name of another", save(named), commands.ErrNamed},
		{"saved in the meantime", save(socks), commands.ErrChanged},
		{"gone in the meantime", save(gone), commands.ErrChanged},
		{"a seat twice", join("mira", socks.ID), commands.ErrTaken},
		{"a make-along that is not there", join("mira", 99), store.ErrNotFound},
		{"the same seat elsewhere", join("mira", hats.ID), nil},
	} {
		if !errors.Is(row.got, row.want) {
			t.Errorf("%s: %v, want %v", row.name, row.got, row.want)
		}
	}
	// A course takes what the store takes, and not a character more.
	now := need[[]commands.MakeAlong](t)(alongs.List(ctx, "s"))[0]
	long := func(n int) error {
		now.Course.Texts = map[string]string{"welcome": ""}
		text, err := json.Marshal(now.Course)
		if err != nil {
			t.Fatal(err)
		}
		now.Course.Texts["welcome"] = strings.Repeat("é", n-len(text))
		return save(now)
	}
	if err := long(store.MaxCourse + 1); !errors.As(err, &refusal) {
		t.Errorf("a course that is too long: %v", err)
	}
	if err := long(store.MaxCourse); err != nil {
		t.Errorf("the longest course: %v", err)
	}
	if err := roomy(store.ErrLimit); !errors.As(err, &refusal) {
		t.Errorf("no room: %v", err)
	}
}

func TestPartyIsKept(t *testing.T) {
	s, kept, pass := keeping(t)
	ctx, alongs := t.Context(), kept.MakeAlongs
	m := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "odile", commands.MakeAlong{Server: "s", Name: "Socks"}))
	started := need[store.Project](t)(s.StartProject(ctx, store.By{Member: "ines"}, "Mine", []int{40, 12}, []byte(`{}`)))
	need[bool](t)(true, kept.Members.SaveSettings(ctx, "2", "ines", commands.Settings{Zone: "Europe/Lisbon"}))
	part := commands.Participant{Along: m.ID, Member: "ines", Name: "Ines", Project: started.ID, Size: "M", Gauge: "22 × 24", Seat: "M", Shift: 3,
		State: commands.Resting, Pings: true, Quiet: true, Targets: [][]along.Target{{{Piece: 0, Rows: 20}}, {}}, Version: 2,
		Measured: map[string]float64{"yarn": 84.5}, Remarks: "a neat heel"}
	bare := commands.Participant{Along: m.ID, Member: "mira"}
	for _, p := range []commands.Participant{part, bare} {
		need[bool](t)(true, alongs.Join(ctx, "3", p))
		pass(time.Minute)
	}
	_, _, err := s.MoveRows(ctx, store.By{Member: "ines"}, started.ID, store.Step{By: 9})
	need[bool](t)(true, err)
	part.Joined, part.Zone, part.Lengths, part.Done, part.Work, part.Counted = noon, "Europe/Lisbon", []int{40, 12}, []int{9, 0}, commands.Working, noon.Add(2*time.Minute)
	bare.Joined, bare.State = noon.Add(time.Minute), commands.TakingPart
	if party := need[[]commands.Participant](t)(alongs.Party(ctx, m.ID)); !reflect.DeepEqual(party, []commands.Participant{part, bare}) {
		t.Errorf("the party is %+v\nwant %+v", party, []commands.Participant{part, bare})
	}
	if joined := need[[]commands.Participant](t)(alongs.Joined(ctx, "ines")); !reflect.DeepEqual(joined, []commands.Participant{part}) {
		t.Errorf("joined %+v", joined)
	}

	said := commands.Answer{Along: m.ID, Milestone: 1, Member: "ines", Name: "Ines as shown", Say: commands.SayNeedHelp, Place: "row 9 of 40", Words: "How?"}
	shown := commands.Shared{Along: m.ID, Member: "ines", Name: "Ines", Text: "the heel", Where: "message 8"}
	for range 2 { // delivered twice
		need[bool](t)(true, alongs.Answer(ctx, "4", said))
		need[bool](t)(true, alongs.Share(ctx, "5", shown))
	}
	said.At, shown.At = noon.Add(2*time.Minute), noon.Add(2*time.Minute)
	if got := need[[]commands.Answer](t)(alongs.Answers(ctx, m.ID, -1)); !slices.Equal(got, []commands.Answer{said}) {
		t.Errorf("said %+v", got)
	}
	if got := need[[]commands.Answer](t)(alongs.Answers(ctx, m.ID, 0)); len(got) != 0 {
		t.Errorf("said elsewhere %+v", got)
	}
	if got := need[[]commands.Shared](t)(alongs.Gallery(ctx, m.ID)); !slices.Equal(got, []commands.Shared{shown}) {
		t.Errorf("shown %+v", got)
	}
	for range 2 {
		need[bool](t)(true, alongs.Leave(ctx, "", "ines", m.ID))
	}
	if got := need[[]commands.Answer](t)(alongs.Answers(ctx, m.ID, -1)); len(got) != 0 {
		t.Errorf("left, yet she said %+v", got)
	}
	if party := need[[]commands.Participant](t)(alongs.Party(ctx, m.ID)); !reflect.DeepEqual(party, []commands.Participant{bare}) {
		t.Errorf("left behind %+v", party)
	}
}

// A post that was taken comes to whoever words it as it was planned.
func TestPostingOfTakenPost(t *testing.T) {
	s, kept, pass := keeping(t)
	ctx, alongs := t.Context(), kept.MakeAlongs
	m := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "odile", commands.MakeAlong{Server: "s", Name: "Socks", Course: course}))
	m.State = commands.AlongOpen
	m = need[commands.MakeAlong](t)(alongs.Save(ctx, "2", "odile", m, []commands.Post{
		{Key: "welcome", Kind: commands.WelcomePost, Milestone: -1, Due: noon},
		{Key: "milestone/0", Kind: commands.MilestonePost, Milestone: 0, Due: noon.Add(time.Hour)},
	}))
	need[bool](t)(true, alongs.Join(ctx, "3", commands.Participant{Along: m.ID, Member: "ines", Pings: true}))
	pass(time.Hour)
	taken := need[[]store.TakenPost](t)(s.TakeDue(ctx, "sweep", time.Minute, 10))
	if len(taken) != 1 {
		t.Fatalf("taken %+v", taken)
	}
	got := need[commands.Posting](t)(posting(taken[0], noon))
	if got.Key != "milestone/0" || got.State != commands.PostTaken || got.Kind != commands.MilestonePost || !reflect.DeepEqual(got.MakeAlong, m) ||
		len(got.Merged) != 1 || got.Merged[0].Kind != commands.WelcomePost || !got.Now.Equal(noon) {
		t.Errorf("posting %+v", got)
	}
	if pinged := need[[]string](t)(alongs.TakePings(ctx, got.ID, []string{"ines", "mira"})); !slices.Equal(pinged, []string{"ines"}) {
		t.Errorf("pinged %v", pinged)
	}
	if _, err := alongs.TakePings(context.Background(), 99, nil); err == nil {
		t.Error("a post that is not there pings")
	}
}
