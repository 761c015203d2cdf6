package store

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// Limits of make-alongs.
const (
	MaxMakeAlongs = 1000   // of one server, the closed ones counted
	MaxParty      = 10_000 // who take part in one
	MaxJoined     = 500    // parts of one member
	MaxPosts      = 1000   // of one, those sent counted
	MaxPictures   = 200    // of one member in one
	MaxCourse     = 262144 // characters
)

// The states of a make-along.
const (
	AlongDraft   = "draft"
	AlongOpen    = "open"
	AlongPaused  = "paused"
	AlongClosed  = "closed"
	AlongBlocked = "blocked" // its channel can't be written to
)

// ErrStale says that a make-along was changed since it was read. It is an
// [ErrConflict].
var ErrStale = fmt.Errorf("changed in the meantime: %w", ErrConflict)

// A MakeAlong is what a group makes together.
type MakeAlong struct {
	ID        int64           `json:"id"`
	Server    string          `json:"server"`
	Channel   string          `json:"channel"` // where its posts go
	Name      string          `json:"name"`    // unique in its server, whatever its case, among those not closed
	State     string          `json:"state"`
	Host      string          `json:"-"`                // the member; "" once they are erased, hence not in the log
	Version   int             `json:"version"`          // 1, and one more with every change
	Course    json.RawMessage `json:"course,omitempty"` // what the host settled; left out of the log
	MadeAt    time.Time       `json:"made_at"`
	ChangedAt time.Time       `json:"changed_at"`
}

// AddMakeAlong keeps a new make-along of by.Member as a draft and returns it
// with its id. A name that another of its server has is [ErrConflict], one
// more than [MaxMakeAlongs] [ErrLimit].
func (s *Store) AddMakeAlong(ctx context.Context, by By, m MakeAlong) (MakeAlong, error) {
	added, err := writeOnce(ctx, s, by, "add make-along", func(t tx) (change[MakeAlong], error) {
		return addMakeAlong(t, by.Member, m)
	})
	if err != nil {
		return MakeAlong{}, err
	}
	added.Host, added.Course = by.Member, m.Course
	return added, nil
}

// SaveMakeAlong keeps a make-along as it was changed since the version that it
// names, and returns it; its server, its host and the day it was made stay.
// Where its host was erased, by.Member is its host from now on.
// [ErrStale] says that another version was saved in the meantime, any other
// [ErrConflict] that another make-along has the name.
//
// The posts are put in place of all those that no sweep took up yet. One that
// was taken up, of the same key, stays as it is; a try of it that failed is
// tried again when the new one is due. Only an open make-along posts: paused,
// blocked or closed ones keep what is planned, and give nothing but notes to
// the host; a closed one its farewell, too.
func (s *Store) SaveMakeAlong(ctx context.Context, by By, m MakeAlong, posts []Post) (MakeAlong, error) {
	saved, err := writeOnce(ctx, s, by, "save make-along", func(t tx) (change[MakeAlong], error) {
		c, err := saveMakeAlong(t, by.Member, m)
		if err != nil {
			return c, err
		}
		return c, replacePosts(t, m.ID, posts)
	})
	if err != nil {
		return MakeAlong{}, err
	}
	saved.Host, saved.Course = cmp.Or(m.Host, by.Member), m.Course
	return saved, nil
}

// MakeAlong returns a make-along, or [ErrNotFound].
func (s *Store) MakeAlong(ctx context.Context, id int64) (MakeAlong, error) {
	return readOne(ctx, s, "read make-along", func(t tx) (MakeAlong, error) { return makeAlong(t, id) })
}

// MakeAlongs lists a server's: those not closed first, then the newest first.
func (s *Store) MakeAlongs(ctx context.Context, server string) ([]MakeAlong, error) {
	return readOne(ctx, s, "list make-alongs", func(t tx) ([]MakeAlong, error) {
		rows, err := t.Query(`SELECT `+alongColumns+` FROM makealongs WHERE server = ?1
			ORDER BY CASE state WHEN 'closed' THEN 1 ELSE 0 END, made_at DESC, id DESC`, server)
		return collect(rows, err, scanMakeAlong)
	})
}

// LastActivity is when somebody who takes part last joined, counted a row, said
// how it goes or showed a picture; the zero time where nobody ever did.
func (s *Store) LastActivity(ctx context.Context, id int64) (time.Time, error) {
	return readOne(ctx, s, "read last activity", func(t tx) (time.Time, error) {
		var at int64
		err := t.QueryRow(`SELECT coalesce(max(latest), 0) FROM (
				SELECT max(joined_at) AS latest FROM makealong_members WHERE makealong = ?1
				UNION ALL SELECT max(at) FROM makealong_answers WHERE makealong = ?1
				UNION ALL SELECT max(at) FROM makealong_pictures WHERE makealong = ?1
				UNION ALL SELECT max(v.at) * 1000 FROM makealong_members a
					JOIN projects p ON p.id = a.project
					JOIN project_moves v ON v.project = p.id AND v.seq = p.moves
					WHERE a.makealong = ?1) AS each_way`, id).Scan(&at)
		if err != nil || at == 0 {
			return time.Time{}, err
		}
		return moment(at), nil
	})
}

const alongColumns = `id, server, channel, name, state, host, version, course, made_at, changed_at`

func alongSubject(id int64) string { return fmt.Sprint("makealong/", id) }

func makeAlong(t tx, id int64) (MakeAlong, error) {
	m, err := scanMakeAlong(t.QueryRow(`SELECT `+alongColumns+` FROM makealongs WHERE id = ?1`, id))
	return found(m, err, "make-along %d", id)
}

func scanMakeAlong(row scanner) (m MakeAlong, err error) {
	var course []byte
	var made, changed int64
	err = row.Scan(&m.ID, &m.Server, &m.Channel, &m.Name, &m.State, &m.Host, &m.Version, &course, &made, &changed)
	m.Course, m.MadeAt, m.ChangedAt = course, moment(made), moment(changed)
	return m, err
}

// withoutCourse is a make-along as the log keeps it.
func (m MakeAlong) withoutCourse() *MakeAlong {
	m.Course = nil
	return &m
}

func addMakeAlong(t tx, host string, m MakeAlong) (change[MakeAlong], error) {
	err := atMost(MaxMakeAlongs, "make-alongs", t.QueryRow(`SELECT count(*) FROM makealongs WHERE server = ?1`, m.Server))
	if err != nil {
		return change[MakeAlong]{}, err
	}
	after, err := scanMakeAlong(t.QueryRow(`INSERT INTO makealongs
			(server, channel, name, name_key, state, host, version, course, made_at, changed_at)
		VALUES (?1, ?2, ?3, ?4, 'draft', ?5, 1, ?6, ?7, ?7)
		RETURNING `+alongColumns, m.Server, m.Channel, m.Name, nameKey(m.Name), host, string(m.Course), t.now.UnixMilli()))
	return change[MakeAlong]{subject: alongSubject(after.ID), after: after.withoutCourse()}, nameTaken(m.Name, err)
}

func saveMakeAlong(t tx, by string, m MakeAlong) (change[MakeAlong], error) {
	before, err := makeAlong(t, m.ID)
	if err != nil {
		return change[MakeAlong]{}, err
	}
	after, err := scanMakeAlong(t.QueryRow(`UPDATE makealongs SET channel = ?3, name = ?4, name_key = ?5, state = ?6, course = ?7,
			version = version + 1, changed_at = ?8, host = CASE WHEN host = '' THEN ?9 ELSE host END
		WHERE id = ?1 AND version = ?2
		RETURNING `+alongColumns, m.ID, m.Version, m.Channel, m.Name, nameKey(m.Name), m.State, string(m.Course), t.now.UnixMilli(), by))
	if kindOf(err) == ErrNotFound {
		err = fmt.Errorf("version %d of make-along %d: %w", m.Version, m.ID, ErrStale)
	}
	return change[MakeAlong]{subject: alongSubject(m.ID), before: before.withoutCourse(), after: after.withoutCourse()}, nameTaken(m.Name, err)
}

func nameTaken(name string, err error) error {
	if err != nil && kindOf(err) == ErrConflict && !errors.Is(err, ErrStale) {
		return fmt.Errorf("the name %q: %w", name, ErrConflict)
	}
	return err
}
