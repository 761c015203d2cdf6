package main

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/robfig/cron/v3"

	"countwright/store"
)

// jobs runs what is scheduled. Schedules are in UTC only: the library's
// schedules in local time skip and double at clock changes.
type jobs struct {
	cron   *cron.Cron
	log    *slog.Logger
	ctx    context.Context
	cancel context.CancelFunc
	missed []func() // run once at the start: what fell due while the program was down
	atOnce sync.WaitGroup
}

// overdue is how old the newest backup may be at the start.
const overdue = 24 * time.Hour

func newJobs(log *slog.Logger) (*jobs, error) {
	ctx, cancel := context.WithCancel(context.Background())
	quiet := cron.DiscardLogger
	return &jobs{
		log: log, ctx: ctx, cancel: cancel,
		cron: cron.New(cron.WithLocation(time.UTC), cron.WithChain(cron.Recover(faults{log}), cron.SkipIfStillRunning(quiet))),
	}, nil
}

// backup schedules the nightly copy of the database, and one at the start when
// the newest is overdue.
func (j *jobs) backup(s *store.Store, b Backup, now func() time.Time) error {
	line, err := b.schedule()
	if err != nil {
		return err
	}
	run := func() {
		made, err := s.Backup(j.ctx)
		if err != nil {
			j.log.Error("backup", "error", err)
			return
		}
		j.log.Info("backup made", "file", made.Path)
	}
	j.missed = append(j.missed, func() {
		made, err := store.Backups{Folder: b.Folder}.List()
		if err != nil {
			j.log.Error("look for backups", "error", err)
			return
		}
		if len(made) == 0 || now().Sub(made[0].At) >= overdue {
			run()
		}
	})
	if _, err := j.cron.AddFunc(line, run); err != nil {
		return fmt.Errorf("schedule the backup: %w", err)
	}
	return nil
}

// checkIns sends posts that are due every minute, and at the start.
func (j *jobs) checkIns(ctx context.Context, c *checkIns) error {
	run := func() { c.sweep(ctx) }
	j.missed = append(j.missed, run)
	_, err := j.cron.AddFunc("* * * * *", run)
	return err
}

// keptAfter is how long what belongs to a server is kept after the bot was
// removed from it: it may have been a slip.
const keptAfter = 30 * 24 * time.Hour

// forget forgets each night the servers that the bot was removed from.
func (j *jobs) forget(s *store.Store, now func() time.Time) error {
	_, err := j.cron.AddFunc("40 3 * * *", func() {
		gone, err := s.ForgetServers(j.ctx, now().Add(-keptAfter))
		if err != nil {
			j.log.Error("forget servers", "error", err)
		}
		if len(gone) > 0 {
			j.log.Info("servers forgotten", "count", len(gone))
		}
	})
	return err
}

func (j *jobs) start() {
	for _, run := range j.missed {
		j.atOnce.Go(run)
	}
	j.cron.Start()
}

// stop waits for running jobs.
func (j *jobs) stop() {
	<-j.cron.Stop().Done()
	j.atOnce.Wait()
	j.cancel()
}

// faults logs the panics of jobs.
type faults struct{ log *slog.Logger }

func (faults) Info(string, ...any) {}

func (f faults) Error(err error, message string, details ...any) {
	f.log.Error(message, append(details, "error", err)...)
}
