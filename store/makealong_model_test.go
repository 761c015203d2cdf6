package store

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// outbox is what the state machine expects of all posts: plain lists, looked
// through from end to end.
type outbox struct {
	s      *Store
	clock  *clock
	alongs []*modelAlong
	sends  map[int64]int // how often a post was marked as sent, by its id
	told   map[string]int
}

type modelAlong struct {
	MakeAlong
	posts []*modelPost // in order of when they are due, then of planning
}

type modelPost struct {
	id       int64
	key      string
	kind     string
	due      time.Time
	state    string
	wake     time.Time // a planned one's, or the end of the lease
	attempts int
	first    time.Time
	nonce    string
	who      string
	carrier  *modelPost
}

var (
	modelWorkers = []string{"a", "b", "c"}
	modelKinds   = map[string]string{"welcome": "welcome", "m0": "milestone", "m1": "milestone", "m2": "milestone", "h0": "midway", "h1": "midway", "end": "farewell", "note": "host", "event": "event"}
)

func (p *modelPost) single() bool { return p.kind == "host" || p.kind == "event" }

func (p *modelPost) settled() bool {
	return p.state == PostSent || p.state == PostMerged || p.state == PostSkipped
}

// posts tells whether a make-along posts this in its state.
func (m *modelAlong) speaks(p *modelPost) bool {
	return m.State == AlongOpen || p.kind == "host" && m.State != AlongDraft ||
		m.State == AlongClosed && (p.kind == "farewell" || p.attempts > 0)
}

// take predicts what a sweep without a limit takes of one make-along: the lists
// of a post and what it carries.
func (m *modelAlong) take(now time.Time) [][]*modelPost {
	var taken [][]*modelPost
	var open, due []*modelPost
	for _, p := range m.posts {
		if p.settled() || p.carrier != nil {
			continue
		}
		ready := m.speaks(p) && !p.wake.After(now)
		switch {
		case p.single():
			if ready {
				taken = append(taken, []*modelPost{p})
			}
		case p.attempts > 0:
			open = append(open, p)
		case ready:
			due = append(due, p)
		}
	}
	for _, p := range open { // what was tried goes first, alone with what it carries
		if p.state == PostTaken && p.wake.After(now) {
			return taken
		}
	}
	if len(open) > 0 {
		for _, p := range open {
			if m.speaks(p) && !p.wake.After(now) {
				return append(taken, m.with(p))
			}
		}
		return taken
	}
	if len(due) == 0 {
		return taken
	}
	best := due[len(due)-1]
	rank := map[string]int{"farewell": 2, "milestone": 1}
	for _, p := range due {
		if rank[p.kind] > rank[best.kind] || rank[p.kind] == rank[best.kind] && rank[p.kind] > 0 && !p.due.Before(best.due) {
			best = p
		}
	}
	list := []*modelPost{best}
	for _, p := range due {
		if p != best {
			list = append(list, p)
		}
	}
	return append(taken, list)
}

// with is a post and what it carries.
func (m *modelAlong) with(p *modelPost) []*modelPost {
	list := []*modelPost{p}
	for _, o := range m.posts {
		if o.carrier == p {
			list = append(list, o)
		}
	}
	return list
}

func (o *outbox) along(t *rapid.T) *modelAlong {
	return rapid.SampledFrom(o.alongs).Draw(t, "along")
}

func (o *outbox) later(t *rapid.T) {
	o.clock.add(time.Duration(rapid.IntRange(1, 90).Draw(t, "minutes")) * time.Minute)
}

// save changes the state and plans anew.
func (o *outbox) save(t *rapid.T) {
	m := o.along(t)
	change := m.MakeAlong
	change.State = rapid.SampledFrom([]string{AlongOpen, AlongOpen, AlongOpen, AlongPaused, AlongClosed, AlongDraft}).Draw(t, "state")
	var posts []Post
	for _, key := range rapid.SliceOfDistinct(rapid.SampledFrom(sortedKeys(modelKinds)), rapid.ID[string]).Draw(t, "keys") {
		posts = append(posts, Post{Key: key, Kind: modelKinds[key], Milestone: -1, Due: o.clock.now().Add(time.Duration(rapid.IntRange(-60, 600).Draw(t, "due")) * time.Minute)})
	}
	if rapid.IntRange(0, 9).Draw(t, "stale") == 0 {
		change.Version--
		_, err := o.s.SaveMakeAlong(t.Context(), by("odile"), change, posts)
		expect(t, err, ErrStale)
		return
	}
	saved, err := o.s.SaveMakeAlong(t.Context(), by("odile"), change, posts)
	expect(t, err, nil)
	m.MakeAlong = saved
	m.replan(posts)
	o.learn(t, m)
}

func sortedKeys(m map[string]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (m *modelAlong) replan(posts []Post) {
	m.posts = slices.DeleteFunc(m.posts, func(p *modelPost) bool { return p.state == PostPlanned && p.attempts == 0 })
	for _, post := range posts {
		at := slices.IndexFunc(m.posts, func(p *modelPost) bool { return p.key == post.Key })
		switch {
		case at < 0:
			m.posts = append(m.posts, &modelPost{key: post.Key, kind: post.Kind, due: moment(post.Due.UnixMilli()), state: PostPlanned})
		case m.posts[at].state == PostPlanned:
			m.posts[at].due = moment(post.Due.UnixMilli())
		}
	}
	for _, p := range m.posts {
		if p.state == PostPlanned {
			p.wake = p.due
		}
	}
}

// learn takes over what only the store can know: numbers and nonces.
func (o *outbox) learn(t *rapid.T, m *modelAlong) {
	posts, err := o.s.MakeAlongPosts(t.Context(), m.ID)
	expect(t, err, nil)
	for _, p := range m.posts {
		for _, post := range posts {
			if post.Key == p.key && p.id == 0 {
				p.id, p.nonce = post.ID, post.Nonce
			}
		}
	}
	slices.SortStableFunc(m.posts, func(a, b *modelPost) int {
		if c := a.due.Compare(b.due); c != 0 {
			return c
		}
		return int(a.id - b.id)
	})
}

func (o *outbox) take(t *rapid.T) {
	who := rapid.SampledFrom(modelWorkers).Draw(t, "who")
	lease := time.Duration(rapid.IntRange(1, 60).Draw(t, "lease")) * time.Minute
	now := o.clock.now()
	got, err := o.s.TakeDue(t.Context(), who, lease, 1000)
	expect(t, err, nil)
	var said, want []string
	for _, p := range got {
		said = append(said, fmt.Sprintf("%d %d %v %s %s", p.ID, p.Attempts, p.FirstTry.Sub(day), p.Nonce, keys([]TakenPost{p})))
	}
	for _, m := range o.alongs {
		for _, list := range m.take(now) {
			head := list[0]
			head.state, head.who, head.wake = PostTaken, who, now.Add(lease)
			if head.attempts++; head.attempts == 1 {
				head.first = now
			}
			taken := TakenPost{Post: Post{Key: head.key}}
			for _, p := range list[1:] {
				p.state, p.carrier = PostTaken, head
				taken.Merged = append(taken.Merged, Post{Key: p.key})
			}
			want = append(want, fmt.Sprintf("%d %d %v %s %s", head.id, head.attempts, head.first.Sub(day), head.nonce, keys([]TakenPost{taken})))
		}
	}
	slices.Sort(said)
	slices.Sort(want)
	if !slices.Equal(said, want) {
		t.Fatalf("taken:\n%s\nwant:\n%s", strings.Join(said, "\n"), strings.Join(want, "\n"))
	}
}

// mark settles, or tries to settle, a post of whatever state.
func (o *outbox) mark(t *rapid.T) {
	m := o.along(t)
	if len(m.posts) == 0 {
		return
	}
	p := rapid.SampledFrom(m.posts).Draw(t, "post")
	who := rapid.SampledFrom(append(modelWorkers, p.who)).Draw(t, "who")
	held := p.state == PostTaken && p.carrier == nil && p.who == who
	now := o.clock.now()
	ctx := t.Context()
	result := func(err error, already bool) {
		switch {
		case held || already:
			expect(t, err, nil)
		default:
			expect(t, err, ErrConflict)
		}
	}
	switch how := rapid.SampledFrom([]string{"sent", "sent", "skip", "put off", "tried", "block"}).Draw(t, "how"); how {
	case "sent":
		result(o.s.SentPost(ctx, who, p.id, "message", now), p.state == PostSent)
		if held {
			o.sends[p.id]++
			o.told[fmt.Sprint(m.ID, p.key)]++
			for _, c := range m.with(p)[1:] {
				c.state, c.carrier = PostMerged, nil
				o.told[fmt.Sprint(m.ID, c.key)]++
			}
			p.state = PostSent
		}
	case "skip":
		result(o.s.SkipPost(ctx, who, p.id, "quiet"), p.state == PostSkipped)
		if held {
			for _, c := range m.with(p) {
				c.state, c.carrier = PostSkipped, nil
			}
		}
	case "put off", "tried":
		until := now.Add(time.Duration(rapid.IntRange(0, 120).Draw(t, "until")) * time.Minute)
		result(o.s.PutOff(ctx, who, p.id, until, how == "tried"), p.state == PostPlanned)
		if held {
			m.release(p, until, how == "tried")
		}
	case "block":
		result(o.s.BlockMakeAlong(ctx, who, p.id, "gone", "note"), m.State == AlongBlocked)
		if held && m.State == AlongClosed {
			for _, c := range m.with(p) {
				c.state, c.carrier = PostSkipped, nil
			}
		} else if held {
			m.release(p, p.due, false)
			if m.State == AlongOpen {
				m.State = AlongBlocked
				m.Version++
				m.posts = append(m.posts, &modelPost{key: fmt.Sprint("blocked/", m.Version), kind: "host", due: now, wake: now, state: PostPlanned})
				o.learn(t, m)
			}
		}
	}
}

func (m *modelAlong) release(p *modelPost, until time.Time, tried bool) {
	carried := m.with(p)[1:]
	p.state, p.who, p.wake = PostPlanned, "", until
	if tried {
		return
	}
	if p.attempts--; p.attempts > 0 {
		return
	}
	p.first = time.Time{}
	for _, c := range carried {
		c.state, c.carrier, c.wake = PostPlanned, nil, until
	}
}

func (o *outbox) check(t *rapid.T) {
	due := 0
	for _, m := range o.alongs {
		posts, err := o.s.MakeAlongPosts(t.Context(), m.ID)
		expect(t, err, nil)
		if len(posts) != len(m.posts) {
			t.Fatalf("%d posts, want %d", len(posts), len(m.posts))
		}
		onItsWay := 0
		for i, p := range m.posts {
			got := posts[i]
			if got.ID != p.id || got.Key != p.key || got.State != p.state || !got.Due.Equal(p.due) || got.Nonce != p.nonce ||
				!p.settled() && (got.Attempts != p.attempts || !got.FirstTry.Equal(p.first)) {
				t.Fatalf("post %+v, want %+v", got, *p)
			}
			if !p.settled() && p.carrier == nil && m.speaks(p) != !got.wake.IsZero() || m.speaks(p) && !got.wake.IsZero() && !got.wake.Equal(p.wake) {
				t.Fatalf("post %+v may be taken from %v, want %v in a make-along that is %s", got, got.wake, p.wake, m.State)
			}
			if p.state == PostTaken && !p.single() && p.carrier == nil {
				onItsWay++
			}
			if !got.wake.IsZero() && !got.wake.After(o.clock.now()) {
				due++
			}
			if o.sends[p.id] > 1 || o.told[fmt.Sprint(m.ID, p.key)] > 1 {
				t.Fatalf("post %s told %d times", p.key, o.told[fmt.Sprint(m.ID, p.key)])
			}
		}
		if onItsWay > 1 {
			t.Fatalf("%d posts are on their way to one channel", onItsWay)
		}
	}
	if n, _, err := o.s.PostBacklog(t.Context()); n != due {
		t.Fatalf("%d are due, want %d (%v)", n, due, err)
	}
}

func TestOutboxAgainstAModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := &clock{at: day}
		s, err := Open(t.Context(), Options{Now: c.now})
		expect(t, err, nil)
		defer s.Close()
		o := &outbox{s: s, clock: c, sends: map[int64]int{}, told: map[string]int{}}
		for i := range 3 {
			m, err := s.AddMakeAlong(t.Context(), by("odile"), MakeAlong{Server: "harbour", Name: fmt.Sprint("Socks ", i), Course: socks})
			expect(t, err, nil)
			o.alongs = append(o.alongs, &modelAlong{MakeAlong: m})
		}
		t.Repeat(map[string]func(*rapid.T){"save": o.save, "take": o.take, "sweep": o.take, "mark": o.mark, "settle": o.mark, "later": o.later, "": o.check})
	})
}
