package picture

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// longTitle is as long as a milestone's may be, with a word that no line holds.
const longTitle = "The yoke in rounds up to the divide for body and sleeves, with the raglan increases on every second round and unbreakablysomethingverylongindeedthatnolinecanholdwhole at its end"

func boardOf(members, stages int, title string) Board {
	b := Board{Title: "Harbour make-along", Counted: members}
	for i := range stages {
		s := Stage{Title: fmt.Sprintf("%s %d", title, i+1), Date: fmt.Sprintf("%d January", 3+2*i), Reached: members * (stages - i) / (stages + 1), Now: i == stages/2}
		if i < 3 {
			s.Names = "Ada, Bela, Odile and 3 more"
		}
		b.Stages = append(b.Stages, s)
	}
	return b
}

var boards = map[string]Board{
	"board-small": {Title: "Harbour make-along", Counted: 8, Stages: []Stage{
		{Title: "The back, up to the armholes", Date: "10 January", Reached: 7, Names: "Ada, Bela, Mira, Odile and 3 more"},
		{Title: "The back", Date: "17 January", Reached: 5, Names: "Ada, Odile and 3 more"},
		{Title: "Both fronts", Date: "31 January", Reached: 2, Names: "Odile and 1 more", Now: true},
		{Title: "Sleeves", Date: "14 February"},
		{Title: "Sewn together, with its band", Date: "21 February"},
	}, Notes: []string{"2 are resting, which is part of making."}},
	"board-none":  {Title: "Two of us", Stages: []Stage{{Title: "The brim", Date: "3 March", Now: true}, {Title: "The crown", Date: "10 March"}}},
	"board-large": boardOf(500, 12, "A piece of the work"),
	"board-long":  boardOf(500, 12, longTitle),
	"board-two":   boardOf(8, 2, longTitle),
}

func TestBoards(t *testing.T) {
	for name, b := range boards {
		t.Run(name, func(t *testing.T) {
			d, err := b.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, name, d)
			golden(t, name+".svg", SVG(d))
		})
	}
}

// Whatever the group and its titles, nothing collides, each milestone has its
// figure, and the description names all of them within what is read at once.
func TestAnyBoard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Board{Title: "Any", Counted: rapid.IntRange(0, 600).Draw(t, "counted")}
		for i := range rapid.IntRange(1, 12).Draw(t, "stages") {
			b.Stages = append(b.Stages, Stage{
				Title: rapid.StringMatching(`[A-Za-zäöß ]{1,200}`).Draw(t, "title"), Date: fmt.Sprintf("%d January", i+1), Now: i == 1,
				Reached: rapid.IntRange(0, b.Counted).Draw(t, "reached"), Names: rapid.StringMatching(`([A-Z][a-z]{1,12}, ){0,12}Ada`).Draw(t, "names"),
			})
		}
		d, err := b.Draw()
		if err != nil {
			t.Fatal(err)
		}
		if found := collisions(d); len(found) > 0 {
			t.Fatal(found[0])
		}
		if n := utf8.RuneCountInString(d.Description); n > describable {
			t.Fatalf("a description of %d characters", n)
		}
		for _, s := range b.Stages {
			if b.Counted == 0 {
				continue
			}
			figure := fmt.Sprint(s.Reached)
			if s.Reached == 0 {
				figure = string(ahead)
			}
			if !strings.Contains(d.Description, ": "+figure) {
				t.Fatalf("%q is not told in %q", figure, d.Description)
			}
			if !has(d, figure) {
				t.Fatalf("no %q on the picture", figure)
			}
		}
		for _, m := range d.Marks {
			if m, ok := m.(Text); ok && m.Size < smallSize {
				t.Fatalf("%q is too small", m.Text)
			}
		}
	})
}

func has(d *Drawing, text string) bool {
	for _, m := range d.Marks {
		if t, ok := m.(Text); ok && t.Text == text {
			return true
		}
	}
	return false
}

// A loop is drawn for each member of a small group, and no more.
func TestBoardLoops(t *testing.T) {
	for _, c := range []struct{ counted, reached, loops int }{
		{8, 0, 0}, {8, 5, 5}, {30, 30, 30},
		{500, 500, mostInBand}, {500, 250, 15}, {500, 255, 15}, {500, 260, 16}, {500, 1, 1}, // by hand: a loop for 16⅔; half of one is drawn, less is not
	} {
		d, err := Board{Counted: c.counted, Stages: []Stage{{Title: "The back", Reached: c.reached}}}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		loops := 0
		for _, m := range d.Marks {
			if _, ok := m.(Circle); ok {
				loops++
			}
		}
		if loops != c.loops {
			t.Errorf("%d of %d: %d loops, want %d", c.reached, c.counted, loops, c.loops)
		}
	}
}

// The most milestones that a make-along can have are a picture still, and their
// description is one that is read at once.
func TestBoardMost(t *testing.T) {
	d, err := boardOf(500, mostStages, longTitle).Draw()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := PNG(d, PNGOptions{}); err != nil {
		t.Error(err)
	}
	if n := utf8.RuneCountInString(d.Description); n > describable {
		t.Errorf("a description of %d characters", n)
	}
}

func TestBoardRefuses(t *testing.T) {
	for what, b := range map[string]Board{
		"no milestone":        {},
		"more than there are": {Counted: 3, Stages: []Stage{{Reached: 4}}},
		"less than none":      {Counted: 3, Stages: []Stage{{Reached: -1}}},
		"too many milestones": {Stages: make([]Stage, mostStages+1)},
	} {
		if _, err := b.Draw(); err == nil {
			t.Errorf("%s was drawn", what)
		}
	}
}

func BenchmarkBoard500(b *testing.B) {
	for b.Loop() {
		d, err := boards["board-large"].Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
