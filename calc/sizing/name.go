package sizing

import (
	"strings"
	"unicode"
)

// sizeWords is spellings of sizes that mean the same.
var sizeWords = map[string]string{
	"mo": "months", "mos": "months", "mth": "months", "mths": "months", "month": "months", "m": "months",
	"y": "years", "yr": "years", "yrs": "years", "year": "years", "yo": "years", "t": "years",
}

var letters = map[string]string{
	"small": "s", "medium": "m", "large": "l", "extrasmall": "xs", "extralarge": "xl",
	"1xl": "1x", "2xl": "2x", "3xl": "3x", "4xl": "4x", "5xl": "5x",
	"xxl": "2x", "xxxl": "3x", "xxxxl": "4x", "xxxxxl": "5x", "birth": "newborn", "nb": "newborn",
}

// plain is a name without capitals, spaces and marks, for comparing.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// sizeKey is a size's name for comparing: "3 mo", "3m" and "3 months" are the
// same, as are "2X", "2XL" and "XXL".
func sizeKey(name string) string {
	key := strings.TrimPrefix(strings.TrimPrefix(plain(name), "size"), "age")
	if same, known := letters[key]; known {
		return same
	}
	digits := strings.TrimLeftFunc(key, unicode.IsDigit)
	if same, known := sizeWords[digits]; known && len(digits) < len(key) {
		key = key[:len(key)-len(digits)] + same
	}
	if number, found := strings.CutSuffix(key, "months"); found && number == "1" {
		return "1month"
	}
	return key
}

// Size is the size of a name, in any usual spelling. The error is a
// *NameError.
func (t *Table) Size(name string) (Size, error) {
	if i := t.index(name); i >= 0 {
		return t.Sizes[i], nil
	}
	known := make([]string, len(t.Sizes))
	for i, s := range t.Sizes {
		known[i] = s.Name
	}
	return Size{}, unknown("size", name, known)
}

func (t *Table) index(name string) int {
	asked := sizeKey(name)
	for _, key := range []string{asked, strings.TrimSuffix(asked, "years"), extraLarge[asked]} {
		for i, s := range t.Sizes {
			if key != "" && sizeKey(s.Name) == key {
				return i
			}
		}
	}
	return -1
}

// extraLarge pairs the two names of the size above L: a table has one of them.
var extraLarge = map[string]string{"xl": "1x", "1x": "xl"}

// Sized is a size and the table that it is of.
type Sized struct {
	Table *Table
	Size  Size
}

// SizesNamed is every size of a main table that goes by a name: "M" is a
// woman's and a man's. The error is a *NameError.
func SizesNamed(name string) ([]Sized, error) {
	var found []Sized
	var known []string
	for _, t := range load() {
		if !t.Main {
			continue
		}
		if i := t.index(name); i >= 0 {
			found = append(found, Sized{t, t.Sizes[i]})
		}
		for _, s := range t.Sizes {
			known = append(known, t.Name+" "+s.Name)
		}
	}
	if found == nil {
		return nil, unknown("size", name, known)
	}
	return found, nil
}
