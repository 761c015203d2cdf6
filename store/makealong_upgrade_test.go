package store

import (
	"io/fs"
	"path/filepath"
	"reflect"
	"testing"
	"testing/fstest"
	"time"
)

// A database from before make-alongs keeps all that it held, and takes them.
func TestUpgradeBringsMakeAlongs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "test.db")
	old := fstest.MapFS{}
	files := must[[]string](t)(fs.Glob(schema, "schema/*.sql"))
	for _, name := range files[:5] {
		old[name] = &fstest.MapFile{Data: must[[]byte](t)(schema.ReadFile(name))}
	}
	db := openBare(t, path)
	if err := migrate(t.Context(), db, sqlite, old, day); err != nil {
		t.Fatal(err)
	}
	run(t, path,
		`INSERT INTO members (id, zone, created_at, updated_at) VALUES ('ines', 'Europe/Lisbon', 1, 1)`,
		`INSERT INTO projects (id, member, name, name_key, state, lengths, done, piece, moves, started_at, changed_at, finished_at)
			VALUES (7, 'ines', 'Socks', 'socks', 'working', '[40]', '[2]', 0, 1, 1, 2000, 0)`,
		`INSERT INTO project_plans (project, plan) VALUES (7, '{}')`,
		`INSERT INTO project_moves (project, seq, at, piece, was, done, undoes, minutes, key) VALUES (7, 1, 2, 0, 0, 2, 0, 0, 0)`,
		`INSERT INTO log (at, member, kind, subject, key) VALUES (1, 'ines', 'start project', 'project/7', 'k')`)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second time there is nothing to do
		s := must[*Store](t)(Open(t.Context(), Options{Path: path, Now: func() time.Time { return day }}))
		whole := must[ProjectWhole](t)(s.ProjectWhole(t.Context(), "ines", 7))
		if !reflect.DeepEqual(whole.Done, []int{2}) || len(whole.Moved) != 1 {
			t.Errorf("the project is %+v", whole)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	s := openWith(t, Options{Path: path})
	m := addAlong(t, s, "ines", "harbour", "Socks")
	part := must[Participant](t)(s.JoinMakeAlong(t.Context(), by("ines"), Participant{Along: m.ID, State: "working", Project: 7}))
	if !reflect.DeepEqual(part.Done, []int{2}) || part.Zone != "Europe/Lisbon" || part.CountedAt.Unix() != 2 {
		t.Errorf("joined as %+v", part)
	}
	wantSound(t, s)
}

// wantSound looks for rows that refer to nothing, and for damage.
func wantSound(t *testing.T, s *Store) {
	t.Helper()
	var dangling int
	if err := s.readers.QueryRow(`SELECT count(*) FROM pragma_foreign_key_check`).Scan(&dangling); err != nil || dangling != 0 {
		t.Errorf("%d rows refer to nothing (%v)", dangling, err)
	}
	if err := s.Check(t.Context()); err != nil {
		t.Error(err)
	}
}

// What a sweep holds, it holds after the database was opened again.
func TestOutboxIsReopened(t *testing.T) {
	path := filepath.Join(t.TempDir(), "test.db")
	c := &clock{at: day}
	s := must[*Store](t)(Open(t.Context(), Options{Path: path, Now: c.now}))
	m := inState(t, s, addAlong(t, s, "odile", "harbour", "Socks"), AlongOpen, sixWeeks...)
	must[Participant](t)(s.JoinMakeAlong(t.Context(), by("ines"), Participant{Along: m.ID, State: "working"}))
	c.add(48 * time.Hour)
	taken := take(t, s, "a")
	party, posts := must[[]Participant](t)(s.Party(t.Context(), m.ID)), must[[]Post](t)(s.MakeAlongPosts(t.Context(), m.ID))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = openWith(t, Options{Path: path, Now: c.now})
	if again := must[[]Post](t)(s.MakeAlongPosts(t.Context(), m.ID)); !reflect.DeepEqual(posts, again) {
		t.Errorf("posts %+v\nwere %+v", again, posts)
	}
	if again := must[[]Participant](t)(s.Party(t.Context(), m.ID)); !reflect.DeepEqual(party, again) {
		t.Errorf("party %+v\nwas %+v", again, party)
	}
	if got := take(t, s, "b"); len(got) != 0 {
		t.Errorf("taken while it is held: %s", keys(got))
	}
	sent(t, s, "a", taken)
	wantSound(t, s)
}
