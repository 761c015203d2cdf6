package stitch

import (
	"embed"
	"io/fs"
	"strings"
	"sync"

	"countwright/calc/entry"
)

//go:embed stitches/*.toml
var stitchFiles embed.FS

// stitchNames are the data files in the order in which All returns their rows.
var stitchNames = []string{"stitches/basic.toml", "stitches/post.toml", "stitches/group.toml", "stitches/start.toml", "stitches/pattern.toml"}

// book is the whole dictionary: the rows of the files, and every stitch that
// follows from them.
type book struct {
	rows  []Stitch
	byID  map[ID]Stitch
	index [Older + 1]map[string][]ID // by key, and by the words as they are printed
}

// dictionary reads the embedded files once. The package's tests read the same
// files through the same function, so a fault in them never reaches a program.
var dictionary = sync.OnceValue(func() *book {
	rows, err := readRows(stitchFiles, stitchNames)
	if err != nil {
		panic(err)
	}
	b := &book{rows: rows, byID: map[ID]Stitch{}}
	for d := range b.index {
		b.index[d] = make(map[string][]ID, 4096)
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

// row is a stitch as a file writes it.
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

// readRows reads and checks the data files; all faults are reported at once.
func readRows(folder fs.FS, names []string) ([]Stitch, error) {
	var rows []row
	var files []string
	known := map[ID]int{}
	err := entry.Each(folder, names, func(file string, content struct{ Stitch []row }) {
		for _, r := range content.Stitch {
			rows, files = append(rows, r), append(files, file)
			known[r.ID]++
		}
	})
	if err != nil {
		return nil, err
	}
	var faults entry.Faults
	stitches := make([]Stitch, len(rows))
	for i, r := range rows {
		faults.File, faults.Entry = files[i], string(r.ID)
		r.check(&faults, known)
		stitches[i] = r.stitch()
	}
	return stitches, faults.Err()
}

// check records what is wrong with a row, given how often each id stands in
// the files.
func (r row) check(f *entry.Faults, known map[ID]int) {
	f.Need(r.ID != "" && r.ID == lower(r.ID), "id is missing or not in lower case")
	f.Need(known[r.ID] == 1, "the id stands %d times in the files", known[r.ID])
	f.Need(r.US.Name != "", "us has no name")
	f.Need(r.UK == nil || r.UK.Name != "", "uk has no name")
	f.Need(r.Older == nil || r.Older.Name != "", "older has no name")
	f.Need(r.Source != "", "source is missing; write \"common practice, no source\" if there is none")
	f.Need(r.YarnOvers >= 0 && r.YarnOvers <= 12, "yarn_overs %d is not between 0 and 12", r.YarnOvers)
	f.Need(r.Height >= 0 && r.Height <= 10, "height %v is not between 0 and 10", r.Height)
	f.Need(r.Chain >= 0 && r.Chain <= 12, "chain %d is not between 0 and 12", r.Chain)
	f.Need(r.Chain > 0 || r.Counts == Never, "counts is said of a turning chain, but chain is missing")
	f.Need(r.Consumes >= 0 && r.Makes >= 0, "consumes and makes can't be less than 0")
	f.Need(r.Base == "" || known[r.Base] > 0, "base %q is not in the files", r.Base)
	f.Need(r.Base != r.ID, "base is the stitch itself")
	for _, p := range r.Parts {
		f.Need(known[p.Stitch] > 0, "part %q is not in the files", p.Stitch)
		f.Need(p.Many > 0, "part %q: many is missing", p.Stitch)
	}
	f.Need(r.Kind != Group || len(r.Parts) > 0, "a group needs parts")
}

func (r row) stitch() Stitch {
	s := Stitch{
		ID: r.ID, US: r.US, UK: r.US, Kind: r.Kind, YarnOvers: r.YarnOvers, Height: r.Height, Chain: r.Chain,
		Counts: r.Counts, Consumes: r.Consumes, Makes: r.Makes, Base: r.Base, Parts: r.Parts, Assumed: r.Assumed,
		Symbol: r.Symbol, Source: r.Source,
	}
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
