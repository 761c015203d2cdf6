package chat

import (
	"context"
	"fmt"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// take takes an interaction, from wherever it came, and answers it. It is the
// one wrapper that bounds how many are answered at once, and catches panics:
// the library does neither.
func (s *Service) take(a ask, unread error) {
	if a.Interaction == nil {
		s.measures.interaction("unreadable")
		s.log.Warn("interaction not answered", "error", unread)
		return
	}
	defer func() {
		if p := recover(); p != nil {
			s.log.Error("panic while answering", "reference", a.reference(), "error", fmt.Errorf("%v\n%s", p, debug.Stack()))
			s.decline(a, "Something went wrong on my side, not yours. If it happens again, tell your host this reference: %s.", a.reference())
		}
	}()
	switch {
	case !s.recent.first(a.ID, a.came):
		s.measures.interaction("twice")
		s.log.Debug("interaction delivered twice", "reference", a.reference())
		return
	case a.replayed && s.age(a) > tooOld:
		// The member was told that it failed, and asks again: done now, it would
		// be done twice.
		s.measures.interaction("stale")
		s.log.Info("interaction came too late to be answered", "reference", a.reference(), "age", s.age(a))
		return
	}
	if unread == nil {
		if said := s.pace.tooFast(a, a.came); said != nil {
			s.measures.interaction("too fast")
			s.decline(a, said.Key, said.Args...)
			return
		}
	}
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	default:
		s.measures.interaction("busy")
		s.decline(a, "I am busy just now. Please try again in a moment.")
		return
	}
	if unread != nil {
		s.measures.interaction("undecoded")
		s.log.Warn("interaction not understood", "reference", a.reference(), "error", unread, "type", a.Type)
		s.decline(a, "I can't read that. Please use the command again.")
		return
	}
	s.measures.interaction("taken")
	s.answer(a)
}

// tooOld is the age at which an interaction is no longer answered: the service
// waits three seconds, and its clock is known to a second and a half.
const tooOld = 4500 * time.Millisecond

// age is how long ago a member asked, by the service's clock; 0 while that is
// not known.
func (s *Service) age(a ask) time.Duration {
	asked, err := discordgo.SnowflakeTimestamp(a.ID)
	ahead, known := s.meter.ahead()
	if err != nil || !known {
		return 0
	}
	return a.came.Add(-ahead).Sub(asked)
}

// decline answers at once, privately, with one sentence; suggestions are
// declined by offering none.
func (s *Service) decline(a ask, sentence words.Key, args ...any) {
	if a.Type == discordgo.InteractionApplicationCommandAutocomplete {
		s.suggest(a, nil, false)
		return
	}
	s.respond(a, manner{private: true}, func(context.Context) reply.Reply { return reply.Refused(a.words(), sentence, args...) })
}

// answer finds out what an interaction asks for and answers it.
func (s *Service) answer(a ask) {
	call := s.call(a)
	switch d := a.Data.(type) {
	case discordgo.ApplicationCommandInteractionData:
		focused, typed := s.fill(&call, d)
		if a.Type == discordgo.InteractionApplicationCommandAutocomplete {
			ctx, cancel := context.WithTimeout(s.work, s.timing.complete-time.Since(a.came))
			defer cancel()
			s.suggest(a, s.options.Set.Complete(ctx, call, focused, typed), focusedWhole(d))
			return
		}
		s.run(a, call)
	case discordgo.MessageComponentInteractionData:
		id := d.CustomID
		if len(d.Values) > 0 {
			id = d.Values[0]
		}
		s.runLine(a, call, id)
	case discordgo.ModalSubmitInteractionData:
		call.Inputs = fields(d)
		s.runLine(a, call, d.CustomID)
	}
}

func (s *Service) run(a ask, call commands.Call) {
	how := manner{reopen: func() string { return commands.Line(call.Path, call.Inputs) }}
	if c, ok := s.options.Set.Lookup(call.Path); ok {
		how.slow, how.private = c.Slow, c.Private
	}
	if a.Message != nil && a.Message.Flags&discordgo.MessageFlagsEphemeral != 0 {
		how.private = true // tapped where only one member sees it: so she alone sees what comes
	}
	s.respond(a, how, func(ctx context.Context) reply.Reply { return s.options.Set.Run(ctx, call) })
}

// runLine runs the command line in a custom id. The inputs that the call has
// already, from a form, win over the line's.
func (s *Service) runLine(a ask, call commands.Call, id string) {
	line, ours := customLine(id)
	path, inputs, err := commands.ParseLine(line, s.options.Set)
	if !ours || err != nil {
		s.decline(a, "That button is from an earlier time and no longer works. Please use the command itself; /help lists them all.")
		return
	}
	for name, in := range call.Inputs {
		inputs[name] = in
	}
	call.Path, call.Inputs = path, inputs
	s.run(a, call)
}

// suggest answers what is offered while a member types. An empty list must be
// there as such; those for a whole number must be numbers.
func (s *Service) suggest(a ask, offers []commands.Choice, whole bool) {
	type offer struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
	}
	list := struct {
		Choices []offer `json:"choices"`
	}{[]offer{}}
	for _, o := range offers {
		name := cut(single(o.Label), mostChoiceLabel)
		if name == "" || o.Value == "" || length(o.Value) > mostChoiceLabel || len(list.Choices) == mostChoices {
			continue
		}
		if n, err := strconv.ParseInt(o.Value, 10, 53); !whole {
			list.Choices = append(list.Choices, offer{name, o.Value})
		} else if err == nil {
			list.Choices = append(list.Choices, offer{name, n})
		}
	}
	if err := s.callback(a, answerSuggestions, list); err != nil {
		s.log.Debug("suggestions not sent", "reference", a.reference(), "error", err) // the member typed on, mostly
	}
}
