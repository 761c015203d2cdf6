package guide

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/stitch"
)

const goodGuide = `level = "beginner"
[[guide]]
id = "begin"
want = "begin"
last = "Rest."
  [[guide.step]]
  do = "Chain."
  line = "/stitch name:{ch}"
  tap = "Chain"
  [[guide.step]]
  do = "Turn."
  line = "/term word:turn"
`

func TestFaultyGuidesAreNamed(t *testing.T) {
	read := func(text string) error {
		_, err := readGuides(fstest.MapFS{"a.toml": {Data: []byte(text)}}, []string{"a.toml"})
		return err
	}
	if err := read(goodGuide); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`level = "beginner"`, ``, `level "" is none of beginner, maker, host`},
		{`"beginner"`, `"expert"`, `level "expert" is none of`},
		{`id = "begin"`, ``, `id is missing`},
		{`"begin"`, `"Begin"`, `not in lower case`},
		{`want = "begin"`, ``, `want is missing`},
		{`last = "Rest."`, ``, `last is missing`},
		{`do = "Chain."`, ``, `step 1: do is missing`},
		{`"/term word:turn"`, `"term word:turn"`, `step 2: the line "term word:turn" does not begin with a command`},
		{`{ch}`, `{cx}`, `{cx} is neither a stitch nor a term`},
		{`tap =`, `label =`, `label`},
	} {
		err := read(strings.Replace(goodGuide, c.old, c.new, 1))
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a.toml") {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	if err := read(goodGuide + strings.TrimPrefix(goodGuide, "level = \"beginner\"\n")); err == nil || !strings.Contains(err.Error(), "stands twice") {
		t.Errorf("two of one id: %v", err)
	}
	if err := read(goodGuide[:strings.LastIndex(goodGuide, "  [[")]); err == nil || !strings.Contains(err.Error(), "at least two steps") {
		t.Errorf("one step: %v", err)
	}
}

// Every level has guides, each is found by its ID, and none keeps a brace.
func TestGuides(t *testing.T) {
	count := map[string]int{}
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		for _, g := range All(d) {
			count[g.Level]++
			found, ok := Lookup(" "+strings.ToUpper(g.ID), d)
			if !ok || found.ID != g.ID || len(found.Steps) != len(g.Steps) {
				t.Errorf("%q leads to %+v", g.ID, found)
			}
			for _, s := range g.Steps {
				if strings.ContainsAny(s.Do+s.Line+s.Tap, "{}") {
					t.Errorf("%s keeps a brace: %+v", g.ID, s)
				}
			}
		}
	}
	for _, l := range levels {
		if count[l] == 0 {
			t.Errorf("no guide for a %s", l)
		}
	}
	if _, ok := Lookup("nonsense", stitch.US); ok {
		t.Error("there is a guide to nonsense")
	}
}

func ExampleAll() {
	g := All(stitch.UK)[0]
	fmt.Println("I want to", g.Want)
	for _, s := range g.Steps[1:3] {
		fmt.Println(s.Line)
	}
	// Output:
	// I want to make my first stitches
	// /stitch name:ch
	// /stitch name:dc
}

func ExampleLookup() {
	g, ok := Lookup("first stitches", stitch.US)
	fmt.Println(ok, g.Level, len(g.Steps))
	// Output: true beginner 5
}
