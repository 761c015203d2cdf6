package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"countwright/bot/chat"
	"countwright/commands"
	"countwright/commands/reply"
	"countwright/store"
)

// checkIns send the posts of make-alongs that have fallen due, each once.
//
// What is due is a query, so that time spent down, a restart and a change of
// the clock neither lose a post nor repeat one. A post is taken (leased in the
// database), put in words, sent and marked. Killed between these, it is taken
// again when the lease runs out, looked for in its channel by the mark that its
// buttons bear, and sent only where it is not there. Any number of these may
// run at once on one database.
type checkIns struct {
	outbox outbox
	word   func(context.Context, commands.Posting) (commands.Wording, error)
	surface
	workers int // posts in work at once; 0: atOnce
	now     func() time.Time
	log     *slog.Logger
	count   func(outcome string) // nil: nobody counts
}

// outbox is the store as a sweep needs it.
type outbox interface {
	NextPost(ctx context.Context) (at time.Time, planned bool, err error)
	TakeDue(ctx context.Context, who string, lease time.Duration, limit int) ([]store.TakenPost, error)
	SentPost(ctx context.Context, who string, id int64, message string, at time.Time) error
	SkipPost(ctx context.Context, who string, id int64, why string, instead ...store.Post) error
	PutOff(ctx context.Context, who string, id int64, until time.Time, tried bool) error
	UntriedPost(ctx context.Context, who string, id int64) error
	BlockMakeAlong(ctx context.Context, who string, post int64, why, note string) error
	LastActivity(ctx context.Context, along int64) (time.Time, error)
	LastSent(ctx context.Context, along int64) (last, before time.Time, err error)
}

// surface is where posts go: the chat service, or the practice room.
type surface interface {
	Ready() time.Duration
	Post(ctx context.Context, to chat.Place, r reply.Reply, nonce string) (string, error)
	Find(ctx context.Context, in chat.Place, mark string, since time.Time) (string, error)
	Scene(ctx context.Context, channel, host string) (chat.Scene, error)
	Event(ctx context.Context, server string, card commands.EventCard) (string, error)
}

const (
	lease    = 5 * time.Minute
	giveUp   = 4 * time.Minute // on a post, so that no request of it is under way when its lease runs out
	atOnce   = 32              // posts in work
	takeMost = 64              // in one transaction
)

// sweep sends what is due, until nothing is or ctx ends. What is in work then
// is seen through.
func (c *checkIns) sweep(ctx context.Context) {
	who := rand.Text()
	for c.drain(ctx, who) > 0 && ctx.Err() == nil {
		// What was put off until now, and what waited for another post of its
		// channel, is due now.
	}
}

// drain takes and settles posts until none can be taken, and returns how many
// there were.
func (c *checkIns) drain(ctx context.Context, who string) (settled int) {
	var workers sync.WaitGroup
	work := make(chan func())
	defer workers.Wait()
	defer close(work)
	for ctx.Err() == nil {
		if wait := c.Ready(); wait > 0 {
			c.log.Info("posts wait for the service", "wait", wait)
			return settled
		}
		until := time.Now().Add(giveUp)
		taken, err := c.take(ctx, who)
		if err != nil {
			if ctx.Err() == nil {
				c.log.Error("take due posts", "error", err)
			}
			return 0
		}
		if len(taken) == 0 {
			return settled
		}
		crowded := len(taken) == takeMost
		for _, t := range taken {
			if settled++; settled <= cmp.Or(c.workers, atOnce) {
				workers.Go(func() {
					for settle := range work {
						settle()
					}
				})
			}
			work <- func() { c.settle(ctx, who, t, until, crowded) }
		}
	}
	return settled
}

// take takes posts that are due. Where none are, nothing is written.
func (c *checkIns) take(ctx context.Context, who string) ([]store.TakenPost, error) {
	next, planned, err := c.outbox.NextPost(ctx)
	if err != nil || !planned || next.After(c.now()) {
		return nil, err
	}
	return c.outbox.TakeDue(ctx, who, lease, takeMost)
}

// settle brings a taken post to an end, whatever comes of it, and begins
// nothing that might last until its lease runs out.
func (c *checkIns) settle(ctx context.Context, who string, t store.TakenPost, until time.Time, crowded bool) {
	mark := c.putOff(0, false)
	if ctx.Err() == nil && time.Until(until) > giveUp/2 {
		working, cancel := context.WithDeadline(context.WithoutCancel(ctx), until)
		mark = c.become(working, t, crowded)
		cancel()
	}
	// The mark must be set even where the time for sending is used up.
	marking, done := context.WithTimeout(context.WithoutCancel(ctx), lease-giveUp)
	defer done()
	if err := mark(marking, who, t.ID); err != nil {
		c.log.Error("mark post", "post", t.ID, "make-along", t.Along, "error", err) // it is looked for when its lease runs out
	}
}

// ending is what is marked of a post.
type ending func(ctx context.Context, who string, post int64) error

// become does what is to be done with a post and returns how it ends.
func (c *checkIns) become(ctx context.Context, t store.TakenPost, crowded bool) (end ending) {
	defer func() {
		if p := recover(); p != nil {
			end = c.fault(t, fmt.Errorf("panic: %v\n%s", p, debug.Stack()), true)
		}
	}()
	p, err := posting(t, c.now())
	if err != nil {
		return c.fault(t, err, false)
	}
	places := placesOf(p)
	if t.Attempts > 1 && p.Kind != commands.EventPost { // an event is looked for before it is made
		return c.look(ctx, t, p, places)
	}
	if err := c.scene(ctx, &p, crowded); err != nil {
		return c.failed(t, p, err)
	}
	w, err := c.word(ctx, p)
	switch {
	case err != nil:
		return c.fault(t, err, false)
	case !w.Later.IsZero():
		return c.putOff(max(w.Later.Sub(c.now()), time.Minute), false)
	case w.Reply == nil:
		c.counted("better not")
		return c.skip(w)
	}
	id, err := c.send(ctx, t, p, *w.Reply, places)
	if err != nil {
		return c.failed(t, p, err)
	}
	c.counted("sent")
	return c.sent(id)
}

// placesOf are where a post goes: to the second where the first can't be
// written to.
func placesOf(p commands.Posting) []chat.Place {
	if p.Kind != commands.HostNote {
		return []chat.Place{{Channel: p.MakeAlong.Channel}}
	}
	host := chat.Place{Member: p.To}
	if host.Member == "" {
		host.Member = p.MakeAlong.Host
	}
	if told := p.MakeAlong.Course.Tell; told != "" {
		return []chat.Place{{Channel: told}, host}
	}
	return []chat.Place{host}
}

// look looks for a post of which a try may have come through.
func (c *checkIns) look(ctx context.Context, t store.TakenPost, p commands.Posting, places []chat.Place) ending {
	for i, in := range places {
		id, err := c.Find(ctx, in, fmt.Sprint("post:", t.ID), t.FirstTry)
		switch {
		case errors.Is(err, chat.ErrGone) && i+1 < len(places):
		case err != nil:
			return c.failed(t, p, err)
		case id != "":
			c.counted("found")
			return c.sent(id)
		}
	}
	return func(ctx context.Context, who string, post int64) error { return c.outbox.UntriedPost(ctx, who, post) }
}

func (c *checkIns) send(ctx context.Context, t store.TakenPost, p commands.Posting, r reply.Reply, places []chat.Place) (id string, err error) {
	if p.Kind == commands.EventPost {
		card, ok := r.Data.(commands.EventCard)
		if !ok {
			return "", fmt.Errorf("an event without its card: %w", chat.ErrRefused)
		}
		return c.Event(ctx, p.MakeAlong.Server, card)
	}
	for _, to := range places {
		if id, err = c.Post(ctx, to, r, t.Nonce); !errors.Is(err, chat.ErrGone) {
			break
		}
	}
	return id, err
}

// scene fills in how lively the channel is. Where many posts are due it asks only
// where nobody may be there: each look takes the place of a post.
func (c *checkIns) scene(ctx context.Context, p *commands.Posting, crowded bool) error {
	if p.Kind != commands.MilestonePost && p.Kind != commands.MidwayPost {
		return nil
	}
	_, since, err := c.outbox.LastSent(ctx, p.Along)
	if err != nil {
		return err
	}
	active, err := c.outbox.LastActivity(ctx, p.Along)
	if err != nil {
		return err
	}
	silent := !since.IsZero() && active.Before(since)
	if !silent && crowded {
		return nil
	}
	scene, err := c.Scene(ctx, p.MakeAlong.Channel, p.MakeAlong.Host)
	var put *chat.Later
	switch {
	case errors.As(err, &put) && !put.All: // whoever can't tell posts
		return nil
	case err != nil:
		return err
	}
	p.Asleep = silent && scene.Wrote.Before(since)
	p.HostWrote = c.now().Sub(scene.Host) < 12*time.Hour
	return nil
}
