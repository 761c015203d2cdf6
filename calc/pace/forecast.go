package pace

import (
	"fmt"
	"math"
	"slices"
)

// Sure says how much a forecast is worth.
type Sure uint8

// How sure a forecast is: by how far apart its ends are, seen from today.
const (
	Hardly  Sure = iota // the late end is more than three times as far off as the early one
	Roughly             // more than half as far again
	Quite
)

// Forecast is when a piece of work will be finished, in days from today. Four
// times in five the true day lies between Early and Late.
type Forecast struct {
	Early, Middle, Late int     // days from today; 0: today
	Pace                float64 // stitches a day while the work is in hand, rest days included
	Worked              int     // days with work
	Rests               float64 // the part of days in hand without work, from 0 to 1
	Pauses              int     // longer breaks so far, set aside from the pace
	Resting             int     // days since the last work where that is such a break; else 0
	Sure                Sure
}

// FewError says that there is too little to tell from.
type FewError struct{ Days, Need int }

func (e *FewError) Error() string {
	return fmt.Sprintf("%d days with work; %d are needed", e.Days, e.Need)
}

// RangeError says that a figure is outside what can be reckoned with.
type RangeError struct {
	What string
	Got  float64
}

func (e *RangeError) Error() string { return fmt.Sprintf("%s: %v", e.What, e.Got) }

// FewestDays with work are needed for a forecast.
const FewestDays = 3

// What is assumed before anything is known of a maker, as if it had been seen
// already. The figures are our own, set so that ranges hold on simulated
// makers (the tests measure it); common practice, no source.
const (
	usualPause     = 10   // days without work are a pause, or more for who works seldom
	seldom         = 4    // times the usual gap between days with work
	blockDays      = 7    // unevenness is measured from week to week
	guessUneven    = 0.55 // of one week's stitches, as a part of their mean
	guessWeeks     = 3.0  // weeks that the guess weighs
	drift          = 0.12 // a pace changes by itself, as a part
	pausesSeen     = 0.5  // pauses, in
	pauseDaysSeen  = 80.0 // so many days in hand
	pauseUsual     = 24.0 // days that a pause usually takes
	pauseSpread    = 0.75 // of its logarithm
	pausesWeigh    = 2.0  // pauses that the guess weighs
	farthest       = 36_500
	points         = 2048
	early, late    = 0.1, 0.9
	mostFrogged    = 0.6
	froggedGuess   = 0.02
	mostDaysTelled = 20_000
)

// Ahead forecasts when so many stitches will be done, from the days with work
// so far, in order, as seen on a day (today). Longer breaks are set aside: the
// pace is that of the time in hand, with its rest days, and breaks to come are
// reckoned by how often they came. Where the work rests now, days count from
// when it is taken up again. Errors are *FewError and *RangeError.
func Ahead(days []Day, left, today int) (Forecast, error) {
	if left < 0 || left > MostRows*MostStitches {
		return Forecast{}, &RangeError{"stitches left", float64(left)}
	}
	h, err := look(days, today)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Pace: h.pace, Worked: h.worked, Rests: 1 - float64(h.worked)/float64(h.hand), Pauses: h.pauses, Resting: h.resting, Sure: Quite}
	if left == 0 {
		return f, nil
	}
	ends := h.outcomes(float64(left))
	slices.Sort(ends)
	at := func(q float64) int { return int(math.Ceil(min(ends[int(q*points)], farthest) - 1e-9)) }
	f.Early, f.Middle, f.Late = at(early), at(0.5), at(late)
	switch wide := float64(f.Late+1) / float64(f.Early+1); {
	case wide > 3:
		f.Sure = Hardly
	case wide > 1.5:
		f.Sure = Roughly
	}
	return f, nil
}

// history is what the days so far tell of a maker.
type history struct {
	pace      float64 // stitches a day in hand
	uneven    float64 // of one week, as a part of the mean
	weeks     float64 // that the pace is known from
	freedom   float64 // degrees of freedom of uneven
	rework    float64 // stitches worked for each that stays
	worked    int     // days with work
	hand      int     // days in hand
	pauses    int
	pauseMean float64 // days
	resting   int
}

// look divides the days into time in hand and pauses.
func look(days []Day, today int) (history, error) {
	h := history{}
	var at []int
	var work []float64
	total, frogged := 0., 0.
	for i, d := range days {
		if d.Worked < 0 || d.Frogged < 0 || d.Day > today || i > 0 && d.Day <= days[i-1].Day || i >= mostDaysTelled {
			return h, &RangeError{"work of day", float64(d.Day)}
		}
		frogged += float64(d.Frogged)
		if d.Worked > 0 {
			at, work, total = append(at, d.Day), append(work, float64(d.Worked)), total+float64(d.Worked)
		}
	}
	if h.worked = len(at); h.worked < FewestDays {
		return h, &FewError{h.worked, FewestDays}
	}
	limit := pauseLimit(at)
	var weeks []float64
	start, pauseDays := 0, 0
	for i := range at {
		gap := 0
		if i+1 < len(at) {
			gap = at[i+1] - at[i] - 1
		} else if gap = today - at[i]; gap <= limit {
			gap = limit + 1 // the last stretch ends here
		} else {
			h.resting = gap
		}
		if gap <= limit {
			continue
		}
		if i+1 < len(at) {
			h.pauses, pauseDays = h.pauses+1, pauseDays+gap
		}
		hand := at[i] - at[start] + 1
		if i+1 == len(at) && h.resting == 0 {
			hand = max(today-at[start], hand)
		}
		h.hand += hand
		weeks = append(weeks, weekly(at[start:i+1], work[start:i+1], hand)...)
		start = i + 1
	}
	h.pace = total / float64(h.hand)
	h.spread(weeks)
	h.rework = 1 / (1 - min((frogged+froggedGuess*h.pace)/total, mostFrogged))
	h.pauseMean = (pausesWeigh*pauseUsual + float64(pauseDays)) / (pausesWeigh + float64(h.pauses))
	return h, nil
}

// pauseLimit is the longest gap that still belongs to the time in hand.
func pauseLimit(at []int) int {
	var gaps []int
	for i := 1; i < len(at); i++ {
		gaps = append(gaps, at[i]-at[i-1])
	}
	slices.Sort(gaps)
	return max(usualPause, seldom*gaps[len(gaps)/2])
}

// weekly sums a stretch in hand by weeks; what is left over of a week is left
// out.
func weekly(at []int, work []float64, hand int) []float64 {
	sums := make([]float64, hand/blockDays)
	for i, day := range at {
		if week := (day - at[0]) / blockDays; week < len(sums) {
			sums[week] += work[i]
		}
	}
	return sums
}

// spread measures how uneven the weeks are. What is guessed beforehand weighs
// as some weeks more.
func (h *history) spread(weeks []float64) {
	mean, squares := 0., 0.
	for _, w := range weeks {
		mean += w / float64(len(weeks))
	}
	for _, w := range weeks {
		squares += (w - mean) * (w - mean)
	}
	seen := max(float64(len(weeks))-1, 0)
	variance := guessWeeks * guessUneven * guessUneven
	if mean > 0 {
		variance += squares / (mean * mean)
	}
	h.freedom = guessWeeks + seen
	h.uneven = math.Sqrt(variance / h.freedom)
	h.weeks = float64(h.hand) / blockDays
}

// outcomes are days until so many stitches are done, at points spread evenly
// over everything that is not known: the pace, the unevenness to come, how
// often and how long the work will rest.
func (h history) outcomes(left float64) []float64 {
	out := make([]float64, points)
	known := h.uneven * math.Sqrt(1/max(h.weeks, 0.5)+drift*drift/(h.uneven*h.uneven))
	for i := range out {
		pace := h.pace * math.Exp(student(radical(i, 2), h.freedom)*known)
		ahead := left * h.rework
		wave := normal(radical(i, 3)) * h.uneven * pace * math.Sqrt(blockDays)
		root := (math.Sqrt(wave*wave+4*pace*ahead) - wave) / (2 * pace)
		hand := root * root
		n := pauses(radical(i, 5), pausesSeen+float64(h.pauses), pauseDaysSeen+float64(h.hand), hand)
		out[i] = hand + h.rest(n, radical(i, 7))
	}
	return out
}

// rest is how long n pauses are together: a logarithmic normal distribution
// with the mean and variance of the sum.
func (h history) rest(n int, u float64) float64 {
	if n == 0 {
		return 0
	}
	spread := math.Log(1 + (math.Exp(pauseSpread*pauseSpread)-1)/float64(n))
	mean := float64(n) * h.pauseMean
	return mean * math.Exp(math.Sqrt(spread)*normal(u)-spread/2)
}
