package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"
)

// Restore puts a backup in the place of the database at path, which no program
// may have open ([ErrLocked]). The backup is checked first, and the copy of it
// after; what fails leaves the database as it was. The database that was there
// is kept, and its new name returned ("" if there was none).
//
// Members who were erased after the backup was made are in it again, and have
// to be erased again.
func Restore(ctx context.Context, backup, path string, now time.Time) (kept string, err error) {
	kept, err = restore(ctx, backup, path, now)
	return kept, explain(fmt.Sprintf("restore %q", backup), err)
}

func restore(ctx context.Context, backup, path string, now time.Time) (kept string, err error) {
	if Networked(path) {
		return "", fmt.Errorf("a server takes no file: copy the backup into an empty database instead: %w", ErrInvalid)
	}
	if err := inspect(ctx, backup); err != nil {
		return "", err
	}
	unlock, err := lockAlone(ctx, path)
	if err != nil {
		return "", err
	}
	defer unlock()
	err = replace(path, func(part string) error {
		if err := copyFile(backup, part); err != nil {
			return err
		}
		if err := inspect(ctx, part); err != nil {
			return err
		}
		kept, err = setAside(path, now)
		return err
	})
	return kept, err
}

// inspect reads a whole file that no program has open, and returns nil if it
// is a sound database of ours that this version can use.
func inspect(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err != nil {
		return err
	} else if info.Size() == 0 {
		return fmt.Errorf("%w: it is empty", ErrCorrupt)
	}
	if info, err := os.Stat(path + "-wal"); err == nil && info.Size() > 0 {
		return fmt.Errorf("it is a database in use, not a backup: %w", ErrInvalid)
	}
	db, err := sql.Open("sqlite3", dsn(path, "mode=ro", "immutable=1"))
	if err != nil {
		return err
	}
	defer db.Close()
	if err := checked(db.QueryRowContext(ctx, "PRAGMA integrity_check(1)")); err != nil {
		return err
	}
	version, err := schemaVersion(db, sqlite)
	if err != nil {
		return err
	}
	known, err := fs.Glob(schema, "schema/*.sql")
	if err != nil {
		return err
	}
	if version == 0 {
		return ErrForeign
	}
	return refuseNewer(version, len(known))
}

// lockAlone makes sure that no program has the database open, keeps it so
// until unlock, and folds the write-ahead log into the file. A damaged
// database can't be locked, and need not be.
func lockAlone(ctx context.Context, path string) (unlock func() error, err error) {
	none := func() error { return nil }
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return none, nil
	}
	db, err := sql.Open("sqlite3", dsn(path, "_busy_timeout=500"))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	// Leaving WAL succeeds for the last one in the file only.
	for _, step := range []string{"PRAGMA journal_mode = DELETE", "BEGIN EXCLUSIVE"} {
		if _, err = db.ExecContext(ctx, step); err != nil {
			db.Close()
			if kindOf(err) == ErrCorrupt {
				return none, nil
			}
			return nil, err
		}
	}
	return db.Close, nil
}

// setAside gives the database at path a second name. The first stays until
// the new file takes it, so that a crash never leaves none. A write-ahead log
// is there only beside a damaged file, and must not meet the new one.
func setAside(path string, now time.Time) (kept string, err error) {
	kept = path + now.UTC().Format(".before-20060102-150405")
	for _, side := range []string{"-wal", "-shm"} {
		if err := os.Rename(path+side, kept+side); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	err = os.Link(path, kept)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	case errors.Is(err, fs.ErrExist):
		return "", fmt.Errorf("%s: %w", kept, ErrConflict)
	case err != nil: // a file system without links
		err = errors.Join(copyFile(path, kept), syncPath(kept))
	}
	return kept, err
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}
