package store

import (
	"context"
	"database/sql"
	"time"
)

// UntriedPost says of a post that who holds that it was looked for in its
// channel and is not there. It is planned again as one that was never tried,
// due at once, so that it is told in one with what fell due meanwhile. It is
// [ErrConflict] if who does not hold the post, unless it is planned again
// already.
func (s *Store) UntriedPost(ctx context.Context, who string, id int64) error {
	return s.settle(ctx, "begin post anew", who, id, PostPlanned, func(t tx, p Post) error {
		p.Attempts = 1
		return releasePost(t, p, p.Due, false)
	})
}

// NextPost is when the next post can be taken, and false where none is planned.
func (s *Store) NextPost(ctx context.Context) (time.Time, bool, error) {
	next, err := readOne(ctx, s, "find the next post", func(t tx) (next sql.NullInt64, err error) {
		err = t.QueryRow(`SELECT min(wake_at) FROM makealong_posts WHERE wake_at IS NOT NULL`).Scan(&next)
		return next, err
	})
	return moment(next.Int64), next.Valid, err
}

// LastSent is when the last post of a make-along was sent to its channel, and
// the one before it; zero times where there were not as many.
func (s *Store) LastSent(ctx context.Context, id int64) (last, before time.Time, err error) {
	times, err := readOne(ctx, s, "find the last posts", func(t tx) ([]time.Time, error) {
		rows, err := t.Query(`SELECT sent_at FROM makealong_posts WHERE makealong = ?1 AND state = 'sent' AND kind NOT IN ('host', 'event')
			ORDER BY sent_at DESC LIMIT 2`, id)
		return collect(rows, err, func(row scanner) (time.Time, error) {
			var at int64
			err := row.Scan(&at)
			return moment(at), err
		})
	})
	if len(times) > 0 {
		last = times[0]
	}
	if len(times) > 1 {
		before = times[1]
	}
	return last, before, err
}
