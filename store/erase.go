package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// An Export is everything that is stored about one member.
type Export struct {
	Member   *Member        `json:"member"` // nil if no settings or swatches were ever kept
	Swatches []Swatch       `json:"swatches"`
	Patterns []Pattern      `json:"patterns"` // what they added to servers
	Projects []ProjectWhole `json:"projects,omitempty"`
	Alongs   *Alongs        `json:"makealongs,omitempty"` // nil if they never had to do with one
	Log      []Entry        `json:"log"`                  // every change that they made, oldest first
}

// Erased counts what Erase took away.
type Erased struct {
	Members  int `json:"members"` // 0 or 1
	Swatches int `json:"swatches"`
	Patterns int `json:"patterns"`           // left with their servers, without the member's id
	Entries  int `json:"entries"`            // of the log
	Projects int `json:"projects,omitempty"` // with all that belongs to them
	Parts    int `json:"parts,omitempty"`    // in make-alongs
	Answers  int `json:"answers,omitempty"`  // at milestones
	Pictures int `json:"pictures,omitempty"` // shown in make-alongs
	Hosted   int `json:"hosted,omitempty"`   // make-alongs, left with their servers, without the member's id
}

// Export returns everything that is stored about a member, as of one moment.
// It is [ErrNotFound] if that is nothing.
func (s *Store) Export(ctx context.Context, id string) (Export, error) {
	return readOne(ctx, s, "export member", func(t tx) (Export, error) {
		return export(t, id)
	})
}

// Erase removes by.Member: the settings, the swatches, the projects, the parts
// in make-alongs with answers, pictures and pings, and every log entry of
// theirs. Patterns that they added and make-alongs that they made belong to
// their servers and stay, without their id; an author's name that stands in a
// pattern is a credit and stays too. What was erased is overwritten in the file. It remains
// in the backups made before, until those have had their time.
//
// The log keeps that somebody was erased and the counts, not who. Erasing
// again finds nothing and counts zero.
func (s *Store) Erase(ctx context.Context, by By) (Erased, error) {
	const doing = "erase member"
	var erased Erased
	err := s.write(ctx, doing, func(t tx) (err error) {
		if err := t.own(by.Member); err != nil {
			return err
		}
		erased, err = erase(t, by.Member)
		if err != nil || erased == (Erased{}) {
			return err
		}
		return logChange(t, By{}, doing, change[Erased]{after: &erased})
	})
	if err != nil {
		return Erased{}, err
	}
	s.emptyLog(ctx)
	return erased, nil
}

// emptyLog empties the write-ahead log, in which erased rows could still be
// read. A reader that stays in the way only puts that off.
func (s *Store) emptyLog(ctx context.Context) {
	if s.engine != sqlite {
		return // the server's own affair
	}
	if s.enter() != nil {
		return // closing empties it too
	}
	defer s.leave()
	var busy, frames, moved int
	row := s.writer.QueryRowContext(context.WithoutCancel(ctx), "PRAGMA wal_checkpoint(TRUNCATE)")
	if err := row.Scan(&busy, &frames, &moved); err != nil || busy != 0 {
		s.log.Warn("the write-ahead log is not emptied yet", "busy", busy, "error", err)
	}
}

func export(t tx, id string) (e Export, err error) {
	switch m, err := member(t, id); {
	case err == nil:
		e.Member = &m
	case !errors.Is(err, ErrNotFound):
		return Export{}, err
	}
	if e.Swatches, err = swatches(t, id); err != nil {
		return Export{}, err
	}
	rows, err := t.Query(`SELECT `+patternWhole+` FROM patterns WHERE added_by = ?1 AND ?1 <> '' ORDER BY id`, id)
	if e.Patterns, err = collect(rows, err, scanPattern); err != nil {
		return Export{}, err
	}
	if e.Projects, err = projectsWhole(t, id); err != nil {
		return Export{}, err
	}
	if e.Alongs, err = alongsOf(t, id); err != nil {
		return Export{}, err
	}
	if e.Log, err = entries(t, id); err != nil {
		return Export{}, err
	}
	if e.Member == nil && e.Alongs == nil && len(e.Swatches)+len(e.Patterns)+len(e.Projects)+len(e.Log) == 0 {
		return Export{}, fmt.Errorf("member %q: %w", id, ErrNotFound)
	}
	return e, nil
}

func erase(t tx, id string) (erased Erased, err error) {
	if id == "" { // the log's entries of nobody, and patterns of the erased
		return Erased{}, ErrInvalid
	}
	for _, step := range []struct {
		count *int
		query string
	}{
		{&erased.Swatches, `DELETE FROM swatches WHERE member = ?1`},
		{&erased.Patterns, `UPDATE patterns SET added_by = '' WHERE added_by = ?1`},
		{&erased.Parts, `DELETE FROM makealong_members WHERE member = ?1`},
		{&erased.Answers, `DELETE FROM makealong_answers WHERE member = ?1`},
		{&erased.Pictures, `DELETE FROM makealong_pictures WHERE member = ?1`},
		{&erased.Hosted, `UPDATE makealongs SET host = '', version = version + 1 WHERE host = ?1 AND host <> ''`},
		{new(int), `UPDATE makealong_posts SET recipient = '', text = '' WHERE recipient = ?1 AND recipient <> ''`},
		{&erased.Projects, `DELETE FROM projects WHERE member = ?1`},
		{&erased.Entries, `DELETE FROM log WHERE member = ?1`},
		{&erased.Members, `DELETE FROM members WHERE id = ?1`},
	} {
		n, err := affected(t.Exec(step.query, id))
		if err != nil {
			return Erased{}, err
		}
		*step.count = n
	}
	return erased, nil
}

// affected is how many rows a statement changed.
func affected(result sql.Result, err error) (int, error) {
	if err != nil {
		return 0, err
	}
	n, err := result.RowsAffected()
	return int(n), err
}

// Retention is how backups are kept, in which what was erased lives on for a
// while.
func (s *Store) Retention() Backups { return s.backups }
