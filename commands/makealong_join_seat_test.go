package commands

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestSeats: a tester call's sizes have a tester each, whoever asks in whatever
// order.
func TestSeats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := withSwatch()
		m.alongs.party = nil
		for step := range rapid.IntRange(1, 6).Draw(t, "steps") {
			who := member(rapid.SampledFrom([]string{"cleo", "ines", "bo", "dita"}).Draw(t, "who"), "Somebody")
			line := "/makealong join makealong:3 size:" + rapid.SampledFrom([]string{"S", "woman M", "woman l"}).Draw(t, "size")
			if rapid.IntRange(0, 3).Draw(t, "leaves") == 0 {
				line = "/makealong leave makealong:3"
			}
			who.ID = fmt.Sprint("call ", step)
			r := All(m.services(), nil).RunLine(context.Background(), who, line)
			seats := map[string]string{}
			for _, p := range m.alongs.party {
				if p.Seat == "" || seats[p.Seat] != "" {
					t.Fatalf("%s: the seat %q has %s and %s", line, p.Seat, p.Member, seats[p.Seat])
				}
				seats[p.Seat] = p.Member
			}
			if r.Error != nil && strings.Contains(r.Error.Message, "Free:") {
				for size, has := range seats {
					if _, free, _ := strings.Cut(r.Error.Message, "Free:"); strings.Contains(free, size) && has != "" {
						t.Fatalf("%q offers %s, which is taken", r.Error.Message, size)
					}
				}
			}
		}
	})
}

// TestTesterMakesThePatternsCounts: whatever her gauge, a tester's counts are
// the pattern's own; hers is kept beside.
func TestTesterMakesThePatternsCounts(t *testing.T) {
	m := withSwatch()
	m.says(t, member("cleo", "Cleo"), "/makealong join makealong:3 size:woman L gauge:20x15")
	m.says(t, member("ines", "Ines"), "/project start name:Plain pattern:cardigan size:woman L gauge:14x10")
	p, _ := m.part(3, "cleo")
	tested, _, _ := m.projects.Open(context.Background(), "cleo", p.Project)
	list, _ := m.projects.List(context.Background(), "ines")
	plain, _, _ := m.projects.Open(context.Background(), "ines", list[0].ID)
	if tested.Pinned.Text != plain.Pinned.Text {
		t.Error("the tester's rows are not the pattern's")
	}
	if p.Measured[measuredStitches] != 20 || p.Measured[measuredRows] != 15 || !strings.HasPrefix(p.Gauge, "14 sts") {
		t.Errorf("her gauge: %v, the counts' %s", p.Measured, p.Gauge)
	}
}
