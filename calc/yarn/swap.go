package yarn

import "math"

// Likeness is how near the thickness of one yarn is to another's, by the
// length of 100 g.
type Likeness uint8

const (
	Alike   Likeness = iota // within 10 in a hundred: a new swatch should agree
	Near                    // within 25: another hook may bring the gauge
	Unalike                 // another fabric: counts must be converted
)

// Swapped is one yarn in place of another.
type Swapped struct {
	Amount   Amount  // of the new yarn: the same length, its own weight
	Thicker  float64 // how much less length 100 g has: 0.1 is ten in a hundred, negative is thinner
	Likeness Likeness
}

// Swap reckons a piece that takes so many metres of one yarn in another, with
// a part to spare. It is the length that must be the same, not the weight: 100
// g of cotton are shorter than 100 g of wool as thick. Both labels must say
// grams and metres. Errors are *RangeError.
func Swap(from, to Ball, metres, spare float64) (Swapped, error) {
	for _, b := range []Ball{from, to} {
		if err := check("g in a ball", b.Grams, 1, 5000); err != nil {
			return Swapped{}, err
		}
		if err := check("m in a ball", b.Metres, 1, 20000); err != nil {
			return Swapped{}, err
		}
		if err := b.Check(); err != nil {
			return Swapped{}, err
		}
	}
	if err := check("m of yarn", metres, 1, 1e6); err != nil {
		return Swapped{}, err
	}
	whole := Use{Metres: metres, Grams: metres / to.In100g() * 100}
	amount, err := whole.Need(1e6, spare, to)
	if err != nil {
		return Swapped{}, err
	}
	s := Swapped{Amount: amount, Thicker: from.In100g()/to.In100g() - 1}
	switch off := math.Abs(s.Thicker); {
	case off > 0.25:
		s.Likeness = Unalike
	case off > 0.10:
		s.Likeness = Near
	}
	return s, nil
}
