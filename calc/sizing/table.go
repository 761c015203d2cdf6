package sizing

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/measure"
)

// Basis says how well a row of figures is founded.
type Basis string

const (
	Published Basis = "published" // read in the source or a copy of it
	Derived   Basis = "derived"   // computed from published figures, as the source says
	Memory    Basis = "memory"    // the source is named from memory
	Practice  Basis = "practice"  // common practice, no source
)

// Audience says for whom a table is, for the cautions that go with it.
type Audience string

const (
	Adult  Audience = "adult"
	Child  Audience = "child"
	Infant Audience = "infant"
)

// Range is what a size spans in one measure; both ends are the same where the
// table gives one figure.
type Range struct {
	Low, High measure.Length
}

// Middle is halfway between the ends.
func (r Range) Middle() measure.Length { return (r.Low + r.High) / 2 }

// Off is how far a length lies outside: 0 within, positive above, negative
// below.
func (r Range) Off(l measure.Length) measure.Length {
	switch {
	case l > r.High:
		return l - r.High
	case l < r.Low:
		return l - r.Low
	}
	return 0
}

// Text is the range as tables print it: "71 to 76 cm" or "42 cm".
func (r Range) Text(u measure.Unit) string {
	if r.Low == r.High {
		return r.Low.Text(u)
	}
	return strings.TrimSuffix(r.Low.Text(u), " "+u.String()) + " to " + r.High.Text(u)
}

// Row is one measure over all sizes of a table.
type Row struct {
	Measure Measure
	Basis   Basis
	Source  string
	Ranges  []Range // one a size
}

// Size is one size of a table.
type Size struct {
	Name   string
	Ranges map[Measure]Range
}

// Body is the size's body: the middle of each range.
func (s Size) Body() Body {
	b := make(Body, len(s.Ranges))
	for m, r := range s.Ranges {
		b[m] = r.Middle()
	}
	return b
}

// Table is a table of sizes. Tables are shared: don't change them.
type Table struct {
	Name     string
	Title    string
	Source   string
	Basis    Basis
	Audience Audience
	Main     bool         // sizes are offered from it; else it is for comparison
	Key      Measure      // the measure that chooses the size
	Unit     measure.Unit // of the source
	Sizes    []Size       // from small to large
	Rows     []Row        // the key first
	Oddities []string     // what looks wrong in the source and is kept

	aliases []string
}

// Row is the table's row of a measure, if it has one.
func (t *Table) Row(m Measure) (Row, bool) {
	for _, r := range t.Rows {
		if r.Measure == m {
			return r, true
		}
	}
	return Row{}, false
}

// Tables is every table, those that sizes are offered from first.
func Tables() []*Table { return append([]*Table(nil), load()...) }

// Named is the table of a name: "woman", "women", "EN woman". The error is a
// *NameError.
func Named(name string) (*Table, error) {
	key := plain(name)
	var known []string
	for _, t := range load() {
		known = append(known, t.Name)
		for _, alias := range append([]string{t.Name}, t.aliases...) {
			if plain(alias) == key {
				return t, nil
			}
		}
	}
	return nil, unknown("table", name, known)
}

//go:embed tables/*.toml
var files embed.FS

// order is the tables' files as Tables lists them.
var order = []string{
	"baby", "child", "woman", "man", "head", // main
	"EN woman", "EN letter woman", "EN man", "EN letter man", "ASTM woman", "craft head",
}

// load reads the embedded tables once. A fault in them is a fault of the
// build, which the tests find.
var load = sync.OnceValue(func() []*Table {
	tables, err := read(files)
	if err != nil {
		panic(err)
	}
	return tables
})

// sheet is a table as its file has it.
type sheet struct {
	Name     string
	Aliases  []string
	Title    string
	Source   string
	Basis    Basis
	Audience Audience
	Main     bool
	Key      Measure
	Unit     string
	Sizes    []string
	Oddities []string
	Row      []struct {
		Measure Measure
		Basis   Basis
		Source  string
		Values  []string
	}
}

// read reads a folder of tables and puts them in order.
func read(folder fs.FS) ([]*Table, error) {
	names := make([]string, len(order))
	for i, name := range order {
		names[i] = path.Join("tables", strings.ReplaceAll(strings.ToLower(name), " ", "-")+".toml")
	}
	var tables []*Table
	var faults []error
	err := entry.Each(folder, names, func(file string, s sheet) {
		t, err := s.table(file)
		tables, faults = append(tables, t), append(faults, err)
	})
	return tables, errors.Join(append(faults, err)...)
}

func (s sheet) table(file string) (*Table, error) {
	f := entry.Faults{File: file, Entry: s.Name}
	f.Need(s.Name != "" && s.Title != "" && s.Source != "" && len(s.Sizes) > 0, "name, title, source and sizes are needed")
	f.Need(s.Unit == "cm" || s.Unit == "in", "unit must be cm or in")
	f.Need(s.Audience == Adult || s.Audience == Child || s.Audience == Infant, "audience must be adult, child or infant")
	f.Need(len(s.Row) > 0 && s.Row[0].Measure == s.Key, "the first row must be the key, %s", s.Key)
	t := &Table{
		Name: s.Name, Title: s.Title, Source: s.Source, Basis: s.Basis, Audience: s.Audience,
		Main: s.Main, Key: s.Key, Oddities: s.Oddities, aliases: s.Aliases,
	}
	if s.Unit == "in" {
		t.Unit = measure.Inches
	}
	for _, name := range s.Sizes {
		t.Sizes = append(t.Sizes, Size{Name: name, Ranges: map[Measure]Range{}})
	}
	for _, r := range s.Row {
		row := Row{Measure: r.Measure, Basis: r.Basis, Source: r.Source}
		switch {
		case row.Basis == "":
			row.Basis = s.Basis
		case row.Basis == Practice:
			row.Source = "common practice, no source"
		}
		if row.Source == "" {
			row.Source = s.Source
		}
		f.Need(r.Measure.Known(), "no measure is called %q", r.Measure)
		f.Need(row.Basis == Published || row.Basis == Derived || row.Basis == Memory || row.Basis == Practice, "%s: basis %q is unknown", r.Measure, row.Basis)
		f.Need(len(r.Values) == len(s.Sizes), "%s: %d values for %d sizes", r.Measure, len(r.Values), len(s.Sizes))
		for i, value := range r.Values[:min(len(r.Values), len(t.Sizes))] {
			span, err := parseRange(value, t.Unit)
			f.Need(err == nil, "%s: %v", r.Measure, err)
			row.Ranges = append(row.Ranges, span)
			t.Sizes[i].Ranges[r.Measure] = span
		}
		t.Rows = append(t.Rows, row)
	}
	return t, f.Err()
}

// parseRange reads "71-76" or "42".
func parseRange(text string, u measure.Unit) (Range, error) {
	low, high, two := strings.Cut(text, "-")
	if !two {
		high = low
	}
	a, errA := strconv.ParseFloat(low, 64)
	b, errB := strconv.ParseFloat(high, 64)
	if errA != nil || errB != nil || !(a > 0 && a <= b && b <= 1000) {
		return Range{}, fmt.Errorf("%q is no range such as 71-76", text)
	}
	return Range{measure.Of(a, u), measure.Of(b, u)}, nil
}
