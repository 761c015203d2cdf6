package notation

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/stitch"
)

// Print writes a document as the trade writes it: a heading for each part, a
// line for each row. Parse reads the text back as the same tree, but for the
// places in the text. Multiples and definitions are printed with the prose that
// tells them.
func Print(doc *Document, opt PrintOptions) string {
	if opt.Sizes == nil {
		opt.Sizes = doc.Sizes
	}
	p := &printer{opt: opt}
	p.head(doc)
	for i := range doc.Parts {
		p.part(&doc.Parts[i])
	}
	return strings.TrimLeft(p.b.String(), "\n")
}

// PrintLine writes one line of a part: "Rows 3–12: Rep Row 2."
func PrintLine(l Line, opt PrintOptions) string {
	p := &printer{opt: opt}
	p.line(l)
	return p.b.String()
}

// PrintRow writes a row: "Row 2 (RS): Ch 2 (counts as hdc), hdc in each st
// across to last 2 sts, hdc2tog, turn. (98 sts)". A row without a label is
// only its steps.
func PrintRow(r *Row, opt PrintOptions) string { return PrintLine(r, opt) }

// PrintStep writes one step: "2 sc in each of next 3 sts".
func PrintStep(s Step, opt PrintOptions) string {
	p := &printer{opt: opt}
	p.step(s)
	return p.b.String()
}

// printer collects the text.
type printer struct {
	opt  PrintOptions
	b    strings.Builder
	kind Kind // of the row being printed: "around" or "across"
	deep int  // groups around the step
}

func (p *printer) add(words ...string) {
	for _, w := range words {
		p.b.WriteString(w)
	}
}

// short returns an abbreviation, or the word where the style has words.
func (p *printer) short(abbreviation, word string) string {
	if p.opt.Style.Words {
		return word
	}
	return abbreviation
}

// head writes what stands before the pieces: sizes and multiples.
func (p *printer) head(doc *Document) {
	if n := len(doc.Sizes); n > 1 && !tellsSizes(doc) {
		p.add("Sizes: ", doc.Sizes[0], " (", strings.Join(doc.Sizes[1:], ", "), ")\n\n")
	}
}

// tellsSizes reports whether the document's own prose names the sizes.
func tellsSizes(doc *Document) bool {
	for _, part := range doc.Parts {
		for _, l := range part.Lines {
			if prose, ok := l.(*Prose); ok && strings.HasPrefix(strings.ToLower(prose.Text), "size") {
				return true
			}
		}
	}
	return false
}

func (p *printer) part(part *Part) {
	for i, l := range part.Lines {
		if i == part.Preface {
			p.partName(part)
		}
		switch l.(type) {
		case *Heading, *Prose:
			p.add("\n")
			p.line(l)
			if _, ok := l.(*Prose); ok {
				p.add("\n")
			}
		default:
			if i > part.Preface && apart(part.Lines[i-1], l) {
				p.add("\n")
			}
			p.line(l)
		}
		p.add("\n")
	}
}

func (p *printer) partName(part *Part) {
	if part.Name == "" {
		return
	}
	p.add("\n", part.Name)
	if part.Make > 1 {
		p.add(" (make ", strconv.Itoa(part.Make), ")")
	}
	p.add("\n")
}

// apart reports whether a line needs a blank one before it, so that it does not
// read as the end of the row above.
func apart(before, l Line) bool {
	above, ok := before.(*Row)
	row, loose := l.(*Row)
	if !ok || !loose || row.Label.Kind != Loose || len(row.Sizes) > 0 || above.Label.Kind == Loose || len(row.Steps) == 0 {
		return false
	}
	_, ends := row.Steps[0].(*FastenOff) // "Fasten off." ends the row above
	return !ends
}

func (p *printer) line(l Line) {
	switch l := l.(type) {
	case *Heading:
		p.add(l.Text)
	case *Prose:
		p.add(l.Text)
	case *Row:
		p.row(l)
	case *Again:
		p.again(l)
	}
}

func (p *printer) row(r *Row) {
	p.sizes(r.Sizes)
	p.label(r.Label)
	p.kind = r.Label.Kind
	if p.kind == Loose && joins(r.Steps) {
		p.kind = Round
	}
	inner := &printer{opt: p.opt, kind: p.kind}
	inner.steps(r.Steps)
	text := capital(inner.b.String())
	if text == "" {
		text = "…"
	}
	p.add(text)
	if !strings.HasSuffix(text, ".") {
		p.add(".")
	}
	if p.opt.Style.Count == "—" || p.opt.Style.Count == "=" {
		if r.Claim != nil {
			p.add(" ", p.opt.Style.Count, " ")
			p.claim(r.Claim)
		}
		return
	}
	p.claimBracket(r.Claim)
}

// joins reports whether steps are of a round.
func joins(steps []Step) bool {
	for _, s := range steps {
		switch s.(type) {
		case *Join, *Ring:
			return true
		}
	}
	return false
}

// capital makes the first letter a capital.
func capital(text string) string {
	c, n := utf8.DecodeRuneInString(text)
	if n == 0 || !unicode.IsLower(c) {
		return text
	}
	return string(unicode.ToUpper(c)) + text[n:]
}

func (p *printer) sizes(sizes []int) {
	if len(sizes) == 0 {
		return
	}
	names := make([]string, len(sizes))
	for i, s := range sizes {
		names[i] = strconv.Itoa(s + 1)
		if s < len(p.opt.Sizes) {
			names[i] = p.opt.Sizes[s]
		}
	}
	p.add(plain("Size", len(names) > 1), " ", listed(names), " only: ")
}

// plain returns a word, in the plural where asked.
func plain(word string, many bool) string {
	if many {
		return plural(word)
	}
	return word
}

// listed joins words as in a sentence: "S, M and L".
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func (p *printer) rowWord(k Kind) string {
	if k == Round {
		if p.opt.Style.Round != "" {
			return p.opt.Style.Round
		}
		return p.short("Rnd", "Round")
	}
	if p.opt.Style.Row != "" {
		return p.opt.Style.Row
	}
	return "Row"
}

func (p *printer) label(l Label) {
	if l.Kind == Loose && l.Name == "" && !l.From.Said() {
		return
	}
	word := p.rowWord(l.Kind)
	if l.Name != "" {
		p.add(capital(l.Name), " ")
		if l.From.Said() && l.From.equal(N(1)) && l.To.At(0) > 1 && l.Name == "next" {
			p.add(numberText(l.To), " ", strings.ToLower(plural(word)))
		} else {
			p.add(strings.ToLower(word))
			p.labelNumbers(l)
		}
	} else {
		p.add(plain(word, l.List != nil || !l.From.equal(l.To)))
		p.labelNumbers(l)
	}
	switch l.Side {
	case RightSide:
		p.add(" (RS)")
	case WrongSide:
		p.add(" (WS)")
	}
	if l.Alternate {
		p.add(" and every other ", strings.ToLower(word))
	}
	p.add(": ")
}

func (p *printer) labelNumbers(l Label) {
	switch {
	case l.List != nil:
		names := make([]string, len(l.List))
		for i, n := range l.List {
			names[i] = strconv.Itoa(n)
		}
		p.add(" ", listed(names))
	case l.From.Said() && l.From.equal(l.To):
		p.add(" ", numberText(l.From))
	case l.From.Said():
		p.add(" ", numberText(l.From), "–", numberText(l.To))
	}
}

func (p *printer) again(a *Again) {
	p.sizes(a.Sizes)
	if a.Label.From.Said() || a.Label.Name != "" {
		p.label(a.Label)
	}
	word := p.rowWord(a.Label.Kind)
	p.add(p.short("Rep", "Repeat"), " ")
	switch {
	case len(a.Like) > 0:
		p.add(plain(word, len(a.Like) > 1), " ", rowList(a.Like))
	case a.Back > 1:
		p.add("last ", strconv.Itoa(a.Back), " ", strings.ToLower(plural(word)))
	default:
		p.add("last ", strings.ToLower(word))
	}
	if a.Times.Said() {
		p.add(" ")
		p.againTimes(a)
	}
	if a.Until > 0 {
		p.add(" until piece measures ", centimetres(a.Until))
		for i, d := range a.Untils {
			if i > 0 {
				p.add([]string{" (", ", "}[min(i-1, 1)], centimetres(d))
			}
		}
		if len(a.Untils) > 1 {
			p.add(")")
		}
		p.add(" cm")
	}
	p.add(".")
	p.claimBracket(a.Claim)
}

// againTimes writes a number of repeats, small ones in words so that they don't
// run into the numbers of rows: "Rep Rows 2 and 3 four more times".
func (p *printer) againTimes(a *Again) {
	n := a.Times.At(0)
	if len(a.Times) > 1 || n < 2 || n >= len(numberWords) {
		p.count(Times{N: a.Times, More: a.More}, true)
		return
	}
	p.add(numberWords[n])
	if a.More {
		p.add(" more times")
		return
	}
	p.add(" times in all")
}

// centimetres writes a length to a tenth of a millimetre.
func centimetres(d Distance) string {
	return strconv.FormatFloat(math.Round(float64(d)*10)/100, 'f', -1, 64)
}

// rowList writes row numbers: "2", "2 and 3", "2–5", "2, 4 and 6".
func rowList(rows []int) string {
	run := len(rows) > 2
	for i := 1; i < len(rows); i++ {
		run = run && rows[i] == rows[i-1]+1
	}
	if run {
		return strconv.Itoa(rows[0]) + "–" + strconv.Itoa(rows[len(rows)-1])
	}
	names := make([]string, len(rows))
	for i, n := range rows {
		names[i] = strconv.Itoa(n)
	}
	return listed(names)
}

// name writes a stitch in the terms asked for.
func (p *printer) name(id stitch.ID, many bool) string {
	s, ok := stitch.Lookup(id)
	if !ok {
		return string(id)
	}
	words := s.In(stitch.Dialect(p.opt.Terms))
	if p.opt.Style.Words {
		return plain(words.Name, many && s.Kind != stitch.Together)
	}
	name := words.Short()
	if len(name) <= 2 && s.Kind != stitch.Basic && s.Kind != stitch.Slip {
		name = words.Name // "shell" reads better than "sh"
	}
	if many && s.Kind != stitch.Basic && s.Kind != stitch.Slip && len(words.Abbr) == 0 {
		return plural(name)
	}
	return name
}
