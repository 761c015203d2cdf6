// Package guide leads through several commands to what a person wants to do.
// The texts are in the folder guides, to be edited by anyone.
package guide

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

//go:embed guides/*.toml
var guideFiles embed.FS

var guideNames = []string{"guides/beginner.toml", "guides/maker.toml", "guides/host.toml"}

// Levels are how much a person knows, the least first.
var levels = []string{"beginner", "maker", "host"}

// Guide is a way through several steps.
type Guide struct {
	ID    string
	Level string // whom it is for: "beginner", "maker" or "host"
	Want  string // what the person wants, after "I want to"
	Last  string // a word on comfort or safety
	Steps []Step
}

// Step is one thing to do.
type Step struct {
	Do   string // in short sentences
	Line string // the command for it, as it is typed
	Tap  string // what a button that runs it says; empty where the line needs the person's own numbers
}

type book struct {
	guides []Guide
	byID   map[string]int
}

// guides reads the embedded files once; the package's tests read the same
// files, so a fault in them never reaches a program.
var guides = sync.OnceValue(func() *book {
	b, err := readGuides(guideFiles, guideNames)
	if err != nil {
		panic(err)
	}
	return b
})

// All returns the guides in their order, in the words of a dialect.
func All(d stitch.Dialect) []Guide {
	all := make([]Guide, len(guides().guides))
	for i, g := range guides().guides {
		all[i] = g.in(d)
	}
	return all
}

// Lookup returns the guide of an ID in the words of a dialect; letter case
// does not matter.
func Lookup(id string, d stitch.Dialect) (Guide, bool) {
	i, ok := guides().byID[strings.ToLower(strings.TrimSpace(id))]
	if !ok {
		return Guide{}, false
	}
	return guides().guides[i].in(d), true
}

// in returns a copy with the words of a dialect.
func (g Guide) in(d stitch.Dialect) Guide {
	g.Want, g.Last = term.Say(g.Want, d), term.Say(g.Last, d)
	steps := make([]Step, len(g.Steps))
	for i, s := range g.Steps {
		steps[i] = Step{term.Say(s.Do, d), term.Say(s.Line, d), term.Say(s.Tap, d)}
	}
	g.Steps = steps
	return g
}

// row is a guide as a file writes it.
type row struct {
	ID, Want, Last string
	Step           []Step
}

// readGuides reads and checks the guides; all faults are reported at once.
func readGuides(folder fs.FS, names []string) (*book, error) {
	b := &book{byID: map[string]int{}}
	var faults entry.Faults
	err := entry.Each(folder, names, func(file string, content struct {
		Level string
		Guide []row
	}) {
		faults.File, faults.Entry = file, file
		faults.Need(slices.Contains(levels, content.Level), "level %q is none of %s", content.Level, strings.Join(levels, ", "))
		for _, r := range content.Guide {
			faults.Entry = r.ID
			_, twice := b.byID[r.ID]
			faults.Need(!twice, "the id stands twice in the files")
			g := Guide{r.ID, content.Level, r.Want, r.Last, r.Step}
			g.check(&faults)
			b.byID[g.ID] = len(b.guides)
			b.guides = append(b.guides, g)
		}
	})
	if err != nil {
		return nil, err
	}
	return b, faults.Err()
}

// check records what is wrong with a guide.
func (g Guide) check(f *entry.Faults) {
	f.Need(g.ID != "" && g.ID == strings.ToLower(g.ID), "id is missing or not in lower case")
	f.Need(g.Want != "", "want is missing")
	f.Need(g.Last != "", "last is missing: a word on comfort or safety")
	f.Need(len(g.Steps) > 1, "there must be at least two steps")
	texts := []string{g.Want, g.Last}
	for i, s := range g.Steps {
		f.Need(s.Do != "", "step %d: do is missing", i+1)
		f.Need(strings.HasPrefix(s.Line, "/"), "step %d: the line %q does not begin with a command", i+1, s.Line)
		texts = append(texts, s.Do, s.Line, s.Tap)
	}
	for _, text := range texts {
		if err := term.CheckText(text); err != nil {
			f.Need(false, "%v", err)
		}
	}
}
