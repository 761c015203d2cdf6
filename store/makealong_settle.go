package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

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
		if p.Attempts == 1 {
			if err := forgetPings(t, p.ID); err != nil {
				return err
			}
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
		if before.State == AlongClosed { // it has nowhere to say its farewell, and won't get any
			return settlePost(t, p, PostSkipped, PostSkipped, "", 0, "its channel can't be written to")
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
	p, err := scanPost(t.QueryRow(`SELECT `+postColumns+` FROM makealong_posts WHERE id = ?1`+t.engine.hold, id))
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
		if err := forgetPings(t, p.ID); err != nil {
			return err
		}
		if _, err := t.Exec(`UPDATE makealong_posts SET state = 'planned', carrier = 0, wake_at = ?3
			WHERE makealong = ?1 AND carrier = ?2`, p.Along, p.ID, until.UnixMilli()); err != nil {
			return err
		}
	}
	return parkPosts(t, p.Along)
}
