package chat

import (
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"countwright/commands"
	"countwright/commands/reply"
)

// TestHeapsCantBeBuiltInPieces: what is dropped from between two heaps of marks,
// and what joins them, does not begin a new letter. UTS #39, 5.4.
func TestHeapsCantBeBuiltInPieces(t *testing.T) {
	four := "\u0301\u0302\u0303\u0304"
	for name, between := range map[string]string{
		"a joiner": "\u200D", "a non-joiner": "\u200C", "no width": "\u200B", "a turn": "\u202E", "a tag": "\U000E0041", "a control": "\x01", "a style": "\uFE0F", "a soft hyphen": "\u00AD",
	} {
		if got := clean("Z" + strings.Repeat(four+between, 2500)); len([]rune(got)) > 7 {
			t.Errorf("%s: %d characters stand on one letter", name, len([]rune(got)))
		}
	}
	if got := clean("漢" + strings.Repeat("\u200D", 1000) + "字"); got != "漢\u200D字" {
		t.Errorf("a run of joiners: %+q", got)
	}
	if got := clean("\u200D\u200D\u200D漢\u200D"); got != "漢" {
		t.Errorf("joiners of nothing: %+q", got)
	}
}

// TestCleanLaw: whatever comes in, what comes out is clean, and stays as it is.
func TestCleanLaw(t *testing.T) {
	piece := rapid.SampledFrom([]string{"a", "漢", "\u0301", "\u20DD", "\u200D", "\u200C", "\u200B", "\uFE0F", "\uFE0E", "\u202E", "\u2066", "🧶", "\r\n", "\n", "\t", " ", "\x00", "\x1b", "\xff", "\u09CD", "\U000E0100"})
	rapid.Check(t, func(t *rapid.T) {
		in := strings.Join(rapid.SliceOfN(piece, 0, 30).Draw(t, "pieces"), "")
		out := clean(in)
		if again := clean(out); again != out {
			t.Fatalf("%+q became %+q, and then %+q", in, out, again)
		}
		marks, hidden := 0, 0
		for _, r := range out {
			switch {
			case joiner(r), unicode.Is(unicode.Variation_Selector, r):
				hidden++
			case unicode.In(r, unicode.Mn, unicode.Me):
				marks++
				hidden = 0
			case r != '\n' && unseen(r):
				t.Fatalf("%U is left of %+q", r, in)
			default:
				marks, hidden = 0, 0
			}
			if marks > mostMarks || hidden > 2 {
				t.Fatalf("%+q became %+q", in, out)
			}
		}
	})
}

// TestValuesAreNoMarks: a name that looks like the mark of a post does not make
// a button of another message that post's, or it would never be sent.
func TestValuesAreNoMarks(t *testing.T) {
	for _, name := range []string{"post:7", "hat post:7 blue", `a" post:7 "b`, `a\" post:7`, "a\npost:7\nb", "post:7 x", `\`, `3" wide`} {
		line := commands.Line("pattern show", map[string]commands.Input{"name": {Text: name}})
		rows, _ := componentsOf([]reply.Action{reply.Button{Label: "Show", Line: line}})
		if (seen{Components: rows}).bears("post:7") {
			t.Errorf("%s bears the mark", line)
		}
		own := commands.Line("makealong answer", map[string]commands.Input{"milestone": {Text: name}, "post": {Text: "7"}})
		rows, _ = componentsOf([]reply.Action{reply.Button{Label: "On it", Line: own}})
		if !(seen{Components: rows}).bears("post:7") {
			t.Errorf("%s does not bear the mark", own)
		}
	}
}

// TestCustomIDInUnits: a hundred characters are counted as strictly as can be.
func TestCustomIDInUnits(t *testing.T) {
	line := "/say text:" + strings.Repeat("🧶", 50)
	if rows, spare := componentsOf([]reply.Action{reply.Button{Label: "Say", Line: line}}); len(rows) != 0 || len(spare) != 1 {
		t.Errorf("a line of %d units became a button", length(line))
	}
}
