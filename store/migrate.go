package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"time"
)

//go:embed schema/*.sql
var schema embed.FS

// migrate applies the steps that the database lacks, all in one transaction:
// either it is up to date afterwards or it is as it was. Starts at the same
// time wait for each other, and the first one applies. Where nothing is
// lacking it takes no lock.
func migrate(ctx context.Context, db *sql.DB, e *engine, files fs.FS, now time.Time) error {
	steps, err := fs.Glob(files, "schema/*.sql")
	if err != nil {
		return err
	}
	version, err := schemaVersion(db, e)
	if err != nil || version == len(steps) {
		return err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if version, err = schemaVersion(tx, e); err != nil {
		return err
	}
	if err := refuseNewer(version, len(steps)); err != nil {
		return err
	}
	for i, file := range steps[version:] {
		if err := applyStep(tx, e, files, file, version+i+1, now); err != nil {
			return fmt.Errorf("schema step %s: %w", path.Base(file), err)
		}
	}
	return tx.Commit()
}

// schemaVersion is the number of the newest step in the database that db, or
// a transaction, reads; 0 in an empty one.
func schemaVersion(db interface {
	QueryRow(string, ...any) *sql.Row
}, e *engine) (version int, err error) {
	var ours, tables int
	if err := db.QueryRow(`SELECT count(*) FILTER (WHERE name = 'schema_version'), count(*)
		FROM (`+e.tables+`) AS there`).Scan(&ours, &tables); err != nil {
		return 0, err
	}
	switch {
	case ours > 0:
		err = db.QueryRow(`SELECT coalesce(max(version), 0) FROM schema_version`).Scan(&version)
	case tables > 0:
		err = ErrForeign
	}
	return version, err
}

func refuseNewer(version, known int) error {
	if version > known {
		return fmt.Errorf("%w: its schema is number %d, this program knows %d", ErrNewer, version, known)
	}
	return nil
}

func applyStep(tx *sql.Tx, e *engine, files fs.FS, file string, version int, now time.Time) error {
	number, _, _ := strings.Cut(path.Base(file), "_")
	if n, err := strconv.Atoi(number); err != nil || n != version {
		return fmt.Errorf("the file should be number %d", version)
	}
	text, err := fs.ReadFile(files, file)
	if err != nil {
		return err
	}
	if _, err := tx.Exec(e.ddl(`CREATE TABLE IF NOT EXISTS schema_version
		(version INTEGER PRIMARY KEY, applied_at INTEGER NOT NULL) STRICT`)); err != nil {
		return err
	}
	if _, err := tx.Exec(e.ddl(string(text))); err != nil {
		return err
	}
	_, err = tx.Exec(e.say(`INSERT INTO schema_version (version, applied_at) VALUES (?1, ?2)`), version, now.UnixMilli())
	return err
}
