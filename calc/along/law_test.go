package along

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"countwright/calc/pace"
	"countwright/calc/schedule"
)

func total(p pace.Plan) (rows, stitches int) {
	for _, piece := range p.Pieces() {
		rows += len(piece.Rows)
		stitches += piece.Stitches(len(piece.Rows))
	}
	return rows, stitches
}

// wish draws how milestones are to fall.
func wish(t *rapid.T, stitches int) Options {
	o := Options{Start: start.Add(rapid.IntRange(0, 2000).Draw(t, "start"))}
	o.Pace = rapid.SampledFrom([]int{0, max(LowestPace, stitches/300), max(LowestPace, stitches/60), min(max(LowestPace, stitches), HighestPace)}).Draw(t, "pace")
	for day := time.Sunday; day <= time.Saturday; day++ {
		if len(o.Rest) < 4 && rapid.Bool().Draw(t, day.String()) {
			o.Rest = append(o.Rest, day)
		}
	}
	o.Pause = rapid.IntRange(0, 2).Draw(t, "pause")
	switch rapid.SampledFrom([]string{"pieces", "rhythm", "dates"}).Draw(t, "mode") {
	case "rhythm":
		o.Every = rapid.IntRange(1, 28).Draw(t, "every")
	case "dates":
		d := o.Start
		for range rapid.IntRange(1, 12).Draw(t, "dates") {
			d = d.Add(rapid.IntRange(1, 20).Draw(t, "days"))
			o.Dates = append(o.Dates, d)
		}
	}
	return o
}

// The laws of what is proposed, for every house pattern, whatever is wished.
func TestLaws(t *testing.T) {
	all := houses(t)
	refused, made := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		list := all[rapid.IntRange(0, len(all)-1).Draw(t, "pattern")]
		of := list[rapid.IntRange(0, len(list)-1).Draw(t, "size")]
		_, stitches := total(of.plan)
		o := wish(t, stitches)
		ms, err := Milestones(of.plan, o)
		if err != nil {
			refused++ // too long or too many at this pace: TestNotPlanned has the limits
			return
		}
		made++
		sum := 0
		for i, m := range ms {
			sum += m.Stitches
			switch {
			case m.Title == "" || len(m.About) == 0:
				t.Fatalf("%s: milestone %d has no words: %+v", of.name, i, m)
			case m.Date.Before(o.Start) || i > 0 && !ms[i-1].Date.Before(m.Date):
				t.Fatalf("%s: dates %v, from %v", of.name, ms, o.Start)
			case len(o.Dates) == 0 && slices.Contains(o.Rest, m.Date.Weekday()):
				t.Fatalf("%s: %v is a day of rest", of.name, m.Date)
			case len(o.Dates) > 0 && !slices.Contains(o.Dates, m.Date):
				t.Fatalf("%s: %v was not asked for", of.name, m.Date)
			}
		}
		if sum != stitches {
			t.Fatalf("%s: milestones of %d stitches, the plan has %d", of.name, sum, stitches)
		}
		if o.Every == 0 && len(o.Dates) == 0 && (len(ms) < fewest || len(ms) > most) {
			t.Fatalf("%s: %d milestones", of.name, len(ms))
		}
		for _, member := range list {
			held(t, member, ms)
		}
		exact(t, of, ms)
	})
	if made < 3*refused {
		t.Errorf("%d of %d were refused: too few are left to prove anything", refused, made+refused)
	}
}

// held proves that the same goals stand in a member's plan of whatever size,
// that they grow, and that the last of them is the whole.
func held(t *rapid.T, of sized, ms []Milestone) {
	rows, _ := total(of.plan)
	done := make([]int, len(of.plan.Pieces()))
	last := 0 // rows
	all := make([][]Target, len(ms))
	for i, m := range ms {
		all[i] = Targets(of.plan, m)
	}
	for i, m := range ms {
		if len(all[i]) != len(m.Goals) {
			t.Fatalf("%s: %d targets for %d goals of %q", of.name, len(all[i]), len(m.Goals), m.Title)
		}
		if len(all[i]) == 0 {
			continue
		}
		sum := 0
		for _, target := range all[i] {
			if target.Rows < done[target.Piece] {
				t.Fatalf("%s: %q asks for %d rows, less than before", of.name, m.Title, target.Rows)
			}
			done[target.Piece] = target.Rows
			sum += target.Rows
		}
		last = sum
		// At a coarse gauge two places can fall into one row; then both are reached.
		if reached, _ := Progress(done, AllTargets(of.plan, ms)); reached != i+1 && !(reached > i && Reached(done, all[reached-1])) {
			t.Fatalf("%s: %d milestones reached with the rows of %d", of.name, reached, i+1)
		}
	}
	if last != rows {
		t.Fatalf("%s: the last milestone asks for %d of %d rows", of.name, last, rows)
	}
	// What is left out of a milestone's targets changes nothing.
	further := AllTargets(of.plan, ms)
	for i, piece := range of.plan.Pieces() {
		done[i] = rapid.IntRange(0, len(piece.Rows)).Draw(t, "rows done")
	}
	reached, _ := Progress(done, all)
	if got, _ := Progress(done, further); got != reached {
		t.Fatalf("%s: %v reaches %d milestones of %v, and %d of %v", of.name, done, reached, all, got, further)
	}
}

// exact proves that in the plan that they were proposed for, the targets hold
// the stitches that milestones speak of.
func exact(t *rapid.T, of sized, ms []Milestone) {
	pieces, sum := of.plan.Pieces(), 0
	for _, m := range ms {
		sum += m.Stitches
		done := 0
		for _, target := range Targets(of.plan, m) {
			done += pieces[target.Piece].Stitches(target.Rows)
		}
		if len(m.Goals) > 0 && done != sum {
			t.Fatalf("%s: %q is at %d stitches, its targets at %d", of.name, m.Title, sum, done)
		}
	}
}

// In every size of a pattern a piece has the same sections, so that goals name
// the same places.
func TestSameSectionsInEverySize(t *testing.T) {
	for _, list := range houses(t) {
		for _, other := range list[1:] {
			a, b := list[0].plan.Pieces(), other.plan.Pieces()
			if len(a) != len(b) {
				t.Fatalf("%s has %d pieces, %s %d", list[0].name, len(a), other.name, len(b))
			}
			for i := range a {
				one, two := Sections(a[i]), Sections(b[i])
				if a[i].Title() != b[i].Title() || !slices.EqualFunc(one, two, func(x, y Section) bool { return x.Name == y.Name }) {
					t.Errorf("%s: %s %v; %s: %s %v", list[0].name, a[i].Title(), one, other.name, b[i].Title(), two)
				}
			}
		}
	}
}

// Sections hold each row of a piece once.
func TestSectionsHoldThePiece(t *testing.T) {
	for _, list := range houses(t) {
		for _, of := range list {
			for _, p := range of.plan.Pieces() {
				at, stitches := 0, 0
				for _, s := range Sections(p) {
					if s.From != at || s.To <= s.From {
						t.Errorf("%s, %s: section %+v after row %d", of.name, p.Title(), s, at)
					}
					at, stitches = s.To, stitches+s.Stitches
				}
				if at != len(p.Rows) || stitches != p.Stitches(at) {
					t.Errorf("%s, %s: sections of %d rows, %d stitches", of.name, p.Title(), at, stitches)
				}
			}
		}
	}
}

// With a rhythm, no week asks for much more than another: the relaxed pace is
// kept. The least that can be taken apart is a row.
func TestRhythmIsEven(t *testing.T) {
	worst := 0.
	for _, list := range houses(t) {
		for _, of := range list {
			_, stitches := total(of.plan)
			ms, err := Milestones(of.plan, Options{Start: start, Every: 7, Pace: min(max(LowestPace, stitches/60), HighestPace)})
			if err != nil {
				t.Fatal(of.name, err)
			}
			n := 0
			for _, m := range ms {
				if len(m.Goals) > 0 {
					n++
				}
			}
			for _, m := range ms {
				off := float64(m.Stitches) * float64(n) / float64(stitches)
				if worst = max(worst, off); off > 1.75 {
					t.Errorf("%s: %q has %d stitches, %.2f of an even share", of.name, m.Title, m.Stitches, off)
				}
			}
		}
	}
	t.Logf("the fullest milestone has %.2f of an even share", worst)
}

// More rows never mean less progress.
func TestProgressGrows(t *testing.T) {
	all := houses(t)
	rapid.Check(t, func(t *rapid.T) {
		list := all[rapid.IntRange(0, len(all)-1).Draw(t, "pattern")]
		of := list[rapid.IntRange(0, len(list)-1).Draw(t, "size")]
		ms, err := Milestones(of.plan, Options{Start: start})
		if err != nil {
			t.Fatal(err)
		}
		targets := AllTargets(of.plan, ms)
		pieces := of.plan.Pieces()
		done := make([]int, len(pieces))
		reached, share := Progress(done, targets)
		if reached != 0 || share != 0 {
			t.Fatalf("%s: %d and %v with nothing done", of.name, reached, share)
		}
		for range 30 {
			at := rapid.IntRange(0, len(pieces)-1).Draw(t, "piece")
			done[at] = min(len(pieces[at].Rows), done[at]+rapid.IntRange(1, 40).Draw(t, "rows"))
			now, part := Progress(done, targets)
			if now < reached || now == reached && part < share || part < 0 || part > 1 || math.IsNaN(part) {
				t.Fatalf("%s: %d and %v after %d and %v", of.name, now, part, reached, share)
			}
			reached, share = now, part
		}
	})
}

// Given dates are kept, and the work is shared out by the days between.
func TestGivenDates(t *testing.T) {
	plan, err := pace.Free("Scarf", 100, 40, 1)
	if err != nil {
		t.Fatal(err)
	}
	dates := []schedule.Date{start.Add(10), start.Add(20), start.Add(40)}
	ms, err := Milestones(plan, Options{Start: start, Dates: dates})
	if err != nil || len(ms) != 3 {
		t.Fatal(ms, err)
	}
	// by hand: 4,000 stitches over 10, 10 and 20 of 40 days. The scarf is
	// divided into thirds, whose nearest rows are 34, 33 and 33; a third each is
	// nearer to a quarter, a quarter and a half than any other choice of thirds.
	for i, m := range ms {
		if m.Date != dates[i] || m.Stitches < 1000 || m.Stitches > 2000 {
			t.Errorf("%v: %+v", dates[i], m)
		}
	}
}
