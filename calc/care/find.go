package care

import (
	"sync"

	"countwright/calc/lookup"
)

var fibreIndex = sync.OnceValue(func() *lookup.Index {
	var names []lookup.Word
	for _, f := range load().fibres {
		for _, name := range append([]string{f.Name}, f.Also...) {
			names = append(names, lookup.Word{Key: f.ID, Text: name})
		}
	}
	return lookup.New(names)
})

var symbolIndex = sync.OnceValue(func() *lookup.Index {
	var names []lookup.Word
	for _, s := range load().symbols {
		for _, name := range append([]string{s.Looks, s.Means}, s.Also...) {
			names = append(names, lookup.Word{Key: s.ID, Text: name})
		}
	}
	return lookup.New(names)
})

// FindFibre is up to limit fibres that a text can mean, the best first,
// typing errors allowed.
func FindFibre(text string, limit int) []Fibre {
	var found []Fibre
	for _, m := range fibreIndex().Find(text, limit) {
		if f, ok := FibreOf(m.Key); ok {
			found = append(found, f)
		}
	}
	return found
}

// FindSymbol is up to limit symbols that a text can mean, the best first: what
// a symbol looks like or what it says ("hand in a tub", "do not iron").
func FindSymbol(text string, limit int) []Symbol {
	var found []Symbol
	for _, m := range symbolIndex().Find(text, limit) {
		if s, ok := SymbolOf(m.Key); ok {
			found = append(found, s)
		}
	}
	return found
}
