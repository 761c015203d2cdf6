// Package store keeps what members entrust to Countwright in one SQLite file:
// members and their settings, measured swatches, projects with every row
// counted, the patterns of a server, its make-alongs with all who take part, and
// a log of every write.
//
// # Opening
//
// Open makes the file if it is missing (mode 0600), refuses a file that is
// damaged, foreign or of a newer version, brings an older one up to date and
// starts one writer. An empty Path gives a private database in a temporary
// folder that Close removes: fit for a practice room or a test, not for keeping.
//
// # Writing
//
// All writes pass through one connection. Writes that wait at the same time
// share one transaction (group commit), each in a savepoint of its own, so
// that one that fails leaves the others alone. A method that returns without
// error has its rows synced to the disk; one that returns an error has changed
// nothing. The one exception is a disk that fails while it syncs: then nobody
// can know, and the write's key (see [By]) makes it safe to send it again.
//
// Every write adds its log entry in the same transaction; rows counted and what
// becomes of posts are many and small, and are their own log (see
// [Store.MoveRows] and [Store.TakeDue]). A write that carries
// a key and was applied before is not applied again: its first result is
// returned.
//
// # Reading
//
// Reads run on a read-only pool beside the writer and see one moment of the
// database each.
//
// # Sweeping
//
// What make-alongs post is planned in an outbox. Sweeps take what is due
// ([Store.TakeDue]), send it, and settle it ([Store.SentPost] and its
// neighbours). A sweep may be killed at any moment: its posts are due again when
// its lease runs out, with the nonce by which whoever takes them next can see
// whether they came through.
//
// # Growing
//
// A change of the schema is a new file schema/NNNN_name.sql. Steps that were
// released are never edited. A new subject is a new file here, with exported
// methods that begin and commit, and unexported functions that take the
// transaction. Parameters are written ?1, ?2: the driver numbers $1 by first
// appearance, silently.
//
// # Backups
//
// [Store.Backup] copies the database while it is in use, checks the copy and
// drops the copies that have had their time; [Restore] puts one back while no
// program has the database open.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Options say where and how to open a database.
type Options struct {
	Path    string           // the file; "" = a private one that Close removes
	Now     func() time.Time // the clock for every time that is stored; nil = time.Now
	Log     *slog.Logger     // nil = silent
	Backups Backups          // where Backup puts its copies
}

// A Store is an open database. Its methods may be called from many goroutines.
type Store struct {
	path    string
	scratch string // the folder to remove on Close; "" = none
	now     func() time.Time
	log     *slog.Logger
	backups Backups
	backing sync.Mutex // one backup at a time

	writer  *sql.DB // one connection
	readers *sql.DB
	jobs    chan *job
	written sync.WaitGroup // the write loop
	counts  counts

	gate   sync.RWMutex // held for reading while a write is queued or a read runs
	closed bool

	stopChecking context.CancelFunc
	checking     sync.WaitGroup
}

const (
	busyTimeout = 5 * time.Second
	readerCount = 4

	// checkNow is the size up to which Open waits for the check of the file.
	// A larger file is checked in the background, so that the start stays quick.
	checkNow = 32 << 20
)

// Open opens the database that o names and brings its schema up to date. The
// errors tell apart [ErrCorrupt], [ErrForeign], [ErrNewer], [ErrLocked],
// [ErrFull] and [ErrReadOnly].
func Open(ctx context.Context, o Options) (*Store, error) {
	s := &Store{path: o.Path, now: o.Now, log: o.Log, backups: o.Backups, jobs: make(chan *job, maxGroup)}
	if s.now == nil {
		s.now = time.Now
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if err := s.open(ctx); err != nil {
		s.release()
		return nil, explain(fmt.Sprintf("open database %q", o.Path), err)
	}
	s.written.Add(1)
	go s.writeLoop()
	return s, nil
}

func (s *Store) open(ctx context.Context) error {
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
	return migrate(ctx, s.writer, schema, s.now())
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

// Check reads the whole database and returns [ErrCorrupt] with the first
// finding if it is damaged.
func (s *Store) Check(ctx context.Context) error {
	if err := s.enter(); err != nil {
		return explain("check database", err)
	}
	defer s.leave()
	return explain("check database", quickCheck(ctx, s.readers))
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

// enter keeps the database open until leave.
func (s *Store) enter() error {
	s.gate.RLock()
	if s.closed {
		s.gate.RUnlock()
		return ErrClosed
	}
	return nil
}

func (s *Store) leave() { s.gate.RUnlock() }

// Close waits for the reads and writes that were accepted, then closes the file. Later
// calls do nothing; methods called afterwards return [ErrClosed].
func (s *Store) Close() error {
	s.gate.Lock()
	if s.closed {
		s.gate.Unlock()
		s.written.Wait()
		return nil
	}
	s.closed = true
	close(s.jobs)
	s.gate.Unlock()

	s.written.Wait()
	return explain("close database", s.release())
}

// release frees whatever open got hold of. Readers go first, so that the
// writer is the last to leave and tidies the write-ahead log away.
func (s *Store) release() error {
	if s.stopChecking != nil {
		s.stopChecking()
		s.checking.Wait()
	}
	var errs []error
	for _, db := range []*sql.DB{s.readers, s.writer} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	if s.scratch != "" {
		errs = append(errs, os.RemoveAll(s.scratch))
	}
	return errors.Join(errs...)
}
