package store

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/mattn/go-sqlite3"
)

// The kinds of failure, to be told apart with errors.Is. Anything else is a
// fault of the program or of the machine.
var (
	ErrNotFound = errors.New("not found")
	ErrConflict = errors.New("already there")
	ErrInvalid  = errors.New("value out of range")
	ErrLimit    = errors.New("no more of these can be kept")
	ErrFull     = errors.New("the disk is full")
	ErrReadOnly = errors.New("the file or its folder can't be written")
	ErrLocked   = errors.New("another program holds the database")
	ErrCorrupt  = errors.New("the file is damaged or not a database: restore a backup")
	ErrForeign  = errors.New("the file is a database of another program")
	ErrNewer    = errors.New("the database was made by a newer version of Countwright")
	ErrClosed   = errors.New("the database is closed")
)

// explain says what was being done and puts the kind of failure in front of
// the driver's own words. It leaves nil and an error's kind as they are.
func explain(doing string, err error) error {
	switch kind := kindOf(err); {
	case err == nil:
		return nil
	case kind == nil || errors.Is(err, kind):
		return fmt.Errorf("%s: %w", doing, err)
	default:
		return fmt.Errorf("%s: %w: %w", doing, kind, err)
	}
}

// kindOf finds the kind of an error of the driver or of the file system; nil
// if it is of no known kind.
func kindOf(err error) error {
	var lite sqlite3.Error
	if errors.As(err, &lite) {
		return kindOfSQLite(lite)
	}
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return kindOfPostgres(pg)
	}
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return ErrNotFound
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return ErrFull
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return ErrReadOnly
	}
	return nil
}

func kindOfSQLite(err sqlite3.Error) error {
	switch err.Code {
	case sqlite3.ErrConstraint:
		if err.ExtendedCode == sqlite3.ErrConstraintUnique || err.ExtendedCode == sqlite3.ErrConstraintPrimaryKey {
			return ErrConflict
		}
		return ErrInvalid
	case sqlite3.ErrTooBig, sqlite3.ErrMismatch:
		return ErrInvalid
	case sqlite3.ErrFull:
		return ErrFull
	case sqlite3.ErrReadonly, sqlite3.ErrPerm, sqlite3.ErrCantOpen:
		return ErrReadOnly
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return ErrLocked
	case sqlite3.ErrCorrupt, sqlite3.ErrNotADB:
		return ErrCorrupt
	case sqlite3.ErrIoErr:
		if err.SystemErrno == syscall.ENOSPC || err.SystemErrno == syscall.EDQUOT {
			return ErrFull
		}
	}
	return nil
}

func isBusy(err error) bool { return kindOf(err) == ErrLocked }
