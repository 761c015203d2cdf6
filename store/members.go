package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Settings are what a member has chosen. "" always means "not said".
type Settings struct {
	Units  string `json:"units"`  // "cm" or "in"
	Terms  string `json:"terms"`  // "US" or "UK"
	Zone   string `json:"zone"`   // an IANA time zone, such as "Europe/Lisbon"
	Level  string `json:"level"`  // "beginner", "maker" or "host"
	Locale string `json:"locale"` // a BCP 47 language tag
}

// A Member is somebody who has something stored here.
type Member struct {
	ID string `json:"id"` // as the chat service or the practice room names them
	Settings
	CreatedAt time.Time `json:"created_at"`
	UpdatedAt time.Time `json:"updated_at"`
}

// Member returns a member, or [ErrNotFound] if nothing was ever stored for
// that id.
func (s *Store) Member(ctx context.Context, id string) (Member, error) {
	return readOne(ctx, s, "read member", func(t tx) (Member, error) { return member(t, id) })
}

// Settings returns a member's settings; those of somebody unknown are all
// "not said".
func (s *Store) Settings(ctx context.Context, id string) (Settings, error) {
	m, err := s.Member(ctx, id)
	if errors.Is(err, ErrNotFound) {
		return Settings{}, nil
	}
	return m.Settings, err
}

// SaveSettings replaces the settings of by.Member, who is added if unknown. A
// value outside its set is [ErrInvalid].
func (s *Store) SaveSettings(ctx context.Context, by By, settings Settings) (Member, error) {
	return writeOnce(ctx, s, by, "save settings", func(t tx) (change[Member], error) {
		return saveSettings(t, by.Member, settings)
	})
}

const memberColumns = `id, units, terms, zone, level, locale, created_at, updated_at`

func member(t tx, id string) (Member, error) {
	m, err := scanMember(t.QueryRow(`SELECT `+memberColumns+` FROM members WHERE id = ?1`, id))
	return found(m, err, "member %q", id)
}

func scanMember(row scanner) (m Member, err error) {
	var created, updated int64
	err = row.Scan(&m.ID, &m.Units, &m.Terms, &m.Zone, &m.Level, &m.Locale, &created, &updated)
	m.CreatedAt, m.UpdatedAt = moment(created), moment(updated)
	return m, err
}

func saveSettings(t tx, id string, settings Settings) (change[Member], error) {
	var before *Member
	switch old, err := member(t, id); {
	case err == nil:
		before = &old
	case !errors.Is(err, ErrNotFound):
		return change[Member]{}, err
	}
	after, err := scanMember(t.QueryRow(`INSERT INTO members (`+memberColumns+`) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?7)
		ON CONFLICT (id) DO UPDATE SET units = ?2, terms = ?3, zone = ?4, level = ?5, locale = ?6, updated_at = ?7
		RETURNING `+memberColumns, id, settings.Units, settings.Terms, settings.Zone, settings.Level, settings.Locale,
		t.now.UnixMilli()))
	return change[Member]{subject: id, before: before, after: &after}, err
}

// addMember makes sure that a member is there for rows that belong to them.
func addMember(t tx, id string) error {
	_, err := t.Exec(`INSERT INTO members (id, created_at, updated_at) VALUES (?1, ?2, ?2) ON CONFLICT (id) DO NOTHING`,
		id, t.now.UnixMilli())
	return err
}

// atMost refuses one more row where a count has reached its limit.
func atMost(limit int, what string, count *sql.Row) error {
	var n int
	if err := count.Scan(&n); err != nil {
		return err
	}
	if n >= limit {
		return fmt.Errorf("%d %s are kept: %w", n, what, ErrLimit)
	}
	return nil
}
