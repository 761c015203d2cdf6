package main

import (
	"context"
	"fmt"
	"time"

	"countwright/bot/chat"
	"countwright/bot/room"
	"countwright/commands"
	"countwright/commands/reply"
	"countwright/store"
)

// roomPosts is the practice room as a surface of check-ins, and check-ins as
// the calendar of the room: the same sweep as in the chat.
type roomPosts struct {
	store *store.Store
	clock *room.Clock
	sweep func(context.Context)
	shown []room.Shown
}

// Next is when a post falls due next.
func (r *roomPosts) Next(ctx context.Context) (time.Time, bool, error) { return r.store.NextPost(ctx) }

// Due sends what has fallen due to the room.
func (r *roomPosts) Due(ctx context.Context) ([]room.Shown, error) {
	r.shown = nil
	r.sweep(ctx)
	return r.shown, nil
}

// Ready is at once.
func (r *roomPosts) Ready() time.Duration { return 0 }

// Post shows a post.
func (r *roomPosts) Post(_ context.Context, to chat.Place, said reply.Reply, nonce string) (string, error) {
	where := "in the channel"
	switch {
	case to.Channel == "":
		where = fmt.Sprintf("to %s alone, in a direct message", to.Member)
	case said.Private:
		where = "in the hosts' channel"
	}
	said.Private = to.Channel == ""
	r.shown = append(r.shown, room.Shown{Where: where, Reply: said})
	return nonce, nil
}

// Find finds nothing: in the room no message gets lost on its way.
func (r *roomPosts) Find(context.Context, chat.Place, string, time.Time) (string, error) {
	return "", nil
}

// Scene is a channel in which members talk, and the host does not: so every
// post can be seen.
func (r *roomPosts) Scene(context.Context, string, string) (chat.Scene, error) {
	return chat.Scene{Wrote: r.clock.Now()}, nil
}

// Event shows a scheduled event.
func (r *roomPosts) Event(_ context.Context, _ string, card commands.EventCard) (string, error) {
	const when = "Monday 2 January 2006, 15:04 UTC"
	r.shown = append(r.shown, room.Shown{Where: "among the server's events", Reply: reply.Reply{Title: card.Name, Data: card, Parts: []reply.Block{
		reply.Text{Text: card.Description},
		reply.Fields{Items: []reply.Field{{Name: "From", Value: card.Start.UTC().Format(when)}, {Name: "To", Value: card.End.UTC().Format(when)}, {Name: "Where", Value: card.Location}}},
	}}})
	return card.Mark, nil
}
