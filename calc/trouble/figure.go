package trouble

import (
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/entry"
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

// Figure is a piece of arithmetic that tells whether a cause holds.
type Figure struct {
	ID     string
	Needs  []Need
	Source string // of the rule it uses
	says   map[string]string
	work   func(Facts) (outcome string, values map[string]Value, err error)
}

// Need is something that a figure has to know.
type Need struct {
	Name string // the key in Facts
	Ask  string // the question to the maker
	Kind Kind
	Low  float64 // the limits, both allowed; lengths in millimetres
	High float64
}

// Kind is what a need or a value counts.
type Kind uint8

// The kinds.
const (
	Count   Kind = iota // whole stitches or rows
	PerTen              // stitches or rows in 10 cm
	Length              // millimetres
	Size                // a hook, in millimetres
	Percent             // of a whole
)

var kindWords = []string{"count", "gauge", "length", "hook", "percent"}

// String is the kind in a word.
func (k Kind) String() string { return kindWords[k] }

// UnmarshalText reads a kind from its word.
func (k *Kind) UnmarshalText(b []byte) error {
	i := slices.Index(kindWords, string(b))
	if i < 0 {
		return fmt.Errorf("kind %q is none of: %s", b, strings.Join(kindWords, ", "))
	}
	*k = Kind(i)
	return nil
}

// Facts are what is known of the maker's work, by the name of the need;
// lengths in millimetres.
type Facts map[string]float64

// Value is a number that a figure brought out.
type Value struct {
	Number float64
	Kind   Kind
}

// Text is the value as it is read in a sentence.
func (v Value) Text(u measure.Unit) string {
	switch v.Kind {
	case Length:
		return measure.FromMM(v.Number).Text(u)
	case Size:
		return strconv.FormatFloat(v.Number, 'g', 4, 64) + " mm"
	case PerTen:
		return strconv.FormatFloat(math.Round(v.Number*10)/10, 'f', -1, 64)
	default:
		return strconv.FormatFloat(math.Round(v.Number), 'f', -1, 64)
	}
}

// Outcome is what a figure found.
type Outcome struct {
	Name   string           // "ruffles"; a check's When compares with it
	Text   string           // what it means, with the numbers in it
	Values map[string]Value // the numbers by name
}

// FactError says that a figure can't be worked with a fact.
type FactError struct {
	Need    Need
	Missing bool
	Value   float64
}

// Error says which fact, and what is allowed.
func (e *FactError) Error() string {
	if e.Missing {
		return fmt.Sprintf("%s is not said", e.Need.Name)
	}
	return fmt.Sprintf("%s is %v, not between %v and %v", e.Need.Name, e.Value, e.Need.Low, e.Need.High)
}

// FigureOf returns a figure, for its needs; false if there is none of the ID.
func FigureOf(id string) (Figure, bool) {
	f, ok := desk().figures[id]
	f.Needs = slices.Clone(f.Needs)
	return f, ok
}

// Work does the arithmetic. The text is in the words of a dialect and the
// units of a member. Errors are *FactError.
func (f Figure) Work(facts Facts, d stitch.Dialect, u measure.Unit) (Outcome, error) {
	return f.WorkTold(facts, func(text string) string { return term.Say(text, d) }, u)
}

// WorkTold is Work with the text as say tells that of the file, in which
// numbers stand in square brackets.
func (f Figure) WorkTold(facts Facts, say func(string) string, u measure.Unit) (Outcome, error) {
	for _, need := range f.Needs {
		v, said := facts[need.Name]
		if !said {
			return Outcome{}, &FactError{Need: need, Missing: true}
		}
		whole := need.Kind != Count || v == math.Trunc(v)
		if !(v >= need.Low && v <= need.High) || !whole {
			return Outcome{}, &FactError{Need: need, Value: v}
		}
	}
	name, values, err := f.work(facts)
	if err != nil {
		return Outcome{}, fmt.Errorf("work figure %s: %w", f.ID, err)
	}
	text := say(f.says[name])
	for key, v := range values {
		text = strings.ReplaceAll(text, "["+key+"]", v.Text(u))
	}
	return Outcome{name, text, values}, nil
}

// figureRow is a figure as the file writes it.
type figureRow struct {
	ID, Source string
	Needs      []Need
	Says       map[string]string
}

// readFigures reads the sentences of the figures and ties them to their
// arithmetic.
func readFigures(folder fs.FS, name string) (map[string]Figure, error) {
	all := map[string]Figure{}
	var faults entry.Faults
	err := entry.Each(folder, []string{name}, func(file string, content struct{ Figure []figureRow }) {
		for _, r := range content.Figure {
			faults.File, faults.Entry = file, r.ID
			a, known := arithmetic[r.ID]
			faults.Need(known, "there is no such arithmetic")
			if known {
				r.check(&faults, a)
			}
			all[r.ID] = Figure{r.ID, r.Needs, r.Source, r.Says, a.work}
		}
		faults.Entry = name
		for id := range arithmetic {
			_, said := all[id]
			faults.Need(said, "the figure %q is missing", id)
		}
	})
	if err != nil {
		return nil, err
	}
	return all, faults.Err()
}

// check compares a figure's row with its arithmetic.
func (r figureRow) check(f *entry.Faults, a arithmetician) {
	f.Need(r.Source != "", "source is missing")
	var names []string
	for _, n := range r.Needs {
		names = append(names, n.Name)
		f.Need(n.Ask != "" && n.Low < n.High, "need %q: ask is missing, or low is not below high", n.Name)
		f.Need(term.CheckText(n.Ask) == nil, "need %q: %v", n.Name, term.CheckText(n.Ask))
	}
	slices.Sort(names)
	wanted := slices.Sorted(slices.Values(a.needs))
	f.Need(slices.Equal(names, wanted), "needs are %s, the arithmetic takes %s", strings.Join(names, ", "), strings.Join(wanted, ", "))
	for _, outcome := range a.outcomes {
		f.Need(r.Says[outcome] != "", "says nothing when it comes out as %q", outcome)
	}
	for outcome, text := range r.Says {
		f.Need(slices.Contains(a.outcomes, outcome), "never comes out as %q", outcome)
		f.Need(term.CheckText(text) == nil, "%q: %v", outcome, term.CheckText(text))
		for rest := text; ; {
			_, after, open := strings.Cut(rest, "[")
			key, tail, closed := strings.Cut(after, "]")
			if !open {
				break
			}
			f.Need(closed && slices.Contains(a.values, key), "%q: there is no value [%s]", outcome, key)
			rest = tail
		}
	}
}
