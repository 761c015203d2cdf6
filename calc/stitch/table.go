package stitch

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed stitches.toml
var stitchesFile []byte

// book is the whole dictionary: the rows of the file, and every stitch that
// follows from them.
type book struct {
	rows  []Stitch
	byID  map[ID]Stitch
	index [Older + 1]map[string][]ID
}

// dictionary reads the embedded file once. The package's tests read the same
// file through the same function, so a fault in it never reaches a program.
var dictionary = sync.OnceValue(func() *book {
	rows, err := readRows("stitches.toml", stitchesFile)
	if err != nil {
		panic(err)
	}
	b := &book{rows: rows, byID: map[ID]Stitch{}}
	for d := range b.index {
		b.index[d] = map[string][]ID{}
	}
	for _, s := range rows {
		b.byID[s.ID] = s
	}
	var derived []Stitch
	for _, s := range families(b.byID) {
		if _, known := b.byID[s.ID]; !known {
			b.byID[s.ID] = s
			derived = append(derived, s)
		}
	}
	b.learn(rows)
	b.learn(derived)
	return b
})

// row is a stitch as the file writes it.
type row struct {
	ID        ID
	Kind      Kind
	US        Words
	UK        *Words
	Older     *Words
	YarnOvers int `toml:"yarn_overs"`
	Height    float64
	Chain     int
	Counts    Habit
	Consumes  int
	Makes     int
	Base      ID
	Parts     []Part
	Assumed   string
	Symbol    Symbol
	Source    string
}

// EntryError says what is wrong with one entry of a data file.
type EntryError struct {
	File  string
	Entry string // the entry's id
	Wrong string
}

func (e *EntryError) Error() string { return fmt.Sprintf("%s: entry %q: %s", e.File, e.Entry, e.Wrong) }

// readRows reads and checks a data file; all faults are reported at once.
func readRows(name string, data []byte) ([]Stitch, error) {
	var file struct{ Stitch []row }
	d := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := d.Decode(&file); err != nil {
		return nil, fmt.Errorf("%s: %w", name, decodeError(err))
	}
	var faults []error
	seen := map[ID]bool{}
	for _, r := range file.Stitch {
		seen[r.ID] = true
	}
	twice := map[ID]bool{}
	rows := make([]Stitch, 0, len(file.Stitch))
	for _, r := range file.Stitch {
		for _, wrong := range r.faults(seen) {
			faults = append(faults, &EntryError{name, string(r.ID), wrong})
		}
		if twice[r.ID] {
			faults = append(faults, &EntryError{name, string(r.ID), "stands twice in the file"})
		}
		twice[r.ID] = true
		rows = append(rows, r.stitch())
	}
	return rows, errors.Join(faults...)
}

// decodeError gives the place in the file where the decoder can tell it.
func decodeError(err error) error {
	var strict *toml.StrictMissingError
	var at *toml.DecodeError
	switch {
	case errors.As(err, &strict):
		return errors.New("a key that no entry has:\n" + strict.String())
	case errors.As(err, &at):
		return errors.New(at.String())
	}
	return err
}

// faults lists what is wrong with a row, given the ids of the file.
func (r row) faults(known map[ID]bool) []string {
	var wrong []string
	need := func(ok bool, text string, args ...any) {
		if !ok {
			wrong = append(wrong, fmt.Sprintf(text, args...))
		}
	}
	need(r.ID != "" && r.ID == lower(r.ID), "id is missing or not in lower case")
	need(r.US.Name != "", "us has no name")
	need(r.UK == nil || r.UK.Name != "", "uk has no name")
	need(r.Older == nil || r.Older.Name != "", "older has no name")
	need(r.Source != "", "source is missing; write \"common practice, no source\" if there is none")
	need(r.Height >= 0 && r.Height <= 10, "height %v is not between 0 and 10", r.Height)
	need(r.Chain >= 0 && r.Chain <= 12, "chain %d is not between 0 and 12", r.Chain)
	need(r.Consumes >= 0 && r.Makes >= 0, "consumes and makes can't be less than 0")
	need(r.Base == "" || known[r.Base], "base %q is not in the file", r.Base)
	for _, p := range r.Parts {
		need(known[p.Stitch], "part %q is not in the file", p.Stitch)
		need(p.Many > 0, "part %q: many is missing", p.Stitch)
	}
	need(r.Kind != Group || len(r.Parts) > 0, "a group needs parts")
	return wrong
}

func (r row) stitch() Stitch {
	s := Stitch{ID: r.ID, US: r.US, UK: r.US, Kind: r.Kind, YarnOvers: r.YarnOvers, Height: r.Height, Chain: r.Chain,
		Counts: r.Counts, Consumes: r.Consumes, Makes: r.Makes, Base: r.Base, Parts: r.Parts, Assumed: r.Assumed,
		Symbol: r.Symbol, Source: r.Source}
	if r.UK != nil {
		s.UK = *r.UK
	}
	s.Older = s.UK
	if r.Older != nil {
		s.Older = *r.Older
	}
	return s
}

func lower(id ID) ID { return ID(strings.ToLower(string(id))) }
