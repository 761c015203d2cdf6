package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// hold keeps the writer busy until release, so that the writes that come
// meanwhile wait together.
func hold(t *testing.T, s *Store) (release func()) {
	t.Helper()
	free := make(chan struct{})
	var wg sync.WaitGroup
	for range s.engine.writers { // the next is taken by another, while this one waits
		inside := make(chan struct{})
		wg.Go(func() {
			if err := s.write(context.Background(), "hold", func(tx) error {
				close(inside)
				<-free
				return nil
			}); err != nil {
				t.Error(err)
			}
		})
		<-inside
	}
	release = sync.OnceFunc(func() { close(free); wg.Wait() })
	t.Cleanup(release)
	return release
}

// waitQueued waits until n writes are in the queue.
func waitQueued(s *Store, n int) {
	for len(s.jobs) < n {
		time.Sleep(time.Millisecond)
	}
}

// logTimes counts the entries of the log by their time.
func logTimes(t *testing.T, s *Store) map[int64]int {
	t.Helper()
	rows := must[[]Entry](t)(readOne(t.Context(), s, "read log", func(t tx) ([]Entry, error) {
		rows, err := t.Query(`SELECT id, at, member, kind, subject, before, after, '' FROM log`)
		return collect(rows, err, scanEntry)
	}))
	times := map[int64]int{}
	for _, e := range rows {
		times[e.At.UnixMilli()]++
	}
	return times
}

func TestGroupCommit(t *testing.T) {
	c := &clock{at: day}
	s := openWith(t, Options{
		Path: filepath.Join(t.TempDir(), "test.db"),
		Now:  func() time.Time { c.add(time.Second); return c.now() }, // every transaction has a time of its own
	})
	must[Swatch](t)(s.AddSwatch(t.Context(), by("ines"), Swatch{Name: "taken", Stitches: 1, Rows: 1, Width: 1, Height: 1}))
	release := hold(t, s)

	const callers = maxGroup
	errs := make([]error, callers)
	var wg sync.WaitGroup
	for i := range callers {
		wg.Go(func() {
			sw := wool
			sw.Name = fmt.Sprint("number ", i)
			switch i {
			case 20:
				sw.Name = "TAKEN"
			case 40:
				sw.Stitches = -1
			}
			_, errs[i] = s.AddSwatch(t.Context(), by("ines"), sw)
		})
	}
	waitQueued(s, callers)
	release()
	wg.Wait()

	for i, err := range errs {
		want := map[int]error{20: ErrConflict, 40: ErrInvalid}[i]
		if !errors.Is(err, want) {
			t.Errorf("caller %d: error %v, want %v", i, err, want)
		}
	}
	if got := len(must[[]Swatch](t)(s.Swatches(t.Context(), "ines"))); got != callers-1 {
		t.Errorf("%d swatches, want %d: the first and all callers' but two", got, callers-1)
	}
	times := logTimes(t, s)
	shared := 0
	for _, n := range times {
		shared = max(shared, n)
	}
	if s.engine.writers == 1 && (shared != callers-2 || len(times) != 2) {
		t.Errorf("transactions of %v entries, want one of 1 and one of %d", times, callers-2)
	}
}

func TestPanicInAWriteIsAnErrorOfThatWrite(t *testing.T) {
	s, _ := open(t)
	release := hold(t, s)
	var wg sync.WaitGroup
	var panicked, other error
	wg.Go(func() {
		panicked = s.write(t.Context(), "stumble", func(t tx) error {
			if err := addMember(t, "nobody"); err != nil {
				return err
			}
			panic("dropped stitch")
		})
	})
	waitQueued(s, 1)
	wg.Go(func() { _, other = s.AddSwatch(t.Context(), by("ines"), wool) })
	waitQueued(s, 2)
	release()
	wg.Wait()
	if panicked == nil || !strings.HasPrefix(panicked.Error(), "stumble: panic: dropped stitch\n") {
		t.Errorf("error %v", panicked)
	}
	if other != nil {
		t.Errorf("its neighbour failed: %v", other)
	}
	_, err := s.Member(t.Context(), "nobody")
	wantError(t, err, ErrNotFound)
}

// "Cancelled" must mean "not written", whenever the caller gives up.
func TestCancelledWrites(t *testing.T) {
	s, _ := open(t)
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.AddSwatch(gone, by("before"), wool)
	wantError(t, err, context.Canceled)

	release := hold(t, s)
	waits, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	wg.Go(func() {
		_, err := s.AddSwatch(waits, by("waiting"), wool)
		wantErrorOf(t, err, context.Canceled)
	})
	waitQueued(s, 1)
	cancel()
	wg.Wait() // returns although the writer is held
	release()

	during, cancel := context.WithCancel(t.Context())
	if err := s.write(during, "write", func(t tx) error {
		cancel()
		return addMember(t, "during")
	}); err != nil {
		t.Errorf("a write that had begun was not seen through: %v", err)
	}
	for member, want := range map[string]error{"before": ErrNotFound, "waiting": ErrNotFound, "during": nil} {
		if _, err := s.Member(t.Context(), member); !errors.Is(err, want) {
			t.Errorf("member %q: %v, want %v", member, err, want)
		}
	}
}

func wantErrorOf(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("error %v, want %v", err, want)
	}
}

func TestDiskFull(t *testing.T) {
	fileOnly(t)
	s, _ := open(t)
	ctx := t.Context()
	kept := must[Swatch](t)(s.AddSwatch(ctx, by("ines"), cotton))
	limit := func(spare int) {
		t.Helper()
		var pages int
		if err := s.writer.QueryRow("PRAGMA page_count").Scan(&pages); err != nil {
			t.Fatal(err)
		}
		if _, err := s.writer.Exec(fmt.Sprint("PRAGMA max_page_count = ", pages+spare)); err != nil {
			t.Fatal(err)
		}
	}
	large := Pattern{Server: "loop", Name: "shawl", Version: "1", Text: strings.Repeat("sc in next st, ", 6000)}

	limit(3)
	_, err := s.AddPattern(ctx, by("ines"), large)
	wantError(t, err, ErrFull)
	if !strings.HasPrefix(err.Error(), "add pattern: the disk is full") {
		t.Errorf("error %q", err)
	}

	// In a group, the writes that fit are kept and the one that does not is told.
	release := hold(t, s)
	var wg sync.WaitGroup
	var small [8]error
	var full error
	for i := range small {
		wg.Go(func() { _, small[i] = s.SaveSettings(ctx, by(fmt.Sprint("member", i)), Settings{Units: "cm"}) })
		if i == 4 {
			wg.Go(func() { _, full = s.AddPattern(ctx, by("ines"), large) })
		}
	}
	waitQueued(s, len(small)+1)
	release()
	wg.Wait()
	wantError(t, full, ErrFull)
	for i, err := range small {
		if err != nil {
			t.Errorf("write %d fits, but: %v", i, err)
		}
	}

	if got := must[Swatch](t)(s.Swatch(ctx, "ines", kept.ID)); got != kept {
		t.Errorf("the old state changed: %+v", got)
	}
	_, err = s.Pattern(ctx, "loop", "shawl", "")
	wantError(t, err, ErrNotFound)
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
	limit(1000)
	must[Pattern](t)(s.AddPattern(ctx, by("ines"), large))
}

// A failure that shows only when the group commits hits its author alone.
func TestFailedCommitOfAGroup(t *testing.T) {
	fileOnly(t)
	s, _ := open(t)
	release := hold(t, s)
	var wg sync.WaitGroup
	errs := make([]error, 5)
	for i := range errs {
		wg.Go(func() {
			errs[i] = s.write(t.Context(), "write", func(t tx) error {
				if i != 2 {
					return addMember(t, fmt.Sprint("member", i))
				}
				_, err := t.Exec(`PRAGMA defer_foreign_keys = on;
					INSERT INTO swatches SELECT 1, 'nobody', '', '', 1, 1, 1, 1, 0, '', '', 0, 0, 0, '', 0`)
				return err
			})
		})
	}
	waitQueued(s, len(errs))
	release()
	wg.Wait()
	for i, err := range errs {
		want, found := error(nil), error(nil)
		if i == 2 {
			want, found = ErrInvalid, ErrNotFound
		}
		wantErrorOf(t, err, want)
		_, err = s.Member(t.Context(), fmt.Sprint("member", i))
		wantErrorOf(t, err, found)
	}
	if n := len(must[[]Swatch](t)(s.Swatches(t.Context(), "nobody"))); n != 0 {
		t.Errorf("%d rows of the failed write", n)
	}
}

func TestReadOnlyDatabase(t *testing.T) {
	fileOnly(t)
	s, _ := open(t)
	if _, err := s.writer.Exec("PRAGMA query_only = on"); err != nil {
		t.Fatal(err)
	}
	_, err := s.AddSwatch(t.Context(), by("ines"), wool)
	wantError(t, err, ErrReadOnly)
}

func TestReadOnlyFolder(t *testing.T) {
	folder := t.TempDir()
	if err := os.Chmod(folder, 0o500); err != nil {
		t.Fatal(err)
	}
	if f, err := os.Create(filepath.Join(folder, "probe")); err == nil {
		f.Close()
		t.Skip("this account may write anywhere")
	}
	_, err := Open(t.Context(), Options{Path: filepath.Join(folder, "test.db")})
	wantError(t, err, ErrReadOnly)
}

// Many writers and readers at once; the race detector watches.
func TestManyAtOnce(t *testing.T) {
	s, _ := open(t)
	const members, each = 16, 12
	var wg sync.WaitGroup
	for m := range members {
		member := fmt.Sprint("member", m)
		wg.Go(func() {
			for i := range each {
				sw := wool
				sw.Name = fmt.Sprint("swatch ", i)
				added, err := s.AddSwatch(t.Context(), by(member), sw)
				if err != nil {
					t.Error(err)
					return
				}
				// What was acknowledged is visible to the next read.
				if got, err := s.DefaultSwatch(t.Context(), member); err != nil || got != added {
					t.Errorf("newest is %+v (%v), want %+v", got, err, added)
				}
			}
		})
		wg.Go(func() {
			for range each {
				all, err := s.Swatches(t.Context(), member)
				if err != nil {
					t.Error(err)
				}
				for i, sw := range all { // every prefix of the writes, and nothing else
					if want := fmt.Sprint("swatch ", len(all)-1-i); sw.Name != want {
						t.Errorf("place %d of %d holds %q, want %q", i, len(all), sw.Name, want)
					}
				}
			}
		})
	}
	wg.Wait()
	if err := s.Check(t.Context()); err != nil {
		t.Error(err)
	}
}
