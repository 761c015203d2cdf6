package commands

import (
	"strings"
	"unicode"
	"unicode/utf8"

	worked "countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/commands/reply"
	"countwright/commands/words"
	"fmt"
)

// mostShown is how many findings are shown with the words they are about; the
// others are listed.
const mostShown = 8

// found is what does not hold, and what was not read, with the place of each.
func (c *checked) found() []reply.Block {
	var parts []reply.Block
	var more []string
	for i, f := range c.result.Findings {
		text := c.finding(f)
		if i < mostShown {
			parts = append(parts, c.place(f.Pos, text)...)
			continue
		}
		if f.Pos.Line > 0 {
			text = c.Say("Line %d, column %d: %s", f.Pos.Line, f.Pos.Column, text)
		}
		more = append(more, text)
	}
	if len(more) > 0 {
		parts = append(parts, reply.List{Title: c.Say("And %d more", len(more)), Items: more})
	}
	return parts
}

// finding says what is wrong and what would mend it.
func (c *checked) finding(f worked.Finding) string {
	text := asSentence(c.Say(words.Key(f.Message)))
	switch {
	case f.Fix == "":
	case f.Kind == worked.KindUnread:
		text += didYouMean(c.Printer, f.Fix)
	default:
		text += c.Say(" To mend it: %s.", strings.TrimSuffix(f.Fix, "."))
	}
	return text
}

func didYouMean(p words.Printer, near string) string {
	if near == "" {
		return ""
	}
	return p.Say(" Did you mean “%s”?", near)
}

// place is a text about a place of the rows, and that place underlined.
func (c *checked) place(at notation.Pos, said string) []reply.Block {
	return placed(c.Printer, c.text, at, c.extent(at), said)
}

// placed is a text about a place of a text, and that place underlined.
func placed(p words.Printer, text string, from, to notation.Pos, said string) []reply.Block {
	parts := []reply.Block{reply.Text{Text: said}}
	lines := underlined(text, from, to)
	if lines == nil {
		return parts
	}
	return append(parts, reply.Rows{Title: p.Say("Line %d, column %d", from.Line, from.Column), Lines: lines})
}

// extent is where the words end that begin at a place: those of a problem, a
// stated count or a step; else the word.
func (c *checked) extent(at notation.Pos) notation.Pos {
	for _, p := range c.doc.Problems {
		if p.Pos() == at {
			return p.End()
		}
	}
	end := at
	see := func(from, to notation.Pos) {
		if from == at && to.Line == at.Line && to.Offset > end.Offset {
			end = to
		}
	}
	c.doc.Rows(func(_ *notation.Part, r *notation.Row) {
		if r.Claim != nil {
			see(r.Claim.Pos(), r.Claim.End())
		}
		notation.Walk(r.Steps, func(s notation.Step) bool {
			see(s.Pos(), s.End())
			return true
		})
	})
	for _, p := range c.doc.Parts {
		for _, l := range p.Lines {
			if a, ok := l.(*notation.Again); ok && a.Claim != nil {
				see(a.Claim.Pos(), a.Claim.End())
			}
		}
	}
	return end
}

// widest is how many columns of a line are shown: as many as a phone has.
const widest = 60

// underlined is the line of a place and a line of marks below its words; nil
// where the place is not in the text.
func underlined(text string, from, to notation.Pos) []string {
	lines := strings.Split(text, "\n")
	if from.Line < 1 || from.Line > len(lines) {
		return nil
	}
	line := []rune(strings.TrimRight(strings.ToValidUTF8(lines[from.Line-1], "?"), "\r"))
	for i, r := range line {
		if unicode.IsControl(r) {
			line[i] = ' '
		}
	}
	first := from.Column - 1
	if first < 0 || first >= len(line) {
		return nil
	}
	last := to.Column - 1
	if to.Line != from.Line {
		last = len(line)
	}
	if last <= first {
		for last = first + 1; last < len(line) && !unicode.IsSpace(line[last]); last++ {
		}
	}
	last = min(last, len(line), first+widest-10)
	for last > first+1 && unicode.IsSpace(line[last-1]) {
		last--
	}
	cut := 0
	if last > widest {
		cut = max(0, last-widest*3/4)
		cut = min(cut, max(0, first-8))
	}
	shown := line[cut:]
	before, after := "", ""
	if cut > 0 {
		before = "…"
	}
	if len(shown) > widest {
		shown, after = shown[:widest], "…"
	}
	return []string{
		before + string(shown) + after,
		strings.Repeat(" ", utf8.RuneCountInString(before)+first-cut) + strings.Repeat("^", last-first),
	}
}

func capitalised(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// underlinedLine is a whole line of a pattern file underlined; nil where there
// is none. What is wrong with such a file is told in English, as its keys are.
func underlinedLine(text string, line int) reply.Block {
	at := notation.Pos{Line: line, Column: 1}
	lines := underlined(text, at, notation.Pos{Line: line + 1})
	if lines == nil {
		return nil
	}
	return reply.Rows{Title: fmt.Sprintf("Line %d", line), Lines: lines}
}
