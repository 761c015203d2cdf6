package measure

import (
	"strconv"
	"strings"
	"unicode"
)

// longest text that is read at all; a length takes a fifth of it.
const maxText = 100

// scanner walks over a text by characters and remembers where it is.
type scanner struct {
	text    string
	runes   []rune
	pos     int
	example string
	loose   bool // a stroke after the first number is not a fraction's
}

func newScanner(text, example string) *scanner {
	runes := []rune(text)
	return &scanner{text: text, runes: runes[:min(len(runes), maxText)], example: example}
}

// Number reads the number that the text starts with, after spaces: "14",
// "14.5", "14,5", "14 1/2", "14½", "3-3/4". A stroke straight after the first
// digits ends it, for "14/10" are two numbers. It returns the value and the
// bytes read. The error is a *ParseError.
func Number(text string) (value float64, size int, err error) {
	s := newScanner(text, "14 or 14 1/2")
	s.loose = true
	s.spaces()
	if value, _, err = s.number(); err != nil {
		return 0, 0, err
	}
	return value, len(string(s.runes[:s.pos])), nil
}

func (s *scanner) failAt(at int, reason string, values ...any) error {
	text := s.text
	if len([]rune(text)) > maxText {
		text = string(s.runes[:maxText-1]) + "…"
	}
	return &ParseError{Text: text, Column: at + 1, Reason: reason, Values: values, Example: s.example}
}

func (s *scanner) fail(reason string) error { return s.failAt(s.pos, reason) }

func (s *scanner) done() bool { return s.pos >= len(s.runes) }

// at is the character so many places ahead, or 0.
func (s *scanner) at(ahead int) rune {
	if i := s.pos + ahead; i < len(s.runes) {
		return s.runes[i]
	}
	return 0
}

func (s *scanner) skip(r rune) bool {
	if s.at(0) != r {
		return false
	}
	s.pos++
	return true
}

// spaces skips spaces, the unbreakable and thin ones too.
func (s *scanner) spaces() {
	for unicode.IsSpace(s.at(0)) || s.at(0) == '\u2060' || s.at(0) == '\ufeff' {
		s.pos++
	}
}

const (
	minuses = "-−–—‐‑"
	slashes = "/⁄∕"
)

// sign reads a plus or minus.
func (s *scanner) sign() bool {
	return s.skip('+') || s.any(minuses)
}

func (s *scanner) negative(at int) bool { return s.runes[at] != '+' }

func (s *scanner) any(set string) bool {
	if r := s.at(0); r != 0 && strings.ContainsRune(set, r) {
		s.pos++
		return true
	}
	return false
}

var vulgar = map[rune]float64{
	'½': 1. / 2, '⅓': 1. / 3, '⅔': 2. / 3, '¼': 1. / 4, '¾': 3. / 4, '⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5,
	'⅙': 1. / 6, '⅚': 5. / 6, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8, '⅒': 1. / 10,
}

// number reads an unsigned number: whole, decimal, or whole with a fraction.
func (s *scanner) number() (value float64, whole bool, err error) {
	at := s.pos
	if part, ok := vulgar[s.at(0)]; ok {
		s.pos++
		return part, false, nil
	}
	digits := s.digits()
	if mark := s.at(0); (mark == '.' || mark == ',') && digit(s.at(1)) {
		s.pos++
		decimals := s.digits()
		if mark == ',' && len(decimals) == 3 && digits != "" && digits != "0" {
			return 0, false, s.failAt(at, "%s,%s could be %s.%s or %s%s: write one of these",
				digits, decimals, digits, decimals, digits, decimals)
		}
		value, err := strconv.ParseFloat("0"+digits+"."+decimals, 64)
		if err != nil {
			return 0, false, s.failAt(at, "number too large")
		}
		return value, false, nil
	}
	if digits == "" {
		return 0, false, s.fail("expected a number")
	}
	if value, err = strconv.ParseFloat(digits, 64); err != nil {
		return 0, false, s.failAt(at, "number too large")
	}
	if !s.loose && s.any(slashes) { // 1/2 alone
		part, err := s.over(at, value)
		return part, false, err
	}
	part, err := s.fraction()
	return value + part, part == 0, err
}

// fraction reads the part after a whole number: " 1/2", "-3/4", "½"; or
// nothing.
func (s *scanner) fraction() (float64, error) {
	start := s.pos
	if !s.any(minuses) {
		s.spaces()
	}
	at := s.pos
	if part, ok := vulgar[s.at(0)]; ok {
		s.pos++
		return part, nil
	}
	if digits := s.digits(); digits != "" && s.any(slashes) {
		top, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			return 0, s.failAt(at, "number too large")
		}
		part, err := s.over(at, top)
		if err == nil && part >= 1 {
			return 0, s.failAt(at, "a fraction after a whole number must be less than 1")
		}
		return part, err
	}
	s.pos = start
	return 0, nil
}

// over reads what a fraction is divided by.
func (s *scanner) over(at int, top float64) (float64, error) {
	bottom, err := strconv.ParseFloat(s.digits(), 64)
	if err != nil || bottom == 0 || bottom > 1000 {
		return 0, s.failAt(at, "a fraction needs a number from 1 to 1000 below the stroke")
	}
	return top / bottom, nil
}

func digit(r rune) bool { return r >= '0' && r <= '9' }

func (s *scanner) digits() string {
	start := s.pos
	for digit(s.at(0)) {
		s.pos++
	}
	return string(s.runes[start:s.pos])
}

// word reads a unit: letters with an optional full stop, or foot and inch
// marks, brought to plain quotes.
func (s *scanner) word() string {
	switch {
	case s.any(`"″”“„‟＂`):
		return `"`
	case s.any(`'′’‘‛´`):
		if s.any(`'′’‘‛´`) {
			return `"`
		}
		return "'"
	}
	start := s.pos
	for unicode.IsLetter(s.at(0)) {
		s.pos++
	}
	word := strings.ToLower(string(s.runes[start:s.pos]))
	if word != "" {
		s.skip('.')
	}
	return word
}
