package chat

import (
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands/words"
)

// Limits say how much is taken from one place, in commands a minute; 0: any
// number. A quarter of a minute's may come at once. What is offered while a
// member types is counted apart, and ten times as much of it is taken.
type Limits struct{ Member, Server int }

// typing is how many suggestions count as one command.
const typing = 10

// pace holds members and servers to the limits.
type pace struct {
	limits Limits
	mu     sync.Mutex
	due    map[string]time.Time // when what a key has used up is made good
}

// mostPaced is how many keys are remembered. Those that are made good can be
// forgotten; if even the others are too many, all are.
const mostPaced = 100_000

// tooFast says what to tell a member who sends too much, or whose server does;
// nil where it is not too much.
func (p *pace) tooFast(a ask, now time.Time) *words.Message {
	kind, cost := "", 1
	if a.Type == discordgo.InteractionApplicationCommandAutocomplete {
		kind, cost = "typing ", typing
	}
	if wait := p.take(kind+"member "+userOf(a).ID, p.limits.Member*cost, now); wait > 0 {
		said := words.Say("That was a lot at once. I can take more from you in %s.", inSeconds(wait))
		return &said
	}
	if a.GuildID == "" {
		return nil
	}
	if wait := p.take(kind+"server "+a.GuildID, p.limits.Server*cost, now); wait > 0 {
		said := words.Say("Many people are asking here at once. Please try again in %s.", inSeconds(wait))
		return &said
	}
	return nil
}

func inSeconds(d time.Duration) words.Message {
	if s := int((d + time.Second - 1) / time.Second); s > 1 {
		return words.Say("%d seconds", s)
	}
	return words.Say("a second")
}

// take uses one of so many a minute, and returns how long to wait when there
// is none. It is the virtual scheduling algorithm of ITU-T I.371, annex A: all
// that is kept of a key is one time.
func (p *pace) take(key string, perMinute int, now time.Time) time.Duration {
	if perMinute <= 0 {
		return 0
	}
	each := time.Minute / time.Duration(perMinute)
	slack := time.Minute/4 - each
	p.mu.Lock()
	defer p.mu.Unlock()
	due := p.due[key]
	if due.Before(now) {
		due = now
	}
	if early := due.Sub(now) - max(0, slack); early > 0 {
		return early
	}
	if p.due == nil || len(p.due) >= mostPaced {
		p.forget(now)
	}
	p.due[key] = due.Add(each)
	return 0
}

func (p *pace) forget(now time.Time) {
	for key, due := range p.due {
		if !due.After(now) {
			delete(p.due, key)
		}
	}
	if p.due == nil || len(p.due) >= mostPaced {
		p.due = map[string]time.Time{}
	}
}

// userOf is who asks.
func userOf(a ask) *discordgo.User {
	if a.Member != nil && a.Member.User != nil {
		return a.Member.User
	}
	return a.User
}
