package store

import (
	"encoding/json"
	"testing"
	"time"
)

// socks is a course as a host might settle it; the store takes it as it is.
var socks = json.RawMessage(`{"pattern":"Harbour socks","zone":"Europe/Lisbon"}`)

func addAlong(t testing.TB, s *Store, host, server, name string) MakeAlong {
	t.Helper()
	return must[MakeAlong](t)(s.AddMakeAlong(t.Context(), by(host), MakeAlong{Server: server, Channel: "c1", Name: name, Course: socks}))
}

// opened publishes a make-along with posts.
func opened(t testing.TB, s *Store, m MakeAlong, posts ...Post) MakeAlong {
	t.Helper()
	m.State = AlongOpen
	return must[MakeAlong](t)(s.SaveMakeAlong(t.Context(), by("host"), m, posts))
}

// at is a post due some hours after the day that tests begin.
func at(hours int, key, kind string) Post {
	return Post{Key: key, Kind: kind, Milestone: -1, Due: day.Add(time.Duration(hours) * time.Hour)}
}

func take(t testing.TB, s *Store, who string) []TakenPost {
	t.Helper()
	return must[[]TakenPost](t)(s.TakeDue(t.Context(), who, time.Minute, 100))
}

func TestSweep(t *testing.T) {
	s, c := open(t)
	m := opened(t, s, addAlong(t, s, "host", "s", "Socks"), at(1, "welcome", "welcome"), at(2, "milestone/0", "milestone"), at(3, "midway/0", "midway"))
	if got := take(t, s, "a"); len(got) != 0 {
		t.Fatalf("taken %+v", got)
	}
	c.add(150 * time.Minute)
	got := take(t, s, "a")
	if len(got) != 1 || got[0].Key != "milestone/0" || len(got[0].Merged) != 1 || got[0].MakeAlong.ID != m.ID || got[0].Attempts != 1 {
		t.Fatalf("taken %+v", got)
	}
	if err := s.SentPost(t.Context(), "a", got[0].ID, "msg", day); err != nil {
		t.Fatal(err)
	}
}
