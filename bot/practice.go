package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"

	"golang.org/x/term"

	"countwright/bot/room"
	"countwright/commands"
	"countwright/store"
)

const welcome = `Countwright's practice room: what you type here is answered as in chat.
Try   /even shape stitches:87 increase:14
or    /resize pattern:cardigan chest:112 gauge:14x10
Tab completes, /help guides, :quit leaves.`

// practise opens the practice room on the terminal, or answers piped lines.
func practise(ctx context.Context, o *options, in io.Reader, out io.Writer) error {
	clock := &room.Clock{}
	s, err := store.Open(ctx, store.Options{Path: o.database, Now: clock.Now})
	if err != nil {
		return fmt.Errorf("open database: %w", err)
	}
	defer s.Close()
	if o.database == "" {
		if err := room.Furnish(ctx, services(s)); err != nil {
			return fmt.Errorf("furnish the practice room: %w", err)
		}
	}
	// Faults go to the standard error: in the room the operator is the member.
	log := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))
	set := commands.All(services(s), log)
	posts := &roomPosts{store: s, clock: clock}
	posts.sweep = (&checkIns{outbox: s, word: set.Post, surface: posts, workers: 1, now: clock.Now, log: log}).sweep
	r := &room.Room{Set: set, Out: out, Clock: clock, Calendar: posts, Pictures: o.pictures, JSON: o.json}
	if f, ok := in.(*os.File); ok && term.IsTerminal(int(f.Fd())) && !o.json {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil {
			r.Width = min(width, 100)
		}
		r.Colour = os.Getenv("NO_COLOR") == ""
		if err := r.Prompt(ctx, welcome); err != nil {
			return err
		}
	} else if err := r.Script(ctx, in); err != nil {
		return err
	}
	return s.Close()
}
