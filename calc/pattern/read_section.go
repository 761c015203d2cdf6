package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/notation"
)

var (
	shapes = map[string]Shape{"none": NoShape, "left edge": LeftEdge, "right edge": RightEdge, "both edges": BothEdges, "spread": Spread, "disc": Disc, "corners": Corners, "close": Close, "ball": Ball, "egg": Egg, "raglan": Raglan}
	ways   = map[string]Worked{"flat": Flat, "rounds": InRounds, "sideways": Sideways}
	firsts = map[string]First{"chain": OnChain, "stitches": OnStitches, "row ends": OnRowEnds, "ring": OnRing, "edges": OnEdges}
	loops  = map[string]notation.Loop{"both": notation.BothLoops, "back": notation.BackLoop, "front": notation.FrontLoop}
)

func (r *reader) section(piece Piece, f fileSection) Section {
	if f.Name == "" || strings.Contains(f.Name, ".") {
		r.failf("name", "a section needs a name without a full stop")
	}
	s := Section{Name: f.Name, Note: f.Note, Rows: f.Rows, Least: max(f.Least, 1), Of: f.Of, Keep: f.Keep}
	if _, taken := piece.Section(f.Name); taken {
		r.failf("name", "the piece has two sections %q", f.Name)
	}
	below := "chain"
	if n := len(piece.Sections); n > 0 {
		below = "stitches"
		if s.Of == "" {
			s.Of = piece.Sections[n-1].Name
		}
	} else if s.Of != "" {
		r.failf("of", "the first section of a piece has no section below it")
	}
	s.First = oneOf(r, "first", f.First, below, firsts)
	if s.First != OnStitches && s.First != OnRowEnds {
		s.Of = ""
	} else if of, ok := piece.Section(s.Of); !ok {
		r.failf("of", "there is no section %q before this one", s.Of)
	} else if (s.First == OnRowEnds) != (of.Worked == Sideways) {
		r.failf("first", "row ends belong to a section that is worked sideways, stitches to any other")
	} else if f.Stitch == "" && s.First == OnStitches {
		s.Stitch, s.Loop, s.Repeat, s.Worked = of.Stitch, of.Loop, of.Repeat, of.Worked
	}
	if s.Stitch == "" {
		if f.Stitch == "" {
			f.Stitch = string(r.main)
		}
		s.Stitch = r.stitch("stitch", f.Stitch)
	}
	if f.Loop != "" {
		s.Loop = oneOf(r, "loop", f.Loop, "", loops)
	}
	if f.Worked != "" {
		s.Worked = oneOf(r, "worked", f.Worked, "", ways)
	}
	for _, id := range f.Repeat {
		s.Repeat = append(s.Repeat, r.stitch("repeat", id))
	}
	s.Shape = oneOf(r, "shape", f.Shape, "none", shapes)
	s.Right = oneOf(r, "on", f.On, "every row", map[string]bool{"every row": false, "right side": true})
	s.Start, s.End = r.formula("start", f.Start, Length), r.formula("end", f.End, Length)
	s.Length, s.Plain = r.formula("length", f.Length, Length), r.formula("plain", f.Plain, Length)
	r.details(&s, f)
	r.raglan(piece, &s, f)
	return s
}

// raglan reads what only a yoke has, and what goes on from it.
func (r *reader) raglan(piece Piece, s *Section, f fileSection) {
	if p := f.Panels; p != nil {
		s.Panels = &Panels{r.formula("panels", p.BodyStart, Length), r.formula("panels", p.BodyEnd, Length),
			r.formula("panels", p.SleeveStart, Length), r.formula("panels", p.SleeveEnd, Length)}
	}
	whole := s.Panels != nil && s.Panels.BodyStart.Said() && s.Panels.BodyEnd.Said() && s.Panels.SleeveStart.Said() && s.Panels.SleeveEnd.Said()
	if (s.Panels != nil || s.Shape == Raglan) && !(whole && s.Shape == Raglan) {
		r.failf("panels", "shape = \"raglan\" needs panels, and nothing else has them: body_start, body_end, sleeve_start and sleeve_end")
	}
	if s.Shape == Raglan && (s.Worked != InRounds || s.First != OnChain) {
		r.failf("shape", "a raglan is worked in rounds from a chain")
	}
	if s.Shape == Raglan && (s.Start.Said() || s.End.Said()) {
		r.failf("panels", "the panels say how wide a raglan is, not start and end")
	}
	if s.Underarm = r.formula("underarm", f.Underarm, Length); s.Underarm.Said() {
		yoke, ok := piece.Section(s.Of)
		if !ok || yoke.Shape != Raglan || s.Worked != InRounds || s.Start.Said() || s.Rows == 1 {
			r.failf("underarm", "a section with an underarm goes on from a raglan, in two rounds or more, and needs no start")
		}
	}
}

func (r *reader) details(s *Section, f fileSection) {
	s.Fits = r.multiple("multiple", f.Multiple)
	s.RowFits = r.multiple("row_multiple", f.RowMultiple)
	if s.Rows < 0 || s.Rows > 0 && s.Length.Said() {
		r.failf("rows", "say either a length or a number of rows")
	}
	if s.Shape == Corners && s.First != OnEdges {
		r.failf("shape", "corners are picked up: first = \"edges\"")
	}
	if s.Shape == NoShape && s.End.Said() {
		r.failf("end", "say where the section is shaped")
	}
	if (s.Shape == Disc || s.Shape == Ball || s.Shape == Egg) && s.First != OnRing || s.First == OnRing && s.Worked != InRounds {
		r.failf("shape", "a disc, a ball or an egg begins at a ring and is worked in rounds")
	}
	if s.Opening = r.formula("opening", f.Opening, Length); s.Opening.Said() && (s.Worked != InRounds || s.Rows == 1) {
		r.failf("opening", "only a section in rounds has an opening, and it needs two of them")
	}
	for _, text := range f.Pick {
		s.Pick = append(s.Pick, r.pick(text))
	}
	if (s.First == OnEdges) != (len(s.Pick) > 0) {
		r.failf("pick", "say the edges to pick up, with first = \"edges\"")
	}
	if h := f.Buttonholes; h != nil {
		s.Holes = &Buttonholes{r.formula("buttonholes", h.Number, Plain), r.formula("buttonholes", h.Diameter, Length), h.Along}
		if !s.Holes.Number.Said() || !s.Holes.Diameter.Said() || h.Along < 1 || h.Along > len(s.Pick) {
			r.failf("buttonholes", "say their number, the diameter of a button and how many of the picked-up edges they lie along")
		}
	}
}

func (r *reader) multiple(key string, numbers []int) gauge.Multiple {
	if len(numbers) == 0 {
		return gauge.Multiple{}
	}
	if len(numbers) != 2 {
		r.failf(key, "a multiple is two numbers: [6, 2] is a multiple of 6 + 2")
	}
	m := gauge.Multiple{Of: numbers[0], Plus: numbers[1]}
	if err := m.Check(); err != nil {
		r.fail(key, err)
	}
	return m
}

func (r *reader) pick(text string) Pick {
	if n, ok := strings.CutPrefix(text, "corner "); ok {
		many, err := strconv.Atoi(n)
		if err != nil || many < 1 || many > 9 {
			r.failf("pick", "a corner has 1 to 9 stitches: \"corner 3\"")
		}
		return Pick{Corner: many}
	}
	return Pick{Edge: r.edge("pick", text)}
}

var sides = map[string]Side{"bottom": Bottom, "top": Top, "right": RightSide, "left": LeftSide}

// edge reads an edge.
func (r *reader) edge(key, text string) Edge {
	e, err := ParseEdge(text)
	if err != nil {
		r.fail(key, err)
	}
	return e
}

// ParseEdge reads an edge as pattern files write it: "Piece.Section.side", or
// "Piece.name" for stitches that a split leaves.
func ParseEdge(text string) (Edge, error) {
	parts := strings.Split(text, ".")
	switch len(parts) {
	case 2:
		return Edge{Piece: parts[0], Section: parts[1]}, nil
	case 3:
		if side, ok := sides[parts[2]]; ok {
			return Edge{Piece: parts[0], Section: parts[1], Side: side}, nil
		}
	}
	return Edge{}, fmt.Errorf("edge %q: an edge is written Piece.Section.side with a side of bottom, top, left or right, or Piece.name for stitches left by a split", text)
}

func (r *reader) split(piece *Piece, f fileSplit) Split {
	if _, ok := piece.Section(f.Of); !ok {
		r.failf("of", "the piece has no section %q", f.Of)
	}
	s := Split{Of: f.Of}
	for _, name := range f.Into {
		share := Share{Name: name}
		if i, ok := piece.Section(name); ok {
			i.Of, i.First = f.Of, OnStitches
		} else {
			share.Rest = true
			share.Width = r.formula("width", f.Width[name], Length)
		}
		s.Into = append(s.Into, share)
	}
	for name := range f.Width {
		if !slices.Contains(f.Into, name) {
			r.failf("width", "%q is not part of the split", name)
		}
	}
	if len(s.Into) < 2 {
		r.failf("into", "a split has at least two parts")
	}
	return s
}
