// Package term is the glossary of the trade: words, abbreviations and signs of
// written patterns, what they mean in US and in UK terms, and the false
// friends among them. It also holds the words of other languages, and fills
// the words of a dialect into texts of the beginners' desk.
package term

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/stitch"
)

//go:embed glossary/*.toml
var glossaryFiles embed.FS

// glossaryNames are the data files in the order in which All returns them.
var glossaryNames = []string{
	"glossary/work.toml", "glossary/pattern.toml", "glossary/shape.toml", "glossary/material.toml",
	"glossary/sign.toml",
}

// Term is an entry of the glossary.
type Term struct {
	ID     string
	US     string    // the word in US patterns
	UK     string    // the word in UK patterns; equal to US where they agree
	Abbr   []string  // abbreviations, the usual one first
	Also   []string  // other words and spellings for it
	Signs  []string  // how it is printed where it is a sign: "*", "[ ]"
	Means  string    // what it is, in a sentence or two; see Say
	Beware string    // what it is easily taken for; may be empty; see Say
	Stitch stitch.ID // the stitch that a sign stands for; may be empty
	See    []string  // terms and stitches that go with it, by ID
	Source string    // where the word is listed, or "common practice, no source"
}

// Word returns the word for the term in a dialect.
func (t Term) Word(d stitch.Dialect) string {
	if d == stitch.UK {
		return t.UK
	}
	return t.US
}

// book is the glossary in use.
type book struct {
	terms []Term
	byID  map[string]int
}

// glossary reads the embedded files once; the package's tests read the same
// files, so a fault in them never reaches a program.
var glossary = sync.OnceValue(func() *book {
	b, err := readTerms(glossaryFiles, glossaryNames)
	if err != nil {
		panic(err)
	}
	return b
})

// Lookup returns the term of an ID.
func Lookup(id string) (Term, bool) {
	i, ok := glossary().byID[id]
	if !ok {
		return Term{}, false
	}
	return glossary().terms[i].clone(), true
}

// All returns the glossary in its order.
func All() []Term {
	all := make([]Term, len(glossary().terms))
	for i, t := range glossary().terms {
		all[i] = t.clone()
	}
	return all
}

// clone copies what a caller could change.
func (t Term) clone() Term {
	t.Abbr, t.Also, t.Signs, t.See = slices.Clone(t.Abbr), slices.Clone(t.Also), slices.Clone(t.Signs), slices.Clone(t.See)
	return t
}

// readTerms reads and checks the glossary; all faults are reported at once.
func readTerms(folder fs.FS, names []string) (*book, error) {
	b := &book{byID: map[string]int{}}
	var files []string
	err := entry.Each(folder, names, func(file string, content struct{ Term []Term }) {
		for _, t := range content.Term {
			if t.UK == "" {
				t.UK = t.US
			}
			b.terms, files = append(b.terms, t), append(files, file)
		}
	})
	if err != nil {
		return nil, err
	}
	var faults entry.Faults
	for i, t := range b.terms {
		faults.File, faults.Entry = files[i], t.ID
		_, twice := b.byID[t.ID]
		faults.Need(t.ID != "", "id is missing")
		faults.Need(!twice, "the id stands twice in the files")
		b.byID[t.ID] = i
	}
	for i, t := range b.terms {
		faults.File, faults.Entry = files[i], t.ID
		t.check(&faults, b)
	}
	return b, faults.Err()
}

// check records what is wrong with a term.
func (t Term) check(f *entry.Faults, b *book) {
	f.Need(t.US != "", "us is missing")
	f.Need(t.Means != "", "means is missing")
	f.Need(t.Source != "", "source is missing; write \"common practice, no source\" if there is none")
	for _, text := range []string{t.Means, t.Beware} {
		if err := b.check(text); err != nil {
			f.Need(false, "%v", err)
		}
		f.Need(text == "" || strings.ContainsAny(text[len(text)-1:], ".!?:)"), "a text ends without a full stop: %q", text)
	}
	if t.Stitch != "" {
		_, known := stitch.Lookup(t.Stitch)
		f.Need(known, "stitch %q is not in the stitch dictionary", t.Stitch)
	}
	for _, id := range t.See {
		_, isTerm := b.byID[id]
		_, isStitch := stitch.Lookup(stitch.ID(id))
		f.Need(isTerm || isStitch, "see: %q is neither a term nor a stitch", id)
	}
}
