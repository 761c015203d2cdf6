package measure

import (
	"strings"
)

// Measured is a length as it was written.
type Measured struct {
	Length  Length
	Unit    Unit // the system of the unit written, or assumed
	Assumed bool // a bare number: the unit is assumed
}

// Limit is the longest length that Parse reads, either way.
const Limit = 100_000 * Metre

const lengthExample = `107 cm or 42 1/2 in`

// Parse reads a length as makers write it: "107", "107,5cm", `42"`,
// "42 1/2 in", "3-3/4", "42½”", `3'6"`, "5 ft 6", "1.07m", "1 m 20 cm",
// "38 mm", "300 yd". A bare number is in the unit bare, and marked so. A comma
// is a decimal comma; one before exactly three digits is refused, for it could
// be either. Negative lengths are refused: see ParseSigned.
// Errors are of type *ParseError.
func Parse(text string, bare Unit) (Measured, error) {
	s := newScanner(text, lengthExample)
	s.spaces()
	if s.sign() {
		return Measured{}, s.failAt(0, "a length here can't have a sign")
	}
	return s.length(bare)
}

// ParseSigned is Parse with an optional sign in front: "-5 cm", "+2 in",
// "− 3", for ease.
func ParseSigned(text string, bare Unit) (Measured, error) {
	s := newScanner(text, lengthExample)
	s.spaces()
	negative := s.sign() && s.negative(s.pos-1)
	s.spaces()
	m, err := s.length(bare)
	if negative {
		m.Length = -m.Length
	}
	return m, err
}

// unit is a unit of length as it may follow a number.
type unit struct {
	name   string // as error texts write it
	length Length
	system Unit
	next   *unit // the next smaller unit, if one may follow
	bare   bool  // it may follow without its name: 5 ft 6
}

var (
	unitMM = &unit{"mm", Millimetre, Centimetres, nil, false}
	unitCM = &unit{"cm", Centimetre, Centimetres, unitMM, false}
	unitM  = &unit{"m", Metre, Centimetres, unitCM, true}
	unitIn = &unit{"in", Inch, Inches, nil, false}
	unitFt = &unit{"ft", Foot, Inches, unitIn, true}
	unitYd = &unit{"yd", Yard, Inches, unitFt, false}
)

var lengthUnits = words(map[*unit]string{
	unitMM: "mm millimetre millimetres millimeter millimeters мм",
	unitCM: "cm cms centimetre centimetres centimeter centimeters см",
	unitM:  "m metre metres meter meters м",
	unitIn: `in ins inch inches "`,
	unitFt: "ft foot feet '",
	unitYd: "yd yds yard yards",
})

// words turns a table of spellings into one to look a spelling up in.
func words[T comparable](spellings map[T]string) map[string]T {
	table := map[string]T{}
	for meaning, list := range spellings {
		for word := range strings.FieldsSeq(list) {
			table[word] = meaning
		}
	}
	return table
}

// length reads one to three numbers with units, from large to small.
func (s *scanner) length(bare Unit) (Measured, error) {
	m := Measured{Unit: bare}
	var before *unit
	for {
		at := s.pos
		value, whole, err := s.number()
		if err != nil {
			return Measured{}, err
		}
		s.spaces()
		u, err := s.lengthUnit(before, bare, value)
		if err != nil {
			return Measured{}, err
		}
		if before != nil {
			if reason, values := misfit(before, u, value); reason != "" {
				return Measured{}, s.failAt(at, reason, values...)
			}
		}
		if before == nil {
			m.Unit, m.Assumed = u.system, u.name == ""
		}
		m.Length += round(min(value*float64(u.length), float64(2*Limit)))
		if m.Length > Limit {
			return Measured{}, s.failAt(at, "longer than 100 km")
		}
		s.spaces()
		if s.skip(',') {
			s.spaces()
		}
		if s.done() {
			return m, nil
		}
		if u.name == "" || u.next == nil {
			return Measured{}, s.fail("expected the end here")
		}
		if !whole {
			return Measured{}, s.failAt(at, "the %s must be a whole number when a smaller unit follows", u.name)
		}
		before = u
	}
}

// lengthUnit reads the unit after a number. A unit without a name is assumed.
func (s *scanner) lengthUnit(before *unit, bare Unit, value float64) (*unit, error) {
	at := s.pos
	word := s.word()
	if word == "" {
		switch {
		case s.done() && before == nil:
			return &unit{length: bare.Length(), system: bare}, nil
		case !s.done() || !before.bare:
			return nil, s.fail("expected a unit: mm, cm, m, in, ft or yd")
		case before == unitM && value < 10: // one metre five, or one and a half?
			return nil, s.fail("expected cm after a single figure")
		}
		return before.next, nil
	}
	u, known := lengthUnits[word]
	if !known {
		return nil, s.failAt(at, "unit %q is unknown: use mm, cm, m, in, ft or yd", word)
	}
	return u, nil
}

// misfit says why a smaller part cannot follow a larger one, or nothing.
func misfit(before, u *unit, value float64) (reason string, values []any) {
	switch {
	case before.system != u.system:
		return "metric and inch units can't be mixed in one length", nil
	case u.length >= before.length:
		return "%s can't follow %s: write the larger unit first", []any{u.name, before.name}
	case value*float64(u.length) >= float64(before.length):
		return "after %s the rest must be less than 1 %s", []any{before.name, before.name}
	}
	return "", nil
}
