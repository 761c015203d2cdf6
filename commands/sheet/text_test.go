package sheet

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/commands/picture"
)

// Lines hold all words in order, and none is wider than the room.
func TestLinesKeepAllWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := rapid.StringMatching(`[A-Za-z0-9 (),;*½é]{0,80}`).Draw(t, "bold")
		rest := rapid.StringMatching(`[A-Za-z0-9 (),;*½é]{0,300}`).Draw(t, "regular")
		s := set{x: 20, width: rapid.Float64Range(15, 170).Draw(t, "width"), hang: rapid.Float64Range(0, 8).Draw(t, "hang"), size: textSize}
		var got strings.Builder
		for i, l := range s.lines(bold(first), regular(rest)) {
			indent := 0.0
			if i > 0 {
				indent = s.hang
			}
			for j, m := range l.spans[0].marks {
				text := m.(picture.Text)
				got.WriteString(text.Text)
				if j == 0 && text.At.X != s.x+indent {
					t.Fatalf("line %d begins at %v, want %v", i, text.At.X, s.x+indent)
				}
				end := text.At.X + picture.TextWidth(strings.TrimRight(text.Text, " "), text.Size, text.Bold)
				if end > s.x+s.width+0.01 {
					t.Fatalf("line %d ends at %v, want at most %v: %q", i, end, s.x+s.width, text.Text)
				}
			}
		}
		if join(got.String()) != join(first+rest) {
			t.Fatalf("%q became %q", first+rest, got.String())
		}
	})
}

// join leaves out spaces: a word that is too wide is cut.
func join(s string) string { return strings.Join(strings.Fields(s), "") }

func TestBound(t *testing.T) {
	for _, test := range []struct{ in, want string }{
		{"with 10 % to spare", "with 10~% to spare"},
		{"16 balls of 50 g of one", "16 balls of 50~g of one"},
		{"4 in deep, 4 inside", "4~in deep, 4 inside"},
		{"turn. (200 sts, 5 ch-3 sps)", "turn. (200~sts,~5~ch-3~sps)"},
		{"(2 dc, ch 1) in next st", "(2 dc, ch 1) in next st"},
		{"12 mm and 3 m", "12~mm and 3~m"},
	} {
		if got := strings.ReplaceAll(bound(test.in), tie, "~"); got != test.want {
			t.Errorf("%q became %q, want %q", test.in, got, test.want)
		}
	}
}

func TestClean(t *testing.T) {
	for in, want := range map[string]string{
		"a\nb\tc":            "a b c",
		"x\u202Ey\x07":       "xy",
		"🧶 yarn":             "\uFFFD yarn",
		"heart \u2665\uFE0F": "heart \u2665",
		"½ × é ß ★":          "½ × é ß ★",
	} {
		if got := clean(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

// A table is as wide as it needs to be and never wider than its room; the
// maker's own row is framed and bold.
func TestTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "columns")
		table := Table{Head: make([]string, n), Right: make([]bool, n)}
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			cells := make([]string, n)
			for i := range cells {
				cells[i] = rapid.StringMatching(`[a-z]{1,8}( [a-z]{1,8}){0,6}`).Draw(t, "cell")
				table.Right[i] = rapid.Bool().Draw(t, "right")
			}
			table.Rows = append(table.Rows, cells)
		}
		width := rapid.Float64Range(66, 180).Draw(t, "width")
		columns := table.columns(width)
		if w := sum(columns); w > width+0.01 && len(columns) < 5 {
			t.Fatalf("%d columns are %v wide in %v", n, w, width)
		}
		table.Own = rapid.IntRange(0, len(table.Rows)).Draw(t, "own")
		blocks := table.blocks(20, width)
		if len(blocks) != 1+len(table.Rows) {
			t.Fatalf("%d blocks for %d rows", len(blocks), len(table.Rows))
		}
		for i, b := range blocks[1:] {
			framed := false
			for _, sp := range b.strips[0].spans {
				for _, m := range sp.marks {
					switch m := m.(type) {
					case picture.Path:
						framed = true
					case picture.Text:
						if m.Bold != (i+1 == table.Own) {
							t.Fatalf("row %d bold: %v; own is %d", i+1, m.Bold, table.Own)
						}
					}
				}
			}
			if framed != (i+1 == table.Own) {
				t.Fatalf("row %d framed: %v; own is %d", i+1, framed, table.Own)
			}
		}
	})
}
