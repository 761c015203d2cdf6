// Package commands holds everything a member can ask: one file a command
// family, each command declared once. From a declaration come the slash
// command sent to the service, option checking, help, the practice room's
// reading and completion, and the README's command table.
//
// No handler knows the chat service: it takes a Request and returns a
// reply.Reply.
package commands

import (
	"context"
	"strings"

	"countwright/commands/reply"
)

// Audience says who may use a command.
type Audience uint8

// The audiences.
const (
	Everyone Audience = iota
	Hosts             // the roles that the server's configuration names, or who may manage events
)

// Command is one command or, with Sub, a family of commands.
type Command struct {
	Name     string   // lower case, a plain word of the trade
	Short    string   // one line, 1–100 characters
	Long     string   // a paragraph for help; may be empty
	Want     string   // what a person wants who needs it, after "I want to": "know my own gauge"
	From     string   // the level from which on help lists it: beginner (empty), maker or host
	Options  []Option // required ones first
	Examples []string // whole lines that work as they stand: help text and tests at once
	For      Audience
	Slow     bool // may take longer than a second: the chat surface defers it
	Private  bool // answers only the asker, whatever the reply says (a deferral fixes this before the reply is known)
	Run      func(context.Context, Request) (reply.Reply, error)
	Sub      []*Command // a family's commands; a family itself cannot run

	family string
}

// Path is the command's full name without the slash: "even shape".
func (c *Command) Path() string {
	return strings.TrimSpace(c.family + " " + c.Name)
}

// Option finds an option's declaration by its name.
func (c *Command) Option(name string) (Option, bool) {
	for _, o := range c.Options {
		if o.Spec().Name == name {
			return o, true
		}
	}
	return nil, false
}
