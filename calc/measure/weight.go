package measure

// Grams of an avoirdupois ounce and pound.
// Source: international yard and pound agreement, 1959.
const (
	Ounce = 28.349523125
	Pound = 16 * Ounce
)

// Weighed is a weight as it was written.
type Weighed struct {
	Grams   float64
	Assumed bool // a bare number: grams are assumed
}

var weightUnits = words(map[float64]string{
	1:     "g gr gm gms gram grams gramme grammes г гр",
	1000:  "kg kilo kilos kilogram kilograms кг",
	Ounce: "oz ounce ounces",
	Pound: "lb lbs pound pounds",
})

// ParseWeight reads a weight: "50", "50g", "1.75 oz", "1 3/4 oz", "0,5 kg",
// up to 1000 kg. Errors are of type *ParseError.
func ParseWeight(text string) (Weighed, error) {
	s := newScanner(text, "50 g or 1.75 oz")
	s.spaces()
	at := s.pos
	value, _, err := s.number()
	if err != nil {
		return Weighed{}, err
	}
	s.spaces()
	unitAt := s.pos
	word := s.word()
	grams, known := weightUnits[word]
	if word == "" {
		grams = 1
	} else if !known {
		return Weighed{}, s.failAt(unitAt, "expected a unit of weight: g, kg, oz or lb")
	}
	s.spaces()
	if !s.done() {
		return Weighed{}, s.fail("expected the end here")
	}
	if value*grams > 1e6 {
		return Weighed{}, s.failAt(at, "heavier than 1000 kg")
	}
	return Weighed{Grams: value * grams, Assumed: word == ""}, nil
}
