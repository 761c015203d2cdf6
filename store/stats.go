package store

import (
	"context"
	"os"
	"sync/atomic"
)

// Stats are figures for whoever runs it.
type Stats struct {
	Writes  uint64 // done since it was opened
	Failed  uint64 // of writes, since it was opened
	Commits uint64 // fewer than writes: those that wait share one
	Bytes   int64  // of the file and of what waits beside it to be put in, or of a server's database
}

// counts is what Stats are read from.
type counts struct{ writes, failed, commits atomic.Uint64 }

func (c *counts) done(err error) {
	if err != nil {
		c.failed.Add(1)
		return
	}
	c.writes.Add(1)
}

// Stats returns the figures as they are now.
func (s *Store) Stats(ctx context.Context) Stats {
	st := Stats{Writes: s.counts.writes.Load(), Failed: s.counts.failed.Load(), Commits: s.counts.commits.Load()}
	if s.engine.size != "" {
		// A server that does not answer is told elsewhere.
		_ = s.readers.QueryRowContext(ctx, s.engine.size).Scan(&st.Bytes)
		return st
	}
	for _, path := range []string{s.path, s.path + "-wal"} {
		if info, err := os.Stat(path); err == nil {
			st.Bytes += info.Size()
		}
	}
	return st
}
