package yarn

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/measure"
)

// labelUnit is a unit of a label in grams or in metres.
type labelUnit struct{ grams, metres float64 }

// labelUnits is the units of labels by their spellings.
var labelUnits = func() map[string]labelUnit {
	units := map[string]labelUnit{}
	for words, u := range map[string]labelUnit{
		"g gr gm gms gram grams gramme grammes": {1, 0}, "kg kilo kilos": {1000, 0},
		"oz ounce ounces": {measure.Ounce, 0}, "lb lbs pound pounds": {measure.Pound, 0},
		"m mtr mtrs metre metres meter meters": {0, 1}, "yd yds yard yards": {0, 0.9144},
	} {
		for word := range strings.FieldsSeq(words) {
			units[word] = u
		}
	}
	return units
}()

// linking words of a label carry no meaning of their own.
var linking = []string{"per", "in", "to", "a", "ball", "balls", "skein", "hank", "of", "approx", "ca", "about", "=", "/", "|", "·", ",", ";", "(", ")", ":", "-", "–", "~"}

// LabelError says that a text tells neither the weight nor the length of a
// ball.
type LabelError struct{ Text string }

func (e *LabelError) Error() string {
	return fmt.Sprintf("%q tells no weight and length of a ball; for example 50 g = 120 m", e.Text)
}

// ParseLabel reads what a label says of a ball, in any order: "50 g = 120 m",
// "120m/50g", "1.75 oz, 137 yd", "400 m per 100 g", "50 g". Errors are
// *LabelError and *RangeError.
func ParseLabel(text string) (Ball, error) {
	short := text
	if r := []rune(text); len(r) > 60 {
		short = string(r[:60]) + "…"
	}
	b, rest := FindLabel(text)
	if b == (Ball{}) || rest != "" {
		return Ball{}, &LabelError{short}
	}
	return b, b.Check()
}

// FindLabel picks the weight and the length of a ball out of a description,
// zero where it says none, and returns the other words. The first weight and
// the first length count.
func FindLabel(text string) (b Ball, rest string) {
	var other []string
	for text = strings.TrimSpace(text); text != ""; text = strings.TrimLeftFunc(text, unicode.IsSpace) {
		if value, grams, metres, size := amountAt(text); size > 0 {
			switch {
			case grams > 0 && b.Grams == 0:
				b.Grams = value * grams
			case metres > 0 && b.Metres == 0:
				b.Metres = value * metres
			default:
				other = append(other, text[:size])
			}
			text = text[size:]
			continue
		}
		word := leadingWord(text)
		text = text[len(word):]
		other = append(other, word)
	}
	if b != (Ball{}) {
		other = slices.DeleteFunc(other, func(w string) bool { return slices.Contains(linking, strings.TrimSuffix(strings.ToLower(w), ".")) })
	}
	return b, strings.Join(other, " ")
}

// amountAt reads a number with a unit of a label; size is 0 where there is none.
func amountAt(text string) (value, grams, metres float64, size int) {
	if first, _ := utf8.DecodeRuneInString(text); !unicode.IsNumber(first) {
		return 0, 0, 0, 0
	}
	value, n, err := measure.Number(text)
	if err != nil || n <= 0 {
		return 0, 0, 0, 0
	}
	rest := strings.TrimLeftFunc(text[n:], unicode.IsSpace)
	word := rest
	if i := strings.IndexFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) }); i >= 0 {
		word = rest[:i]
	}
	u, known := labelUnits[strings.ToLower(word)]
	if !known {
		return 0, 0, 0, 0
	}
	size = len(text) - len(rest) + len(word)
	if strings.HasPrefix(text[size:], ".") {
		size++
	}
	return value, u.grams, u.metres, size
}

// leadingWord is the text up to the next space, or its first sign.
func leadingWord(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if !unicode.IsLetter(first) && !unicode.IsNumber(first) {
		return text[:size]
	}
	end := strings.IndexFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("=/|,;():", r) })
	if end < 0 {
		return text
	}
	return text[:end]
}
