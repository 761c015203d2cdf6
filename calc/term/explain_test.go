package term

import (
	"fmt"
	"strings"
	"testing"

	"countwright/calc/lookup"
	"countwright/calc/stitch"
)

// name says an answer in one word: a stitch's ID or "~" and a term's.
func name(a Answer) string {
	if a.Stitch != "" {
		return string(a.Stitch)
	}
	return "~" + a.Term.ID
}

// Source of the list: Craft Yarn Council master abbreviations (Standards &
// Guidelines, pp. 1-2), from memory.
func TestEveryListedAbbreviationIsExplained(t *testing.T) {
	list := map[string]string{
		"alt": "~alternate", "approx": "~approximately", "beg": "~beginning", "bet": "~between", "BL": "blo", "BLO": "blo",
		"bo": "bobble", "BP": "~back post", "BPdc": "bpdc", "BPdtr": "bpdtr", "BPhdc": "bphdc", "BPsc": "bpsc", "BPtr": "bptr",
		"CA": "~color A", "CB": "~color A", "CC": "~contrasting color", "ch": "ch", "ch-": "ch", "ch-sp": "~chain space",
		"CL": "cluster", "cont": "~continue", "dc": "dc", "dc2tog": "dc2tog", "dec": "dec", "dtr": "dtr", "edc": "edc",
		"ehdc": "ehdc", "esc": "esc", "etr": "etr", "FL": "flo", "FLO": "flo", "foll": "~following", "FP": "~front post",
		"FPdc": "fpdc", "FPdtr": "fpdtr", "FPhdc": "fphdc", "FPsc": "fpsc", "FPtr": "fptr", "hdc": "hdc", "hdc2tog": "hdc2tog",
		"inc": "inc", "lp": "~loop", "m": "~stitch marker", "MC": "~main color", "pat": "~pattern", "patt": "~pattern",
		"pc": "popcorn", "pm": "~place marker", "prev": "~previous", "ps": "puff", "puff": "puff", "rem": "~remaining",
		"rep": "~repeat", "rnd": "~round", "RS": "~right side", "sc": "sc", "sc2tog": "sc2tog", "sh": "shell", "sk": "~skip",
		"sl st": "sl st", "sm": "~move marker", "sp": "~space", "st": "~stitch", "tbl": "blo", "tch": "~turning chain",
		"t-ch": "~turning chain", "tog": "~together", "tr": "tr", "tr2tog": "tr2tog", "trtr": "trtr", "WS": "~wrong side",
		"yd": "~yard", "yo": "~yarn over", "yoh": "~yarn over", "tss": "tss", "tks": "tks", "tps": "tps", "tfs": "tfs",
	}
	for abbr, want := range list {
		got := Explain(abbr, stitch.US, 3)
		if len(got) == 0 || name(got[0]) != want {
			t.Errorf("%s is explained as %v, want %s first", abbr, got, want)
		}
	}
}

func TestExplain(t *testing.T) {
	for _, c := range []struct {
		ask  string
		d    stitch.Dialect
		want string
	}{
		{"dc", stitch.US, "dc"},
		{"dc", stitch.UK, "sc"},
		{"tr", stitch.UK, "dc"},
		{"htr", stitch.US, "hdc"},
		{"miss", stitch.US, "~skip"},
		{"tension", stitch.UK, "~gauge"},
		{"yrh", stitch.UK, "~yarn over"},
		{"*", stitch.US, "~star"},
		{"**", stitch.US, "~double star"},
		{"[ ]", stitch.US, "~square brackets"},
		{"+", stitch.US, "~sign single crochet"},
		{"T", stitch.US, "~sign half double"},
		{"fptr3tog", stitch.US, "fptr3tog"},
		{"7-dc shell", stitch.US, "7-dc shell"},
		{"Stäbchen", stitch.US, "dc"},
		{"staebchen", stitch.US, "dc"},
		{"punto bajo", stitch.US, "sc"},
		{"長編み", stitch.US, "dc"},
		{"ながあみ", stitch.US, "dc"},
		{"stokje", stitch.US, "dc"},
		{"smygmaska", stitch.US, "sl st"},
		{"half trebel", stitch.UK, "hdc"},
		{"slipstich", stitch.US, "sl st"},
		{"turning chian", stitch.US, "~turning chain"},
		{"what does sk mean?", stitch.US, "~skip"},
		{"how do I make a magic cirle", stitch.US, "mr"},
		{"4 ply", stitch.US, "~ply"},
		{"4 ply", stitch.UK, "~fingering"},
	} {
		got := Explain(c.ask, c.d, 4)
		if len(got) == 0 || name(got[0]) != c.want {
			t.Errorf("%q in %v terms is explained as %v, want %s first", c.ask, c.d, got, c.want)
		}
	}
	for _, ask := range []string{"", "   ", "qqqqqq", "🧶"} {
		if got := Explain(ask, stitch.US, 4); len(got) > 0 {
			t.Errorf("%q is explained as %v", ask, got)
		}
	}
}

// The traps that every first pattern holds are told.
func TestFalseFriends(t *testing.T) {
	for _, c := range []struct {
		word          string
		us, uk, older stitch.ID
	}{
		{"dc", "dc", "sc", "sc"},
		{"tr", "tr", "dc", "dc"},
		{"double crochet", "dc", "sc", "sc"},
		{"treble", "tr", "dc", "dc"},
		{"dtr", "dtr", "tr", "tr"},
		{"sc", "sc", "", "sl st"},
		{"trtr", "trtr", "dtr", "dtr"},
	} {
		want := map[stitch.Dialect]stitch.ID{stitch.US: c.us, stitch.UK: c.uk, stitch.Older: c.older}
		senses := Friends(c.word)
		for _, s := range senses {
			if want[s.Dialect] != s.Stitch {
				t.Errorf("%s in %v terms is %s, want %s", c.word, s.Dialect, s.Stitch, want[s.Dialect])
			}
		}
		if len(senses) < 2 {
			t.Errorf("%s is not told as a false friend: %v", c.word, senses)
		}
	}
	for _, word := range []string{"sl st", "hdc", "ch", "V-st", "banana"} {
		if senses := Friends(word); senses != nil {
			t.Errorf("%s is told as a false friend: %v", word, senses)
		}
	}
	for _, id := range []string{"skip", "gauge", "repeat from *", "ply", "right side"} {
		if term, _ := Lookup(id); term.Beware == "" {
			t.Errorf("%s says nothing of what it is taken for", id)
		}
	}
}

// Each word of the glossary leads to its entry.
func TestWordsLeadToTheirTerm(t *testing.T) {
	for _, term := range All() {
		for _, word := range append(append([]string{term.US, term.UK}, term.Abbr...), term.Signs...) {
			found := false
			for _, a := range Explain(word, stitch.US, 12) {
				found = found || a.Term.ID == term.ID
			}
			if !found {
				t.Errorf("%q does not lead to %s", word, term.ID)
			}
		}
	}
}

// A word that is being typed leads to those that begin so.
func TestWhileTyping(t *testing.T) {
	got := Explain("turn", stitch.US, 25)
	if len(got) < 2 || got[0].Word != "turn" || got[0].How != lookup.Exact {
		t.Errorf("turn leads to %v", got)
	}
}

func ExampleMeanings() {
	for _, a := range Meanings("dc", stitch.US) {
		fmt.Println(a.Tag, a.Stitch)
	}
	fmt.Println(len(Meanings("duoble", stitch.US)))
	// Output:
	// US dc
	// UK sc
	// 0
}

// What a word means as it stands is what Explain says of it first.
func TestMeaningsAgreeWithExplain(t *testing.T) {
	var words []string
	for _, e := range All() {
		words = append(append(append(words, e.US, e.UK), e.Abbr...), e.Signs...)
	}
	for _, s := range stitch.All() {
		words = append(append(append(words, s.US.Name, s.UK.Name), s.US.Abbr...), s.UK.Abbr...)
	}
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		for _, w := range words {
			means := Meanings(w, d)
			explained := Explain(w, d, 25)
			if len(means) == 0 || len(explained) < len(means) {
				t.Errorf("%q in %v terms means %v, explained as %v", w, d, means, explained)
				continue
			}
			for i, a := range means {
				if b := explained[i]; a.Stitch != b.Stitch || a.Term.ID != b.Term.ID {
					t.Errorf("%q in %v terms: meaning %d is %s%s, explained as %s%s", w, d, i+1, a.Stitch, a.Term.ID, b.Stitch, b.Term.ID)
				}
			}
		}
	}
}

func FuzzExplain(f *testing.F) {
	for _, term := range All() {
		f.Add(term.US + " " + strings.Join(term.Abbr, " "))
	}
	f.Fuzz(func(t *testing.T, ask string) {
		for _, a := range Explain(ask, stitch.UK, 5) {
			if (a.Stitch == "") == (a.Term.ID == "") {
				t.Errorf("%q: an answer must be a stitch or a term: %+v", ask, a)
			}
		}
	})
}

// Every beginning of a question, as while it is typed, over the whole
// dictionary.
func BenchmarkExplain(b *testing.B) {
	for _, ask := range []string{"h", "half dou", "haff duoble corchet", "what is the name of the one with the loop"} {
		b.Run(ask, func(b *testing.B) {
			for b.Loop() {
				Explain(ask, stitch.US, 25)
			}
		})
	}
}
