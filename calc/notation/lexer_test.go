package notation

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// kindNames write tokens in tests.
var kindNames = [...]string{"end", "word", "number", "ordinal", "star", "stars", "open", "close", "comma", "semi", "period", "colon",
	"dash", "slash", "plus", "equals", "and", "times", "mark", "other"}

// lexed writes the tokens of a text.
func lexed(text string) string {
	var out []string
	for _, t := range lex(text) {
		s := kindNames[t.kind]
		switch t.kind {
		case kindWord:
			s = t.low
		case kindNumber:
			s = fmt.Sprint(t.real)
		case kindOrdinal:
			s = fmt.Sprintf("%dth", t.n)
		case kindEnd:
			continue
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func TestLex(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Sc in next 3 sts,", "sc in next 3 sts comma"},
		{"hdc2tog 2sc ch3 x6", "hdc2tog 2 sc ch3 x6"},
		{"1st 2nd 3d 22d 4TH 2dc 1ST", "1th 2th 3th 22th 4th 2 dc 1th"},
		{"8½ 5.5 7 1/2 0.25 ¾", "8.5 5.5 7 1 slash 2 0.25 0.75"},
		{"1,368 sts", "1368 sts"},
		{"81 (89,97,105)", "81 open 89 comma 97 comma 105 close"},
		{"2, 3,4", "2 comma 3 comma 4"},
		{"*sc** † ‡", "star sc stars star star"},
		{"st(s) stitch(es)", "st stitch"},
		{"don’t Bird's 'tis", "don't bird's other tis"},
		{"ch-2 5–9 — ~", "ch dash 2 5 dash 9 dash dash"},
		{"[a] {b} <c>", "open a close open b close open c close"},
		{"(sc) × 6 & = + /", "open sc close times 6 and equals plus slash"},
		{"sc\u00a0in\u200b next\ufeff", "sc in next"},
		{"…! ?", "period period period"},
		{"\u00adso\u00adft", "so ft"},
		{"99999999999999999999", "1e+06"},
		{"😀 sc", "other sc"},
		{"", ""},
	} {
		if got := lexed(c.text); got != c.want {
			t.Errorf("lex(%q)\n%s, want\n%s", c.text, got, c.want)
		}
	}
}

// Positions count lines and characters from 1, whatever the line ends are.
func TestPositions(t *testing.T) {
	type place struct {
		Word         string
		Line, Column int
		Line1, Para  bool
	}
	var got []place
	for _, tok := range lex("½ sc\r\nin é st\r\rnext\n\n  \nlast") {
		if tok.kind == kindWord {
			got = append(got, place{tok.low, int(tok.from.line), int(tok.from.col), tok.line, tok.para})
		}
	}
	want := []place{{"sc", 1, 3, false, false}, {"in", 2, 1, true, false}, {"é", 2, 4, false, false}, {"st", 2, 6, false, false},
		{"next", 4, 1, true, true}, {"last", 7, 1, true, true}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("places (-want +got):\n%s", diff)
	}
}

// Words that belong together become one phrase, over hyphens, full stops of
// shortened words and ends of lines.
func TestItemize(t *testing.T) {
	words := vocabularies()[US]
	for _, c := range []struct{ text, want string }{
		{"half-double crochet", "half double crochet"},
		{"half double\ncrochet in", "half double crochet|in"},
		{"sl. st. in", "sl st|in"},
		{"sl st. In", "sl st|.|in"},
		{"hdc 2 tog", "hdc 2 tog"},
		{"2 sc together", "2 sc together"},
		{"ch-3 picot", "ch - 3 picot"},
		{"5-dc shell", "5 - dc shell"},
		{"magic ring", "magic ring"},
		{"rnd5 ch3", "rnd|5|ch|3"},
		{"twenty-four sts", "twenty four|sts"},
		{"in all 42", "in|all|42"},
		{"in all.", "in all|."},
		{"back loop only", "back loop only"},
		{"glorp sc", "glorp|sc"},
		{"sc—dc", "sc|—|dc"},
	} {
		var got []string
		for _, it := range itemize(c.text, lex(c.text), words) {
			if it.class != cEnd {
				got = append(got, it.word)
			}
		}
		if s := strings.Join(got, "|"); s != c.want {
			t.Errorf("%q is the phrases %s, want %s", c.text, s, c.want)
		}
	}
}

// Every word of the table is learnt, and a stitch never hides behind a pattern
// word or the other way round without being meant to.
func TestVocabulary(t *testing.T) {
	for _, terms := range []Terms{US, UK, Older} {
		v := vocabularies()[terms]
		for _, p := range phrases {
			for _, words := range strings.Split(p.words, "|") {
				if words == "" || words != normal(words) {
					t.Errorf("phrase %q is not in normal form %q", words, normal(words))
				}
				if _, ok := v.entries[words]; !ok {
					t.Errorf("%s: phrase %q is not known", terms, words)
				}
			}
		}
		for _, c := range []struct {
			words string
			id    string
		}{
			{"sl st", "sl st"}, {"fpdc", map[Terms]string{US: "fpdc", UK: "fpsc", Older: "fpdc"}[terms]},
			{"dc", map[Terms]string{US: "dc", UK: "sc", Older: "sc"}[terms]},
			{"treble", map[Terms]string{US: "tr", UK: "dc", Older: "dc"}[terms]},
			{"double crochet", map[Terms]string{US: "dc", UK: "sc", Older: "sc"}[terms]},
		} {
			if e := v.entries[c.words]; string(e.id) != c.id && !(terms == Older && c.words == "fpdc") {
				t.Errorf("%s: %q is %q, want %q", terms, c.words, e.id, c.id)
			}
		}
	}
}

func TestPluralAndSingular(t *testing.T) {
	for one, many := range map[string]string{"st": "sts", "ch": "chs", "stitch": "stitches", "shell": "shells", "sp": "sps", "half treble": "half trebles"} {
		if got := plural(one); got != many {
			t.Errorf("plural(%q) = %q", one, got)
		}
	}
	for many, one := range map[string]string{"shells": "shell", "cross": "cross", "sts": "sts", "loops": "loop"} {
		if got := singular(many); got != one {
			t.Errorf("singular(%q) = %q, want %q", many, got, one)
		}
	}
}
