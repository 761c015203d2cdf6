package measure

import "fmt"

// ParseError says where a text stops being a length, weight or number, and
// why.
type ParseError struct {
	Text    string // what was read
	Column  int    // the place, in characters from 1
	Reason  string // what is wrong there, with verbs of fmt where Values go
	Values  []any
	Example string // a text that works
}

func (e *ParseError) Error() string {
	return fmt.Sprintf("%q, column %d: %s; for example %s", e.Text, e.Column, fmt.Sprintf(e.Reason, e.Values...), e.Example)
}

// RangeError says that a length lies outside its limits.
type RangeError struct {
	What      string // the thing measured: "chest"
	Length    Length // as given
	Low, High Length // the limits, both allowed
}

func (e *RangeError) Error() string { return e.In(Centimetres) }

// In is the error's text in a member's unit.
func (e *RangeError) In(u Unit) string {
	return fmt.Sprintf("%s of %s is outside %s to %s", e.What, e.Length.Text(u), e.Low.Text(u), e.High.Text(u))
}
