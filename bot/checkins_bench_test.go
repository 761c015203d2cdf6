package main

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands"
)

// BenchmarkBurst sends posts that are all due at the same time, to a channel
// each, over a network with 80 ms of delay to a service that enforces its
// limits, while members ask for things. It reports how much of the service's 50
// requests a second is used, how many requests were beyond a limit, and how long
// members wait for an answer. One run takes two minutes: -benchtime 1x.
func BenchmarkBurst(b *testing.B) {
	const posts = 5000
	for b.Loop() {
		b.StopTimer()
		fake := loopback.Start(b)
		fake.Limits = true
		fake.Meddle = func(*http.Request) loopback.Trouble { time.Sleep(80 * time.Millisecond); return loopback.Trouble{} }
		config := defaults()
		config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(b.TempDir(), "countwright.db"), ""
		app := &App{Config: config, Transport: fake.Transport()}
		if err := app.Open(b.Context()); err != nil {
			b.Fatal(err)
		}
		var channels []string
		for range posts {
			channels = append(channels, fake.Open(loopback.Server))
		}
		planBurst(b, app, channels)
		ctx, stop := context.WithCancel(context.Background())
		ended := make(chan error, 1)
		b.StartTimer()
		start := time.Now()
		go func() { ended <- app.Run(ctx) }()
		fake.Online()
		var waits []time.Duration
		var asking sync.WaitGroup
		var over atomic.Bool
		asking.Go(func() {
			for !over.Load() {
				waits = append(waits, fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "87", "increase": "14"}}).Wait().Took)
				time.Sleep(100 * time.Millisecond)
			}
		})
		for sent := 0; sent < posts; time.Sleep(100 * time.Millisecond) {
			sent = 0
			for _, c := range channels {
				sent += len(fake.Posts(c))
			}
		}
		took := time.Since(start)
		over.Store(true)
		asking.Wait()
		stop()
		if err := <-ended; err != nil {
			b.Error(err)
		}
		app.Close()
		slices.Sort(waits)
		b.ReportMetric(posts/took.Seconds(), "posts/s")
		b.ReportMetric(100*posts/took.Seconds()/50, "%allowed")
		b.ReportMetric(float64(fake.Beyond("global")+fake.Beyond("post")), "beyond")
		b.ReportMetric(float64(waits[len(waits)/2].Microseconds())/1000, "answer-p50-ms")
		b.ReportMetric(float64(waits[len(waits)*99/100].Microseconds())/1000, "answer-p99-ms")
		b.ReportMetric(float64(waits[len(waits)-1].Microseconds())/1000, "answer-max-ms")
		for _, c := range channels {
			if n := len(fake.Posts(c)); n != 1 {
				b.Errorf("%d posts in a channel", n)
			}
		}
	}
}

func planBurst(b *testing.B, app *App, channels []string) {
	alongs := makeAlongs{app.store}
	var all sync.WaitGroup
	slots := make(chan struct{}, 64) // they share transactions
	for i, channel := range channels {
		slots <- struct{}{}
		all.Go(func() {
			defer func() { <-slots }()
			now := time.Now().UTC()
			today := schedule.DateOf(now, time.UTC)
			m, err := alongs.Make(b.Context(), "", hostID, commands.MakeAlong{Server: fmt.Sprint("40000000000000", i/10), Channel: channel, Name: fmt.Sprint("Hats ", i), Host: hostID,
				Course: commands.Course{Pattern: "hat", Start: today.Add(-7), Zone: "UTC", Milestones: []along.Milestone{
					{Title: "The crown", Date: today, Stitches: 1200, About: []string{"round", "increase", "sc"}}, {Title: "The brim", Date: today.Add(7), Stitches: 900}}}})
			if err != nil {
				b.Error(err)
				return
			}
			m.State = commands.AlongOpen
			if _, err := alongs.Save(b.Context(), "", hostID, m, []commands.Post{{Key: "milestone/0", Kind: commands.MilestonePost, Due: now}}); err != nil {
				b.Error(err)
			}
		})
	}
	all.Wait()
}
