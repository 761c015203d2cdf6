package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
)

// socks is a course as a host might settle it; the store takes it as it is.
var socks = json.RawMessage(`{"pattern":"Harbour socks","zone":"Europe/Lisbon"}`)

func addAlong(t testing.TB, s *Store, host, server, name string) MakeAlong {
	t.Helper()
	return must[MakeAlong](t)(s.AddMakeAlong(t.Context(), by(host), MakeAlong{Server: server, Channel: "c1", Name: name, Course: socks}))
}

// inState saves a make-along in a state, with posts.
func inState(t testing.TB, s *Store, m MakeAlong, state string, posts ...Post) MakeAlong {
	t.Helper()
	m.State = state
	return must[MakeAlong](t)(s.SaveMakeAlong(t.Context(), by("odile"), m, posts))
}

func TestMakeAlongIsKept(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	made := must[MakeAlong](t)(s.AddMakeAlong(ctx, By{"odile", "k1"}, MakeAlong{Server: "harbour", Channel: "c1", Name: "Spring socks",
		State: AlongOpen, Course: socks}))
	want := MakeAlong{ID: made.ID, Server: "harbour", Channel: "c1", Name: "Spring socks", State: AlongDraft, Host: "odile", Version: 1,
		Course: socks, MadeAt: day, ChangedAt: day}
	if !reflect.DeepEqual(made, want) {
		t.Errorf("made %+v\nwant %+v", made, want)
	}
	if again := must[MakeAlong](t)(s.AddMakeAlong(ctx, By{"odile", "k1"}, made)); !reflect.DeepEqual(again, want) {
		t.Errorf("made again %+v", again)
	}

	c.add(time.Hour)
	changed := made
	changed.Channel, changed.Name, changed.State, changed.Course = "c2", "Socks for spring", AlongOpen, json.RawMessage(`{"pattern":"Other"}`)
	changed.Server, changed.Host, changed.MadeAt = "elsewhere", "mira", time.Time{} // these stay
	saved := must[MakeAlong](t)(s.SaveMakeAlong(ctx, By{"mira", "k1"}, changed, nil))
	want.Channel, want.Name, want.State, want.Course, want.Version, want.ChangedAt = "c2", "Socks for spring", AlongOpen, changed.Course, 2, day.Add(time.Hour)
	kept := must[MakeAlong](t)(s.MakeAlong(ctx, made.ID))
	if !reflect.DeepEqual(kept, want) {
		t.Errorf("kept %+v\nwant %+v", kept, want)
	}
	want.Host = "mira" // as it was handed in: the caller knows better than the log
	if !reflect.DeepEqual(saved, want) {
		t.Errorf("saved %+v\nwant %+v", saved, want)
	}
	if again := must[MakeAlong](t)(s.SaveMakeAlong(ctx, By{"mira", "k1"}, changed, nil)); again.Version != 2 {
		t.Errorf("saved again as version %d", again.Version)
	}
	_, err := s.MakeAlong(ctx, made.ID+1)
	wantError(t, err, ErrNotFound)
}

func TestMakeAlongRefused(t *testing.T) {
	s, _ := open(t)
	first, second := addAlong(t, s, "odile", "harbour", "Spring socks"), addAlong(t, s, "odile", "harbour", "Hats")
	closed := inState(t, s, addAlong(t, s, "odile", "harbour", "Old"), AlongClosed)
	addAlong(t, s, "odile", "harbour", "old") // a closed one's name is free
	renamed := second
	renamed.Name = " spring  SOCKS"
	reopened := closed
	reopened.State = AlongOpen
	stale := first
	stale.Version = 2
	unknown := first
	unknown.ID = 99
	state, course, nameless := first, first, first
	state.State, course.Course, nameless.Name = "asleep", json.RawMessage(`{`), ""
	for _, row := range []struct {
		name  string
		m     MakeAlong
		want  error
		stale bool
	}{
		{"a name that another has", renamed, ErrConflict, false},
		{"opened again with a name that another has", reopened, ErrConflict, false},
		{"a version that is not the last", stale, ErrConflict, true},
		{"unknown", unknown, ErrNotFound, false},
		{"a state that is none", state, ErrInvalid, false},
		{"a course that is not JSON", course, ErrInvalid, false},
		{"no name", nameless, ErrInvalid, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			before := must[[]MakeAlong](t)(s.MakeAlongs(t.Context(), "harbour"))
			_, err := s.SaveMakeAlong(t.Context(), by("odile"), row.m, nil)
			wantError(t, err, row.want)
			if errors.Is(err, ErrStale) != row.stale {
				t.Errorf("stale %v: %v", !row.stale, err)
			}
			if after := must[[]MakeAlong](t)(s.MakeAlongs(t.Context(), "harbour")); !reflect.DeepEqual(before, after) {
				t.Errorf("changed to %+v", after)
			}
		})
	}
	_, err := s.AddMakeAlong(t.Context(), by("odile"), MakeAlong{Server: "harbour", Name: "HATS", Course: socks})
	wantError(t, err, ErrConflict)
	addAlong(t, s, "odile", "other harbour", "Hats")
}

func TestMakeAlongsInOrder(t *testing.T) {
	s, c := open(t)
	var all []MakeAlong
	for i := range 4 {
		all = append(all, addAlong(t, s, "odile", "harbour", fmt.Sprint("Socks ", i)))
		c.add(time.Minute)
	}
	addAlong(t, s, "odile", "other", "Socks")
	inState(t, s, all[3], AlongClosed)
	inState(t, s, all[1], AlongClosed)
	var got []string
	for _, m := range must[[]MakeAlong](t)(s.MakeAlongs(t.Context(), "harbour")) {
		got = append(got, m.Name)
	}
	if want := "Socks 2, Socks 0, Socks 3, Socks 1"; strings.Join(got, ", ") != want {
		t.Errorf("listed %v, want %s", got, want)
	}
}

func TestMakeAlongLimits(t *testing.T) {
	s, _ := open(t)
	m := addAlong(t, s, "odile", "harbour", "Socks")
	if err := s.write(t.Context(), "fill", func(t tx) error {
		for i := range MaxMakeAlongs - 1 {
			if _, err := addMakeAlong(t, "odile", MakeAlong{Server: "harbour", Name: fmt.Sprint(i), Course: socks}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	_, err := s.AddMakeAlong(t.Context(), by("odile"), MakeAlong{Server: "harbour", Name: "one more", Course: socks})
	wantError(t, err, ErrLimit)

	posts := make([]Post, MaxPosts+1)
	for i := range posts {
		posts[i] = at(1, fmt.Sprint(i), "midway")
	}
	_, err = s.SaveMakeAlong(t.Context(), by("odile"), m, posts)
	wantError(t, err, ErrLimit)
	must[MakeAlong](t)(s.SaveMakeAlong(t.Context(), by("odile"), m, posts[:MaxPosts]))

	for i := range MaxPictures {
		must[Picture](t)(s.SharePicture(t.Context(), by("ines"), Picture{Along: m.ID, Place: fmt.Sprint("message ", i)}))
	}
	_, err = s.SharePicture(t.Context(), by("ines"), Picture{Along: m.ID, Place: "message"})
	wantError(t, err, ErrLimit)
}

// What changes a make-along is in the log, without the host and the course.
func TestMakeAlongIsLogged(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m := must[MakeAlong](t)(s.AddMakeAlong(ctx, By{"odile", "k1"}, MakeAlong{Server: "harbour", Channel: "c1", Name: "Socks", Course: socks}))
	m.State = AlongOpen
	must[MakeAlong](t)(s.SaveMakeAlong(ctx, By{"odile", "k2"}, m, []Post{at(1, "welcome", "welcome")}))
	must[Participant](t)(s.JoinMakeAlong(ctx, By{"odile", "k3"}, Participant{Along: m.ID, State: "working"}))
	must[Answer](t)(s.SaveAnswer(ctx, By{"odile", "k4"}, Answer{Along: m.ID, Milestone: 2, Say: "on it"}))
	must[Picture](t)(s.SharePicture(ctx, By{"odile", "k5"}, Picture{Along: m.ID, Place: "message 8"}))
	must[Participant](t)(s.LeaveMakeAlong(ctx, By{"odile", "k6"}, m.ID))
	c.add(2 * time.Hour)
	taken := take(t, s, "sweep")
	if err := s.BlockMakeAlong(ctx, "sweep", taken[0].ID, "the channel is gone", "Please name another channel."); err != nil {
		t.Fatal(err)
	}
	const head, part = `{"id":1,"server":"harbour","channel":"c1","name":"Socks","state":"%s","version":%d,"made_at":"2031-03-04T09:30:00Z","changed_at":"2031-03-04T09:30:00Z"}`,
		`{"makealong":1,"member":"odile","joined_at":"2031-03-04T09:30:00Z","state":"working","targets":[],"targets_version":0,"measured":{}}`
	draft, opened := fmt.Sprintf(head, "draft", 1), fmt.Sprintf(head, "open", 2)
	want := []string{
		"odile k1 add make-along makealong/1 – → " + draft,
		"odile k2 save make-along makealong/1 " + draft + " → " + opened,
		"odile k3 join make-along makealong/1 – → " + part,
		`odile k4 answer check-in makealong/1/2 – → {"makealong":1,"milestone":2,"member":"odile","say":"on it","at":"2031-03-04T09:30:00Z"}`,
		`odile k5 share picture makealong/1 – → {"id":1,"makealong":1,"member":"odile","place":"message 8","at":"2031-03-04T09:30:00Z"}`,
		"odile k6 leave make-along makealong/1 " + part + " → –",
		`- - block make-along makealong/1 {"state":"open","version":2} → {"state":"blocked","version":3,"why":"the channel is gone"}`,
	}
	if got := logLines(t, s); !reflect.DeepEqual(got, want) {
		t.Errorf("log:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// logLines is the whole log, a line an entry.
func logLines(t *testing.T, s *Store) []string {
	t.Helper()
	rows, err := s.readers.Query(`SELECT coalesce(nullif(member, ''), '-') || ' ' || coalesce(key, '-') || ' ' || kind || ' ' || subject || ' ' ||
		coalesce(before, '–') || ' → ' || coalesce(after, '–') FROM log ORDER BY id`)
	return must[[]string](t)(collect(rows, err, func(row scanner) (line string, err error) {
		err = row.Scan(&line)
		return line, err
	}))
}

func TestLastActivity(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	m, other := addAlong(t, s, "odile", "harbour", "Socks"), addAlong(t, s, "odile", "harbour", "Hats")
	p := start(t, s, "ines", "My socks", 40)
	for _, row := range []struct {
		name string
		do   func(along int64)
	}{
		{"joined", func(id int64) {
			must[Participant](t)(s.JoinMakeAlong(ctx, by("ines"), Participant{Along: id, State: "working", Project: p.ID}))
		}},
		{"tapped", func(id int64) { must[Answer](t)(s.SaveAnswer(ctx, by("ines"), Answer{Along: id, Say: "on it"})) }},
		{"counted a row", func(id int64) {
			if id == m.ID {
				count(t, s, by("ines"), p.ID, Step{By: 1})
			}
		}},
		{"showed a picture", func(id int64) { must[Picture](t)(s.SharePicture(ctx, by("ines"), Picture{Along: id, Place: "here"})) }},
	} {
		before := must[time.Time](t)(s.LastActivity(ctx, m.ID))
		c.add(time.Hour)
		if row.name != "counted a row" {
			row.do(other.ID)
			if got := must[time.Time](t)(s.LastActivity(ctx, m.ID)); !got.Equal(before) {
				t.Errorf("%s elsewhere: %v, want %v", row.name, got, before)
			}
		}
		c.add(time.Hour)
		row.do(m.ID)
		if got := must[time.Time](t)(s.LastActivity(ctx, m.ID)); !got.Equal(c.now()) {
			t.Errorf("%s: %v, want %v", row.name, got, c.now())
		}
	}
	if got := must[time.Time](t)(s.LastActivity(ctx, 99)); !got.IsZero() {
		t.Errorf("of none: %v", got)
	}
}

// A make-along whose host was erased has the next host who changes it, so that
// somebody reads its notes.
func TestAnotherHost(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	m := addAlong(t, s, "odile", "harbour", "Socks")
	must[Erased](t)(s.Erase(ctx, by("odile")))
	m = must[MakeAlong](t)(s.MakeAlong(ctx, m.ID))
	if m.Host != "" {
		t.Fatalf("host %q", m.Host)
	}
	for _, host := range []string{"mira", "ines"} {
		m = must[MakeAlong](t)(s.SaveMakeAlong(ctx, by(host), m, nil))
		if kept := must[MakeAlong](t)(s.MakeAlong(ctx, m.ID)); m.Host != "mira" || kept.Host != "mira" {
			t.Errorf("%s saved it: hosted by %q, kept %q", host, m.Host, kept.Host)
		}
	}
}
