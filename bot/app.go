package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"countwright/bot/chat"
	"countwright/commands"
	"countwright/store"
)

// App is the whole program as a value: a test can open it on a temporary
// folder. Fill in the exported fields, then Open, Run, Close.
type App struct {
	Config Config
	Now    func() time.Time // nil: time.Now
	Log    *slog.Logger     // nil: silent
	// Transport takes requests to the chat service; nil: the network. Tests
	// lead it to a stand-in.
	Transport http.RoundTripper

	store *store.Store
	set   *commands.Set
	jobs  *jobs
}

// Open opens the database and readies the commands and the scheduled jobs.
func (a *App) Open(ctx context.Context) error {
	if a.Now == nil {
		a.Now = time.Now
	}
	if a.Log == nil {
		a.Log = slog.New(slog.DiscardHandler)
	}
	s, err := store.Open(ctx, store.Options{
		Path: a.Config.Database, Now: a.Now, Log: a.Log,
		Backups: store.Backups{Folder: a.Config.Backup.Folder, Newest: a.Config.Backup.Keep},
	})
	if err != nil {
		return err
	}
	a.store = s
	a.set = commands.All(services(s), a.Log)
	a.jobs, err = newJobs(a.Log)
	if err != nil {
		return err
	}
	if err := a.jobs.forget(s, a.Now); err != nil {
		return err
	}
	if a.Config.Backup.Folder != "" {
		return a.jobs.backup(s, a.Config.Backup, a.Now)
	}
	return nil
}

// Run serves the chat service until ctx ends, then answers what is in flight.
func (a *App) Run(ctx context.Context) error {
	key, err := a.Config.HTTP.key()
	if err != nil {
		return err
	}
	shards, err := a.Config.Shards.parse()
	if err != nil {
		return err
	}
	figures := metrics.NewSet()
	service, err := chat.New(chat.Options{
		Token: a.Config.Token, Server: a.Config.Server, HostRoles: a.Config.HostRoles,
		Set: a.set, Log: a.Log, Now: a.Now, Transport: a.Transport, Belongs: a.belongs(ctx),
		PublicKey: key, Shards: shards, Limits: chat.Limits(a.Config.Limits), Metrics: figures,
	})
	if err != nil {
		return err
	}
	if err := a.jobs.checkIns(ctx, &checkIns{outbox: a.store, word: a.set.Post, surface: service, now: a.Now, log: a.Log, count: countPosts(figures)}); err != nil {
		return err
	}
	a.jobs.start()
	go supervised(ctx, os.Getenv, service, a.store, key != nil)
	if a.Config.HTTP.Address == "" {
		return service.Run(ctx)
	}
	return a.attended(ctx, service, figures)
}

// countPosts counts posts by what became of them.
func countPosts(figures *metrics.Set) func(outcome string) {
	return func(outcome string) {
		figures.GetOrCreateCounter(fmt.Sprintf("countwright_posts_total{outcome=%q}", outcome)).Inc()
	}
}

// belongs notes which servers the bot is in: what belongs to others is
// forgotten after a while.
func (a *App) belongs(ctx context.Context) func(server string, in bool) {
	note := map[bool]func(context.Context, string) error{true: a.store.ServerBack, false: a.store.ServerLeft}
	return func(server string, in bool) {
		if err := note[in](ctx, server); err != nil && ctx.Err() == nil {
			a.Log.Error("note a server", "in it", in, "error", err)
		}
	}
}

// Close lets running jobs end and closes the database. It is safe on an App
// that was opened in part, and safe twice.
func (a *App) Close() error {
	var errs []error
	if a.jobs != nil {
		a.jobs.stop()
		a.jobs = nil
	}
	if a.store != nil {
		errs = append(errs, a.store.Close())
		a.store = nil
	}
	return errors.Join(errs...)
}
