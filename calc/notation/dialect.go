package notation

import (
	"countwright/calc/stitch"
	"strings"
	"sync"
)

// dialect maps the stitch words of one dialect, abbreviations and names apart,
// to the stitch.
type dialect struct {
	phrases map[string]phrase
	longest map[string]int
}

// phrase is a stitch word and the form it has: an abbreviation, or a name with
// or without "crochet".
type phrase struct {
	id     stitch.ID
	form   form
	plural bool
	plain  string // of words that are no stitches: the other dialect's word
}

type form uint8

const (
	abbreviated form = iota
	named            // "half double"
	crocheted        // "half double crochet"
)

var dialectWords = sync.OnceValue(func() [Older + 1]dialect {
	var all [Older + 1]dialect
	for _, terms := range []Terms{US, UK, Older} {
		d := dialect{phrases: map[string]phrase{}, longest: map[string]int{}}
		for _, of := range []func(stitch.Words) []string{
			func(w stitch.Words) []string { return w.Abbr },
			func(w stitch.Words) []string { return []string{w.Name} },
			func(w stitch.Words) []string { return w.Also },
		} {
			for _, s := range stitch.All() {
				for _, name := range of(s.In(stitch.Dialect(terms))) {
					d.learnName(name, phrase{id: s.ID, form: formOf(name, s.In(stitch.Dialect(terms)))})
				}
			}
		}
		all[terms] = d
	}
	for _, pair := range plainTerms {
		all[US].learn(pair[0], phrase{plain: pair[1]})
		all[UK].learn(pair[1], phrase{plain: pair[0]})
		all[Older].learn(pair[1], phrase{plain: pair[0]})
	}
	return all
})

// learnName enters a name, with and without "crochet": "front post treble" and
// "front post treble crochet".
func (d dialect) learnName(name string, p phrase) {
	words := normal(name)
	d.learn(words, p)
	if p.form == abbreviated || !strings.Contains(words, " ") {
		return
	}
	if plain, ok := strings.CutSuffix(words, " crochet"); ok {
		p.form = named
		d.learn(plain, p)
		return
	}
	if strings.HasSuffix(words, "treble") || strings.HasSuffix(words, "double") {
		p.form = crocheted
		d.learn(words+" crochet", p)
	}
}

func (d dialect) learn(words string, p phrase) {
	for _, w := range []string{words, plural(words)} {
		if _, known := d.phrases[w]; !known && w != "" && !tooShort[words] {
			d.phrases[w] = p
			first, _, _ := strings.Cut(w, " ")
			d.longest[first] = max(d.longest[first], 1+strings.Count(w, " "))
		}
		if p.plain != "" {
			return
		}
		p.plural = true
	}
}

func formOf(name string, w stitch.Words) form {
	for _, a := range w.Abbr {
		if a == name {
			return abbreviated
		}
	}
	switch low := strings.ToLower(name); {
	case strings.HasSuffix(low, "crochet"):
		return crocheted
	case strings.Contains(low, " ") || len(low) > 5:
		return named
	}
	return abbreviated
}
