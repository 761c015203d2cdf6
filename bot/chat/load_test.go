package chat

import (
	"log/slog"
	"os"
	"runtime"
	"runtime/metrics"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// BenchmarkThroughput compares how many text commands a second are answered
// with how often a bare bot of the library says one word, 64 in flight, in
// turns of a quarter of a second: "share" is of all turns together.
func BenchmarkThroughput(b *testing.B) {
	set := commands.All(newCommunity(), nil)
	ask := example(b, set, benchLine)
	ping, ours := pinging(b, set), replying(b, set)
	turn := func(fake *loopback.Service) int {
		end := time.Now().Add(250 * time.Millisecond)
		var mu sync.Mutex
		var all sync.WaitGroup
		done := 0
		for range mostAtOnce {
			all.Go(func() {
				n := 0
				for time.Now().Before(end) {
					fake.Ask(ask).Wait()
					n++
				}
				mu.Lock()
				done += n
				mu.Unlock()
			})
		}
		all.Wait()
		return done
	}
	turn(ping)
	turn(ours)
	pings, replies, turns := 0, 0, 0
	for b.Loop() {
		pings += turn(ping)
		replies += turn(ours)
		turns++
	}
	b.ReportMetric(float64(pings)/float64(turns)*4, "pings/s")
	b.ReportMetric(float64(replies)/float64(turns)*4, "replies/s")
	b.ReportMetric(100*float64(replies)/float64(pings), "%share")
}

// BenchmarkMixedLoad sends 200 interactions a second for as long as the
// environment's COUNTWRIGHT_LOAD says (5s if it does not), one in five answered
// with a picture, at an even pace whatever the answers do; the stand-in, which
// checks every message, runs beside it. It reports latencies in milliseconds,
// the heap after the first tenth and at the end, in MB, and answers that never
// came.
func BenchmarkMixedLoad(b *testing.B) {
	length, err := time.ParseDuration(os.Getenv("COUNTWRIGHT_LOAD"))
	if err != nil {
		length = 5 * time.Second
	}
	set := commands.All(newCommunity(), nil)
	text := []loopback.Ask{example(b, set, benchLine), example(b, set, "/hook size:5"), example(b, set, "/stitch name:half double crochet"), example(b, set, "/term word:tension")}
	pictures := []loopback.Ask{example(b, set, "/even shape stitches:87 increase:14"), example(b, set, "/even buttonholes stitches:87 buttons:6 diameter:20 mm")}
	fake, _ := serving(b, set, func(s *Service, _ *loopback.Service) { s.log = slog.New(slog.DiscardHandler) })
	for _, ask := range append(slices.Clone(text), pictures...) {
		fake.Ask(ask).Wait() // what is made once
	}
	const perSecond = 200
	for b.Loop() {
		var mu sync.Mutex
		var all sync.WaitGroup
		var took []time.Duration
		lost := 0
		var early, late float64
		start, total := time.Now(), int(length.Seconds()*perSecond)
		for n := range total {
			time.Sleep(time.Until(start.Add(time.Duration(n) * time.Second / perSecond)))
			if n == total/10 {
				early = heap()
			}
			ask := text[n%len(text)]
			if n%5 == 0 {
				ask = pictures[n/5%len(pictures)]
			}
			asked := time.Now()
			a := fake.Ask(ask)
			all.Go(func() {
				select {
				case <-a.Done():
					fake.Forget(a)
				case <-time.After(20 * time.Second):
				}
				mu.Lock()
				defer mu.Unlock()
				if took = append(took, time.Since(asked)); took[len(took)-1] > 20*time.Second {
					lost++
				}
			})
		}
		all.Wait()
		late = heap()
		slices.Sort(took)
		at := func(share float64) float64 {
			return float64(took[int(share*float64(len(took)-1))].Microseconds()) / 1000
		}
		b.ReportMetric(at(.5), "p50-ms")
		b.ReportMetric(at(.99), "p99-ms")
		b.ReportMetric(at(1), "max-ms")
		b.ReportMetric(early, "early-MB")
		b.ReportMetric(late, "late-MB")
		b.ReportMetric(float64(lost), "lost")
	}
}

// heap is what is in use, in MB.
func heap() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / (1 << 20)
}

// BenchmarkManyServers connects to 10,000 servers of 100 members each, which
// are all told at the start, and noted at a millisecond each. It reports what
// of the heap that takes in the end and at most (with what the stand-in makes),
// in MB, and the seconds until all are told.
func BenchmarkManyServers(b *testing.B) {
	set := commands.All(newCommunity(), nil)
	ask := example(b, set, benchLine)
	for b.Loop() {
		before := heap()
		var told, most atomic.Int64
		stopped := make(chan struct{})
		go func() {
			sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
			for {
				select {
				case <-stopped:
					return
				case <-time.After(10 * time.Millisecond):
				}
				metrics.Read(sample)
				most.Store(max(most.Load(), int64(sample[0].Value.Uint64())))
			}
		}()
		start := time.Now()
		fake, stop := serving(b, set, func(s *Service, f *loopback.Service) {
			s.log, f.Unchecked, f.Servers, f.Members = slog.New(slog.DiscardHandler), true, 10_000, 100
			s.options.Belongs = func(string, bool) {
				time.Sleep(time.Millisecond)
				told.Add(1)
			}
		})
		fake.Ask(ask).Wait() // while they are told
		for told.Load() < 10_000 {
			time.Sleep(time.Millisecond)
		}
		took := time.Since(start)
		close(stopped)
		b.ReportMetric(heap()-before, "MB")
		b.ReportMetric(float64(most.Load())/(1<<20)-before, "peak-MB")
		b.ReportMetric(took.Seconds(), "s-told")
		if err := stop(); err != nil {
			b.Error(err)
		}
	}
}
