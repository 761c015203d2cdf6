package pattern

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Unit is what a formula's value is.
type Unit uint8

// The units. Lengths are in millimetres.
const (
	Plain  Unit = iota // a number
	Length             // a length
)

func (u Unit) String() string {
	if u == Length {
		return "length"
	}
	return "number"
}

// Formula is a dimension formula: small arithmetic over lengths, such as
// "(chest + ease) / 2" or "upper arm + 8 cm at least 30 cm". A length may be
// added to a length and multiplied or divided by a number; a length divided by
// a length is a number. Names are body measures, ease and the measures that the
// pattern defines. "at least" and "at most" bind loosest; min(…) and max(…)
// take several values. The zero Formula is "not said".
type Formula struct {
	Text string
	root *term
}

// Said reports whether there is a formula.
func (f Formula) Said() bool { return f.root != nil }

// term is a node of a formula.
type term struct {
	op     string // "number", "name", "+", "-", "*", "/", "min", "max"
	value  float64
	unit   Unit // of a number
	name   string
	args   []*term
	column int
}

// FormulaError says what is wrong with a formula and where.
type FormulaError struct {
	Text   string
	Column int // from 1, in characters
	Wrong  string
}

func (e *FormulaError) Error() string {
	return fmt.Sprintf("formula %q, column %d: %s", e.Text, e.Column, e.Wrong)
}

// Limits of a formula.
const (
	maxFormula = 300 // characters
	maxDepth   = 40  // brackets in brackets
)

// ParseFormula reads a formula. The error is a *FormulaError.
func ParseFormula(text string) (Formula, error) {
	p := &formulaParser{text: text, runes: []rune(text)}
	if len(p.runes) > maxFormula {
		return Formula{}, p.fail(maxFormula, fmt.Sprintf("longer than %d characters", maxFormula))
	}
	root, err := p.bounds(0)
	if err != nil {
		return Formula{}, err
	}
	if p.spaces(); p.pos < len(p.runes) {
		return Formula{}, p.fail(p.pos, fmt.Sprintf("expected +, -, ×, /, \"at least\", \"at most\" or the end, found %q", string(p.runes[p.pos])))
	}
	return Formula{text, root}, nil
}

type formulaParser struct {
	text  string
	runes []rune
	pos   int
}

func (p *formulaParser) fail(at int, wrong string) error {
	return &FormulaError{p.text, at + 1, wrong}
}

func (p *formulaParser) spaces() {
	for p.pos < len(p.runes) && unicode.IsSpace(p.runes[p.pos]) {
		p.pos++
	}
}

// operator takes one of the characters, if it comes next, and returns what it
// stands for.
func (p *formulaParser) operator(set map[rune]string) (string, int) {
	p.spaces()
	if p.pos < len(p.runes) {
		if op, ok := set[p.runes[p.pos]]; ok {
			p.pos++
			return op, p.pos - 1
		}
	}
	return "", p.pos
}

// words takes words in a row, if they come next.
func (p *formulaParser) words(want ...string) bool {
	start := p.pos
	for _, w := range want {
		p.spaces()
		if p.word() != w {
			p.pos = start
			return false
		}
	}
	return true
}

func (p *formulaParser) word() string {
	start := p.pos
	for p.pos < len(p.runes) && (unicode.IsLetter(p.runes[p.pos]) || p.runes[p.pos] == '_') {
		p.pos++
	}
	return strings.ToLower(string(p.runes[start:p.pos]))
}

// bounds reads sums with "at least" and "at most" between them.
func (p *formulaParser) bounds(depth int) (*term, error) {
	if depth > maxDepth {
		return nil, p.fail(p.pos, "too many brackets in brackets")
	}
	left, err := p.sum(depth)
	for err == nil {
		p.spaces()
		op, at := "", p.pos
		switch {
		case p.words("at", "least"):
			op = "max"
		case p.words("at", "most"):
			op = "min"
		default:
			return left, nil
		}
		var right *term
		if right, err = p.sum(depth); err == nil {
			left = &term{op: op, args: []*term{left, right}, column: at + 1}
		}
	}
	return nil, err
}

var (
	addOps  = map[rune]string{'+': "+", '-': "-", '−': "-", '–': "-"}
	multOps = map[rune]string{'*': "*", '×': "*", '·': "*", '/': "/", '÷': "/"}
)

func (p *formulaParser) sum(depth int) (*term, error) {
	return p.chain(addOps, func() (*term, error) {
		return p.chain(multOps, func() (*term, error) { return p.factor(depth) })
	})
}

func (p *formulaParser) chain(ops map[rune]string, part func() (*term, error)) (*term, error) {
	left, err := part()
	for err == nil {
		op, at := p.operator(ops)
		if op == "" {
			return left, nil
		}
		var right *term
		if right, err = part(); err == nil {
			left = &term{op: op, args: []*term{left, right}, column: at + 1}
		}
	}
	return nil, err
}

func (p *formulaParser) factor(depth int) (*term, error) {
	if op, at := p.operator(addOps); op == "-" {
		if depth > maxDepth {
			return nil, p.fail(at, "too many signs in a row")
		}
		inner, err := p.factor(depth + 1)
		if err != nil {
			return nil, err
		}
		return &term{op: "*", args: []*term{{op: "number", value: -1, column: at + 1}, inner}, column: at + 1}, nil
	} else if op == "+" {
		return nil, p.fail(at, "expected a number, a measure or a bracket before +")
	}
	p.spaces()
	at := p.pos
	if at == len(p.runes) {
		return nil, p.fail(at, "expected a number, a measure or a bracket, found the end")
	}
	switch r := p.runes[at]; {
	case r == '(':
		args, err := p.list(depth)
		if err != nil {
			return nil, err
		}
		if len(args) > 1 {
			return nil, p.fail(at, "only min(…) and max(…) take several values")
		}
		return args[0], nil
	case r >= '0' && r <= '9' || r == '.':
		return p.number()
	case unicode.IsLetter(r):
		return p.name(depth)
	default:
		return nil, p.fail(at, fmt.Sprintf("expected a number, a measure or a bracket, found %q", string(r)))
	}
}

// list reads values in brackets.
func (p *formulaParser) list(depth int) ([]*term, error) {
	open := p.pos
	p.pos++
	var args []*term
	for {
		arg, err := p.bounds(depth + 1)
		if err != nil {
			return nil, err
		}
		args = append(args, arg)
		p.spaces()
		switch {
		case p.pos == len(p.runes):
			return nil, p.fail(p.pos, fmt.Sprintf("expected %q to close the bracket at column %d", ")", open+1))
		case p.runes[p.pos] == ',':
			p.pos++
		case p.runes[p.pos] == ')':
			p.pos++
			return args, nil
		default:
			return nil, p.fail(p.pos, fmt.Sprintf("expected %q to close the bracket at column %d, found %q", ")", open+1, string(p.runes[p.pos])))
		}
	}
}

var lengthUnits = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4}

func (p *formulaParser) number() (*term, error) {
	at := p.pos
	for p.pos < len(p.runes) && (p.runes[p.pos] >= '0' && p.runes[p.pos] <= '9' || p.runes[p.pos] == '.') {
		p.pos++
	}
	value, err := strconv.ParseFloat(string(p.runes[at:p.pos]), 64)
	if err != nil || value > 1e6 {
		return nil, p.fail(at, fmt.Sprintf("%q is not a number from 0 to 1000000", string(p.runes[at:p.pos])))
	}
	t := &term{op: "number", value: value, column: at + 1}
	p.spaces()
	start := p.pos
	word := p.word()
	if mm, ok := lengthUnits[word]; ok {
		t.value, t.unit = value*mm, Length
		return t, nil
	}
	p.pos = start
	if word != "" && word != "at" {
		return nil, p.fail(start, fmt.Sprintf("expected a unit (mm, cm, m, in) or an operator after the number, found %q", word))
	}
	return t, nil
}

// name reads a measure of one or several words, or min(…) and max(…).
func (p *formulaParser) name(depth int) (*term, error) {
	at := p.pos
	var words []string
	for {
		start := p.pos
		p.spaces()
		here := p.pos
		if p.words("at", "least") || p.words("at", "most") {
			p.pos = start
			break
		}
		p.pos = here
		w := p.word()
		if w == "" {
			p.pos = start
			break
		}
		words = append(words, w)
	}
	name := Key(strings.Join(words, " "))
	if name == "" {
		return nil, p.fail(at, "expected a measure before \"at\"")
	}
	if name != "min" && name != "max" {
		return &term{op: "name", name: name, column: at + 1}, nil
	}
	p.spaces()
	if p.pos == len(p.runes) || p.runes[p.pos] != '(' {
		return nil, p.fail(p.pos, fmt.Sprintf("expected %q after %s", "(", name))
	}
	args, err := p.list(depth)
	if err != nil {
		return nil, err
	}
	return &term{op: name, args: args, column: at + 1}, nil
}

// Key folds the name of a measure: "Upper Arm" and "upper_arm" are one.
func Key(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == '_' || r == '-' || unicode.IsSpace(r) }), " ")
}
