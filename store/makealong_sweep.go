package store

import (
	"context"
	"errors"
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
// are paused, blocked or closed. Of the posts for one channel at most one is on
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
// whose channel waits for another post are left out. An engine with many
// writers adds a lock that skips what others hold.
const dueAlongs = `SELECT m.id FROM makealong_posts AS p JOIN makealongs AS m ON m.id = p.makealong
	WHERE p.wake_at <= ?1 AND (p.kind IN ('host', 'event') OR p.attempts > 0 OR NOT EXISTS (
		SELECT 1 FROM makealong_posts AS o WHERE o.makealong = p.makealong AND o.attempts > 0
			AND o.state IN ('planned', 'taken') AND o.kind NOT IN ('host', 'event')))
	ORDER BY p.wake_at, p.id LIMIT ?2`

func takeDue(t tx, who string, until time.Time, limit int) ([]TakenPost, error) {
	rows, err := t.Query(dueAlongs, t.now.UnixMilli(), limit)
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
	var alone []TakenPost
	var fresh, tried []Post
	for _, p := range posts {
		due := !p.wake.IsZero() && !p.wake.After(now)
		switch {
		case p.carrier != 0:
		case !p.toChannel():
			if due {
				alone = append(alone, TakenPost{Post: p})
			}
		case p.Attempts > 0:
			tried = append(tried, p)
		case due:
			fresh = append(fresh, p)
		}
	}
	if len(tried) > 0 {
		first := slices.IndexFunc(tried, func(p Post) bool { return !p.wake.After(now) && !p.wake.IsZero() })
		onItsWay := slices.ContainsFunc(tried, func(p Post) bool { return p.State == PostTaken && p.wake.After(now) })
		if first < 0 || onItsWay {
			return alone
		}
		again := TakenPost{Post: tried[first]}
		for _, p := range posts {
			if p.carrier == again.ID {
				again.Merged = append(again.Merged, p)
			}
		}
		return append([]TakenPost{again}, alone...)
	}
	if len(fresh) > 0 {
		at := carrying(fresh)
		alone = append([]TakenPost{{Post: fresh[at], Merged: slices.Delete(slices.Clone(fresh), at, at+1)}}, alone...)
	}
	return alone
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

// SentPost marks a post that who holds as sent, with the message's id, and
// those that it carried as told. It is [ErrConflict] if who does not hold it,
// unless it is marked as sent already.
func (s *Store) SentPost(ctx context.Context, who string, id int64, message string, at time.Time) error {
	return s.settle(ctx, "mark post as sent", who, id, PostSent, func(t tx, p Post) error {
		return settlePost(t, p, PostSent, PostMerged, message, at.UnixMilli(), "")
	})
}

// SkipPost marks a post that who holds, and those that it carried, as better
// not sent, with the reason, and plans other posts of the make-along instead,
// such as a note to the host; one of a key that is on its way or settled stays.
// It is [ErrConflict] if who does not hold the post, unless it is marked as
// skipped already.
func (s *Store) SkipPost(ctx context.Context, who string, id int64, why string, instead ...Post) error {
	return s.settle(ctx, "skip post", who, id, PostSkipped, func(t tx, p Post) error {
		if err := settlePost(t, p, PostSkipped, PostSkipped, "", 0, why); err != nil {
			return err
		}
		for _, other := range instead {
			if err := planPost(t, p.Along, other); err != nil {
				return err
			}
		}
		return parkPosts(t, p.Along)
	})
}

// PutOff gives a post that who holds back until a time: for quiet hours, a
// limit of the service or an outage. Tried says that this attempt may have
// reached the channel; one that did not, does not count. A post that was never
// tried waits together with those that it carried, and what falls due meanwhile
// is told in one. It is [ErrConflict] if who does not hold the post, unless it
// is planned again already.
func (s *Store) PutOff(ctx context.Context, who string, id int64, until time.Time, tried bool) error {
	return s.settle(ctx, "put off post", who, id, PostPlanned, func(t tx, p Post) error {
		return releasePost(t, p, until, tried)
	})
}

// BlockMakeAlong says that the channel of a post which who holds is gone or
// can't be written to. The make-along is blocked, with a version of its own: its
// posts stay planned, and are due again when a later [Store.SaveMakeAlong] opens
// it. The host is told once, in a note with this text. It is [ErrConflict] if
// who does not hold the post, unless the make-along is blocked already.
func (s *Store) BlockMakeAlong(ctx context.Context, who string, post int64, why, note string) error {
	const doing = "block make-along"
	return s.write(ctx, doing, func(t tx) error {
		p, held := heldPost(t, who, post)
		if held != nil && !errors.Is(held, ErrConflict) {
			return held
		}
		before, err := makeAlong(t, p.Along)
		switch {
		case err != nil:
			return err
		case held != nil && before.State == AlongBlocked:
			return nil
		case held != nil:
			return held
		}
		if err := releasePost(t, p, p.Due, false); err != nil {
			return err
		}
		if before.State != AlongOpen { // somebody paused it, or another sweep came to the same
			return nil
		}
		after, err := scanMakeAlong(t.QueryRow(`UPDATE makealongs SET state = 'blocked', version = version + 1, changed_at = ?2
			WHERE id = ?1 RETURNING `+alongColumns, p.Along, t.now.UnixMilli()))
		if err != nil {
			return err
		}
		if err := planPost(t, p.Along, Post{Key: fmt.Sprint("blocked/", after.Version), Kind: postHost, Milestone: -1,
			Due: t.now, Recipient: before.Host, Text: note}); err != nil {
			return err
		}
		if err := parkPosts(t, p.Along); err != nil {
			return err
		}
		return logChange(t, By{}, doing, change[blocking]{subject: alongSubject(p.Along),
			before: &blocking{State: before.State, Version: before.Version}, after: &blocking{State: after.State, Version: after.Version, Why: why}})
	})
}

// blocking is what the log keeps of a make-along that was blocked.
type blocking struct {
	State   string `json:"state"`
	Version int    `json:"version"`
	Why     string `json:"why,omitempty"`
}

// settle runs mark on a post that who holds. Nothing is to be done where the
// post is already as it shall become and who is not the one to change that.
func (s *Store) settle(ctx context.Context, doing, who string, id int64, state string, mark func(tx, Post) error) error {
	return s.write(ctx, doing, func(t tx) error {
		p, err := heldPost(t, who, id)
		switch {
		case errors.Is(err, ErrConflict) && p.State == state:
			return nil
		case err != nil:
			return err
		}
		return mark(t, p)
	})
}

// heldPost reads a post; the error is an ErrConflict where who does not hold it.
func heldPost(t tx, who string, id int64) (Post, error) {
	p, err := scanPost(t.QueryRow(`SELECT `+postColumns+` FROM makealong_posts WHERE id = ?1`, id))
	if p, err = found(p, err, "post %d", id); err != nil {
		return p, err
	}
	if p.State != PostTaken || p.takenBy != who || p.carrier != 0 {
		return p, fmt.Errorf("post %d is %s and not held by %q: %w", id, p.State, who, ErrConflict)
	}
	return p, nil
}

// settlePost gives a post, and those that it carries, the state in which they
// stay. The text of a note is forgotten: it was sent, or has no reader.
func settlePost(t tx, p Post, state, carried, message string, at int64, why string) error {
	_, err := t.Exec(`UPDATE makealong_posts SET state = CASE WHEN id = ?1 THEN ?3 ELSE ?4 END,
			message = ?5, sent_at = ?6, why = ?7, text = '', wake_at = NULL, taken_until = 0
		WHERE makealong = ?2 AND (id = ?1 OR carrier = ?1)`, p.ID, p.Along, state, carried, message, at, why)
	return err
}

// releasePost makes a taken post planned again. One that was never tried lets
// go of those that it carried, which wait with it.
func releasePost(t tx, p Post, until time.Time, tried bool) error {
	attempts := p.Attempts
	if !tried {
		attempts--
	}
	first := int64(0)
	if attempts > 0 {
		first = p.FirstTry.UnixMilli()
	}
	if _, err := t.Exec(`UPDATE makealong_posts SET state = 'planned', attempts = ?2, first_try_at = ?3, taken_by = '', taken_until = 0,
			wake_at = ?4 WHERE id = ?1`, p.ID, attempts, first, until.UnixMilli()); err != nil {
		return err
	}
	if attempts == 0 {
		if _, err := t.Exec(`UPDATE makealong_posts SET state = 'planned', carrier = 0, wake_at = ?3
			WHERE makealong = ?1 AND carrier = ?2`, p.Along, p.ID, until.UnixMilli()); err != nil {
			return err
		}
	}
	return parkPosts(t, p.Along)
}
