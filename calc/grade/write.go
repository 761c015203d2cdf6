package grade

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
)

// made is one row on its way to the page.
type made struct {
	number int
	round  bool
	count  int
	form   string // rows of the same form are worked by the same words
	steps  []notation.Step
	holes  int // chain spaces in the row, besides the stitches counted
	hole   int // chains of each
}

func (m made) label() string {
	if m.round {
		return "Rnd " + strconv.Itoa(m.number)
	}
	return "Row " + strconv.Itoa(m.number)
}

// writer turns the sections of one piece into rows and lines.
type writer struct {
	*plan
	piece    *pattern.Piece
	parts    []notation.Part // a new one wherever the row numbers begin again
	sections []Section
	rows     []Row
	number   int // of the row made last
	buttons  *Buttons
}

// write makes the rows of a piece.
func (pl *plan) write(piece *pattern.Piece) (*writer, error) {
	w := &writer{plan: pl, piece: piece}
	for i := range piece.Sections {
		s := &piece.Sections[i]
		if s.First == pattern.OnStitches || s.First == pattern.OnRowEnds {
			continue // follows another section
		}
		if err := w.section(w.slot(piece.Name, s.Name), entrance{}); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// entrance is how a section begins on the row below.
type entrance struct {
	share bool // part of a row
	again bool // yarn is joined anew
	skip  int  // stitches passed over first
	left  int  // stitches left unworked at the end of its first row
	below string
}

func (s *slot) maker() maker { return maker{s.Stitch, s.Loop, s.Repeat} }

// section makes a section's rows, then those of the sections on top of it.
func (w *writer) section(s *slot, in entrance) error {
	if s.First != pattern.OnStitches {
		w.number = 0
	}
	first := w.number + 1
	rows, err := w.make(s, first, in)
	if err != nil {
		return fmt.Errorf("%s: %w", s.name(), err)
	}
	w.number = first + len(rows) - 1
	if first == 1 {
		w.parts = append(w.parts, notation.Part{Name: w.partName(s), Make: w.piece.Make})
	} else {
		w.line(&notation.Heading{Text: s.Name})
	}
	w.line(w.lead(s, in)...)
	text := lines(rows, s.Worked == pattern.Flat)
	if w.topmost(s) {
		text = fastenOff(text)
	}
	w.line(text...)
	for _, r := range rows {
		w.rows = append(w.rows, Row{r.label(), r.count})
	}
	told, err := w.tell(s, first, in)
	if err != nil {
		return fmt.Errorf("%s: %w", s.name(), err)
	}
	w.sections = append(w.sections, told)
	return w.above(s)
}

// line adds lines to the part at work.
func (w *writer) line(lines ...notation.Line) {
	part := &w.parts[len(w.parts)-1]
	part.Lines = append(part.Lines, lines...)
}

// partName is a piece's name, with the section's where its rows are numbered
// anew.
func (w *writer) partName(s *slot) string {
	if len(w.piece.Sections) == 1 || s.Name == w.piece.Name {
		return w.piece.Name
	}
	return w.piece.Name + ", " + lowerFirst(s.Name)
}

// lowerFirst makes the first letter small, unless it stands alone ("V neck").
func lowerFirst(s string) string {
	if len(s) < 2 || s[1] < 'a' || s[1] > 'z' {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// topmost reports whether nothing is worked on top of a section.
func (w *writer) topmost(s *slot) bool {
	return !slices.ContainsFunc(w.piece.Sections, func(o pattern.Section) bool {
		return o.Of == s.Name || o.Name != s.Name && o.First == pattern.OnEdges && w.own(w.slot(w.piece.Name, o.Name))
	})
}

// lead is what is said before a section's first row.
func (w *writer) lead(s *slot, in entrance) []notation.Line {
	var lead []notation.Line
	if s.Note != "" {
		lead = append(lead, &notation.Prose{Text: s.Note})
	}
	if in.again {
		lead = append(lead, &notation.Prose{Text: fmt.Sprintf("Go back to %s, where stitches were left unworked.", in.below)})
	}
	if s.First == pattern.OnChain && s.Worked == pattern.InRounds {
		lead = append(lead, &notation.Row{Steps: []notation.Step{&notation.Ring{Chains: notation.N(w.value[s.start])}}})
	} else if s.First == pattern.OnChain {
		chain := &notation.Chain{Many: notation.N(w.value[s.start] + s.maker().turning())}
		lead = append(lead, &notation.Row{Steps: []notation.Step{chain}})
	}
	return lead
}

// above makes the sections that go on from one.
func (w *writer) above(s *slot) error {
	for _, split := range w.piece.Splits {
		if split.Of == s.Name {
			return w.shares(s, split)
		}
	}
	for i := range w.piece.Sections {
		if next := &w.piece.Sections[i]; next.Of == s.Name {
			if err := w.section(w.slot(w.piece.Name, next.Name), entrance{}); err != nil {
				return err
			}
		}
	}
	return nil
}

// shares makes the sections that share a last row out, in the order in which
// the next row meets them.
func (w *writer) shares(of *slot, split pattern.Split) error {
	last := w.number
	into := slices.Clone(split.Into)
	if of.Worked != pattern.InRounds && !rightSide(last+1) {
		slices.Reverse(into)
	}
	left := w.value[of.end]
	skip, below := 0, fmt.Sprintf("Row %d", last)
	again := false
	for _, share := range into {
		if share.Rest {
			n := w.value[w.rests[w.piece.Name+"."+share.Name]]
			skip += n
			left -= n
			continue
		}
		s := w.slot(w.piece.Name, share.Name)
		left -= w.value[s.start]
		w.number = last
		if err := w.section(s, entrance{share: true, again: again, skip: skip, left: left, below: below}); err != nil {
			return err
		}
		skip, again = 0, true
	}
	return nil
}

// rightSide reports whether a row faces with its right side: odd ones do.
func rightSide(row int) bool { return row%2 == 1 }

// make is the rows of a section.
func (w *writer) make(s *slot, first int, in entrance) ([]made, error) {
	if s.Worked == pattern.InRounds {
		return w.rounds(s, first)
	}
	n, rows := w.value[s.start], w.value[s.rows]
	m := s.maker()
	changes, err := w.slope(s, first, in)
	if err != nil {
		return nil, err
	}
	out := make([]made, 0, rows)
	for i := range rows {
		row := first + i
		c := changes[i]
		n += c.right + c.left
		begin, end := c.right, c.left
		if !rightSide(row) {
			begin, end = end, begin
		}
		r := made{number: row, count: n, form: fmt.Sprint("row ", begin, " ", end), steps: append([]notation.Step{m.chain()}, m.shaped(begin, end)...)}
		if i == 0 {
			if open := w.opening(s, in); open != nil {
				r.steps, r.form = open, "first"
			}
		}
		r.steps = append(r.steps, &notation.Turn{})
		out = append(out, r)
	}
	if s.Holes != nil {
		if err := w.holes(s, out); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// opening is the first row of a section where it is no row like any other.
func (w *writer) opening(s *slot, in entrance) []notation.Step {
	m := s.maker()
	switch s.First {
	case pattern.OnChain:
		place := notation.Place{Choice: notation.Nth, Many: notation.N(m.turning() + 1), What: notation.ChainFromHook}
		steps := []notation.Step{&notation.Stitches{Name: m.id, Into: place}}
		if w.value[s.start] > 1 {
			steps = append(steps, &notation.Stitches{Name: m.id, Into: notation.Place{Choice: notation.EachTo, What: notation.ChainStitch, To: notation.ToEnd}})
		}
		return steps
	case pattern.OnRowEnds:
		return []notation.Step{m.chain(), &notation.Remark{Text: "working along the long edge of the strip"},
			&notation.Stitches{Name: m.id, Into: notation.Place{Choice: notation.EachTo, What: notation.RowEnd, To: notation.ToEnd}}}
	case pattern.OnEdges:
		return w.pickup(s)
	}
	if !in.share {
		return nil
	}
	var steps []notation.Step
	switch {
	case in.again:
		steps = append(steps, &notation.Attach{Skip: number0(in.skip), Into: notation.Place{Many: notation.N(1)}}, m.chain())
	case in.skip > 0:
		steps = append(steps, &notation.Stitches{Name: "sl st", Into: notation.Place{Many: number(in.skip)}}, m.chain())
	default:
		steps = append(steps, m.chain())
	}
	if in.again && in.left == 0 {
		return append(append(steps, m.same()), m.across(0)...)
	}
	if in.again && w.value[s.start] > 1 {
		return append(steps, m.same(), m.work(1, w.value[s.start]-1), &notation.Leave{})
	}
	if in.left == 0 {
		return append(steps, m.across(0)...)
	}
	return append(steps, m.work(1, w.value[s.start]), &notation.Leave{})
}

// number0 writes a number, and nothing for 0.
func number0(n int) notation.Number {
	if n == 0 {
		return nil
	}
	return notation.N(n)
}

// change is what a row gains at its edges, as seen from the right side.
type change struct{ right, left int }

// tell sums a section up.
func (w *writer) tell(s *slot, first int, in entrance) (Section, error) {
	t := Section{Name: s.Name, Stitch: s.Stitch, Loop: s.Loop, Repeat: s.Repeat, Worked: s.Worked, First: s.First, Shape: s.Shape,
		Start: w.value[s.start], End: w.value[s.end], Rows: w.value[s.rows], StitchWidth: s.w, RowHeight: s.h, Each: s.disc}
	switch {
	case s.First == pattern.OnChain && s.Worked == pattern.InRounds:
		t.Chain = t.Start
	case s.First == pattern.OnChain:
		t.Chain = t.Start + s.maker().turning()
	case s.First == pattern.OnEdges:
		for _, st := range w.stretches(s) {
			p := Picked{Stitches: st.n}
			if st.Corner == 0 {
				p.Along = w.called(st.Edge.Piece, st.Edge.Section)
				if !st.along.stitches {
					p.RowEnds = w.value[st.along.count]
				}
			}
			t.Picked = append(t.Picked, p)
		}
	}
	if s.Worked == pattern.InRounds {
		t.Profile = w.profile(s)
		if err := w.tellRounds(s, &t); err != nil {
			return t, err
		}
		if s.Opening.Said() {
			width, err := w.length(s.name(), s.Opening)
			if err != nil {
				return t, err
			}
			t.Opening = s.opening(width, t.Start)
		}
		return t, nil
	}
	shaped, err := w.sloped(s, first, in)
	t.Every, t.Rest = shaped.Groups(), shaped.Rest()
	return t, err
}

// slope spreads a section's shaping over its rows.
func (w *writer) slope(s *slot, first int, in entrance) ([]change, error) {
	shaped, err := w.sloped(s, first, in)
	if err != nil {
		return nil, err
	}
	sign := 1
	if w.value[s.end] < w.value[s.start] {
		sign = -1
	}
	changes := make([]change, w.value[s.rows])
	for _, r := range shaped.Shaping {
		c := &changes[r.Row-1]
		if s.Shape != pattern.LeftEdge {
			c.right = sign * r.Each
		}
		if s.Shape != pattern.RightEdge {
			c.left = sign * r.Each
		}
	}
	return changes, nil
}

// sloped asks for the shaping of a section, laid out in the trade's easiest
// form.
func (w *writer) sloped(s *slot, first int, in entrance) (spacing.Sloped, error) {
	rows, diff := w.value[s.rows], w.value[s.end]-w.value[s.start]
	slope := spacing.Slope{Stitches: max(diff, -diff), Rows: rows, WrongFirst: !rightSide(first)}
	if diff == 0 {
		return spacing.Sloped{Slope: slope}, nil
	}
	if s.Shape == pattern.BothEdges {
		slope.Edges = spacing.Both
	}
	if s.fixedFirst() || in.share {
		slope.PlainFirst = 1
	}
	slope.PlainLast = max(min(s.plain, rows-slope.PlainFirst-1), 0)
	if s.Right && !s.every {
		slope.On = spacing.RightSide
	}
	return slope.Grouped()
}

// fixedFirst reports whether the first row only lays the section's stitches
// down, so that no shaping can fall on it.
func (s *slot) fixedFirst() bool { return s.First != pattern.OnStitches }
