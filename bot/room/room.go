// Package room is the practice room: the commands of the chat in a terminal.
// What a member would get in chat is printed; pictures and files are written
// to a folder and named. The lines may come from a person with completion, or
// piped from a script.
package room

import (
	"context"
	"fmt"
	"io"
	"strconv"
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
	// Due shows what has fallen due when the clock was moved; nil: nothing does.
	Due func(context.Context) ([]reply.Reply, error)

	speaker commands.Member
	calls   int
	saved   int
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
		Member: m, Server: server, Channel: channel, Host: m.ID == Host.ID, Now: r.Clock.Now(),
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
	return r.show(r.Set.Run(ctx, call))
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
		return false, r.moveClock(ctx, rest)
	}
	return false, r.problem(fmt.Sprintf("the room knows no :%s; it knows :clock, :help and :quit", word), ":help")
}

const help = `The practice room answers as Countwright would in chat.
  /even shape stitches:87 increase:14   a command; Tab completes it
  /help                                 what the commands can do
  @mira /me show                        the same as another member
  @mira                                 speak as another member from now on; @you is you
  :clock +7d                            move the clock: d, h, m or w; or :clock 2026-12-01 09:00
  :quit                                 leave`

func (r *Room) moveClock(ctx context.Context, to string) error {
	if to != "" {
		if err := r.Clock.Move(to); err != nil {
			return r.problem(err.Error(), ":clock +7d")
		}
	}
	if err := r.say("The room's clock shows %s UTC.", r.Clock.Now().UTC().Format("Monday 2 January 2006, 15:04")); err != nil {
		return err
	}
	if r.Due == nil || to == "" {
		return nil
	}
	due, err := r.Due(ctx)
	if err != nil {
		return err
	}
	for _, d := range due {
		if err := r.show(d); err != nil {
			return err
		}
	}
	return nil
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

// Clock is the room's clock: the real one, moved.
type Clock struct {
	Base   func() time.Time // nil: time.Now
	offset time.Duration
}

// Now is the time in the room.
func (c *Clock) Now() time.Time {
	if c.Base == nil {
		return time.Now().Add(c.offset)
	}
	return c.Base().Add(c.offset)
}

// Move moves the clock by "+7d", "+12h", "+30m" or "+2w", or to
// "2026-12-01 09:00". It does not move backwards.
func (c *Clock) Move(to string) error {
	if at, err := time.Parse("2006-01-02 15:04", to); err == nil {
		return c.forward(at.Sub(c.Now()))
	}
	units := map[byte]time.Duration{'m': time.Minute, 'h': time.Hour, 'd': 24 * time.Hour, 'w': 7 * 24 * time.Hour}
	if len(to) < 3 || to[0] != '+' {
		return fmt.Errorf("%q is no time to move to; say +7d, +12h, +30m, +2w or 2026-12-01 09:00", to)
	}
	unit, known := units[to[len(to)-1]]
	n, err := strconv.Atoi(to[1 : len(to)-1])
	if !known || err != nil || n < 0 || n > 10_000 {
		return fmt.Errorf("%q is no time to move to; say +7d, +12h, +30m, +2w or 2026-12-01 09:00", to)
	}
	return c.forward(time.Duration(n) * unit)
}

func (c *Clock) forward(by time.Duration) error {
	if by < 0 {
		return fmt.Errorf("the clock does not go back; it shows %s", c.Now().UTC().Format("2006-01-02 15:04"))
	}
	c.offset += by
	return nil
}
