package reply

import (
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"plain ½ 袖 🧶":    "plain ½ 袖 🧶",
		"two\nlines":     "two\nlines",
		"a\tb\r\nc":      "a b\nc",
		"\x1b[31m":       `\x1b[31m`,
		"a\rb\x00\x7f":   `a\x0db\x00\x7f`,
		"\u0085\u009b":   `\x85\x9b`,
		"x\u202ey\u2069": `x\u202ey\u2069`,
		"\u2028\u200b":   `\u2028\u200b`,
		"bad \xff":       `bad \ufffd`,
		"\U000E0041":     `\U000e0041`,
	} {
		if got := Visible(in); got != want {
			t.Errorf("Visible(%q) = %q, want %q", in, got, want)
		}
	}
}

// Nothing that a member writes reaches a terminal as a control.
func TestVisibleHidesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		for _, r := range Visible(s) {
			if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
				t.Fatalf("%q stays in %q", r, Visible(s))
			}
		}
		if again := Visible(Visible(s)); again != Visible(s) {
			t.Fatalf("a second time changes it: %q", again)
		}
	})
}

func TestWrap(t *testing.T) {
	for _, tt := range []struct {
		in   string
		w    int
		want string // lines separated by |
	}{
		{"", 10, ""},
		{"one two three", 7, "one two|three"},
		{"one two three", 8, "one two|three"},
		{"one\n\ntwo", 8, "one||two"},
		{"abcdefghij kl", 4, "abcd|efgh|ij|kl"},
		{"袖袖袖 a", 4, "袖袖|袖 a"},
		{"  spare   spaces ", 20, "spare spaces"},
		{"袖", 1, "袖"},
	} {
		if got := strings.Join(wrap(tt.in, tt.w), "|"); got != tt.want {
			t.Errorf("wrap(%q, %d) = %q, want %q", tt.in, tt.w, got, tt.want)
		}
	}
}

// Lines are never too wide, and no word is lost.
func TestWrapKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab ½袖 é\n🧶-"))).Draw(t, "text")
		w := rapid.IntRange(2, 30).Draw(t, "width")
		lines := wrap(s, w)
		for _, l := range lines {
			if width(l) > w {
				t.Fatalf("%q is wider than %d", l, w)
			}
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if got := squeeze(strings.Join(lines, " ")); got != squeeze(s) {
			t.Fatalf("%q became %q", s, got)
		}
	})
}

// A table is as wide as its page where cells can be wrapped, its columns
// start at the same place in every row, and every cell is in it.
func TestTableFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cols := rapid.IntRange(1, 5).Draw(t, "columns")
		cell := rapid.StringMatching(`[a-z½袖]{0,9}( [a-z]{1,6}){0,4}`)
		row := rapid.SliceOfN(cell, cols, cols)
		table := Table{Head: row.Draw(t, "head"), Rows: rapid.SliceOfN(row, 0, 4).Draw(t, "rows")}
		s, err := Terminal(Reply{Parts: []Block{table}}, TerminalOptions{Width: 50})
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(s) {
			if w := width(strings.TrimSuffix(line, "\n")); w > 50 {
				t.Fatalf("%q is %d wide", line, w)
			}
		}
		for _, r := range table.Rows {
			for _, c := range r {
				for _, word := range strings.Fields(c) {
					if len(word) <= narrowest && !strings.Contains(s, word) {
						t.Fatalf("%q is missing from\n%s", word, s)
					}
				}
			}
		}
	})
}
