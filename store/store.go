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
	"os"
	"sync"
	"time"
)

// Options say where and how to open a database.
type Options struct {
	Path    string           // the file, or the postgres:// address of a server; "" = a private file that Close removes
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

	engine  *engine
	writer  *sql.DB
	readers *sql.DB
	jobs    chan *job
	written sync.WaitGroup // the write loop
	counts  counts

	gate   sync.RWMutex // held for reading while a write is queued or a read runs
	closed bool

	stopChecking context.CancelFunc
	checking     sync.WaitGroup
}

// readerCount is how many reads may run at once.
const readerCount = 4

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
		return nil, explain(fmt.Sprintf("open database %q", Place(o.Path)), err)
	}
	for range s.engine.writers {
		s.written.Go(s.writeLoop)
	}
	return s, nil
}

func (s *Store) open(ctx context.Context) error {
	if Networked(s.path) {
		return s.openPostgres(ctx)
	}
	return s.openSQLite(ctx)
}

// Check reads the whole database and returns [ErrCorrupt] with the first
// finding if it is damaged.
func (s *Store) Check(ctx context.Context) error {
	if err := s.enter(); err != nil {
		return explain("check database", err)
	}
	defer s.leave()
	return explain("check database", s.engine.check(ctx, s.readers))
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
