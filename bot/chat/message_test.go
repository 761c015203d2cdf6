package chat

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"countwright/bot/chat/loopback"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func drawing() *picture.Drawing {
	d := &picture.Drawing{Width: 100, Height: 20, Title: "A line"}
	d.Add(picture.Path{Points: []picture.Point{{X: 5, Y: 10}, {X: 95, Y: 10}}, Pen: picture.Pen{Stroke: picture.Colour{A: 255}, Width: 1}})
	return d
}

func everything() reply.Reply {
	return reply.Reply{Command: "even shape", Title: "87 stitches *and* 14 more", Parts: []reply.Block{
		reply.Text{Text: "For @everyone:\n- spread evenly"},
		reply.Steps{Items: []string{"Chain 12.", "Turn."}},
		reply.List{Title: "You need", Items: []string{"yarn", "a 5_mm hook"}},
		reply.Fields{Items: []reply.Field{{Name: "Units", Value: "cm"}}},
		reply.Table{Title: "Rows", Head: []string{"Row", "Stitches"}, Rows: [][]string{{"1", "87"}, {"2", "101"}}, Right: []bool{true, true}},
		reply.Table{Head: []string{"Piece", "What to do with it when it is done"}, Rows: [][]string{{"Back", "Block it to size and leave it to dry"}}},
		reply.Rows{Title: "The row", Lines: []string{"*sc 6, inc; rep from * to end", "```"}},
		reply.Caution{Text: "Keep cords away from infants."},
		reply.Tip{Text: "Count twice."},
		reply.Picture{Name: "even-shape", Alt: "A line\u202e of 87 stitches", Drawing: drawing()},
		reply.File{Name: "Pattern Sheet.PDF", Type: "application/pdf", Alt: "a sheet\u202e to print", Body: []byte("%PDF")},
	}}
}

const everythingShown = `### 87 stitches \*and\* 14 more

For @` + "\u200b" + `everyone:
\- spread evenly

1. Chain 12.
2. Turn.

**You need**
- yarn
- a 5\_mm hook

**Units:** cm
**Rows**
@@@
Row  Stitches
  1        87
  2       101
@@@
- **Back**: What to do with it when it is done Block it to size and leave it to dry
**The row**
@@@
*sc 6, inc; rep from * to end
~` + "\u200b~\u200b~" + `
@@@
⚠️ **Caution:** Keep cords away from infants.

💡 **Tip:** Count twice.`

func TestCompose(t *testing.T) {
	m, err := compose(everything(), 0)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.ReplaceAll(strings.ReplaceAll(everythingShown, "@@@", fence), "~", "`")
	if diff := cmp.Diff(want, m.Content); diff != "" {
		t.Error(diff)
	}
	if len(m.uploads) != 2 || m.Attachments[0] != (attachment{"0", "even-shape.png", "A line of 87 stitches"}) || m.Attachments[1] != (attachment{"1", "pattern-sheet.pdf", "a sheet to print"}) {
		t.Errorf("attached %+v", m.Attachments)
	}
	if len(m.Mentions.Parse) != 0 || m.Mentions.Parse == nil || m.Mentions.Users != nil {
		t.Errorf("mentions %+v", m.Mentions)
	}
}

func TestComposeMistake(t *testing.T) {
	m, err := compose(reply.Mistaken(words.Printer{}, "increase", words.Say("*14* is too many"), "/even shape stitches:87 increase:`1`"), 0)
	want := "### That did not work\n\n`increase`: \\*14\\* is too many\nFor example: `/even shape stitches:87 increase:'1'`"
	if err != nil || m.Content != want {
		t.Errorf("got %q, %v", m.Content, err)
	}
}

type strange struct{ reply.Block }

func TestComposeRefuses(t *testing.T) {
	for name, r := range map[string]reply.Reply{
		"an unknown block":   {Title: "T", Parts: []reply.Block{strange{}}},
		"nothing":            {},
		"a ragged table":     {Title: "T", Parts: []reply.Block{reply.Table{Head: []string{"a"}, Rows: [][]string{{"1", "2"}}}}},
		"a sizeless picture": {Title: "T", Parts: []reply.Block{reply.Picture{Name: "p", Drawing: &picture.Drawing{}}}},
	} {
		if m, err := compose(r, 0); err == nil {
			t.Errorf("%s became %q", name, m.Content)
		}
	}
}

func TestPings(t *testing.T) {
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	said := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "hi <@300000000000000002> and @everyone, \\<@300000000000000002>"}}).Shown()
	if p := said.Pings(); len(p) > 0 {
		t.Errorf("a member's text pinged %v: %s", p, said.Content)
	}
	m, err := compose(reply.Reply{Title: "Check in", Pings: []string{"300000000000000002"}}, 0)
	if err != nil || !strings.Contains(m.Content, "<@300000000000000002>") || len(m.Mentions.Users) != 1 {
		t.Errorf("got %+v, %v", m, err)
	}
}

// long is a reply with n rows, a caution at the end and a tip.
func long(n int) reply.Reply {
	rows := reply.Rows{Title: "Back"}
	for i := range n {
		rows.Lines = append(rows.Lines, fmt.Sprintf("Row %d: ch 1, sc in each st across, turn. (%d sts)", i+1, i+80))
	}
	return reply.Reply{Command: "resize", Title: "The cardigan", Parts: []reply.Block{reply.Text{Text: "At your gauge."}, rows,
		reply.Tip{Text: "A tip that may be left out."}, reply.Caution{Text: "Buttons are small parts."}}}
}

func TestLongReplyIsShortenedAndAttachedWhole(t *testing.T) {
	m, err := compose(long(200), 0)
	if err != nil {
		t.Fatal(err)
	}
	if length(m.Content) > mostContent || length(m.Content) < mostContent-200 {
		t.Errorf("%d units", length(m.Content))
	}
	for _, want := range []string{"### The cardigan", "Row 1:", "Buttons are small parts.", "the whole answer is attached as `countwright-resize.txt`"} {
		if !strings.Contains(m.Content, want) {
			t.Errorf("%q is missing in\n%s", want, m.Content)
		}
	}
	if strings.Count(m.Content, fence)%2 != 0 {
		t.Error("a code block is left open")
	}
	whole := string(m.uploads[0].body)
	if len(m.uploads) != 1 || !strings.Contains(whole, "Row 200:") || !strings.Contains(whole, "A tip that may be left out.") {
		t.Errorf("attached %s", whole)
	}
	if m, _ := compose(long(2), 0); len(m.uploads) != 0 || strings.Contains(m.Content, "Shortened") {
		t.Error("a short reply is shortened")
	}
}

func TestAnyReplyFits(t *testing.T) {
	blocks := rapid.Custom(func(t *rapid.T) reply.Block {
		text := func(n int) string {
			return strings.Repeat(markdownish().Draw(t, "s"), rapid.IntRange(0, n).Draw(t, "times"))
		}
		lines := func() []string { return rapid.SliceOfN(markdownish(), 0, 60).Draw(t, "lines") }
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			return reply.Text{Text: text(300)}
		case 1:
			return reply.Steps{Items: lines()}
		case 2:
			return reply.List{Title: text(3), Items: lines()}
		case 3:
			return reply.Rows{Title: text(3), Lines: lines()}
		case 4:
			return reply.Caution{Text: text(200)}
		case 5:
			return reply.Table{Head: []string{text(2), "b"}, Rows: [][]string{{text(4), text(2)}, {text(30), text(1)}}}
		}
		return reply.Fields{Items: []reply.Field{{Name: text(2), Value: text(100)}}}
	})
	rapid.Check(t, func(t *rapid.T) {
		r := reply.Reply{Command: "any", Title: "T" + markdownish().Draw(t, "title"), Parts: rapid.SliceOfN(blocks, 0, 8).Draw(t, "parts")}
		m, err := compose(r, 0)
		if err != nil {
			t.Fatal(err)
		}
		if length(m.Content) > mostContent {
			t.Fatalf("%d units", length(m.Content))
		}
		shortened := strings.Contains(m.Content, "✂️ Shortened here")
		if shortened != (len(m.uploads) == 1) {
			t.Fatalf("shortened %v with %d files", shortened, len(m.uploads))
		}
		if strings.Count(m.Content, fence)%2 != 0 {
			t.Fatalf("a code block is left open:\n%s", m.Content)
		}
	})
}

func TestFilesWithinLimits(t *testing.T) {
	file := func(name string, size int) reply.Block {
		return reply.File{Name: name, Type: "text/plain", Body: make([]byte, size)}
	}
	many := reply.Reply{Title: "Many"}
	for range 14 {
		many.Parts = append(many.Parts, file("same.txt", 10))
	}
	tests := []struct {
		name     string
		r        reply.Reply
		limit    int64
		attached int
		says     string
	}{
		{"one", reply.Reply{Title: "T", Parts: []reply.Block{file("a.txt", 10)}}, 0, 1, ""},
		{"too large", reply.Reply{Title: "T", Parts: []reply.Block{file("a.txt", 11<<20)}}, 0, 0, "`a.txt` is left out: it has 11264 KB, and this place takes 10240 KB a file."},
		{"larger where it may be", reply.Reply{Title: "T", Parts: []reply.Block{file("a.txt", 11<<20)}}, 50 << 20, 1, ""},
		{"too large together", reply.Reply{Title: "T", Parts: []reply.Block{file("a.txt", 15<<20), file("b.txt", 15<<20)}}, 50 << 20, 1, "`b.txt` is left out: the files together"},
		{"many", many, 0, 9, "no room for more files"},
	}
	for _, tt := range tests {
		m, err := compose(tt.r, tt.limit)
		if err != nil || len(m.uploads) != tt.attached || !strings.Contains(m.Content, tt.says) {
			t.Errorf("%s: %d attached, %v\n%s", tt.name, len(m.uploads), err, m.Content)
		}
		names := map[string]bool{}
		for _, u := range m.uploads {
			names[u.name] = true
		}
		if len(names) != len(m.uploads) {
			t.Errorf("%s: two files of one name", tt.name)
		}
	}
}

func TestFileName(t *testing.T) {
	for in, want := range map[string]string{"even-shape": "even-shape.png", "../../etc/passwd": "etc-passwd.png", "Größe 12": "gr-e-12.png", "": "countwright.png", "...": "countwright.png"} {
		if got := fileName(in, ".png"); got != want {
			t.Errorf("%q: got %q, want %q", in, got, want)
		}
	}
}
