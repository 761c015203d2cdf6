package notation

import (
	"slices"
	"testing"
)

// Which terms a text is in.
// Source: "sc" never occurs in UK text; htr, miss and tension suggest UK; bare
// dc and tr tell nothing; single, double and treble as plain nouns are the
// older terms. Turning chains: the usual ones of each dialect.
func TestDetectTerms(t *testing.T) {
	for _, c := range []struct {
		text           string
		terms          Terms
		certain, mixed bool
	}{
		{"Row 1: sc in each st across.", US, true, false},
		{"Row 1: hdc2tog, hdc in each st.", US, true, false},
		{"Work 1 half double crochet in each stitch.", US, true, false},
		{"Row 1: 1 htr in each st, miss 1 st.", UK, true, false},
		{"Row 1: htr2tog over next 2 sts.", UK, true, false},
		{"Miss 1, 1 tr in next st. Tension: 18 tr to 10 cm.", UK, false, false},
		{"Row 1: dc in each st, tr in last st.", US, false, false},
		{"", US, false, false},
		{"Row 1: sc in next st, htr in next st.", US, false, true},
		{"Row 1: htr, htr2tog, fphtr, sc.", UK, false, true},
		{"A double in each of 2 doubles, 2 in next; repeat.", Older, true, false},
		{"Chain 3, a treble in each treble, a double in last double.", Older, true, false},
		{"* Ch 1, miss 1, t c in next; repeat from *.", Older, true, false},
		{"Written in UK terms. 1 dc in each st.", UK, true, false},
		{"This pattern uses US terminology. Dc in each st.", US, true, false},
		{"US terms. 1 htr in next st.", US, false, true},
		{"Hook: US 7. Row 1: 1 htr in each st.", UK, true, false},
		{"Ch 3 (counts as dc), dc in next st.", US, true, false},
		{"3 ch (counts as tr), tr in next st.", UK, true, false},
		{"Tr in 4th ch from hook.", UK, true, false},
		{"Dc in 4th ch from hook.", US, true, false},
		{"Dc in 2nd ch from hook.", UK, true, false},
		{"1 treble in each treble, 2 trebles in last.", UK, false, false},
		{"Use a double strand of yarn. Sc around.", US, true, false},
	} {
		d := DetectTerms(c.text)
		if d.Terms != c.terms || d.Certain != c.certain || d.Mixed != c.mixed {
			t.Errorf("%q: %s, certain %t, mixed %t; want %s, %t, %t", c.text, d.Terms, d.Certain, d.Mixed, c.terms, c.certain, c.mixed)
		}
		for _, e := range d.Evidence {
			if e.From.Offset >= e.To.Offset || e.To.Offset > len(c.text) || e.Word == "" {
				t.Errorf("%q: evidence %+v", c.text, e)
			}
		}
	}
}

// Each telling word is listed once, where it first stands.
func TestEvidenceOnce(t *testing.T) {
	d := DetectTerms("Row 1: sc in next st, sc in next st, miss 1.")
	var words []string
	for _, e := range d.Evidence {
		words = append(words, e.Word)
	}
	if want := []string{"sc", "miss"}; !slices.Equal(words, want) {
		t.Errorf("evidence %q, want %q", words, want)
	}
	if d.Evidence[0].From.Column != 8 || !d.Evidence[0].Strong || d.Evidence[1].Strong {
		t.Errorf("evidence %+v", d.Evidence)
	}
}

// Reading says that terms are guessed or mixed, and nothing where they are
// certain.
func TestTermsAssumed(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Row 1: dc in next 3 sts.", "nothing in the text tells its terms for certain; it is read in US terms"},
		{"Row 1: sc in next st, htr in next st.", "the text mixes US and UK words; dc and tr are read in US terms"},
		{"Row 1: sc in next 3 sts.", ""},
	} {
		got := ""
		for _, a := range Parse(c.text, Options{}).Assumptions {
			got = a.Message
		}
		if got != c.want {
			t.Errorf("%q: assumed %q, want %q", c.text, got, c.want)
		}
	}
}

func TestParseTerms(t *testing.T) {
	for _, c := range []struct {
		word string
		want Terms
		fail bool
	}{
		{"US", US, false}, {"uk", UK, false}, {"British", UK, false}, {"older", Older, false}, {"", TermsUnsaid, false}, {"Dutch", TermsUnsaid, true},
	} {
		got, err := ParseTerms(c.word)
		if got != c.want || (err != nil) != c.fail {
			t.Errorf("ParseTerms(%q) = %s, %v", c.word, got, err)
		}
	}
	if got := (&TermsError{"Dutch"}).Error(); got != `terms "Dutch" are none of US, UK, older` {
		t.Error(got)
	}
	if got := Terms(9).String(); got != "unsaid" {
		t.Error(got)
	}
	err := &DialectError{Word: "htr", Has: []Terms{UK, Older}, Tried: US}
	if got := err.Error(); got != `"htr" is a word of UK and older terms, and the text is read in US terms` {
		t.Error(got)
	}
}
