package reply

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/commands/words"
)

var colours = regexp.MustCompile("\x1b\\[[0-9;]+m")

// prose is any reply of blocks whose lines may be broken.
func prose(t *rapid.T) Reply {
	words := rapid.StringOf(rapid.SampledFrom([]rune("abc de ½ 袖 é 🧶 \n\x1b\u202e.")))
	r := Reply{Title: words.Draw(t, "title"), Private: rapid.Bool().Draw(t, "private")}
	items := rapid.SliceOfN(words, 0, 12)
	for range rapid.IntRange(0, 6).Draw(t, "parts") {
		var b Block
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			b = Text{words.Draw(t, "text")}
		case 1:
			b = Steps{items.Draw(t, "steps")}
		case 2:
			b = List{words.Draw(t, "list"), items.Draw(t, "items")}
		case 3:
			b = Fields{[]Field{{words.Draw(t, "name"), words.Draw(t, "value")}, {"Gauge", words.Draw(t, "value")}}}
		case 4:
			b = Caution{words.Draw(t, "caution")}
		case 5:
			b = Tip{words.Draw(t, "tip")}
		default:
			b = Table{Head: []string{"a", words.Draw(t, "head")}, Rows: [][]string{{words.Draw(t, "cell"), words.Draw(t, "cell")}}}
		}
		r.Parts = append(r.Parts, b)
	}
	return r
}

// No line is wider than the terminal, colours change nothing but colour, and
// nothing that steers a terminal gets through.
func TestTerminalKeepsItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := prose(t)
		w := rapid.IntRange(24, 100).Draw(t, "width")
		plain, err := Terminal(r, TerminalOptions{Width: w})
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(plain) {
			line = strings.TrimSuffix(line, "\n")
			if width(line) > w {
				t.Fatalf("%q is wider than %d", line, w)
			}
			if strings.TrimRight(line, " ") != line {
				t.Fatalf("%q ends in spaces", line)
			}
		}
		for _, c := range plain {
			if c != '\n' && steering(c) {
				t.Fatalf("%q stands in %q", c, plain)
			}
		}
		coloured, err := Terminal(r, TerminalOptions{Width: w, Colour: true})
		if err != nil {
			t.Fatal(err)
		}
		if got := colours.ReplaceAllString(coloured, ""); got != plain {
			t.Fatalf("without its colours:\n%s\nwithout colour:\n%s", got, plain)
		}
	})
}

func TestTerminalWidths(t *testing.T) {
	r := Reply{Parts: []Block{Text{strings.Repeat("word ", 60)}}}
	for _, tt := range []struct{ width, want int }{{0, 79}, {80, 79}, {40, 39}, {5, 24}, {-1, 24}} {
		s, err := Terminal(r, TerminalOptions{Width: tt.width})
		if err != nil {
			t.Fatal(err)
		}
		longest := 0
		for line := range strings.Lines(s) {
			longest = max(longest, width(strings.TrimSuffix(line, "\n")))
		}
		if longest != tt.want {
			t.Errorf("a width of %d gives lines of %d, want %d", tt.width, longest, tt.want)
		}
	}
}

// Rows and command lines are for copying: they stay whole on any width.
func TestCopiedLinesStayWhole(t *testing.T) {
	row := "Row 2: Ch 1, sc in next 3 sts, *2 sc in next st, sc in next 6 sts; rep from * to end, turn. (101 sts)"
	line := "/resize pattern:cardigan chest:107cm ease:10cm gauge:14x10 units:cm terms:UK"
	for _, r := range []Reply{
		{Parts: []Block{Rows{Title: "Back", Lines: []string{row}}}, Actions: []Action{Button{"Once more", line}}},
		{Parts: []Block{Rows{Lines: []string{row}}}, Actions: []Action{Menu{"Sizes", []Button{{"S", line}}}}},
	} {
		s, err := Terminal(r, TerminalOptions{Width: 30})
		if err != nil {
			t.Fatal(err)
		}
		for _, whole := range []string{row, line} {
			if !strings.Contains(s, whole) {
				t.Errorf("%q was broken in\n%s", whole, s)
			}
		}
	}
	s, err := Terminal(Mistaken(words.Printer{}, "chest", words.Say("too small"), line), TerminalOptions{Width: 30})
	if err != nil || !strings.Contains(s, line) {
		t.Errorf("the example was broken (%v) in\n%s", err, s)
	}
}

func TestSavedPlaces(t *testing.T) {
	r := Reply{Parts: []Block{Picture{Name: "strip", Alt: "A row."}, File{Name: "rows.txt"}, File{Name: "counts.csv"}}}
	s, err := Terminal(r, TerminalOptions{Saved: func(b Block) string {
		switch b := b.(type) {
		case Picture:
			return "out/" + b.Name + ".png"
		case File:
			if b.Name == "rows.txt" {
				return "out/rows.txt"
			}
		}
		return ""
	}})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Picture: out/strip.png\n", "File: out/rows.txt\n", "File: counts.csv\n", "A row."} {
		if !strings.Contains(s, want) {
			t.Errorf("no %q in\n%s", want, s)
		}
	}
}

// The file that goes with an answer tells all of it, and nothing that only a
// surface can do.
func TestPlainIsWhole(t *testing.T) {
	s, err := Plain(every())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"14 increases", "Chain 88.", "a hook of 5 mm", "Ärmel 袖", "14 × 10", "Row 2: Ch 1", "Caution: Cords", "Tip: Put", "A row of 87 stitches", "back.txt"} {
		if !strings.Contains(s, want) {
			t.Errorf("no %q in the file", want)
		}
	}
	for _, not := range []string{"\x1b", "only you", "[In a round]", "Next:"} {
		if strings.Contains(s, not) {
			t.Errorf("%q stands in the file", not)
		}
	}
}

// A table of many columns on a narrow page breaks cells, the widest first.
func TestColumnWidths(t *testing.T) {
	for _, tt := range []struct {
		src  string
		rows [][]string
		page int
		want []int
	}{
		{"by hand: it fits", [][]string{{"ab", "c"}, {"a", "cdef"}}, 20, []int{2, 4}},
		{"by hand: 20 + 2 + 4 = 26, six too many", [][]string{{strings.Repeat("x", 20), "abcd"}}, 20, []int{14, 4}},
		{"by hand: both down to 9", [][]string{{strings.Repeat("x", 20), strings.Repeat("y", 12)}}, 20, []int{9, 9}},
		{"by hand: no narrower than 8", [][]string{{strings.Repeat("x", 20), strings.Repeat("y", 12), strings.Repeat("z", 9)}}, 20, []int{8, 8, 8}},
	} {
		got := columnWidths(tt.rows, tt.page)
		for i, w := range tt.want {
			if got[i] != w {
				t.Errorf("widths %v, want %v (%s)", got, tt.want, tt.src)
				break
			}
		}
	}
}
