package store

import (
	"slices"
	"testing"
	"time"
)

func TestForgottenServer(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	wholeLife(t, s, c, "7193-ines")
	elsewhere := addAlong(t, s, "7193-ines", "elsewhere", "Socks")
	must[Participant](t)(s.JoinMakeAlong(ctx, by("7193-ines"), Participant{Along: elsewhere.ID, State: "working"}))
	before := exported(t, s, "7193-ines")

	if gone := must[Forgotten](t)(s.ForgetServer(ctx, "harbour")); gone.Patterns != 0 || gone.MakeAlongs != 1 {
		t.Errorf("forgotten %+v", gone)
	}
	if gone := must[Forgotten](t)(s.ForgetServer(ctx, hat.Server)); gone.Patterns != 1 || gone.MakeAlongs != 0 {
		t.Errorf("forgotten %+v", gone)
	}
	if gone := must[Forgotten](t)(s.ForgetServer(ctx, "harbour")); gone != (Forgotten{}) {
		t.Errorf("forgotten again %+v", gone)
	}
	after := exported(t, s, "7193-ines")
	if len(after.Projects) != 1 || len(after.Swatches) != len(before.Swatches) || len(after.Log) != len(before.Log) {
		t.Errorf("of her own: %+v", after)
	}
	if a := after.Alongs; len(a.Hosted) != 1 || a.Hosted[0].ID != elsewhere.ID || len(a.Parts) != 1 || len(a.Answers)+len(a.Pictures)+len(a.Notes)+len(a.Pings) != 0 {
		t.Errorf("of make-alongs: %+v", a)
	}
	for _, word := range []string{hat.Text, "marked note to the host"} {
		if onDisk(t, s, word) {
			t.Errorf("%q is in the file still", word)
		}
	}
	if lines := logLines(t, s); lines[len(lines)-1] != `- - forget server `+hat.Server+` – → {"patterns":1,"makealongs":0}` {
		t.Errorf("log: %s", lines[len(lines)-1])
	}
}

func TestServersLeftAndBack(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	for _, server := range []string{"first", "second", "third"} {
		addAlong(t, s, "odile", server, "Socks")
		for range 2 { // told twice, the first time counts
			if err := s.ServerLeft(ctx, server); err != nil {
				t.Fatal(err)
			}
			c.add(time.Hour)
		}
	}
	for range 2 {
		if err := s.ServerBack(ctx, "first"); err != nil {
			t.Fatal(err)
		}
	}
	if got := must[[]string](t)(s.ForgetServers(ctx, day.Add(2*time.Hour))); len(got) != 0 {
		t.Errorf("forgotten %v", got)
	}
	if got := must[[]string](t)(s.ForgetServers(ctx, day.Add(3*time.Hour))); !slices.Equal(got, []string{"second"}) {
		t.Errorf("forgotten %v", got)
	}
	for server, want := range map[string]int{"first": 1, "second": 0, "third": 1} {
		if got := must[[]MakeAlong](t)(s.MakeAlongs(ctx, server)); len(got) != want {
			t.Errorf("%s has %+v", server, got)
		}
	}
	if got := must[[]string](t)(s.ForgetServers(ctx, day.Add(100*time.Hour))); !slices.Equal(got, []string{"third"}) {
		t.Errorf("forgotten %v", got)
	}
}
