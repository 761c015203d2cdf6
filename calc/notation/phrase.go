package notation

import (
	"strconv"
	"strings"
	"unicode"

	"countwright/calc/stitch"
)

// phraser joins tokens to the phrases that the parser reads.
type phraser struct {
	text   string
	tokens []token
	words  *vocabulary
	i      int
	items  []item
	key    []byte
}

// itemize turns tokens into items, longest phrases first.
func itemize(text string, tokens []token, words *vocabulary) []item {
	p := &phraser{text: text, tokens: tokens, words: words, items: make([]item, 0, len(tokens))}
	for p.tokens[p.i].kind != kindEnd {
		p.next()
	}
	p.emit(item{class: cEnd}, p.i, p.i)
	return p.items
}

// emit appends an item that spans the tokens from first to last, and moves on.
func (p *phraser) emit(it item, first, last int) {
	f := p.tokens[first]
	it.from, it.to, it.space, it.line, it.para = f.from, p.tokens[last].to, f.space, f.line, f.para
	p.i = last + 1
	p.items = append(p.items, it)
	p.combine()
}

var markClasses = [...]class{kindStar: cStar, kindStars: cStars, kindOpen: cOpen, kindClose: cClose, kindComma: cComma,
	kindSemi: cSemi, kindPeriod: cPeriod, kindColon: cColon, kindDash: cDash, kindSlash: cSlash, kindPlus: cPlus,
	kindEquals: cEquals, kindAnd: cAnd, kindTimes: cX, kindMark: cMark, kindOther: cOther}

func (p *phraser) next() {
	t := p.tokens[p.i]
	switch t.kind {
	case kindWord:
		p.word()
	case kindNumber:
		p.emit(item{class: cNumber, n: t.n, real: t.real, word: t.low}, p.i, p.i)
	case kindOrdinal:
		p.emit(item{class: cOrdinal, n: t.n, real: t.real}, p.i, p.i)
	case kindPeriod:
		if p.softPeriod() {
			p.i++
			return
		}
		p.emit(item{class: cPeriod, word: t.low}, p.i, p.i)
	default:
		p.emit(item{class: markClasses[t.kind], word: t.low}, p.i, p.i)
	}
}

// shortened are words that are often written with a full stop behind them.
var shortened = map[string]bool{"st": true, "sts": true, "sl": true, "ch": true, "chs": true, "rep": true, "rnd": true, "rnds": true,
	"rd": true, "sk": true, "beg": true, "rem": true, "tog": true, "foll": true, "pat": true, "lp": true, "lps": true, "sp": true, "sps": true,
	"cont": true, "inc": true, "dec": true, "sc": true, "dc": true, "tr": true, "hdc": true, "ea": true, "nxt": true, "bet": true, "no": true,
	"prev": true, "approx": true, "h": true, "d": true, "s": true, "t": true, "c": true, "l": true, "in": true, "r": true, "cl": true, "p": true}

// softPeriod reports whether the full stop here belongs to a shortened word
// ("sl. st.", "d.c.") and ends no sentence.
func (p *phraser) softPeriod() bool {
	t := p.tokens[p.i]
	if t.space || p.i == 0 || p.tokens[p.i-1].kind != kindWord || !shortened[p.tokens[p.i-1].low] {
		return false
	}
	next := p.tokens[p.i+1]
	if next.para || next.kind == kindEnd {
		return false
	}
	if next.kind == kindWord {
		for _, c := range p.text[next.from.off:] {
			return !next.space || unicode.IsLower(c)
		}
	}
	return next.kind == kindComma || next.kind == kindSemi || next.kind == kindColon || (next.kind == kindNumber && !next.line)
}

// word emits the longest phrase that begins here.
func (p *phraser) word() {
	first := p.tokens[p.i]
	for n := p.words.longest[first.low]; n >= 1; n-- {
		last, ok := p.phrase(n)
		if !ok {
			continue
		}
		if e, known := p.words.entries[string(p.key)]; known && !p.inAll(e, last) {
			p.emit(item{class: e.class, n: e.n, real: float64(e.n), id: e.id, foreign: e.foreign, word: e.word}, p.i, last)
			return
		}
	}
	if e, ok := p.words.compound(first.low); ok {
		p.emit(item{class: cStitch, id: e.id, foreign: e.foreign, word: first.low}, p.i, p.i)
		return
	}
	if p.split() {
		return
	}
	p.emit(item{class: cWord, word: first.low}, p.i, p.i)
}

// inAll reports whether "in all" is no total but a place: "in all 42 sts".
func (p *phraser) inAll(e entry, last int) bool {
	if e.word != "in all" {
		return false
	}
	next := p.tokens[last+1]
	c := p.words.entries[next.low].class
	return next.kind == kindNumber || next.kind == kindWord && (c == cSt || c == cStitch || c == cChain || c == cThe)
}

// phrase builds the key of the n words from here, hyphens and soft stops left
// out, and returns the last token of it.
func (p *phraser) phrase(n int) (last int, ok bool) {
	p.key = append(p.key[:0], p.tokens[p.i].low...)
	at := p.i
	for range n - 1 {
		next := at + 1
		switch t := p.tokens[next]; {
		case t.kind == kindDash && (t.low == "-" || t.low == "‐" || t.low == "‑") && p.tokens[next+1].kind == kindWord && (!t.space || !p.tokens[next+1].space):
			next++
		case t.kind == kindSlash && !t.space && p.tokens[next+1].kind == kindWord:
			next++
		case t.kind == kindPeriod && !t.space && p.tokens[next+1].kind == kindWord && len(p.tokens[at].low) <= 4:
			next++
		}
		t := p.tokens[next]
		if t.para || (t.kind != kindWord && t.kind != kindOrdinal) {
			return 0, false
		}
		p.key = append(p.key, ' ')
		p.key = append(p.key, t.low...)
		at = next
	}
	return at, true
}

// split reads a word with a number at its end as two items: "ch3", "rnd5",
// "x6", "sc2".
func (p *phraser) split() bool {
	t := p.tokens[p.i]
	stem := strings.TrimRight(t.low, "0123456789")
	digits := t.low[len(stem):]
	n, err := strconv.Atoi(digits)
	if err != nil || stem == "" || len(digits) > 6 {
		return false
	}
	e, known := p.words.entries[stem]
	if !known {
		return false
	}
	mid := t.from
	mid.off += int32(len(stem))
	mid.col += int32(len(stem))
	it := item{class: e.class, n: e.n, id: e.id, foreign: e.foreign, word: stem}
	it.from, it.to, it.space, it.line, it.para = t.from, mid, t.space, t.line, t.para
	p.items = append(p.items, it, item{class: cNumber, n: n, real: float64(n), word: digits, from: mid, to: t.to})
	p.i++
	return true
}

// combine joins the items at the end of the list that name one stitch
// together: "hdc 2 tog", "2 sc together", "sc inc", "5-dc shell", "ch-3 picot".
func (p *phraser) combine() {
	k := len(p.items) - 1
	if k < 1 {
		return
	}
	last := p.items[k]
	if last.class != cTogether && last.class != cStitch || last.para {
		return
	}
	back := func(n int) item {
		if k-n < 0 {
			return item{}
		}
		return p.items[k-n]
	}
	one, two, three := back(1), back(2), back(3)
	switch {
	case last.class == cTogether && one.class == cNumber && two.class == cStitch:
		p.join(2, two, string(two.id)+strconv.Itoa(one.n)+"tog")
	case last.class == cTogether && one.class == cStitch && two.class == cNumber:
		p.join(2, one, string(one.id)+strconv.Itoa(two.n)+"tog")
	case last.id == "inc" && one.class == cStitch:
		p.join(1, one, string(one.id)+" inc")
	case last.id == "dec" && one.class == cStitch:
		p.join(1, one, string(one.id)+"2tog")
	case last.id == "picot" && one.class == cNumber && two.class == cDash && three.class == cChain:
		p.join(3, last, "ch-"+strconv.Itoa(one.n)+" picot")
	case last.id == "picot" && one.class == cNumber && two.class == cChain:
		p.join(2, last, "ch-"+strconv.Itoa(one.n)+" picot")
	case last.id == "picot" && one.class == cChain && two.class == cDash && three.class == cNumber:
		p.join(3, last, "ch-"+strconv.Itoa(three.n)+" picot")
	case last.id == "picot" && one.class == cChain && two.class == cNumber:
		p.join(2, last, "ch-"+strconv.Itoa(two.n)+" picot")
	case one.class == cStitch && two.class == cDash && three.class == cNumber && !two.space:
		p.join(3, one, strconv.Itoa(three.n)+"-"+string(one.id)+" "+string(last.id))
	case one.class == cStitch && two.class == cNumber && p.join(2, one, strconv.Itoa(two.n)+"-"+string(one.id)+" "+string(last.id)):
	case one.class == cStitch:
		p.join(1, one, string(one.id)+" "+string(last.id))
	}
}

// join replaces the last item and the n before it with one stitch, if the
// dictionary has it.
func (p *phraser) join(n int, base item, id string) bool {
	e, ok := derived(entry{foreign: base.foreign}, id)
	if !ok {
		return false
	}
	k := len(p.items) - 1
	it := p.items[k-n]
	words := make([]string, 0, n+1)
	for _, w := range p.items[k-n:] {
		words = append(words, w.word)
	}
	p.items[k-n] = item{class: cStitch, id: stitch.ID(id), foreign: e.foreign, word: strings.Join(words, " "),
		from: it.from, to: p.items[k].to, space: it.space, line: it.line, para: it.para}
	p.items = p.items[:k-n+1]
	return true
}
