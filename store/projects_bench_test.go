package store

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"
)

// sizesVar names the numbers of projects to measure with, each with 20 moves:
// "10000 1000000".
const sizesVar = "COUNTWRIGHT_STORE_PROJECTS"

// BenchmarkProjects measures counting a row and reading a project in a file of
// many, and what a move takes up in it.
func BenchmarkProjects(b *testing.B) {
	sizes := []int{1000, 10_000}
	if n, err := strconv.Atoi(os.Getenv(sizesVar)); err == nil {
		sizes = append(sizes, n)
	}
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "test.db")
			perMove := fillProjects(b, path, n)
			began := time.Now()
			s := openWith(b, Options{Path: path})
			opened := time.Since(began)
			project := func(i int) (By, int64) {
				id := i*7919%n + 1
				return By{Member: fmt.Sprint("member", (id-1)/4), Key: fmt.Sprint("press", i)}, int64(id)
			}
			b.Run("row", func(b *testing.B) {
				var took []time.Duration
				for i := 0; b.Loop(); i++ {
					by, id := project(i)
					at := time.Now()
					count(b, s, by, id, Step{Piece: -1, By: 1})
					took = append(took, time.Since(at))
				}
				slowest(b, took)
				b.ReportMetric(perMove, "B/move")
				b.ReportMetric(float64(opened.Microseconds())/1000, "ms-open")
			})
			b.Run("show", func(b *testing.B) {
				var took []time.Duration
				for i := 0; b.Loop(); i++ {
					by, id := project(i)
					at := time.Now()
					must[ProjectWhole](b)(s.ProjectWhole(b.Context(), by.Member, id))
					took = append(took, time.Since(at))
				}
				slowest(b, took)
			})
		})
	}
}

func slowest(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms-p99")
}

// fillProjects makes projects of 20 moves each, the moves of all mixed as they
// come in life, and returns what a move takes up in the file.
func fillProjects(b *testing.B, path string, n int) float64 {
	b.Helper()
	s := must[*Store](b)(Open(context.Background(), Options{Path: path}))
	defer s.Close()
	if _, err := s.writer.Exec(`PRAGMA synchronous = OFF`); err != nil {
		b.Fatal(err)
	}
	plan := fmt.Sprintf(`{"title":"%0400d"}`, 0)
	chunks := func(query string, each func(stmt *sql.Stmt, i int) error) {
		for from := 0; from < n; from += 50_000 {
			if err := s.write(context.Background(), "fill", func(t tx) error {
				stmt, err := t.Prepare(query)
				if err != nil {
					return err
				}
				defer stmt.Close()
				for i := from; i < min(from+50_000, n); i++ {
					if err := each(stmt, i); err != nil {
						return err
					}
				}
				return nil
			}); err != nil {
				b.Fatal(err)
			}
		}
	}
	chunks(`INSERT INTO members (id, created_at, updated_at) VALUES (?1, 0, 0) ON CONFLICT DO NOTHING`, func(stmt *sql.Stmt, i int) error {
		_, err := stmt.Exec(fmt.Sprint("member", i/4))
		return err
	})
	chunks(`INSERT INTO projects (id, member, name, name_key, state, lengths, done, piece, moves, started_at, changed_at, finished_at)
		VALUES (?1, ?2, ?3, ?3, 'working', '[900,900]', '[20,0]', 0, 20, 1900000000000, 1900000000000, 0)`, func(stmt *sql.Stmt, i int) error {
		_, err := stmt.Exec(i+1, fmt.Sprint("member", i/4), fmt.Sprint("scarf ", i))
		return err
	})
	chunks(`INSERT INTO project_plans (project, plan) VALUES (?1, ?2)`, func(stmt *sql.Stmt, i int) error {
		_, err := stmt.Exec(i+1, plan)
		return err
	})
	const each = 20
	before := fileBytes(b, s)
	for seq := 1; seq <= each; seq++ {
		chunks(`INSERT INTO project_moves (project, seq, at, piece, was, done, undoes, minutes, key) VALUES (?1, ?2, ?3, 0, ?4, ?2, 0, 0, ?5)`, func(stmt *sql.Stmt, i int) error {
			_, err := stmt.Exec(i+1, seq, 1_900_000_000+seq*1000, seq-1, moveKey(By{Key: fmt.Sprint(seq, "-", i)}))
			return err
		})
	}
	return (fileBytes(b, s) - before) / float64(each*n)
}

func fileBytes(b *testing.B, s *Store) float64 {
	b.Helper()
	var pages, size float64
	if err := s.writer.QueryRow(`SELECT page_count, page_size FROM pragma_page_count, pragma_page_size`).Scan(&pages, &size); err != nil {
		b.Fatal(err)
	}
	return pages * size
}
