package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/mattn/go-sqlite3"
)

// Backups say where backups go and how long they stay. A backup is dropped
// when it is neither among the Newest nor younger than MaxAge; with both 0 all
// are kept. The one just made always stays.
type Backups struct {
	Folder string        // made if missing
	Newest int           // how many of the newest are kept; 0 = not by number
	MaxAge time.Duration // how long each is kept; 0 = not by age
}

// A Backup is one copy of a database in a folder.
type Backup struct {
	Path  string
	At    time.Time // UTC, from its name
	Bytes int64
}

const (
	backupName = "countwright-20060102-150405.db"
	partName   = ".countwright-*.part" // a copy that is not finished

	// partAge is when an unfinished copy counts as left behind by a crash.
	partAge = 24 * time.Hour
)

// Backup copies the database into the folder of its [Backups] while it is in
// use, as of one moment, as countwright-YYYYMMDD-HHMMSS.db (UTC, mode 0600): an
// SQLite file, whatever the engine.
// The copy is checked and synced before it gets that name. Then the copies
// that have had their time are dropped. A failed Backup leaves no file.
func (s *Store) Backup(ctx context.Context) (b Backup, err error) {
	if err := s.enter(); err != nil {
		return Backup{}, explain("back up", err)
	}
	s.leave() // it is entered again to copy: a read within a read could wait for itself
	s.backing.Lock()
	defer s.backing.Unlock()
	b, err = s.backup(ctx, s.stamp())
	return b, explain("back up", err)
}

func (s *Store) backup(ctx context.Context, now time.Time) (Backup, error) {
	folder := s.backups.Folder
	if folder == "" {
		return Backup{}, fmt.Errorf("no folder for backups is named: %w", ErrInvalid)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return Backup{}, err
	}
	b := Backup{Path: filepath.Join(folder, now.Format(backupName)), At: now.Truncate(time.Second)}
	err := replace(b.Path, func(part string) error {
		if err := s.copyOut(ctx, part); err != nil {
			return err
		}
		return inspect(ctx, part)
	})
	if err != nil {
		return Backup{}, err
	}
	info, err := os.Stat(b.Path)
	if err != nil {
		return Backup{}, err
	}
	b.Bytes = info.Size()
	dropped, err := s.backups.prune(now, b.Path)
	s.log.Info("backed up", "path", b.Path, "bytes", b.Bytes, "dropped", dropped)
	return b, err
}

// List returns the finished backups in the folder, newest first; none if there
// is no such folder.
func (b Backups) List() ([]Backup, error) {
	files, err := os.ReadDir(b.Folder)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, explain("list backups", err)
	}
	var all []Backup
	for i := len(files) - 1; i >= 0; i-- { // by name, so by time
		at, err := time.Parse(backupName, files[i].Name())
		if err != nil {
			continue
		}
		info, err := files[i].Info()
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		all = append(all, Backup{Path: filepath.Join(b.Folder, files[i].Name()), At: at, Bytes: info.Size()})
	}
	return all, nil
}

// prune drops the backups that have had their time, and copies that a crash
// left unfinished. It touches no other file, and not the one just made: after
// the clock was set back, that is not the newest by its name.
func (b Backups) prune(now time.Time, made string) (dropped int, err error) {
	all, err := b.List()
	if err != nil {
		return 0, err
	}
	var errs []error
	for i, one := range all {
		if one.Path == made || b.Newest == 0 && b.MaxAge == 0 || i < b.Newest || now.Sub(one.At) < b.MaxAge {
			continue
		}
		if err := os.Remove(one.Path); err != nil {
			errs = append(errs, err)
			continue
		}
		dropped++
	}
	parts, err := filepath.Glob(filepath.Join(globQuote(b.Folder), partName))
	errs = append(errs, err)
	for _, part := range parts {
		if info, err := os.Stat(part); err == nil && now.Sub(info.ModTime()) > partAge {
			errs = append(errs, os.Remove(part))
		}
	}
	return dropped, errors.Join(errs...)
}

// globQuote makes a path match itself only.
func globQuote(path string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(path)
}

// copyOut copies the database into a new SQLite file.
func (s *Store) copyOut(ctx context.Context, file string) error {
	if s.engine != sqlite {
		return s.copyRows(ctx, file)
	}
	if err := s.enter(); err != nil {
		return err
	}
	defer s.leave()
	return copyDatabase(ctx, s.readers, file)
}

// copyRows copies what a server keeps.
func (s *Store) copyRows(ctx context.Context, file string) error {
	to, err := Open(ctx, Options{Path: file, Now: s.now})
	if err != nil {
		return err
	}
	_, err = Copy(ctx, s, to)
	if err := errors.Join(err, to.Close()); err != nil {
		return err
	}
	return leaveWAL(ctx, file)
}

// leaveWAL makes a file one that any tool can open, with no log beside it.
func leaveWAL(ctx context.Context, file string) error {
	db, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, "PRAGMA journal_mode = DELETE")
	return errors.Join(err, db.Close())
}

// copyDatabase copies in one step. Stepping beside a writer never ends: every
// commit starts it anew.
func copyDatabase(ctx context.Context, from *sql.DB, to string) error {
	db, err := sql.Open("sqlite3", dsn(to, "_synchronous=OFF")) // replace syncs the finished file
	if err != nil {
		return err
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	err = withConn(ctx, from, func(source *sqlite3.SQLiteConn) error {
		return withConn(ctx, db, func(target *sqlite3.SQLiteConn) error {
			return copyPages(target, source)
		})
	})
	if err != nil {
		return err
	}
	if err := db.Close(); err != nil {
		return err
	}
	return leaveWAL(ctx, to)
}

func copyPages(target, source *sqlite3.SQLiteConn) error {
	backup, err := target.Backup("main", source, "main")
	if err != nil {
		return err
	}
	done, err := backup.Step(-1)
	if finish := backup.Finish(); err == nil { // it repeats the error of the step
		err = finish
	}
	if err != nil {
		return err
	}
	if !done { // the driver's way to say "busy"
		return ErrLocked
	}
	return nil
}

func withConn(ctx context.Context, db *sql.DB, run func(*sqlite3.SQLiteConn) error) error {
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error { return run(c.(*sqlite3.SQLiteConn)) })
}

// replace puts a file in place in one step: make fills a part file beside it,
// which is synced and then renamed. If anything fails the part file goes, and
// what was at path stays.
func replace(path string, make func(part string) error) (err error) {
	folder := filepath.Dir(path)
	f, err := os.CreateTemp(folder, partName) // mode 0600
	if err != nil {
		return err
	}
	part := f.Name()
	f.Close()
	defer func() {
		if err != nil {
			os.Remove(part)
		}
	}()
	if err := make(part); err != nil {
		return err
	}
	if err := syncPath(part); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncPath(folder)
}

// syncPath waits until a file, or the names in a folder, are on the disk.
func syncPath(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
