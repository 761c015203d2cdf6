package term

import (
	"embed"
	"io/fs"
	"slices"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/stitch"
)

//go:embed languages/*.toml
var languageFiles embed.FS

// languageNames are the data files, in the order in which languages are shown.
var languageNames = []string{
	"languages/de.toml", "languages/nl.toml", "languages/fr.toml", "languages/es.toml", "languages/pt.toml",
	"languages/it.toml", "languages/da.toml", "languages/sv.toml", "languages/no.toml", "languages/ja.toml",
}

// Foreign is what a stitch or a term is called in another language.
type Foreign struct {
	Language string   // in English: "German"
	Code     string   // as in BCP 47: "de"
	Words    []string // the usual word first, then others and abbreviations
	Source   string   // the published source, or "from memory"
}

// language is a data file: the words of one language by stitch and by term.
type language struct {
	Language, Code, Source string
	Stitches               map[stitch.ID][]string
	Terms                  map[string][]string
	Sources                map[string]string // for single words, where the source is not that of the file
}

var languages = sync.OnceValue(func() []language {
	all, err := readLanguages(languageFiles, languageNames)
	if err != nil {
		panic(err)
	}
	return all
})

// InOtherLanguages returns the words for a stitch or a term, language by
// language; nil when none is known.
func InOtherLanguages(id string) []Foreign {
	var found []Foreign
	for _, l := range languages() {
		words := l.Stitches[stitch.ID(id)]
		if len(words) == 0 {
			words = l.Terms[id]
		}
		if len(words) == 0 {
			continue
		}
		source := l.Source
		if s, ok := l.Sources[words[0]]; ok {
			source = s
		}
		found = append(found, Foreign{l.Language, l.Code, slices.Clone(words), source})
	}
	return found
}

// readLanguages reads and checks the words of other languages.
func readLanguages(folder fs.FS, names []string) ([]language, error) {
	var all []language
	var faults entry.Faults
	err := entry.Each(folder, names, func(file string, l language) {
		all = append(all, l)
		faults.File, faults.Entry = file, l.Code
		faults.Need(l.Language != "" && l.Code != "", "language or code is missing")
		faults.Need(l.Source != "", "source is missing; write \"from memory\" if there is none")
		said := map[string]bool{}
		check := func(id string, words []string, known bool) {
			faults.Entry = id
			faults.Need(known, "is not in the dictionary")
			faults.Need(len(words) > 0, "has no word")
			for _, w := range words {
				faults.Need(w != "", "has an empty word")
				said[w] = true
			}
		}
		for id, words := range l.Stitches {
			_, known := stitch.Lookup(id)
			check(string(id), words, known)
		}
		for id, words := range l.Terms {
			_, known := glossary().byID[id]
			check(id, words, known)
		}
		for w, source := range l.Sources {
			faults.Entry = w
			faults.Need(said[w] && source != "", "sources: the word is not in the file, or its source is empty")
		}
	})
	if err != nil {
		return nil, err
	}
	return all, faults.Err()
}
