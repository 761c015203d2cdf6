package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Names that the engine itself must know.
const (
	slip    stitch.ID = "sl st"
	chainID stitch.ID = "ch"
	single  stitch.ID = "sc"
)

// entry is what working a row needs to know of a stitch.
type entry struct {
	id       stitch.ID
	base     stitch.ID // the plain stitch of its kind
	kind     stitch.Kind
	consumes int
	makes    int
	height   float64
	chain    int
	habit    stitch.Habit
	each     int    // of an increase: stitches in one place; 1 otherwise
	parts    []Made // of a group: what one is made of
	top      seq    // of a group: the places that one makes
}

// entry returns the entry of a stitch; a name that nobody knows is worked as
// one stitch into one.
func (w *worker) entry(id stitch.ID) *entry {
	if e, ok := w.entries[id]; ok {
		return e
	}
	e := &entry{id: id, base: id, consumes: 1, makes: 1, height: 1, chain: 1, each: 1}
	if s, ok := stitch.Lookup(id); ok {
		w.fill(e, s)
	} else if _, own := w.defs[id]; !own {
		w.assume("\""+string(id)+"\" is not in the dictionary: it is counted as one stitch worked into one", notation.Pos{}, "")
	}
	w.entries[id] = e
	return e
}

func (w *worker) fill(e *entry, s stitch.Stitch) {
	e.kind, e.consumes, e.makes, e.height = s.Kind, s.Consumes, s.Makes, s.Height
	e.chain, e.habit = s.Chain, s.Counts
	if s.Base != "" {
		e.base = s.Base
	}
	switch s.Kind {
	case stitch.Increase:
		if len(s.Parts) == 1 {
			e.each, e.id, e.makes = s.Parts[0].Many, s.Parts[0].Stitch, 1
		} else {
			e.each, e.makes = max(1, s.Makes), 1
		}
	case stitch.Group, stitch.Crossed:
		w.group(e, s)
	}
}

// group lays out a stitch that is several: a shell, a V stitch, a crossed pair.
func (w *worker) group(e *entry, s stitch.Stitch) {
	alone := len(s.Parts) == 1
	for i, p := range s.Parts {
		m := Made{ID: p.Stitch, N: 1, Each: p.Many}
		if i == 0 {
			m.Takes = s.Consumes
		}
		e.parts = append(e.parts, m)
		if p.Stitch == chainID {
			e.top = e.top.add(leaf(cell{kind: spaceCell, size: p.Many, dead: true}, 1))
			continue
		}
		c := cell{kind: stitchCell, id: p.Stitch}
		if alone && w.groups && s.Kind == stitch.Group {
			c.of = p.Many
		}
		e.top = e.top.add(leaf(c, p.Many))
	}
}

// baseOf returns the plain stitch that a stitch is a form of.
func (w *worker) baseOf(id stitch.ID) stitch.ID {
	if b, ok := w.bases[id]; ok {
		return b
	}
	b := id
	if s, ok := stitch.Lookup(id); ok && s.Base != "" {
		b = s.Base
	}
	w.bases[id] = b
	return b
}

// resolve gives inc and dec the stitch of their row.
func (mk *maker) resolve(s *notation.Stitches) *entry {
	of := s.Of
	if of == "" {
		of = mk.id
	}
	switch s.Name {
	case "inc":
		e := *mk.w.entry(of)
		e.each = 2
		return &e
	case "dec":
		return mk.w.entry(of + "2tog")
	case "invdec":
		e := *mk.w.entry("sc2tog")
		e.id = "invdec"
		return &e
	}
	return mk.w.entry(s.Name)
}
