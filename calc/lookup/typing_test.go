package lookup

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// colours is a small dictionary in three languages.
var colours = New([]Word{
	{"yellow", "yellow", "en"},
	{"yellow", "gelb", "de"},
	{"yellow", "jaune", "fr"},
	{"blue", "blue", "en"},
	{"blue", "blau", "de"},
	{"blue", "bleu", "fr"},
	{"green", "green", "en"},
	{"green", "grün", "de"},
	{"green", "vert", "fr"},
	{"light blue", "light blue", "en"},
	{"light blue", "hellblau", "de"},
	{"light blue", "bleu clair", "fr"},
	{"dark green", "dark green", "en"},
	{"dark green", "dunkelgrün", "de"},
	{"dark green", "vert foncé", "fr"},
	{"orange", "orange", "en"},
	{"orange", "orange", "de"},
	{"orange", "オレンジ", "ja"},
	{"turquoise", "turquoise", "en"},
	{"turquoise", "türkis", "de"},
	{"turquoise", "turquoise blue green", "en"},
	{"white", "white", "en"},
	{"white", "weiß", "de"},
	{"white", "白い", "ja"},
})

func TestOneSlip(t *testing.T) {
	for _, c := range []struct{ ask, want, slip string }{
		{"yelow", "yellow", "a letter too few"},
		{"yelllow", "yellow", "a letter too many"},
		{"yallow", "yellow", "a wrong letter"},
		{"yelolw", "yellow", "two swapped"},
		{"geeen", "green", "a wrong letter"},
		{"gren", "green", "too few in a short word"},
		{"ornage", "orange", "two swapped"},
		{"orrange", "orange", "too many"},
		{"turqoise", "turquoise", "too few"},
		{"turqouise", "turquoise", "swapped"},
		{"tourquise", "turquoise", "two slips in a long word"},
		{"lihgt blue", "light blue", "swapped in the first of two words"},
		{"light bleu", "light blue", "another language in the second"},
		{"drak gren", "dark green", "a slip in each word"},
		{"darkgreen", "dark green", "no space"},
		{"dakrgreen", "dark green", "no space and swapped"},
	} {
		got := colours.Find(c.ask, 3, "en")
		if len(got) == 0 || got[0].Key != c.want {
			t.Errorf("%q (%s) finds %v, want %s", c.ask, c.slip, keys(got), c.want)
		}
	}
}

func TestShortWordsTakeNoSlips(t *testing.T) {
	ix := New([]Word{{"sc", "sc", ""}, {"dc", "dc", ""}, {"htr", "htr", ""}})
	for _, ask := range []string{"cs", "dx", "xc", "hrt", "htx"} {
		if got := ix.Find(ask, 5); len(got) > 0 {
			t.Errorf("%q finds %v: an abbreviation is not guessed", ask, keys(got))
		}
	}
}

func TestAccentsAndScripts(t *testing.T) {
	for ask, want := range map[string]string{
		"grun": "green", "gruen": "green", "GRÜN": "green", "weiss": "white", "weiß": "white", "tuerkis": "turquoise",
		"turkis": "turquoise", "vert fonce": "dark green", "オレンジ": "orange", "おれんじ": "orange", "白": "white", "ＢＬＵＥ": "blue",
	} {
		got := colours.Find(ask, 1)
		if len(got) == 0 || got[0].Key != want {
			t.Errorf("%q finds %v, want %s", ask, keys(got), want)
		}
	}
}

func TestWordsInAnyOrder(t *testing.T) {
	for _, ask := range []string{"blue light", "blue li", "bl lig"} {
		if got := colours.Find(ask, 1, "en"); len(got) == 0 || got[0].Key != "light blue" || got[0].How != Within {
			t.Errorf("%q finds %v", ask, got)
		}
	}
}

func TestPreferenceDecides(t *testing.T) {
	ix := New([]Word{{"one", "double", "UK"}, {"two", "double", "US"}, {"three", "doubles", "older"}})
	for prefer, want := range map[string][]string{"US": {"two", "one", "three"}, "UK": {"one", "two", "three"}} {
		if got := keys(ix.Find("double", 3, prefer)); !slices.Equal(got, want) {
			t.Errorf("double in %s finds %q, want %q", prefer, got, want)
		}
	}
	if got := ix.Find("double", 1, "older", "UK"); got[0].Key != "one" {
		t.Errorf("an exact name goes before a preferred longer one: %v", got)
	}
}

func TestAskingIsDropped(t *testing.T) {
	for ask, want := range map[string]string{
		"what is green": "green", "What does “yellow” mean?": "yellow", "how do I make light blue": "light blue", "what": "what", "": "", "is it": "is it",
	} {
		if got := Plain(ask); got != want {
			t.Errorf("Plain(%q) = %q, want %q", ask, got, want)
		}
	}
}

func TestStems(t *testing.T) {
	for word, want := range map[string]string{
		"ruffles": "ruffl", "ruffling": "ruffl", "ruffled": "ruffl", "curls": "curl", "curl": "curl", "wavy": "wav", "waves": "wav",
		"is": "is", "as": "as", "ring": "ring", "hole": "hol", "holes": "hol",
	} {
		if got := stem(word); got != want {
			t.Errorf("stem(%q) = %q, want %q", word, got, want)
		}
	}
}

// Whatever is asked, answers are distinct, within the limit, best first, and
// the same each time.
func TestFindKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ask := rapid.StringMatching(`[a-zü ]{0,20}`).Draw(t, "ask")
		limit := rapid.IntRange(0, 6).Draw(t, "limit")
		got := colours.Find(ask, limit, "en", "de")
		if len(got) > limit {
			t.Fatalf("%d answers for a limit of %d", len(got), limit)
		}
		seen := map[string]bool{}
		for i, m := range got {
			if seen[m.Key] {
				t.Fatalf("%s stands twice", m.Key)
			}
			seen[m.Key] = true
			if i > 0 && m.How < got[i-1].How {
				t.Fatalf("%v before %v", got[i-1], m)
			}
		}
		if again := colours.Find(ask, limit, "en", "de"); !slices.Equal(keys(got), keys(again)) {
			t.Fatalf("%q finds %q and %q", ask, keys(got), keys(again))
		}
	})
}

// One letter taken out of a word of four or more still finds it.
func TestALetterMissing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(colours.phrases).Draw(t, "name")
		if len(p.runes) < 5 || p.words > 1 {
			return
		}
		i := rapid.IntRange(1, len(p.runes)-1).Draw(t, "at")
		ask := string(slices.Delete(slices.Clone(p.runes), i, i+1))
		if found := colours.Find(ask, 20); !slices.Contains(keys(found), p.Key) && !slices.ContainsFunc(found, func(m Match) bool { return m.How < Near }) {
			t.Fatalf("%q does not find %q", ask, p.Text)
		}
	})
}

func TestLongQuestionsAreCut(t *testing.T) {
	if got := colours.Find(strings.Repeat("zzz ", 5000)+"green", 3); len(got) > 0 {
		t.Errorf("a word far behind the limit is looked at: %v", got)
	}
	if got := colours.Find("green "+strings.Repeat("zzz ", 5000), 3); len(got) == 0 || got[0].Key != "green" {
		t.Errorf("the first words of a long question are not looked at: %v", got)
	}
}

func TestEmptyNamesAreLeftOut(t *testing.T) {
	ix := New([]Word{{"a", "", ""}, {"b", "!?", ""}, {"c", "c", ""}})
	if len(ix.phrases) != 1 || ix.Find("c", 3)[0].Key != "c" {
		t.Errorf("%d phrases", len(ix.phrases))
	}
}
