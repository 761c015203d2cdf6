package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestRestore(t *testing.T) {
	fileOnly(t)
	s, _ := openWithBackups(t, Backups{})
	ctx := t.Context()
	want := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	b := must[Backup](t)(s.Backup(ctx))
	later := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), wool))

	_, err := Restore(ctx, b.Path, s.path, day)
	wantError(t, err, ErrLocked)
	if got := must[[]Swatch](t)(s.Swatches(ctx, "ines")); !slices.Equal(got, []Swatch{later, want}) {
		t.Errorf("a refused restore changed the database: %+v", got)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}

	kept := must[string](t)(Restore(ctx, b.Path, s.path, day))
	if kept != s.path+".before-20310304-093000" {
		t.Errorf("the old database is kept as %q", kept)
	}
	if mode := must[fs.FileInfo](t)(os.Stat(s.path)).Mode(); mode != 0o600 {
		t.Errorf("mode %v, want 0600", mode)
	}
	if got := names(t, filepath.Dir(s.path)); len(got) != 2 {
		t.Errorf("the folder holds %v", got)
	}
	restored := openWith(t, Options{Path: s.path})
	if got := must[[]Swatch](t)(restored.Swatches(ctx, "ines")); !slices.Equal(got, []Swatch{want}) {
		t.Errorf("restored %+v, want the state of the backup", got)
	}
	old := openWith(t, Options{Path: kept})
	if got := must[[]Swatch](t)(old.Swatches(ctx, "ines")); len(got) != 2 {
		t.Errorf("the old database holds %+v", got)
	}
}

// What an earlier restore kept is never overwritten.
func TestRestoreTwiceInASecond(t *testing.T) {
	s, _ := openWithBackups(t, Backups{})
	b := must[Backup](t)(s.Backup(t.Context()))
	path := filepath.Join(t.TempDir(), "test.db")
	makeDatabase(t, path)
	must[string](t)(Restore(t.Context(), b.Path, path, day))
	_, err := Restore(t.Context(), b.Path, path, day)
	wantError(t, err, ErrConflict)
	must[string](t)(Restore(t.Context(), b.Path, path, day.Add(time.Second)))
	if got := names(t, filepath.Dir(path)); len(got) != 3 {
		t.Errorf("the folder holds %v, want the database and two that were kept", got)
	}
}

func TestRestoreWhereNothingWas(t *testing.T) {
	s, _ := openWithBackups(t, Backups{})
	b := must[Backup](t)(s.Backup(t.Context()))
	path := filepath.Join(t.TempDir(), "new.db")
	if kept := must[string](t)(Restore(t.Context(), b.Path, path, day)); kept != "" {
		t.Errorf("kept %q of nothing", kept)
	}
	openWith(t, Options{Path: path})
}

// What a killed process left in the write-ahead log is kept with the old
// database and does not meet the new one.
func TestRestoreOver(t *testing.T) {
	for _, row := range []struct {
		name   string
		damage func(t *testing.T, path string)
	}{
		{"a crashed database", func(*testing.T, string) {}},
		{"a damaged database", func(t *testing.T, path string) {
			if err := os.Remove(path + "-wal"); err != nil { // it holds a sound first page
				t.Fatal(err)
			}
			scribbleHead(t, path)
		}},
		{"a damaged database with a sound write-ahead log", leaveLogWithoutHead},
		{"an empty file", func(t *testing.T, path string) {
			for _, side := range []string{"", "-wal"} {
				if err := os.Truncate(path+side, 0); err != nil {
					t.Fatal(err)
				}
			}
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, _ := openWithBackups(t, Backups{})
			want := must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), cotton))
			b := must[Backup](t)(s.Backup(t.Context()))

			path := filepath.Join(t.TempDir(), "test.db")
			if n := len(killedAfter(t, path, "write", 50*time.Millisecond)); n == 0 {
				t.Fatal("the child wrote nothing")
			}
			if info := must[fs.FileInfo](t)(os.Stat(path + "-wal")); info.Size() == 0 {
				t.Fatal("no write-ahead log: the test shows nothing")
			}
			row.damage(t, path)
			kept := must[string](t)(Restore(t.Context(), b.Path, path, day))
			if _, err := os.Stat(kept); err != nil {
				t.Error(err)
			}
			if _, err := os.Stat(path + "-wal"); !errors.Is(err, fs.ErrNotExist) {
				t.Error("the old write-ahead log is beside the restored database")
			}
			restored := openWith(t, Options{Path: path})
			var count int
			if err := restored.readers.QueryRow(`SELECT count(*) FROM swatches`).Scan(&count); err != nil || count != 1 {
				t.Errorf("%d swatches (%v), want 1", count, err)
			}
			if got := must[Swatch](t)(restored.DefaultSwatch(t.Context(), "ines")); got != want {
				t.Errorf("restored %+v, want %+v", got, want)
			}
			if err := restored.Check(t.Context()); err != nil {
				t.Error(err)
			}
		})
	}
}

// scribbleHead makes a file that SQLite does not take for a database.
func scribbleHead(t *testing.T, path string) {
	t.Helper()
	f := must[*os.File](t)(os.OpenFile(path, os.O_RDWR, 0))
	defer f.Close()
	if _, err := f.WriteAt([]byte(strings.Repeat("frogged ", 512)), 0); err != nil {
		t.Fatal(err)
	}
}

// leaveLogWithoutHead leaves a database with a spoilt first page, and a
// write-ahead log whose pages would fit any database of ours.
func leaveLogWithoutHead(t *testing.T, path string) {
	t.Helper()
	for _, side := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(path + side); err != nil {
			t.Fatal(err)
		}
	}
	live := openWith(t, Options{Path: filepath.Join(t.TempDir(), "live.db")})
	if _, err := live.writer.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	must[Member](t)(live.SaveSettings(t.Context(), by("stray"), Settings{}))
	for _, side := range []string{"", "-wal"} { // as a crash at this moment leaves them
		if err := copyFile(live.path+side, path+side); err != nil {
			t.Fatal(err)
		}
	}
	scribbleHead(t, path)
}

func TestRestoreRefuses(t *testing.T) {
	s, _ := openWithBackups(t, Backups{})
	must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), cotton))
	for _, row := range []struct {
		name    string
		prepare func(*testing.T, string)
		want    error
	}{
		{"nothing there", func(*testing.T, string) {}, fs.ErrNotExist},
		{"empty", func(t *testing.T, path string) { run(t, path); os.WriteFile(path, nil, 0o600) }, ErrCorrupt},
		{"no database", func(t *testing.T, path string) { os.WriteFile(path, []byte(strings.Repeat("ch 3, turn. ", 99)), 0o600) }, ErrCorrupt},
		{"damaged", func(t *testing.T, path string) { makeDatabase(t, path); scribble(t, path) }, ErrCorrupt},
		{"of another program", func(t *testing.T, path string) { run(t, path, "CREATE TABLE recipes (id)") }, ErrForeign},
		{"without tables", func(t *testing.T, path string) { run(t, path, "PRAGMA user_version = 1") }, ErrForeign},
		{"newer", func(t *testing.T, path string) {
			makeDatabase(t, path)
			run(t, path, "PRAGMA journal_mode = DELETE", "INSERT INTO schema_version VALUES (99, 0)")
		}, ErrNewer},
		{"in use", func(t *testing.T, path string) {
			live := openWith(t, Options{Path: path})
			must[Swatch](t)(live.AddSwatch(t.Context(), by("mira"), wool))
		}, ErrInvalid},
	} {
		t.Run(row.name, func(t *testing.T) {
			backup := filepath.Join(t.TempDir(), "backup.db")
			row.prepare(t, backup)
			target := filepath.Join(t.TempDir(), "test.db")
			makeDatabase(t, target)
			before := must[[]byte](t)(os.ReadFile(target))
			kept, err := Restore(t.Context(), backup, target, day)
			if !errors.Is(err, row.want) || kept != "" {
				t.Errorf("kept %q, error %v, want %v", kept, err, row.want)
			}
			if got := names(t, filepath.Dir(target)); !slices.Equal(got, []string{"test.db"}) {
				t.Errorf("the folder holds %v", got)
			}
			if after := must[[]byte](t)(os.ReadFile(target)); !slices.Equal(after, before) {
				t.Error("a refused restore changed the database")
			}
		})
	}
}
