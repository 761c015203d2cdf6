package notation

import (
	"slices"
	"strings"
	"unicode/utf8"

	"countwright/calc/stitch"
)

// Options tell how a text is read.
type Options struct {
	Terms  Terms  // the dialect of the text; TermsUnsaid: see DetectTerms
	Limits Limits // bounds of what is read; zero fields have their defaults
	Sizes  int    // how many sizes the text is written for; 0: as its size strings say
}

// Limits bound a text. What goes beyond is a Problem, and the rest is read.
type Limits struct {
	Bytes   int // of text; 65,536 by default
	Nesting int // of brackets; 20 by default
	Count   int // of stitches, chains or repeats in one number; 10,000 by default
}

func (l Limits) orDefaults() Limits {
	if l.Bytes <= 0 {
		l.Bytes = 64 << 10
	}
	if l.Nesting <= 0 {
		l.Nesting = 20
	}
	if l.Count <= 0 {
		l.Count = 10_000
	}
	return l
}

// parser reads the items of one text.
type parser struct {
	text   string
	items  []item
	i      int  // the item to be read next
	fabric bool // see Detection
	stop   int  // where the row, line or bracket being read ends
	end    item
	limits Limits
	words  *vocabulary
	terms  Terms
	doc    *Document
	lines  []Line

	looks    map[stitch.ID]look
	defined  map[stitch.ID]bool      // stitches that the text explains itself
	near     map[string]string       // words looked up before
	assumed  map[string]bool         // assumptions that are told once
	lastRow  int                     // the number of the last numbered row
	sizes    []int                   // the sizes that the next row is for
	kindOf   Kind                    // of the last labelled row: what bare numbers are
	base     stitch.ID               // the stitch last worked: what "inc" is of
	loop     Loop                    // "working in back loops only"
	listed   bool                    // a label behind a list's number is being read
	mended   bool                    // the word here was mistyped and is read anew
	other    bool                    // the other side of the foundation chain is worked
	start    *Place                  // "starting in 2nd ch from hook"
	into     *Place                  // "in next st," told before the stitches
	after    []Line                  // lines that follow the row being read
	claim    *Claim                  // of the row being read
	turning  []turningNote           // "ch 3 counts as dc throughout"
	shells   map[stitch.ID][]Step    // "shell of 3 trebles, 2 chain and 3 trebles"
	sized    map[stitch.ID]stitch.ID // "shell of 6 trebles": what a plain "shell" is after it
	sizeList int                     // how many numbers a size string has; 0 when there are none
}

// look is what the dictionary says of a stitch.
type look struct {
	kind     stitch.Kind
	consumes int
	base     stitch.ID
}

// Parse reads a text. It never fails: what was not understood is in
// Document.Problems, what was guessed in Document.Assumptions.
func Parse(text string, opt Options) *Document {
	doc := &Document{SizeCount: 1}
	limits := opt.Limits.orDefaults()
	whole := text
	if len(text) > limits.Bytes {
		cut := limits.Bytes
		for cut > 0 && !utf8.RuneStart(text[cut]) {
			cut--
		}
		text = text[:cut]
	}
	tokens := lex(text)
	p := &parser{text: text, limits: limits, doc: doc, looks: map[stitch.ID]look{}, defined: map[stitch.ID]bool{}, near: map[string]string{}, assumed: map[string]bool{}, kindOf: FlatRow,
		shells: map[stitch.ID][]Step{}, sized: map[stitch.ID]stitch.ID{}}
	if len(whole) > len(text) {
		end := tokens[len(tokens)-1].to.pos()
		p.problem(Span{end, end}, "", tooLong(len(whole), limits.Bytes), "")
	}
	p.chooseTerms(opt.Terms, tokens)
	names := definedNames(text, tokens, vocabularies()[p.terms])
	p.words = vocabularies()[p.terms].define(names)
	if p.fabric {
		p.words = p.words.with(longWords)
	}
	for _, name := range names {
		p.defined[p.words.entries[name].id] = true
	}
	p.items = itemize(text, tokens, p.words)
	p.sizeList = opt.Sizes
	if p.sizeList == 0 {
		p.sizeList = sizeStrings(p.items)
	}
	p.document()
	p.parts()
	p.applyTurningNotes()
	doc.SizeCount = max(1, p.sizeList, len(doc.Sizes))
	slices.SortStableFunc(doc.Problems, func(a, b Problem) int { return a.From.Offset - b.From.Offset })
	slices.SortStableFunc(doc.Assumptions, func(a, b Assumption) int { return a.From.Offset - b.From.Offset })
	return doc
}

// chooseTerms takes the dialect asked for, or the one that the text seems to
// be in, and says so where that is a guess.
func (p *parser) chooseTerms(asked Terms, tokens []token) {
	p.terms = asked
	if asked == TermsUnsaid {
		d := detect(p.text, tokens)
		p.terms, p.fabric = d.Terms, d.fabric
		span := Span{tokens[0].from.pos(), tokens[0].from.pos()}
		if len(d.Evidence) > 0 {
			span = d.Evidence[0].Span
		}
		switch {
		case d.Mixed:
			p.assume(span, "the text mixes US and UK words; dc and tr are read in "+d.Terms.String()+" terms")
		case !d.Certain:
			p.assume(span, "nothing in the text tells its terms for certain; it is read in "+d.Terms.String()+" terms")
		}
	}
	p.doc.Terms = p.terms
}

// problem and assume record what the reader should know.
func (p *parser) problem(at Span, text, message, near string) {
	p.doc.Problems = append(p.doc.Problems, Problem{Span: at, Text: text, Message: message, Near: near})
}

func (p *parser) assume(at Span, message string) {
	p.doc.Assumptions = append(p.doc.Assumptions, Assumption{Span: at, Message: message})
}

// assumeOnce records a guess that is the same wherever it is made.
func (p *parser) assumeOnce(at Span, message string) {
	if !p.assumed[message] {
		p.assumed[message] = true
		p.assume(at, message)
	}
}

// cur returns the item to be read next, an end where the row has none left.
func (p *parser) cur() *item { return p.at(0) }

// at returns the item n further on.
func (p *parser) at(n int) *item {
	if p.i+n < 0 || p.i+n >= p.stop {
		return &p.end
	}
	return &p.items[p.i+n]
}

func (p *parser) is(classes ...class) bool { return slices.Contains(classes, p.cur().class) }

// accept moves past an item of the class.
func (p *parser) accept(c class) bool {
	if p.cur().class == c {
		p.i++
		return true
	}
	return false
}

// word moves past one of the words.
func (p *parser) word(words ...string) bool {
	if slices.Contains(words, p.cur().word) && p.cur().class != cEnd {
		p.i++
		return true
	}
	return false
}

// skip moves past items of the classes.
func (p *parser) skip(classes ...class) {
	for p.i < p.stop && slices.Contains(classes, p.items[p.i].class) {
		p.i++
	}
}

// span is from the item at index from to the last one read.
func (p *parser) span(from int) Span {
	last := max(from, p.i-1)
	return p.stretch(from, last)
}

// stretch is the span from one item to another.
func (p *parser) stretch(first, last int) Span {
	return Span{p.items[first].from.pos(), p.items[last].to.pos()}
}

// words of the text between two places, on one line.
func (p *parser) source(s Span) string {
	text := p.text[s.From.Offset:s.To.Offset]
	if !strings.ContainsAny(text, "\n\r\t\u00a0") && !strings.Contains(text, "  ") {
		return text
	}
	return strings.Join(strings.Fields(text), " ")
}

// number reads a count with its size string: "81 (89, 97, 105)". The counts
// are within the limit.
func (p *parser) number() (Number, bool) {
	from := p.i
	if !p.accept(cNumber) {
		return nil, false
	}
	n := Number{p.items[from].n}
	for p.is(cOpen) {
		more, end := p.bracketed(p.i)
		if more == nil || (len(more) == 1 && p.sizeList != 2) || (len(n) > 1 && len(more) < 2) {
			break
		}
		n, p.i = append(n, more...), end
	}
	if len(n) == 1 && p.sizeList > 2 {
		n = p.slashed(n)
	}
	for i := range n {
		if n[i] > p.limits.Count {
			p.problem(p.span(from), p.source(p.span(from)), tooMany(n[i], p.limits.Count), "")
			n[i] = p.limits.Count
		}
	}
	return n, true
}

// bracketed reads the bracket of a size string at an index: numbers parted by
// commas or slashes and nothing else.
func (p *parser) bracketed(at int) (numbers Number, end int) {
	return sizeBracket(p.items, at, p.stop)
}

func sizeBracket(items []item, at, stop int) (numbers Number, end int) {
	for i := at + 1; i+1 < stop && i < at+80; i += 2 {
		switch items[i].class {
		case cNumber:
			numbers = append(numbers, items[i].n)
		case cDash:
			numbers = append(numbers, 0) // not made in this size
		default:
			return nil, at
		}
		switch items[i+1].class {
		case cComma, cSlash, cSemi:
		case cClose:
			return numbers, i + 2
		default:
			return nil, at
		}
	}
	return nil, at
}

// slashed reads "81/89/97/105" where the pattern has that many sizes.
func (p *parser) slashed(n Number) Number {
	i := p.i
	for i+1 < p.stop && p.items[i].class == cSlash && p.items[i+1].class == cNumber {
		n = append(n, p.items[i+1].n)
		i += 2
	}
	if len(n) != p.sizeList {
		return n[:1]
	}
	p.i = i
	return n
}

// sizeStrings counts the numbers in the size strings of a text: the commonest
// length. 0 means that there are none.
func sizeStrings(items []item) int {
	votes := map[int]int{}
	best := 0
	for i := 0; i+1 < len(items); i++ {
		if items[i].class != cNumber || items[i+1].class != cOpen {
			continue
		}
		list, end := sizeBracket(items, i+1, len(items))
		n := 1 + len(list)
		if len(list) < 2 {
			continue
		}
		if more, _ := sizeBracket(items, end, len(items)); end < len(items) && items[end].class == cOpen && len(more) > 1 {
			n += len(more)
		}
		votes[n]++
		if votes[n] > votes[best] {
			best = n
		}
	}
	return best
}
