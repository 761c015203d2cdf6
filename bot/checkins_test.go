package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/commands"
	"countwright/commands/reply"
	"countwright/store"
)

// TestAwayForADay: what fell due while the service was away is told in one
// gentle post, not in a burst.
func TestAwayForADay(t *testing.T) {
	for name, trouble := range map[string]loopback.Trouble{
		"500": {Status: 500}, "503": {Status: 503}, "no answer": {Hang: true}, "connections end": {Cut: true},
		"wall": {Status: 429, Wall: true, After: 20 * time.Minute}, "limit": {Status: 429, Scope: "global", After: time.Hour},
		"the first came through": {Status: 500, Accepted: true},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				o := openOffice(t)
				channel := o.fake.Open(loopback.Server)
				m := o.plan(channel, commands.Course{}, commands.MilestonePost, 0, 5*time.Hour, 10*time.Hour, 15*time.Hour, 20*time.Hour)
				requests := 0
				o.fake.Meddle = func(*http.Request) loopback.Trouble {
					if requests++; o.now().Before(morning.Add(24 * time.Hour)) {
						return trouble
					}
					return loopback.Trouble{}
				}
				o.minutes(26 * 60)
				want := []string{"milestone/0", "milestone/1", "milestone/2", "milestone/3", "milestone/4"}
				posts := o.fake.Posts(channel)
				once(t, name, told(posts), want)
				if len(posts) > 1 && !trouble.Accepted || len(posts) > 2 {
					t.Errorf("%d messages", len(posts))
				}
				if n := o.outcomes["sent"] + o.outcomes["found"]; n != len(posts) || trouble.Accepted != (o.outcomes["found"] > 0) {
					t.Errorf("%d messages were counted as %v", len(posts), o.outcomes)
				}
				if requests > 600 {
					t.Errorf("the service was asked %d times while it was away", requests)
				}
				if left := o.unsettled(m.ID); len(left) > 0 {
					t.Errorf("%v are not settled", left)
				}
			})
		})
	}
}

// TestDownForADay: the bot itself was not there.
func TestDownForADay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		channel := o.fake.Open(loopback.Server)
		o.plan(channel, commands.Course{}, commands.MilestonePost, time.Hour, 5*time.Hour, 10*time.Hour)
		time.Sleep(24 * time.Hour)
		o.minutes(1)
		posts := o.fake.Posts(channel)
		once(t, "the channel", told(posts), []string{"milestone/0", "milestone/1", "milestone/2"})
		if len(posts) != 1 {
			t.Errorf("%d messages", len(posts))
		}
	})
}

// TestChannelThatIsGone pauses the make-along and tells the host, once, however
// many sweeps come to it at the same time.
func TestChannelThatIsGone(t *testing.T) {
	for name, why := range map[string]loopback.Refusal{"deleted": loopback.Deleted, "not allowed": loopback.Forbidden, "kicked": loopback.NoAccess} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				o := openOffice(t)
				channel := o.fake.Open(loopback.Server)
				m := o.plan(channel, commands.Course{}, commands.MilestonePost, 0, time.Hour, 2*time.Hour)
				o.fake.Refuse(channel, why)
				var all sync.WaitGroup
				for range 3 {
					all.Go(func() { o.minutes(200) })
				}
				all.Wait()
				if o.state(m.ID) != commands.AlongBlocked {
					t.Errorf("it is %s", o.state(m.ID))
				}
				if notes := told(o.fake.Direct("host")); len(notes) != 1 || !strings.HasPrefix(notes[0], "blocked/") {
					t.Errorf("the host was told %v", notes)
				}
				o.fake.Refuse(channel, loopback.Refusal{})
				again, _, err := makeAlongs{o.store}.Along(t.Context(), m.ID)
				if err != nil {
					t.Fatal(err)
				}
				again.State = commands.AlongOpen
				posts, err := makeAlongs{o.store}.Posts(t.Context(), m.ID)
				if err != nil {
					t.Fatal(err)
				}
				posts = slices.DeleteFunc(posts, func(p commands.Post) bool { return p.Kind == commands.HostNote })
				if _, err := (makeAlongs{o.store}).Save(t.Context(), "", "host", again, posts); err != nil {
					t.Fatal(err)
				}
				o.minutes(5)
				once(t, "taken up again", told(o.fake.Posts(channel)), []string{"milestone/0", "milestone/1", "milestone/2"})
			})
		})
	}
}

func TestNotesToHosts(t *testing.T) {
	for name, tt := range map[string]struct {
		tell            bool // the make-along names a channel for hosts
		refuse          func(o *postOffice, tell string)
		channel, direct int
	}{
		"in her direct messages":       {direct: 1},
		"in the hosts' channel":        {tell: true, channel: 1},
		"that is gone, so to her":      {tell: true, refuse: func(o *postOffice, tell string) { o.fake.Refuse(tell, loopback.Deleted) }, direct: 1},
		"who takes none, so to nobody": {refuse: func(o *postOffice, _ string) { o.fake.Refuse("direct-host", loopback.NoDirect) }},
		"nor is there a channel of hers": {tell: true, refuse: func(o *postOffice, tell string) {
			o.fake.Refuse(tell, loopback.Forbidden)
			o.fake.Refuse("direct-host", loopback.NoDirect)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				o := openOffice(t)
				channel, tell := o.fake.Open(loopback.Server), o.fake.Open(loopback.Server)
				course := commands.Course{}
				if tt.tell {
					course.Tell = tell
				}
				m := o.plan(channel, course, commands.HostNote, 0)
				if tt.refuse != nil {
					tt.refuse(o, tell)
				}
				o.minutes(10)
				if a, b, c := len(o.fake.Posts(channel)), len(o.fake.Posts(tell)), len(o.fake.Direct("host")); a != 0 || b != tt.channel || c != tt.direct {
					t.Errorf("%d for all, %d for hosts, %d for her", a, b, c)
				}
				if o.state(m.ID) != commands.AlongOpen || len(o.unsettled(m.ID)) > 0 {
					t.Errorf("%s, %v left", o.state(m.ID), o.unsettled(m.ID))
				}
			})
		})
	}
}

func TestScheduledEvents(t *testing.T) {
	card := func(_ context.Context, p commands.Posting) (commands.Wording, error) {
		start := morning.Add(72 * time.Hour)
		return commands.Wording{Reply: &reply.Reply{Data: commands.EventCard{Name: p.Key, Description: "We meet.\n" + p.Key, Start: start, End: start.Add(time.Hour), Location: "here", Mark: p.Key}}}, nil
	}
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		o.word = card
		o.fake.Meddle = troubles(3)
		m := o.plan(o.fake.Open(loopback.Server), commands.Course{Event: true}, commands.EventPost, 0, 0, 0, time.Hour)
		o.minutes(600)
		names := []string{}
		for _, e := range o.fake.Events(loopback.Server) {
			names = append(names, e.Name)
		}
		once(t, "events", names, []string{"event/0", "event/1", "event/2", "event/3"})
		if left := o.unsettled(m.ID); len(left) > 0 {
			t.Errorf("%v left", left)
		}
	})
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		o.word = card
		o.fake.Refuse(loopback.Server, loopback.Forbidden)
		m := o.plan(o.fake.Open(loopback.Server), commands.Course{Event: true}, commands.EventPost, 0)
		o.minutes(10)
		if o.state(m.ID) != commands.AlongOpen || len(o.unsettled(m.ID)) > 0 || len(o.fake.Direct("host")) > 0 {
			t.Errorf("not permitted: %s, %v left, %d notes", o.state(m.ID), o.unsettled(m.ID), len(o.fake.Direct("host")))
		}
	})
}

// TestScene: a post knows whether anybody is there.
func TestScene(t *testing.T) {
	for name, tt := range map[string]struct {
		between         func(o *postOffice, channel string) // the second and the third post
		asleep, hosting bool
	}{
		"nobody wrote":   {asleep: true},
		"a member wrote": {between: func(o *postOffice, channel string) { o.fake.Write(channel, "300000000000000001") }},
		"the host wrote": {between: func(o *postOffice, channel string) { time.Sleep(14 * time.Hour); o.fake.Write(channel, "host") }, hosting: true},
		"long ago":       {between: func(o *postOffice, channel string) { o.fake.Write(channel, "host") }},
		"a member counted": {between: func(o *postOffice, _ string) {
			alongs, _ := makeAlongs{o.store}.List(o.t.Context(), loopback.Server)
			err := makeAlongs{o.store}.Join(o.t.Context(), "", commands.Participant{Along: alongs[0].ID, Member: "300000000000000001"})
			if err != nil {
				o.t.Error(err)
			}
		}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				o := openOffice(t)
				channel := o.fake.Open(loopback.Server)
				var last commands.Posting
				o.word = func(ctx context.Context, p commands.Posting) (commands.Wording, error) {
					last = p
					return tell(ctx, p)
				}
				o.plan(channel, commands.Course{}, commands.MidwayPost, 0, 12*time.Hour, 36*time.Hour)
				o.minutes(1)
				if last.Asleep {
					t.Error("asleep at the first post")
				}
				time.Sleep(13 * time.Hour)
				o.minutes(1)
				time.Sleep(time.Hour)
				if tt.between != nil {
					tt.between(o, channel)
				}
				time.Sleep(time.Until(morning.Add(36 * time.Hour)))
				o.minutes(1)
				if last.Key != "midway/2" || last.Asleep != tt.asleep || last.HostWrote != tt.hosting {
					t.Errorf("%s: asleep %v, host wrote %v", last.Key, last.Asleep, last.HostWrote)
				}
			})
		})
	}
}

func TestWordingsThatAreNone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		channel := o.fake.Open(loopback.Server)
		quiet := morning.Add(9 * time.Hour)
		o.word = func(ctx context.Context, p commands.Posting) (commands.Wording, error) {
			switch {
			case p.Kind == commands.HostNote:
				return tell(ctx, p)
			case p.Now.Before(quiet):
				return commands.Wording{Later: quiet}, nil
			}
			return commands.Wording{Skip: "nobody is there", Note: &commands.Post{Key: "asleep/0", Kind: commands.HostNote, Due: p.Now, To: "host"}}, nil
		}
		m := o.plan(channel, commands.Course{}, commands.MilestonePost, 0)
		o.minutes(9 * 60)
		if left := o.unsettled(m.ID); len(left) != 1 {
			t.Errorf("in quiet hours %v are left", left)
		}
		o.minutes(10)
		if a, notes := len(o.fake.Posts(channel)), told(o.fake.Direct("host")); a != 0 || !slices.Equal(notes, []string{"asleep/0"}) {
			t.Errorf("%d posts, notes %v", a, notes)
		}
	})
}

// TestFaultsDoNotStay: a post that can't be put in words, or that the service
// never takes, is tried with patience and then left out.
func TestFaultsDoNotStay(t *testing.T) {
	for name, word := range map[string]func(context.Context, commands.Posting) (commands.Wording, error){
		"error": func(context.Context, commands.Posting) (commands.Wording, error) {
			return commands.Wording{}, errors.New("oh")
		},
		"panic": func(context.Context, commands.Posting) (commands.Wording, error) { panic("oh") },
		"empty": func(context.Context, commands.Posting) (commands.Wording, error) {
			return commands.Wording{Reply: &reply.Reply{}}, nil
		},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				o := openOffice(t)
				channel := o.fake.Open(loopback.Server)
				words := 0
				o.word = func(ctx context.Context, p commands.Posting) (commands.Wording, error) {
					words++
					return word(ctx, p)
				}
				m := o.plan(channel, commands.Course{}, commands.MilestonePost, 0)
				other := o.plan(channel, commands.Course{}, commands.WelcomePost, 72*time.Hour)
				o.minutes(71 * 60)
				o.word = tell
				o.minutes(2 * 60)
				if left := o.unsettled(m.ID); len(left) > 0 || words > 250 {
					t.Errorf("%v left after %d tries", left, words)
				}
				if left := o.unsettled(other.ID); len(left) > 0 {
					t.Errorf("another is held up: %v", left)
				}
			})
		})
	}
}

// TestStopping gives back what was not begun, so that others can take it at
// once, and sees through what was.
func TestStopping(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		ctx, stop := context.WithCancel(t.Context())
		o.fake.Meddle = func(r *http.Request) loopback.Trouble {
			time.Sleep(100 * time.Millisecond) // as the network takes
			return loopback.Trouble{}
		}
		var ids []int64
		for range 60 {
			ids = append(ids, o.plan(o.fake.Open(loopback.Server), commands.Course{}, commands.WelcomePost, 0).ID)
		}
		time.AfterFunc(500*time.Millisecond, stop)
		o.sweep(ctx)
		planned := 0
		for _, id := range ids {
			posts, err := o.store.MakeAlongPosts(t.Context(), id)
			if err != nil {
				t.Fatal(err)
			}
			switch posts[0].State {
			case store.PostPlanned:
				planned++
			case store.PostTaken:
				t.Error("a post is held by nobody")
			}
		}
		if planned == 0 || planned == len(ids) {
			t.Errorf("%d of %d were given back", planned, len(ids))
		}
		o.minutes(1)
		for i, id := range ids {
			if left := o.unsettled(id); len(left) > 0 {
				t.Errorf("%d: %v", i, left)
			}
		}
	})
}

// TestManyMakeAlongsOfOneChannel are told apart.
func TestManyMakeAlongsOfOneChannel(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		o.fake.Limits = true
		channel := o.fake.Open(loopback.Server)
		want := []string{}
		for n := range 30 {
			o.plan(channel, commands.Course{}, commands.PostKind([]commands.PostKind{"welcome", "milestone", "farewell"}[n%3]), 0)
			want = append(want, fmt.Sprint([]string{"welcome", "milestone", "farewell"}[n%3], "/0"))
		}
		o.minutes(5)
		if got := told(o.fake.Posts(channel)); len(got) != 30 || o.fake.Beyond("post") > 0 {
			t.Errorf("%d posts, %d beyond the limit", len(got), o.fake.Beyond("post"))
		} else if slices.Sort(got); !slices.Equal(got, func() []string { slices.Sort(want); return want }()) {
			t.Errorf("got %v", got)
		}
	})
}
