package lookup

import (
	"strings"
	"unicode"
)

// accents maps letters of the languages of the dictionaries to plain ones.
// Letters that are written as two (ß, æ) become two.
var accents = func() map[rune]string {
	to := map[rune]string{}
	for plain, marked := range map[string]string{
		"a": "áàâäãåāăą", "c": "çćč", "d": "ďđð", "e": "éèêëēėęě", "g": "ğ", "i": "íìîïīıį", "l": "ł", "n": "ñńň",
		"o": "óòôöõøōő", "r": "ř", "s": "śšş", "t": "ťţ", "u": "úùûüūůűų", "y": "ýÿ", "z": "źżž",
		"ss": "ß", "ae": "æ", "oe": "œ", "th": "þ",
	} {
		for _, r := range marked {
			to[r] = plain
		}
	}
	return to
}()

// digraphs are the two-letter spellings of a keyboard without the letter.
var digraphs = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ø", "oe", "å", "aa")

// Fold brings a text to the form in which it is compared: lower case, no
// accents, ß as ss, full-width letters as plain ones, katakana as hiragana,
// and a single space for every run of other signs. Fold(Fold(s)) = Fold(s).
func Fold(s string) string {
	var b strings.Builder
	space := false
	for _, r := range s {
		switch {
		case r >= '！' && r <= '～': // full-width signs
			r -= '！' - '!'
		case r >= 'ァ' && r <= 'ヶ':
			r -= 'ァ' - 'ぁ'
		}
		r = unicode.ToLower(r)
		if r == '\'' || r == '’' || unicode.Is(unicode.Mn, r) {
			continue // "knitter's" and accents that stand alone
		}
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != 'ー' && r != '々' {
			space = b.Len() > 0
			continue
		}
		if space {
			b.WriteByte(' ')
			space = false
		}
		if plain, ok := accents[r]; ok {
			b.WriteString(plain)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// spellings returns the folded forms under which a text is entered: one, or
// two where a digraph spelling differs.
func spellings(s string) []string {
	one := Fold(s)
	two := Fold(digraphs.Replace(strings.ToLower(s)))
	if one == two {
		return []string{one}
	}
	return []string{one, two}
}

// stem takes an ending of English off a word, where three letters stay.
func stem(word string) string {
	for _, ending := range []string{"ing", "ed", "es", "s", "e", "y"} {
		if root, ok := strings.CutSuffix(word, ending); ok && len(root) >= 3 {
			return root
		}
	}
	return word
}
