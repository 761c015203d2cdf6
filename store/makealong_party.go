package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// A Participant is a member's part in a make-along.
type Participant struct {
	Along          int64           `json:"makealong"`
	Member         string          `json:"member"`
	Name           string          `json:"name,omitempty"` // as she wishes to be named; "": she is not
	JoinedAt       time.Time       `json:"joined_at"`
	Project        int64           `json:"project,omitempty"` // hers; 0: none
	Size           string          `json:"size,omitempty"`
	Gauge          string          `json:"gauge,omitempty"`
	Seat           string          `json:"seat,omitempty"`  // unique in its make-along
	Shift          int             `json:"shift,omitempty"` // days that her calendar is later than the group's
	State          string          `json:"state"`           // "working" or "resting"
	Pings          bool            `json:"pings,omitempty"` // she asked to be pinged
	Quiet          bool            `json:"quiet,omitempty"` // she asked to be left alone
	Targets        json.RawMessage `json:"targets"`
	TargetsVersion int             `json:"targets_version"` // of the make-along, that they were made for
	Measured       json.RawMessage `json:"measured"`
	Remarks        string          `json:"remarks,omitempty"` // on what was measured

	// From her project and her settings.
	Zone      string    `json:"-"`
	Work      string    `json:"-"` // the project's state; "": there is none
	Lengths   []int     `json:"-"` // the rows of each piece
	Done      []int     `json:"-"` // the rows done of each piece
	CountedAt time.Time `json:"-"` // her last move; zero: none
}

// JoinMakeAlong adds by.Member to a make-along, or changes what is kept of her
// part: all but the day on which she joined and what comes from her project.
// [ErrNotFound] says that there is no such make-along, or no such project of
// hers, [ErrConflict] that another member has the seat, [ErrLimit] that it is
// one more than [MaxParty] or [MaxJoined].
func (s *Store) JoinMakeAlong(ctx context.Context, by By, p Participant) (Participant, error) {
	return writeOnce(ctx, s, by, "join make-along", func(t tx) (change[Participant], error) {
		return join(t, by.Member, p)
	})
}

// KeepTargets keeps the targets of members who take part in a make-along and
// work on the project that is named, where those kept are of an older version.
// It changes nothing else of their parts, and whoever has left stays away. What
// is kept comes of the make-along and of projects, so the log has no entry.
func (s *Store) KeepTargets(ctx context.Context, id int64, parts []Participant) error {
	return s.write(ctx, "keep targets", func(t tx) error {
		for _, p := range parts {
			_, err := t.Exec(`UPDATE makealong_members SET targets = ?4, targets_version = ?5
				WHERE makealong = ?1 AND member = ?2 AND project = ?3 AND targets_version < ?5`,
				id, p.Member, p.Project, jsonOr(p.Targets, `[]`), p.TargetsVersion)
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// LeaveMakeAlong removes by.Member's part in a make-along, with her answers and
// pictures there, and returns what it was; [ErrNotFound] if she had none. Her
// project stays hers.
func (s *Store) LeaveMakeAlong(ctx context.Context, by By, id int64) (Participant, error) {
	return writeOnce(ctx, s, by, "leave make-along", func(t tx) (change[Participant], error) {
		return leave(t, by.Member, id)
	})
}

// Party returns everybody who takes part in a make-along, in order of joining.
func (s *Store) Party(ctx context.Context, id int64) ([]Participant, error) {
	return readOne(ctx, s, "list party", func(t tx) ([]Participant, error) {
		rows, err := t.Query(participants+` WHERE a.makealong = ?1 ORDER BY a.joined_at, a.member`, id)
		return collect(rows, err, scanParticipant)
	})
}

// Joined returns a member's own parts in make-alongs, the newest first.
func (s *Store) Joined(ctx context.Context, member string) ([]Participant, error) {
	return readOne(ctx, s, "list parts", func(t tx) ([]Participant, error) { return joined(t, member) })
}

// participants reads parts with what comes from elsewhere.
const participants = `SELECT a.makealong, a.member, a.name, a.joined_at, a.project, a.size, a.gauge, a.seat, a.shift, a.state,
		a.pings, a.quiet, a.targets, a.targets_version, a.measured, a.remarks,
		coalesce(m.zone, ''), coalesce(p.state, ''), p.lengths, p.done, coalesce(v.at, 0)
	FROM makealong_members AS a
	LEFT JOIN members AS m ON m.id = a.member
	LEFT JOIN projects AS p ON p.id = a.project
	LEFT JOIN project_moves AS v ON v.project = p.id AND v.seq = p.moves`

func joined(t tx, member string) ([]Participant, error) {
	rows, err := t.Query(participants+` WHERE a.member = ?1 ORDER BY a.joined_at DESC, a.makealong DESC`, member)
	return collect(rows, err, scanParticipant)
}

func participant(t tx, along int64, member string) (Participant, error) {
	p, err := scanParticipant(t.QueryRow(participants+` WHERE a.makealong = ?1 AND a.member = ?2`, along, member))
	return found(p, err, "member %q in make-along %d", member, along)
}

func scanParticipant(row scanner) (p Participant, err error) {
	var at, counted int64
	var project sql.NullInt64
	var targets, measured, lengths, done []byte
	if err := row.Scan(&p.Along, &p.Member, &p.Name, &at, &project, &p.Size, &p.Gauge, &p.Seat, &p.Shift, &p.State,
		&p.Pings, &p.Quiet, &targets, &p.TargetsVersion, &measured, &p.Remarks,
		&p.Zone, &p.Work, &lengths, &done, &counted); err != nil {
		return Participant{}, err
	}
	p.JoinedAt, p.Project, p.Targets, p.Measured = moment(at), project.Int64, targets, measured
	if counted > 0 {
		p.CountedAt = time.Unix(counted, 0).UTC()
	}
	if !project.Valid {
		return p, nil
	}
	if err := json.Unmarshal(lengths, &p.Lengths); err != nil {
		return Participant{}, err
	}
	return p, json.Unmarshal(done, &p.Done)
}

func join(t tx, member string, p Participant) (change[Participant], error) {
	c := change[Participant]{subject: alongSubject(p.Along)}
	if _, err := makeAlong(t, p.Along); err != nil {
		return c, err
	}
	if p.Project != 0 {
		if _, err := project(t, member, p.Project); err != nil {
			return c, err
		}
	}
	switch before, err := participant(t, p.Along, member); {
	case err == nil:
		c.before = &before
	case !errors.Is(err, ErrNotFound):
		return c, err
	default:
		if err := roomToJoin(t, p.Along, member); err != nil {
			return c, err
		}
	}
	_, err := t.Exec(`INSERT INTO makealong_members (makealong, member, name, joined_at, project, size, gauge, seat, shift, state,
			pings, quiet, targets, targets_version, measured, remarks)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)
		ON CONFLICT (makealong, member) DO UPDATE SET name = ?3, project = ?5, size = ?6, gauge = ?7, seat = ?8, shift = ?9,
			state = ?10, pings = ?11, quiet = ?12, targets = ?13, targets_version = ?14, measured = ?15, remarks = ?16`,
		p.Along, member, p.Name, t.now.UnixMilli(), sql.NullInt64{Int64: p.Project, Valid: p.Project != 0}, p.Size, p.Gauge, p.Seat, p.Shift,
		p.State, p.Pings, p.Quiet, jsonOr(p.Targets, `[]`), p.TargetsVersion, jsonOr(p.Measured, `{}`), p.Remarks)
	if kindOf(err) == ErrConflict {
		err = fmt.Errorf("the seat %q: %w", p.Seat, ErrConflict)
	}
	if err != nil {
		return c, err
	}
	after, err := participant(t, p.Along, member)
	c.after = &after
	return c, err
}

// roomToJoin makes sure that a member can be added, and is there.
func roomToJoin(t tx, along int64, member string) error {
	if err := atMost(MaxParty, "who take part", t.QueryRow(`SELECT count(*) FROM makealong_members WHERE makealong = ?1`, along)); err != nil {
		return err
	}
	if err := atMost(MaxJoined, "parts", t.QueryRow(`SELECT count(*) FROM makealong_members WHERE member = ?1`, member)); err != nil {
		return err
	}
	return addMember(t, member)
}

// jsonOr is a JSON text, or another where there is none.
func jsonOr(text json.RawMessage, none string) string {
	if len(text) == 0 {
		return none
	}
	return string(text)
}

func leave(t tx, member string, id int64) (change[Participant], error) {
	before, err := participant(t, id, member)
	if err != nil {
		return change[Participant]{}, err
	}
	for _, query := range []string{
		`DELETE FROM makealong_members WHERE makealong = ?1 AND member = ?2`,
		`DELETE FROM makealong_answers WHERE makealong = ?1 AND member = ?2`,
		`DELETE FROM makealong_pictures WHERE makealong = ?1 AND member = ?2`,
	} {
		if _, err := t.Exec(query, id, member); err != nil {
			return change[Participant]{}, err
		}
	}
	return change[Participant]{subject: alongSubject(id), before: &before}, nil
}
