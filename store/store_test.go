package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func TestPragmasReachEveryConnection(t *testing.T) {
	fileOnly(t)
	s, _ := open(t)
	for _, row := range []struct {
		pragma          string
		writer, readers string
	}{
		{"journal_mode", "wal", "wal"},
		{"synchronous", "2", ""}, // 2 = FULL; readers do not sync
		{"foreign_keys", "1", ""},
		{"secure_delete", "1", ""},
		{"query_only", "0", "1"},
		{"busy_timeout", "5000", "5000"},
	} {
		var got string
		if err := s.writer.QueryRow("PRAGMA " + row.pragma).Scan(&got); err != nil || got != row.writer {
			t.Errorf("writer: %s = %q, want %q (%v)", row.pragma, got, row.writer, err)
		}
		if row.readers == "" {
			continue
		}
		for range readerCount { // held open together, so that each is another connection
			conn, err := s.readers.Conn(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			if err := conn.QueryRowContext(t.Context(), "PRAGMA "+row.pragma).Scan(&got); err != nil || got != row.readers {
				t.Errorf("reader: %s = %q, want %q (%v)", row.pragma, got, row.readers, err)
			}
			conn.Close()
		}
	}
	if _, err := s.readers.Exec("DELETE FROM members"); err == nil {
		t.Error("a reader may write")
	}
}

func TestOpenKeepsWhatWasWritten(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "made", "as needed")
	path := filepath.Join(folder, "100% ours? #1 & 'more'.db")
	s := must[*Store](t)(Open(t.Context(), Options{Path: path}))
	want := must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), cotton))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	names := must[[]fs.DirEntry](t)(os.ReadDir(folder))
	if len(names) != 1 || names[0].Name() != filepath.Base(path) {
		t.Errorf("after Close the folder holds %v, want the database alone", names)
	}
	if mode := must[fs.FileInfo](t)(os.Stat(path)).Mode(); mode != 0o600 {
		t.Errorf("mode %v, want 0600", mode)
	}
	s = openWith(t, Options{Path: path})
	if got := must[Swatch](t)(s.Swatch(t.Context(), "ines", want.ID)); got != want {
		t.Errorf("after opening again %+v, want %+v", got, want)
	}
	for _, side := range []string{"-wal", "-shm"} {
		if mode := must[fs.FileInfo](t)(os.Stat(path + side)).Mode(); mode != 0o600 {
			t.Errorf("%s: mode %v, want 0600", side, mode)
		}
	}
}

func TestOpenWithoutPath(t *testing.T) {
	a, b := openWith(t, Options{}), openWith(t, Options{})
	must[Swatch](t)(a.AddSwatch(t.Context(), by("ines"), cotton))
	if _, err := b.DefaultSwatch(t.Context(), "ines"); !errors.Is(err, ErrNotFound) {
		t.Errorf("two private databases are one: %v", err)
	}
	folder := filepath.Dir(a.path)
	if mode := must[fs.FileInfo](t)(os.Stat(folder)).Mode().Perm(); mode != 0o700 {
		t.Errorf("mode of the folder %v, want 0700", mode)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(folder); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("Close left the private database: %v", err)
	}
}

func TestOpenRefuses(t *testing.T) {
	write := func(text string) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, row := range []struct {
		name    string
		prepare func(*testing.T, string)
		want    error
		says    string
	}{
		{"no database", write(strings.Repeat("Row 1: ch 20, turn. ", 400)), ErrCorrupt, "restore a backup"},
		{"cut off", func(t *testing.T, path string) {
			makeDatabase(t, path)
			if err := os.Truncate(path, 8192); err != nil {
				t.Fatal(err)
			}
		}, ErrCorrupt, "damaged"},
		{"overwritten inside", func(t *testing.T, path string) {
			makeDatabase(t, path)
			scribble(t, path)
		}, ErrCorrupt, "damaged"},
		{"of another program", func(t *testing.T, path string) {
			run(t, path, "CREATE TABLE recipes (id INTEGER PRIMARY KEY)")
		}, ErrForeign, "another program"},
		{"newer", func(t *testing.T, path string) {
			makeDatabase(t, path)
			run(t, path, "INSERT INTO schema_version VALUES (99, 0)")
		}, ErrNewer, "its schema is number 99, this program knows"},
		{"a folder", func(t *testing.T, path string) {
			if err := os.Mkdir(path, 0o700); err != nil {
				t.Fatal(err)
			}
		}, nil, "is a directory"},
	} {
		t.Run(row.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "test.db")
			row.prepare(t, path)
			s, err := Open(t.Context(), Options{Path: path})
			if err == nil {
				s.Close()
				t.Fatal("opened")
			}
			if row.want != nil && !errors.Is(err, row.want) || !strings.Contains(err.Error(), row.says) {
				t.Errorf("error %q, want %v saying %q", err, row.want, row.says)
			}
			if !strings.HasPrefix(err.Error(), "open database "+fmt.Sprintf("%q", path)) {
				t.Errorf("error %q does not name the file", err)
			}
		})
	}
}

func TestAnotherProgramHoldsTheLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "test.db")
	makeDatabase(t, path)
	release := holdWriteLock(t, path)
	s := openWith(t, Options{Path: path}) // needs no write, so does not wait
	if _, err := s.writer.Exec("PRAGMA busy_timeout = 50"); err != nil {
		t.Fatal(err)
	}
	_, err := s.AddSwatch(t.Context(), by("ines"), wool)
	wantError(t, err, ErrLocked)
	if got := must[[]Swatch](t)(s.Swatches(t.Context(), "ines")); len(got) != 1 {
		t.Errorf("reads see %d swatches beside the other writer, want 1", len(got))
	}
	release()
	must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), wool))
}

func TestLargeFileIsCheckedInTheBackground(t *testing.T) {
	for _, row := range []struct{ damage, says string }{{"", "database checked"}, {"damage", "the database is damaged"}} {
		t.Run(row.says, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "test.db")
			makeDatabase(t, path)
			run(t, path, `CREATE TABLE ballast (bytes BLOB)`, fmt.Sprintf(`INSERT INTO ballast VALUES (zeroblob(%d))`, checkNow))
			if row.damage != "" {
				scribble(t, path)
			}
			var lines lockedBuffer
			s := openWith(t, Options{Path: path, Log: slog.New(slog.NewTextHandler(&lines, nil))})
			s.checking.Wait()
			if !strings.Contains(lines.String(), row.says) {
				t.Errorf("log %q, want %q", lines.String(), row.says)
			}
			err := s.Check(t.Context())
			if (row.damage != "") != errors.Is(err, ErrCorrupt) {
				t.Errorf("Check says %v", err)
			}
		})
	}
}

func TestCloseStopsTheCheck(t *testing.T) {
	path := filepath.Join(t.TempDir(), "test.db")
	makeDatabase(t, path)
	run(t, path, `CREATE TABLE ballast (bytes BLOB)`, fmt.Sprintf(`INSERT INTO ballast VALUES (zeroblob(%d))`, 2*checkNow))
	var lines lockedBuffer
	s := must[*Store](t)(Open(t.Context(), Options{Path: path, Log: slog.New(slog.NewTextHandler(&lines, nil))}))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(lines.String(), "damaged") {
		t.Errorf("log %q of a check that was stopped", lines.String())
	}
}

func TestClose(t *testing.T) {
	s := must[*Store](t)(Open(t.Context(), Options{Path: filepath.Join(t.TempDir(), "test.db")}))
	for range 2 {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	ctx := t.Context()
	_, err := s.AddSwatch(ctx, by("ines"), cotton)
	wantError(t, err, ErrClosed)
	_, err = s.Swatches(ctx, "ines")
	wantError(t, err, ErrClosed)
	_, err = s.Backup(ctx)
	wantError(t, err, ErrClosed)
	wantError(t, s.Check(ctx), ErrClosed)
}

// Whoever was told "saved" before or while Close ran finds it in the file.
func TestCloseDrainsWaitingWrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "test.db")
	s := must[*Store](t)(Open(t.Context(), Options{Path: path}))
	var saved, refused int
	var mu sync.Mutex
	var callers sync.WaitGroup
	begun := make(chan struct{}, 200)
	for range 200 {
		callers.Go(func() {
			begun <- struct{}{}
			_, err := s.AddSwatch(context.Background(), by("ines"), wool)
			mu.Lock()
			defer mu.Unlock()
			switch {
			case err == nil:
				saved++
			case errors.Is(err, ErrClosed):
				refused++
			default:
				t.Error(err)
			}
		})
	}
	for range 100 {
		<-begun
	}
	var closers sync.WaitGroup
	for range 3 {
		closers.Go(func() {
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	closers.Wait()
	callers.Wait()
	s = openWith(t, Options{Path: path})
	if n := len(must[[]Swatch](t)(s.Swatches(t.Context(), "ines"))); n != saved || saved+refused != 200 {
		t.Errorf("%d in the file, %d saved, %d refused", n, saved, refused)
	}
}
