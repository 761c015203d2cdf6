package notation

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// One edit is an insertion, a deletion, a replacement or a swap of neighbours.
func TestOneEdit(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
		why  string
	}{
		{"hdv", "hdc", true, "replacement"},
		{"hcd", "hdc", true, "swap"},
		{"hd", "hdc", true, "insertion at the end"},
		{"dc", "hdc", true, "insertion at the start"},
		{"trebble", "treble", true, "deletion"},
		{"hdc", "hdc", false, "equal"},
		{"sc", "dtr", false, "two edits"},
		{"abcd", "badc", false, "two swaps"},
		{"abc", "cba", false, "no neighbours"},
		{"", "a", true, "from nothing"},
		{"", "", false, "nothing"},
	} {
		if got := oneEdit(c.a, c.b); got != c.want {
			t.Errorf("oneEdit(%q, %q) = %t, want %t: %s", c.a, c.b, got, c.want, c.why)
		}
		if got := oneEdit(c.b, c.a); got != c.want {
			t.Errorf("oneEdit(%q, %q) = %t, want %t: %s", c.b, c.a, got, c.want, c.why)
		}
	}
}

// oneEdit agrees with making every edit there is.
func TestOneEditAgainstAllEdits(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,5}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if got, want := oneEdit(a, b), slices.Contains(allEdits(a), b) && a != b; got != want {
			t.Fatalf("oneEdit(%q, %q) = %t, want %t", a, b, got, want)
		}
	})
}

// allEdits makes every word one edit from a.
func allEdits(a string) []string {
	var out []string
	for i := range len(a) + 1 {
		for _, c := range "abc" {
			out = append(out, a[:i]+string(c)+a[i:])
		}
		if i < len(a) {
			out = append(out, a[:i]+a[i+1:])
			for _, c := range "abc" {
				out = append(out, a[:i]+string(c)+a[i+1:])
			}
		}
		if i+1 < len(a) {
			out = append(out, a[:i]+a[i+1:i+2]+a[i:i+1]+a[i+2:])
		}
	}
	return out
}

// What the nearest word is, and that short words have none.
func TestNearest(t *testing.T) {
	words := vocabularies()[US]
	any := func(entry) bool { return true }
	for _, c := range []struct{ word, want string }{
		{"hdv", "hdc"}, {"trun", "turn"}, {"trebel", "treble"}, {"shel", "shell"}, {"acros", "across"},
	} {
		if got := words.nearest(c.word, any); !slices.Contains(got, c.want) && words.entries[c.word].class == cWord {
			t.Errorf("nearest(%q) = %q, want %q among them", c.word, got, c.want)
		}
	}
	if got := words.nearest("qq", any); got != nil {
		t.Errorf("a word of two letters has near ones: %q", got)
	}
	if got := words.nearest("hdv", func(e entry) bool { return e.class == cTurn }); got != nil {
		t.Errorf("a filter lets %q through", got)
	}
}

// Mistyped words are read as the one word they can be, and that is told; a
// stitch that could be another is a problem.
func TestMistyped(t *testing.T) {
	for _, c := range []struct {
		text, want string
		assumed    string
		near       string
	}{
		{"Row 1: sc in next 3 sts, trun.", "Row 1: Sc in next 3 sts, turn.", `"trun" is read as "turn"`, ""},
		{"Row 1: trebel in next st.", "Row 1: Tr in next st.", `"trebel" is read as "treble"`, ""},
		{"Row 1: hdv in next st.", "Row 1: Hdv in next st.", "", "hdc"},
		{"Row 1: tc2tog in next st.", "Row 1: Tc2tog in next st.", "", ""},
		{"Row 1: repaet from * to end.", "", "", ""},
		{"Row 1: *sc, dc; repaet from * to end.", "Row 1: *sc, dc; rep from * across.", `"repaet" is read as "repeat"`, ""},
	} {
		doc := Parse(c.text, Options{Terms: US})
		line := ""
		if len(doc.Parts[0].Lines) > 0 {
			line = PrintLine(doc.Parts[0].Lines[0], PrintOptions{})
		}
		if c.want != "" && line != c.want {
			t.Errorf("%q is read as %q, want %q", c.text, line, c.want)
		}
		if c.assumed != "" && !slices.ContainsFunc(doc.Assumptions, func(a Assumption) bool { return a.Message == c.assumed }) {
			t.Errorf("%q: %v do not tell that %s", c.text, doc.Assumptions, c.assumed)
		}
		if c.near != "" && (len(doc.Problems) != 1 || doc.Problems[0].Near != c.near) {
			t.Errorf("%q: problems %+v, want one near %q", c.text, doc.Problems, c.near)
		}
	}
}
