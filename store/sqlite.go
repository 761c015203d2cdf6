package store

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// sqlite is the engine that statements are written for: one file, one writer.
// Being asked for a lock when it begins, a write overlaps with no other.
var sqlite = &engine{
	writers: 1,
	say:     func(statement string) string { return statement },
	ddl:     func(step string) string { return step },
	tables:  `SELECT name FROM sqlite_schema WHERE type = 'table'`,
	check:   quickCheck,
}

const (
	busyTimeout = 5 * time.Second
	// checkNow is the size up to which Open waits for the check of the file.
	// A larger file is checked in the background, so that the start stays quick.
	checkNow = 32 << 20
)

// openSQLite opens the file, with one writer and readers beside it.
func (s *Store) openSQLite(ctx context.Context) error {
	s.engine = sqlite
	synchronous := "FULL"
	if s.path == "" {
		dir, err := os.MkdirTemp("", "countwright-")
		if err != nil {
			return err
		}
		s.scratch, s.path, synchronous = dir, filepath.Join(dir, "countwright.db"), "OFF"
	}
	if err := touch(s.path); err != nil {
		return err
	}
	var err error
	if s.writer, err = sql.Open("sqlite3", dsn(s.path, "_txlock=immediate", "_journal_mode=WAL",
		"_synchronous="+synchronous, "_foreign_keys=on", "_secure_delete=on")); err != nil {
		return err
	}
	s.writer.SetMaxOpenConns(1)
	if err := patiently(ctx, s.writer.PingContext); err != nil {
		return err
	}
	if s.readers, err = sql.Open("sqlite3", dsn(s.path, "mode=ro", "_query_only=on")); err != nil {
		return err
	}
	s.readers.SetMaxOpenConns(readerCount)
	s.readers.SetMaxIdleConns(readerCount)
	if err := s.checkAtStart(ctx); err != nil {
		return err
	}
	return migrate(ctx, s.writer, s.engine, schema, s.now())
}

func (s *Store) checkAtStart(ctx context.Context) error {
	info, err := os.Stat(s.path)
	if err != nil {
		return err
	}
	if info.Size() <= checkNow {
		return quickCheck(ctx, s.writer)
	}
	ctx, s.stopChecking = context.WithCancel(context.WithoutCancel(ctx))
	s.checking.Go(func() {
		switch err := quickCheck(ctx, s.readers); {
		case ctx.Err() != nil:
		case err != nil:
			s.log.Error("the database is damaged: restore a backup", "path", s.path, "error", err)
		default:
			s.log.Info("database checked", "path", s.path, "bytes", info.Size())
		}
	})
	return nil
}

// touch makes the file, and the folder it lies in, readable to nobody else.
// SQLite gives its side files the same mode.
func touch(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

// dsn names a file so that any character in its path is safe. Pragmas stand
// here because an Exec would reach only one connection of a pool. Of two that
// are alike the first counts.
func dsn(path string, params ...string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(path)}
	params = append(params, fmt.Sprintf("_busy_timeout=%d", busyTimeout.Milliseconds()), "_stmt_cache_size=64")
	return u.String() + "?" + strings.Join(params, "&")
}

// patiently calls try again while the file is locked: SQLite does not wait
// when several starts switch a new file to WAL at once.
func patiently(ctx context.Context, try func(context.Context) error) error {
	deadline := time.Now().Add(busyTimeout)
	for {
		err := try(ctx)
		if !isBusy(err) || time.Now().After(deadline) {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func quickCheck(ctx context.Context, db *sql.DB) error {
	return checked(db.QueryRowContext(ctx, "PRAGMA quick_check(1)"))
}

// checked turns the first line of an integrity check into an error.
func checked(row *sql.Row) error {
	var finding string
	if err := row.Scan(&finding); err != nil {
		return err
	}
	if finding != "ok" {
		return fmt.Errorf("%w: %s", ErrCorrupt, finding)
	}
	return nil
}
