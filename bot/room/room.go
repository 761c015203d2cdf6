// Package room is the practice room: the commands of the chat in a terminal.
// What a member would get in chat is printed; pictures and files are written
// to a folder and named. The lines may come from a person with completion, or
// piped from a script.
package room

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"countwright/commands"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// Room is one practice room. Fill in the exported fields, then Run.
type Room struct {
	Set      *commands.Set
	Out      io.Writer
	Clock    *Clock
	Pictures string // folder for pictures and files, made when first needed
	JSON     bool   // one JSON object a reply instead of text
	Width    int    // characters a line of text may have; 0: 80
	Colour   bool   // for a terminal
	// Calendar is what happens by itself as the clock moves; nil: nothing does.
	Calendar Calendar

	speaker commands.Member
	locale  string // the server's language; empty: English
	calls   int
	saved   int
	posted  *posted // of the message that is being shown; nil: somebody asked for it
}

// Host is who speaks in the room at first. She is the room's host; everybody
// else whom a line calls by @name is a member.
var Host = commands.Member{ID: "you", Name: "you"}

// Server and channel of the room, as the commands see them.
const (
	server  = "practice-room"
	channel = "practice-room"
)

// Do answers one line. done means that the member wants to leave.
func (r *Room) Do(ctx context.Context, line string) (done bool, err error) {
	line = strings.TrimSpace(line)
	switch {
	case line == "" || strings.HasPrefix(line, "#"):
		return false, nil
	case strings.HasPrefix(line, ":"):
		return r.meta(ctx, line)
	case strings.HasPrefix(line, "@"):
		return false, r.as(ctx, line)
	default:
		return false, r.answer(ctx, r.current(), line)
	}
}

func (r *Room) current() commands.Member {
	if r.speaker.ID == "" {
		return Host
	}
	return r.speaker
}

// as speaks as another member: for one line, or from now on where no command
// follows.
func (r *Room) as(ctx context.Context, line string) error {
	name, rest, _ := strings.Cut(line[1:], " ")
	name = strings.ToLower(name)
	if !plainName(name) {
		return r.problem(`a member's name is letters and digits`, "@mira /me show")
	}
	member := commands.Member{ID: name, Name: name}
	rest = strings.TrimSpace(rest)
	if rest == "" {
		r.speaker = member
		return r.say("You speak as %s now.", name)
	}
	return r.answer(ctx, member, rest)
}

func plainName(name string) bool {
	for _, c := range name {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c < 0x80 {
			return false
		}
	}
	return name != ""
}

func (r *Room) answer(ctx context.Context, m commands.Member, line string) error {
	r.calls++
	call := commands.Call{
		ID:     fmt.Sprintf("room-%d-%d", r.Clock.Now().UnixNano(), r.calls),
		Member: m, Server: server, Channel: channel, Host: m.ID == Host.ID, Now: r.Clock.Now(), ServerLocale: r.locale,
	}
	path, inputs, err := r.Set.Parse(ctx, call, line)
	if err == nil {
		call.Inputs, err = attach(r.Set, path, inputs)
	}
	if err != nil {
		// The set turns the same mistake into a reply.
		return r.show(r.Set.Fail(path, call, err))
	}
	call.Path = path
	if err := r.show(r.Set.Run(ctx, call)); err != nil {
		return err
	}
	return r.await(ctx)
}

// meta runs a line about the room itself.
func (r *Room) meta(ctx context.Context, line string) (done bool, err error) {
	word, rest, _ := strings.Cut(line[1:], " ")
	switch rest = strings.TrimSpace(rest); word {
	case "quit", "q", "exit":
		return true, nil
	case "help":
		return false, r.say("%s", help)
	case "clock":
		return false, r.moveClock(ctx, rest, r.walk)
	case "away":
		return false, r.moveClock(ctx, rest, r.jump)
	case "language":
		return false, r.speak(rest)
	}
	return false, r.problem(fmt.Sprintf("the room knows no :%s; it knows :clock, :away, :language, :help and :quit", word), ":help")
}

const help = `The practice room answers as Countwright would in chat.
  /even shape stitches:87 increase:14   a command; Tab completes it
  /help                                 what the commands can do
  @mira /me show                        the same as another member
  @mira                                 speak as another member from now on; @you is you
  :clock +7d                            move the clock: d, h, m or w; or :clock 2026-12-01 09:00
                                        posts that fall due on the way are shown as their channel would see them
  :away +2d                             the same with the bot switched off: what fell due is told when it is back
  :language de                          the server's language, in which make-alongs post and members are answered who chose none
  :quit                                 leave`

// speak gives the server a language.
func (r *Room) speak(code string) error {
	var codes []string
	for _, l := range words.Languages {
		codes = append(codes, l.Code)
	}
	if !slices.Contains(codes, code) {
		return r.problem(fmt.Sprintf("%q is no language that is spoken here; there are %s", code, strings.Join(codes, ", ")), ":language de")
	}
	r.locale = code
	return r.say("The server's language is %s now.", words.For(code).Language().Own)
}

func (r *Room) moveClock(ctx context.Context, to string, move func(context.Context, time.Time) error) error {
	if to != "" {
		target, err := r.Clock.Target(to)
		if err != nil {
			return r.problem(err.Error(), ":clock +7d")
		}
		if err := move(ctx, target); err != nil {
			return err
		}
	}
	return r.say("The room's clock shows %s UTC.", r.Clock.Now().UTC().Format("Monday 2 January 2006, 15:04"))
}

// say prints a line of the room's own. Scripts that read JSON don't get it.
func (r *Room) say(format string, args ...any) error {
	if r.JSON {
		return nil
	}
	_, err := fmt.Fprintf(r.Out, format+"\n", args...)
	return err
}

// problem shows a mistake in a line about the room itself.
func (r *Room) problem(message, example string) error {
	return r.show(reply.Mistaken(words.Printer{}, "", words.Say("%s", message), example))
}
