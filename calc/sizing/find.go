package sizing

import (
	"cmp"
	"slices"

	"countwright/calc/measure"
)

// Fit is the size of a table that a body falls in, or lies nearest to.
type Fit struct {
	Table *Table
	Size  Size
	Key   Measure        // what chose the size
	Off   measure.Length // how far the key lies outside the size; 0 within
	// Differences is every given measure that the size has, in the order of
	// Measures.
	Differences []Difference
}

// Difference is one measure of a body beside its size's.
type Difference struct {
	Measure Measure
	Body    measure.Length
	Size    Range
	Basis   Basis
	Off     measure.Length // how far the body lies outside; 0 within
}

// Near is how far outside a size a body may lie and still be said to be nearest
// to it, as a part of the body. Common practice, no source.
const Near = 0.08

// Find is the size that a body falls in, one for each table that has one near
// enough, the best first. The tables' ranges leave gaps, so a body between two
// sizes is given the nearest, the larger if both are as near. Without tables,
// every table is searched. Errors are *NameError and *measure.RangeError; an
// empty result is none.
func Find(given Body, tables ...*Table) ([]Fit, error) {
	if err := given.Check(); err != nil {
		return nil, err
	}
	if len(tables) == 0 {
		tables = load()
	}
	var fits []Fit
	for _, t := range tables {
		key := t.keyOf(given)
		if key == "" || key != t.Key && len(t.Rows) == 1 {
			continue
		}
		f := t.nearest(key, given[key])
		if float64(f.Off.Abs()) > Near*float64(given[key]) {
			continue
		}
		f.compare(given)
		fits = append(fits, f)
	}
	slices.SortStableFunc(fits, func(a, b Fit) int { return cmp.Compare(a.Off.Abs(), b.Off.Abs()) })
	return fits, nil
}

func (t *Table) nearest(key Measure, x measure.Length) Fit {
	best := Fit{Table: t, Key: key}
	for i, s := range t.Sizes {
		off := s.Ranges[key].Off(x)
		if i == 0 || off.Abs() <= best.Off.Abs() {
			best.Size, best.Off = s, off
		}
	}
	return best
}

func (f *Fit) compare(given Body) {
	for _, m := range measures {
		l, known := given[m]
		row, has := f.Table.Row(m)
		if known && has {
			r := f.Size.Ranges[m]
			f.Differences = append(f.Differences, Difference{m, l, r, row.Basis, r.Off(l)})
		}
	}
}
