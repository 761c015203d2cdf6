package yarn

import (
	"math"

	"countwright/calc/gauge"
)

// Ball is what a yarn's label says. Zeros mean not said.
type Ball struct {
	Grams  float64
	Metres float64
}

// Check is nil if what is said lies within sane limits, else a *RangeError.
func (b Ball) Check() error {
	if b.Grams != 0 {
		if err := check("g in a ball", b.Grams, 1, 5000); err != nil {
			return err
		}
	}
	if b.Metres != 0 {
		if err := check("m in a ball", b.Metres, 1, 20000); err != nil {
			return err
		}
	}
	if b.Grams != 0 && b.Metres != 0 {
		return check("m in 100 g", b.In100g(), 5, 5000)
	}
	return nil
}

// In100g is the metres in 100 g, or 0 if the label does not say both.
func (b Ball) In100g() float64 {
	if b.Grams == 0 {
		return 0
	}
	return b.Metres / b.Grams * 100
}

// Basis says what an estimate rests on.
type Basis uint8

const (
	Typical  Basis = iota // usual figures for such fabric
	Weighed               // the maker's swatch, weighed
	Measured              // the maker's swatch, with the length of its yarn
)

// Use is how much yarn a fabric takes, per square metre.
type Use struct {
	Metres, Grams float64 // zero means not known
	Doubt         float64 // how far it can be off, as a part of itself, either way
	Basis         Basis
}

// DoubtTypical is the doubt of usual figures: makers and yarns differ that
// much. DoubtBand is the doubt where grams and metres are turned into each
// other by a class's range. Common practice, no source.
const (
	DoubtTypical = 0.25
	DoubtBand    = 0.15
)

// scale is the smallest step of a kitchen scale in grams.
const scale = 1

// FromSwatch is the use of a swatch that was weighed or whose yarn was
// measured; the label turns grams into metres and back. ok is false if it was
// neither: see FromGauge. The doubt is that of the swatch's area and of the
// scale.
// Errors are those of gauge.Swatch and Ball.
func FromSwatch(s gauge.Swatch, label Ball) (u Use, ok bool, err error) {
	if err := s.Check(); err != nil {
		return Use{}, false, err
	}
	if err := label.Check(); err != nil {
		return Use{}, false, err
	}
	area := s.Area() / 1e6
	mark := 0.5 / s.Width.MM() // half a millimetre misread, as a part
	doubt := 0.5/s.Height.MM() + mark
	in100g := label.In100g()
	switch {
	case s.Metres > 0:
		u = Use{Metres: s.Metres / area, Basis: Measured, Doubt: doubt + 0.01}
		if s.Grams > 0 {
			u.Grams = s.Grams / area
		} else if in100g > 0 {
			u.Grams = u.Metres / in100g * 100
		}
	case s.Grams > 0:
		u = Use{Grams: s.Grams / area, Basis: Weighed, Doubt: doubt + scale/2./s.Grams}
		if in100g > 0 {
			u.Metres = u.Grams * in100g / 100
		}
	default:
		return Use{}, false, nil
	}
	u.Doubt = min(u.Doubt, 0.5)
	return u, true, nil
}

// fold is the yarn that one stitch takes, in widths of the stitch: 7.4 for a
// single crochet, growing with the stitch's height, though less than in
// proportion, for a tall stitch is mostly air.
// Common practice, no source: a yard of medium yarn makes about 16 single
// crochet, a double takes about 1.75 times a single's yarn, a treble 2.4 times.
func fold(height float64) float64 { return 7.4 * math.Pow(max(height, 0.3), 0.8) }

// FromGauge is the usual use of a fabric by its gauge. Height is the stitch's
// height in single crochets (hdc 1.5, dc 2, tr 3); zero means not said: it is
// then told from the gauge, as a row's height over a stitch's width. The error
// is a *gauge.RangeError.
func FromGauge(g gauge.Gauge, height float64, label Ball) (Use, error) {
	if err := g.Check(); err != nil {
		return Use{}, err
	}
	if err := label.Check(); err != nil {
		return Use{}, err
	}
	if height <= 0 || math.IsNaN(height) {
		height = g.RowHeight() / g.StitchWidth()
	}
	u := Use{Basis: Typical, Doubt: DoubtTypical}
	u.Metres = fold(min(height, 6)) / g.RowHeight() * 1000
	if in100g := label.In100g(); in100g > 0 {
		u.Grams = u.Metres / in100g * 100
	}
	return u, nil
}

// WithClass fills in grams from metres, or metres from grams, by the middle of
// a class's range, which adds to the doubt.
func (u Use) WithClass(c Class) Use {
	in100g := c.Metres.Middle()
	switch {
	case u.Grams == 0 && u.Metres > 0:
		u.Grams = u.Metres / in100g * 100
	case u.Metres == 0 && u.Grams > 0:
		u.Metres = u.Grams * in100g / 100
	default:
		return u
	}
	u.Doubt = min(u.Doubt+DoubtBand, 0.5)
	return u
}

// Amount is how much yarn to have for a piece.
type Amount struct {
	Metres, Grams float64 // without spare; zero means not known
	Doubt         float64 // as in Use
	Spare         float64 // the part that Balls has on top: 0.1
	Balls         int     // to buy, with the spare; 0 if the ball does not say what is needed
	Ball          Ball    // the ball counted in
	OneLot        bool    // more than one ball: buy them of one dye lot
}

// Spare is what is bought on top where nothing is said, for swatches, joins and
// ends. Common practice, no source.
const Spare = 0.10

// DefaultBall is the ball that is counted in where no label is given.
var DefaultBall = Ball{Grams: 50}

// MaxArea is the largest piece reckoned, in square millimetres: 100 square
// metres.
const MaxArea = 1e8

// Need is the yarn for an area of fabric in square millimetres, with a part to
// spare. The ball's metres decide if both are known, else its grams. Errors are
// *RangeError.
func (u Use) Need(area, spare float64, ball Ball) (Amount, error) {
	if err := check("square millimetres", area, 1, MaxArea); err != nil {
		return Amount{}, err
	}
	if err := check("as a part to spare", spare, 0, 1); err != nil {
		return Amount{}, err
	}
	if err := ball.Check(); err != nil {
		return Amount{}, err
	}
	if ball == (Ball{}) {
		ball = DefaultBall
	}
	a := Amount{Metres: u.Metres * area / 1e6, Grams: u.Grams * area / 1e6, Doubt: u.Doubt, Spare: spare, Ball: ball}
	balls := 0.
	switch {
	case ball.Metres > 0 && a.Metres > 0:
		balls = a.Metres / ball.Metres
	case ball.Grams > 0 && a.Grams > 0:
		balls = a.Grams / ball.Grams
	}
	a.Balls = int(math.Ceil(balls*(1+spare) - 1e-9))
	a.OneLot = a.Balls > 1
	return a, nil
}

// Low and High are the amounts in metres at either end of the doubt.
func (a Amount) Low() float64  { return a.Metres * (1 - a.Doubt) }
func (a Amount) High() float64 { return a.Metres * (1 + a.Doubt) }
