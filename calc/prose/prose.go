// Package prose tells how hard a text is to read.
package prose

import (
	"strings"
	"unicode"
)

// Easy is the hardest that a text for beginners may be: what a child of twelve
// reads with ease.
const Easy = 7.0

// Measure is what a text consists of.
type Measure struct {
	Sentences, Words, Syllables int
}

// Of measures a text. A colon or semicolon ends a sentence, too. Numbers count
// as one syllable a digit. Syllables are those of English words.
func Of(text string) Measure {
	var m Measure
	for _, sentence := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(".!?:;", r) }) {
		n := 0
		for _, word := range strings.FieldsFunc(sentence, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' }) {
			n++
			m.Syllables += Syllables(word)
		}
		if n > 0 {
			m.Sentences++
			m.Words += n
		}
	}
	return m
}

// Plus is two texts taken together.
func (m Measure) Plus(o Measure) Measure {
	return Measure{m.Sentences + o.Sentences, m.Words + o.Words, m.Syllables + o.Syllables}
}

// Grade is the school grade, as in the United States, of those who read such a
// text with ease; below 0 for very easy ones, and 0 where there are no words.
//
// Source: Kincaid, Fishburne, Rogers and Chissom, Derivation of new readability
// formulas for Navy enlisted personnel, Research Branch Report 8-75, 1975.
func (m Measure) Grade() float64 {
	if m.Words == 0 || m.Sentences == 0 {
		return 0
	}
	return 0.39*float64(m.Words)/float64(m.Sentences) + 11.8*float64(m.Syllables)/float64(m.Words) - 15.59
}

// spoken are words of the trade whose syllables their letters don't show.
var spoken = map[string]int{
	"crochet": 2, "crochets": 2, "treble": 2, "trebles": 2, "picot": 2, "picots": 2, "sc": 2, "dc": 2, "hdc": 3,
	"tr": 2, "htr": 3, "ss": 2, "st": 1, "sts": 1, "ch": 1, "cm": 4, "mm": 4,
}

// Syllables counts the groups of vowels in an English word, less silent
// endings; one at least.
func Syllables(word string) int {
	word = strings.ToLower(word)
	digits := 0
	for _, r := range word {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	if digits > 0 {
		return digits
	}
	if n, ok := spoken[word]; ok {
		return n
	}
	count, before := 0, false
	for _, r := range word {
		vowel := strings.ContainsRune("aeiouy", r)
		if vowel && !before {
			count++
		}
		before = vowel
	}
	silent := strings.HasSuffix(word, "e") || strings.HasSuffix(word, "ely")
	consonantLE := len(word) > 2 && strings.HasSuffix(word, "le") && !strings.ContainsRune("aeiouy", rune(word[len(word)-3]))
	switch {
	case silent && !consonantLE && count > 1:
		count--
	case strings.HasSuffix(word, "es") && count > 1 && !hissing(word[:len(word)-2]) && !strings.HasSuffix(word, "les"):
		count--
	case strings.HasSuffix(word, "ed") && count > 1 && !strings.HasSuffix(word, "ted") && !strings.HasSuffix(word, "ded"):
		count--
	}
	return max(1, count)
}

// hissing reports whether -es after a word is spoken.
func hissing(word string) bool {
	for _, end := range []string{"s", "x", "z", "ch", "sh", "c", "g"} {
		if strings.HasSuffix(word, end) {
			return true
		}
	}
	return false
}
