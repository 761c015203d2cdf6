package store

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// day is an arbitrary moment at which the tests begin.
var day = time.Date(2031, time.March, 4, 9, 30, 0, 0, time.UTC)

// clock is a clock that a test sets.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// open opens a database in a file of its own, closed when the test ends.
func open(t testing.TB) (*Store, *clock) {
	t.Helper()
	c := &clock{at: day}
	return openWith(t, Options{Path: place(t), Now: c.now}), c
}

// server names the database server on which the tests run as well; "": none.
var server = os.Getenv("COUNTWRIGHT_POSTGRES")

// place is where a test may keep a database of its own: a file, or a schema on
// the server that the environment names.
func place(t testing.TB) string {
	t.Helper()
	os.Getenv("COUNTWRIGHT_POSTGRES") // asked while a test runs, so that the go tool knows what a kept result depends on
	if server == "" {
		return filepath.Join(t.TempDir(), "test.db")
	}
	db := must[*sql.DB](t)(sql.Open("pgx", server))
	name := fmt.Sprintf("test_%d_%d", os.Getpid(), schemas.Add(1))
	if _, err := db.Exec("CREATE SCHEMA " + name); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if _, err := db.Exec("DROP SCHEMA " + name + " CASCADE"); err != nil {
			t.Error(err)
		}
		db.Close()
	})
	u := must[*url.URL](t)(url.Parse(server))
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}

var schemas atomic.Int64

// fileOnly skips a test about SQLite's file.
func fileOnly(t testing.TB) {
	t.Helper()
	if server != "" {
		t.Skip("this is about a file")
	}
}

func openWith(t testing.TB, o Options) *Store {
	t.Helper()
	s, err := Open(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error("close:", err)
		}
	})
	return s
}

func by(member string) By { return By{Member: member} }

// must returns a value that a test relies on.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func wantError(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Fatalf("error %v, want %v", err, want)
	}
}

// cotton and wool are swatches of an invented maker.
var (
	cotton = Swatch{Name: "Sea Cotton", Stitches: 16, Rows: 12.5, Width: 100e6, Height: 101_600_000, Hook: 4.5,
		Yarn: "two strands of leftover cotton", Stitch: "hdc", Washed: true, Grams: 9.25, Metres: 21.5, Note: "a bit tight"}
	wool = Swatch{Stitches: 14, Rows: 10, Width: 100e6, Height: 100e6}
)

// makeDatabase makes an up-to-date database with a row in it, and closes it.
func makeDatabase(t testing.TB, path string) {
	t.Helper()
	s := must[*Store](t)(Open(t.Context(), Options{Path: path, Now: func() time.Time { return day }}))
	must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), cotton))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// run executes statements on a file as another program would.
func run(t testing.TB, path string, statements ...string) {
	t.Helper()
	db := must[*sql.DB](t)(sql.Open("sqlite3", dsn(path)))
	defer db.Close()
	for _, text := range statements {
		if _, err := db.Exec(text); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
	}
}

// scribble overwrites the third and fourth page of a file.
func scribble(t testing.TB, path string) {
	t.Helper()
	f := must[*os.File](t)(os.OpenFile(path, os.O_RDWR, 0))
	defer f.Close()
	if _, err := f.WriteAt(bytes.Repeat([]byte{0xa5}, 8192), 8192); err != nil {
		t.Fatal(err)
	}
}

// holdWriteLock begins a write as another program would, until release.
func holdWriteLock(t testing.TB, path string) (release func()) {
	t.Helper()
	db := must[*sql.DB](t)(sql.Open("sqlite3", dsn(path, "_txlock=immediate")))
	tx := must[*sql.Tx](t)(db.Begin())
	release = sync.OnceFunc(func() {
		tx.Rollback()
		db.Close()
	})
	t.Cleanup(release)
	return release
}

// lockedBuffer collects what several goroutines log.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
