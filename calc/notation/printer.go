package notation

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/stitch"
)

// PrintOptions says how a tree is printed.
type PrintOptions struct {
	Terms Terms    // the words to use; unsaid is US
	Sizes []string // names of the sizes, for rows that only some work
}

// Print writes a whole document as the trade does, one row a line. Printing
// what was read from a printed text gives the same text again.
func Print(d *Document, opt PrintOptions) string {
	if opt.Sizes == nil {
		opt.Sizes = d.Sizes
	}
	var b strings.Builder
	for i, part := range d.Parts {
		if i > 0 {
			b.WriteByte('\n')
		}
		if part.Name != "" {
			b.WriteString(part.Name)
			if part.Make > 1 {
				fmt.Fprintf(&b, " (make %d)", part.Make)
			}
			b.WriteByte('\n')
		}
		for _, line := range part.Lines {
			b.WriteString(PrintLine(line, opt) + "\n")
		}
	}
	return b.String()
}

// PrintLine writes one line of a part.
func PrintLine(l Line, opt PrintOptions) string {
	switch l := l.(type) {
	case *Row:
		return PrintRow(l, opt)
	case *Again:
		return printAgain(l, opt)
	case *Heading:
		return l.Text + ":"
	case *Prose:
		return l.Text
	}
	panic(fmt.Sprintf("notation: no way to print a %T", l))
}

// PrintRow writes one row with its label and its stated count.
func PrintRow(r *Row, opt PrintOptions) string {
	p := printer{opt: opt, around: r.Label.Kind == Round}
	text := p.steps(r.Steps) + "."
	if label := printLabel(r.Label); label != "" {
		text = label + ": " + p.sizes(r.Sizes) + capital(text)
	} else {
		text = p.sizes(r.Sizes) + capital(text)
	}
	return text + p.claim(r.Claim)
}

// PrintSteps writes steps as they stand within a row, without label or end.
func PrintSteps(steps []Step, opt PrintOptions) string {
	p := printer{opt: opt}
	return p.steps(steps)
}

// Word is the abbreviation of a stitch in the given terms, and the ID itself
// for a stitch that the pattern defines.
func Word(id stitch.ID, t Terms) string {
	s, ok := stitch.Lookup(id)
	if !ok {
		return string(id)
	}
	return s.In(stitch.Dialect(t)).Short()
}

func printAgain(a *Again, opt PrintOptions) string {
	p := printer{opt: opt, around: a.Label.Kind == Round}
	unit := rowWord(a.Label.Kind)
	copied := ""
	switch {
	case len(a.Like) == 1:
		copied = fmt.Sprintf("%s %d", unit, a.Like[0])
	case len(a.Like) > 1:
		copied = fmt.Sprintf("%ss %s", unit, listed(a.Like))
	case a.Back > 1:
		copied = fmt.Sprintf("last %d %ss", a.Back, strings.ToLower(unit))
	default:
		copied = "last " + strings.ToLower(unit)
	}
	text := p.sizes(a.Sizes) + "Rep " + copied
	switch {
	case a.Until > 0:
		text += fmt.Sprintf(" until piece measures %s cm", strconv.FormatFloat(float64(a.Until)/10, 'f', -1, 64))
	case a.Times.Said() && a.More:
		text += " " + printNumber(a.Times) + " more " + several("time", a.Times)
	case a.Times.Said():
		text += " " + printNumber(a.Times) + " " + several("time", a.Times)
	}
	if label := printLabel(a.Label); label != "" {
		text = label + ": " + text
	}
	return text + "." + p.claim(a.Claim)
}

func rowWord(k Kind) string {
	if k == Round {
		return "Rnd"
	}
	return "Row"
}

func printLabel(l Label) string {
	side := map[Side]string{RightSide: " (RS)", WrongSide: " (WS)"}[l.Side]
	word := rowWord(l.Kind)
	switch {
	case l.Name != "":
		return capital(l.Name) + " " + strings.ToLower(word) + side
	case len(l.List) > 1:
		return word + "s " + listed(l.List) + side
	case !l.From.Said():
		return ""
	case l.Alternate:
		return word + " " + printNumber(l.From) + " and all alternate " + strings.ToLower(word) + "s" + side
	case equal(l.From, l.To) || !l.To.Said():
		return word + " " + printNumber(l.From) + side
	}
	return word + "s " + printNumber(l.From) + "–" + printNumber(l.To) + side
}

func equal(a, b Number) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// listed writes row numbers: "2 and 3", "2, 3 and 4", and "2–5" for a run.
func listed(rows []int) string {
	run := len(rows) > 2
	for i := 1; i < len(rows); i++ {
		run = run && rows[i] == rows[i-1]+1
	}
	if run {
		return fmt.Sprintf("%d–%d", rows[0], rows[len(rows)-1])
	}
	var b strings.Builder
	for i, n := range rows {
		switch {
		case i == 0:
		case i == len(rows)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(strconv.Itoa(n))
	}
	return b.String()
}

// printNumber writes one value, or all sizes' as "81 (89, 97, 105)".
func printNumber(n Number) string {
	if len(n) == 0 {
		return "1"
	}
	same := true
	for _, v := range n {
		same = same && v == n[0]
	}
	if len(n) == 1 || same {
		return strconv.Itoa(n[0])
	}
	rest := make([]string, 0, len(n)-1)
	for _, v := range n[1:] {
		rest = append(rest, strconv.Itoa(v))
	}
	return fmt.Sprintf("%d (%s)", n[0], strings.Join(rest, ", "))
}

// several writes a word for one or for several, as the number asks.
func several(word string, n Number) string {
	if len(n) == 0 || len(n) == 1 && n[0] == 1 {
		return word
	}
	if strings.HasSuffix(word, "ch") || strings.HasSuffix(word, "s") {
		return word // "2 ch" and "2 sl sts" stand as they are
	}
	return word + "s"
}

func capital(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[size:]
}
