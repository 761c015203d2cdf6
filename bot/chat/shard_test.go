package chat

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// Source: the service's documentation, events/gateway, "Sharding":
// shard_id = (guild_id >> 22) % num_shards. Its example of an id is that of
// reference, "Snowflakes": 175928847299117063 was made 41944705796 ms after
// the service's own epoch.
func TestShardFormula(t *testing.T) {
	const made = 41944705796
	for count := 1; count < 50; count++ {
		if got := loopback.ShardOf("175928847299117063", count); got != made%count {
			t.Errorf("of %d: %d", count, got)
		}
	}
	if loopback.ShardOf("", 8) != 0 {
		t.Error("direct messages belong to the first")
	}
}

// serverOf finds a server that belongs to a shard.
func serverOf(shard, count int) string {
	for n := 0; ; n++ {
		if id := fmt.Sprint(400000000000000000 + n<<22); loopback.ShardOf(id, count) == shard {
			return id
		}
	}
}

func answersOn(t *testing.T, fake *loopback.Service, shard, count int) {
	t.Helper()
	text := fmt.Sprint("on shard ", shard)
	if m := fake.Ask(loopback.Ask{Path: "say", Server: serverOf(shard, count), Options: map[string]string{"text": text}}).Shown(); !strings.Contains(m.Content, text) {
		t.Errorf("got %s", m.Content)
	}
}

func TestShards(t *testing.T) {
	t.Parallel()
	var s *Service
	const count = 5
	fake, _ := serving(t, newStubs().set(), func(it *Service, f *loopback.Service) { s, f.Shards = it, count })
	for shard := range count {
		answersOn(t, fake, shard, count)
	}
	direct := fake.Ask(loopback.Ask{Path: "say", Direct: true, Options: map[string]string{"text": "alone"}})
	if m := direct.Shown(); !strings.Contains(m.Content, "alone") {
		t.Errorf("got %s", m.Content)
	}
	started := map[int]bool{}
	for _, b := range fake.Started() {
		if started[b.Shard] || b.Count != count {
			t.Errorf("began %+v", b)
		}
		started[b.Shard] = true
	}
	if len(started) != count || len(s.Connections()) != count {
		t.Errorf("%d began, %d stand", len(started), len(s.Connections()))
	}
}

// One shard fails alone: the others answer all the while, and it comes back
// with its session.
func TestOneShardFailsAlone(t *testing.T) {
	t.Parallel()
	const count = 3
	var s *Service
	fake, _ := serving(t, newStubs().set(), func(it *Service, f *loopback.Service) { s, f.Shards = it, count })
	for _, fail := range []func(){
		func() { fake.Drop(1) },
		func() { fake.Close(4000, 1) },
		func() { fake.Send(7, "null", 1) },
		func() { fake.Send(9, "true", 1) },
	} {
		resumes := fake.Count("resume")
		fail()
		fake.Connected(count - 1)
		answersOn(t, fake, 0, count)
		answersOn(t, fake, 2, count)
		waitFor(t, "the resume", func() bool { return fake.Count("resume") == resumes+1 })
		fake.Online()
		answersOn(t, fake, 1, count)
	}
	if n := fake.Count("identify"); n != count {
		t.Errorf("%d identifies", n)
	}
	waitFor(t, "all connections", func() bool {
		for _, c := range s.Connections() {
			if !c.Connected {
				return false
			}
		}
		return true
	})
}

// A fatal code on one shard ends all: nothing that another attempt would mend.
func TestFatalCodeOnOneShard(t *testing.T) {
	t.Parallel()
	fake := loopback.Start(t)
	fake.Shards = 3
	ended := running(t, fake, nil)
	fake.Online()
	fake.Close(4014, 2)
	select {
	case err := <-ended:
		if err == nil || !strings.Contains(err.Error(), "intent") {
			t.Errorf("got %v", err)
		}
	case <-time.After(10 * time.Second):
		t.Error("it goes on")
	}
}

// Two processes share the shards by their ranges.
func TestRangeOfShards(t *testing.T) {
	t.Parallel()
	fake := loopback.Start(t)
	fake.Shards = 4
	for _, o := range []Shards{{Count: 4, First: 0, Last: 1}, {Count: 4, First: 2, Last: 3}} {
		running(t, fake, func(s *Service) { s.options.Shards = o })
	}
	fake.Online()
	for shard := range 4 {
		answersOn(t, fake, shard, 4)
	}
	if n := fake.Count("identify"); n != 4 {
		t.Errorf("%d identifies", n)
	}
}

// In each of the service's buckets one session begins in so much time; the
// buckets are the shard's number modulo max_concurrency.
func TestSessionsBeginInTheirTurn(t *testing.T) {
	t.Parallel()
	const every, count, concurrency = 150 * time.Millisecond, 6, 2
	fake, _ := serving(t, newStubs().set(), func(s *Service, f *loopback.Service) {
		f.Shards, f.Concurrency, s.timing.begin = count, concurrency, every
	})
	last := map[int]time.Time{}
	for _, b := range fake.Started() {
		bucket := b.Shard % concurrency
		if gap := b.At.Sub(last[bucket]); gap < every-20*time.Millisecond {
			t.Errorf("shard %d began %v after another of its bucket", b.Shard, gap)
		}
		last[bucket] = b.At
	}
	if all := fake.Started(); all[len(all)-1].At.Sub(all[0].At) > count*every {
		t.Errorf("the buckets waited for each other: %v", all[len(all)-1].At.Sub(all[0].At))
	}
}

func TestWaitingForATurnEnds(t *testing.T) {
	s := starts{every: time.Hour}
	free, err := s.take(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	free()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	if _, err := s.take(ctx, 0); err == nil {
		t.Error("a second began at once")
	}
	if free, err := s.take(t.Context(), 1); err != nil {
		t.Error(err)
	} else {
		free()
	}
}
