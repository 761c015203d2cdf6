package notation

import (
	"slices"
	"strings"
)

// Detection is what a text's words say about its dialect.
type Detection struct {
	Terms    Terms // the likeliest dialect; US where nothing tells
	Certain  bool  // a word that only this dialect has, and none of another
	Mixed    bool  // words that only one dialect has stand beside words that only another has
	Evidence []Evidence
	fabric   bool // the names of the Work-Book: "16 s.c.", "5 l"
}

// Evidence is one word that tells dialects apart. Each word is listed once,
// where it first stands.
type Evidence struct {
	Span
	Word   string
	Terms  Terms
	Strong bool // only this dialect has the word
}

// telling are the words that tell dialects apart.
// Source: "sc" never occurs in UK text; htr, miss and tension suggest UK; the
// Craft Yarn Council's abbreviations for the rest of the US words.
var telling = map[string]Evidence{
	"sc": {Terms: US, Strong: true}, "hdc": {Terms: US, Strong: true}, "esc": {Terms: US, Strong: true}, "fsc": {Terms: US, Strong: true},
	"ehdc": {Terms: US, Strong: true}, "fhdc": {Terms: US, Strong: true}, "fpsc": {Terms: US, Strong: true}, "bpsc": {Terms: US, Strong: true},
	"fphdc": {Terms: US, Strong: true}, "bphdc": {Terms: US, Strong: true}, "rsc": {Terms: US, Strong: true},
	"half double": {Terms: US, Strong: true}, "half double crochet": {Terms: US, Strong: true}, "single crochet": {Terms: US},
	"s d c": {Terms: US, Strong: true}, "tr c": {Terms: US}, "triple crochet": {Terms: US}, "front post single": {Terms: US, Strong: true},
	"gauge": {Terms: US}, "skip": {Terms: US}, "sk": {Terms: US}, "yo": {Terms: US}, "yarn over": {Terms: US}, "worsted": {Terms: US},
	"htr": {Terms: UK, Strong: true}, "fphtr": {Terms: UK, Strong: true}, "bphtr": {Terms: UK, Strong: true}, "ehtr": {Terms: UK, Strong: true},
	"fhtr": {Terms: UK, Strong: true}, "half treble": {Terms: UK}, "half treble crochet": {Terms: UK}, "quintr": {Terms: UK, Strong: true},
	"htr2tog": {Terms: UK, Strong: true}, "miss": {Terms: UK}, "missing": {Terms: UK}, "tension": {Terms: UK}, "yrh": {Terms: UK}, "ss": {Terms: UK},
	"ttr":  {Terms: UK},
	"s c":  {Terms: Older},
	"t c":  {Terms: Older, Strong: true},
	"tc":   {Terms: Older},
	"dtc":  {Terms: Older},
	"wool": {Terms: UK},
}

// weighing collects evidence over the tokens of a text.
type weighing struct {
	text    string
	tokens  []token
	found   []Evidence
	seen    map[string]bool
	stated  Terms // "US terms" in so many words
	both    bool  // both are stated
	doubles int   // "a double in", where only the older dialect leaves "crochet" out
	trebles int
	score   [Older + 1]int
	strong  [Older + 1]int
	fabric  int            // "16 s.c.": single crochet as a fabric, which slip stitches never are
	chains  [Older + 1]int // turning chains that tell
}

// DetectTerms weighs the words of a text. It never fails: see Detection for
// what it can't tell.
func DetectTerms(text string) Detection { return detect(text, lex(text)) }

func detect(text string, tokens []token) Detection {
	w := &weighing{text: text, tokens: tokens, seen: map[string]bool{}}
	for i := range tokens {
		if tokens[i].kind == kindWord {
			w.weigh(i)
		}
	}
	return w.verdict()
}

// word returns the word n tokens on, past a hyphen or stop that is glued.
func (w *weighing) word(i int) (string, int) {
	for i < len(w.tokens) && !w.tokens[i].space && (w.tokens[i].kind == kindDash || w.tokens[i].kind == kindPeriod) {
		i++
	}
	if i >= len(w.tokens) || w.tokens[i].kind != kindWord || w.tokens[i].para {
		return "", i
	}
	return w.tokens[i].low, i
}

func (w *weighing) weigh(i int) {
	first := w.tokens[i].low
	second, j := w.word(i + 1)
	third, k := w.word(j + 1)
	if second == "" {
		third = ""
	}
	if first == "s" && second == "c" && i > 0 && w.tokens[i-1].kind == kindNumber && w.tokens[i-1].n > 2 {
		w.fabric++
	}
	w.statement(i, first, second)
	w.nouns(i, first, second)
	for _, try := range []struct {
		words string
		last  int
	}{{first + " " + second + " " + third, k}, {first + " " + second, j}, {first, i}} {
		if e, ok := telling[try.words]; ok && (try.last == i || second != "") {
			w.note(i, min(try.last, len(w.tokens)-1), try.words, e)
			return
		}
	}
	if stem := strings.TrimRight(strings.TrimSuffix(first, "tog"), "0123456789"); stem != first {
		if e, ok := telling[stem]; ok && e.Strong {
			w.note(i, i, first, e)
		}
	}
	w.turningChain(i, first)
}

// note records a word.
func (w *weighing) note(i, last int, words string, e Evidence) {
	// "s c" in the older dialect has "t c" for company; alone it is the US
	// spelling of the 1950s.
	if e.Strong {
		w.strong[e.Terms]++
		w.score[e.Terms] += 4
	} else {
		w.score[e.Terms]++
	}
	if w.seen[words] {
		return
	}
	w.seen[words] = true
	w.found = append(w.found, Evidence{Span: Span{w.tokens[i].from.pos(), w.tokens[last].to.pos()}, Word: words, Terms: e.Terms, Strong: e.Strong})
}

// statement reads "US terms", "written in UK terminology".
func (w *weighing) statement(i int, first, second string) {
	switch second {
	case "terms", "terminology", "crochet", "notation", "term", "abbreviations", "stitch", "english":
	default:
		return
	}
	terms := TermsUnsaid
	switch first {
	case "us", "american", "usa":
		terms = US
	case "uk", "british":
		terms = UK
	}
	if terms == TermsUnsaid {
		return
	}
	w.both = w.both || (w.stated != TermsUnsaid && w.stated != terms)
	w.stated = terms
	w.note(i, i+1, first+" "+second, Evidence{Terms: terms})
}

// nouns counts "double" and "treble" that no word of crochet follows.
func (w *weighing) nouns(i int, first, second string) {
	if before, _ := w.before(i); before == "half" || before == "short" || before == "post" || before == "extended" || before == "foundation" || before == "double" || before == "triple" {
		return
	}
	switch first {
	case "doubles":
		w.doubles += 2
	case "double":
		if second != "crochet" && second != "crochets" && second != "treble" && second != "trebles" && second != "triple" && second != "knitting" && second != "strand" && second != "chain" && second != "check" && second != "crocheted" && second != "magic" && second != "the" && second != "thickness" {
			w.doubles++
		}
	case "trebles":
		w.trebles += 2
	case "treble":
		if second != "crochet" {
			w.trebles++
		}
	}
}

func (w *weighing) before(i int) (string, int) {
	for i--; i >= 0 && w.tokens[i].kind == kindDash; i-- {
	}
	if i < 0 || w.tokens[i].kind != kindWord {
		return "", i
	}
	return w.tokens[i].low, i
}

// turningChain reads which stitch the text puts into which chain from the
// hook, or for which it counts a turning chain: "tr in 4th ch from hook" is
// UK, "dc in 4th ch from hook" is US.
// Source: the usual turning chains, in US terms sc 1, hdc 2, dc 3, tr 4.
func (w *weighing) turningChain(i int, first string) {
	if first != "dc" && first != "tr" {
		return
	}
	var into, chains int
	for j := i + 1; j < min(i+5, len(w.tokens)); j++ {
		if w.tokens[j].kind == kindOrdinal {
			into = w.tokens[j].n
		}
		if w.tokens[j].kind != kindOrdinal && w.tokens[j].kind != kindWord {
			break
		}
		if into > 0 && strings.HasPrefix(w.tokens[j].low, "ch") {
			w.chainEvidence(i, j, first, into-1)
			return
		}
	}
	counted := false
	for j := i - 1; j >= max(i-8, 0); j-- {
		counted = counted || strings.HasPrefix(w.tokens[j].low, "count")
		if counted && w.tokens[j].kind == kindNumber {
			chains = w.tokens[j].n
			if j > 0 && (strings.HasPrefix(w.tokens[j-1].low, "ch") || w.tokens[j-1].kind == kindDash) || strings.HasPrefix(w.tokens[j+1].low, "ch") {
				w.chainEvidence(i, i, first, chains)
			}
			return
		}
	}
}

func (w *weighing) chainEvidence(i, last int, word string, chains int) {
	terms := TermsUnsaid
	switch {
	case word == "dc" && chains == 3, word == "tr" && chains == 4:
		terms = US
	case word == "dc" && chains == 1, word == "tr" && chains == 3:
		terms = UK
	}
	if terms != TermsUnsaid {
		w.score[terms] += 2 // the word itself adds one more
		w.chains[terms]++
		w.note(i, last, word+" for "+numberWords[chains]+" chains", Evidence{Terms: terms})
	}
}

// verdict weighs all that was found.
func (w *weighing) verdict() Detection {
	d := Detection{Terms: US, Evidence: w.found}
	older := w.doubles*2 + w.trebles + w.strong[Older]*4
	modern := w.strong[US] + w.strong[UK]
	switch {
	case w.stated != TermsUnsaid && !w.both:
		d.Terms, d.Certain = w.stated, true
		other := US + UK - w.stated
		d.Mixed = w.strong[other] > 0
		d.Certain = !d.Mixed
		return d
	case w.fabric > 0 && w.fabric >= w.strong[Older] && w.doubles == 0 && modern == 0:
		d.fabric = true // "16 s.c.": the names of American texts, whatever the country
	case w.doubles+w.strong[Older] > 0 && older > modern*2 && (w.doubles+w.trebles > 1 || w.strong[Older] > 0):
		d.Terms = Older
		d.Certain = modern == 0 && older > 3
	case w.strong[US] > 0 && w.strong[UK] > 0:
		d.Mixed = true
		if w.strong[UK] > w.strong[US] {
			d.Terms = UK
		}
	case w.strong[US] > 0:
		d.Certain = true
	case w.strong[UK] > 0:
		d.Terms, d.Certain = UK, true
	case w.chains[US] > 0 && w.score[UK] == 0:
		d.Certain = true
	case w.chains[UK] > 0 && w.score[US] == 0:
		d.Terms, d.Certain = UK, true
	case w.score[UK] > w.score[US] || (w.trebles > 1 && w.score[US] == 0):
		d.Terms = UK
	}
	slices.SortStableFunc(d.Evidence, func(a, b Evidence) int { return a.From.Offset - b.From.Offset })
	return d
}
