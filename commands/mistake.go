package commands

import (
	"context"
	"errors"
	"fmt"

	"countwright/commands/reply"
)

// Mistake is an error that the member can mend.
type Mistake struct {
	Option  string // which option; empty: the line as a whole
	Message string // what was wrong and what is allowed
	Example string // an option or a whole line that works
	Parts   []reply.Block
}

func (m *Mistake) Error() string {
	if m.Option == "" {
		return m.Message
	}
	return m.Option + ": " + m.Message
}

// Mistaken makes a Mistake about the line as a whole.
func Mistaken(example, format string, args ...any) error {
	return &Mistake{Message: fmt.Sprintf(format, args...), Example: example}
}

// Refusal is an error that no other wording would mend: not now, not here, not
// for this member.
type Refusal struct {
	Message string // what can't be, and what is possible instead
}

func (r *Refusal) Error() string { return r.Message }

// Refused makes a Refusal.
func Refused(format string, args ...any) error {
	return &Refusal{Message: fmt.Sprintf(format, args...)}
}

// Fault is an error of ours: the member is told kindly, with a reference that
// the log line bears too.
type Fault struct {
	Reference string
	Err       error
}

func (f *Fault) Error() string { return f.Reference + ": " + f.Err.Error() }
func (f *Fault) Unwrap() error { return f.Err }

// answer turns an error into the reply that tells it. It is the one place that
// decides what kind an error is.
func answer(c *Command, reference string, err error) (reply.Reply, *Fault) {
	var mistake *Mistake
	var refusal *Refusal
	switch {
	case errors.As(err, &mistake):
		example := mistake.Example
		if example == "" && c != nil && len(c.Examples) > 0 {
			example = c.Examples[0]
		}
		return reply.Mistaken(mistake.Option, mistake.Message, example, mistake.Parts...), nil
	case errors.As(err, &refusal):
		return reply.Refused(refusal.Message), nil
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return reply.Refused("That took longer than I may take. Try a smaller piece, or try again in a minute."), nil
	}
	return reply.Refused("Something went wrong on my side, not yours. Nothing was changed. If it happens again, tell your host this reference: " + reference + "."),
		&Fault{Reference: reference, Err: err}
}
