package store

import (
	"context"
	"fmt"
	"slices"
	"time"
)

// A TakenPost is a post that a sweep has to send, or to look after, before its
// lease runs out.
//
// Attempts counts this one. Where it is more than 1, an attempt before may have
// come through, since FirstTry: look for its Nonce in the channel first.
type TakenPost struct {
	Post
	MakeAlong MakeAlong
	Merged    []Post // due as well, told in this one; in order of when they are due
}

// TakeDue takes up to limit posts that are due, those due longest first, and
// those whose lease ran out; they are leased to who. It is what a sweep begins
// with, and any number of sweeps may run at once on one database. Its cost
// grows with what is due, not with what is planned.
//
// Posts of open make-alongs are taken, and notes to hosts also of those that
// are paused, blocked or closed, and the farewells of closed ones. Of the posts for one channel at most one is on
// its way. Where several are due, one carries the others: the farewell, else
// the newest milestone, else the newest. Notes to hosts and events go by
// themselves. A post that was tried is settled before any other goes to its
// channel, and nothing is added to what it carries.
//
// Each has to be settled by one of [Store.SentPost], [Store.SkipPost],
// [Store.PutOff] and [Store.BlockMakeAlong]. What is not, as when the program
// is killed, is due again when the lease runs out: it should outlast the time
// that sending may take. Who names one sweep at work: of two at once that share
// a name neither knows what the other holds.
//
// The outbox is its own log: its rows tell what was taken, tried and sent.
func (s *Store) TakeDue(ctx context.Context, who string, lease time.Duration, limit int) ([]TakenPost, error) {
	var taken []TakenPost
	err := s.write(ctx, "take due posts", func(t tx) (err error) {
		if who == "" || lease <= 0 || limit < 1 {
			return fmt.Errorf("sweep %q of %d posts, leased for %v: %w", who, limit, lease, ErrInvalid)
		}
		taken, err = takeDue(t, who, t.now.Add(lease), limit)
		return err
	})
	if err != nil {
		return nil, err
	}
	return taken, nil
}

// PostBacklog counts the posts that a sweep could take now, and how long the
// first of them has been waiting.
func (s *Store) PostBacklog(ctx context.Context) (due int, oldest time.Duration, err error) {
	err = s.read(ctx, "count due posts", func(t tx) error {
		var first int64
		err := t.QueryRow(countDue, t.now.UnixMilli()).Scan(&due, &first)
		if due > 0 {
			oldest = t.now.Sub(moment(first))
		}
		return err
	})
	return due, oldest, err
}

const countDue = `SELECT count(*), coalesce(min(wake_at), 0) FROM makealong_posts WHERE wake_at <= ?1`

// dueAlongs names the make-alongs of posts that are due, a line a post. Those
// whose channel waits for another post are left out, and those that another
// sweep is taking from.
const dueAlongs = `SELECT m.id FROM makealong_posts AS p JOIN makealongs AS m ON m.id = p.makealong
	WHERE p.wake_at <= ?1 AND (p.kind IN ('host', 'event') OR p.attempts > 0 OR NOT EXISTS (
		SELECT 1 FROM makealong_posts AS o WHERE o.makealong = p.makealong AND o.attempts > 0
			AND o.state IN ('planned', 'taken') AND o.kind NOT IN ('host', 'event')))
	ORDER BY p.wake_at, p.id LIMIT ?2`

func takeDue(t tx, who string, until time.Time, limit int) ([]TakenPost, error) {
	rows, err := t.Query(dueAlongs+t.engine.skip, t.now.UnixMilli(), limit)
	alongs, err := collect(rows, err, func(row scanner) (id int64, err error) {
		err = row.Scan(&id)
		return id, err
	})
	if err != nil {
		return nil, err
	}
	var taken []TakenPost
	seen := map[int64]bool{}
	for _, id := range alongs {
		if seen[id] || len(taken) >= limit {
			continue
		}
		seen[id] = true
		m, err := makeAlong(t, id)
		if err != nil {
			return nil, err
		}
		posts, err := unsettled(t, id)
		if err != nil {
			return nil, err
		}
		for _, p := range dueNow(posts, t.now) {
			if len(taken) >= limit {
				break
			}
			p.MakeAlong = m
			if err := takePost(t, &p, who, until); err != nil {
				return nil, err
			}
			taken = append(taken, p)
		}
	}
	return taken, nil
}

func unsettled(t tx, along int64) ([]Post, error) {
	rows, err := t.Query(`SELECT `+postColumns+` FROM makealong_posts
		WHERE makealong = ?1 AND state IN ('planned', 'taken') ORDER BY due_at, id`, along)
	return collect(rows, err, scanPost)
}

// dueNow sorts out which of a make-along's unsettled posts, in order of when
// they are due, go out now, and what they carry.
func dueNow(posts []Post, now time.Time) []TakenPost {
	var single, toChannel []TakenPost
	var fresh []Post
	tried := false // never more than one of a channel is
	for _, p := range posts {
		due := p.dueAt(now)
		switch {
		case !p.toChannel():
			if due {
				single = append(single, TakenPost{Post: p})
			}
		case p.Attempts > 0:
			tried = true
			if due {
				toChannel = []TakenPost{{Post: p, Merged: carriedBy(p.ID, posts)}}
			}
		case due:
			fresh = append(fresh, p)
		}
	}
	if !tried && len(fresh) > 0 {
		at := carrying(fresh)
		toChannel = []TakenPost{{Post: fresh[at], Merged: slices.Concat(fresh[:at], fresh[at+1:])}}
	}
	return append(toChannel, single...)
}

func carriedBy(id int64, posts []Post) (carried []Post) {
	for _, p := range posts {
		if p.carrier == id {
			carried = append(carried, p)
		}
	}
	return carried
}

// carrying is the place of the post in which the others are told.
func carrying(due []Post) int {
	for _, kind := range []string{postFarewell, postMilestone} {
		for i, p := range slices.Backward(due) {
			if p.Kind == kind {
				return i
			}
		}
	}
	return len(due) - 1
}

func takePost(t tx, p *TakenPost, who string, until time.Time) error {
	post, err := scanPost(t.QueryRow(`UPDATE makealong_posts SET state = 'taken', attempts = attempts + 1,
			first_try_at = CASE WHEN attempts = 0 THEN ?2 ELSE first_try_at END, taken_by = ?3, taken_until = ?4, wake_at = ?4
		WHERE id = ?1 RETURNING `+postColumns, p.ID, t.now.UnixMilli(), who, until.UnixMilli()))
	if err != nil {
		return err
	}
	p.Post = post
	for i, m := range p.Merged {
		if p.Merged[i], err = scanPost(t.QueryRow(`UPDATE makealong_posts SET state = 'taken', carrier = ?2, wake_at = NULL
			WHERE id = ?1 RETURNING `+postColumns, m.ID, p.ID)); err != nil {
			return err
		}
	}
	return nil
}
