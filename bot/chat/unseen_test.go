package chat

import (
	"strings"
	"testing"
	"unicode"

	"countwright/bot/chat/loopback"
)

// TestUnseenCharacters goes through all of Unicode. Sources: the Unicode
// Character Database's properties Bidi_Control, Default_Ignorable_Code_Point
// and the general categories Cc, Cf, Co, Zl and Zp, as Go's package unicode
// holds them; UTS #39 (Unicode Security Mechanisms), 5.4; UTS #55 (Unicode
// Source Code Handling), which asks that a text can't turn the direction of
// what stands around it.
func TestUnseenCharacters(t *testing.T) {
	seen := 0
	for r := rune(0x7f); r <= unicode.MaxRune; r++ {
		got := clean("a" + string(r) + "b")
		hidden := unicode.Is(unicode.Bidi_Control, r) || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || unicode.In(r, unicode.Cf, unicode.Co, unicode.Zl, unicode.Zp)
		switch {
		case unicode.IsSpace(r) && r != 0x2028 && r != 0x2029:
			if got != "a b" {
				t.Errorf("%U: %q", r, got)
			}
		case hidden || unicode.IsControl(r) || unicode.Is(unicode.Variation_Selector, r) && r != 0xFE0E && r != 0xFE0F:
			if got != "ab" {
				t.Errorf("%U stays: %q", r, got)
			}
		case unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsPunct(r):
			if seen++; got != "a"+string(r)+"b" {
				t.Errorf("%U is gone: %q", r, got)
			}
		}
	}
	if seen < 100_000 {
		t.Errorf("only %d letters were tried", seen)
	}
}

func TestWhatIsNeededStays(t *testing.T) {
	for name, text := range map[string]string{
		"a heart as emoji":    "❤️",
		"a family":            "👩\u200d👧\u200d👦",
		"Persian":             "می\u200cخواهم",
		"Sinhala":             "ක්\u200dෂ",
		"Vietnamese":          "ệ",
		"four marks (UTS 39)": "a\u0301\u0302\u0303\u0304",
		"Hebrew with points":  "בְּרֵאשִׁית",
	} {
		if got := clean(text); got != text {
			t.Errorf("%s: %q became %q", name, text, got)
		}
	}
	heap := "Z" + strings.Repeat("\u0301", 40) + "algo"
	if got := clean(heap); got != "Z"+strings.Repeat("\u0301", mostMarks)+"algo" {
		t.Errorf("a heap of accents: %q", got)
	}
	if got := clean("\uFE0F\uFE0F a\uFE0F\uFE0F\uFE0F"); got != " a\uFE0F" {
		t.Errorf("a heap of styles: %q", got)
	}
}

// TestNamesCantTurnTheReply: a member's name and text with the marks of UTS
// #55's examples come out harmless, wherever they are echoed.
func TestNamesCantTurnTheReply(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, newStubs().set(), nil)
	for _, trick := range []string{
		"\u202Eevil\u202C", "\u2066a\u2069", "\u200Fright\u200E", "zero\u200Bwidth\uFEFF", "tag\U000E0041\U000E007F", "\u2028line\u2029", "\u061Cmark", "vs\U000E0100\U000E01EF",
	} {
		m := fake.Ask(loopback.Ask{Path: "say", Name: trick, Options: map[string]string{"text": "x" + trick + "y"}}).Shown()
		for _, r := range m.Content {
			if unseen(r) && r != '\n' {
				t.Errorf("%q: %U is in the message", trick, r)
			}
		}
	}
}
