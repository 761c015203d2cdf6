// Package lookup finds entries of a dictionary by what a person types: parts
// of words, words in any order, other languages, typing errors, whole
// questions.
package lookup

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Word is a name by which an entry can be found.
type Word struct {
	Key  string // the entry
	Text string // the name as it is shown
	Tag  string // the language or dialect of the name; may be empty
}

// How says how well a name answers a question.
type How uint8

// The grades, the best first.
const (
	Exact  How = iota // the whole name
	Begun             // the name begins so
	Within            // each word asked begins a word of the name
	Near              // the same with typing errors
	Partly            // some of the words asked, the telling ones
)

// Match is an entry found.
type Match struct {
	Word // the name that answered best
	How  How
	cost float64
}

// Index is a dictionary made ready for questions. It does not change and can
// be asked from several goroutines at once.
type Index struct {
	phrases []phrase
	words   []entryWord // distinct words, sorted
	keys    []string
}

// phrase is one spelling of a name.
type phrase struct {
	Word
	solid string // folded, without spaces
	runes []rune // of solid
	mask  uint64 // of its letters
	words int    // how many words it has
	key   int
}

// entryWord is a distinct word and where it stands.
type entryWord struct {
	text    string
	runes   []rune
	stem    string
	mask    uint64 // of its letters
	phrases []int32
	keys    []int32
	weight  float64 // the rarer among the entries, the more telling
}

// New makes an index of names. Names that fold to nothing are left out.
func New(names []Word) *Index {
	ix := &Index{}
	at := map[string]int{}
	keyAt := map[string]int{}
	for _, name := range names {
		key, known := keyAt[name.Key]
		if !known {
			key = len(ix.keys)
			keyAt[name.Key] = key
			ix.keys = append(ix.keys, name.Key)
		}
		for _, spelling := range spellings(name.Text) {
			parts := strings.Fields(spelling)
			if len(parts) == 0 {
				continue
			}
			solid := strings.Join(parts, "")
			for _, w := range parts {
				i, ok := at[w]
				if !ok {
					i = len(ix.words)
					at[w] = i
					ix.words = append(ix.words, entryWord{text: w, runes: []rune(w), stem: stem(w), mask: letters([]rune(w))})
				}
				ix.words[i].add(len(ix.phrases), key)
			}
			ix.phrases = append(ix.phrases, phrase{name, solid, []rune(solid), letters([]rune(solid)), len(parts), key})
		}
	}
	slices.SortFunc(ix.words, func(a, b entryWord) int { return strings.Compare(a.text, b.text) })
	for i := range ix.words {
		ix.words[i].weight = math.Log(1 + float64(len(ix.keys))/float64(len(ix.words[i].keys)))
	}
	return ix
}

// add notes that the word stands in a phrase of an entry.
func (w *entryWord) add(phrase, key int) {
	if n := len(w.phrases); n == 0 || w.phrases[n-1] != int32(phrase) {
		w.phrases = append(w.phrases, int32(phrase))
	}
	if !slices.Contains(w.keys, int32(key)) {
		w.keys = append(w.keys, int32(key))
	}
}

// longestQuestion is how many words of a question are looked at.
const longestQuestion = 40

// Find returns up to limit entries for a question, the best first and each
// entry once. Of answers about as good those in the preferred tags come first,
// in the order of the tags. An empty question finds nothing.
//
// It looks for names first, then for names with typing errors (one from four
// letters on, two from six on), then for entries that share the telling
// words of a longer question.
func (ix *Index) Find(question string, limit int, prefer ...string) []Match {
	parts := strings.Fields(Fold(question))
	if len(parts) == 0 || limit < 1 {
		return nil
	}
	parts = parts[:min(len(parts), longestQuestion)]
	found := ix.begun(strings.Join(parts, ""))
	found = append(found, ix.within(parts, false)...)
	if len(found) == 0 {
		found = append(ix.within(parts, true), ix.misspelt([]rune(strings.Join(parts, "")))...)
	}
	if asked := strings.Join(parts, " "); len(found) == 0 && Plain(asked) != asked {
		return ix.Find(Plain(asked), limit, prefer...)
	}
	if len(found) == 0 {
		found = ix.partly(parts)
	}
	return best(found, limit, prefer)
}

// asking are words of a question that name nothing.
var asking = strings.Fields(`a an the i my me we you it its is are was be do does did dont doesnt can cant could should would will how what whats
	why where when which who mean means meaning stand stands for to of please help explain make making work tell about know there this that
	called say said in on at with and or so too very keep keeps get gets getting got have has`)

// Plain drops from a question the words of asking: "what does sk mean" is
// "sk". The rest is folded; a question of nothing else stays whole.
func Plain(question string) string {
	parts := strings.Fields(Fold(question))
	rest := slices.DeleteFunc(slices.Clone(parts), func(w string) bool { return slices.Contains(asking, w) })
	if len(rest) == 0 {
		rest = parts
	}
	return strings.Join(rest, " ")
}

// Exact returns the entries that have the whole question as a name, in the
// order of Find. It mends nothing and costs little.
func (ix *Index) Exact(question string, prefer ...string) []Match {
	solid := strings.ReplaceAll(Fold(question), " ", "")
	if solid == "" {
		return nil
	}
	found := slices.DeleteFunc(ix.begun(solid), func(m Match) bool { return m.How != Exact })
	return best(found, len(ix.keys), prefer)
}

// best sorts matches and keeps the best of each entry.
func best(found []Match, limit int, prefer []string) []Match {
	for i := range found {
		tag := slices.Index(prefer, found[i].Tag)
		if tag < 0 {
			tag = len(prefer)
		}
		found[i].cost += 0.3 * float64(tag)
	}
	slices.SortStableFunc(found, func(a, b Match) int {
		return cmp.Or(cmp.Compare(a.How, b.How), cmp.Compare(a.cost, b.cost))
	})
	seen := make(map[string]bool, limit)
	var out []Match
	for _, m := range found {
		if !seen[m.Key] {
			seen[m.Key] = true
			if out = append(out, m); len(out) == limit {
				break
			}
		}
	}
	return out
}

// begun finds names that are or begin with the question, spaces aside.
func (ix *Index) begun(solid string) []Match {
	var found []Match
	for i := range ix.phrases {
		p := &ix.phrases[i]
		if !strings.HasPrefix(p.solid, solid) {
			continue
		}
		how := Begun
		if len(p.solid) == len(solid) {
			how = Exact
		}
		found = append(found, Match{p.Word, how, float64(len(p.solid)-len(solid)) / 10})
	}
	return found
}
