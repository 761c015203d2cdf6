package store

import (
	"context"
	"slices"
	"time"
)

const (
	// PingEvery is how long a member is not pinged again: a week, less half a day,
	// for a weekly post may go out a little earlier in its day than the one before.
	PingEvery = 7*24*time.Hour - 12*time.Hour
	// pingsKept is how long it is known who was pinged, for a post that asks again.
	pingsKept = 60 * 24 * time.Hour
)

// TakePings returns those of the members whom a post may ping, and notes that
// it does. They take part in its make-along, asked to be pinged and not to be
// left alone, and were not pinged by another post, of whatever make-along, for
// [PingEvery]. The same post asking again gets the same members; a post that
// is skipped or put off without a try pinged nobody. [ErrNotFound] says that
// there is no such post.
func (s *Store) TakePings(ctx context.Context, post int64, members []string) ([]string, error) {
	var may []string
	err := s.write(ctx, "take pings", func(t tx) error {
		may = nil
		var along int64
		err := t.QueryRow(`SELECT makealong FROM makealong_posts WHERE id = ?1`, post).Scan(&along)
		if along, err = found(along, err, "post %d", post); err != nil {
			return err
		}
		for _, member := range slices.Sorted(slices.Values(members)) { // in one order: two posts never wait for each other
			if err := t.own(member); err != nil {
				return err
			}
		}
		for _, member := range members {
			switch ok, err := takePing(t, along, post, member); {
			case err != nil:
				return err
			case ok:
				may = append(may, member)
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return may, nil
}

func takePing(t tx, along, post int64, member string) (bool, error) {
	if _, err := t.Exec(`DELETE FROM pings WHERE member = ?1 AND at < ?2`, member, t.now.Add(-pingsKept).UnixMilli()); err != nil {
		return false, err
	}
	if _, err := t.Exec(`INSERT INTO pings (post, member, at)
		SELECT CAST(?1 AS INTEGER), a.member, CAST(?4 AS INTEGER) FROM makealong_members AS a
		WHERE a.makealong = ?2 AND a.member = ?3 AND a.pings = 1 AND a.quiet = 0
			AND NOT EXISTS (SELECT 1 FROM pings AS g WHERE g.member = a.member AND g.at > ?5)
		ON CONFLICT (post, member) DO NOTHING`,
		post, along, member, t.now.UnixMilli(), t.now.Add(-PingEvery).UnixMilli()); err != nil {
		return false, err
	}
	var n int
	err := t.QueryRow(`SELECT count(*) FROM pings AS g JOIN makealong_members AS a ON a.member = g.member
		WHERE g.post = ?1 AND g.member = ?2 AND a.makealong = ?3 AND a.pings = 1 AND a.quiet = 0`, post, member, along).Scan(&n)
	return n > 0, err
}

// forgetPings takes back the pings of a post that did not reach its channel.
func forgetPings(t tx, post int64) error {
	_, err := t.Exec(`DELETE FROM pings WHERE post = ?1`, post)
	return err
}

// A Ping is that a member was pinged by a post.
type Ping struct {
	Post int64     `json:"post"`
	At   time.Time `json:"at"`
}

func pings(t tx, member string) ([]Ping, error) {
	rows, err := t.Query(`SELECT post, at FROM pings WHERE member = ?1 ORDER BY at, post`, member)
	return collect(rows, err, func(row scanner) (p Ping, err error) {
		var at int64
		err = row.Scan(&p.Post, &at)
		p.At = moment(at)
		return p, err
	})
}
