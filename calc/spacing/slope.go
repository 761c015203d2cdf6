package spacing

// Edges says where a slope is shaped: at one edge of the row or at both.
type Edges uint8

const (
	One  Edges = iota // one stitch a shaping row
	Both              // one stitch at either edge: two a shaping row
)

// Rows says on which rows shaping may fall.
type Rows uint8

const (
	EveryRow  Rows = iota
	RightSide      // every second row, from row 1 (or row 2, see Slope.WrongFirst)
)

// Slope asks for stitches to be added or taken away evenly over rows.
type Slope struct {
	Stitches int // in all, both edges together
	Rows     int
	Edges    Edges
	On       Rows

	WrongFirst bool // row 1 is a wrong-side row
	PlainFirst int  // rows at the start that stay plain
	PlainLast  int  // rows at the end that stay plain
}

// Sloped is shaping spread over rows.
type Sloped struct {
	Slope
	Shaping []Shaped // the rows that are shaped, in order
}

// Shaped is one shaping row.
type Shaped struct {
	Row  int // from 1
	Each int // stitches at each shaped edge, mostly 1
}

// Every is a run of shaping rows at one distance: "every 3rd row 4 times". The
// first distance is counted from before row 1.
type Every struct {
	Rows  int // distance from the shaping row before
	Each  int // stitches at each shaped edge
	Times int
}

// Spread lays the shaping out in as straight a line as whole rows allow: each
// shaping row is the allowed one nearest to its ideal place, as in a flat row.
// With more stitches than allowed rows, rows shape several stitches at once.
// Errors are *LimitError.
func (s Slope) Spread() (Sloped, error) {
	allowed, events, err := s.check()
	if err != nil {
		return Sloped{}, err
	}
	return s.at(allowed, spread(allowed.count, events, Row)), nil
}

// Grouped lays the shaping out in the trade's easiest form: equal distances
// first, then distances one longer ("every 2nd row 6 times, then every 3rd row
// 4 times"), the last on the last allowed row. The line bends a little: see
// Drift. Errors are *LimitError.
func (s Slope) Grouped() (Sloped, error) {
	allowed, events, err := s.check()
	if err != nil {
		return Sloped{}, err
	}
	if events == 0 || events > allowed.count {
		return s.at(allowed, spread(allowed.count, events, Row)), nil
	}
	short, longer := allowed.count/events, allowed.count%events
	places := make([]int, events)
	at := 0
	for i := range places {
		at += short
		if i >= events-longer {
			at++
		}
		places[i] = at
	}
	return s.at(allowed, places), nil
}

// rowSet is the rows on which shaping may fall: first, first + step and so on.
type rowSet struct{ first, step, count int }

func (s Slope) check() (rowSet, int, error) {
	none := rowSet{}
	if err := limit("rows", s.Rows, 1, Most, ""); err != nil {
		return none, 0, err
	}
	if err := limit("plain rows at the start", s.PlainFirst, 0, s.Rows-1, "a row must be left to shape"); err != nil {
		return none, 0, err
	}
	if err := limit("plain rows at the end", s.PlainLast, 0, s.Rows-1-s.PlainFirst, "a row must be left to shape"); err != nil {
		return none, 0, err
	}
	if err := limit("stitches to shape", s.Stitches, 0, Most, ""); err != nil {
		return none, 0, err
	}
	allowed := rowSet{first: s.PlainFirst + 1, step: 1}
	if s.On == RightSide {
		allowed.step = 2
		if right := allowed.first%2 == 1; right == s.WrongFirst {
			allowed.first++
		}
	}
	last := s.Rows - s.PlainLast
	if allowed.first > last {
		return none, 0, limit("right-side rows to shape", 0, 1, 0, "the only rows left are wrong-side rows")
	}
	allowed.count = (last-allowed.first)/allowed.step + 1
	events := s.Stitches
	if s.Edges == Both {
		if s.Stitches%2 != 0 {
			return none, 0, &OddError{s.Stitches}
		}
		events /= 2
	}
	return allowed, events, nil
}

// at turns places among the allowed rows into shaping rows.
func (s Slope) at(allowed rowSet, places []int) Sloped {
	shaping := make([]Shaped, 0, min(len(places), allowed.count))
	for _, place := range places {
		row := allowed.first + (place-1)*allowed.step
		if n := len(shaping); n > 0 && shaping[n-1].Row == row {
			shaping[n-1].Each++
			continue
		}
		shaping = append(shaping, Shaped{row, 1})
	}
	return Sloped{s, shaping}
}

// ShapingRows is the numbers of the rows that are shaped, from 1.
func (s Sloped) ShapingRows() []int {
	rows := make([]int, len(s.Shaping))
	for i, shaped := range s.Shaping {
		rows[i] = shaped.Row
	}
	return rows
}

// Rest is how many plain rows follow the last shaping row.
func (s Sloped) Rest() int {
	if len(s.Shaping) == 0 {
		return s.Rows
	}
	return s.Rows - s.Shaping[len(s.Shaping)-1].Row
}

// every is the shaping rows as single distances.
func (s Sloped) every() []Every {
	all := make([]Every, len(s.Shaping))
	before := 0
	for i, shaped := range s.Shaping {
		all[i] = Every{shaped.Row - before, shaped.Each, 1}
		before = shaped.Row
	}
	return all
}

// Groups is the shaping as runs of equal distances. Distances times times, and
// the Rest, add up to the rows.
func (s Sloped) Groups() []Every {
	var groups []Every
	for _, one := range s.every() {
		if n := len(groups); n > 0 && groups[n-1].Rows == one.Rows && groups[n-1].Each == one.Each {
			groups[n-1].Times++
			continue
		}
		groups = append(groups, one)
	}
	return groups
}

// Repeats is the runs of Groups with what repeats drawn together: every 2nd,
// then every 3rd row, 4 times.
func (s Sloped) Repeats() []Repeat[Every] { return repeats(s.Groups()) }

// Drift is how far the shaping strays from a straight line at most, in
// stitches at one edge. Whole stitches on whole rows stray by about one half.
func (s Sloped) Drift() float64 {
	total := 0
	for _, shaped := range s.Shaping {
		total += shaped.Each
	}
	worst, done := 0., 0
	for _, shaped := range s.Shaping {
		ideal := float64(total) * (float64(shaped.Row) - 0.5) / float64(s.Rows)
		worst = max(worst, ideal-float64(done))
		done += shaped.Each
		worst = max(worst, float64(done)-ideal)
	}
	return worst
}
