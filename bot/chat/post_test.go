package chat

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/commands"
	"countwright/commands/reply"
)

// posting is a Service that is not connected: it only posts.
func posting(tb testing.TB) (*Service, *loopback.Service) {
	tb.Helper()
	fake := loopback.Start(tb)
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set(), Transport: fake.InProcess()})
	if err != nil {
		tb.Fatal(err)
	}
	return s, fake
}

func checkIn(n int) reply.Reply {
	return reply.Reply{Title: "The back", Parts: []reply.Block{reply.Text{Text: fmt.Sprintf("Number %d, @everyone", n)}},
		Actions: []reply.Action{reply.Button{Label: "On it", Line: fmt.Sprintf(`/makealong answer say:"on it" post:%d`, n)}}}
}

func TestPostPingsOnlyWhomItSays(t *testing.T) {
	t.Parallel()
	s, fake := posting(t)
	channel := fake.Open(loopback.Server)
	r := checkIn(1)
	r.Pings = []string{"300000000000000007"}
	id, err := s.Post(t.Context(), Place{Channel: channel}, r, "nonce-1")
	if err != nil {
		t.Fatal(err)
	}
	posts := fake.Posts(channel)
	if len(posts) != 1 || posts[0].ID != id || len(posts[0].Pings()) != 1 || posts[0].Pings()[0] != "300000000000000007" {
		t.Errorf("got %+v", posts)
	}
}

func TestTheSameNonceIsOnePost(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(noon))
		s, fake := posting(t)
		channel := fake.Open(loopback.Server)
		first, err := s.Post(t.Context(), Place{Channel: channel}, checkIn(1), "nonce-1")
		again, err2 := s.Post(t.Context(), Place{Channel: channel}, checkIn(1), "nonce-1")
		if err != nil || err2 != nil || first != again || len(fake.Posts(channel)) != 1 {
			t.Errorf("%s %v, %s %v, %d posts", first, err, again, err2, len(fake.Posts(channel)))
		}
		time.Sleep(time.Hour) // the service has forgotten the nonce: only looking helps
		found, err := s.Find(t.Context(), Place{Channel: channel}, "post:1", time.Now().Add(-time.Hour))
		if err != nil || found != first {
			t.Errorf("found %q, %v", found, err)
		}
	})
}

func TestFind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(noon))
		s, fake := posting(t)
		channel, busy := fake.Open(loopback.Server), fake.Open(loopback.Server)
		start := time.Now()
		post := func(n int) string {
			id, err := s.Post(t.Context(), Place{Channel: channel}, checkIn(n), fmt.Sprint("nonce-", n))
			if err != nil {
				t.Fatal(err)
			}
			return id
		}
		old := post(12)
		for range 250 { // people talk: it is pages away
			fake.Write(channel, "300000000000000001")
		}
		time.Sleep(time.Hour)
		wanted := post(123)
		for range 250 {
			fake.Write(channel, "300000000000000001")
		}
		for _, tt := range []struct {
			mark  string
			since time.Time
			want  string
		}{
			{"post:123", start, wanted},
			{"post:12", start, old},
			{"post:12", start.Add(time.Hour), ""}, // it is from before
			{"post:1", start, ""},
			{"post:1234", start, ""},
		} {
			if got, err := s.Find(t.Context(), Place{Channel: channel}, tt.mark, tt.since); err != nil || got != tt.want {
				t.Errorf("%s since %v: %q, %v; want %q", tt.mark, tt.since, got, err, tt.want)
			}
		}
		if got, err := s.Find(t.Context(), Place{Channel: busy}, "post:123", start); err != nil || got != "" {
			t.Errorf("in an empty channel: %q, %v", got, err)
		}
	})
}

func TestScene(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(noon))
		s, fake := posting(t)
		channel := fake.Open(loopback.Server)
		scene, err := s.Scene(t.Context(), channel, "host")
		if err != nil || !scene.Wrote.IsZero() || !scene.Host.IsZero() {
			t.Errorf("empty: %+v, %v", scene, err)
		}
		fake.Write(channel, "host")
		hosted := time.Now()
		time.Sleep(time.Hour)
		fake.Write(channel, "300000000000000001")
		wrote := time.Now()
		time.Sleep(time.Hour)
		if _, err := s.Post(t.Context(), Place{Channel: channel}, checkIn(1), "nonce-1"); err != nil {
			t.Fatal(err)
		}
		scene, err = s.Scene(t.Context(), channel, "host")
		if err != nil || !scene.Wrote.Equal(wrote) || !scene.Host.Equal(hosted) {
			t.Errorf("%+v, %v; want %v and %v", scene, err, wrote, hosted)
		}
	})
}

func TestWhatBecomesOfAPost(t *testing.T) {
	for name, tt := range map[string]struct {
		refusal loopback.Refusal
		trouble loopback.Trouble
		want    error
		after   time.Duration // of a Later
		all     bool
		posts   int // that are there nevertheless
	}{
		"deleted":        {refusal: loopback.Deleted, want: ErrGone},
		"kicked":         {refusal: loopback.NoAccess, want: ErrGone},
		"not allowed":    {refusal: loopback.Forbidden, want: ErrGone},
		"500":            {trouble: loopback.Trouble{Status: 500}, want: ErrUnsure},
		"500 after all":  {trouble: loopback.Trouble{Status: 500, Accepted: true}, want: ErrUnsure, posts: 1},
		"cut":            {trouble: loopback.Trouble{Cut: true}, want: ErrUnsure},
		"time-out":       {trouble: loopback.Trouble{Hang: true}, want: ErrUnsure},
		"accepted, lost": {trouble: loopback.Trouble{Hang: true, Accepted: true}, want: ErrUnsure, posts: 1},
		"429, long":      {trouble: loopback.Trouble{Status: 429, Scope: "shared", After: time.Minute}, after: time.Minute},
		"the wall":       {trouble: loopback.Trouble{Status: 429, Wall: true, After: 20 * time.Minute}, after: 20 * time.Minute, all: true},
		"the wall, 403":  {trouble: loopback.Trouble{Status: 403, Wall: true, After: 20 * time.Minute}, after: 20 * time.Minute, all: true},
		"401":            {trouble: loopback.Trouble{Status: 401}, after: wallPause, all: true},
		"form":           {trouble: loopback.Trouble{Status: 400}, want: ErrRefused},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				time.Sleep(time.Until(noon))
				s, fake := posting(t)
				channel := fake.Open(loopback.Server)
				fake.Refuse(channel, tt.refusal)
				fake.Meddle = func(*http.Request) loopback.Trouble { return tt.trouble }
				_, err := s.Post(t.Context(), Place{Channel: channel}, checkIn(1), "nonce-1")
				var put *Later
				switch {
				case tt.want != nil && !errors.Is(err, tt.want):
					t.Errorf("got %v, want %v", err, tt.want)
				case tt.want == nil && (!errors.As(err, &put) || put.After < tt.after || put.After > tt.after+time.Second || put.All != tt.all):
					t.Errorf("got %v, want later by %v", err, tt.after)
				}
				if err != nil && strings.Contains(err.Error(), loopback.Token) {
					t.Errorf("a token: %v", err)
				}
				if n := len(fake.Posts(channel)); n != tt.posts {
					t.Errorf("%d posts", n)
				}
			})
		})
	}
}

func TestShortLimitsAreWaitedFor(t *testing.T) {
	for _, scope := range []string{"user", "shared", "global"} {
		synctest.Test(t, func(t *testing.T) {
			time.Sleep(time.Until(noon))
			s, fake := posting(t)
			channel := fake.Open(loopback.Server)
			n := 0
			fake.Meddle = func(*http.Request) loopback.Trouble {
				if n++; n <= 2 {
					return loopback.Trouble{Status: 429, Scope: scope, After: 4 * time.Second}
				}
				return loopback.Trouble{}
			}
			start := time.Now()
			if _, err := s.Post(t.Context(), Place{Channel: channel}, checkIn(1), "nonce-1"); err != nil || len(fake.Posts(channel)) != 1 {
				t.Errorf("%s: %v", scope, err)
			}
			if took := time.Since(start); took < 8*time.Second {
				t.Errorf("%s: came back after %v", scope, took)
			}
		})
	}
}

func TestDirectMessages(t *testing.T) {
	t.Parallel()
	s, fake := posting(t)
	for n := range 2 {
		if _, err := s.Post(t.Context(), Place{Member: "300000000000000001"}, checkIn(n), fmt.Sprint("nonce-", n)); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(fake.Direct("300000000000000001")); n != 2 {
		t.Errorf("%d messages", n)
	}
	if id, err := s.Find(t.Context(), Place{Member: "300000000000000001"}, "post:1", time.Now()); err != nil || id == "" {
		t.Errorf("found %q, %v", id, err)
	}
	fake.Refuse("direct-300000000000000002", loopback.NoDirect)
	if _, err := s.Post(t.Context(), Place{Member: "300000000000000002"}, checkIn(1), "nonce-3"); !errors.Is(err, ErrGone) {
		t.Errorf("got %v", err)
	}
	if _, err := s.Post(t.Context(), Place{}, checkIn(1), "nonce-3"); !errors.Is(err, ErrGone) {
		t.Errorf("nobody: %v", err)
	}
}

func TestEvents(t *testing.T) {
	t.Parallel()
	s, fake := posting(t)
	start := time.Now().Add(48 * time.Hour)
	card := commands.EventCard{Name: "Spring hat: the crown", Description: "We meet here.\nMilestone 1 of make-along 3", Start: start, End: start.Add(time.Hour),
		Location: "#crochet", Mark: "Milestone 1 of make-along 3"}
	first, err := s.Event(t.Context(), loopback.Server, card)
	again, err2 := s.Event(t.Context(), loopback.Server, card)
	if err != nil || err2 != nil || first == "" || first != again || len(fake.Events(loopback.Server)) != 1 {
		t.Errorf("%q %v, %q %v, %d events", first, err, again, err2, len(fake.Events(loopback.Server)))
	}
	if e := fake.Events(loopback.Server)[0]; !e.Start.Equal(start.Truncate(time.Second)) || e.Name != card.Name {
		t.Errorf("got %+v", e)
	}
	fake.Refuse("400000000000000002", loopback.Forbidden)
	if _, err := s.Event(t.Context(), "400000000000000002", card); !errors.Is(err, ErrGone) {
		t.Errorf("not permitted: %v", err)
	}
}
