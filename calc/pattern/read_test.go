package pattern

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// cushion is an invented pattern with most things that a file can say.
const cushion = `title = "Cushion"
summary = "A front and a back."
author = "Ida"
licence = "MIT"
level = "Basic"
for = ["adult"]
tables = ["woman"]
ease = "4 cm"

[yarn]
weight = 4
fibre = "wool"

[gauge]
stitch = "hdc"
stitches = 14
rows = 10
hook = 5.5

[[ask]]
name = "side"
default = "40 cm"
low = "20 cm"
high = "60 cm"

[[measure]]
name = "edge"
is = "side + ease"

[[piece]]
name = "Front"

[[piece.section]]
name = "Rib"
stitch = "sc"
loop = "back"
worked = "sideways"
start = "3 cm"

[[piece.section]]
name = "Panel"
first = "row ends"
start = "edge"
end = "edge / 2"
length = "edge"
shape = "right edge"
on = "right side"
plain = "2 cm"
multiple = [2, 1]

[[piece.section]]
name = "Left"
length = "2 cm"

[[piece.section]]
name = "Right"
length = "2 cm"

[[piece.split]]
of = "Panel"
into = ["Left", "gap", "Right"]
width = { gap = "4 cm" }

[[piece]]
name = "Back"
mirror = "Front"

[[piece]]
name = "Edging"

[[piece.section]]
name = "Band"
stitch = "sc"
first = "edges"
pick = ["Front.Panel.right", "corner 3", "Front.gap"]
length = "3 cm"
buttonholes = { number = "side / 8 cm", diameter = "15 mm", along = 1 }

[[join]]
name = "side"
a = ["Front.Panel.left"]
b = ["Back.Panel.right"]

[[finished]]
name = "width"
of = ["Front.Panel.bottom"]
is = "edge"
`

func TestRead(t *testing.T) {
	p, err := Read("dir/cushion.toml", []byte(cushion))
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "cushion" || p.Title != "Cushion" || p.Stitch != "hdc" || p.Gauge.Rows != 10 || p.Hook != 5.5 || p.Yarn.Weight != 4 {
		t.Errorf("head read as %+v", p)
	}
	panel, ok := p.Pieces[0].Section("Panel")
	if !ok || panel.First != OnRowEnds || panel.Of != "Rib" || panel.Shape != RightEdge || !panel.Right || panel.Fits.Of != 2 || panel.Fits.Plus != 1 || panel.Stitch != "hdc" {
		t.Errorf("panel read as %+v", panel)
	}
	mirrored, _ := p.Pieces[1].Section("Panel")
	if mirrored.Shape != LeftEdge {
		t.Errorf("the mirror image is shaped at %v, want the left edge", mirrored.Shape)
	}
	if into := p.Pieces[1].Splits[0].Into; into[0].Name != "Right" || into[2].Name != "Left" || !into[1].Rest {
		t.Errorf("the mirror image is split into %+v", into)
	}
	left, _ := p.Pieces[0].Section("Left")
	if left.First != OnStitches || left.Of != "Panel" {
		t.Errorf("a share of a split begins as %+v", left)
	}
	band := p.Pieces[2].Sections[0]
	if len(band.Pick) != 3 || band.Pick[1].Corner != 3 || band.Pick[0].Edge != (Edge{"Front", "Panel", RightSide}) || band.Holes == nil {
		t.Errorf("band read as %+v", band)
	}
	if !p.Reads("Ease") || p.Reads("chest") || !p.Reads("side") {
		t.Error("what its dimensions read is not right")
	}
	if p.Pieces[2].Make != 1 {
		t.Errorf("made %d times when nothing is said", p.Pieces[2].Make)
	}
}

const panels = `panels = { body_start = "9 cm", body_end = "20 cm", sleeve_start = "4 cm", sleeve_end = "15 cm" }`

// TestReadRaglan reads a yoke, what goes on from it and what it leaves.
func TestReadRaglan(t *testing.T) {
	p, ok := Find("raglan")
	if !ok {
		t.Fatal("there is no raglan")
	}
	yoke, body := p.Pieces[0].Sections[0], p.Pieces[0].Sections[1]
	if yoke.Shape != Raglan || yoke.Panels == nil || !yoke.Panels.SleeveEnd.Said() || !body.Underarm.Said() || body.Of != yoke.Name {
		t.Errorf("yoke read as %+v, what is below it as %+v", yoke, body)
	}
	for name, want := range map[string]bool{SleevePanel: true, HalfUnderarm: true, "neck": false} {
		if err := p.Has(Edge{Piece: p.Pieces[0].Name, Section: name}); (err == nil) != want {
			t.Errorf("stitches left as %q: %v", name, err)
		}
	}
	if !p.Reads("sleeve around") || !p.Reads("under the arm") {
		t.Error("its panels and its underarm read nothing")
	}
}

// TestReadSaysWhereAndWhat changes one line of the file at a time.
func TestReadSaysWhereAndWhat(t *testing.T) {
	lineOf := func(text string) int { return strings.Count(cushion[:strings.Index(cushion, text)], "\n") + 1 }
	for _, test := range []struct {
		old, new string
		where    string // text of the error
		line     string // the line of the file that it must name; empty: any
	}{
		{`title = "Cushion"`, ``, "the title is missing", ""},
		{`author = "Ida"`, `writer = "Ida"`, `"writer" is no key`, `author = "Ida"`},
		{`level = "Basic"`, `level = 3`, `"level" can't be read`, `level = "Basic"`},
		{`level = "Basic"`, `level = "Basic`, "", `level = "Basic"`},
		{`for = ["adult"]`, `for = ["giants"]`, `for "giants" is none of "adult", "child", "infant"`, `for = ["adult"]`},
		{`ease = "4 cm"`, `ease = "4"`, `a number, but a length is needed`, `ease = "4 cm"`},
		{`stitch = "hdc"`, `stitch = "knit"`, `"knit" is no stitch`, `stitch = "hdc"`},
		{`stitches = 14`, `stitches = 1400`, `1400 stitches in 10 cm`, `stitches = 14`},
		{`default = "40 cm"`, ``, "ask side: an ask needs a default", `name = "side"`},
		{`name = "edge"`, `name = "chest"`, `the name "chest" is taken`, `name = "edge"`},
		{`is = "side + ease"`, `is = "side + breadth"`, `measure edge: formula "side + breadth", column 8: "breadth" is no measure`, `is = "side + ease"`},
		{`is = "side + ease"`, `is = "side + "`, "found the end", `is = "side + ease"`},
		{`name = "Rib"`, `name = "Rib.1"`, "a name without a full stop", `name = "Rib"`},
		{`name = "Panel"`, `name = "Rib"`, `two sections "Rib"`, `name = "Panel"`},
		{`worked = "sideways"`, `worked = "upside"`, `worked "upside" is none of`, `worked = "sideways"`},
		{`worked = "sideways"`, ``, "piece Front, section Panel: row ends belong to a section that is worked sideways", `first = "row ends"`},
		{`loop = "back"`, `loop = "side"`, `loop "side" is none of "back", "both", "front"`, `loop = "back"`},
		{`first = "row ends"`, `first = "nowhere"`, `first "nowhere" is none of`, `first = "row ends"`},
		{`shape = "right edge"`, `shape = "round"`, `shape "round" is none of`, `shape = "right edge"`},
		{`shape = "right edge"`, ``, "say where the section is shaped", `end = "edge / 2"`},
		{`shape = "right edge"`, `shape = "disc"`, "a disc, a ball or an egg begins at a ring", `shape = "right edge"`},
		{`multiple = [2, 1]`, `multiple = [2]`, "a multiple is two numbers", `multiple = [2, 1]`},
		{`multiple = [2, 1]`, `multiple = [-2, 1]`, "as a multiple", `multiple = [2, 1]`},
		{`end = "edge / 2"`, `end = "edge * edge"`, `piece Front, section Panel: formula "edge * edge", column 6: a length times a length`, `end = "edge / 2"`},
		{`of = "Panel"`, `of = "Panels"`, `the piece has no section "Panels"`, `of = "Panel"`},
		{`width = { gap = "4 cm" }`, `width = { hole = "4 cm" }`, `"hole" is not part of the split`, `width = { gap = "4 cm" }`},
		{`into = ["Left", "gap", "Right"]`, `into = ["Left"]`, "is not part of the split", ``},
		{`mirror = "Front"`, `mirror = "Side"`, `"Side" is no earlier piece to mirror`, `mirror = "Front"`},
		{`mirror = "Front"`, ``, "a piece needs sections", `name = "Back"`},
		{`pick = ["Front.Panel.right", "corner 3", "Front.gap"]`, ``, "say the edges to pick up", ``},
		{`"corner 3"`, `"corner 30"`, "a corner has 1 to 9 stitches", `pick = [`},
		{`"Front.Panel.right", "corner 3"`, `"Front.Panel.inside"`, "an edge is written Piece.Section.side", `pick = [`},
		{`"Front.gap"]`, `"Front.hole"]`, `piece Front has no section or rest "hole"`, `pick = [`},
		{`"Front.gap"]`, `"Front"]`, `edge "Front": an edge is written`, `pick = [`},
		{`along = 1`, `along = 9`, "how many of the picked-up edges", `buttonholes = {`},
		{`a = ["Front.Panel.left"]`, `a = []`, "join side: name the edges", `a = ["Front.Panel.left"]`},
		{`a = ["Front.Panel.left"]`, `a = ["Side.Panel.left"]`, `there is no piece "Side"`, `a = ["Front.Panel.left"]`},
		{`name = "Edging"`, `name = "Back"`, `there are two pieces "Back"`, `name = "Edging"`},
		{`length = "edge"`, "length = \"edge\"\nrows = 4", "say either a length or a number of rows", ``},
		{`start = "3 cm"`, "start = \"3 cm\"\nof = \"Panel\"", "the first section of a piece has no section below it", ``},
		{`start = "3 cm"`, "start = \"3 cm\"\nopening = \"3 cm\"", "only a section in rounds has an opening", ``},
		{`start = "3 cm"`, "start = \"3 cm\"\nunderarm = \"3 cm\"", "goes on from a raglan", ``},
		{`start = "3 cm"`, "start = \"3 cm\"\nshape = \"raglan\"", `shape = "raglan" needs panels`, ``},
		{`start = "3 cm"`, "start = \"3 cm\"\npanels = { body_start = \"9 cm\" }", "nothing else has them", ``},
		{`start = "3 cm"`, "shape = \"raglan\"\n" + panels, "a raglan is worked in rounds from a chain", ``},
		{`worked = "sideways"`, "worked = \"rounds\"\nshape = \"raglan\"\n" + panels, "the panels say how wide a raglan is", ``},
	} {
		text := strings.Replace(cushion, test.old, test.new, 1)
		if text == cushion {
			t.Fatalf("%q is not in the file", test.old)
		}
		_, err := Read("cushion.toml", []byte(text))
		var wrong *FileError
		if !errors.As(err, &wrong) {
			t.Errorf("%s → %s: got %v, want a *FileError", test.old, test.new, err)
			continue
		}
		if !strings.Contains(err.Error(), test.where) || !strings.HasPrefix(err.Error(), "cushion.toml") {
			t.Errorf("%s → %s: got %q, want it to say %q", test.old, test.new, err, test.where)
		}
		if test.line != "" && wrong.Line != lineOf(test.line) {
			t.Errorf("%s → %s: names line %d, want %d (%v)", test.old, test.new, wrong.Line, lineOf(test.line), err)
		}
	}
}

func TestFind(t *testing.T) {
	for _, name := range []string{"hat", "HAT", " hat "} {
		if p, ok := Find(name); !ok || p.Name != "hat" {
			t.Errorf("Find(%q) = %v, %v", name, p, ok)
		}
	}
	if _, ok := Find("house"); ok {
		t.Error("found a pattern that is not there")
	}
}

func TestKey(t *testing.T) {
	for text, want := range map[string]string{"Upper Arm": "upper arm", "upper_arm": "upper arm", " upper-arm ": "upper arm", "": ""} {
		if got := Key(text); got != want {
			t.Errorf("Key(%q) = %q, want %q", text, got, want)
		}
	}
}

// FuzzRead reads anything without panic or endless work, and what it finds
// good has only edges and measures that exist.
func FuzzRead(f *testing.F) {
	f.Add(cushion)
	files, err := filepath.Glob("house/*.toml")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Read("p.toml", []byte(text))
		if err != nil {
			var wrong *FileError
			if !errors.As(err, &wrong) {
				t.Errorf("%v is no *FileError", err)
			}
			return
		}
		for _, j := range p.Joins {
			for _, e := range append(j.A, j.B...) {
				if err := p.Has(e); err != nil {
					t.Error(err)
				}
			}
		}
	})
}
