package store

import (
	"context"
	"errors"
	"time"
)

// Forgotten counts what ForgetServer took away.
type Forgotten struct {
	Patterns   int `json:"patterns"`
	MakeAlongs int `json:"makealongs"`
}

// ServerLeft notes that the bot was removed from a server, the first time that
// it is told.
func (s *Store) ServerLeft(ctx context.Context, server string) error {
	return s.write(ctx, "note a server left", func(t tx) error {
		_, err := t.Exec(`INSERT INTO removed_servers (server, at) VALUES (?1, ?2) ON CONFLICT (server) DO NOTHING`, server, t.now.UnixMilli())
		return err
	})
}

// ServerBack notes that the bot is in a server. It writes only where it was
// removed before.
func (s *Store) ServerBack(ctx context.Context, server string) error {
	const doing = "note a server back"
	_, err := readOne(ctx, s, doing, func(t tx) (int, error) {
		var one int
		return one, t.QueryRow(`SELECT 1 FROM removed_servers WHERE server = ?1`, server).Scan(&one)
	})
	switch {
	case errors.Is(err, ErrNotFound):
		return nil
	case err != nil:
		return err
	}
	return s.write(ctx, doing, func(t tx) error {
		_, err := t.Exec(`DELETE FROM removed_servers WHERE server = ?1`, server)
		return err
	})
}

// ForgetServers forgets the servers that the bot was removed from before a
// time, each as [Store.ForgetServer] does, and returns them.
func (s *Store) ForgetServers(ctx context.Context, before time.Time) ([]string, error) {
	old, err := readOne(ctx, s, "list servers left", func(t tx) ([]string, error) {
		rows, err := t.Query(`SELECT server FROM removed_servers WHERE at < ?1 ORDER BY at, server`, before.UnixMilli())
		return collect(rows, err, func(row scanner) (server string, err error) {
			err = row.Scan(&server)
			return server, err
		})
	})
	if err != nil {
		return nil, err
	}
	for i, server := range old {
		if _, err := s.ForgetServer(ctx, server); err != nil {
			return old[:i], err
		}
	}
	return old, nil
}

// ForgetServer removes a server's patterns and make-alongs, with everybody's
// part in them. Members' own projects stay theirs. What was removed is
// overwritten in the file; the log keeps the counts.
func (s *Store) ForgetServer(ctx context.Context, server string) (Forgotten, error) {
	const doing = "forget server"
	var gone Forgotten
	err := s.write(ctx, doing, func(t tx) error {
		gone = Forgotten{}
		for _, step := range []struct {
			count *int
			query string
		}{
			{&gone.Patterns, `DELETE FROM patterns WHERE server = ?1`},
			{&gone.MakeAlongs, `DELETE FROM makealongs WHERE server = ?1`}, // and all that refers to them
			{new(int), `DELETE FROM removed_servers WHERE server = ?1`},
		} {
			n, err := affected(t.Exec(step.query, server))
			if err != nil {
				return err
			}
			*step.count = n
		}
		if gone == (Forgotten{}) {
			return nil
		}
		return logChange(t, By{}, doing, change[Forgotten]{subject: server, after: &gone})
	})
	if err != nil {
		return Forgotten{}, err
	}
	s.emptyLog(ctx)
	return gone, nil
}
