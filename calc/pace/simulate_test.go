package pace

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// maker is a simulated maker: how she works, from day to day. The random
// numbers are gonum's distributions.
type maker struct {
	random  *rand.Rand
	daily   float64 // stitches of a usual day with work
	shape   float64 // of the Gamma distribution of a day's stitches
	works   [7]float64
	mood    float64 // spread of a week's pace
	rests   float64 // chance that a pause begins, a day in hand
	median  float64 // days of a pause
	tail    float64 // spread of its logarithm
	frogs   float64 // chance to pull rows out on a day with work
	feeling float64
}

// some draws a maker from a wide crowd: 40 to 8000 stitches a day, twice a
// week to daily, with and without pauses of weeks or months.
func some(r *rand.Rand) *maker {
	uniform := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	m := &maker{random: r,
		daily: distuv.LogNormal{Mu: math.Log(600), Sigma: 0.8, Src: r}.Rand(),
		shape: uniform(0.8, 5), mood: uniform(0, 0.35), median: uniform(14, 35), tail: uniform(0.3, 0.9), frogs: uniform(0, 0.08)}
	for day := range m.works {
		m.works[day] = min(uniform(0.15, 0.95), uniform(0.3, 1))
	}
	if r.Float64() < 0.7 {
		m.rests = 1 / uniform(40, 300)
	}
	return m
}

// usual is the maker's mean of a day in hand.
func (m *maker) usual() float64 {
	mean := 0.
	for _, p := range m.works {
		mean += p / 7 * m.daily
	}
	return mean
}

// project works a project of so many stitches to its end, and returns its days,
// the stitches done after each, and the day of the end.
func (m *maker) project(all int) (days []Day, done []int, end int) {
	sum := 0
	for today := 0; ; today++ {
		if m.random.Float64() < m.rests && len(days) > 0 {
			today += usualPause + int(distuv.LogNormal{Mu: math.Log(m.median), Sigma: m.tail, Src: m.random}.Rand()) - usualPause/2
		}
		if today%7 == 0 {
			m.feeling = 0.6*m.feeling + 0.8*m.mood*m.random.NormFloat64()
		}
		if m.random.Float64() >= m.works[today%7] {
			continue
		}
		d := Day{Day: today, Worked: 1 + int(distuv.Gamma{Alpha: m.shape, Beta: m.shape / m.daily, Src: m.random}.Rand()*math.Exp(m.feeling))}
		if m.random.Float64() < m.frogs {
			d.Frogged = int(float64(min(d.Worked, sum)) * m.random.Float64())
		}
		sum += d.Worked - d.Frogged
		days, done = append(days, d), append(done, sum)
		if sum >= all {
			return days, done, today
		}
	}
}

// held is how many of so many forecasts held, and how many ended early or late.
type held struct{ in, early, late, sure, sureIn int }

// hold forecasts once in each simulated project, at a random place on its way
// on a day with work, and looks where the true end falls.
func hold(t *testing.T, n int, draw func(*rand.Rand) *maker) held {
	t.Helper()
	var h held
	r := rand.New(rand.NewPCG(11, 34))
	for made := 0; made < n; {
		m := draw(r)
		all := int(m.usual() * (15 + 135*r.Float64()))
		days, done, end := m.project(all)
		place := float64(all) * (0.1 + 0.8*r.Float64())
		at := FewestDays - 1
		for at < len(days)-1 && float64(done[at]) < place {
			at++
		}
		if at >= len(days)-1 {
			continue // a handful of days: nothing left to forecast
		}
		made++
		today := days[at].Day
		f, err := Ahead(days[:at+1], all-done[at], today)
		if err != nil {
			t.Fatal(err)
		}
		if f.Sure != Hardly {
			h.sure++
		}
		switch left := end - today; {
		case left < f.Early:
			h.early++
		case left > f.Late:
			h.late++
		default:
			h.in++
			if f.Sure != Hardly {
				h.sureIn++
			}
		}
	}
	return h
}

// Four ranges in five hold the true day, among makers who pause and who don't.
func TestRangeHolds(t *testing.T) {
	steady := func(r *rand.Rand) *maker { m := some(r); m.rests = 0; return m }
	restless := func(r *rand.Rand) *maker { m := some(r); m.rests = 1 / (40 + 200*r.Float64()); return m }
	for _, c := range []struct {
		name      string
		n         int
		draw      func(*rand.Rand) *maker
		low, high float64
	}{
		{"all", 10_000, some, 0.75, 0.85},
		{"without pauses", 2000, steady, 0.75, 0.95},
		{"with long pauses", 3000, restless, 0.70, 0.85},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := hold(t, c.n, c.draw)
			share := float64(h.in) / float64(c.n)
			t.Logf("%.1f %% of %d ranges held; %.1f %% ended before, %.1f %% after; at least roughly sure of %.0f %%, of which %.1f %% held",
				100*share, c.n, 100*float64(h.early)/float64(c.n), 100*float64(h.late)/float64(c.n), 100*float64(h.sure)/float64(c.n), 100*float64(h.sureIn)/float64(max(h.sure, 1)))
			if share < c.low || share > c.high {
				t.Errorf("%.1f %% of the ranges held, want %.0f to %.0f %%", 100*share, 100*c.low, 100*c.high)
			}
		})
	}
}

// distuvSource is a source of random numbers for gonum's distributions.
func distuvSource(seed uint64) rand.Source { return rand.NewPCG(seed, 34) }
