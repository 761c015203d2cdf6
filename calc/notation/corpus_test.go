package notation

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// corpusFile is public-domain text that nobody here wrote: the crochet chapters
// of "Handbook of Wool Knitting and Crochet", Needlecraft Publishing Company,
// 1918, in the older terms. It lies beside the project and is not copied here.
const corpusFile = "../../../shared/corpus/handbook-1918.txt"

// numbered is a row told by its number at the start of a paragraph: "2.", "36
// to 45.", "46, 47."
var numbered = regexp.MustCompile(`(?m)^\n(\d+(?:(?:, | to )\d+)*)\. `)

// The numbered rows of the book are read without change: the goal is 90 of a
// hundred; every row that is not read is named.
func TestCorpusRows(t *testing.T) {
	raw, err := os.ReadFile(filepath.FromSlash(corpusFile))
	if err != nil {
		t.Skipf("the folder with the corpus is not beside the project, so its rows are NOT tried: %v", err)
	}
	text := string(raw)
	doc := Parse(text, Options{})
	if doc.Terms != Older {
		t.Errorf("read in %s terms, want older", doc.Terms)
	}
	type row struct{ from, to Pos }
	read := map[int]row{}
	for _, p := range doc.Parts {
		for _, l := range p.Lines {
			switch l := l.(type) {
			case *Row:
				read[l.From.Offset] = row{l.From, l.To}
			case *Again:
				read[l.From.Offset] = row{l.From, l.To}
			}
		}
	}
	labels := numbered.FindAllStringSubmatchIndex(text, -1)
	good := 0
	for _, m := range labels {
		r, ok := read[m[2]]
		line := 1 + strings.Count(text[:m[2]], "\n")
		if !ok {
			t.Logf("line %d, row %s: not read as a row", line, text[m[2]:m[3]])
			continue
		}
		problem := ""
		for _, p := range doc.Problems {
			if p.From.Offset >= r.from.Offset && p.From.Offset < r.to.Offset {
				problem = p.Message
			}
		}
		if problem != "" {
			t.Logf("line %d, row %s: %s", line, text[m[2]:m[3]], problem)
			continue
		}
		good++
	}
	t.Logf("%d of %d numbered rows read", good, len(labels))
	if len(labels) < 50 || good*10 < len(labels)*9 {
		t.Errorf("%d of %d numbered rows read, want nine in ten", good, len(labels))
	}
}

// Rows whose meaning the book itself settles by a count it states.
// Source: Handbook of Wool Knitting and Crochet, 1918.
func TestCorpusMeaning(t *testing.T) {
	raw, err := os.ReadFile(filepath.FromSlash(corpusFile))
	if err != nil {
		t.Skipf("the folder with the corpus is not beside the project, so its rows are NOT tried: %v", err)
	}
	doc := Parse(string(raw), Options{})
	line := func(n int) string {
		for _, p := range doc.Parts {
			for _, l := range p.Lines {
				if l.Pos().Line == n {
					return PrintLine(l, PrintOptions{})
				}
			}
		}
		return ""
	}
	for _, c := range []struct {
		line int
		want string
	}{
		{108, "Ch 54, turn."},
		{110, "Row 1: Sk next 3 sts, sc in next st, *ch 1, sk next st, sc in next st; rep from * across, turn. (26 sc)"},
		{113, "Row 2: Ch 2, sc in next ch-1 sp, *ch 1, sc in next ch-1 sp; rep from * across, turn."},
		{116, "Rep Row 2 until piece measures 55.88 cm."},
		{191, "Row 4: Rep Row 2."},
		{226, "Rnd 4: *sc in next 2 sc, 2 sc in next st; rep from * around."},
		{240, "Rnds 36–45: Sc in each st around."},
		{306, "Rows 3–23: Rep Row 2."},
		{505, "Row 1: Sc in 8th ch from hook, *ch 3, sk next 3 sts, sc in next st; rep from * 10 more times, turn. (12 loops)"},
	} {
		if got := line(c.line); got != c.want {
			t.Errorf("line %d is read as\n%s, want\n%s", c.line, got, c.want)
		}
	}
}
