// Package fabric works a tree of written rows stitch by stitch, for every
// size, and says what happened: the count after each row, what each stitch was
// worked into, what was left over or ran short, whether the turning chain
// counts, which stated counts do not hold and why, and the outline of the
// piece.
//
// A row is kept as runs of equal places, so that work and memory grow with the
// text and not with the number of stitches.
package fabric

import (
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Options say how a text is worked. The zero Options work a whole pattern.
type Options struct {
	// Start is how many stitches the row before the first one has, for rows
	// taken out of a pattern; 0 takes it from the text.
	Start int
	// Gauge gives outlines and turns lengths into rows; nil: neither.
	Gauge *Gauge
}

// worker works one size of a document.
type worker struct {
	doc       *notation.Document
	opt       Options
	size      int
	entries   map[stitch.ID]*entry
	bases     map[stitch.ID]stitch.ID
	defs      map[stitch.ID]*notation.Definition
	chains    bool // chains are made between stitches somewhere
	tops      bool // the top of a turning chain is worked somewhere: it counts, where nothing else is said
	slips     bool // slip stitches are made somewhere
	groups    bool // gaps between groups are worked into somewhere
	reads     reading
	countless bool             // reads was chosen without a stated count to go by
	said      map[turning]bool // whether such a turning chain counts
	fuel      int              // steps of the engine that are left for the work itself
	hunt      int              // and for trying other readings and finding causes
	rows      int              // planned, over all sizes
	plans     map[int]planned
	length    int     // of a foundation whose length the text leaves open
	tall      float64 // of the swatch's stitch
	memo      [memoSize]memo
	oldest    int

	findings []Finding
	told     []Assumption
	guesses  []guess
	spare    maker
}

// Work works every row of a document in every size.
func Work(doc *notation.Document, opt Options) *Result {
	res := &Result{Sizes: sizeNames(doc)}
	w := newWorker(doc, opt)
	sizes := len(res.Sizes)
	passes, bad := w.all(sizes, false)
	if bad > 0 {
		w.countless = !statesCounts(doc)
		w.reads = w.bestReading(sizes)
		w.guesses = nil
		w.fuel = maxFuel
		passes, _ = w.all(sizes, true)
	}
	res.assemble(w, passes)
	return res
}

// all works every size; with search, the causes of what does not hold are
// looked for.
func (w *worker) all(sizes int, search bool) (passes []*pass, bad int) {
	for size := range sizes {
		w.size = size
		p := w.pass(search, endless)
		passes = append(passes, p)
		bad += p.bad
	}
	return passes, bad
}

// search does work that is not needed for the counts on a budget of its own.
// It returns false, and does nothing, when that is spent.
func (w *worker) search(do func()) bool {
	if w.hunt <= 0 {
		return false
	}
	w.fuel, w.hunt = w.hunt, w.fuel
	do()
	w.fuel, w.hunt = w.hunt, w.fuel
	return true
}

func sizeNames(doc *notation.Document) []string {
	n := max(1, doc.SizeCount, len(doc.Sizes))
	names := make([]string, n)
	copy(names, doc.Sizes)
	return names
}

func newWorker(doc *notation.Document, opt Options) *worker {
	w := &worker{doc: doc, opt: opt, entries: map[stitch.ID]*entry{}, bases: map[stitch.ID]stitch.ID{},
		defs: map[stitch.ID]*notation.Definition{}, said: map[turning]bool{}, plans: map[int]planned{}, fuel: maxFuel, hunt: maxHunt}
	for i := range doc.Definitions {
		d := &doc.Definitions[i]
		w.defs[stitch.ID(d.Name)] = d
	}
	w.survey()
	return w
}

// turning is a turning chain before stitches of a family.
type turning struct{ chains, family int }

// survey looks through the whole text for what bears on every row.
func (w *worker) survey() {
	both := map[turning]bool{}
	for _, p := range w.doc.Parts {
		for _, l := range p.Lines {
			if r := asRow(l); r != nil {
				_, opens := w.prevailing(r.Steps, "")
				w.surveySteps(r.Steps, family(w.entry(opens)), both)
				w.chains = w.chains || (&maker{w: w}).spaces(r.Steps, false)
			}
		}
	}
	for t := range both {
		delete(w.said, t)
	}
}

func (w *worker) surveySteps(steps []notation.Step, fam int, both map[turning]bool) {
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Chain:
			if s.Counts == notation.CountUnsaid && s.As == "" || s.Plus > 0 || len(s.Many) != 1 {
				continue
			}
			yes := s.Counts == notation.CountsAsStitch || s.As != ""
			t := turning{s.Many[0], fam}
			if s.As != "" {
				t.family = family(w.entry(s.As))
			}
			if had, ok := w.said[t]; ok && had != yes {
				both[t] = true
			}
			w.said[t] = yes
		case *notation.Group:
			w.groups = w.groups || s.Into != nil && between(*s.Into)
			w.surveySteps(s.Steps, fam, both)
		case *notation.Stitches:
			w.slips = w.slips || s.Name == slip
			w.tops = w.tops || s.Into.What == notation.TurningChain && s.Name != slip
			w.groups = w.groups || between(s.Into)
		}
	}
}

// between says whether a place may be a gap between groups.
func between(p notation.Place) bool {
	return p.What == notation.Space || p.What == notation.SpaceBetween || p.Choice == notation.Between
}

// note and find keep what is to be told.
func (w *worker) assume(text string, at notation.Pos, label string) {
	for _, a := range w.told {
		if a.Message == text {
			return
		}
	}
	w.told = append(w.told, Assumption{Label: label, Message: text, Pos: at})
}

func (w *worker) find(kind, text string, at notation.Pos, label string) {
	w.findings = append(w.findings, Finding{Label: label, Kind: kind, Message: text, Pos: at, Size: w.size, Row: -1})
}

// statesCounts reports whether any row of the text says what it comes to.
func statesCounts(doc *notation.Document) bool {
	for _, part := range doc.Parts {
		for _, line := range part.Lines {
			switch l := line.(type) {
			case *notation.Row:
				if l.Claim != nil {
					return true
				}
			case *notation.Again:
				if l.Claim != nil {
					return true
				}
			}
		}
	}
	return false
}
