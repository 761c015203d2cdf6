package commands

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/commands/reply"
)

// hostile are beginnings of texts as somebody types who means harm, each made as
// long as its option takes.
var hostile = []string{
	"\u0301", "\u202E\u2066x", "@everyone <@&1> <#2> ", "'; DROP TABLE members; --", "[", "(sc, ", "*sc, rep from * ", "9", "=cmd|'/c x'!A0 ", "../", "{", "%s%n", "\x00\x1b[2J", "漢👩‍👧", "```", "Row 1: ", "-1e999 ", `\"`, "x:",
	"\n",
}

// TestNoTextMakesAFault: whatever stands in an option, the answer is the
// member's mistake or an answer, never a fault of ours, and can be printed.
func TestNoTextMakesAFault(t *testing.T) {
	if testing.Short() {
		t.Skip("many commands")
	}
	set := All(Services{}, nil)
	for _, path := range set.Paths() {
		c, _ := set.Lookup(path)
		call := Call{ID: "1", Path: path, Server: "s", Channel: "c", Host: true, Member: Member{ID: "1", Name: "\u202E@everyone\x00"}, Now: time.Date(2027, time.January, 10, 12, 0, 0, 0, time.UTC)}
		inputs := map[string]Input{}
		if len(c.Examples) > 0 {
			var err error
			if _, inputs, err = ParseLine(c.Examples[0], set); err != nil {
				t.Fatal(err)
			}
		}
		call.Inputs = inputs
		if r := set.Run(t.Context(), call); r.Error != nil && r.Error.Kind == reply.Fault {
			continue // it needs what is stored
		}
		for _, o := range c.Options {
			spec := o.Spec()
			for _, piece := range hostile {
				n := min(max(spec.Length, 200), 4000)
				call.Inputs = map[string]Input{}
				for k, v := range inputs {
					call.Inputs[k] = v
				}
				text := []rune(strings.Repeat(piece, n))[:n]
				call.Inputs[spec.Name] = Input{Text: string(text)}
				if spec.Kind == File {
					call.Inputs[spec.Name] = Input{File: &Attachment{Name: piece + ".txt", Size: int64(n), Load: func(context.Context) ([]byte, error) { return []byte(string(text)), nil }}}
				}
				r := set.Run(t.Context(), call)
				if r.Error != nil && r.Error.Kind == reply.Fault {
					t.Errorf("/%s %s:%q is a fault of ours", path, spec.Name, piece)
				}
				if _, err := reply.Plain(r); err != nil {
					t.Errorf("/%s %s:%q: %v", path, spec.Name, piece, err)
				}
			}
		}
	}
}

// TestPlainCell: what a spreadsheet takes for the beginning of a formula.
// Source: OWASP, CSV Injection, from memory; full-width signs are taken too.
func TestPlainCell(t *testing.T) {
	for _, s := range []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠x"} {
		if got := plainCell(s); got != "'"+s {
			t.Errorf("%q became %q", s, got)
		}
	}
	for _, s := range []string{"", "a=1", "Size M", "Ärmel", "漢", "\u0301"} {
		if got := plainCell(s); got != s {
			t.Errorf("%q became %q", s, got)
		}
	}
	if slices.Contains([]string{"'", ""}, plainCell("=")) {
		t.Error("a sign alone is lost")
	}
}

// TestEventsAreHarmless: a server's scheduled event escapes nothing by itself.
func TestEventsAreHarmless(t *testing.T) {
	four := "\u0301\u0302\u0303\u0304"
	if got := harmless("Z" + strings.Repeat(four+"\u200B", 50) + "a" + four); got != "Z"+four+"a"+four {
		t.Errorf("a heap of marks became %+q", got)
	}
	for _, sign := range []string{"@everyone", "@here", "<@1>", "<@&1>", "<#1>", "</say:1>", "<t:1>"} {
		if got := harmless("x" + sign); strings.Contains(got, sign) {
			t.Errorf("%q stands in %+q", sign, got)
		}
	}
}
