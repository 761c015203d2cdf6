package fabric

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// unworked faults a row that leaves n places.
func (mk *maker) unworked(n int) {
	e := mk.ends
	what := mk.loop.text(mk.w)
	switch {
	case mk.loop.target == notation.NamedStitch:
		mk.fail(KindLeft, fmt.Sprintf("%d %s%s unworked at its end", n, what, left(n)), nil)
	case spacelike(mk.loop.target):
		mk.fail(KindLeft, plural(n, what)+left(n)+" unworked at its end", nil)
	case e != nil && e.takes > 1 && mk.missed == 0:
		have := mk.live
		mk.fail(KindRepeat, repeatText(e, n, have), e.step)
	default:
		mk.fail(KindLeft, plural(n, "stitch")+" of the row below"+left(n)+" unworked and the text does not say so", nil)
	}
}

// repeatText says which counts a repeat would come out even on.
func repeatText(e *ending, over, have int) string {
	less, more := have-over, have-over+e.takes
	return fmt.Sprintf("the repeat uses %s, and %s left over; it comes out even on %d or %d, not on %d",
		plural(e.takes, "stitch"), are(over), less, more, have)
}

func left(n int) string {
	if n == 1 {
		return " is left"
	}
	return " are left"
}

// edgeReach is how near an edge, in stitches, shaping counts as shaping of
// that edge. Common practice, no source.
const edgeReach = 4

// shape notes where the row grew or shrank.
func (mk *maker) shape(c *Count) {
	if mk.ring || mk.st.base == nil || mk.onFoundation() || mk.side || mk.beyond {
		return
	}
	s := shaper{w: mk.w, total: mk.live, count: c}
	for i := 0; i < len(mk.base) && mk.base[i].sub == nil && mk.base[i].idle(); i++ {
		s.idle += mk.base[i].n * mk.base[i].raw
	}
	for i := range c.Made {
		s.add(&c.Made[i])
	}
	if c.Left > 0 {
		s.gain(-c.Left, 1, 0)
	}
	if mk.kind == notation.Round {
		c.within += c.begin + c.end
		c.begin, c.end = 0, 0
	}
}

// shaper goes through a row and notes the gains and losses.
type shaper struct {
	w     *worker
	count *Count
	total int // stitches of the row below
	below int // of them, gone over so far
	at    int // stitches made so far
	open  int // chains since the last stitch
	idle  int // places at the beginning of the row below that are no stitches
}

func (s *shaper) add(m *Made) {
	if m.Repeat != nil {
		s.repeat(m)
		return
	}
	if m.ID == chainID && m.As == "" {
		if !m.Turning {
			s.open += m.N * m.Each
		}
		s.below += m.Skip + m.Takes
		return
	}
	if skip := m.Skip * m.N; skip > 0 {
		lost := skip - max(0, min(skip, s.idle-s.below))
		if s.open > 0 {
			lost = skip - s.open
		}
		s.below += skip
		s.gain(-lost, 1, 0)
	}
	s.open = 0
	made := s.makes(m)
	s.below += m.Takes * m.N
	s.gain((made-m.Takes)*m.N, m.N, made)
	s.at += made * m.N
}

// makes is how many stitches one place of a run comes to.
func (s *shaper) makes(m *Made) int {
	if m.As != "" {
		return 1
	}
	e := s.w.entry(m.ID)
	if e.kind == stitch.Slip && s.at == 0 {
		return 0
	}
	return m.Each * e.makes
}

// gain notes a gain of by stitches, spread over n places that make each
// stitches.
func (s *shaper) gain(by, n, each int) {
	if by == 0 {
		return
	}
	c := s.count
	c.Shaping = append(c.Shaping, Shaping{First: s.at + 1, Step: max(1, each), N: n, Delta: by / n})
	switch {
	case s.below <= edgeReach && s.at <= edgeReach:
		c.begin += by
	case s.total-s.below < edgeReach:
		c.end += by
	default:
		c.within += by
	}
}

// repeat notes what a repeat gains.
func (s *shaper) repeat(m *Made) {
	inner := shaper{w: s.w, count: &Count{}, total: 1 << 40, open: s.open}
	inner.below, inner.at = 1<<20, 1<<20 // away from the edges
	below, at := inner.below, inner.at
	for i := range m.Repeat {
		inner.add(&m.Repeat[i])
	}
	by, made := inner.count.within, inner.at-at
	if by != 0 {
		s.count.Shaping = append(s.count.Shaping, Shaping{First: s.at + 1, Step: max(1, made), N: m.N, Delta: by})
		s.count.within += by * m.N
	}
	s.below += (inner.below - below) * m.N
	s.at += made * m.N
	s.open = inner.open
}
