package sizing

import (
	"fmt"
	"strings"

	"countwright/calc/measure"
)

// NameError says that a table, size, measure or ease has no such name.
type NameError struct {
	What  string // "table", "size", "measure", "ease" or "blanket"
	Name  string // as given
	Known []string
}

func unknown(what, name string, known []string) error {
	return &NameError{What: what, Name: name, Known: known}
}

func (e *NameError) Error() string {
	return fmt.Sprintf("no %s is called %q; there are %s", e.What, e.Name, strings.Join(e.Known, ", "))
}

// NeedError says that a body can't be completed, for none of the measures
// that the table knows is given.
type NeedError struct {
	Table *Table
}

func (e *NeedError) Error() string {
	return fmt.Sprintf("the %s is needed to fill in from the table %q", e.Table.Key, e.Table.Name)
}

// OutsideError says that a body lies too far outside a table to guess from it.
type OutsideError struct {
	Table     *Table
	Measure   Measure
	Length    measure.Length
	Low, High measure.Length // what the table can be stretched to
}

func (e *OutsideError) Error() string {
	return fmt.Sprintf("%s of %v is too far outside the table %q, which serves %v to %v",
		e.Measure, e.Length, e.Table.Name, e.Low, e.High)
}
