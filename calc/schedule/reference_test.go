package schedule

import (
	"encoding/json"
	"os"
	"slices"
	"testing"
	"time"
)

// reference is what another library makes of the same clocks, from a tz
// database of its own.
type reference struct {
	Version     string
	First, Last int
	Zones       map[string]struct {
		Changes [][2]int64 // moment in seconds, seconds east of UTC from then on
		Moments []*int64   // of each day, in minutes
	}
}

// outside reads the reference. .ci/run makes it; without it these tests say so
// and are skipped, and the tests by scanning remain.
func outside(t *testing.T) reference {
	path := os.Getenv("COUNTWRIGHT_ZONES")
	if path == "" && os.Getenv("CI") == "true" {
		t.Fatal("COUNTWRIGHT_ZONES does not name the reference's file, and CI may not go without it; .ci/run makes it")
	}
	if path == "" {
		t.Skip("COUNTWRIGHT_ZONES does not name the reference's file; .ci/run makes it")
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Zones) < 40 || r.Last-r.First < 9 {
		t.Fatalf("%d zones, %d to %d", len(r.Zones), r.First, r.Last)
	}
	return r
}

// Both know of the same changes of clocks.
func TestChangesAreTheReferences(t *testing.T) {
	r := outside(t)
	n := 0
	for name, z := range r.Zones {
		here := zone(t, name)
		var want []time.Time
		for _, change := range z.Changes[1:] {
			at := time.Unix(change[0], 0)
			if at.UTC().Year() < r.First || at.UTC().Year() > r.Last {
				continue
			}
			want = append(want, at)
			if _, east := at.In(here).Zone(); int64(east) != change[1] {
				t.Errorf("%s, from %v on: %d s east of UTC, the reference has %d", name, at.UTC(), east, change[1])
			}
		}
		if got := changes(here, r.First, r.Last); !slices.EqualFunc(got, want, time.Time.Equal) {
			t.Errorf("%s: changes at %v, the reference (%s) has %v", name, got, r.Version, want)
		}
		n += len(want)
	}
	t.Logf("%d changes of clocks in %d zones; the reference has tz %s", n, len(r.Zones), r.Version)
}

// first is the moment, in minutes, at which clocks first show a time or a later
// one, by the reference's changes alone.
func first(changes [][2]int64, wanted int64) int64 {
	for i, change := range changes {
		moment := wanted*60 - change[1]
		switch {
		case i > 0 && moment < change[0]:
			return change[0] / 60
		case i+1 == len(changes) || moment < changes[i+1][0]:
			return moment / 60
		}
	}
	return 0
}

// Every day of ten years has its moment where the reference has it. Where clocks
// show a time twice or never, libraries differ, and the rule is ours: the first
// moment that shows it or a later time.
func TestMomentsAreTheReferences(t *testing.T) {
	r := outside(t)
	same, twice, never := 0, 0, 0
	for name, z := range r.Zones {
		here := zone(t, name)
		day := Date{r.First, time.January, 1}
		for i, moment := range z.Moments {
			c := Clock(i * 37 % dayMinutes)
			at := At(day, c, here)
			got := at.Unix() / 60
			if want := first(z.Changes, day.noon().Unix()/60-12*60+int64(c)); got != want {
				t.Errorf("%s %s %s: %v, by the reference's changes %v", name, day, c, at, time.Unix(want*60, 0).In(here))
			}
			switch {
			case moment == nil:
				never++
				if d, shows := shown(wall(at, here)); d == day && shows == c {
					t.Errorf("%s %s %s: clocks show it at %v, the reference says never", name, day, c, at)
				}
			case *moment == got:
				same++
			default:
				twice++
				later := time.Unix(*moment*60, 0)
				if wall(later, here) != wall(at, here) || !at.Before(later) {
					t.Errorf("%s %s %s: %v, the reference has %v", name, day, c, at, later.In(here))
				}
			}
			day = day.Add(1)
		}
	}
	if same < 100_000 || never == 0 {
		t.Errorf("%d moments alike, %d never: too few", same, never)
	}
	t.Logf("%d moments alike, %d where it has the second of two, %d that never come", same, twice, never)
}
