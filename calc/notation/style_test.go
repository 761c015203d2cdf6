package notation

import (
	"strings"
	"testing"
)

// A writer's way is found in the text.
func TestStyleOf(t *testing.T) {
	for _, c := range []struct {
		text string
		want Style
	}{
		{"", Style{}},
		{"Row 1: sc in next 3 sts. (3 sts)\nRow 2: sc across. (3 sts)", Style{}},
		{"Round 1: 6 sc. [6]\nRound 2: inc x 6 [12]", Style{Round: "Round", Count: "[", Bare: true, Times: "x"}},
		{"ROW 1: chain 3, double crochet in next stitch.", Style{Row: "ROW", Words: true}},
		{"Rnd 1: sc around — 6 sc", Style{Count: "—"}},
		{"Rnd 1: sc around = 6 sc", Style{Count: "="}},
		{"Rnd 2: (sc, inc) 6 times. (18)", Style{Bare: true}},
	} {
		if got := StyleOf(c.text); got != c.want {
			t.Errorf("StyleOf(%q) = %+v, want %+v", c.text, got, c.want)
		}
	}
}

// The same row in several styles and both terms.
func TestPrintStyles(t *testing.T) {
	row := Parse("Rnd 4 (RS): Ch 2 (counts as hdc), sk next st, [sc in BLO of next st, 2 dc in next st] 6 times, sl st in ring. (18 sts)", Options{Terms: US}).Parts[0].Lines[0].(*Row)
	for _, c := range []struct {
		opt  PrintOptions
		want string
	}{
		{PrintOptions{}, "Rnd 4 (RS): Ch 2 (counts as hdc), sk next st, [sc in BLO of next st, 2 dc in next st] 6 times, sl st in ring. (18 sts)"},
		{PrintOptions{Terms: UK}, "Rnd 4 (RS): Ch 2 (counts as htr), miss next st, [dc in BLO of next st, 2 tr in next st] 6 times, ss in ring. (18 sts)"},
		{PrintOptions{Style: Style{Words: true}}, "Round 4 (RS): Chain 2 (counts as half double crochet), skip next stitch, [single crochet in back loop only of next stitch, 2 double crochets in next stitch] 6 times, slip stitch in ring. (18 stitches)"},
		{PrintOptions{Style: Style{Round: "Round", Count: "[", Bare: true, Times: "x"}}, "Round 4 (RS): Ch 2 (counts as hdc), sk next st, [sc in BLO of next st, 2 dc in next st] x 6, sl st in ring. [18]"},
		{PrintOptions{Style: Style{Count: "—"}}, "Rnd 4 (RS): Ch 2 (counts as hdc), sk next st, [sc in BLO of next st, 2 dc in next st] 6 times, sl st in ring. — 18 sts"},
	} {
		got := PrintRow(row, c.opt)
		if got != c.want {
			t.Errorf("printed\n%s, want\n%s", got, c.want)
		}
		terms := c.opt.Terms
		if terms == TermsUnsaid {
			terms = US
		}
		again := Parse(got, Options{Terms: terms})
		if len(again.Problems) > 0 || PrintRow(again.Parts[0].Lines[0].(*Row), c.opt) != c.want {
			t.Errorf("%q is read back as %q, %v", got, PrintLine(again.Parts[0].Lines[0], c.opt), again.Problems)
		}
	}
}

// What stands only in some trees prints as people would say it.
func TestPrintRarely(t *testing.T) {
	for _, c := range []struct {
		line Line
		want string
	}{
		{&Again{Label: Label{Kind: FlatRow}, Like: []int{2, 4, 6}, Until: 254}, "Rep Rows 2, 4 and 6 until piece measures 25.4 cm."},
		{&Again{Label: Label{Kind: FlatRow}, Like: []int{2}, Until: 100, Untils: []Distance{100, 120, 140}}, "Rep Row 2 until piece measures 10 (12, 14) cm."},
		{&Again{Label: Label{Kind: Round}, Back: 1, Times: N(3)}, "Rep last rnd three times in all."},
		{&Row{Sizes: []int{0, 2}, Label: Label{Kind: FlatRow, From: N(3), To: N(3)}, Steps: []Step{&Turn{}}}, "Sizes S and L only: Row 3: Turn."},
		{&Row{Label: Label{Kind: FlatRow, Name: "next", From: N(1), To: N(4)}, Steps: []Step{&Turn{}}}, "Next 4 rows: Turn."},
		{&Row{Label: Label{Kind: FlatRow, From: N(2), To: N(2), Alternate: true}, Steps: []Step{&FastenOff{}}}, "Row 2 and every other row: Fasten off."},
		{&Row{Label: Label{Kind: FlatRow, From: N(2), To: N(2)}}, "Row 2: …."},
		{&Heading{Text: "Body"}, "Body"},
		{&Prose{Text: "Block gently."}, "Block gently."},
	} {
		if got := PrintLine(c.line, PrintOptions{Sizes: []string{"S", "M", "L"}}); got != c.want {
			t.Errorf("printed %q, want %q", got, c.want)
		}
	}
	for _, s := range []Step{&Attach{Colour: "B", Into: Place{Choice: First}}, &Attach{Skip: N(5), Into: Place{Choice: Next, Many: N(1)}},
		&Leave{}, &Mark{Text: "pm"}, &Unread{Text: "glorp"}, &Join{Unsaid: true, Into: Place{Choice: First}}, &Chain{}} {
		if got := PrintStep(s, PrintOptions{}); got == "" || strings.Contains(got, "  ") {
			t.Errorf("%T prints as %q", s, got)
		}
	}
}
