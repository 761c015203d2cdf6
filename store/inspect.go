package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// Finding is what [Inspect] finds.
type Finding struct {
	Bytes   int64
	Version int // of the database's schema
	Newest  int // that this program knows, and would bring it to
	Running []MakeAlong
}

// Inspect reads a whole database, in use or not, and changes nothing. It
// returns nil where there is no file yet. Make-alongs are read where the schema
// is the newest only.
func Inspect(ctx context.Context, path string) (*Finding, error) {
	f, err := inspectInUse(ctx, path)
	if err != nil {
		return nil, explain(fmt.Sprintf("inspect database %q", path), err)
	}
	return f, nil
}

func inspectInUse(ctx context.Context, path string) (*Finding, error) {
	f, driver, place, e := &Finding{}, "pgx", path, postgres
	if !Networked(path) {
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		f.Bytes = info.Size()
		driver, place, e = "sqlite3", dsn(path, "mode=ro", "_query_only=on"), sqlite
	}
	db, err := sql.Open(driver, place)
	if err != nil {
		return nil, err
	}
	defer db.Close()
	if e == sqlite {
		err = checked(db.QueryRowContext(ctx, "PRAGMA integrity_check(1)"))
	} else if err = db.PingContext(ctx); err != nil {
		err = unreachable(err)
	}
	if err != nil {
		return nil, err
	}
	if f.Version, err = schemaVersion(db, e); err != nil {
		return nil, err
	}
	known, err := fs.Glob(schema, "schema/*.sql")
	if err != nil {
		return nil, err
	}
	f.Newest = len(known)
	if err := refuseNewer(f.Version, f.Newest); err != nil || f.Version != f.Newest {
		return f, err
	}
	rows, err := db.QueryContext(ctx, `SELECT id, server, channel, name FROM makealongs WHERE state = 'open' ORDER BY id`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var m MakeAlong
		if err := rows.Scan(&m.ID, &m.Server, &m.Channel, &m.Name); err != nil {
			return nil, err
		}
		f.Running = append(f.Running, m)
	}
	return f, rows.Err()
}
