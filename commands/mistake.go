package commands

import (
	"context"
	"errors"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// Mistake is an error that the member can mend.
type Mistake struct {
	Option  string    // which option; empty: the line as a whole
	Message words.Key // what was wrong and what is allowed
	Args    []any     // the message's values
	Example string    // an option or a whole line that works
	Parts   []reply.Block
}

// Error is the mistake in English.
func (m *Mistake) Error() string {
	if m.Option == "" {
		return m.said().String()
	}
	return m.Option + ": " + m.said().String()
}

func (m *Mistake) said() words.Message { return words.Say(m.Message, allInWords(m.Args)...) }

// say replaces what was wrong.
func (m *Mistake) say(message words.Key, args ...any) { m.Message, m.Args = message, args }

// Mistaken makes a Mistake about the line as a whole.
func Mistaken(example string, message words.Key, args ...any) error {
	return &Mistake{Message: message, Args: args, Example: example}
}

// Refusal is an error that no other wording would mend: not now, not here, not
// for this member.
type Refusal struct {
	Message words.Key // what can't be, and what is possible instead
	Args    []any     // the message's values
}

// Error is the refusal in English.
func (r *Refusal) Error() string { return words.Say(r.Message, r.Args...).String() }

// Refused makes a Refusal.
func Refused(message words.Key, args ...any) error {
	return &Refusal{Message: message, Args: args}
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
func answer(p words.Printer, c *Command, reference string, err error) (reply.Reply, *Fault) {
	var mistake *Mistake
	var refusal *Refusal
	switch {
	case errors.As(err, &mistake):
		example := mistake.Example
		if example == "" && c != nil && len(c.Examples) > 0 {
			example = c.Examples[0]
		}
		return reply.Mistaken(p, mistake.Option, mistake.said(), example, mistake.Parts...), nil
	case errors.As(err, &refusal):
		return reply.Refused(p, refusal.Message, refusal.Args...), nil
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		r := reply.Refused(p, "That took longer than I may take. Try a smaller piece, or try again in a minute.")
		r.Error.Kind = reply.Late
		return r, nil
	}
	r := reply.Refused(p, "Something went wrong on my side, not yours. Nothing was changed. If it happens again, tell your host this reference: %s.", reference)
	r.Error.Kind = reply.Fault
	return r, &Fault{Reference: reference, Err: err}
}
