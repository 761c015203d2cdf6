package store

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"
)

// The states of a post.
const (
	PostPlanned = "planned"
	PostTaken   = "taken"   // on its way, by itself or in another
	PostSent    = "sent"    // once
	PostMerged  = "merged"  // told in another, which was sent
	PostSkipped = "skipped" // it, or the one it was to be told in, was better not sent
)

// The kinds of posts that a sweep treats differently: the others go to the
// channel and can be told in one another.
const (
	postFarewell  = "farewell"
	postMilestone = "milestone"
	postHost      = "host"
	postEvent     = "event"
)

// A Post is one post of a make-along: planned, then taken by a sweep, then
// sent once.
type Post struct {
	ID        int64     `json:"id"`
	Along     int64     `json:"makealong"`
	Key       string    `json:"key"` // unique in its make-along
	Kind      string    `json:"kind"`
	Milestone int       `json:"milestone"` // from 0; -1: none
	Due       time.Time `json:"due"`
	State     string    `json:"state"`
	Recipient string    `json:"recipient,omitempty"` // of a host's note: a member
	Text      string    `json:"text,omitempty"`      // of a host's note; forgotten when it was sent
	Message   string    `json:"message,omitempty"`   // the id of what was sent
	SentAt    time.Time `json:"sent_at,omitzero"`
	Why       string    `json:"why,omitempty"` // it was skipped

	Attempts int       `json:"-"` // that may have reached the channel
	FirstTry time.Time `json:"-"` // zero: not tried
	Nonce    string    `json:"-"` // random, the same for every attempt; at most 25 characters

	takenBy string
	wake    time.Time // when a sweep may take it; zero: not at all as things stand
	carrier int64     // the post in which it is told; 0: none
}

// toChannel tells whether a post is written to the channel, where one follows
// the other.
func (p Post) toChannel() bool { return p.Kind != postHost && p.Kind != postEvent }

// dueAt tells whether a sweep may take a post at a time.
func (p Post) dueAt(now time.Time) bool { return !p.wake.IsZero() && !p.wake.After(now) }

// MakeAlongPosts returns all posts of a make-along in order of when they are due.
func (s *Store) MakeAlongPosts(ctx context.Context, id int64) ([]Post, error) {
	return readOne(ctx, s, "list posts", func(t tx) ([]Post, error) {
		rows, err := t.Query(`SELECT `+postColumns+` FROM makealong_posts WHERE makealong = ?1 ORDER BY due_at, id`, id)
		return collect(rows, err, scanPost)
	})
}

const postColumns = `id, makealong, key, kind, milestone, due_at, state, coalesce(wake_at, 0), attempts, first_try_at, taken_by,
	carrier, nonce, recipient, text, message, sent_at, why`

func scanPost(row scanner) (p Post, err error) {
	var due, wake, first, sent int64
	err = row.Scan(&p.ID, &p.Along, &p.Key, &p.Kind, &p.Milestone, &due, &p.State, &wake, &p.Attempts, &first, &p.takenBy,
		&p.carrier, &p.Nonce, &p.Recipient, &p.Text, &p.Message, &sent, &p.Why)
	p.Due, p.wake, p.FirstTry, p.SentAt = moment(due), momentOrNone(wake), momentOrNone(first), momentOrNone(sent)
	return p, err
}

// momentOrNone reads a stored time of which 0 is none.
func momentOrNone(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return moment(ms)
}

// replacePosts puts posts in place of those that no sweep took up.
func replacePosts(t tx, along int64, posts []Post) error {
	if _, err := t.Exec(`DELETE FROM makealong_posts WHERE makealong = ?1 AND state = 'planned' AND attempts = 0`, along); err != nil {
		return err
	}
	for _, p := range posts {
		if err := planPost(t, along, p); err != nil {
			return err
		}
	}
	if err := atMost(MaxPosts+1, "posts", t.QueryRow(`SELECT count(*) FROM makealong_posts WHERE makealong = ?1`, along)); err != nil {
		return err
	}
	return wakePosts(t, along)
}

// planPost adds a post, or moves one of its key whose try failed. Where one of
// its key is on its way or settled, it stays.
func planPost(t tx, along int64, p Post) error {
	_, err := t.Exec(`INSERT INTO makealong_posts (makealong, key, kind, milestone, due_at, state, wake_at, attempts, first_try_at,
			taken_by, taken_until, carrier, nonce, recipient, text, message, sent_at, why)
		VALUES (?1, ?2, ?3, ?4, ?5, 'planned', ?5, 0, 0, '', 0, 0, ?6, ?7, ?8, '', 0, '')
		ON CONFLICT (makealong, key) DO UPDATE SET kind = ?3, milestone = ?4, due_at = ?5, wake_at = ?5, recipient = ?7, text = ?8
			WHERE makealong_posts.state = 'planned'`,
		along, p.Key, p.Kind, p.Milestone, p.Due.UnixMilli(), newNonce(), p.Recipient, p.Text)
	if kindOf(err) == ErrInvalid {
		err = fmt.Errorf("post %q: %w", p.Key, err)
	}
	return err
}

func newNonce() string { return rand.Text()[:25] }

// wakePosts sets, for all posts of a make-along, when a sweep may take them. It
// is called whenever the state of the make-along or its plan changes.
func wakePosts(t tx, along int64) error {
	_, err := t.Exec(`UPDATE makealong_posts SET wake_at = CASE
			WHEN carrier <> 0 THEN NULL
			WHEN state = 'taken' THEN taken_until
			ELSE due_at END
		WHERE makealong = ?1 AND state IN ('planned', 'taken')`, along)
	if err != nil {
		return err
	}
	return parkPosts(t, along)
}

// parkPosts keeps from sweeps what a make-along does not post in its state. One
// that is closed has its farewell still to post, and what was tried to settle
// before.
func parkPosts(t tx, along int64) error {
	_, err := t.Exec(`UPDATE makealong_posts SET wake_at = NULL
		WHERE makealong = ?1 AND wake_at IS NOT NULL AND EXISTS (SELECT 1 FROM makealongs AS m
			WHERE m.id = ?1 AND (m.state = 'draft' OR m.state <> 'open' AND makealong_posts.kind <> 'host'
				AND NOT (m.state = 'closed' AND (makealong_posts.kind = 'farewell' OR makealong_posts.attempts > 0))))`, along)
	return err
}
