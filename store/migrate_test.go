package store

import (
	"database/sql"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
)

// steps makes a folder schema/ with these texts, numbered from 1.
func steps(texts ...string) fstest.MapFS {
	files := fstest.MapFS{}
	for i, text := range texts {
		files[fmt.Sprintf("schema/%04d_step.sql", i+1)] = &fstest.MapFile{Data: []byte(text)}
	}
	return files
}

func openBare(t *testing.T, path string) *sql.DB {
	t.Helper()
	db := must[*sql.DB](t)(sql.Open("sqlite3", dsn(path, "_txlock=immediate", "_journal_mode=WAL")))
	t.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	return db
}

func tables(t *testing.T, db *sql.DB) string {
	t.Helper()
	var names sql.NullString
	if err := db.QueryRow(`SELECT group_concat(name, ' ') FROM
		(SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name)`).Scan(&names); err != nil {
		t.Fatal(err)
	}
	return names.String
}

func TestMigrateStepByStep(t *testing.T) {
	db := openBare(t, filepath.Join(t.TempDir(), "test.db"))
	all := []string{"CREATE TABLE one (a); CREATE TABLE two (b); INSERT INTO one VALUES (1)", "DROP TABLE two", "CREATE TABLE three (c)"}
	for n := range len(all) + 1 {
		for range 2 { // the second time there is nothing to do
			if err := migrate(t.Context(), db, sqlite, steps(all[:n]...), day); err != nil {
				t.Fatal(err)
			}
			version, err := schemaVersion(db, sqlite)
			if err != nil || version != n {
				t.Fatalf("version %d (%v), want %d", version, err, n)
			}
		}
	}
	if got := tables(t, db); got != "one schema_version three" {
		t.Errorf("tables %q", got)
	}
	var rows, applied int64
	if err := db.QueryRow(`SELECT (SELECT count(*) FROM one), (SELECT min(applied_at) FROM schema_version)`).Scan(&rows, &applied); err != nil {
		t.Fatal(err)
	}
	if rows != 1 || applied != day.UnixMilli() {
		t.Errorf("%d rows of step 1, applied at %d", rows, applied)
	}
}

func TestFailedStepChangesNothing(t *testing.T) {
	for _, row := range []struct{ name, bad, says string }{
		{"wrong SQL", "CREATE TABLE three (c); CREATE TABEL four (d)", "schema step 0003_step.sql: near"},
		{"broken rule", "CREATE TABLE three (c); INSERT INTO one VALUES ('x')", "schema step 0003_step.sql: CHECK constraint"},
	} {
		t.Run(row.name, func(t *testing.T) {
			db := openBare(t, filepath.Join(t.TempDir(), "test.db"))
			first := "CREATE TABLE one (a CHECK (a <> 'x'))"
			if err := migrate(t.Context(), db, sqlite, steps(first), day); err != nil {
				t.Fatal(err)
			}
			err := migrate(t.Context(), db, sqlite, steps(first, "CREATE TABLE two (b)", row.bad), day)
			if err == nil || !strings.HasPrefix(err.Error(), row.says) {
				t.Errorf("error %v, want %q", err, row.says)
			}
			if got := tables(t, db); got != "one schema_version" {
				t.Errorf("tables %q remain", got)
			}
			// Mended, it goes through.
			if err := migrate(t.Context(), db, sqlite, steps(first, "CREATE TABLE two (b)", "CREATE TABLE three (c)"), day); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestMisnumberedStep(t *testing.T) {
	db := openBare(t, filepath.Join(t.TempDir(), "test.db"))
	files := steps("CREATE TABLE one (a)", "CREATE TABLE two (b)")
	files["schema/0004_gap.sql"] = &fstest.MapFile{Data: []byte("CREATE TABLE four (d)")}
	err := migrate(t.Context(), db, sqlite, files, day)
	if err == nil || err.Error() != "schema step 0004_gap.sql: the file should be number 3" {
		t.Errorf("error %v", err)
	}
	if got := tables(t, db); got != "" {
		t.Errorf("tables %q remain", got)
	}
}

func TestSixStartsAtOnceApplyOnce(t *testing.T) {
	atOnce(t, func(path string) error {
		s, err := Open(t.Context(), Options{Path: path})
		if err != nil {
			return err
		}
		return s.Close()
	})
}

func TestSixProcessesAtOnceApplyOnce(t *testing.T) {
	atOnce(t, func(path string) error {
		cmd := exec.Command(os.Args[0], "-test.run=^$")
		cmd.Env = append(os.Environ(), childVar+"=open", childPath+"="+path)
		out, err := cmd.CombinedOutput()
		if err != nil {
			return fmt.Errorf("%w: %s", err, out)
		}
		return nil
	})
}

// atOnce starts six times on a new file, and that ten times over: the starts
// have to meet in unlucky moments.
func atOnce(t *testing.T, start func(path string) error) {
	t.Helper()
	for range 10 {
		path := filepath.Join(t.TempDir(), "test.db")
		var wg sync.WaitGroup
		for range 6 {
			wg.Go(func() {
				if err := start(path); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		wantAppliedOnce(t, path)
	}
}

func wantAppliedOnce(t *testing.T, path string) {
	t.Helper()
	db := openBare(t, path)
	var count, newest int
	if err := db.QueryRow(`SELECT count(*), max(version) FROM schema_version`).Scan(&count, &newest); err != nil {
		t.Fatal(err)
	}
	files := must[[]os.DirEntry](t)(schema.ReadDir("schema"))
	if count != len(files) || newest != len(files) {
		t.Errorf("%d steps applied up to %d, want %d", count, newest, len(files))
	}
}

// Every table must refuse values of a wrong type.
func TestTablesAreStrict(t *testing.T) {
	fileOnly(t)
	s, _ := open(t)
	rows := must[*sql.Rows](t)(s.readers.Query(`SELECT name FROM pragma_table_list
		WHERE schema = 'main' AND type = 'table' AND NOT strict AND name NOT LIKE 'sqlite\_%' ESCAPE '\'`))
	defer rows.Close()
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		t.Errorf("table %s is not STRICT", name)
	}
}
