package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

// By says who makes a change and how a second delivery of it is known.
type By struct {
	Member string // the member's id
	Key    string // unique to the event that asks for the change, such as an interaction's id; "" = always apply
}

// An Entry is one write in the log.
type Entry struct {
	ID      int64           `json:"id"`
	At      time.Time       `json:"at"`
	Member  string          `json:"member"`
	Kind    string          `json:"kind"`             // "add swatch" and the like
	Subject string          `json:"subject"`          // what was changed: an id, or server/name
	Before  json.RawMessage `json:"before,omitempty"` // nil where there was nothing
	After   json.RawMessage `json:"after,omitempty"`  // nil where nothing is left
	Key     string          `json:"key,omitempty"`
}

// change is what a write did to one subject. Either side may be nil.
type change[T any] struct {
	subject       string
	before, after *T
}

// writeOnce applies a change of by.Member, logs it as doing, and returns what
// it made, or what it removed. If a change of theirs with this key and this
// doing was applied before, it returns what that made and does nothing.
func writeOnce[T any](ctx context.Context, s *Store, by By, doing string, apply func(tx) (change[T], error)) (T, error) {
	var result, none T
	err := s.write(ctx, doing, func(t tx) (err error) {
		if by.Member == "" {
			return fmt.Errorf("no member is named: %w", ErrInvalid)
		}
		result, err = once(t, by, doing, apply)
		return err
	})
	if err != nil {
		return none, err
	}
	return result, nil
}

func once[T any](t tx, by By, doing string, apply func(tx) (change[T], error)) (T, error) {
	if err := t.own(by.Member); err != nil {
		var none T
		return none, err
	}
	result, err := applied[T](t, by, doing)
	if !errors.Is(err, ErrNotFound) {
		return result, err
	}
	c, err := apply(t)
	if err != nil {
		return result, err
	}
	if c.before != nil {
		result = *c.before
	}
	if c.after != nil {
		result = *c.after
	}
	return result, logChange(t, by, doing, c)
}

func applied[T any](t tx, by By, doing string) (result T, err error) {
	if by.Key == "" {
		return result, ErrNotFound
	}
	var text string
	err = t.QueryRow(`SELECT coalesce(after, before) FROM log WHERE member = ?1 AND key = ?2 AND kind = ?3`,
		by.Member, by.Key, doing).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return result, ErrNotFound
	}
	if err != nil {
		return result, err
	}
	return result, json.Unmarshal([]byte(text), &result)
}

func logChange[T any](t tx, by By, doing string, c change[T]) error {
	before, err := logJSON(c.before)
	if err != nil {
		return err
	}
	after, err := logJSON(c.after)
	if err != nil {
		return err
	}
	_, err = t.Exec(`INSERT INTO log (at, member, kind, subject, before, after, key) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)`,
		t.now.UnixMilli(), by.Member, doing, c.subject, before, after, sql.NullString{String: by.Key, Valid: by.Key != ""})
	return err
}

func logJSON[T any](v *T) (sql.NullString, error) {
	if v == nil {
		return sql.NullString{}, nil
	}
	text, err := json.Marshal(v)
	return sql.NullString{String: string(text), Valid: true}, err
}

// entries lists what a member did, oldest first.
func entries(t tx, member string) ([]Entry, error) {
	rows, err := t.Query(`SELECT id, at, member, kind, subject, before, after, coalesce(key, '')
		FROM log WHERE member = ?1 ORDER BY id`, member)
	return collect(rows, err, scanEntry)
}

func scanEntry(row scanner) (e Entry, err error) {
	var at int64
	var before, after sql.NullString
	if err := row.Scan(&e.ID, &at, &e.Member, &e.Kind, &e.Subject, &before, &after, &e.Key); err != nil {
		return Entry{}, err
	}
	e.At = moment(at)
	if before.Valid {
		e.Before = json.RawMessage(before.String)
	}
	if after.Valid {
		e.After = json.RawMessage(after.String)
	}
	return e, nil
}

// scanner is a *sql.Row, or the current row of *sql.Rows.
type scanner interface{ Scan(...any) error }

// collect scans all rows of a query.
func collect[T any](rows *sql.Rows, err error, scan func(scanner) (T, error)) ([]T, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// nameKey is a name as names are compared: without regard to case and spaces.
func nameKey(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// found replaces database/sql's "no rows" by what was not found.
func found[T any](value T, err error, what string, args ...any) (T, error) {
	if errors.Is(err, sql.ErrNoRows) {
		var none T
		return none, fmt.Errorf("%s: %w", fmt.Sprintf(what, args...), ErrNotFound)
	}
	return value, err
}
