package lesson

import (
	"slices"
	"sync"

	"countwright/calc/lookup"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

// Find returns the stitches that a question can mean, the likeliest first:
// by a name or an abbreviation in the member's dialect, then in the other
// dialects, then in other languages, parts of names and misspelt ones. The
// word and the tag of a match say why it was found; its Key is the stitch's
// ID.
func Find(question string, d stitch.Dialect, limit int) []lookup.Match {
	var found []lookup.Match
	add := func(m lookup.Match) {
		if !slices.ContainsFunc(found, func(f lookup.Match) bool { return f.Key == m.Key }) {
			found = append(found, m)
		}
	}
	named := func(question string, d stitch.Dialect) {
		for _, id := range stitch.Named(question, d) {
			add(lookup.Match{Word: lookup.Word{Key: string(id), Text: question, Tag: d.String()}})
		}
	}
	named(question, d)
	if len(found) == 0 {
		named(lookup.Plain(question), d)
	}
	rest := index().Find(question, limit, d.String(), "US", "UK", "older")
	for _, m := range rest {
		if m.How == lookup.Exact {
			add(m)
		}
	}
	for _, other := range []stitch.Dialect{stitch.US, stitch.UK, stitch.Older} {
		named(question, other)
	}
	exact := len(found) > 0
	for _, m := range rest {
		if m.How < lookup.Partly || !exact {
			add(m)
		}
	}
	return found[:min(len(found), max(0, limit))]
}

// index holds every name of every stitch that has a row.
var index = sync.OnceValue(func() *lookup.Index { return lookup.New(term.StitchWords("")) })
