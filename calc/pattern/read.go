package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/sizing"
	"countwright/calc/stitch"
)

// reader turns a file into a Pattern and notes where it stands, so that an
// error can name the place.
type reader struct {
	name  string
	lines map[string]int
	units map[string]Unit // the measures known so far
	main  stitch.ID       // the stitch of the gauge
	where string          // piece and section in words
	at    string          // the same as a path of keys
}

// problem carries an error out of the depth of the reader; Read returns it.
type problem struct{ error }

func (r *reader) fail(key string, err error) {
	path := strings.TrimPrefix(r.at+"."+key, ".")
	line := r.lines[path]
	if line == 0 {
		line = r.lines[r.at]
	}
	panic(problem{&FileError{File: r.name, Line: line, Where: r.where, Err: err}})
}

func (r *reader) failf(key, format string, args ...any) { r.fail(key, fmt.Errorf(format, args...)) }

// oneOf finds the value of a word.
func oneOf[T any](r *reader, key, word, fallback string, values map[string]T) T {
	if word == "" {
		word = fallback
	}
	v, ok := values[word]
	if !ok {
		words := make([]string, 0, len(values))
		for w := range values {
			words = append(words, strconv.Quote(w))
		}
		slices.Sort(words)
		r.failf(key, "%s %q is none of %s", key, word, strings.Join(words, ", "))
	}
	return v
}

// formula reads a formula and checks its unit.
func (r *reader) formula(key, text string, want Unit) Formula {
	if text == "" {
		return Formula{}
	}
	f, err := ParseFormula(text)
	if err == nil {
		var unit Unit
		if unit, err = f.Check(r.unit); err == nil && unit != want {
			err = fmt.Errorf("formula %q is a %v, but a %v is needed here", text, unit, want)
		}
	}
	if err != nil {
		r.fail(key, err)
	}
	return f
}

// unit knows the measures defined so far; any other name may be a body measure.
func (r *reader) unit(name string) (Unit, bool) {
	if u, ok := r.units[name]; ok {
		return u, true
	}
	return Length, sizing.Measure(name).Known()
}

// Read reads a pattern file; the name, without ending, becomes the pattern's.
// Errors are *FileError.
func Read(name string, data []byte) (p *Pattern, err error) {
	defer func() {
		if caught := recover(); caught != nil {
			wrong, ok := caught.(problem)
			if !ok {
				panic(caught)
			}
			p, err = nil, wrong.error
		}
	}()
	f, err := decode(name, data)
	if err != nil {
		return nil, err
	}
	r := &reader{name: name, lines: places(data), units: map[string]Unit{"ease": Length}}
	p = r.head(f)
	for i, piece := range f.Piece {
		p.Pieces = append(p.Pieces, r.piece(p, i, piece))
	}
	r.where, r.at = "", ""
	r.joins(p, f)
	return p, nil
}

func (r *reader) head(f *file) *Pattern {
	base := strings.TrimSuffix(r.name[strings.LastIndexByte(r.name, '/')+1:], ".toml")
	p := &Pattern{Name: base, Title: f.Title, Summary: f.Summary, Author: f.Author, Licence: f.Licence, Level: f.Level, For: f.For,
		Cautions: f.Cautions, Small: f.Small, Notes: f.Notes, Tables: f.Tables, Yarn: f.Yarn, Hook: f.Gauge.Hook, Finishing: f.Finishing,
		Gauge: gauge.Gauge{Stitches: f.Gauge.Stitches, Rows: f.Gauge.Rows}}
	if p.Title == "" {
		r.failf("title", "the title is missing")
	}
	r.at = "gauge"
	p.Stitch = r.stitch("stitch", f.Gauge.Stitch)
	r.main = p.Stitch
	if err := p.Gauge.Check(); err != nil {
		r.fail("stitches", err)
	}
	r.at = ""
	for _, who := range p.For {
		oneOf(r, "for", who, "", map[string]bool{"adult": true, "child": true, "infant": true})
	}
	p.Ease = r.formula("ease", f.Ease, Length)
	for i, a := range f.Ask {
		r.at, r.where = fmt.Sprintf("ask[%d]", i), "ask "+a.Name
		ask := Ask{Name: r.newName(a.Name), Default: r.formula("default", a.Default, Length), Low: r.formula("low", a.Low, Length), High: r.formula("high", a.High, Length)}
		if !ask.Default.Said() || !ask.Low.Said() || !ask.High.Said() {
			r.failf("name", "an ask needs a default, a low and a high")
		}
		r.units[Key(a.Name)] = Length
		p.Asks = append(p.Asks, ask)
	}
	for i, m := range f.Measure {
		r.at, r.where = fmt.Sprintf("measure[%d]", i), "measure "+m.Name
		formula, err := ParseFormula(m.Is)
		if err != nil {
			r.fail("is", err)
		}
		unit, err := formula.Check(r.unit)
		if err != nil {
			r.fail("is", err)
		}
		p.Measures = append(p.Measures, Measure{r.newName(m.Name), formula, r.formula("else", m.Else, unit)})
		r.units[Key(m.Name)] = unit
	}
	return p
}

// newName checks that a name is not taken.
func (r *reader) newName(name string) string {
	if Key(name) == "" {
		r.failf("name", "the name is missing")
	}
	if _, taken := r.unit(Key(name)); taken {
		r.failf("name", "the name %q is taken", name)
	}
	return name
}

func (r *reader) stitch(key, id string) stitch.ID {
	s, ok := stitch.Lookup(stitch.ID(id))
	if !ok || s.Height == 0 {
		r.failf(key, "%q is no stitch that rows can be made of; use its US abbreviation, such as \"hdc\"", id)
	}
	return s.ID
}

func (r *reader) piece(p *Pattern, i int, f filePiece) Piece {
	r.at, r.where = fmt.Sprintf("piece[%d]", i), "piece "+f.Name
	if f.Name == "" || strings.Contains(f.Name, ".") {
		r.failf("name", "a piece needs a name without a full stop")
	}
	if _, taken := p.Piece(f.Name); taken {
		r.failf("name", "there are two pieces %q", f.Name)
	}
	piece := Piece{Name: f.Name, Mirror: f.Mirror, Make: max(f.Make, 1)}
	if f.Mirror != "" {
		of, ok := p.Piece(f.Mirror)
		if !ok || of.Mirror != "" || len(f.Section) > 0 {
			r.failf("mirror", "%q is no earlier piece to mirror, or this piece has sections of its own", f.Mirror)
		}
		return of.mirrored(piece)
	}
	for k, s := range f.Section {
		r.at, r.where = fmt.Sprintf("piece[%d].section[%d]", i, k), fmt.Sprintf("piece %s, section %s", f.Name, s.Name)
		piece.Sections = append(piece.Sections, r.section(piece, s))
	}
	if len(piece.Sections) == 0 {
		r.failf("name", "a piece needs sections")
	}
	for k, s := range f.Split {
		r.at, r.where = fmt.Sprintf("piece[%d].split[%d]", i, k), fmt.Sprintf("piece %s, split of %s", f.Name, s.Of)
		piece.Splits = append(piece.Splits, r.split(&piece, s))
	}
	return piece
}

// mirrored fills in a piece that is the mirror image of another.
func (p Piece) mirrored(to Piece) Piece {
	for _, s := range p.Sections {
		switch s.Shape {
		case LeftEdge:
			s.Shape = RightEdge
		case RightEdge:
			s.Shape = LeftEdge
		}
		to.Sections = append(to.Sections, s)
	}
	for _, s := range p.Splits {
		s.Into = slices.Clone(s.Into)
		slices.Reverse(s.Into)
		to.Splits = append(to.Splits, s)
	}
	return to
}

var (
	shapes = map[string]Shape{"none": NoShape, "left edge": LeftEdge, "right edge": RightEdge, "both edges": BothEdges, "spread": Spread, "disc": Disc, "corners": Corners, "close": Close, "ball": Ball}
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
	return s
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
	if (s.Shape == Disc || s.Shape == Ball) && s.First != OnRing || s.First == OnRing && s.Worked != InRounds {
		r.failf("shape", "a disc or a ball begins at a ring and is worked in rounds")
	}
	if s.Opening = r.formula("opening", f.Opening, Length); s.Opening.Said() && s.Worked != InRounds {
		r.failf("opening", "only a section in rounds has an opening")
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

func (r *reader) joins(p *Pattern, f *file) {
	edges := func(key string, texts []string) []Edge {
		var list []Edge
		for _, text := range texts {
			e := r.edge(key, text)
			if err := p.Has(e); err != nil {
				r.fail(key, err)
			}
			list = append(list, e)
		}
		if len(list) == 0 {
			r.failf(key, "name the edges")
		}
		return list
	}
	for i, j := range f.Join {
		r.at, r.where = fmt.Sprintf("join[%d]", i), "join "+j.Name
		p.Joins = append(p.Joins, Join{j.Name, edges("a", j.A), edges("b", j.B),
			oneOf(r, "how", j.How, "equal", map[string]How{"equal": Equal, "meet": Meet})})
	}
	for i, m := range f.Finished {
		r.at, r.where = fmt.Sprintf("finished[%d]", i), "finished "+m.Name
		p.Finished = append(p.Finished, Finished{m.Name, edges("of", m.Of), r.formula("is", m.Is, Length)})
	}
	for i, piece := range p.Pieces {
		for k, s := range piece.Sections {
			for _, pick := range s.Pick {
				r.at, r.where = fmt.Sprintf("piece[%d].section[%d]", i, k), fmt.Sprintf("piece %s, section %s", piece.Name, s.Name)
				if pick.Corner == 0 {
					if err := p.Has(pick.Edge); err != nil {
						r.fail("pick", err)
					}
				}
			}
		}
	}
}

// Has is nil if the pattern has such an edge.
func (p *Pattern) Has(e Edge) error {
	piece, ok := p.Piece(e.Piece)
	if !ok {
		return fmt.Errorf("there is no piece %q", e.Piece)
	}
	if _, ok := piece.Section(e.Section); ok || piece.rest(e.Section) {
		return nil
	}
	return fmt.Errorf("piece %s has no section or rest %q", e.Piece, e.Section)
}

// rest reports whether a split leaves stitches of that name.
func (p *Piece) rest(name string) bool {
	for _, s := range p.Splits {
		for _, share := range s.Into {
			if share.Rest && share.Name == name {
				return true
			}
		}
	}
	return false
}
