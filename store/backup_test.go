package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"
)

func openWithBackups(t *testing.T, b Backups) (*Store, *clock) {
	t.Helper()
	c := &clock{at: day}
	if b.Folder == "" {
		b.Folder = filepath.Join(t.TempDir(), "backups")
	}
	return openWith(t, Options{Path: place(t), Now: c.now, Backups: b}), c
}

// names lists the files of a folder.
func names(t *testing.T, folder string) (all []string) {
	t.Helper()
	for _, f := range must[[]fs.DirEntry](t)(os.ReadDir(folder)) {
		all = append(all, f.Name())
	}
	return all
}

func TestBackup(t *testing.T) {
	s, _ := openWithBackups(t, Backups{})
	ctx := t.Context()
	want := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	got := must[Backup](t)(s.Backup(ctx))
	must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool)) // after it, so not in it

	path := filepath.Join(s.backups.Folder, "countwright-20310304-093000.db")
	info := must[fs.FileInfo](t)(os.Stat(path))
	if got != (Backup{path, day, info.Size()}) || info.Mode() != 0o600 {
		t.Errorf("backup %+v of mode %v, want %s", got, info.Mode(), path)
	}
	if all := names(t, s.backups.Folder); len(all) != 1 {
		t.Errorf("the folder holds %v, want the backup alone", all)
	}
	if all := must[[]Backup](t)(s.backups.List()); !slices.Equal(all, []Backup{got}) {
		t.Errorf("listed %+v", all)
	}
	if err := inspect(ctx, path); err != nil {
		t.Error(err)
	}
	// The file says that it needs no write-ahead log.
	// Source: SQLite database file format, section 1.3.3: bytes 18 and 19 are 1 for legacy, 2 for WAL.
	if head := must[[]byte](t)(os.ReadFile(path)); head[18] != 1 || head[19] != 1 {
		t.Errorf("the backup's format versions are %v, want 1 1", head[18:20])
	}
	copied := openWith(t, Options{Path: path})
	if all := must[[]Swatch](t)(copied.Swatches(ctx, "ines")); !slices.Equal(all, []Swatch{want}) {
		t.Errorf("in the backup: %+v", all)
	}
}

func TestBackupWithoutFolder(t *testing.T) {
	s, _ := open(t)
	_, err := s.Backup(t.Context())
	wantError(t, err, ErrInvalid)
	if all, err := (Backups{Folder: filepath.Join(t.TempDir(), "none")}).List(); len(all) != 0 || err != nil {
		t.Errorf("a folder that is not there lists %v, %v", all, err)
	}
}

// Every backup taken beside busy writers is sound and whole: all that was
// acknowledged before it began is in it.
func TestBackupWhileWriting(t *testing.T) {
	s, c := openWithBackups(t, Backups{})
	ctx, stop := context.WithCancel(t.Context())
	var mu sync.Mutex
	var saved int
	var wg sync.WaitGroup
	for _, member := range []string{"ines", "mira", "tomás", "noor"} {
		wg.Go(func() {
			for range MaxSwatches {
				if _, err := s.AddSwatch(ctx, by(member), cottonUnnamed()); err != nil {
					if !errors.Is(err, context.Canceled) {
						t.Error(err)
					}
					return
				}
				mu.Lock()
				saved++
				mu.Unlock()
			}
		})
	}
	for range 5 {
		mu.Lock()
		before := saved
		mu.Unlock()
		b := must[Backup](t)(s.Backup(t.Context()))
		db := openBare(t, b.Path)
		var swatches, entries int
		if err := db.QueryRow(`SELECT (SELECT count(*) FROM swatches), (SELECT count(*) FROM log)`).Scan(&swatches, &entries); err != nil {
			t.Fatal(err)
		}
		if swatches < before || swatches != entries {
			t.Errorf("the backup holds %d swatches and %d entries, %d were saved before", swatches, entries, before)
		}
		c.add(time.Second)
	}
	stop()
	wg.Wait()
}

func cottonUnnamed() Swatch {
	sw := cotton
	sw.Name = ""
	return sw
}

func TestBackupsInTheSameSecond(t *testing.T) {
	s, _ := openWithBackups(t, Backups{})
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			if _, err := s.Backup(t.Context()); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if all := names(t, s.backups.Folder); len(all) != 1 {
		t.Errorf("the folder holds %v, want one backup: the last of that second", all)
	}
}

func TestRetention(t *testing.T) {
	const nights = 10
	for _, row := range []struct {
		name string
		keep Backups
		want int
	}{
		{"all", Backups{}, nights},
		{"by number", Backups{Newest: 3}, 3},
		{"by age", Backups{MaxAge: 4 * 24 * time.Hour}, 4}, // the fifth is exactly as old as the limit
		{"number reaches further", Backups{Newest: 6, MaxAge: 2 * 24 * time.Hour}, 6},
		{"age reaches further", Backups{Newest: 2, MaxAge: 7 * 24 * time.Hour}, 7},
		{"all but the one just made", Backups{MaxAge: time.Nanosecond}, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			row.keep.Folder = t.TempDir()
			others := []string{"notes.txt", "countwright-20000101-000000.db.old", "countwright-2000.db", "mycountwright-20000101-000000.db"}
			for _, name := range others {
				if err := os.WriteFile(filepath.Join(row.keep.Folder, name), nil, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			s, c := openWithBackups(t, row.keep)
			var want []Backup
			for range nights {
				want = append([]Backup{must[Backup](t)(s.Backup(t.Context()))}, want...)
				c.add(24 * time.Hour)
			}
			if got := must[[]Backup](t)(row.keep.List()); !slices.Equal(got, want[:row.want]) {
				t.Errorf("%d kept: %+v\nwant the newest %d", len(got), got, row.want)
			}
			if all := names(t, row.keep.Folder); len(all) != row.want+len(others) {
				t.Errorf("other files were touched: %v", all)
			}
		})
	}
}

func TestLeftoverPartsAreDropped(t *testing.T) {
	s, _ := openWithBackups(t, Backups{Folder: filepath.Join(t.TempDir(), "a [strange] folder*")})
	must[Backup](t)(s.Backup(t.Context()))
	for name, age := range map[string]time.Duration{".countwright-1.part": partAge + time.Hour, ".countwright-2.part": time.Hour} {
		path := filepath.Join(s.backups.Folder, name)
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, day.Add(-age), day.Add(-age)); err != nil {
			t.Fatal(err)
		}
	}
	must[Backup](t)(s.Backup(t.Context()))
	if got := names(t, s.backups.Folder); !slices.Equal(got, []string{".countwright-2.part", "countwright-20310304-093000.db"}) {
		t.Errorf("the folder holds %v", got)
	}
}

func TestBackupAfterTheClockWasSetBack(t *testing.T) {
	s, c := openWithBackups(t, Backups{Newest: 1})
	late := must[Backup](t)(s.Backup(t.Context()))
	c.add(-time.Hour)
	early := must[Backup](t)(s.Backup(t.Context()))
	if got := must[[]Backup](t)(s.backups.List()); !slices.Equal(got, []Backup{late, early}) {
		t.Errorf("kept %+v, want the newest and the one just made", got)
	}
}

// A copy that fails its check leaves no file and drops none.
func TestDamagedDatabaseIsNotBackedUp(t *testing.T) {
	fileOnly(t)
	s, c := openWithBackups(t, Backups{Newest: 1})
	must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), cotton))
	good := must[Backup](t)(s.Backup(t.Context()))
	if _, err := s.writer.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	scribble(t, s.path)
	c.add(time.Hour)
	_, err := s.Backup(t.Context())
	wantError(t, err, ErrCorrupt)
	if got := names(t, s.backups.Folder); !slices.Equal(got, []string{filepath.Base(good.Path)}) {
		t.Errorf("the folder holds %v", got)
	}
}
