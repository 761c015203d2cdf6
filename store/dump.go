package store

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
)

// Dump writes everything that is kept as of one moment, a JSON object a row:
// {"table": "swatches", "row": {"id": 1, …}}. Tables come in an order in which
// what others refer to comes first; times are milliseconds since 1970, UTC.
func (s *Store) Dump(ctx context.Context, out io.Writer) error {
	return s.read(ctx, "dump database", func(t tx) error {
		tables, err := tablesInOrder()
		if err != nil {
			return err
		}
		encoder := json.NewEncoder(out)
		for _, table := range tables {
			if err := dumpTable(t, table.name, encoder); err != nil {
				return fmt.Errorf("table %s: %w", table.name, err)
			}
		}
		return nil
	})
}

func dumpTable(t tx, name string, out *json.Encoder) error {
	rows, err := t.Query(`SELECT * FROM "` + name + `"`) // a name of our own schema
	if err != nil {
		return err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	for rows.Next() {
		values, places := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			places[i] = &values[i]
		}
		if err := rows.Scan(places...); err != nil {
			return err
		}
		row := make(map[string]any, len(columns))
		for i, c := range columns {
			if text, ok := values[i].([]byte); ok {
				values[i] = string(text)
			}
			row[c] = values[i]
		}
		if err := out.Encode(map[string]any{"table": name, "row": row}); err != nil {
			return err
		}
	}
	return rows.Err()
}
