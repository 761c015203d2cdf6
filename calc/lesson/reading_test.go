package lesson_test

import (
	"strings"
	"testing"
	"unicode"

	"countwright/calc/guide"
	"countwright/calc/lesson"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/calc/trouble"
)

// mostGrade is the hardest that a text for beginners may be: what a child of
// twelve reads with ease.
const mostGrade = 7.0

// grade is the reading grade of Kincaid, Fishburne, Rogers and Chissom,
// "Derivation of new readability formulas for Navy enlisted personnel",
// Research Branch Report 8-75, 1975.
func grade(sentences, words, syllables int) float64 {
	return 0.39*float64(words)/float64(sentences) + 11.8*float64(syllables)/float64(words) - 15.59
}

// measureText counts sentences, words and syllables. Numbers count as one
// syllable a digit.
func measureText(text string) (sentences, words, syllables int) {
	for _, sentence := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(".!?:;", r) }) {
		n := 0
		for _, word := range strings.FieldsFunc(sentence, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' }) {
			n++
			syllables += syllablesOf(strings.ToLower(word))
		}
		if n > 0 {
			sentences++
			words += n
		}
	}
	return
}

// syllablesOf counts groups of vowels, less silent endings.
func syllablesOf(word string) int {
	digits := 0
	for _, r := range word {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	if digits > 0 {
		return digits
	}
	if n, ok := map[string]int{
		"crochet": 2, "crochets": 2, "treble": 2, "trebles": 2, "picot": 2, "picots": 2, "sc": 2, "dc": 2, "hdc": 3,
		"tr": 2, "htr": 3, "ss": 2, "st": 1, "sts": 1, "ch": 1, "cm": 4, "mm": 4,
	}[word]; ok {
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

// Source: syllables as dictionaries divide them; the sentence is worked by
// hand: 6 words, 1 sentence, 6 syllables give 0.39·6 + 11.8·1 − 15.59 = −1.45.
func TestGradeItself(t *testing.T) {
	for word, want := range map[string]int{
		"hook": 1, "yarn": 1, "stitch": 1, "stitches": 2, "single": 2, "chain": 1, "over": 2, "between": 2,
		"ribbing": 2, "loosely": 2, "blanket": 2, "garment": 2, "joined": 1, "counted": 2, "edges": 2, "together": 3, "decrease": 2, "needle": 2,
		"circle": 2, "magic": 2, "invisible": 4,
	} {
		if got := syllablesOf(word); got != want {
			t.Errorf("%s has %d syllables, want %d", word, got, want)
		}
	}
	if got := grade(measureText("The cat sat on the mat.")); got < -1.46 || got > -1.44 {
		t.Errorf("the cat reads at %.2f, want -1.45", got)
	}
}

// Every text that beginners read is easy to read, in both dialects.
func TestTextsAreEasyToRead(t *testing.T) {
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		texts := map[string]string{}
		for _, l := range lesson.All(d) {
			parts := append([]string{l.What, l.Use, l.Caution}, l.Mistakes...)
			for _, s := range l.Steps {
				parts = append(parts, s.Do)
			}
			texts["lesson "+string(l.Stitch)] = strings.Join(parts, " ")
		}
		for _, e := range term.All() {
			texts["term "+e.ID] = term.Say(e.Means+" "+e.Beware, d)
		}
		for _, p := range trouble.All(d) {
			parts := []string{p.Symptom + ".", p.Caution}
			for _, c := range p.Checks {
				parts = append(parts, c.Cause, c.Test, c.Fix)
			}
			texts["trouble "+p.ID] = strings.Join(parts, " ")
		}
		for _, g := range guide.All(d) {
			parts := []string{g.Last}
			for _, step := range g.Steps {
				parts = append(parts, step.Do)
			}
			texts["guide "+g.ID] = strings.Join(parts, " ")
		}
		sentences, words, syllables := 0, 0, 0
		for name, text := range texts {
			s, w, y := measureText(text)
			sentences, words, syllables = sentences+s, words+w, syllables+y
			if g := grade(s, w, y); g > mostGrade {
				t.Errorf("%s in %v terms reads at grade %.1f, more than %.0f: %s", name, d, g, mostGrade, text)
			}
		}
		t.Logf("%v terms: %d texts, %d words, grade %.1f in all", d, len(texts), words, grade(sentences, words, syllables))
	}
}
