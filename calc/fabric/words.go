package fabric

import (
	"fmt"
	"strconv"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// plural is a number of things in words: "1 stitch", "3 stitches".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	if strings.HasSuffix(what, "ch") || strings.HasSuffix(what, "s") {
		return strconv.Itoa(n) + " " + what + "es"
	}
	return strconv.Itoa(n) + " " + what + "s"
}

func are(n int) string {
	if n == 1 {
		return "1 stitch is"
	}
	return plural(n, "stitch") + " are"
}

func numeral(n int) string {
	if n == 0 {
		return "none"
	}
	return strconv.Itoa(n)
}

func onlyText(n int) string {
	if n <= 0 {
		return "none"
	}
	return "only " + strconv.Itoa(n)
}

// a puts the article before a word.
func a(word string) string {
	if word != "" && strings.ContainsRune("aeiouh8", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// word is the abbreviation of a stitch in the terms of the text, which is what
// its reader knows; a name that the text defines itself stays.
func (w *worker) word(id stitch.ID) string {
	s, ok := stitch.Lookup(id)
	if !ok || w.doc.Terms == notation.TermsUnsaid {
		return string(id)
	}
	words := s.In(stitch.Dialect(w.doc.Terms))
	switch s.Kind {
	case stitch.Cluster, stitch.Group, stitch.Picot:
		return words.Name // "shell" reads better than "sh"
	}
	return words.Short()
}

// quote names the instruction at fault as the trade writes it.
func (w *worker) quote(s *notation.Stitches, e *entry) string {
	if s.Into.Choice == notation.EachTo {
		return "“" + w.word(s.Name) + " in each”"
	}
	n := 1
	if s.Into.Many.Said() {
		n = s.Into.Many.At(0)
	}
	if n > 1 {
		return fmt.Sprintf("“%s in next %d”", w.word(e.id), n)
	}
	return "“" + w.word(s.Name) + "”"
}

func placesNeeded(n int) string { return plural(n, "stitch") + " needed" }

func timesText(n int, e *entry) string {
	if e.consumes > 1 {
		return plural(n, "decrease")
	}
	return "it"
}

// text names what is looked for.
func (w want) text(by *worker) string {
	switch w.target {
	case notation.NamedStitch:
		return by.word(w.name)
	case notation.ChainSpace:
		if w.size > 0 {
			return fmt.Sprintf("ch-%d space", w.size)
		}
		return "chain space"
	case notation.Space:
		return "space"
	case notation.ChainStitch:
		return "chain"
	case notation.TurningChain:
		return "turning chain"
	}
	return "stitch"
}

// countOf is a count as the text would state it.
func (w *worker) countOf(n int, what string) string {
	if isStitches(what) {
		return strconv.Itoa(n)
	}
	return strconv.Itoa(n) + " " + w.word(stitch.ID(what))
}
