package commands

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"slices"
	"sort"
	"strings"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// Set is all commands, ready to answer calls. It is safe for concurrent use.
type Set struct {
	Commands []*Command // families and single commands, in the order of help
	services Services
	log      *slog.Logger
	byPath   map[string]*Command
}

// All returns every command of Countwright: the one visible list.
func All(s Services, log *slog.Logger) *Set {
	return newSet(s, log, families(s)...)
}

// Of returns a set of the given commands in place of Countwright's own, with
// which a surface can be tried.
func Of(s Services, log *slog.Logger, list ...*Command) *Set { return newSet(s, log, list...) }

func newSet(s Services, log *slog.Logger, list ...*Command) *Set {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	set := &Set{Commands: list, services: s, log: log, byPath: map[string]*Command{}}
	for _, c := range list {
		for _, sub := range c.Sub {
			sub.family = c.Name
			set.byPath[sub.Path()] = sub
		}
		if len(c.Sub) == 0 {
			set.byPath[c.Path()] = c
		}
	}
	return set
}

// Lookup finds a command that can run by its path, "even shape".
func (s *Set) Lookup(path string) (*Command, bool) {
	c, ok := s.byPath[path]
	return c, ok
}

// Paths are the full names of all commands that can run, sorted.
func (s *Set) Paths() []string {
	paths := make([]string, 0, len(s.byPath))
	for p := range s.byPath {
		paths = append(paths, p)
	}
	sort.Strings(paths)
	return paths
}

// Run answers a call. It never fails: a member's mistake, a refusal and a
// fault of ours are replies too, and a fault is logged once, here.
func (s *Set) Run(ctx context.Context, call Call) (r reply.Reply) {
	call = call.legible()
	command, ok := s.byPath[call.Path]
	said := call.printer(Settings{})
	defer func() {
		if p := recover(); p != nil {
			r = s.fail(said, command, call, fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
		}
		r.Command = call.Path
	}()
	settings, err := s.services.settings(ctx, call.Member)
	if err != nil {
		return s.fail(said, command, call, fmt.Errorf("read settings: %w", err))
	}
	said = call.printer(settings)
	if !ok {
		return s.fail(said, nil, call, s.unknown(call.Path))
	}
	request, err := readCall(command, call, settings)
	if err != nil {
		return s.fail(said, command, call, err)
	}
	if err := s.allowed(request); err != nil {
		return s.fail(said, command, call, err)
	}
	r, err = command.Run(ctx, request)
	if err != nil {
		return s.fail(said, command, call, err)
	}
	if command.Private {
		r.Private = true
	}
	return s.finished(said, command, r)
}

// Complete offers values for an option while the member types: its choices or
// suggestions, at most 25. It never fails; in doubt it offers nothing.
func (s *Set) Complete(ctx context.Context, call Call, option, typed string) []Choice {
	call, typed = call.legible(), legible(typed)
	command, ok := s.byPath[call.Path]
	if !ok {
		return nil
	}
	o, ok := command.Option(option)
	if !ok {
		return nil
	}
	spec := o.Spec()
	var offers []Choice
	if spec.Suggest != nil {
		settings, err := s.services.settings(ctx, call.Member)
		if err != nil {
			return nil
		}
		offers = spec.Suggest(ctx, Request{Call: call, Printer: call.printer(settings), Settings: settings, command: command, values: s.readable(command, call, settings)}, typed)
	} else {
		for _, c := range spec.Choices {
			if strings.HasPrefix(strings.ToLower(c.Label), strings.ToLower(typed)) {
				offers = append(offers, c)
			}
		}
	}
	if len(offers) > 25 {
		offers = offers[:25]
	}
	return offers
}

// readable reads what can be read of a line that is still being typed.
func (s *Set) readable(c *Command, call Call, settings Settings) map[string]any {
	values := map[string]any{}
	for _, o := range c.Options {
		if in, given := call.Inputs[o.Spec().Name]; given {
			if v, err := o.read(in, settings); err == nil {
				values[o.Spec().Name] = v
			}
		}
	}
	return values
}

// readCall reads the options of a call.
func readCall(c *Command, call Call, settings Settings) (Request, error) {
	r := Request{Call: call, Printer: call.printer(settings), Settings: settings, command: c, values: map[string]any{}}
	for name := range call.Inputs {
		if _, ok := c.Option(name); !ok {
			return r, unknownOption(r.Printer, c, name)
		}
	}
	for _, o := range c.Options {
		spec := o.Spec()
		in, given := call.Inputs[spec.Name]
		if !given {
			if spec.Required {
				return r, &Mistake{Option: spec.Name, Message: "it is missing: %s", Args: []any{words.Inner(spec.Short)}}
			}
			continue
		}
		v, err := o.read(in, settings)
		if err != nil {
			var m *Mistake
			if errors.As(err, &m) {
				return r, err
			}
			return r, &Mistake{Option: spec.Name, Message: "%s", Args: []any{err}, Example: spec.Name + ":" + spec.Example}
		}
		r.values[spec.Name] = v
	}
	return r, nil
}

func (s *Set) allowed(r Request) error {
	if r.command.For != Hosts {
		return nil
	}
	if r.Server == "" {
		return Refused("/%s is for a server's hosts; use it in the server it is meant for.", r.command.Path())
	}
	if !r.Host {
		return Refused("/%s is for this server's hosts. Ask one of them.", r.command.Path())
	}
	return nil
}

func (s *Set) fail(said words.Printer, c *Command, call Call, err error) reply.Reply {
	r, fault := answer(said, c, call.Reference(), err)
	if fault != nil {
		s.log.Error("command failed", "reference", fault.Reference, "command", call.Path, "error", fault.Err)
	}
	return s.finished(said, c, r)
}

// unknown says that there is no such command, with an example of the nearest.
func (s *Set) unknown(path string) error {
	names := s.Paths()
	for _, c := range s.Commands {
		names = append(names, c.Name)
	}
	near := nearest(path, names)
	for _, c := range runnable(s.Commands) {
		if near != "" && (c.Path() == near || c.family == near) && len(c.Examples) > 0 {
			return Mistaken(c.Examples[0], "there is no command /%s; the nearest is /%s", path, near)
		}
	}
	return Mistaken("/help", "there is no command /%s", path)
}

// unknownOption says what the options are, by the names that the reader knows.
func unknownOption(said words.Printer, c *Command, name string) error {
	names := make([]string, 0, len(c.Options))
	for _, o := range c.Options {
		names = append(names, c.OptionIn(said, o.Spec().Name))
	}
	slices.Sort(names)
	m := &Mistake{Option: name}
	near := nearest(strings.ToLower(name), names)
	switch {
	case len(names) == 0:
		m.say("/%s takes no options", c.Path())
	case near != "":
		m.say("/%s has no option %q; did you mean %s? It takes %s", c.Path(), name, near, strings.Join(names, ", "))
	default:
		m.say("/%s has no option %q; it takes %s", c.Path(), name, strings.Join(names, ", "))
	}
	return m
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// Fail turns an error that a surface met before it could run a command into
// the reply that tells it, as Run does.
func (s *Set) Fail(path string, call Call, err error) reply.Reply {
	settings, failed := s.services.settings(context.Background(), call.Member)
	if failed != nil {
		settings = Settings{} // the mistake is told all the same
	}
	r := s.fail(call.printer(settings), s.byPath[path], call, err)
	r.Command = path
	return r
}
