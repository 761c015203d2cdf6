package grade

import (
	"fmt"
	"math"

	"countwright/calc/gauge"
	"countwright/calc/pattern"
	"countwright/calc/stitch"
)

// plan is a pattern on its way to counts: which counts there are, what each is
// drawn to, and what they must keep among each other.
type plan struct {
	pattern *pattern.Pattern
	gauge   gauge.Gauge
	lengths map[string]float64 // measures by key, in mm (or plain numbers)
	slots   []*slot            // sections in the pattern's order, of all pieces
	rests   map[string]int     // "Back.neck": the count of stitches left by a split
	picks   map[string]int     // the count picked up along an edge
	Rounding
	after map[int]bool // rules about what is picked up, by index: their counts are found before
	stage []int        // in which stage a count is found: stages need the counts of those before
	value []int
	known []bool
}

// slot is a section with its counts, as indices into Rounding.Counts.
type slot struct {
	*pattern.Section
	piece            *pattern.Piece
	base             *slot // the slot that this one mirrors; itself, if none
	start, end, rows int
	w, h             float64 // of a stitch and a row, in mm
	each             int     // stitches shaped at an edge in one shaping row, at most
	every            bool    // shaping on every row, although right-side rows were asked for
	grows            bool    // towards the end
	plain            int     // rows without shaping at the end
	disc             int     // increases of a flat round
	panels           *panels // of a raglan
}

func (s *slot) name() string { return s.piece.Name + ", " + s.Name }

// loose bounds a count from above where nothing else does: so many times its
// target, and so many more.
const loose, more = 3, 60

// newPlan lays down counts, rules and goals.
func newPlan(p *pattern.Pattern, g gauge.Gauge, lengths map[string]float64) (*plan, error) {
	pl := &plan{pattern: p, gauge: g, lengths: lengths, rests: map[string]int{}, picks: map[string]int{}, after: map[int]bool{}}
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		for k := range piece.Sections {
			if err := pl.addSlot(piece, &piece.Sections[k]); err != nil {
				return nil, err
			}
		}
	}
	for _, s := range pl.slots {
		if s.rows < 0 {
			return nil, fmt.Errorf("%s: nothing says how many rows it has", s.name())
		}
		if s.base == s {
			pl.shaping(s)
		} else { // what was found for the piece that this one mirrors
			piece, section, base := s.piece, s.Section, s.base
			*s = *base
			s.piece, s.Section = piece, section
		}
	}
	if err := pl.splits(); err != nil {
		return nil, err
	}
	pl.pickups()
	pl.joins()
	if err := pl.finished(); err != nil {
		return nil, err
	}
	pl.stages()
	pl.value, pl.known = make([]int, len(pl.Counts)), make([]bool, len(pl.Counts))
	return pl, nil
}

// length evaluates a formula; not said is NaN.
func (pl *plan) length(where string, f pattern.Formula) (float64, error) {
	if !f.Said() {
		return math.NaN(), nil
	}
	v, err := f.Value(func(name string) (float64, bool) { v, ok := pl.lengths[name]; return v, ok })
	if err != nil {
		return 0, fmt.Errorf("%s: %w", where, err)
	}
	return v, nil
}

func (pl *plan) slot(piece, section string) *slot {
	for _, s := range pl.slots {
		if s.piece.Name == piece && s.Name == section {
			return s
		}
	}
	return nil
}

// add lays down a count that is drawn to a length, or to nothing (NaN).
func (pl *plan) add(name string, length, mm float64, min int, fits gauge.Multiple) int {
	c := Count{Name: name, MM: mm, Min: min, Max: MaxCount, Of: fits.Of, Plus: fits.Plus}
	if !math.IsNaN(length) {
		c.Target, c.Weight = length/mm, 1
		c.Max = int(max(c.Target, 0)*loose) + more + min
	}
	pl.Counts = append(pl.Counts, c)
	return len(pl.Counts) - 1
}

// fixed lays down a count that is known.
func (pl *plan) fixed(name string, n int, mm float64) int {
	pl.Counts = append(pl.Counts, Count{Name: name, Target: float64(n), MM: mm, Min: n, Max: n})
	return len(pl.Counts) - 1
}

// measureStitch is the size of a stitch. Stitches of the same yarn and hook are
// about equally wide; rows are as high as their stitch is in the handbooks'
// proportions. Common practice, no source.
func (pl *plan) measureStitch(id stitch.ID) (w, h float64) {
	main, _ := stitch.Lookup(pl.pattern.Stitch)
	mine, _ := stitch.Lookup(id)
	return pl.gauge.StitchWidth(), pl.gauge.RowHeight() * mine.Height / main.Height
}

func (pl *plan) addSlot(piece *pattern.Piece, section *pattern.Section) error {
	s := &slot{Section: section, piece: piece}
	s.base = s
	s.w, s.h = pl.measureStitch(section.Stitch)
	if piece.Mirror != "" {
		base := *pl.slot(piece.Mirror, section.Name)
		base.Section, base.piece = section, piece
		pl.slots = append(pl.slots, &base)
		return nil
	}
	start, err := pl.length(s.name(), section.Start)
	if err != nil {
		return err
	}
	end, err := pl.length(s.name(), section.End)
	if err != nil {
		return err
	}
	length, err := pl.length(s.name(), section.Length)
	if err != nil {
		return err
	}
	below := pl.slot(piece.Name, section.Of)
	shared := isShare(piece, section.Name)
	switch {
	case section.First == pattern.OnStitches && !shared && !section.Start.Said() && !section.Underarm.Said():
		s.start = below.end
	case section.First == pattern.OnRing:
		s.disc = pl.discOf(s)
		s.start = pl.fixed(s.name()+": stitches of the first round", s.disc, s.w)
	default:
		s.start = pl.add(s.name()+": stitches", start, s.w, section.Least, section.Fits)
	}
	s.end = s.start
	if section.Shape != pattern.NoShape {
		s.end = pl.add(s.name()+": stitches at the end", end, s.w, section.Least, section.Fits)
	}
	s.rows = pl.addRows(s, length)
	if section.First == pattern.OnRowEnds {
		below.rows = s.start
	}
	if section.First == pattern.OnStitches && !shared && section.Start.Said() {
		pl.rule(s.name()+" begins on the stitches below", 0, Term{s.start, 1}, Term{below.end, -1})
	}
	if err := pl.raglan(s, below); err != nil {
		return err
	}
	plain, err := pl.length(s.name(), section.Plain)
	if err != nil {
		return err
	}
	if !math.IsNaN(plain) {
		s.plain = max(int(math.Round(plain/s.h)), 0)
	}
	pl.slots = append(pl.slots, s)
	return nil
}

// addRows lays down the rows of a section; -1: as many as there are stitches on
// its row ends.
func (pl *plan) addRows(s *slot, length float64) int {
	switch {
	case s.Worked == pattern.Sideways && !s.Length.Said() && s.Rows == 0:
		return -1
	case s.Rows > 0:
		return pl.fixed(s.name()+": rows", s.Rows, s.h)
	}
	least := 1
	switch {
	case s.Holes != nil || s.Shape == pattern.Ball, s.Shape == pattern.Egg:
		least = 3 // one before the holes, and one to close them
	case s.Opening.Said() || s.Underarm.Said() || s.Shape == pattern.Raglan:
		least = 2
	}
	return pl.add(s.name()+": rows", length, s.h, least, s.RowFits)
}

func isShare(piece *pattern.Piece, section string) bool {
	for _, split := range piece.Splits {
		for _, share := range split.Into {
			if share.Name == section {
				return true
			}
		}
	}
	return false
}

func (pl *plan) rule(name string, value int, terms ...Term) {
	pl.Rules = append(pl.Rules, Rule{Name: name, Terms: terms, Value: value})
}

func (pl *plan) atMost(name string, value int, terms ...Term) {
	pl.Rules = append(pl.Rules, Rule{Name: name, Terms: terms, Value: value, AtMost: true})
}

// shaping lays down what a shaped section must keep: it only widens or only
// narrows, and its rows are enough for the shaping.
func (pl *plan) shaping(s *slot) {
	if s.Shape == pattern.NoShape {
		return
	}
	start, end, rows := pl.Counts[s.start], pl.Counts[s.end], pl.Counts[s.rows]
	s.grows = end.Target > start.Target
	low, high := s.end, s.start
	if s.grows {
		low, high = high, low
	}
	switch s.Shape {
	case pattern.Disc:
		pl.atMost(s.name()+": the rounds are enough", 0, Term{s.end, 1}, Term{s.rows, -s.disc})
		pl.atMost(s.name()+": no round too many", s.disc-1, Term{s.rows, s.disc}, Term{s.end, -1})
		return
	case pattern.Close:
		s.disc = pl.discOf(s)
		pl.Counts[s.end].Min, pl.Counts[s.end].Max = s.disc, s.disc
		pl.atMost(s.name()+": the rounds are enough", s.disc, Term{s.start, 1}, Term{s.rows, -s.disc})
		pl.atMost(s.name()+": no round too many", -1, Term{s.rows, s.disc}, Term{s.start, -1})
		return
	case pattern.Ball, pattern.Egg, pattern.Raglan:
		return
	case pattern.Corners:
		n := 0
		for _, p := range s.Pick {
			if p.Corner > 0 {
				n++
			}
		}
		pl.rule(s.name()+": each round adds two stitches a corner", -2*n, Term{s.end, 1}, Term{s.start, -1}, Term{s.rows, -2 * n})
		return
	case pattern.Spread:
		pl.atMost(s.name()+": it only widens or only narrows", 0, Term{low, 1}, Term{high, -1})
		return
	}
	need := math.Abs(end.Target - start.Target)
	if s.Shape == pattern.BothEdges {
		need /= 2
	}
	s.plain = min(s.plain, max(int(rows.Target)/3, 0))
	room := math.Floor(rows.Target) - float64(s.plain)
	step := 1
	if s.Right && need <= room/2-1 {
		step = 2
	}
	s.every = s.Right && step == 1
	s.each = max(int(math.Ceil((need+0.5)/max(math.Floor(room/float64(step)), 1))), 1)
	pl.Counts[low].Min = max(pl.Counts[low].Min, 2*s.each+1) // a stitch stays between the shaped ones
	// step × shaped stitches ≤ each × (rows − plain)
	limit := -s.each * s.plain
	if s.Shape == pattern.BothEdges {
		pairs := pl.add(s.name()+": shaped at each edge", math.NaN(), 2*s.w, 0, gauge.Multiple{})
		pl.rule(s.name()+": as much is shaped at both edges", 0, Term{high, 1}, Term{low, -1}, Term{pairs, -2})
		pl.atMost(s.name()+": the rows are enough for the shaping", limit, Term{pairs, step}, Term{s.rows, -s.each})
		return
	}
	pl.atMost(s.name()+": it only widens or only narrows", 0, Term{low, 1}, Term{high, -1})
	pl.atMost(s.name()+": the rows are enough for the shaping", limit, Term{high, step}, Term{low, -step}, Term{s.rows, -s.each})
}

// discOf is the increases of a flat round of the section's stitch.
func (pl *plan) discOf(s *slot) int {
	return max(int(math.Round(2*math.Pi*s.h/s.w)), 3)
}

// splits lays down that the shares of a last row add up to it.
func (pl *plan) splits() error {
	for i := range pl.pattern.Pieces {
		piece := &pl.pattern.Pieces[i]
		for _, split := range piece.Splits {
			of := pl.slot(piece.Name, split.Of)
			terms := []Term{{of.end, 1}}
			for _, share := range split.Into {
				if !share.Rest {
					terms = append(terms, Term{pl.slot(piece.Name, share.Name).start, -1})
					continue
				}
				key := piece.Name + "." + share.Name
				at, seen := pl.rests[key]
				if !seen && piece.Mirror != "" {
					at, seen = pl.rests[piece.Mirror+"."+share.Name]
				}
				if !seen {
					width, err := pl.length(piece.Name+", "+share.Name, share.Width)
					if err != nil {
						return err
					}
					at = pl.add(piece.Name+", "+share.Name+": stitches left", width, of.w, 0, gauge.Multiple{})
				}
				pl.rests[key] = at
				terms = append(terms, Term{at, -1})
			}
			if piece.Mirror == "" {
				pl.rule(fmt.Sprintf("%s: the parts after %s add up to it", piece.Name, split.Of), 0, terms...)
			}
		}
	}
	return nil
}
