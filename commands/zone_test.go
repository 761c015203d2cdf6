package commands

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"
	_ "time/tzdata" // wherever the tests run
)

func TestZoneSaid(t *testing.T) {
	for text, want := range map[string]string{
		"Europe/Berlin": "Europe/Berlin", "berlin": "Europe/Berlin", "new york": "America/New_York", "europe/lisbon": "Europe/Lisbon", "utc": "UTC", "GMT": "UTC",
	} {
		if got, err := zoneSaid(text); err != nil || got != want {
			t.Errorf("%q: %q %v, want %q", text, got, err, want)
		}
	}
	for text, example := range map[string]string{
		"Berln": "zone:Europe/Berlin", "Stokholm": "zone:Europe/Stockholm", // a slip: what is near is the example
		"EST": "zone:Europe/Lisbon", "Local": "zone:Europe/Lisbon", "": "zone:Europe/Lisbon", "/etc/passwd": "zone:Europe/Lisbon", // and nothing else is
	} {
		got, err := zoneSaid(text)
		var wrong *Mistake
		if !errors.As(err, &wrong) || wrong.Example != example || got != "" {
			t.Errorf("%q: %q %+v, want the example %q", text, got, wrong, example)
		}
	}
}

func TestZonesOffered(t *testing.T) {
	var r Request
	r.Now, r.Settings.Zone = time.Date(2027, time.July, 1, 12, 0, 0, 0, time.UTC), "Asia/Kathmandu"
	values := func(typed string) []string {
		var out []string
		for _, c := range suggestZone(context.Background(), r, typed) {
			out = append(out, c.Value)
		}
		return out
	}
	if got := values(""); got[0] != "Asia/Kathmandu" || len(got) != len(usualZones)+1 {
		t.Errorf("nothing typed: %q", got)
	}
	for typed, want := range map[string]string{"berl": "Europe/Berlin", "vienna": "Europe/Vienna", "Berln": "Europe/Berlin", "new y": "America/New_York"} {
		if got := values(typed); !slices.Contains(got, want) || len(slices.Compact(slices.Sorted(slices.Values(got)))) != len(got) {
			t.Errorf("%q: %q, want %q once", typed, got, want)
		}
	}
	if got := suggestZone(context.Background(), r, "lisbon"); len(got) != 1 || got[0].Label != "Europe/Lisbon (now 13:00)" {
		t.Errorf("%+v", got)
	}
}
