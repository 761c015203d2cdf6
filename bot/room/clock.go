package room

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"

	"countwright/commands/reply"
)

// Calendar is what happens in the room by itself.
type Calendar interface {
	// Next is when something falls due next, and false where nothing will.
	Next(context.Context) (time.Time, bool, error)
	// Due is what has fallen due by now.
	Due(context.Context) ([]Shown, error)
}

// Shown is a message that nobody asked for.
type Shown struct {
	Where string // "in the channel", "to mira alone"
	Reply reply.Reply
}

// walk moves the clock, halting wherever something falls due.
func (r *Room) walk(ctx context.Context, target time.Time) error {
	for r.Calendar != nil {
		at, planned, err := r.Calendar.Next(ctx)
		if err != nil {
			return err
		}
		if !planned || at.After(target) {
			break
		}
		r.Clock.to(at)
		shown, err := r.due(ctx)
		if err != nil {
			return err
		}
		if next, planned, err := r.Calendar.Next(ctx); err == nil && planned && !shown && !next.After(r.Clock.Now()) {
			r.Clock.to(r.Clock.Now().Add(time.Minute)) // it waits for something that takes its time
		}
	}
	r.Clock.to(target)
	return nil
}

// jump moves the clock as if nobody had been there meanwhile.
func (r *Room) jump(ctx context.Context, target time.Time) error {
	r.Clock.to(target)
	return r.walk(ctx, target)
}

// await waits for what falls due within a minute, as people in a channel would
// after they asked for it.
func (r *Room) await(ctx context.Context) error {
	if r.Calendar == nil {
		return nil
	}
	at, planned, err := r.Calendar.Next(ctx)
	if err != nil || !planned || at.Sub(r.Clock.Now()) > time.Minute {
		return err
	}
	return r.walk(ctx, at)
}

// due shows what has fallen due, and reports whether anything was.
func (r *Room) due(ctx context.Context) (bool, error) {
	list, err := r.Calendar.Due(ctx)
	if err != nil {
		return false, err
	}
	for _, s := range list {
		if err := r.post(s); err != nil {
			return false, err
		}
	}
	return len(list) > 0, nil
}

// post shows a message that nobody asked for, with where it is and whom it
// pings.
func (r *Room) post(s Shown) error {
	now := r.Clock.Now().UTC()
	r.posted = nil
	if r.JSON {
		r.posted = &posted{Where: s.Where, At: now.Truncate(time.Minute), Pings: append([]string{}, s.Reply.Pings...)}
		defer func() { r.posted = nil }()
		return r.show(s.Reply)
	}
	pings := ""
	if len(s.Reply.Pings) > 0 {
		pings = ", pings " + strings.Join(s.Reply.Pings, ", ")
	}
	if err := r.say("——— %s, %s%s ———", now.Format("Mon 2 Jan 2006, 15:04 UTC"), s.Where, pings); err != nil {
		return err
	}
	return r.show(s.Reply)
}

// posted is what a line of JSON tells besides, of a message that nobody asked
// for.
type posted struct {
	Where string    `json:"where"`
	At    time.Time `json:"at"`
	Pings []string  `json:"pings"`
}

// object puts what is told besides in front of a reply's line of JSON.
func (p *posted) object(line []byte) ([]byte, error) {
	if p == nil {
		return line, nil
	}
	front, err := json.Marshal(map[string]*posted{"posted": p})
	if err != nil {
		return nil, err
	}
	front[len(front)-1] = ','
	return append(front, line[1:]...), nil
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

// Target is the moment that is meant by "+7d", "+12h", "+30m", "+2w" or
// "2026-12-01 09:00". It does not lie before now.
func (c *Clock) Target(to string) (time.Time, error) {
	if at, err := time.Parse("2006-01-02 15:04", to); err == nil {
		if at.Before(c.Now()) {
			return at, fmt.Errorf("the clock does not go back; it shows %s", c.Now().UTC().Format("2006-01-02 15:04"))
		}
		return at, nil
	}
	units := map[byte]time.Duration{'m': time.Minute, 'h': time.Hour, 'd': 24 * time.Hour, 'w': 7 * 24 * time.Hour}
	if len(to) < 3 || to[0] != '+' {
		return time.Time{}, fmt.Errorf("%q is no time to move to; say +7d, +12h, +30m, +2w or 2026-12-01 09:00", to)
	}
	unit, known := units[to[len(to)-1]]
	n, err := strconv.Atoi(to[1 : len(to)-1])
	if !known || err != nil || n < 0 || n > 10_000 {
		return time.Time{}, fmt.Errorf("%q is no time to move to; say +7d, +12h, +30m, +2w or 2026-12-01 09:00", to)
	}
	return c.Now().Add(time.Duration(n) * unit), nil
}

// to moves the clock to a moment, never back.
func (c *Clock) to(at time.Time) { c.offset += max(0, at.Sub(c.Now())) }
