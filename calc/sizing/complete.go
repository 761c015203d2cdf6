package sizing

import (
	"slices"

	"countwright/calc/measure"
)

// Completed is a body with its missing measures filled in from a table.
type Completed struct {
	Body    Body
	Table   *Table
	Key     Measure   // what the rest was read off by
	Assumed []Measure // what was filled in, in the order of Measures

	// Between names the sizes whose middles the key lies between; both are the
	// same size where it lies on a middle or outside the table.
	Between [2]string
	// Beyond is how far the key lies outside the table's sizes: 0 within,
	// positive above, negative below. What is filled in is then less sure: it is
	// carried on from the two outermost sizes, but above the largest only what
	// grows with girth. Bones don't: lengths, head, hands and feet stay as they
	// are there.
	Beyond measure.Length
}

// Stretch is how far outside a table's sizes a body may lie, as a part of the
// outermost size. Common practice, no source.
const Stretch = 0.25

// Complete fills in what a body lacks: each measure of the table is
// interpolated between the sizes on either side of the body, on the table's
// key (the chest, or the head for hats) or, if that is not given, on the first
// given measure that the table has. What is given stays as it is. Errors are
// *NeedError, *OutsideError, *NameError and *measure.RangeError.
func (t *Table) Complete(given Body) (Completed, error) {
	if err := given.Check(); err != nil {
		return Completed{}, err
	}
	c := Completed{Body: Body{}, Table: t, Key: t.keyOf(given)}
	if c.Key == "" {
		return Completed{}, &NeedError{t}
	}
	row, _ := t.Row(c.Key)
	x := given[c.Key]
	if err := c.place(row, x); err != nil {
		return Completed{}, err
	}
	for _, m := range measures {
		if l, known := given[m]; known {
			c.Body[m] = l
			continue
		}
		if other, has := t.Row(m); has {
			at := x
			if bony[m] && t.Audience == Adult {
				at = min(at, row.Ranges[len(row.Ranges)-1].Middle())
			}
			c.Body[m] = interpolate(row.Ranges, other.Ranges, at)
			c.Assumed = append(c.Assumed, m)
		}
	}
	return c, nil
}

// Of is the body of a size, with what is given in place of the size's own
// measures. If the key itself is given, the rest follows it, not the size.
// Errors are those of Size and Complete.
func (t *Table) Of(size string, given Body) (Completed, error) {
	s, err := t.Size(size)
	if err != nil {
		return Completed{}, err
	}
	if _, known := given[t.Key]; known {
		return t.Complete(given)
	}
	with := Body{t.Key: s.Ranges[t.Key].Middle()}
	for m, l := range given {
		with[m] = l
	}
	c, err := t.Complete(with)
	if err == nil {
		c.Assumed = append(c.Assumed, t.Key)
		slices.SortFunc(c.Assumed, func(a, b Measure) int {
			return slices.Index(measures, a) - slices.Index(measures, b)
		})
	}
	return c, err
}

// bony is the measures that don't go on growing with an adult's girth.
var bony = map[Measure]bool{
	CentreBack: true, BackLength: true, HipLength: true, ArmLength: true, Head: true,
	Hand: true, HandLength: true, Foot: true, FootLength: true,
}

// keyOf is the measure to read the table by.
func (t *Table) keyOf(given Body) Measure {
	if _, known := given[t.Key]; known {
		return t.Key
	}
	for _, m := range measures {
		_, known := given[m]
		row, has := t.Row(m)
		if known && has && row.Ranges[0].Middle() < row.Ranges[len(row.Ranges)-1].Middle() {
			return m
		}
	}
	return ""
}

// place finds where the key lies among the sizes.
func (c *Completed) place(row Row, x measure.Length) error {
	first, last := row.Ranges[0], row.Ranges[len(row.Ranges)-1]
	switch low, high := first.Low.Scale(1-Stretch), last.High.Scale(1+Stretch); {
	case x < low || x > high:
		return &OutsideError{c.Table, row.Measure, x, low, high}
	case x < first.Low:
		c.Beyond = x - first.Low
	case x > last.High:
		c.Beyond = x - last.High
	}
	i := 0
	for j, r := range row.Ranges {
		if r.Middle() <= x {
			i = j
		}
	}
	above := i
	if x > row.Ranges[i].Middle() && i+1 < len(row.Ranges) {
		above = i + 1
	}
	c.Between = [2]string{c.Table.Sizes[i].Name, c.Table.Sizes[above].Name}
	return nil
}

// interpolate reads off y at x on the line through the middles of both rows;
// outside, the outermost stretch of it goes on. Where several sizes share one
// x, the line steps there, and x itself takes the larger.
func interpolate(xs, ys []Range, x measure.Length) measure.Length {
	last := len(xs) - 1
	if last == 0 {
		return ys[0].Middle()
	}
	i := 0 // the stretch from i to i + 1
	for i+1 < last && x >= xs[i+1].Middle() {
		i++
	}
	for i > 0 && xs[i].Middle() == xs[i+1].Middle() {
		i--
	}
	x0, x1 := xs[i].Middle(), xs[i+1].Middle()
	y0, y1 := ys[i].Middle(), ys[i+1].Middle()
	if x0 == x1 {
		return y1
	}
	return y0 + (y1 - y0).Scale(float64(x-x0)/float64(x1-x0))
}
