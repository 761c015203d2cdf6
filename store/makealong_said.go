package store

import (
	"context"
	"fmt"
	"time"
)

// An Answer is what a member says at a milestone.
type Answer struct {
	Along     int64     `json:"makealong"`
	Milestone int       `json:"milestone"` // from 0
	Member    string    `json:"member"`
	Name      string    `json:"name,omitempty"` // as hosts see her
	Say       string    `json:"say"`
	Place     string    `json:"place,omitempty"` // where the work stood
	Words     string    `json:"words,omitempty"`
	At        time.Time `json:"at"`
}

// A Picture was shown to the group. The picture itself is not kept here.
type Picture struct {
	ID     int64     `json:"id"`
	Along  int64     `json:"makealong"`
	Member string    `json:"member"`
	Name   string    `json:"name,omitempty"` // as she wishes to be named: as her part says, while she has one
	Text   string    `json:"text,omitempty"`
	Place  string    `json:"place"` // the message that shows it
	At     time.Time `json:"at"`
}

// SaveAnswer keeps what by.Member says at a milestone, in place of what she
// said there before. [ErrNotFound] says that there is no such make-along.
func (s *Store) SaveAnswer(ctx context.Context, by By, a Answer) (Answer, error) {
	return writeOnce(ctx, s, by, "answer check-in", func(t tx) (change[Answer], error) {
		return saveAnswer(t, by.Member, a)
	})
}

// Answers returns what was said at a milestone, or at all of them where
// milestone is -1, in the order of milestones and then of time.
func (s *Store) Answers(ctx context.Context, along int64, milestone int) ([]Answer, error) {
	return readOne(ctx, s, "list answers", func(t tx) ([]Answer, error) {
		rows, err := t.Query(`SELECT `+answerColumns+` FROM makealong_answers
			WHERE makealong = ?1 AND (?2 = -1 OR milestone = ?2) ORDER BY milestone, at, member`, along, milestone)
		return collect(rows, err, scanAnswer)
	})
}

// SharePicture keeps that by.Member showed a picture to the group. [ErrNotFound]
// says that there is no such make-along, [ErrLimit] that it is one more than
// [MaxPictures].
func (s *Store) SharePicture(ctx context.Context, by By, p Picture) (Picture, error) {
	return writeOnce(ctx, s, by, "share picture", func(t tx) (change[Picture], error) {
		return sharePicture(t, by.Member, p)
	})
}

// Pictures returns the pictures shown in a make-along, oldest first.
func (s *Store) Pictures(ctx context.Context, along int64) ([]Picture, error) {
	return readOne(ctx, s, "list pictures", func(t tx) ([]Picture, error) {
		rows, err := t.Query(`SELECT g.id, g.makealong, g.member, coalesce(a.name, g.name), g.text, g.place, g.at
			FROM makealong_pictures AS g
			LEFT JOIN makealong_members AS a ON a.makealong = g.makealong AND a.member = g.member
			WHERE g.makealong = ?1 ORDER BY g.at, g.id`, along)
		return collect(rows, err, scanPicture)
	})
}

const (
	answerColumns  = `makealong, milestone, member, name, say, place, words, at`
	pictureColumns = `id, makealong, member, name, text, place, at`
)

func scanAnswer(row scanner) (a Answer, err error) {
	var at int64
	err = row.Scan(&a.Along, &a.Milestone, &a.Member, &a.Name, &a.Say, &a.Place, &a.Words, &at)
	a.At = moment(at)
	return a, err
}

func scanPicture(row scanner) (p Picture, err error) {
	var at int64
	err = row.Scan(&p.ID, &p.Along, &p.Member, &p.Name, &p.Text, &p.Place, &at)
	p.At = moment(at)
	return p, err
}

func saveAnswer(t tx, member string, a Answer) (change[Answer], error) {
	c := change[Answer]{subject: fmt.Sprintf("%s/%d", alongSubject(a.Along), a.Milestone)}
	if _, err := makeAlong(t, a.Along); err != nil {
		return c, err
	}
	if err := addMember(t, member); err != nil {
		return c, err
	}
	rows, err := t.Query(`SELECT `+answerColumns+` FROM makealong_answers
		WHERE makealong = ?1 AND milestone = ?2 AND member = ?3`, a.Along, a.Milestone, member)
	old, err := collect(rows, err, scanAnswer)
	if err != nil {
		return c, err
	}
	if len(old) > 0 {
		c.before = &old[0]
	}
	after, err := scanAnswer(t.QueryRow(`INSERT INTO makealong_answers (`+answerColumns+`) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)
		ON CONFLICT (makealong, milestone, member) DO UPDATE SET name = ?4, say = ?5, place = ?6, words = ?7, at = ?8
		RETURNING `+answerColumns, a.Along, a.Milestone, member, a.Name, a.Say, a.Place, a.Words, t.now.UnixMilli()))
	c.after = &after
	return c, err
}

func sharePicture(t tx, member string, p Picture) (change[Picture], error) {
	c := change[Picture]{subject: alongSubject(p.Along)}
	if _, err := makeAlong(t, p.Along); err != nil {
		return c, err
	}
	if err := atMost(MaxPictures, "pictures", t.QueryRow(`SELECT count(*) FROM makealong_pictures
		WHERE makealong = ?1 AND member = ?2`, p.Along, member)); err != nil {
		return c, err
	}
	if err := addMember(t, member); err != nil {
		return c, err
	}
	after, err := scanPicture(t.QueryRow(`INSERT INTO makealong_pictures (makealong, member, name, text, place, at)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6) RETURNING `+pictureColumns, p.Along, member, p.Name, p.Text, p.Place, t.now.UnixMilli()))
	c.after = &after
	return c, err
}
