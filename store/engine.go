package store

import (
	"context"
	"database/sql"
	"strings"
)

// engine is what the databases that can hold a Store differ in. Statements and
// schema steps are written once, in the words of SQLite; an engine rephrases
// what it has other words for.
type engine struct {
	writers int            // how many groups of writes may be under way at once
	write   *sql.TxOptions // of a write
	read    *sql.TxOptions // of a read: one moment of the database
	// say rephrases a statement, ddl a step of the schema.
	say, ddl func(string) string
	// tables is a query for the names of the tables that there are.
	tables string
	// hold ends a query for rows that other writes may not change, nor hold, until
	// this one is done; skip leaves out those of m that others hold. "" where
	// writes do not overlap.
	hold, skip string
	// again tells an error that another try may not meet: two writes at the same
	// time that were in each other's way. nil: there are none.
	again func(error) bool
	// size is a query for the bytes that a database takes; "" where it is a file.
	size string
	// check reads what can be checked of the data.
	check func(context.Context, *sql.DB) error
	// numbered makes a table, into which rows were copied with their numbers, give
	// out higher ones from then on; "" where it does so by itself.
	numbered string
}

// Networked reports whether a database's place is the address of a server, as
// against a file.
func Networked(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://")
}

// Exec is database/sql's, in the engine's words.
func (t tx) Exec(query string, args ...any) (sql.Result, error) {
	return t.Tx.Exec(t.engine.say(query), t.values(args)...)
}

// Query is database/sql's, in the engine's words.
func (t tx) Query(query string, args ...any) (*sql.Rows, error) {
	return t.Tx.Query(t.engine.say(query), t.values(args)...)
}

// QueryRow is database/sql's, in the engine's words.
func (t tx) QueryRow(query string, args ...any) *sql.Row {
	return t.Tx.QueryRow(t.engine.say(query), t.values(args)...)
}

// values are arguments as tables keep them: yes and no are 1 and 0.
func (t tx) values(args []any) []any {
	for i, a := range args {
		if yes, ok := a.(bool); ok {
			args[i] = 0
			if yes {
				args[i] = 1
			}
		}
	}
	return args
}

// hold keeps rows, found by what must be true of them, from other writes that
// hold them, until this one is done. A row that is not there can't be held.
func (t tx) hold(table, where string, args ...any) error {
	if t.engine.hold == "" {
		return nil
	}
	_, err := t.Exec(`SELECT 1 FROM `+table+` WHERE `+where+t.engine.hold, args...)
	return err
}

// own makes this the only write that changes what belongs to a member.
func (t tx) own(member string) error { return t.hold("members", "id = ?1", member) }
