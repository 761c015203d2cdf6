package gauge

import "countwright/calc/measure"

// Swatch is a piece of fabric as it was measured.
type Swatch struct {
	Name           string         // what the maker calls it
	Stitches, Rows float64        // counted; fractions of a stitch count
	Width, Height  measure.Length // the stretch that was counted over
	Mark           measure.Length // the ruler's smallest mark; zero means 1 mm
	Hook           float64        // millimetres; zero means not said
	Yarn, Stitch   string         // as the maker wrote them
	Washed         bool           // measured after washing and drying
	Grams          float64        // weight of the measured stretch; zero means not weighed
	Metres         float64        // yarn in the measured stretch; zero means not known
}

// Limits of what a swatch may measure. Common practice, no source.
const (
	MinSwatch = 2 * measure.Centimetre
	MaxSwatch = 2 * measure.Metre
	MaxCount  = 2000 // stitches or rows counted
	MaxGrams  = 5000
	MaxMetres = 20000
)

// Small is the width below which a swatch says little: makers are told to
// count over at least 10 cm of a larger piece. Common practice, no source.
const Small = 10 * measure.Centimetre

// Gauge is what the swatch shows, per 100 mm. The error is a *RangeError or a
// *measure.RangeError.
func (s Swatch) Gauge() (Gauge, error) {
	if err := s.Check(); err != nil {
		return Gauge{}, err
	}
	g := Gauge{s.Stitches * 100 / s.Width.MM(), s.Rows * 100 / s.Height.MM()}
	return g, g.Check()
}

// Check is nil if each measured figure lies within its limits.
func (s Swatch) Check() error {
	if err := s.Width.Check("swatch width", MinSwatch, MaxSwatch); err != nil {
		return err
	}
	if err := s.Height.Check("swatch height", MinSwatch, MaxSwatch); err != nil {
		return err
	}
	if err := s.Mark.Check("smallest mark of the ruler", 0, measure.Centimetre); err != nil {
		return err
	}
	for _, figure := range []struct {
		what             string
		value, low, high float64
	}{
		{"stitches counted", s.Stitches, 1, MaxCount},
		{"rows counted", s.Rows, 1, MaxCount},
		{"mm hook", s.Hook, 0, 60},
		{"g of swatch weight", s.Grams, 0, MaxGrams},
		{"m of yarn in the swatch", s.Metres, 0, MaxMetres},
	} {
		if err := check(figure.what, figure.value, figure.low, figure.high); err != nil {
			return err
		}
	}
	return nil
}

// Area is the measured stretch in square millimetres.
func (s Swatch) Area() float64 { return s.Width.MM() * s.Height.MM() }

// Miscount is how far a count of stitches or rows is taken to be off, either
// way. Common practice, no source.
const Miscount = 0.25

// Doubt is how far a measured gauge can be off, as a part of itself: 0.02 is
// two in a hundred either way. It is a limit, not a standard deviation: the
// miscount and the misreading are added.
type Doubt struct {
	Stitches, Rows float64
}

// Doubt is how far this swatch's gauge can be off: a quarter of a stitch or row
// miscounted, and half a smallest mark of the ruler misread.
func (s Swatch) Doubt() Doubt {
	mark := s.Mark
	if mark == 0 {
		mark = measure.Millimetre
	}
	off := func(count float64, over measure.Length) float64 {
		return Miscount/count + mark.MM()/2/over.MM()
	}
	return Doubt{off(s.Stitches, s.Width), off(s.Rows, s.Height)}
}

// Gauge is the doubt in stitches and rows per 100 mm of a gauge.
func (d Doubt) Gauge(g Gauge) Gauge { return Gauge{d.Stitches * g.Stitches, d.Rows * g.Rows} }

// Width is how far a finished width can be off, either way.
func (d Doubt) Width(finished measure.Length) measure.Length {
	return finished.Abs().Scale(d.Stitches)
}

// Height is how far a finished length can be off, either way.
func (d Doubt) Height(finished measure.Length) measure.Length {
	return finished.Abs().Scale(d.Rows)
}
