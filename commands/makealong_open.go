package commands

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongFamily(s Services) *Command {
	return &Command{Name: "makealong", Short: "Make together: dates, milestones, a board, kind check-ins", Sub: []*Command{
		makealongList(s), makealongJoin(s), makealongBoard(s), makealongDates(s), makealongAnswer(s), makealongShare(s),
		makealongPause(s), makealongQuiet(s), makealongLeave(s), makealongMeasured(s),
		makealongCreate(s), makealongMilestone(s), makealongPublish(s), makealongChange(s), makealongAnswers(s), makealongTesters(s), makealongClose(s),
	}}
}

// makealongOption names one of the make-alongs that the member can see.
func makealongOption(s Services) *Opt[string] {
	return Words("makealong", "Which make-along; the one in this channel if not said", 60).Like("Harbour make-along").
		Suggest(func(ctx context.Context, r Request, typed string) []Choice {
			list, err := alongsSeen(ctx, s, r)
			if err != nil {
				return nil
			}
			var offers []Choice
			for _, m := range list {
				if strings.Contains(strings.ToLower(m.Name), strings.ToLower(strings.TrimSpace(typed))) {
					offers = append(offers, Choice{Label: clip(clip(m.Name, 60)+stateAside(r.Printer, m.State), 100), Value: m.Name})
				}
			}
			return offers
		})
}

// stateNames are the states in words.
var stateNames = map[MakeAlongState]words.Key{AlongDraft: "draft", AlongPaused: "paused", AlongClosed: "closed"}

// stateAside says in brackets that a make-along is not simply running.
func stateAside(p words.Printer, s MakeAlongState) string {
	switch s {
	case AlongOpen:
		return ""
	case AlongBlocked:
		return " " + p.Say("(its channel can't be written to)")
	}
	return " (" + p.Say(stateNames[s]) + ")"
}

// alongsSeen are the make-alongs that a member can see: those of the server, a
// draft only where she is a host; in a direct message those that she is in.
func alongsSeen(ctx context.Context, s Services, r Request) ([]MakeAlong, error) {
	if r.Server == "" {
		return alongsJoined(ctx, s, r)
	}
	list, err := s.MakeAlongs.List(ctx, r.Server)
	if err != nil {
		return nil, fmt.Errorf("list make-alongs: %w", err)
	}
	return slices.DeleteFunc(list, func(m MakeAlong) bool { return m.State == AlongDraft && !r.Host || m.neverOpened() }), nil
}

func alongsJoined(ctx context.Context, s Services, r Request) ([]MakeAlong, error) {
	parts, err := s.MakeAlongs.Joined(ctx, r.Member.ID)
	if err != nil {
		return nil, fmt.Errorf("list make-alongs joined: %w", err)
	}
	var going, closed []MakeAlong
	for _, p := range parts {
		m, ok, err := s.MakeAlongs.Along(ctx, p.Along)
		switch {
		case err != nil:
			return nil, fmt.Errorf("open make-along %d: %w", p.Along, err)
		case ok && m.State == AlongClosed:
			closed = append(closed, m)
		case ok:
			going = append(going, m)
		}
	}
	return append(going, closed...), nil
}

// openAlong opens the make-along that a line names, by its name or number;
// where it names none, the one in this channel, else the only one. Of several,
// it is the one that the member is in.
func openAlong(ctx context.Context, s Services, r Request, named *Opt[string]) (MakeAlong, error) {
	list, err := alongsSeen(ctx, s, r)
	if err != nil {
		return MakeAlong{}, err
	}
	if named.Given(r) {
		return alongNamed(ctx, s, r, named, list)
	}
	mine, err := s.MakeAlongs.Joined(ctx, r.Member.ID)
	if err != nil {
		return MakeAlong{}, fmt.Errorf("list make-alongs joined: %w", err)
	}
	return alongMeant(r, named, list, func(m MakeAlong) bool {
		return slices.ContainsFunc(mine, func(p Participant) bool { return p.Along == m.ID })
	})
}

// openHosted is openAlong for what only hosts do: which one they are in
// themselves says nothing of which one they mean.
func openHosted(ctx context.Context, s Services, r Request, named *Opt[string]) (MakeAlong, error) {
	list, err := alongsSeen(ctx, s, r)
	if err != nil {
		return MakeAlong{}, err
	}
	if named.Given(r) {
		return alongNamed(ctx, s, r, named, list)
	}
	return alongMeant(r, named, list, func(MakeAlong) bool { return false })
}

// alongMeant is the make-along that is meant where none is named.
func alongMeant(r Request, named *Opt[string], list []MakeAlong, mine func(MakeAlong) bool) (MakeAlong, error) {
	going := slices.DeleteFunc(slices.Clone(list), func(m MakeAlong) bool { return m.State == AlongClosed })
	if len(going) == 0 && len(list) > 0 {
		going = list[:1] // the one closed last
	}
	here := slices.DeleteFunc(slices.Clone(going), func(m MakeAlong) bool { return m.Channel != r.Channel })
	open := slices.DeleteFunc(slices.Clone(here), func(m MakeAlong) bool { return m.State == AlongDraft })
	for _, some := range [][]MakeAlong{open, here, going} {
		if len(some) == 1 {
			return some[0], nil
		}
		if own := slices.IndexFunc(some, mine); own >= 0 && !slices.ContainsFunc(some[own+1:], mine) {
			return some[own], nil
		}
		if len(some) > 1 {
			return MakeAlong{}, &Mistake{Option: named.spec.Name, Message: "there are several; say which: %s", Args: []any{listed(alongNames(some), 10)}, Example: "makealong:" + quoted(some[0].Name)}
		}
	}
	return MakeAlong{}, noAlong(r)
}

// noAlong says that there is none, and what can be done about it.
func noAlong(r Request) error {
	switch {
	case r.Server == "":
		return Refused("You are in no make-along yet. Join one in its server's channel: /makealong list shows them there.")
	case r.Host:
		return Mistaken("/makealong create name:Harbour make-along pattern:cardigan start:next Sunday", "there is no make-along here yet; you can make one")
	}
	return Refused("There is no make-along here yet. When a host opens one, /makealong join takes you in.")
}

func alongNamed(ctx context.Context, s Services, r Request, named *Opt[string], list []MakeAlong) (MakeAlong, error) {
	name := strings.TrimSpace(named.Of(r))
	for _, fits := range []func(m MakeAlong) bool{
		func(m MakeAlong) bool { return strconv.FormatInt(m.ID, 10) == name },
		func(m MakeAlong) bool { return strings.EqualFold(m.Name, name) },
		func(m MakeAlong) bool { return strings.Contains(strings.ToLower(m.Name), strings.ToLower(name)) },
	} {
		if at := slices.IndexFunc(list, fits); at >= 0 {
			return list[at], nil
		}
	}
	// A button in a direct message to its host may name one by number.
	if id, err := strconv.ParseInt(name, 10, 64); err == nil && r.Server == "" {
		m, ok, err := s.MakeAlongs.Along(ctx, id)
		if err != nil {
			return MakeAlong{}, fmt.Errorf("open make-along %d: %w", id, err)
		}
		if ok && m.Host == r.Member.ID {
			return m, nil
		}
	}
	if len(list) == 0 {
		return MakeAlong{}, noAlong(r)
	}
	names := alongNames(list)
	example := names[0]
	if near := nearest(strings.ToLower(name), names); near != "" {
		example = near
	}
	return MakeAlong{}, &Mistake{Option: named.spec.Name, Message: "there is no make-along “%s” here; there is %s", Args: []any{clip(name, 60), listed(names, 10)}, Example: "makealong:" + quoted(example)}
}

func alongNames(list []MakeAlong) []string {
	names := make([]string, len(list))
	for i, m := range list {
		names[i] = m.Name
	}
	return names
}

// line is a command line about the make-along, which it names by number.
func (m MakeAlong) line(path string, more map[string]string) string {
	inputs := map[string]Input{"makealong": {Text: strconv.FormatInt(m.ID, 10)}}
	for name, value := range more {
		inputs[name] = Input{Text: value}
	}
	return Line(path, inputs)
}

// button runs a command on the make-along.
func (m MakeAlong) button(label, path string, more map[string]string) reply.Button {
	return reply.Button{Label: label, Line: m.line(path, more)}
}
