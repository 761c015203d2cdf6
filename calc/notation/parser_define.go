package notation

import (
	"slices"
	"strings"

	"countwright/calc/stitch"
)

// definedNames finds the stitches that a text explains itself, before its
// words are read: the names at the start of lines like "Shell: (2 dc, ch 1, 2
// dc) in same st" and "V-st = …".
func definedNames(text string, tokens []token, words *vocabulary) []string {
	var names []string
	special := false
	for i := range tokens {
		if !tokens[i].line || tokens[i].kind == kindEnd {
			continue
		}
		if tokens[i].para || special {
			if s := lineWords(tokens, i, 4); strings.Contains(s, "special stitch") || strings.Contains(s, "stitch guide") || strings.Contains(s, "pattern stitch") {
				special = true
			}
		}
		d, ok := definitionHead(text, tokens, i, words, special)
		if !ok {
			continue
		}
		names = append(names, d.names...)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// lineWords returns the first words of a line.
func lineWords(tokens []token, i, n int) string {
	var words []string
	for j := i; j < len(tokens) && len(words) < n && (j == i || !tokens[j].line); j++ {
		if tokens[j].kind == kindWord {
			words = append(words, tokens[j].low)
		}
	}
	return strings.Join(words, " ")
}

// defined is the head of a definition.
type defined struct {
	names []string // "shell", "sh"
	body  int      // the token behind the colon
}

// specialLast are the last words of names that patterns define.
var specialLast = wordSet(`st stitch shell cluster cl picot puff bobble popcorn pc fan v star cross petal leaf spike knot bead block ps group
	corner crown tile loop cable scallop mesh pineapple wave x ridge moss fsc fdc fhdc tog sh bo bs pop`)

// definitionHead reads "Name (abbr):" or "Name =" at a token, where what
// follows tells how it is worked.
func definitionHead(text string, tokens []token, i int, words *vocabulary, special bool) (defined, bool) {
	for i < len(tokens) && (tokens[i].kind == kindMark || tokens[i].kind == kindOther || tokens[i].kind == kindStars ||
		(tokens[i].kind == kindDash || tokens[i].kind == kindStar) && tokens[i+1].space) {
		i++
	}
	start := i
	var parts []string
	for i < len(tokens) && len(parts) <= 5 && (i == start || !tokens[i].line) {
		t := tokens[i]
		if t.kind == kindWord || t.kind == kindNumber {
			parts = append(parts, t.low)
		} else if t.kind != kindDash || t.space && tokens[i+1].space {
			break
		}
		i++
	}
	if len(parts) == 0 || len(parts) > 5 || parts[0] != "" && tokens[start].kind == kindNumber && (len(parts) < 3 && !special) {
		return defined{}, false
	}
	d := defined{names: []string{strings.Join(parts, " ")}}
	i = abbreviation(tokens, i, &d)
	for i < len(tokens) && tokens[i].kind == kindStars {
		i++
	}
	if i >= len(tokens)-1 || tokens[i].line {
		return defined{}, false
	}
	sep := tokens[i]
	if sep.kind != kindColon && sep.kind != kindEquals && !(sep.kind == kindDash && sep.space && special) {
		return defined{}, false
	}
	d.body = i + 1
	for d.body < len(tokens) && tokens[d.body].kind == kindStars {
		d.body++
	}
	if !definable(parts, words, special || sep.kind == kindEquals) || !explains(tokens, d.body, words) {
		return defined{}, false
	}
	return d, true
}

// abbreviation reads "(sh)" or "(abbreviated sh)" behind a defined name.
func abbreviation(tokens []token, i int, d *defined) int {
	if i >= len(tokens) || tokens[i].kind != kindOpen {
		return i
	}
	var parts []string
	j := i + 1
	for j < len(tokens) && j < i+7 && tokens[j].kind != kindClose {
		if tokens[j].kind == kindWord || tokens[j].kind == kindNumber {
			parts = append(parts, tokens[j].low)
		}
		j++
	}
	if j >= len(tokens) || tokens[j].kind != kindClose || len(parts) == 0 || len(parts) > 4 {
		return i
	}
	if parts[0] == "abbreviated" || parts[0] == "abbr" {
		parts = parts[1:]
	}
	if len(parts) > 0 {
		d.names = append(d.names, strings.Join(parts, " "))
	}
	return j + 1
}

// definable reports whether words can name a stitch of the pattern's own.
func definable(parts []string, words *vocabulary, marked bool) bool {
	first, last := parts[0], parts[len(parts)-1]
	if noteHeads[first] || noteHeads[last] && last != "stitches" {
		return false
	}
	e, known := words.entries[strings.Join(parts, " ")]
	if known && e.class == cStitch {
		d, ok := stitch.Lookup(e.id)
		return !ok || d.Kind != stitch.Basic && d.Kind != stitch.Slip
	}
	if known {
		return false
	}
	switch words.entries[first].class {
	case cRow, cSize, cSide, cNext, cRepeat, cSkip, cTurn, cJoin, cMagicRing, cFastenOff, cAttach, cChain, cWith, cStar:
		return false
	}
	return specialLast[last] || marked && len(parts) <= 4 && words.entries[last].class != cRow
}

// explains reports whether the words from a token tell how something is
// worked: a number or bracket and a stitch, rather than a longer name.
func explains(tokens []token, i int, words *vocabulary) bool {
	worked, stitches := false, false
	for j := i; j < len(tokens) && j < i+40 && !tokens[j].para; j++ {
		t := tokens[j]
		switch {
		case t.kind == kindNumber, t.kind == kindOpen:
			worked = true
		case t.kind == kindWord:
			e := words.entries[t.low]
			stitches = stitches || e.class == cStitch || e.class == cChain || t.low == "yo" || t.low == "yrh" || t.low == "hook"
			worked = worked || e.class == cIn || e.class == cNext || e.class == cSame
		}
		if worked && stitches {
			return true
		}
		if t.kind == kindPeriod {
			break
		}
	}
	return false
}

// definitionAt returns the index of the first item of a definition's body, 0
// if the line at an index defines nothing.
func (p *parser) definitionAt(at int) int {
	if int(p.items[at].from.off) >= len(p.text) || !p.items[at].line {
		return 0
	}
	k := at
	for k < len(p.items) && (p.items[k].class == cMark || p.items[k].class == cOther || p.items[k].class == cStars || p.items[k].class == cDash || p.items[k].class == cStar && p.items[k+1].space) {
		k++
	}
	it := p.items[k]
	if it.class != cStitch || !p.defined[it.id] {
		return 0
	}
	k++
	if p.items[k].class == cOpen {
		for n := 0; n < 8 && k < len(p.items) && p.items[k].class != cClose; n++ {
			k++
		}
		k++
	}
	for k < len(p.items) && p.items[k].class == cStars {
		k++
	}
	if k+1 >= len(p.items) || p.items[k].class != cColon && p.items[k].class != cEquals && p.items[k].class != cDash {
		return 0
	}
	k++
	for p.items[k].class == cStars {
		k++
	}
	return k
}

// definition reads a stitch that the pattern explains.
func (p *parser) definition() bool {
	body := p.definitionAt(p.i)
	if body == 0 {
		return false
	}
	from := p.i
	end := p.definitionEnd(body)
	name := string(p.definedName(from))
	saved := p.save()
	p.i, p.stop = body, end
	p.claim, p.loop, p.into = nil, BothLoops, nil
	f := p.sequence(0)
	steps := f.steps
	s := p.stretch(from, end-1)
	if len(p.doc.Problems) > saved.problems || !works(steps) {
		steps = nil
	}
	after := p.after
	p.restore(saved)
	p.after = after[:0:0]
	text := p.source(p.stretch(body, end-1))
	names := []string{name}
	if abbr := p.definedAbbreviation(from, body); abbr != "" && abbr != name {
		names = append(names, abbr)
	}
	for _, n := range names {
		p.doc.Definitions = append(p.doc.Definitions, Definition{Span: s, Name: n, Steps: steps, Text: text})
	}
	p.i = end
	p.lines = append(p.lines, &Prose{Span: s, Text: p.source(s)})
	return true
}

// definedName returns the stitch named at the start of a line.
func (p *parser) definedName(at int) stitch.ID {
	for p.items[at].class != cStitch {
		at++
	}
	return p.items[at].id
}

// definedAbbreviation returns the short name in brackets, if it names a stitch
// of its own.
func (p *parser) definedAbbreviation(from, body int) string {
	for k := from; k < body; k++ {
		if p.items[k].class == cOpen {
			for ; k < body; k++ {
				if p.items[k].class == cStitch && p.defined[p.items[k].id] {
					return string(p.items[k].id)
				}
			}
		}
	}
	return ""
}

// definitionEnd finds where a definition ends: a blank line, a label, a
// heading, or the next line that begins with a capital.
func (p *parser) definitionEnd(body int) int {
	last := len(p.items) - 1
	for j := body + 1; j < last; j++ {
		it := p.items[j]
		if it.para || it.line && (p.beginsLine(j) || p.startsBlock(j)) {
			return j
		}
	}
	return last
}
