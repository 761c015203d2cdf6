package commands

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/lesson"
	"countwright/calc/stitch"
	"countwright/calc/trouble"
	"countwright/commands/reply"
)

func TestBeside(t *testing.T) {
	for _, c := range []struct{ us, uk, want string }{
		{"Turn the work.", "Turn the work.", "Turn the work."},
		{"In sc that is six, in hdc, eight. Sc is short.", "In dc that is six, in htr, eight. Dc is short.", "In sc (UK dc) that is six, in hdc (UK htr), eight. Sc is short."},
		{"Both (sc2tog), so.", "Both (dc2tog), so.", "Both (sc2tog, UK dc2tog), so."},
		{"Skip one.", "Miss one.", "Skip (UK Miss) one."},
		{"yarn over now", "yarn over hook now", "yarn over (UK over hook) now"},
		{"gauge", "tension", "gauge (UK tension)"},
		{"The new color. The center.", "The new colour. The centre.", "The new color. The center."},
	} {
		if got := beside(c.us, c.uk); got != c.want {
			t.Errorf("%q beside %q: got %q, want %q", c.us, c.uk, got, c.want)
		}
	}
}

// What is put beside a text leaves it whole: without the brackets it is what it
// was, whichever texts the desk has.
func TestBesideKeepsTheText(t *testing.T) {
	texts := 0
	check := func(us, uk string) {
		texts++
		got := beside(us, uk)
		for {
			before, rest, ok := strings.Cut(got, " (UK ")
			if !ok {
				break
			}
			_, after, _ := strings.Cut(rest, ")")
			got = before + after
		}
		for {
			before, rest, ok := strings.Cut(got, ", UK ")
			if !ok {
				break
			}
			end := strings.IndexAny(rest, ",.;:!?)]")
			got = before + rest[max(end, 0):]
		}
		if want := strings.Join(strings.Fields(us), " "); got != want && us != uk {
			t.Errorf("%q beside %q leaves %q", us, uk, got)
		}
	}
	uk := map[string]trouble.Trouble{}
	for _, x := range trouble.All(stitch.UK) {
		uk[x.ID] = x
	}
	for _, x := range trouble.All(stitch.US) {
		check(x.Symptom, uk[x.ID].Symptom)
		for i, c := range x.Checks {
			check(c.Cause+" "+c.Fix, uk[x.ID].Checks[i].Cause+" "+uk[x.ID].Checks[i].Fix)
		}
	}
	for _, l := range lesson.All(stitch.US) {
		other, _ := lesson.For(l.Stitch, stitch.UK)
		for i, m := range l.Mistakes {
			check(m, other.Mistakes[i])
		}
	}
	t.Logf("%d texts", texts)
}

// Runs of words cover both texts, in order, and what is the same is.
func TestAlignedCovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", "d"}), 0, 12)
		a, b := words.Draw(t, "a"), words.Draw(t, "b")
		i, j := 0, 0
		for _, r := range aligned(a, b) {
			if r.a != i || r.b != j || r.aEnd < r.a || r.bEnd < r.b || r.same && !slices.Equal(a[r.a:r.aEnd], b[r.b:r.bEnd]) {
				t.Fatalf("%v %v: %+v", a, b, aligned(a, b))
			}
			i, j = r.aEnd, r.bEnd
		}
		if i != len(a) || j != len(b) {
			t.Fatalf("%v %v: %+v", a, b, aligned(a, b))
		}
	})
}

// A milestone is told what it is about, first of all what it alone is about.
func TestTripUpsFit(t *testing.T) {
	for _, c := range []struct {
		title string
		about []string
		first string // the trouble told first
		must  string // one that is told, too
	}{
		{"The crown", []string{"row", along.AboutRing, along.AboutRound, along.AboutIncrease, "sc"}, "ring opens", "edges slant out"},
		{"The yoke", []string{"hdc", "row", along.AboutDecrease}, "holes at decreases", "hdc"},
		{"Bands", []string{along.AboutEdge, along.AboutButtonhole}, "edging ruffles", "button band gapes"},
		{"Sewing", []string{along.AboutSeam, along.AboutEnds}, "seams do not meet", "ends come out"},
		{"The sleeves", []string{"row"}, "sleeve too narrow", "count shrinks"},
		{"The neck", nil, "neckline gapes", "uneven stitches"},
		{"Anything", []string{"no such thing"}, "uneven stitches", "hands tight"},
	} {
		course := Course{Milestones: []along.Milestone{{Title: c.title, About: c.about}}}
		var ids []string
		for _, trip := range tripUps(inEnglish, course, 0, stitch.US) {
			ids = append(ids, trip.ID)
		}
		if len(ids) != mostTrips || ids[0] != c.first || !slices.Contains(ids, c.must) {
			t.Errorf("%s, %v: told %q, want %q first, and %q", c.title, c.about, ids, c.first, c.must)
		}
	}
}

// Where it can hurt somebody, the caution comes along.
func TestTripUpsCaution(t *testing.T) {
	course := Course{Milestones: []along.Milestone{{Title: "Band", About: []string{along.AboutButtonhole}}}}
	blocks := tripCautions(tripUps(inEnglish, course, 0, bothTerms))
	if len(blocks) == 0 || !strings.Contains(blocks[0].(reply.Caution).Text, "under three") {
		t.Errorf("cautions %+v", blocks)
	}
}
