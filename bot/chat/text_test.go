package chat

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestEscape(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"plain", "Work 6 sc, then turn.", "Work 6 sc, then turn."},
		{"a repeat", "*sc, inc; rep from * to end", `\*sc, inc; rep from \* to end`},
		{"brackets", "[2 dc, ch 1] x 3", `\[2 dc, ch 1\] x 3`},
		{"emphasis", "__very__ ~~old~~ ||hidden|| `code`", "\\_\\_very\\_\\_ \\~\\~old\\~\\~ \\|\\|hidden\\|\\| \\`code\\`"},
		{"a mention", "<@123> <@&5> <#7> </say:1> <t:1> <:a:1>", `\<@123> \<@&5> \<#7> \</say:1> \<t:1> \<:a:1>`},
		{"everyone", "@everyone @Here @hero", "@\u200beveryone @\u200bHere @hero"},
		{"a quote", "> said\n>>> all", "\\> said\n\\>>> all"},
		{"headings", "# big\n  ## less\n-# small", "\\# big\n  \\## less\n\\-# small"},
		{"lists", "- a\n+ b\n* c\n12. d\n1.5 m", "\\- a\n\\+ b\n\\* c\n12\\. d\n1.5 m"},
		{"a link's text", "[yarn](https://example.org)", `\[yarn\](https://example.org)`},
		{"a backslash", `a\*b`, `a\\\*b`},
		{"controls", "a\x00b\x1b[1mc\u202ed\u2066e\u200bf\ufeffg\u00adh\U000E0041i", `ab\[1mcdefghi`},
		{"joiners", "نمی\u200cشود 👩\u200d🧶 a\u200db", "نمی\u200cشود 👩\u200d🧶 ab"},
		{"white space", "a\tb\u00a0c\r\nd\u2028e", "a b c\nde"},
		{"broken text", "a\xffb", "ab"},
		{"nothing", "", ""},
	}
	for _, tt := range tests {
		if got := escape(tt.in); got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.name, got, tt.want)
		}
	}
}

// What the service reads as markup, by its own description of message
// formatting and its markdown help article as of 2026.
var (
	markup     = regexp.MustCompile("[*_~`|<\\[\\]]")
	lineMarkup = regexp.MustCompile(`(?m)^ *(#{1,3} |-# |>|[-+*] |\d+\. )`)
	escaped    = regexp.MustCompile(`\\[\\*_~` + "`" + `|<\[\]>#+.-]`)
)

func markdownish() *rapid.Generator[string] {
	return rapid.OneOf(rapid.String(), rapid.StringMatching("([*_~`|<>#+ .\\[\\]()@\\\\-]|everyone|here|<@1>|12\\.|\n|a){0,20}"))
}

func TestNothingInATextIsMarkup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := markdownish().Draw(t, "text")
		out := escape(in)
		bare := escaped.ReplaceAllString(out, "")
		if found := markup.FindString(bare); found != "" {
			t.Fatalf("%q: %q is left in %q", in, found, out)
		}
		if found := lineMarkup.FindString(escaped.ReplaceAllString(out, "x")); found != "" {
			t.Fatalf("%q: the line start %q is left in %q", in, found, out)
		}
		if l := strings.ToLower(out); strings.Contains(l, "@everyone") || strings.Contains(l, "@here") {
			t.Fatalf("%q: a mention of all is left in %q", in, out)
		}
		shown := strings.ReplaceAll(escaped.ReplaceAllStringFunc(out, func(s string) string { return s[1:] }), "\u200b", "")
		if shown != clean(in) {
			t.Fatalf("%q is shown as %q", in, shown)
		}
	})
}

func TestCodeCantBeLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := markdownish().Draw(t, "text")
		if strings.Contains(verbatim(in), "```") {
			t.Fatalf("%q ends its block: %q", in, verbatim(in))
		}
		if c := code(in); strings.Count(c, "`") != 2 || strings.Contains(c, "\n") {
			t.Fatalf("%q ends its code: %q", in, c)
		}
	})
}

func TestCut(t *testing.T) {
	tests := []struct {
		in   string
		n    int
		want string
	}{
		{"short", 10, "short"}, {"exactly ten", 11, "exactly ten"}, {"a few words more", 10, "a few…"}, {"onelongword", 6, "onelo…"},
		{"🧶🧶🧶", 6, "🧶🧶🧶"}, {"🧶🧶🧶", 5, "🧶🧶…"}, {"", 3, ""}, {`abcdefgh\*`, 10, `abcdefgh\*`}, {`abcdefg\*xx`, 9, "abcdefg…"},
	}
	for _, tt := range tests {
		if got := cut(tt.in, tt.n); got != tt.want {
			t.Errorf("cut(%q, %d) = %q, want %q", tt.in, tt.n, got, tt.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s, n := rapid.String().Draw(t, "s"), rapid.IntRange(2, 40).Draw(t, "n")
		if got := cut(s, n); length(got) > n || utf8.ValidString(s) && !utf8.ValidString(got) {
			t.Fatalf("cut(%q, %d) = %q", s, n, got)
		}
	})
}

// TestVerbatimBreaksLongFences: after three quotes of code are parted, those
// behind them must not make another three.
func TestVerbatimBreaksLongFences(t *testing.T) {
	for n := range 12 {
		in := strings.Repeat("`", n)
		out := verbatim(in)
		if strings.Contains(out, "```") {
			t.Errorf("%d quotes still end a block: %q", n, out)
		}
		if strings.ReplaceAll(out, "\u200B", "") != in {
			t.Errorf("%d quotes became %q", n, out)
		}
	}
}
