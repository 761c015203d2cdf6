package gauge

import (
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/measure"
)

const example = "14x10 (stitches x rows in 10 cm) or 16x12/4in"

// Parse reads a gauge: "14x10", "14 x 10", "14×10", "14 / 10",
// "14 sts x 10 rows", "16x12/4in", "7x5/5cm", "14 sts and 10 rows = 10 cm".
// Without a length it is 10 cm; 4 in are 101.6 mm, not 10 cm. Fractions and
// decimal commas are read. Errors are *measure.ParseError for the form and
// *RangeError for the figures.
func Parse(text string) (Gauge, error) {
	p := &parser{text: text, rest: strings.ToLower(text)}
	if len(text) > 100 {
		p.text = text[:strings.LastIndexAny(text[:97], " ")+1] + "…"
		return Gauge{}, p.fail("too long for a gauge")
	}
	if len(p.rest) != len(text) { // a letter that changes its size in lower case
		p.rest = text
	}
	stitches, err := p.number()
	if err != nil {
		return Gauge{}, err
	}
	p.words("stitches", "stitch", "sts", "st", "sc", "hdc", "dc", "tr", "s")
	if !p.words("x", "×", "✕", "*", "/", "by", "and", "&", "+", ",", ";", "х") {
		return Gauge{}, p.fail(`expected "x" and the rows after the stitches`)
	}
	rows, err := p.number()
	if err != nil {
		return Gauge{}, err
	}
	p.words("rows", "row", "rounds", "round", "rnds", "rnd", "r")
	over, err := p.over()
	if err != nil {
		return Gauge{}, err
	}
	return Per(stitches, rows, over)
}

type parser struct {
	text string // all of it, for errors
	rest string // lower case, as long in bytes as what is left of text
}

func (p *parser) column() int {
	return utf8.RuneCountInString(p.text) - utf8.RuneCountInString(p.rest)
}

func (p *parser) fail(reason string) error {
	return &measure.ParseError{Text: p.text, Column: max(p.column(), 0) + 1, Reason: reason, Example: example}
}

func (p *parser) number() (float64, error) {
	value, size, err := measure.Number(p.rest)
	if bad, ok := errors.AsType[*measure.ParseError](err); ok {
		return 0, &measure.ParseError{Text: p.text, Column: p.column() + bad.Column, Reason: bad.Reason, Values: bad.Values, Example: example}
	}
	p.rest = p.rest[size:]
	return value, nil
}

// words skips spaces and one of the words, with its full stop. A word of
// letters must not go on with letters, but an x may follow: "14stsx10".
func (p *parser) words(any ...string) bool {
	p.rest = strings.TrimSpace(p.rest)
	for _, word := range any {
		after, found := strings.CutPrefix(p.rest, word)
		next, _ := utf8.DecodeRuneInString(after)
		last, _ := utf8.DecodeLastRuneInString(word)
		if !found || word != "x" && unicode.IsLetter(last) && unicode.IsLetter(next) && next != 'x' {
			continue
		}
		p.rest = strings.TrimSpace(strings.TrimPrefix(after, "."))
		return true
	}
	return false
}

// over reads the length that the counts are over; nothing is 10 cm.
func (p *parser) over() (measure.Length, error) {
	marked := p.words("/", "=", "in", "per", "to", "over", "@", "on")
	p.words("a")
	if p.rest == "" && !marked {
		return span, nil
	}
	before := p.column()
	m, err := measure.Parse(p.square(), measure.Centimetres)
	if bad, ok := errors.AsType[*measure.ParseError](err); ok {
		return 0, &measure.ParseError{Text: p.text, Column: before + bad.Column, Reason: bad.Reason, Values: bad.Values, Example: example}
	}
	if m.Assumed {
		return 0, p.fail("expected cm or in after the length that is counted over")
	}
	if err := m.Length.Check("gauge length", measure.Centimetre, measure.Metre); err != nil {
		return 0, err
	}
	return m.Length, nil
}

// square turns "10 x 10 cm" or "4 in x 4 in" into its second half if both
// halves start with the same number; anything else stays.
func (p *parser) square() string {
	first, second, two := strings.Cut(strings.TrimSuffix(strings.TrimSpace(p.rest), " square"), "x")
	if !two {
		first, second, two = strings.Cut(first, "×")
	}
	a, _, errA := measure.Number(first)
	b, _, errB := measure.Number(second)
	if two && errA == nil && errB == nil && a == b {
		return second
	}
	return p.rest
}
