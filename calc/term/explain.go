package term

import (
	"slices"
	"strings"
	"sync"

	"countwright/calc/lookup"
	"countwright/calc/stitch"
)

// Answer is one thing that a word can mean.
type Answer struct {
	Stitch stitch.ID  // the stitch; empty when the answer is a term
	Term   Term       // the entry of the glossary; its ID is empty when the answer is a stitch
	Word   string     // the word of the dictionary that answered the question
	Tag    string     // "US", "UK", "older", or the code of a language
	How    lookup.How // how well it answered
}

// Sense is what a word means in one dialect.
type Sense struct {
	Dialect stitch.Dialect
	Stitch  stitch.ID
}

// Friends returns what a word means in each dialect that has it, where the
// dialects do not agree; nil where they do, or where only one has the word.
func Friends(word string) []Sense {
	var senses []Sense
	differ := false
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
		if ids := stitch.Named(word, d); len(ids) > 0 {
			senses = append(senses, Sense{d, ids[0]})
			differ = differ || ids[0] != senses[0].Stitch
		}
	}
	if !differ {
		return nil
	}
	return senses
}

// Explain answers a question about a word, an abbreviation or a sign, the
// likeliest meaning first: in the member's dialect before other dialects, and
// in those before other languages. It returns at most limit answers.
func Explain(question string, d stitch.Dialect, limit int) []Answer {
	e := newExplaining(question, d)
	e.named(e.dialects[:1])
	if len(e.found) == 0 && len(everything().Exact(question)) == 0 {
		if plain := lookup.Plain(question); plain != lookup.Fold(question) {
			e.question = plain
			e.named(e.dialects[:1])
		}
	}
	exact := true
	for _, m := range everything().Find(e.question, limit, tags(e.dialects)...) {
		if exact && m.How > lookup.Exact {
			exact = false
			e.named(e.dialects[1:])
		}
		if m.How < lookup.Partly || len(e.found) == 0 || e.found[0].How == lookup.Partly {
			e.add(answer(m))
		}
	}
	e.named(e.dialects[1:])
	return e.found[:min(limit, len(e.found))]
}

// Meanings returns what a word means just as it stands, in the order of
// Explain: no parts of words, nothing misspelt, no words of asking.
func Meanings(word string, d stitch.Dialect) []Answer {
	e := newExplaining(word, d)
	e.named(e.dialects[:1])
	for _, m := range everything().Exact(word, tags(e.dialects)...) {
		e.add(answer(m))
	}
	e.named(e.dialects[1:])
	return e.found
}

// explaining is an answer in the making.
type explaining struct {
	question string
	word     string           // as it was asked
	dialects []stitch.Dialect // the member's own first
	found    []Answer
}

// newExplaining begins with the signs.
func newExplaining(question string, d stitch.Dialect) *explaining {
	e := &explaining{question: question, word: strings.TrimSpace(question), dialects: []stitch.Dialect{d}}
	for _, other := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
		if other != d {
			e.dialects = append(e.dialects, other)
		}
	}
	for _, t := range glossary().terms {
		if slices.Contains(t.Signs, e.word) {
			e.add(Answer{Term: t.clone(), Word: e.word, Tag: "sign"})
		}
	}
	return e
}

func (e *explaining) add(a Answer) {
	if !slices.ContainsFunc(e.found, func(b Answer) bool { return a.Stitch == b.Stitch && a.Term.ID == b.Term.ID }) {
		e.found = append(e.found, a)
	}
}

// named adds the stitches that go by the question in these dialects.
func (e *explaining) named(dialects []stitch.Dialect) {
	for _, d := range dialects {
		for _, id := range stitch.Named(e.question, d) {
			e.add(Answer{Stitch: id, Word: e.word, Tag: d.String()})
		}
	}
}

func tags(dialects []stitch.Dialect) []string {
	var tags []string
	for _, d := range dialects {
		tags = append(tags, d.String())
	}
	return tags
}

// The keys of the index: a stitch and a term may share an ID.
const (
	stitchKey = "stitch "
	termKey   = "term "
)

func answer(m lookup.Match) Answer {
	a := Answer{Word: m.Text, Tag: m.Tag, How: m.How}
	if id, ok := strings.CutPrefix(m.Key, stitchKey); ok {
		a.Stitch = stitch.ID(id)
		return a
	}
	a.Term, _ = Lookup(strings.TrimPrefix(m.Key, termKey))
	return a
}

// everything is the index over stitches and terms in all dialects and
// languages.
var everything = sync.OnceValue(func() *lookup.Index {
	words := StitchWords(stitchKey)
	for _, t := range glossary().terms {
		key := termKey + t.ID
		add := func(tag string, texts ...string) {
			for _, text := range texts {
				words = append(words, lookup.Word{Key: key, Text: text, Tag: tag})
			}
		}
		add("US", t.US)
		add("UK", t.UK)
		add("US", t.Abbr...)
		add("US", t.Also...)
		for _, f := range InOtherLanguages(t.ID) {
			add(f.Code, f.Words...)
		}
	}
	return lookup.New(words)
})

// StitchWords returns every name of every row of the stitch dictionary, in all
// dialects and languages, for an index. The key of each is the prefix and the
// stitch's ID, its tag the dialect or the language's code.
func StitchWords(prefix string) []lookup.Word {
	var words []lookup.Word
	for _, s := range stitch.All() {
		add := func(tag string, texts ...string) {
			for _, text := range texts {
				words = append(words, lookup.Word{Key: prefix + string(s.ID), Text: text, Tag: tag})
			}
		}
		for _, d := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
			w := s.In(d)
			add(d.String(), w.Name)
			add(d.String(), w.Abbr...)
			add(d.String(), w.Also...)
		}
		for _, f := range InOtherLanguages(string(s.ID)) {
			add(f.Code, f.Words...)
		}
	}
	return words
}
