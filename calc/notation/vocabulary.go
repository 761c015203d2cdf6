package notation

import (
	"maps"
	"strconv"
	"strings"
	"sync"

	"countwright/calc/stitch"
)

// entry is what the vocabulary knows of a phrase.
type entry struct {
	class   class
	n       int
	id      stitch.ID
	foreign Terms // the dialect of a stitch's word that this dialect lacks
	word    string
}

// vocabulary is every phrase of one dialect.
type vocabulary struct {
	entries  map[string]entry
	longest  map[string]int   // the most words in a phrase that begins with this word
	byLength map[int][]string // single words, for the search of near ones
}

// vocabularies are built once, on first use.
var vocabularies = sync.OnceValue(func() [Older + 1]*vocabulary {
	var all [Older + 1]*vocabulary
	for _, terms := range []Terms{US, UK, Older} {
		all[terms] = newVocabulary(terms)
	}
	all[TermsUnsaid] = all[US]
	return all
})

func newVocabulary(terms Terms) *vocabulary {
	v := &vocabulary{entries: map[string]entry{}, longest: map[string]int{}, byLength: map[int][]string{}}
	if terms == Older { // "tc" is a treble there, no turning chain
		for _, s := range stitch.All() {
			for _, abbr := range s.Older.Abbr {
				if worked(s) && strings.Contains(abbr, " c") {
					v.learn(strings.ReplaceAll(normal(abbr), " ", ""), entry{class: cStitch, id: s.ID})
				}
			}
		}
	}
	for _, p := range phrases {
		for _, words := range strings.Split(p.words, "|") {
			v.learn(words, entry{class: p.class, n: p.n})
		}
	}
	v.learnNumbers()
	for _, word := range []string{"widen", "widening", "increasing"} {
		v.learn(word, entry{class: cStitch, id: "inc"})
	}
	for _, word := range []string{"narrow", "narrowing", "decreasing"} {
		v.learn(word, entry{class: cStitch, id: "dec"})
	}
	v.learnStitches(terms, TermsUnsaid)
	for abbr, id := range map[Terms]map[string]stitch.ID{US: spacedUS, UK: spacedUK}[terms] {
		v.learn(abbr, entry{class: cStitch, id: id})
	}
	for _, other := range []Terms{US, UK, Older} {
		if other != terms {
			v.learnStitches(other, other)
		}
	}
	return v
}

// learn enters a phrase; the first meaning of a phrase stays.
func (v *vocabulary) learn(words string, e entry) {
	if _, known := v.entries[words]; known || words == "" {
		return
	}
	e.word = words
	v.entries[words] = e
	first, _, several := strings.Cut(words, " ")
	v.longest[first] = max(v.longest[first], 1+strings.Count(words, " "))
	if !several {
		n := len(words)
		v.byLength[n] = append(v.byLength[n], words)
	}
}

func (v *vocabulary) learnNumbers() {
	for n, word := range numberWords {
		v.learn(word, entry{class: cNumber, n: n})
	}
	for tens, word := range []string{"", "", "", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"} {
		if word != "" {
			v.learn(word, entry{class: cNumber, n: tens * 10})
		}
	}
	for tens, word := range []string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"} {
		for ones := 1; word != "" && ones < 10; ones++ {
			v.learn(word+" "+numberWords[ones], entry{class: cNumber, n: tens*10 + ones})
		}
	}
	v.learn("a dozen", entry{class: cNumber, n: 12})
	v.learn("dozen", entry{class: cNumber, n: 12})
	for n, word := range ordinalWords {
		v.learn(word, entry{class: cOrdinal, n: n})
	}
}

// learnStitches enters the dictionary's words of a dialect: abbreviations
// before names before by-names, so that an abbreviation wins.
func (v *vocabulary) learnStitches(terms, foreign Terms) {
	all := stitch.All()
	for _, of := range []func(stitch.Words) []string{
		func(w stitch.Words) []string { return w.Abbr },
		func(w stitch.Words) []string { return []string{w.Name} },
		func(w stitch.Words) []string { return w.Also },
	} {
		for _, s := range all {
			if !worked(s) {
				continue
			}
			for _, name := range of(s.In(stitch.Dialect(terms))) {
				e := entry{class: cStitch, id: s.ID, foreign: foreign}
				if words := normal(name); !tooShort[words] {
					v.learn(words, e)
					v.learn(plural(words), e)
				}
			}
		}
	}
}

// worked reports whether a row's words may name a stitch of the dictionary:
// textures and ways to work another stitch are told otherwise.
func worked(s stitch.Stitch) bool {
	switch s.Kind {
	case stitch.Chain:
		return false
	case stitch.Start:
		return s.Makes > 0 && s.Base != ""
	case stitch.Texture:
		return s.ID == "star"
	}
	return s.ID != "blo" && s.ID != "flo" && s.ID != "third loop"
}

// define enters the stitches that a text itself explains: they take the place
// of dictionary words. "V-st" of the pattern is the dictionary's "v-st".
func (v *vocabulary) define(names []string) *vocabulary {
	ids := make(map[string]stitch.ID, len(names))
	for _, name := range names {
		ids[name] = stitch.ID(name)
		if known, ok := v.entries[name]; ok && known.class == cStitch {
			ids[name] = known.id
		}
	}
	return v.with(ids)
}

// with returns a copy of the vocabulary with words of one text's own.
func (v *vocabulary) with(ids map[string]stitch.ID) *vocabulary {
	if len(ids) == 0 {
		return v
	}
	own := &vocabulary{entries: maps.Clone(v.entries), longest: maps.Clone(v.longest), byLength: v.byLength}
	for name, id := range ids {
		for _, words := range []string{name, plural(name)} {
			first, _, _ := strings.Cut(words, " ")
			own.longest[first] = max(own.longest[first], 1+strings.Count(words, " "))
			own.entries[words] = entry{class: cStitch, id: id, word: words}
		}
	}
	return own
}

// normal folds a phrase to lower case with single spaces for hyphens.
func normal(words string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(words), func(c rune) bool {
		return c == ' ' || c == '-' || c == '\t' || c == '\n' || c == '.' || c == '/'
	}), " ")
}

// plural adds the ending of a plural to the last word.
func plural(words string) string {
	if words == "ch" {
		return "chs"
	}
	for _, end := range []string{"ch", "sh", "s", "x"} {
		if strings.HasSuffix(words, end) {
			return words + "es"
		}
	}
	return words + "s"
}

// compound reads a word made of a stitch and a number: "hdc2tog", "fpdc3tog",
// "scdec", "scinc".
func (v *vocabulary) compound(word string) (entry, bool) {
	for _, end := range []struct{ tail, form string }{{"dec", "2tog"}, {"inc", " inc"}} {
		if stem, ok := strings.CutSuffix(word, end.tail); ok {
			if e, ok := v.base(stem); ok {
				return derived(e, string(e.id)+end.form)
			}
		}
	}
	stem, ok := strings.CutSuffix(word, "tog")
	if !ok {
		return entry{}, false
	}
	digits := strings.TrimLeftFunc(stem, func(c rune) bool { return c < '0' || c > '9' })
	n, err := strconv.Atoi(digits)
	if err != nil || n < 2 || n > 99 {
		return entry{}, false
	}
	e, ok := v.base(strings.TrimSuffix(stem, digits))
	if !ok {
		return entry{}, false
	}
	return entry{class: cStitch, id: stitch.ID(string(e.id) + digits + "tog"), foreign: e.foreign}, true
}

// base returns a stitch that a compound may begin with.
func (v *vocabulary) base(word string) (entry, bool) {
	e, ok := v.entries[word]
	return e, ok && e.class == cStitch
}

// derived is a stitch of the dictionary's families made from a base.
func derived(base entry, id string) (entry, bool) {
	if _, ok := stitch.Lookup(stitch.ID(id)); !ok {
		return entry{}, false
	}
	return entry{class: cStitch, id: stitch.ID(id), foreign: base.foreign}, true
}
