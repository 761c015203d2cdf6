package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat"
	"countwright/bot/chat/loopback"
	"countwright/calc/schedule"
	"countwright/commands"
	"countwright/commands/reply"
	"countwright/store"
)

// morning is when the tests of check-ins begin. They run in a bubble of time.
var morning = time.Date(2027, 1, 4, 9, 0, 0, 0, time.UTC)

// post office: a database, a stand-in of the service, and what sends the posts
// of the one to the other.
type postOffice struct {
	*checkIns
	t     *testing.T
	store *store.Store
	fake  *loopback.Service
	ahead atomic.Int64 // nanoseconds, of the bubble's clock

	mu       sync.Mutex
	outcomes map[string]int
}

// openOffice must be called in a bubble.
func openOffice(t *testing.T) *postOffice {
	t.Helper()
	time.Sleep(time.Until(morning))
	o := &postOffice{t: t, fake: loopback.Start(t)}
	clock := func() time.Time { return time.Now().Add(time.Duration(o.ahead.Load())) }
	s, err := store.Open(t.Context(), store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	o.store, o.fake.Now = s, clock
	o.checkIns = &checkIns{outbox: s, word: tell, surface: o.service(o.fake.InProcess()), now: clock, log: slog.New(slog.DiscardHandler)}
	o.outcomes = map[string]int{}
	o.count = func(outcome string) {
		o.mu.Lock()
		defer o.mu.Unlock()
		o.outcomes[outcome]++
	}
	return o
}

func (o *postOffice) service(transport http.RoundTripper) *chat.Service {
	service, err := chat.New(chat.Options{Token: loopback.Token, Set: commands.All(commands.Services{}, nil), Transport: transport})
	if err != nil {
		o.t.Fatal(err)
	}
	return service
}

// plan opens a make-along with posts of a kind at given times after the
// morning: their keys are the kind and their number.
func (o *postOffice) plan(channel string, course commands.Course, kind commands.PostKind, due ...time.Duration) commands.MakeAlong {
	o.t.Helper()
	alongs := makeAlongs{o.store}
	course.Start, course.Zone = schedule.DateOf(morning, time.UTC), "UTC"
	m, err := alongs.Make(o.t.Context(), "", "host", commands.MakeAlong{Server: loopback.Server, Channel: channel, Name: fmt.Sprint("Hats of ", rand.Uint64()), Host: "host", Course: course})
	if err != nil {
		o.t.Fatal(err)
	}
	m.State = commands.AlongOpen
	var posts []commands.Post
	for i, at := range due {
		posts = append(posts, commands.Post{Key: fmt.Sprintf("%s/%d", kind, i), Kind: kind, Milestone: i, Due: morning.Add(at), To: "host"})
	}
	if m, err = alongs.Save(o.t.Context(), "", "host", m, posts); err != nil {
		o.t.Fatal(err)
	}
	return m
}

// minutes sweeps every minute.
func (o *postOffice) minutes(n int) {
	for range n {
		o.sweep(o.t.Context())
		time.Sleep(time.Minute)
	}
}

func (o *postOffice) state(id int64) commands.MakeAlongState {
	o.t.Helper()
	m, ok, err := makeAlongs{o.store}.Along(o.t.Context(), id)
	if err != nil || !ok {
		o.t.Fatal(ok, err)
	}
	return m.State
}

// unsettled are the posts that are neither sent nor told nor left out.
func (o *postOffice) unsettled(along int64) (keys []string) {
	o.t.Helper()
	posts, err := o.store.MakeAlongPosts(o.t.Context(), along)
	if err != nil {
		o.t.Fatal(err)
	}
	for _, p := range posts {
		if p.State == store.PostPlanned || p.State == store.PostTaken {
			keys = append(keys, p.Key)
		}
	}
	return keys
}

// tell words a post by the keys that it tells, the oldest first.
func tell(_ context.Context, p commands.Posting) (commands.Wording, error) {
	keys := []string{}
	for _, m := range p.Merged {
		keys = append(keys, m.Key)
	}
	keys = append(keys, p.Key)
	return commands.Wording{Reply: &reply.Reply{Title: "A post", Private: p.Kind == commands.HostNote, Parts: []reply.Block{reply.Text{Text: strings.Join(keys, " ")}},
		Actions: []reply.Action{reply.Button{Label: "Board", Line: fmt.Sprintf("/makealong answer say:done post:%d", p.ID)}}}}, nil
}

// told are the keys that the messages tell.
func told(posts []*loopback.Posted) (keys []string) {
	for _, p := range posts {
		lines := strings.Split(strings.TrimSpace(p.Content), "\n")
		keys = append(keys, strings.Fields(lines[len(lines)-1])...)
	}
	return keys
}

// lifetime ends a process at a random step: nothing that it does afterwards
// arrives anywhere, and of what it was doing it never learns.
type lifetime struct {
	mu    sync.Mutex
	steps int
}

var errKilled = errors.New("killed")

// step reports whether the process is dead.
func (l *lifetime) step() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.steps--
	return l.steps <= 0
}

// during does something unless the process is dead by then, and loses the
// outcome where it dies meanwhile.
func during[T any](l *lifetime, do func() (T, error)) (T, error) {
	var none T
	if l.step() {
		return none, errKilled
	}
	result, err := do()
	if l.step() {
		return none, errKilled
	}
	return result, err
}

func (l *lifetime) do(do func() error) error {
	_, err := during(l, func() (int, error) { return 0, do() })
	return err
}

// mortalBox is the outbox of a process with a lifetime.
type mortalBox struct {
	outbox
	*lifetime
}

func (b mortalBox) TakeDue(ctx context.Context, who string, lease time.Duration, limit int) ([]store.TakenPost, error) {
	return during(b.lifetime, func() ([]store.TakenPost, error) { return b.outbox.TakeDue(ctx, who, lease, limit) })
}

func (b mortalBox) SentPost(ctx context.Context, who string, id int64, message string, at time.Time) error {
	return b.do(func() error { return b.outbox.SentPost(ctx, who, id, message, at) })
}

func (b mortalBox) SkipPost(ctx context.Context, who string, id int64, why string, instead ...store.Post) error {
	return b.do(func() error { return b.outbox.SkipPost(ctx, who, id, why, instead...) })
}

func (b mortalBox) PutOff(ctx context.Context, who string, id int64, until time.Time, tried bool) error {
	return b.do(func() error { return b.outbox.PutOff(ctx, who, id, until, tried) })
}

func (b mortalBox) UntriedPost(ctx context.Context, who string, id int64) error {
	return b.do(func() error { return b.outbox.UntriedPost(ctx, who, id) })
}

func (b mortalBox) BlockMakeAlong(ctx context.Context, who string, post int64, why, note string) error {
	return b.do(func() error { return b.outbox.BlockMakeAlong(ctx, who, post, why, note) })
}

// mortalWire is the network of a process with a lifetime.
type mortalWire struct {
	http.RoundTripper
	*lifetime
}

func (w mortalWire) RoundTrip(r *http.Request) (*http.Response, error) {
	return during(w.lifetime, func() (*http.Response, error) { return w.RoundTripper.RoundTrip(r) })
}

// process is a sweep's process that is killed after a random number of steps.
func (o *postOffice) process(steps int) (*checkIns, *lifetime) {
	l := &lifetime{steps: steps}
	c := *o.checkIns
	c.outbox = mortalBox{o.store, l}
	c.surface = o.service(mortalWire{o.fake.InProcess(), l})
	return &c, l
}

// troubles are all that can happen to a request, one in so many times.
func troubles(oneIn int) func(*http.Request) loopback.Trouble {
	all := []loopback.Trouble{
		{Status: 500}, {Status: 503}, {Status: 500, Accepted: true}, {Cut: true}, {Cut: true, Accepted: true}, {Hang: true}, {Hang: true, Accepted: true},
		{Status: 429, Scope: "user", After: 2 * time.Second}, {Status: 429, Scope: "global", After: time.Second}, {Status: 429, Scope: "shared", After: 90 * time.Second},
	}
	var mu sync.Mutex
	random := rand.New(rand.NewPCG(7, 7))
	return func(*http.Request) loopback.Trouble {
		mu.Lock()
		defer mu.Unlock()
		if random.IntN(oneIn) > 0 {
			return loopback.Trouble{}
		}
		return all[random.IntN(len(all))]
	}
}

// once fails the test where a key was told other than once.
func once(t *testing.T, where string, got, want []string) {
	t.Helper()
	slices.Sort(got)
	slices.Sort(want)
	counts := map[string]int{}
	for _, key := range got {
		counts[key]++
	}
	for _, key := range want {
		if counts[key] != 1 {
			t.Errorf("%s: %s was told %d times", where, key, counts[key])
		}
		delete(counts, key)
	}
	for key := range counts {
		t.Errorf("%s: %s was told, and nobody planned it", where, key)
	}
}
