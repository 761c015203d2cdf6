package notation

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/stitch"
)

// plainTerms are the words besides stitches that US and UK texts put
// differently. "Sk" is understood in both and stays.
// Source: term pairs of the usual US–UK tables; common practice.
var plainTerms = [][2]string{
	{"skip", "miss"}, {"skips", "misses"}, {"skipped", "missed"}, {"skipping", "missing"},
	{"gauge", "tension"}, {"yarn over", "yarn round hook"}, {"yo", "yrh"},
}

// Translate puts a text from one dialect into another: only the words that
// differ are replaced, where they stand, in rows, notes and definitions alike,
// so that the writer's layout stays. TermsUnsaid as from takes what the text
// seems to be in. The problems say where a text mixes both, or that its terms
// can't be told.
func Translate(text string, from, to Terms) (string, []Problem) {
	tokens := lex(text)
	t := &translator{text: text, tokens: tokens, from: from, to: to}
	t.choose()
	if t.from == t.to || t.to == TermsUnsaid {
		return text, t.problems
	}
	t.words = dialectWords()[t.from]
	t.vocabulary = vocabularies()[t.from]
	copied := 0
	for t.i < len(tokens) && tokens[t.i].kind != kindEnd {
		at := t.i
		word, last, ok := t.next()
		if !ok {
			t.i = max(t.i, at+1)
			continue
		}
		t.out.WriteString(text[copied:tokens[at].from.off])
		t.out.WriteString(word)
		copied = int(tokens[last].to.off)
		t.i = last + 1
	}
	t.out.WriteString(text[copied:])
	return t.out.String(), t.problems
}

// translator goes over the tokens of a text once.
type translator struct {
	text       string
	tokens     []token
	from, to   Terms
	words      dialect
	vocabulary *vocabulary
	i          int
	out        strings.Builder
	problems   []Problem
	foreign    map[string]bool // words of another dialect told already
}

// choose settles the dialect of the text and says what is doubtful about it.
func (t *translator) choose() {
	d := detect(t.text, t.tokens)
	at := Span{t.tokens[0].from.pos(), t.tokens[0].from.pos()}
	if len(d.Evidence) > 0 {
		at = d.Evidence[0].Span
	}
	if d.Mixed {
		t.problems = append(t.problems, Problem{Span: at, Text: t.text[at.From.Offset:at.To.Offset], Message: mixedTerms(d)})
	}
	if t.from != TermsUnsaid {
		return
	}
	t.from = d.Terms
	if !d.Certain && !d.Mixed {
		t.problems = append(t.problems, Problem{Span: at, Message: unsureTerms(d.Terms)})
	}
}

func mixedTerms(d Detection) string {
	var us, uk string
	for _, e := range d.Evidence {
		if e.Strong && e.Terms == US && us == "" {
			us = e.Word
		}
		if e.Strong && e.Terms == UK && uk == "" {
			uk = e.Word
		}
	}
	return fmt.Sprintf("the text mixes terms: %q is US and %q is UK", us, uk)
}

func unsureTerms(read Terms) string {
	return fmt.Sprintf("nothing tells for certain which terms the text is in; it is read as %s", read)
}

// next translates the phrase at the current token. Not ok: nothing to replace;
// the translator may have moved past a phrase that stays.
func (t *translator) next() (word string, last int, ok bool) {
	tok := t.tokens[t.i]
	if tok.kind != kindWord {
		return "", 0, false
	}
	if word, last, ok := t.statement(); ok {
		return word, last, true
	}
	for n := t.words.longest[tok.low]; n >= 1; n-- {
		last, key := t.phrase(n)
		p, known := t.words.phrases[key]
		if !known {
			continue
		}
		if p.plain == "" && n == 1 && !t.isStitch(tok.low) {
			return "", 0, false
		}
		word, changed := t.render(p, key)
		if !changed {
			t.i = last + 1
			return "", 0, false
		}
		return likeCase(t.text[tok.from.off:t.tokens[last].to.off], word), last, true
	}
	return t.compound()
}

// phrase joins the n words from the current token, over hyphens and full stops
// of short words.
func (t *translator) phrase(n int) (last int, key string) {
	p := phraser{tokens: t.tokens, i: t.i}
	last, ok := p.phrase(n)
	if !ok {
		return 0, ""
	}
	return last, string(p.key)
}

// isStitch reports whether a single word that is plain English too names a
// stitch here: "1 double in next", not "double strand".
func (t *translator) isStitch(low string) bool {
	switch low {
	case "single", "double", "treble", "singles", "doubles", "trebles":
	default:
		return true
	}
	next := t.tokens[t.i+1]
	if low == "single" && strings.HasPrefix(next.low, "st") {
		return false // "every single stitch"
	}
	if next.kind == kindWord {
		switch next.low {
		case "in", "into", "on", "over", "to", "from", "around", "across", "under", "between", "and", "of", "then", "st", "sts", "stitch", "stitches":
		default:
			return false
		}
	}
	if t.i == 0 {
		return false
	}
	before := t.tokens[t.i-1]
	switch before.low {
	case "a", "each", "next", "last", "first", "same", "in", "every", "another", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten":
		return true
	}
	return before.kind == kindNumber || before.kind == kindOrdinal
}

// render writes a phrase in the other dialect, in the same form.
func (t *translator) render(p phrase, key string) (string, bool) {
	if p.plain != "" {
		return p.plain, (t.from == US) != (t.to == US)
	}
	if other, known := dialectWords()[t.to].phrases[key]; known && other.id == p.id {
		return "", false // the word means the same there
	}
	s, found := stitch.Lookup(p.id)
	if !found {
		return "", false
	}
	if i := strings.LastIndexByte(key, ' '); i > 0 {
		// "reverse sc", "front post dc": only the abbreviation differs
		if last, known := t.words.phrases[key[i+1:]]; known && last.form == abbreviated && last.plain == "" {
			if word, changed := t.render(last, key[i+1:]); changed && t.means(key[:i+1]+word, p.id) {
				return key[:i+1] + word, true
			}
		}
	}
	w := s.In(stitch.Dialect(t.to))
	word := w.Short()
	switch p.form {
	case named:
		word = strings.TrimSuffix(w.Name, " crochet")
	case crocheted:
		word = w.Name
		if !strings.HasSuffix(word, "crochet") {
			word += " crochet"
		}
	}
	if p.plural {
		word = plural(word)
	}
	return word, true
}

// means reports whether words name the stitch in the terms translated to.
func (t *translator) means(words string, id stitch.ID) bool {
	other, known := dialectWords()[t.to].phrases[words]
	return known && other.id == id
}

// compound translates a stitch within a word: "hdc2tog", "scdec".
func (t *translator) compound() (string, int, bool) {
	tok := t.tokens[t.i]
	e, ok := t.vocabulary.compound(tok.low)
	if !ok || e.foreign != TermsUnsaid {
		t.checkForeign(e, ok)
		return "", 0, false
	}
	for n := len(tok.low); n > 1; n-- {
		p, known := t.words.phrases[tok.low[:n]]
		if !known {
			continue
		}
		word, changed := t.render(p, tok.low[:n])
		if !changed {
			return "", 0, false
		}
		src := t.text[tok.from.off:tok.to.off]
		return likeCase(src[:n], word) + src[n:], t.i, true
	}
	return "", 0, false
}

// checkForeign says once of each word that it belongs to another dialect.
func (t *translator) checkForeign(e entry, ok bool) {
	tok := t.tokens[t.i]
	if !ok {
		e, ok = t.vocabulary.entries[tok.low]
	}
	if !ok || e.class != cStitch || e.foreign == TermsUnsaid || t.foreign[tok.low] {
		return
	}
	if t.foreign == nil {
		t.foreign = map[string]bool{}
	}
	t.foreign[tok.low] = true
	word := t.text[tok.from.off:tok.to.off]
	err := &DialectError{Word: word, Has: []Terms{e.foreign}, Tried: t.from}
	t.problems = append(t.problems, Problem{Span: tok.span(), Text: word, Message: err.Error()})
}

// statement translates "US terms" and "British terminology".
func (t *translator) statement() (string, int, bool) {
	tok, next := t.tokens[t.i], t.tokens[t.i+1]
	switch next.low {
	case "terms", "terminology", "term", "crochet", "abbreviations", "notation":
	default:
		return "", 0, false
	}
	names := map[string]string{"us": "UK", "american": "British"}
	if t.to == US {
		names = map[string]string{"uk": "US", "british": "American"}
	}
	word, ok := names[tok.low]
	if !ok || t.from == Older || t.to == Older {
		return "", 0, false
	}
	return word, t.i, true
}

// likeCase gives a word the letter case of another: "Sc" makes "Dc", "SC" "DC",
// "Single Crochet" "Double Crochet". A mixed case of abbreviations ("FPdc") is
// the dictionary's own.
func likeCase(like, word string) string {
	upper, lower, initials := 0, 0, 0
	start := true
	for _, c := range like {
		switch {
		case unicode.IsUpper(c):
			upper++
			if start {
				initials++
			}
		case unicode.IsLower(c):
			lower++
		}
		start = !unicode.IsLetter(c) && !unicode.IsDigit(c)
	}
	first, _ := utf8.DecodeRuneInString(like)
	switch {
	case upper == 0:
		return strings.ToLower(word)
	case lower == 0 && upper > 1:
		return strings.ToUpper(word)
	case initials > 1 && upper == initials:
		words := strings.Fields(word)
		for i := range words {
			words[i] = capital(words[i])
		}
		return strings.Join(words, " ")
	case upper == 1 && unicode.IsUpper(first):
		return capital(strings.ToLower(word))
	}
	return word
}
