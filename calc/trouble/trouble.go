// Package trouble leads from a symptom ("my circle ruffles") to its causes in
// order of likelihood, each with a way to test it, the arithmetic where there
// is some, and a fix. The texts are in the folder troubles, to be edited by
// anyone who can crochet; the arithmetic is here.
package trouble

import (
	"embed"
	"io/fs"
	"slices"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/lookup"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

//go:embed troubles/*.toml
var troubleFiles embed.FS

// The data files: symptoms in the order in which All returns them, and the
// sentences of the figures.
var (
	troubleNames = []string{"troubles/edge.toml", "troubles/shape.toml", "troubles/size.toml", "troubles/fabric.toml", "troubles/hand.toml"}
	figureName   = "troubles/figure.toml"
)

// Trouble is a symptom with what may cause it.
type Trouble struct {
	ID      string
	Topic   string   // what it is about, in a few words: that of its file
	Symptom string   // as a maker would say it: "My circle ruffles"
	Asked   []string // other ways to say it
	Checks  []Check  // the likeliest first
	Caution string   // comfort and safety; empty for most
	See     []string // other troubles close by, by ID
}

// Check is one possible cause.
type Check struct {
	Cause  string // "There are too many increases."
	Test   string // how to find out whether this is it
	Fix    string // what to do if it is
	Figure string // the arithmetic that tells, by ID; empty where there is none
	When   string // the outcome of the figure that confirms the cause
}

type book struct {
	troubles []Trouble
	byID     map[string]int
	figures  map[string]Figure
}

// desk reads the embedded files once; the package's tests read the same files,
// so a fault in them never reaches a program.
var desk = sync.OnceValue(func() *book {
	b, err := readTroubles(troubleFiles, troubleNames, figureName)
	if err != nil {
		panic(err)
	}
	return b
})

// All returns every trouble in the words of a dialect.
func All(d stitch.Dialect) []Trouble {
	all := make([]Trouble, len(desk().troubles))
	for i, t := range desk().troubles {
		all[i] = t.in(d)
	}
	return all
}

// Lookup returns the trouble of an ID in the words of a dialect.
func Lookup(id string, d stitch.Dialect) (Trouble, bool) {
	i, ok := desk().byID[id]
	if !ok {
		return Trouble{}, false
	}
	return desk().troubles[i].in(d), true
}

// Raw returns every trouble, its texts as the files have them: with the words
// that differ between dialects in braces, see term.Say.
func Raw() []Trouble {
	all := make([]Trouble, len(desk().troubles))
	for i, t := range desk().troubles {
		all[i] = t.Told(func(text string) string { return text })
	}
	return all
}

// RawOf returns the trouble of an ID as Raw does.
func RawOf(id string) (Trouble, bool) {
	i, ok := desk().byID[id]
	if !ok {
		return Trouble{}, false
	}
	return desk().troubles[i].Told(func(text string) string { return text }), true
}

// Find returns the troubles that a question can mean, the likeliest first, in
// a maker's own words, misspelt or not. The Key of a match is the trouble's
// ID.
func Find(question string, limit int) []lookup.Match { return index().Find(question, limit) }

var index = sync.OnceValue(func() *lookup.Index {
	var words []lookup.Word
	for _, d := range []stitch.Dialect{stitch.US, stitch.UK} {
		for _, t := range All(d) {
			for _, text := range append([]string{t.Symptom}, t.Asked...) {
				words = append(words, lookup.Word{Key: t.ID, Text: text, Tag: d.String()})
			}
		}
	}
	return lookup.New(words)
})

// in returns a copy with the words of a dialect.
func (t Trouble) in(d stitch.Dialect) Trouble {
	return t.Told(func(text string) string { return term.Say(text, d) })
}

// Told returns a copy in which each text but the topic is as say tells it.
func (t Trouble) Told(say func(string) string) Trouble {
	t.Symptom, t.Caution = say(t.Symptom), say(t.Caution)
	t.Asked, t.See = slices.Clone(t.Asked), slices.Clone(t.See)
	for i, a := range t.Asked {
		t.Asked[i] = say(a)
	}
	checks := make([]Check, len(t.Checks))
	for i, c := range t.Checks {
		c.Cause, c.Test, c.Fix = say(c.Cause), say(c.Test), say(c.Fix)
		checks[i] = c
	}
	t.Checks = checks
	return t
}

// row is a trouble as a file writes it.
type row struct {
	ID, Symptom, Caution string
	Asked, See           []string
	Check                []Check
}

// readTroubles reads and checks the data files; all faults are reported at
// once.
func readTroubles(folder fs.FS, names []string, figures string) (*book, error) {
	b := &book{byID: map[string]int{}}
	var err error
	if b.figures, err = readFigures(folder, figures); err != nil {
		return nil, err
	}
	var files []string
	var faults entry.Faults
	err = entry.Each(folder, names, func(file string, content struct {
		Topic   string
		Trouble []row
	}) {
		faults.File, faults.Entry = file, file
		faults.Need(content.Topic != "", "topic is missing")
		for _, r := range content.Trouble {
			faults.File, faults.Entry = file, r.ID
			_, twice := b.byID[r.ID]
			faults.Need(!twice, "the id stands twice in the files")
			b.byID[r.ID] = len(b.troubles)
			b.troubles = append(b.troubles, Trouble{r.ID, content.Topic, r.Symptom, r.Asked, r.Check, r.Caution, r.See})
			files = append(files, file)
		}
	})
	if err != nil {
		return nil, err
	}
	for i, t := range b.troubles {
		faults.File, faults.Entry = files[i], t.ID
		t.check(&faults, b)
	}
	return b, faults.Err()
}

// check records what is wrong with a trouble.
func (t Trouble) check(f *entry.Faults, b *book) {
	f.Need(t.ID != "", "id is missing")
	f.Need(t.Symptom != "", "symptom is missing")
	f.Need(len(t.Asked) > 0, "asked is missing: write two or three other ways to say it")
	f.Need(len(t.Checks) > 1, "there must be at least two checks")
	texts := append([]string{t.Symptom, t.Caution}, t.Asked...)
	for i, c := range t.Checks {
		f.Need(c.Cause != "" && c.Test != "" && c.Fix != "", "check %d: cause, test or fix is missing", i+1)
		texts = append(texts, c.Cause, c.Test, c.Fix)
		if c.Figure == "" {
			f.Need(c.When == "", "check %d: when without a figure", i+1)
			continue
		}
		figure, known := b.figures[c.Figure]
		f.Need(known, "check %d: there is no figure %q", i+1, c.Figure)
		if _, says := figure.says[c.When]; known {
			f.Need(says, "check %d: the figure %q never comes out as %q", i+1, c.Figure, c.When)
		}
	}
	for _, text := range texts {
		if err := term.CheckText(text); err != nil {
			f.Need(false, "%v", err)
		}
	}
	for _, id := range t.See {
		_, known := b.byID[id]
		f.Need(known && id != t.ID, "see: %q is not another trouble", id)
	}
}
