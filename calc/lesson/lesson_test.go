package lesson

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/stitch"
)

const goodLesson = `[[lesson]]
stitch = "hdc"
what = "A stitch."
use = "For hats."
mistakes = ["None."]
steps = [
  { do = "{Yarn over}.", hook = "yo", loops = 2 },
  { do = "Pull up a loop.", hook = "in up", loops = 3 },
  { do = "Pull through all three loops.", hook = "t3", loops = 1 },
]
`

func TestFaultyLessonsAreNamed(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"hdc"`, `"hdcc"`, `entry "hdcc": is not in the stitch dictionary`},
		{`what = "A stitch."`, ``, `what is missing`},
		{`use = "For hats."`, ``, `use is missing`},
		{`["None."]`, `[]`, `mistakes are missing`},
		{`A stitch.`, `A {stich}.`, `{stich} is neither a stitch nor a term`},
		{`do = "Pull up a loop."`, `do = ""`, `a step says nothing`},
		{`loops = 3`, `loops = 4`, `step 2: loops says 4, but the hook holds 3`},
		{`"t3"`, `"t2"`, `step 3: loops says 1, but the hook holds 2`},
		{`"t3"`, `"t4"`, `step 3: hook: "t4", but only 3 loops are on the hook`},
		{`"t3", loops = 1`, `"t2", loops = 2`, `the hook holds 2 at the end, not 1`},
		{`"yo"`, `"wrap"`, `step 1: hook: "wrap" is none of yo`},
		{"]\n", "]\n" + goodLesson, `there are two lessons`},
		{`loops = 3`, `loop = 3`, `loop`},
	} {
		data := strings.Replace(goodLesson, c.old, c.new, 1)
		if c.old == "]\n" {
			data = goodLesson + goodLesson
		}
		_, err := readLessons(fstest.MapFS{"a.toml": {Data: []byte(data)}}, []string{"a.toml"})
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a.toml") {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	if _, err := readLessons(fstest.MapFS{"a.toml": {Data: []byte(goodLesson)}}, []string{"a.toml"}); err != nil {
		t.Error(err)
	}
}

func TestEmbeddedLessons(t *testing.T) {
	b, err := readLessons(lessonFiles, lessonNames)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range stitch.All() {
		if _, ok := b.byID[s.ID]; !ok {
			t.Errorf("%s has no lesson", s.ID)
		}
	}
	if len(b.lessons) < 60 {
		t.Errorf("%d lessons, want at least 60", len(b.lessons))
	}
	entries, err := lessonFiles.ReadDir("lessons")
	if err != nil || len(entries) != len(lessonNames) {
		t.Errorf("%d files in the folder, %d are read (%v)", len(entries), len(lessonNames), err)
	}
}

// The steps of a lesson are those of the stitch table: its yarn-overs come
// before the first loop, and each leg pulls up a loop.
func TestStepsAgreeWithTheTable(t *testing.T) {
	for _, l := range All(stitch.US) {
		s, _ := stitch.Lookup(l.Stitch)
		var signs []string
		for _, step := range l.Steps {
			signs = append(signs, strings.Fields(step.Hook)...)
		}
		wraps := 0
		for _, sign := range signs {
			if sign == "up" {
				break
			}
			if sign == "yo" {
				wraps++
			}
		}
		linked := s.ID == "ldc" || s.ID == "ltr" // the bar takes the place of the wraps
		switch s.Kind {
		case stitch.Basic, stitch.Extended, stitch.Post, stitch.Foundation, stitch.Manner:
			if !linked && s.Base != "" || s.Kind == stitch.Basic {
				if wraps != s.YarnOvers && !linked {
					t.Errorf("%s: %d wraps before the first loop, the table says %d", s.ID, wraps, s.YarnOvers)
				}
			}
		}
		ups := strings.Count(" "+strings.Join(signs, " ")+" ", " up ")
		legs := 0
		for _, p := range s.Parts {
			legs += p.Many
		}
		switch {
		case s.Kind == stitch.Basic && ups != 1:
			t.Errorf("%s: pulls up %d loops", s.ID, ups)
		case s.Kind == stitch.Cluster && s.ID != "popcorn" && ups != legs:
			t.Errorf("%s: pulls up %d loops for %d legs", s.ID, ups, legs)
		}
	}
}

// The trade's rule of two: from dc up, each wrap is one pull through two
// loops, and one more closes the stitch.
// Source: Handbook of Wool Knitting and Crochet, 1918, and by hand.
func TestPullsOfTallStitches(t *testing.T) {
	for id, wraps := range map[stitch.ID]int{"dc": 1, "tr": 2, "dtr": 3, "trtr": 4, "quadtr": 5} {
		l, _ := For(id, stitch.US)
		pulls := 0
		for _, step := range l.Steps {
			pulls += strings.Count(step.Hook, "t2")
		}
		if pulls != wraps+1 {
			t.Errorf("%s: %d pulls through two loops, want %d", id, pulls, wraps+1)
		}
	}
}

func TestLoops(t *testing.T) {
	for _, c := range []struct {
		on    int
		signs string
		want  int
		src   string
	}{
		{1, "in up t2", 1, "by hand: single crochet"},
		{1, "yo in up t3", 1, "by hand: half double crochet"},
		{1, "yo in up", 3, "by hand: before the first pull of a double crochet"},
		{1, "yo in up t2 t2", 1, "by hand: double crochet"},
		{1, "yo in up t2 yo in up t2 yo in up t2", 4, "by hand: three open legs of a cluster"},
		{1, "in up in up all", 1, "by hand: single crochet two together"},
		{1, "in up off", 1, "by hand: slip stitch"},
		{1, "t1 t1 t1", 1, "by hand: three chains"},
		{1, "off", 0, "by hand: fastened off"},
		{1, "", 1, "nothing done"},
	} {
		if got, err := Loops(c.on, c.signs); err != nil || got != c.want {
			t.Errorf("%q from %d: %d, %v, want %d (%s)", c.signs, c.on, got, err, c.want, c.src)
		}
	}
	for _, bad := range []string{"t", "tx", "t0", "t2", "off off", "off all", "wrap"} {
		if got, err := Loops(1, bad); err == nil {
			t.Errorf("%q gives %d without an error", bad, got)
		}
	}
}

func TestNearestKin(t *testing.T) {
	for _, c := range []struct{ id, lesson stitch.ID }{
		{"sc", "sc"},
		{"FPdc", "fpdc"},
		{"dc3tog", "dec"},
		{"fpdc2tog", "dec"},
		{"sc inc", "inc"},
		{"3-hdc inc", "inc"},
		{"7-dc shell", "shell"},
		{"tr v-st", "v-st"},
		{"4-tr cluster", "cluster"},
		{"5-hdc puff", "puff"},
		{"dc popcorn", "popcorn"},
		{"3-dc bobble", "bobble"},
		{"crossed tr", "crossed dc"},
		{"ch-5 picot", "picot"},
	} {
		l, ok := For(c.id, stitch.US)
		if !ok || l.Stitch != c.lesson {
			t.Errorf("%s gets the lesson of %q (%v), want %s", c.id, l.Stitch, ok, c.lesson)
		}
	}
	if l, ok := For("banana", stitch.US); ok {
		t.Errorf("banana gets the lesson of %s", l.Stitch)
	}
}

// Nothing of a lesson in UK terms speaks US, and the other way round.
func TestLessonsKeepToOneDialect(t *testing.T) {
	for _, l := range All(stitch.UK) {
		for _, text := range texts(l) {
			for _, word := range []string{"yarn over", "Yarn over", "skip ", "Skip ", "single crochet", "hdc", " sc ", "gauge", "{", "color", "center"} {
				if strings.Contains(text, word) {
					t.Errorf("%s in UK terms says %q: %s", l.Stitch, word, text)
				}
			}
		}
	}
	for _, l := range All(stitch.US) {
		for _, text := range texts(l) {
			for _, word := range []string{"round hook", "htr", " miss ", "half treble", "tension", "{", "colour"} {
				if strings.Contains(text, word) {
					t.Errorf("%s in US terms says %q: %s", l.Stitch, word, text)
				}
			}
		}
	}
}

// texts returns every sentence of a lesson.
func texts(l Lesson) []string {
	all := append([]string{l.What, l.Use, l.Caution}, l.Mistakes...)
	for _, s := range l.Steps {
		all = append(all, s.Do)
	}
	return all
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		ask  string
		d    stitch.Dialect
		want string
	}{
		{"sc", stitch.US, "sc"},
		{"dc", stitch.US, "dc"},
		{"dc", stitch.UK, "sc"},
		{"htr", stitch.US, "hdc"},
		{"how do i make a half double crochet", stitch.US, "hdc"},
		{"singel crochet", stitch.US, "sc"},
		{"dubble crochet", stitch.US, "dc"},
		{"trebble", stitch.UK, "dc"},
		{"slip stich", stitch.US, "sl st"},
		{"halbes Stäbchen", stitch.US, "hdc"},
		{"feste masche", stitch.UK, "sc"},
		{"maille en l'air", stitch.US, "ch"},
		{"こまあみ", stitch.US, "sc"},
		{"magic circle", stitch.US, "mr"},
		{"majic ring", stitch.US, "mr"},
		{"popcron", stitch.US, "popcorn"},
		{"crab stitch", stitch.US, "rsc"},
		{"invisible decrease", stitch.US, "invdec"},
		{"fptr", stitch.UK, "fpdc"},
		{"dc4tog", stitch.US, "dc4tog"},
		{"9-dc shell", stitch.US, "9-dc shell"},
		{"back loop only", stitch.US, "blo"},
	} {
		got := Find(c.ask, c.d, 5)
		if len(got) == 0 || got[0].Key != c.want {
			t.Errorf("%q in %v terms finds %v, want %s first", c.ask, c.d, got, c.want)
		}
	}
	if got := Find("qqqq", stitch.US, 5); len(got) > 0 {
		t.Errorf("qqqq finds %v", got)
	}
}

// Where a word means two stitches, both are offered, the member's own first.
func TestFindOffersBothMeanings(t *testing.T) {
	var keys []string
	for _, m := range Find("treble", stitch.UK, 5) {
		keys = append(keys, m.Key)
	}
	if !slices.Contains(keys, "dc") || !slices.Contains(keys, "tr") || keys[0] != "dc" {
		t.Errorf("treble finds %q", keys)
	}
}

func ExampleFor() {
	l, _ := For("hdc", stitch.UK)
	for i, s := range l.Steps {
		fmt.Printf("%d. %s (%d on the hook)\n", i+1, s.Do, s.Loops)
	}
	// Output:
	// 1. Yarn round hook. (2 on the hook)
	// 2. Put the hook in the next stitch, under both strands of the V. Yarn round hook and pull up a loop. (3 on the hook)
	// 3. Yarn round hook and pull through all three loops. (1 on the hook)
}

func ExampleLoops() {
	n, _ := Loops(1, "yo in up t2")
	fmt.Println(n, "loops before the last pull of a double crochet")
	// Output: 2 loops before the last pull of a double crochet
}

func ExampleFind() {
	for _, m := range Find("Stäbchen", stitch.US, 1) {
		fmt.Println(m.Key, m.Tag)
	}
	// Output: dc de
}

func FuzzLoops(f *testing.F) {
	f.Add("yo in up t2 t2")
	f.Add("t all off say pick")
	f.Fuzz(func(t *testing.T, signs string) {
		if n, err := Loops(1, signs); err == nil && n < 0 {
			t.Errorf("%q leaves %d loops", signs, n)
		}
	})
}
