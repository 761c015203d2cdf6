package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"
	"testing"

	"github.com/mattn/go-sqlite3"
)

// Source of the codes: SQLite, "Result and Error Codes", sections 3 to 5.
func TestKindOfError(t *testing.T) {
	lite := func(code sqlite3.ErrNo, extended sqlite3.ErrNoExtended) error {
		return sqlite3.Error{Code: code, ExtendedCode: extended}
	}
	for _, row := range []struct {
		err  error
		want error
	}{
		{nil, nil},
		{errors.New("something else"), nil},
		{sql.ErrNoRows, ErrNotFound},
		{lite(sqlite3.ErrConstraint, sqlite3.ErrConstraintUnique), ErrConflict},
		{lite(sqlite3.ErrConstraint, sqlite3.ErrConstraintPrimaryKey), ErrConflict},
		{lite(sqlite3.ErrConstraint, sqlite3.ErrConstraintCheck), ErrInvalid},
		{lite(sqlite3.ErrConstraint, sqlite3.ErrConstraintNotNull), ErrInvalid},
		{lite(sqlite3.ErrConstraint, sqlite3.ErrConstraintForeignKey), ErrInvalid},
		{lite(sqlite3.ErrTooBig, 0), ErrInvalid},
		{lite(sqlite3.ErrFull, 0), ErrFull},
		{sqlite3.Error{Code: sqlite3.ErrIoErr, SystemErrno: syscall.ENOSPC}, ErrFull},
		{sqlite3.Error{Code: sqlite3.ErrIoErr, SystemErrno: syscall.EIO}, nil},
		{&fs.PathError{Op: "write", Path: "x", Err: syscall.EDQUOT}, ErrFull},
		{lite(sqlite3.ErrReadonly, 0), ErrReadOnly},
		{lite(sqlite3.ErrCantOpen, 0), ErrReadOnly},
		{&fs.PathError{Op: "open", Path: "x", Err: syscall.EROFS}, ErrReadOnly},
		{os.ErrPermission, ErrReadOnly},
		{lite(sqlite3.ErrBusy, 0), ErrLocked},
		{lite(sqlite3.ErrLocked, 0), ErrLocked},
		{lite(sqlite3.ErrCorrupt, 0), ErrCorrupt},
		{lite(sqlite3.ErrNotADB, 0), ErrCorrupt},
		{lite(sqlite3.ErrError, 0), nil},
	} {
		for _, err := range []error{row.err, wrapped(row.err)} {
			if got := kindOf(err); got != row.want {
				t.Errorf("kind of %v is %v, want %v", err, got, row.want)
			}
			told := explain("count stitches", err)
			if (err == nil) != (told == nil) || err != nil && !errors.Is(told, err) || row.want != nil && !errors.Is(told, row.want) {
				t.Errorf("%v is told as %v", err, told)
			}
		}
	}
}

func wrapped(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("row 3: %w", err)
}

func TestCancelledRead(t *testing.T) {
	s, _ := open(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.Swatches(ctx, "ines")
	wantError(t, err, context.Canceled)
	wantError(t, s.Check(ctx), context.Canceled)
}
