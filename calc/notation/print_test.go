package notation

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// A canonical tree prints as text that is read back as the same tree, in every
// dialect, and prints the same again.
func TestPrintParsePrint(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := &canon{t: rt}
		doc := c.document()
		opt := PrintOptions{Terms: pick(c, []Terms{US, UK}), Style: pick(c, []Style{{}, {Words: true}, {Count: "["}, {Times: "x"}, {Round: "Round"}})}
		text := Print(doc, opt)
		read := Parse(text, Options{Terms: opt.Terms, Sizes: c.sizes})
		for _, p := range read.Problems {
			rt.Fatalf("%s\n\n%d:%d %s", text, p.From.Line, p.From.Column, p.Message)
		}
		parts := read.Parts
		for i := range parts {
			dropSizes(&parts[i])
		}
		if diff := cmp.Diff(doc.Parts, parts, sameTree); diff != "" {
			rt.Fatalf("%s\n\nread back otherwise (-drawn +read):\n%s", text, diff)
		}
		if again := Print(read, opt); again != text {
			rt.Fatalf("printed otherwise the second time:\n%s\n\n%s", text, again)
		}
	})
}

// dropSizes takes out the line that names the sizes: the printer writes it from
// the document's sizes.
func dropSizes(part *Part) {
	for i, l := range part.Lines {
		if p, ok := l.(*Prose); ok && len(p.Text) > 5 && p.Text[:5] == "Sizes" {
			part.Lines = append(part.Lines[:i:i], part.Lines[i+1:]...)
			part.Preface--
			return
		}
	}
}

// What one step prints as, and that the same step comes back.
func TestPrintStep(t *testing.T) {
	for _, c := range []struct {
		step Step
		want string
	}{
		{&Stitches{Name: "sc", Into: Place{Choice: Next, Many: N(3)}}, "sc in next 3 sts"},
		{&Stitches{Name: "sc", Each: N(2), Into: Place{Choice: Next, Many: N(3)}}, "2 sc in each of next 3 sts"},
		{&Stitches{Name: "hdc2tog", Into: Place{Choice: Next, Many: N(1)}}, "hdc2tog over next 2 sts"},
		{&Skip{Many: N(2)}, "sk next 2 sts"},
		{&Chain{Many: N(3), Counts: CountsAsStitch, As: "dc"}, "ch 3 (counts as dc)"},
		{&Ring{Chains: N(4)}, "ch 4, join with sl st to form a ring"},
		{&Leave{Many: N(20)}, "leave last 20 sts unworked"},
	} {
		if got := PrintStep(c.step, PrintOptions{}); got != c.want {
			t.Errorf("printed %q, want %q", got, c.want)
		}
		doc := Parse("Row 1: "+c.want+".", Options{Terms: US})
		row := doc.Parts[0].Lines[0].(*Row)
		if diff := cmp.Diff([]Step{c.step}, row.Steps, sameTree); diff != "" {
			t.Errorf("%q (-drawn +read):\n%s", c.want, diff)
		}
	}
}
