package stitch

import (
	"slices"
	"strings"
	"unicode"
)

// Named returns the stitches that a word or several can mean in a dialect, the
// likeliest first: by abbreviation or name, with any spacing, hyphens, letter
// case or number words, singular or plural ("s c", "Sl-sts", "half trebles",
// "sc two together"). AnyDialect asks all three dialects, US first. It does
// not mend misspellings; package lookup does.
func Named(words string, d Dialect) []ID {
	ask := []Dialect{d}
	if d == AnyDialect || d > Older {
		ask = []Dialect{US, UK, Older}
	}
	var found []ID
	for _, d := range ask {
		for _, id := range dictionary().find(words, d) {
			if !slices.Contains(found, id) {
				found = append(found, id)
			}
		}
	}
	return found
}

// find looks for the words as they stand, then without their spacing, then
// without their plurals: most words of a pattern end at the first step.
func (b *book) find(words string, d Dialect) []ID {
	if ids := b.index[d][words]; len(ids) > 0 {
		return ids
	}
	if ids := b.index[d][key(words)]; len(ids) > 0 {
		return ids
	}
	return b.index[d][key(singular(words))]
}

// learn enters the words of stitches into the index of each dialect, all
// abbreviations before all names, so that an abbreviation wins over another
// stitch's by-name.
func (b *book) learn(stitches []Stitch) {
	for _, d := range []Dialect{US, UK, Older} {
		for _, of := range []func(Words) []string{
			func(w Words) []string { return w.Abbr },
			func(w Words) []string { return []string{w.Name} },
			func(w Words) []string { return w.Also },
		} {
			for _, s := range stitches {
				for _, name := range of(s.In(d)) {
					for _, k := range []string{key(name), strings.ToLower(name)} {
						if !slices.Contains(b.index[d][k], s.ID) {
							b.index[d][k] = append(b.index[d][k], s.ID)
						}
					}
				}
			}
		}
	}
}

// sameWords are words that a key does not tell apart.
var sameWords = map[string]string{
	"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
	"stitch": "st", "stitches": "st", "sts": "st", "together": "tog", "chains": "ch", "chain": "ch", "chs": "ch",
	"dec": "decrease", "inc": "increase", "cl": "cluster",
}

// key folds what writers vary: case, spaces, hyphens, stops, number words.
func key(words string) string {
	var b strings.Builder
	for _, w := range split(words) {
		if same, ok := sameWords[w]; ok {
			w = same
		}
		b.WriteString(w)
	}
	return b.String()
}

// singular takes the plural ending off each word.
func singular(words string) string {
	ws := split(words)
	for i, w := range ws {
		switch {
		case len(w) < 3 || strings.HasSuffix(w, "ss"):
		case strings.HasSuffix(w, "sses"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"):
			ws[i] = w[:len(w)-2]
		case strings.HasSuffix(w, "s"):
			ws[i] = w[:len(w)-1]
		}
	}
	return strings.Join(ws, " ")
}

var apostrophes = strings.NewReplacer("’", "", "'", "")

// split returns the runs of letters and of digits, in lower case.
func split(words string) []string {
	return strings.FieldsFunc(strings.ToLower(apostrophes.Replace(words)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
}
