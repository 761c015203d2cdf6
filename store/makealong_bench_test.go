package store

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"
)

// alongsVar names the number of make-alongs to measure with: 100000 of them have
// 2,000,000 who take part and 1,500,000 posts.
const alongsVar = "COUNTWRIGHT_STORE_ALONGS"

const (
	postsEach = 15
	partyEach = 20
	bigParty  = 500 // who take part in the first
)

// BenchmarkMakeAlongs measures a sweep that finds 100 posts due, and reading
// who takes part, in a file of many make-alongs.
func BenchmarkMakeAlongs(b *testing.B) {
	sizes := []int{1000}
	if n, err := strconv.Atoi(os.Getenv(alongsVar)); err == nil {
		sizes = append(sizes, n)
	}
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "test.db")
			fillAlongs(b, path, n)
			c := &clock{at: day}
			began := time.Now()
			s := openWith(b, Options{Path: path, Now: c.now})
			b.Logf("%.0f MB, opened in %v", fileBytes(b, s)/1e6, time.Since(began))
			b.Run("TakeDue100", func(b *testing.B) { benchTakeDue(b, s, c, n) })
			b.Run("TakeDueNone", func(b *testing.B) {
				timed(b, func(int) { must[[]TakenPost](b)(s.TakeDue(b.Context(), "none", time.Hour, 100)) })
			})
			b.Run("PostBacklog", func(b *testing.B) {
				timed(b, func(int) {
					if _, _, err := s.PostBacklog(b.Context()); err != nil {
						b.Fatal(err)
					}
				})
			})
			b.Run("Party500", func(b *testing.B) {
				timed(b, func(int) {
					if p := must[[]Participant](b)(s.Party(b.Context(), 1)); len(p) != bigParty {
						b.Fatalf("%d take part", len(p))
					}
				})
			})
			b.Run("LastActivity500", func(b *testing.B) {
				timed(b, func(int) { must[time.Time](b)(s.LastActivity(b.Context(), 1)) })
			})
			b.Run("Joined", func(b *testing.B) {
				timed(b, func(i int) {
					member := fmt.Sprint("member", i*7919%members(n))
					if p := must[[]Participant](b)(s.Joined(b.Context(), member)); len(p) == 0 {
						b.Fatal("no part of ", member)
					}
				})
			})
			b.Run("Join", func(b *testing.B) {
				timed(b, func(i int) {
					p := Participant{Along: int64(i*7919%n + 1), State: "working"}
					must[Participant](b)(s.JoinMakeAlong(b.Context(), by(fmt.Sprint("newcomer", i)), p))
				})
			})
		})
	}
}

// members is how many there are: each takes part in about four.
func members(alongs int) int { return max(bigParty, alongs*partyEach/4) }

// benchTakeDue makes 100 posts due each time, of make-alongs all over the file.
func benchTakeDue(b *testing.B, s *Store, c *clock, n int) {
	round := 0
	var took []time.Duration
	for b.Loop() {
		b.StopTimer()
		round++
		if err := s.write(b.Context(), "make due", func(t tx) error {
			if _, err := t.Exec(`UPDATE makealong_posts SET state = 'sent', wake_at = NULL WHERE state = 'taken' AND wake_at IS NOT NULL AND wake_at > 0`); err != nil {
				return err
			}
			for i := range 100 {
				along := (round*100+i)*7919%n + 1
				if _, err := t.Exec(`UPDATE makealong_posts SET due_at = ?2, wake_at = ?2, state = 'planned', attempts = 0 WHERE makealong = ?1 AND key = 'milestone/3'`,
					along, c.now().UnixMilli()); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		at := time.Now()
		taken := must[[]TakenPost](b)(s.TakeDue(b.Context(), "sweep", time.Hour, 100))
		took = append(took, time.Since(at))
		if len(taken) != 100 {
			b.Fatalf("%d of 100 taken", len(taken))
		}
	}
	half(b, took)
	slowest(b, took)
}

func timed(b *testing.B, do func(i int)) {
	var took []time.Duration
	for i := 0; b.Loop(); i++ {
		at := time.Now()
		do(i)
		took = append(took, time.Since(at))
	}
	half(b, took)
	slowest(b, took)
}

func half(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-p50")
}

// fillAlongs makes n open make-alongs with posts that are due later, and those
// who take part. Their courses are as long as a host's.
func fillAlongs(b *testing.B, path string, n int) {
	b.Helper()
	s := must[*Store](b)(Open(context.Background(), Options{Path: path}))
	defer s.Close()
	later := day.Add(1000 * time.Hour).UnixMilli()
	for _, query := range []string{
		`PRAGMA synchronous = OFF`,
		`PRAGMA foreign_keys = OFF`,
		fmt.Sprintf(`WITH RECURSIVE i(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM i WHERE n + 1 < %d)
			INSERT INTO members (id, zone, created_at, updated_at) SELECT 'member' || n, 'Europe/Lisbon', 0, 0 FROM i`, members(n)),
		fmt.Sprintf(`WITH RECURSIVE i(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM i WHERE n + 1 < %d)
			INSERT INTO projects (id, member, name, name_key, state, lengths, done, piece, moves, started_at, changed_at, finished_at)
			SELECT n + 1, 'member' || n, 'Socks', 'socks', 'working', '[120,120,36]', '[20,0,0]', 0, 1, 0, 0, 0 FROM i`, members(n)),
		fmt.Sprintf(`WITH RECURSIVE i(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM i WHERE n + 1 < %d)
			INSERT INTO project_moves (project, seq, at, piece, was, done, undoes, minutes, key)
			SELECT n + 1, 1, 1900000000, 0, 0, 20, 0, 0, 0 FROM i`, members(n)),
		fmt.Sprintf(`WITH RECURSIVE i(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM i WHERE n + 1 < %d)
			INSERT INTO makealongs (id, server, channel, name, name_key, state, host, version, course, made_at, changed_at)
			SELECT n + 1, 'server' || (n / 10), 'channel' || n, 'Socks ' || n, 'socks ' || n, 'open', 'member' || n, 2,
				'{"pattern":"' || substr(hex(zeroblob(750)), 1, 1500) || '"}', 0, 0 FROM i`, n),
		fmt.Sprintf(`WITH RECURSIVE a(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM a WHERE n < %d), k(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM k WHERE n < %d)
			INSERT INTO makealong_posts (makealong, key, kind, milestone, due_at, state, wake_at, attempts, first_try_at, taken_by, taken_until, carrier, nonce, recipient, text, message, sent_at, why)
			SELECT a.n, 'milestone/' || k.n, 'milestone', k.n, %d + k.n * 86400000 + a.n, CASE WHEN k.n < 5 THEN 'sent' ELSE 'planned' END,
				CASE WHEN k.n < 5 THEN NULL ELSE %[3]d + k.n * 86400000 + a.n END, 0, 0, '', 0, 0, 'NONCE' || printf('%%020d', a.n * 100 + k.n), '', '', '', 0, '' FROM a, k`, n, postsEach-1, later),
		fmt.Sprintf(`WITH RECURSIVE a(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM a WHERE n < %d), k(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM k WHERE n < %d)
			INSERT INTO makealong_members (makealong, member, name, joined_at, project, size, gauge, seat, shift, state, pings, quiet, targets, targets_version, measured, remarks)
			SELECT a.n, 'member' || ((a.n * 31 + k.n * 7) %% %d), '', k.n, (a.n * 31 + k.n * 7) %% %[3]d + 1, '38', '22 sts by 24 rows', '', 0, 'working', 1, 0,
				'[[{"piece":0,"rows":40}],[{"piece":0,"rows":120},{"piece":1,"rows":40}],[{"piece":1,"rows":120}],[{"piece":2,"rows":36}]]', 2, '{}', ''
			FROM a, k WHERE a.n = 1 OR k.n < %d`, n, bigParty-1, members(n), partyEach),
	} {
		if _, err := s.writer.Exec(query); err != nil {
			b.Fatal(err)
		}
	}
}
