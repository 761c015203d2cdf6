// Package lesson teaches the stitches of the stitch dictionary: what each is,
// its steps with the loops on the hook after every one, when to use it and
// what often goes wrong. The texts are in the folder lessons, to be edited by
// anyone who can crochet.
package lesson

import (
	"embed"
	"io/fs"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/stitch"
	"countwright/calc/term"
)

//go:embed lessons/*.toml
var lessonFiles embed.FS

var lessonNames = []string{"lessons/basic.toml", "lessons/post.toml", "lessons/group.toml", "lessons/start.toml", "lessons/pattern.toml"}

// Lesson teaches one stitch.
type Lesson struct {
	Stitch   stitch.ID
	What     string   // what it is
	Use      string   // when to use it
	Mistakes []string // what often goes wrong, with its remedy
	Caution  string   // where it can hurt somebody; empty for most
	Sample   string   // a few rows of it in US terms, for a chart; empty for most
	Start    int      // loops on the hook at the beginning
	Ends     int      // loops on the hook at the end
	Steps    []Step
}

// Step is one thing to do.
type Step struct {
	Do    string // in short sentences
	Loops int    // on the hook when the step is done
	// Hook is what the hook does in signs ("yo up t2"); see Loops. Empty where
	// a step says nothing of loops.
	Hook string
}

// row is a lesson as a file writes it: start and ends are 1 where they are
// left out.
type row struct {
	Stitch             stitch.ID
	What, Use, Caution string
	Sample             string
	Mistakes           []string
	Start, Ends        *int
	Steps              []Step
}

type book struct {
	lessons []Lesson
	byID    map[stitch.ID]int
}

// lessons reads the embedded files once; the package's tests read the same
// files, so a fault in them never reaches a program.
var lessons = sync.OnceValue(func() *book {
	b, err := readLessons(lessonFiles, lessonNames)
	if err != nil {
		panic(err)
	}
	return b
})

// All returns the lessons in their order, with the words of a dialect filled
// in.
func All(d stitch.Dialect) []Lesson {
	all := make([]Lesson, len(lessons().lessons))
	for i, l := range lessons().lessons {
		all[i] = l.in(d)
	}
	return all
}

// For returns the lesson of a stitch in the words of a dialect. A stitch
// without a lesson of its own gets that of its nearest kin, whose ID is then
// the lesson's Stitch: for "dc3tog" that of decreases in general, for "4-tr
// cluster" that of clusters.
func For(id stitch.ID, d stitch.Dialect) (Lesson, bool) {
	l, ok := Raw(id)
	return l.in(d), ok
}

// Raw returns the lesson that For returns, its texts as the files have them:
// with the words that differ between dialects in braces, see term.Say.
func Raw(id stitch.ID) (Lesson, bool) {
	s, ok := stitch.Lookup(id)
	if !ok {
		return Lesson{}, false
	}
	for _, kin := range kin(s) {
		if i, ok := lessons().byID[kin]; ok {
			return lessons().lessons[i].Told(func(text string) string { return text }), true
		}
	}
	return Lesson{}, false
}

// kin lists the stitches whose lesson serves a stitch, the nearest first.
func kin(s stitch.Stitch) []stitch.ID {
	general := map[stitch.Kind]stitch.ID{
		stitch.Together: "dec", stitch.Increase: "inc", stitch.Group: "shell",
		stitch.Cluster: "cluster", stitch.Crossed: "crossed dc", stitch.Picot: "picot",
	}
	list := []stitch.ID{s.ID}
	switch s.Kind {
	case stitch.Cluster, stitch.Group:
		for _, row := range []stitch.ID{"bobble", "puff", "popcorn", "v-st", "shell"} {
			if hasWord(string(s.ID), string(row)) {
				list = append(list, row)
			}
		}
	}
	if id, ok := general[s.Kind]; ok {
		list = append(list, id)
	}
	return append(list, s.Base)
}

// hasWord reports whether a name ends with a word.
func hasWord(name, word string) bool {
	n := len(name) - len(word)
	return n > 0 && name[n-1] == ' ' && name[n:] == word
}

// in returns a copy with the words of a dialect.
func (l Lesson) in(d stitch.Dialect) Lesson {
	return l.Told(func(text string) string { return term.Say(text, d) })
}

// Texts are all texts of the lesson but the sample.
func (l Lesson) Texts() []string {
	texts := append([]string{l.What, l.Use, l.Caution}, l.Mistakes...)
	for _, s := range l.Steps {
		texts = append(texts, s.Do)
	}
	return texts
}

// Told returns a copy in which each text but the sample is as say tells it.
func (l Lesson) Told(say func(string) string) Lesson {
	l.What, l.Use, l.Caution = say(l.What), say(l.Use), say(l.Caution)
	mistakes := make([]string, len(l.Mistakes))
	for i, m := range l.Mistakes {
		mistakes[i] = say(m)
	}
	steps := make([]Step, len(l.Steps))
	for i, s := range l.Steps {
		steps[i] = Step{say(s.Do), s.Loops, s.Hook}
	}
	l.Mistakes, l.Steps = mistakes, steps
	return l
}

// readLessons reads and checks the lessons; all faults are reported at once.
func readLessons(folder fs.FS, names []string) (*book, error) {
	b := &book{byID: map[stitch.ID]int{}}
	var faults entry.Faults
	err := entry.Each(folder, names, func(file string, content struct{ Lesson []row }) {
		for _, r := range content.Lesson {
			faults.File, faults.Entry = file, string(r.Stitch)
			_, twice := b.byID[r.Stitch]
			faults.Need(!twice, "there are two lessons of the stitch")
			l := r.lesson()
			l.check(&faults)
			b.byID[l.Stitch] = len(b.lessons)
			b.lessons = append(b.lessons, l)
		}
	})
	if err != nil {
		return nil, err
	}
	return b, faults.Err()
}

func (r row) lesson() Lesson {
	l := Lesson{Stitch: r.Stitch, What: r.What, Use: r.Use, Mistakes: r.Mistakes, Caution: r.Caution, Sample: r.Sample, Start: 1, Ends: 1, Steps: r.Steps}
	if r.Start != nil {
		l.Start = *r.Start
	}
	if r.Ends != nil {
		l.Ends = *r.Ends
	}
	return l
}

// check records what is wrong with a lesson.
func (l Lesson) check(f *entry.Faults) {
	_, known := stitch.Lookup(l.Stitch)
	f.Need(known, "is not in the stitch dictionary")
	f.Need(l.What != "", "what is missing")
	f.Need(l.Use != "", "use is missing")
	f.Need(len(l.Mistakes) > 0, "mistakes are missing")
	f.Need(len(l.Steps) > 0, "steps are missing")
	for _, s := range l.Steps {
		f.Need(s.Do != "", "a step says nothing")
	}
	for _, text := range l.Texts() {
		if err := term.CheckText(text); err != nil {
			f.Need(false, "%v", err)
		}
	}
	on := l.Start
	for i, s := range l.Steps {
		after, err := Loops(on, s.Hook)
		if err != nil {
			f.Need(false, "step %d: %v", i+1, err)
			return
		}
		f.Need(after == s.Loops, "step %d: loops says %d, but the hook holds %d", i+1, s.Loops, after)
		on = after
	}
	f.Need(on == l.Ends, "the hook holds %d at the end, not %d", on, l.Ends)
}
