package regauge

import (
	"fmt"
	"strings"

	"countwright/calc/fabric"
)

// FaultError says that a pattern does not hold as it stands.
type FaultError struct{ Findings []fabric.Finding }

func (e *FaultError) Error() string {
	return "the pattern does not hold: " + e.Findings[0].Message
}

// SizeError says that a pattern has no such size.
type SizeError struct{ Size, Sizes int }

func (e *SizeError) Error() string {
	return fmt.Sprintf("size %d of a pattern with %d", e.Size+1, e.Sizes)
}

// NothingError says that no piece of a pattern could be made anew.
type NothingError struct{ Left []Left }

func (e *NothingError) Error() string {
	if len(e.Left) == 0 {
		return "the pattern has no rows"
	}
	why := make([]string, len(e.Left))
	for i, l := range e.Left {
		why[i] = l.String()
	}
	return "no piece can be made at another gauge: " + strings.Join(why, "; ")
}

// String says which rows and why: "Front, Rows 7–12: each row differs from the
// others".
func (l Left) String() string {
	where := l.Piece
	switch {
	case where == "":
		where = l.Rows
	case l.Rows != "":
		where += ", " + l.Rows
	}
	if where == "" {
		return l.Why
	}
	return where + ": " + l.Why
}

// ProofError says that a pattern made anew does not come to its own counts: a
// fault of this package, never of the asker.
type ProofError struct {
	Row, Wrong string
	piece      int // from 0; -1: none in particular
}

func (e *ProofError) Error() string {
	return fmt.Sprintf("prove the rows made anew: %s: %s", e.Row, e.Wrong)
}
