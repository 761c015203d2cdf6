package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/gauge"
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

// turningNote holds for every pattern: rows are written so that it does.
const turningNote = "Turning chains do not count as stitches."

func (r *reader) head(f *file) *Pattern {
	base := strings.TrimSuffix(r.name[strings.LastIndexByte(r.name, '/')+1:], ".toml")
	p := &Pattern{Name: base, Title: f.Title, Summary: f.Summary, Author: f.Author, Licence: f.Licence, Level: f.Level, For: f.For,
		Cautions: f.Cautions, Small: f.Small, Notes: f.Notes, Tables: f.Tables, Yarn: f.Yarn, Hook: f.Gauge.Hook, Finishing: f.Finishing,
		Gauge: gauge.Gauge{Stitches: f.Gauge.Stitches, Rows: f.Gauge.Rows}}
	p.Notes = append([]string{turningNote}, p.Notes...)
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
	for i, c := range f.Change {
		r.at, r.where = fmt.Sprintf("change[%d]", i), "change "+c.Name
		p.Changes = append(p.Changes, r.change(p, c))
	}
	return p
}

func (r *reader) change(p *Pattern, f fileChange) Change {
	if Key(f.Name) == "" {
		r.failf("name", "the name is missing")
	}
	known := slices.ContainsFunc(p.Measures, func(m Measure) bool { return Key(m.Name) == Key(f.Measure) })
	if !known {
		r.failf("measure", "%q is no measure of this pattern", f.Measure)
	}
	c := Change{Name: f.Name, Measure: Key(f.Measure), Part: f.Part, Unit: r.units[Key(f.Measure)]}
	if c.Part == 0 {
		c.Part = 1
	}
	c.Is = r.formula("is", f.Is, c.Unit)
	return c
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
		if slices.ContainsFunc(of.Sections, func(s Section) bool { return s.Shape == Raglan }) {
			r.failf("mirror", "%q is a raglan, which has no mirror image", f.Mirror)
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

// rest reports whether a split or a raglan leaves stitches of that name.
func (p *Piece) rest(name string) bool {
	for _, s := range p.Splits {
		for _, share := range s.Into {
			if share.Rest && share.Name == name {
				return true
			}
		}
	}
	for _, s := range p.Sections {
		if s.Shape == Raglan && name == SleevePanel || s.Underarm.Said() && name == HalfUnderarm {
			return true
		}
	}
	return false
}
