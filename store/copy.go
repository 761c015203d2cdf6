package store

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"
	"regexp"
	"strings"
)

// Copied is how many rows of a table were copied.
type Copied struct {
	Table string
	Rows  int
}

// Copy copies everything in from, as of one moment, into to, which must be
// empty; the two may be of different engines. It is one transaction: what
// fails leaves to empty. Rows keep their numbers. At the end each table's rows
// are counted on both sides, and a difference is an error.
//
// What to gives back is only as good as nobody writing to from afterwards.
func Copy(ctx context.Context, from, to *Store) ([]Copied, error) {
	const doing = "copy database"
	tables, err := tablesInOrder()
	if err != nil {
		return nil, explain(doing, err)
	}
	var done []Copied
	err = from.read(ctx, "read all", func(source tx) error {
		return to.write(ctx, doing, func(target tx) (err error) {
			done, err = copyTables(ctx, source, target, tables)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	return done, nil
}

// table is a table of the schema.
type table struct {
	name     string
	numbered bool // it numbers its rows itself
}

var created = regexp.MustCompile(`(?m)^CREATE TABLE (\w+) \(\s+(?:\w+ +INTEGER PRIMARY KEY (AUTOINCREMENT))?`)

// tablesInOrder are all tables, those that are referred to before those that
// refer to them: the order in which the schema makes them.
func tablesInOrder() (tables []table, err error) {
	steps, err := fs.Glob(schema, "schema/*.sql")
	if err != nil {
		return nil, err
	}
	for _, step := range steps {
		text, err := fs.ReadFile(schema, step)
		if err != nil {
			return nil, err
		}
		for _, m := range created.FindAllSubmatch(text, -1) {
			tables = append(tables, table{string(m[1]), len(m[2]) > 0})
		}
	}
	return tables, nil
}

func copyTables(ctx context.Context, from, to tx, tables []table) (done []Copied, err error) {
	for _, table := range tables {
		switch n, err := countRows(to, table.name); {
		case err != nil:
			return nil, err
		case n > 0:
			return nil, fmt.Errorf("%d rows in %s, but only an empty database is copied into: %w", n, table.name, ErrConflict)
		}
	}
	for _, table := range tables {
		n, err := copyTable(ctx, from, to, table)
		if err != nil {
			return nil, fmt.Errorf("table %s: %w", table.name, err)
		}
		done = append(done, Copied{Table: table.name, Rows: n})
	}
	for _, c := range done {
		before, err := countRows(from, c.Table)
		if err != nil {
			return nil, err
		}
		after, err := countRows(to, c.Table)
		if err != nil {
			return nil, err
		}
		if before != c.Rows || after != c.Rows {
			return nil, fmt.Errorf("table %s: %d rows there, %d copied, %d here", c.Table, before, c.Rows, after)
		}
	}
	return done, nil
}

func countRows(t tx, table string) (n int, err error) {
	return n, t.QueryRow(`SELECT count(*) FROM ` + table).Scan(&n)
}

// mostValues is how many values one statement takes: below what either engine
// allows (32,766 and 65,535).
const mostValues = 6000

func copyTable(ctx context.Context, from, to tx, table table) (n int, err error) {
	rows, err := from.Query(`SELECT * FROM ` + table.name)
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return 0, err
	}
	full := mostValues / len(columns) * len(columns)
	values := make([]any, 0, full)
	for rows.Next() {
		if err := ctx.Err(); err != nil {
			return n, err
		}
		row, err := scanRow(rows, len(columns))
		if err != nil {
			return n, err
		}
		n++
		if values = append(values, row...); len(values) == full {
			if err := insertRows(to, table.name, columns, values); err != nil {
				return n, err
			}
			values = values[:0]
		}
	}
	if err := rows.Err(); err != nil {
		return n, err
	}
	if err := insertRows(to, table.name, columns, values); err != nil {
		return n, err
	}
	if to.engine.numbered != "" && table.numbered {
		_, err = to.Exec(fmt.Sprintf(to.engine.numbered, table.name))
	}
	return n, err
}

func scanRow(rows *sql.Rows, columns int) ([]any, error) {
	row, into := make([]any, columns), make([]any, columns)
	for i := range row {
		into[i] = &row[i]
	}
	if err := rows.Scan(into...); err != nil {
		return nil, err
	}
	for i, v := range row {
		if text, ok := v.([]byte); ok { // there are no columns of bytes
			row[i] = string(text)
		}
	}
	return row, nil
}

func insertRows(t tx, table string, columns []string, values []any) error {
	if len(values) == 0 {
		return nil
	}
	var text strings.Builder
	fmt.Fprintf(&text, "INSERT INTO %s (%s) VALUES ", table, strings.Join(columns, ", "))
	for i := range values {
		switch {
		case i%len(columns) > 0:
			text.WriteString(", ")
		case i > 0:
			text.WriteString("), (")
		default:
			text.WriteString("(")
		}
		fmt.Fprintf(&text, "?%d", i+1)
	}
	text.WriteString(")")
	_, err := t.Exec(text.String(), values...)
	return err
}
