package commands

import (
	"context"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"countwright/commands/reply"
)

// TestNoCommandSeesWhatIsNoText: PostgreSQL takes no NUL in a text, a terminal
// obeys others, a log line ends at a third.
func TestNoCommandSeesWhatIsNoText(t *testing.T) {
	text := Words("text", "What to say", 100)
	file := Upload("file", "A file", 100, ".txt")
	var seen Request
	set := Of(Services{}, nil, &Command{Name: "say", Short: "Says", Options: []Option{text, file}, Run: func(_ context.Context, r Request) (reply.Reply, error) {
		seen = r
		return reply.Reply{}, nil
	}})
	given := map[string]Input{"text": {Text: "a\x00b\x1b[31mc\u009bd\u0085e\vf\r\ng\th\xff"}, "file": {File: &Attachment{Name: "a\x00\n.txt"}}}
	set.Run(t.Context(), Call{Path: "say", Member: Member{Name: "Mi\x00ra\x1b]0;x\x07"}, Inputs: given})
	if got, want := text.Of(seen), "ab[31mcd e f\ng\th\uFFFD"; got != want {
		t.Errorf("the text is %q, want %q", got, want)
	}
	if seen.Member.Name != "Mira]0;x" || file.Of(seen).Name != "a\n.txt" {
		t.Errorf("the member is %q, the file %q", seen.Member.Name, file.Of(seen).Name)
	}
	if given["file"].File.Name != "a\x00\n.txt" {
		t.Error("the caller's own file was changed")
	}
}

func TestLegibleLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "text") + string(rapid.SliceOfN(rapid.Byte(), 0, 9).Draw(t, "bytes"))
		out := legible(in)
		if !utf8.ValidString(out) || strings.ContainsFunc(out, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }) {
			t.Fatalf("%q became %q", in, out)
		}
		if legible(out) != out {
			t.Fatalf("%q is changed once more", out)
		}
	})
}
