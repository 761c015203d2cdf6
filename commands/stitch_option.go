package commands

import (
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/commands/words"
)

// chosenStitch is the stitch that a row is written in; empty: single crochet.
type chosenStitch struct{ id stitch.ID }

func (c chosenStitch) name() stitch.ID {
	if c.id == "" {
		return "sc"
	}
	return c.id
}

// plural counts stitches in the member's terms: "42 hdc", or "42 stitches"
// where none was chosen.
func (c chosenStitch) plural(r Request, n int) words.Message {
	if c.id == "" {
		return stitchCount(n)
	}
	return words.Say("%d %s", n, stitchWord(r, c.id))
}

// stitchWord is a stitch's abbreviation in the terms of the answer.
func stitchWord(r Request, id stitch.ID) string { return wordIn(r.Terms(), id) }

// wordIn is a stitch's abbreviation in some terms; the name itself of a stitch
// that no dictionary has.
func wordIn(terms notation.Terms, id stitch.ID) string {
	s, ok := stitch.Lookup(id)
	if !ok {
		return string(id)
	}
	return s.In(stitch.Dialect(terms)).Short()
}

// stitchOption declares an option that names a plain stitch in the member's
// terms. A name that only the other terms have is taken too: it can mean
// nothing else.
func stitchOption(name, short string) *Opt[chosenStitch] {
	return Value(name, short, "hdc", func(text string, s Settings) (chosenStitch, error) {
		dialect, other := stitch.US, stitch.UK
		if s.Terms == notation.UK {
			dialect, other = other, dialect
		}
		for _, id := range append(stitch.Named(text, dialect), stitch.Named(text, other)...) {
			if found, ok := stitch.Lookup(id); ok && found.Kind == stitch.Basic {
				return chosenStitch{id}, nil
			}
		}
		var plain []string
		for _, s := range stitch.All() {
			if s.Kind == stitch.Basic {
				plain = append(plain, s.In(dialect).Short())
			}
		}
		return chosenStitch{}, words.Say("%q is not a plain stitch in %s terms; plain ones are %s", text, dialect, strings.Join(plain, ", "))
	})
}

// stitchCount says a number of stitches: "1 stitch", "42 stitches".
