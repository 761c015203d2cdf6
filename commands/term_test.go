package commands

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"unicode"

	"countwright/calc/lookup"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
)

// about lists what an answer is about: "stitch dc", "term gauge".
func about(t testing.TB, r reply.Reply) []string {
	t.Helper()
	var all []string
	answers, _ := figureOf(t, r, "answers").([]any)
	for _, a := range answers {
		m := a.(map[string]any)
		for _, kind := range []string{"stitch", "term"} {
			if id, ok := m[kind]; ok {
				all = append(all, fmt.Sprintf("%s %v", kind, id))
			}
		}
	}
	return all
}

// TestEveryWordIsExplained asks for every word, abbreviation and sign of the
// glossary and of the stitch dictionary: the entry is among the answers.
func TestEveryWordIsExplained(t *testing.T) {
	ask := func(word string, terms notation.Terms, want string) {
		line := "/term word:" + quoted(word) + " level:maker"
		r := tapped(t, line, terms)
		if r.Error != nil {
			t.Errorf("%s: %+v", line, *r.Error)
			return
		}
		checkReply(t, line, r)
		got := about(t, r)
		for _, a := range got {
			if a == want {
				return
			}
		}
		t.Errorf("%s is about %q, want %s among them", line, got, want)
	}
	for _, e := range term.All() {
		for _, w := range append(append([]string{e.US}, e.Abbr...), e.Signs...) {
			ask(w, notation.US, "term "+e.ID)
		}
		ask(e.UK, notation.UK, "term "+e.ID)
	}
	for _, s := range stitch.All() {
		for _, w := range append([]string{s.US.Name}, s.US.Abbr...) {
			ask(w, notation.US, "stitch "+string(s.ID))
		}
		for _, w := range append([]string{s.UK.Name}, s.UK.Abbr...) {
			ask(w, notation.UK, "stitch "+string(s.ID))
		}
	}
}

// TestFalseFriends: the words that US and UK patterns use for different
// stitches are pointed out in either.
//
// Source: the conversion charts of the Craft Yarn Council and of UK handbooks,
// from memory.
func TestFalseFriends(t *testing.T) {
	for _, word := range []string{"dc", "tr", "dtr", "trtr", "double crochet", "treble", "fpdc", "dc2tog", "edc"} {
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			r := tapped(t, "/term word:"+word, terms)
			text, _ := reply.Plain(r)
			if figureOf(t, r, "false_friend") != true || !strings.Contains(flat(text), "is a false friend: in "+termsName(notation.US+notation.UK-terms)+" patterns") {
				t.Errorf("%s in %v terms:\n%s", word, terms, text)
			}
		}
	}
	for _, c := range []struct{ word, terms, says string }{
		{"skip", "UK", "“skip” is the US word. In UK terms it is miss."},
		{"miss", "US", "“miss” is the UK word. In US terms it is skip."},
		{"gauge", "UK", "“gauge” is the US word. In UK terms it is tension."},
		{"tension", "US", "In US talk tension is how tightly you hold the yarn"},
		{"yrh", "US", "UK patterns say yarn round hook"},
		{"sc", "UK", "“sc” is a US name. In UK terms it is double crochet (dc)."},
		{"htr", "US", "“htr” is a UK name. In US terms it is half double crochet (hdc)."},
	} {
		text, _ := reply.Plain(tapped(t, "/term word:"+c.word, termsNamed(c.terms)))
		if !strings.Contains(flat(text), c.says) {
			t.Errorf("%s in %s terms does not say %q:\n%s", c.word, c.terms, c.says, text)
		}
	}
}

// TestHousePatternsAreExplained: every abbreviation of every row that house
// patterns print is explained, in either terms.
func TestHousePatternsAreExplained(t *testing.T) {
	asked := map[string]bool{}
	for _, p := range pattern.House() {
		for _, piece := range p.Pieces {
			for _, s := range piece.Sections {
				for _, id := range append([]stitch.ID{s.Stitch, p.Stitch}, s.Repeat...) {
					st, ok := stitch.Lookup(id)
					if !ok {
						continue
					}
					for _, terms := range []notation.Terms{notation.US, notation.UK} {
						word := st.In(stitch.Dialect(terms)).Short()
						if asked[termsName(terms)+word] {
							continue
						}
						asked[termsName(terms)+word] = true
						r := tapped(t, "/term word:"+quoted(word), terms)
						if got := about(t, r); len(got) == 0 || got[0] != "stitch "+string(id) {
							t.Errorf("%s in %v terms is explained as %q, want %s", word, terms, got, id)
						}
					}
				}
			}
		}
	}
	if len(asked) < 6 {
		t.Fatalf("house patterns use %d abbreviations", len(asked))
	}
}

// TestWordByWord explains a few words of a row one by one.
func TestWordByWord(t *testing.T) {
	for asked, want := range map[string]string{
		"hdc2tog blo":                   "stitch hdc2tog, stitch blo",
		"sk next st":                    "term skip, term next",
		"rep from * to end":             "term repeat from *",
		"2dc":                           "stitch dc, stitch sc",
		"sc in blo":                     "stitch sc, stitch blo",
		"2 dc in each st":               "stitch dc, term each",
		"fpdc, bpdc":                    "stitch fpdc, stitch bpdc",
		"sc inc":                        "stitch sc inc, stitch sl st inc",
		"what does hdc2tog in blo mean": "", // a question: no telling words enough
	} {
		r := tapped(t, "/term word:"+quoted(asked), notation.US)
		got := strings.Join(about(t, r), ", ")
		if want != "" && got != want {
			t.Errorf("%q is explained as %q, want %q", asked, got, want)
		}
		checkReply(t, asked, r)
	}
}

// TestTermButtonsAnswer: every button of an answer leads on.
func TestTermButtonsAnswer(t *testing.T) {
	for _, word := range []string{"dc", "gauge", "*", "V", "yarn over", "hdc2tog blo", "Lm", "amigurumi", "tensoin", "PhD thesis"} {
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			r := tapped(t, "/term word:"+quoted(word), terms)
			for label, line := range buttons(r) {
				got := tapped(t, line, notation.US+notation.UK-terms)
				if got.Error != nil {
					t.Errorf("%s in %v terms: %q (%s): %+v", word, terms, label, line, *got.Error)
				}
			}
		}
	}
}

func TestTermSuggestions(t *testing.T) {
	set := readers[notation.US]()
	call := asker
	call.Path = "term"
	for typed, want := range map[string]string{"": "yarn over", "tens": "gauge", "miss": "skip", "stabc": "dc", "frog": "frog", "*": "star", "double c": "dc"} {
		offers := set.Complete(context.Background(), call, "word", typed)
		if len(offers) == 0 || len(offers) > 25 || offers[0].Value != want {
			t.Errorf("%q offers %v, want %s first", typed, offers, want)
		}
		for _, o := range offers {
			if len([]rune(o.Label)) > 100 || o.Label == "" || strings.ContainsAny(o.Label, "{}") {
				t.Errorf("%q offers %+v", typed, o)
			}
			if r := set.RunLine(context.Background(), asker, "/term word:"+quoted(o.Value)); r.Error != nil {
				t.Errorf("the offer %+v: %+v", o, r.Error)
			}
		}
	}
}

// No meaning that is shown keeps a brace, whatever the terms.
func TestNoBracesAreShown(t *testing.T) {
	for _, e := range term.All() {
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			r := Request{Settings: Settings{Terms: terms}}
			got := meaning(r, term.Answer{Term: e})
			if strings.ContainsAny(got, "{}") || got == "" || !unicode.IsPunct(rune(got[len(got)-1])) {
				t.Errorf("%s in %v terms means %q", e.ID, terms, got)
			}
			if e.Stitch != "" {
				if _, ok := stitch.Lookup(e.Stitch); !ok {
					t.Errorf("%s stands for no stitch", e.ID)
				}
			}
		}
	}
}

func TestTagName(t *testing.T) {
	for _, c := range []struct{ key, tag, want string }{
		{"dc", "de", "German"}, {"dc", "ja", "Japanese"}, {"dc", "US", "US"}, {"dc", "older", "in books before about 1930"}, {"gauge", "fr", "French"},
	} {
		if got := tagName(lookup.Word{Key: c.key, Tag: c.tag}); string(got) != c.want {
			t.Errorf("%s of %s is %q, want %q", c.tag, c.key, got, c.want)
		}
	}
}
