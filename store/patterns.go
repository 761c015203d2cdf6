package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// MaxPatterns is how many patterns one server may keep, each version counted.
const MaxPatterns = 1000

// A Pattern is one version of a written pattern that a server keeps.
type Pattern struct {
	ID      int64     `json:"id"`
	Server  string    `json:"server"`
	Name    string    `json:"name"`    // what members type; versions share it, whatever its case
	Version string    `json:"version"` // unique for its server and name
	Title   string    `json:"title"`
	Author  string    `json:"author"`
	Licence string    `json:"licence"`
	Format  string    `json:"format"`         // what Text is written in, such as "rows" or "toml"
	Text    string    `json:"text,omitempty"` // left out of lists and of the log
	Draft   bool      `json:"draft"`          // not found sound; may be replaced
	AddedBy string    `json:"-"`              // the member; "" once they are erased, hence not in the log
	AddedAt time.Time `json:"added_at"`
}

// AddPattern keeps a version of a pattern and returns it with its id. It
// replaces a draft of the same server, name and version; a finished one stays
// and the call is [ErrConflict]. A text or name too long or missing is
// [ErrInvalid], one more than [MaxPatterns] [ErrLimit].
func (s *Store) AddPattern(ctx context.Context, by By, p Pattern) (Pattern, error) {
	added, err := writeOnce(ctx, s, by, "add pattern", func(t tx) (change[Pattern], error) {
		return addPattern(t, by.Member, p)
	})
	if err != nil {
		return Pattern{}, err
	}
	added.Text, added.AddedBy = p.Text, by.Member
	return added, nil
}

// RemovePattern removes a version of a pattern, or all versions if version is
// "", and returns what they were without their texts. The texts are gone: the
// log does not hold them. It is [ErrNotFound] if there was none.
func (s *Store) RemovePattern(ctx context.Context, by By, server, name, version string) ([]Pattern, error) {
	return writeOnce(ctx, s, by, "remove pattern", func(t tx) (change[[]Pattern], error) {
		return removePattern(t, server, name, version)
	})
}

// Pattern returns a version of a server's pattern with its text, or
// [ErrNotFound]. A version of "" is the newest finished one, or the newest
// draft where none is finished.
func (s *Store) Pattern(ctx context.Context, server, name, version string) (Pattern, error) {
	return readOne(ctx, s, "read pattern", func(t tx) (Pattern, error) {
		return pattern(t, server, name, version)
	})
}

// Patterns lists a server's patterns by name, without texts: of each the
// version that [Store.Pattern] gives where none is asked for.
func (s *Store) Patterns(ctx context.Context, server string) ([]Pattern, error) {
	return readOne(ctx, s, "list patterns", func(t tx) ([]Pattern, error) {
		rows, err := t.Query(`SELECT `+patternHead+` FROM (
				SELECT *, row_number() OVER (PARTITION BY name_key ORDER BY `+bestFirst+`) AS place
				FROM patterns WHERE server = ?1) AS ranked
			WHERE place = 1 ORDER BY name_key`, server)
		return collect(rows, err, scanPattern)
	})
}

// PatternVersions lists all versions of one pattern without texts, newest
// first; none if the name is unknown.
func (s *Store) PatternVersions(ctx context.Context, server, name string) ([]Pattern, error) {
	return readOne(ctx, s, "list versions", func(t tx) ([]Pattern, error) {
		rows, err := t.Query(`SELECT `+patternHead+` FROM patterns
			WHERE server = ?1 AND name_key = ?2 ORDER BY added_at DESC, id DESC`, server, nameKey(name))
		return collect(rows, err, scanPattern)
	})
}

const (
	patternFields = `id, server, name, version, title, author, licence, format, draft, added_by, added_at, `
	patternHead   = patternFields + `''`   // without the text
	patternWhole  = patternFields + `text` // in the order of scanPattern
	bestFirst     = `draft, added_at DESC, id DESC`
)

func pattern(t tx, server, name, version string) (Pattern, error) {
	p, err := scanPattern(t.QueryRow(`SELECT `+patternWhole+` FROM patterns
		WHERE server = ?1 AND name_key = ?2 AND ?3 IN ('', version) ORDER BY `+bestFirst+` LIMIT 1`,
		server, nameKey(name), version))
	return found(p, err, "%s", versionOf(name, version))
}

func versionOf(name, version string) string {
	if version == "" {
		return fmt.Sprintf("pattern %q", name)
	}
	return fmt.Sprintf("pattern %q, version %q", name, version)
}

func scanPattern(row scanner) (p Pattern, err error) {
	var added int64
	err = row.Scan(&p.ID, &p.Server, &p.Name, &p.Version, &p.Title, &p.Author, &p.Licence, &p.Format,
		&p.Draft, &p.AddedBy, &added, &p.Text)
	p.AddedAt = moment(added)
	return p, err
}

func addPattern(t tx, member string, p Pattern) (change[Pattern], error) {
	c := change[Pattern]{subject: p.Server + "/" + nameKey(p.Name) + "/" + p.Version}
	if p.Version == "" {
		return c, fmt.Errorf("no version is named: %w", ErrInvalid)
	}
	switch old, err := pattern(t, p.Server, p.Name, p.Version); {
	case errors.Is(err, ErrNotFound):
		err := atMost(MaxPatterns, "patterns", t.QueryRow(`SELECT count(*) FROM patterns WHERE server = ?1`, p.Server))
		if err != nil {
			return c, err
		}
	case err != nil:
		return c, err
	case !old.Draft:
		return c, fmt.Errorf("%s: %w", versionOf(p.Name, p.Version), ErrConflict)
	default:
		old.Text = ""
		c.before = &old
	}
	after, err := scanPattern(t.QueryRow(`INSERT INTO patterns
			(server, name, name_key, version, title, author, licence, format, text, draft, added_by, added_at)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)
		ON CONFLICT (server, name_key, version) DO UPDATE SET name = ?2, title = ?5, author = ?6, licence = ?7,
			format = ?8, text = ?9, draft = ?10, added_by = ?11, added_at = ?12
		RETURNING `+patternHead, p.Server, p.Name, nameKey(p.Name), p.Version, p.Title, p.Author, p.Licence,
		p.Format, p.Text, p.Draft, member, t.now.UnixMilli()))
	c.after = &after
	return c, err
}

func removePattern(t tx, server, name, version string) (change[[]Pattern], error) {
	rows, err := t.Query(`DELETE FROM patterns WHERE server = ?1 AND name_key = ?2 AND ?3 IN ('', version)
		RETURNING `+patternHead, server, nameKey(name), version)
	removed, err := collect(rows, err, scanPattern)
	if err == nil && len(removed) == 0 {
		err = fmt.Errorf("%s: %w", versionOf(name, version), ErrNotFound)
	}
	return change[[]Pattern]{subject: server + "/" + nameKey(name), before: &removed}, err
}
