package commands

import (
	"slices"
	"strings"

	"countwright/calc/along"
	"countwright/calc/lesson"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/calc/trouble"
	"countwright/commands/words"
)

// tripUp is something that goes amiss for many in a part of the work.
type tripUp struct {
	ID      string // of the trouble; of a stitch's lesson, the stitch's
	Trouble bool   // ID is a trouble's
	See, Do string // what one sees, and what to do
	Caution string
	said    words.Printer
}

// Text is the trip-up in a line.
func (t tripUp) Text() string {
	if t.Trouble {
		return t.said.Say("“%s”: %s", t.See, t.Do)
	}
	return t.See + ": " + t.Do
}

// causeOf names one cause of a trouble of the beginners' desk.
type causeOf struct {
	trouble string
	check   int // from 0
}

// usualTrips are the causes that are told with what a milestone is about, the
// commonest first. Common practice, no source.
var usualTrips = map[string][]causeOf{
	along.AboutChain:      {{"foundation tight", 0}, {"foundation loose", 1}, {"foundation tight", 1}, {"gauge one way", 3}},
	along.AboutRing:       {{"ring opens", 0}, {"circle ruffles", 0}, {"circle cups", 3}, {"circle corners", 0}},
	along.AboutRound:      {{"seam leans", 2}, {"seam leans", 1}, {"stripe step", 2}, {"leans", 1}},
	along.AboutIncrease:   {{"edges slant out", 2}, {"row does not come out", 0}, {"count grows", 3}},
	along.AboutDecrease:   {{"holes at decreases", 0}, {"edges slant in", 3}, {"holes at decreases", 2}},
	along.AboutButtonhole: {{"button band gapes", 1}, {"button band gapes", 0}, {"button band gapes", 2}},
	along.AboutEdge:       {{"edging ruffles", 0}, {"edging puckers", 1}, {"edging ruffles", 2}, {"edging puckers", 0}},
	along.AboutSeam:       {{"seams do not meet", 1}, {"seams do not meet", 3}, {"seams do not meet", 0}},
	along.AboutEnds:       {{"ends come out", 1}, {"ends come out", 0}, {"grew after washing", 1}, {"curls", 3}},
	along.AboutRow:        {{"count shrinks", 0}, {"gap at the edge", 0}, {"edges slant in", 1}, {"leans", 0}, {"count grows", 0}},
}

// tripsByWord are causes told where a milestone or its pieces have a word in
// their names.
var tripsByWord = []struct {
	words  []string
	causes []causeOf
}{
	{[]string{"sleeve"}, []causeOf{{"sleeve too narrow", 0}, {"sleeve too narrow", 2}}},
	{[]string{"neck", "collar"}, []causeOf{{"neckline gapes", 1}, {"neck too tight", 0}, {"neckline gapes", 2}}},
	{[]string{"rib", "cuff", "hem", "brim"}, []causeOf{{"ribbing too tight", 1}, {"ribbing too loose", 1}, {"ribbing too tight", 0}}},
	{[]string{"square", "granny"}, []causeOf{{"square is not square", 0}, {"square is not square", 3}}},
	{[]string{"stripe", "color", "colour"}, []causeOf{{"color joins", 0}, {"color joins", 2}}},
	{[]string{"stuff", "ball", "toy"}, []causeOf{{"ball has holes", 0}, {"ball has holes", 2}}},
}

// anyTrips are what can happen in any part.
var anyTrips = []causeOf{{"uneven stitches", 0}, {"hands tight", 2}, {"cannot see stitches", 1}, {"uneven stitches", 2}, {"yarn splits", 1}, {"too stiff", 0}}

// mostTrips are told in one check-in.
const mostTrips = 3

// bothTerms is for a channel, which has no settings: US terms, with the UK ones
// beside.
const bothTerms = stitch.AnyDialect

// tripUps are the usual trip-ups of a milestone: of what is worked in it first,
// and none that an earlier milestone told already, as long as there are others.
func tripUps(p words.Printer, c Course, milestone int, d stitch.Dialect) []tripUp {
	told := map[causeOf]bool{}
	var found []tripUp
	for i := 0; i <= milestone && i < len(c.Milestones); i++ {
		found = nil
		for _, fresh := range []bool{true, false} {
			for _, cause := range tripsOf(c, i) {
				if len(found) == mostTrips {
					break
				}
				t, ok := cause.tell(p, d)
				if !ok || told[cause] == fresh || slices.ContainsFunc(found, func(o tripUp) bool { return o.See == t.See }) {
					continue
				}
				told[cause] = true
				found = append(found, t)
			}
		}
	}
	return found
}

// tripsOf are all causes for a milestone: by turns one of each thing that it is
// about, then those of any part. A stitch's own come with its name as the
// trouble.
func tripsOf(c Course, milestone int) []causeOf {
	stone := c.Milestones[milestone]
	var lists [][]causeOf
	names := strings.ToLower(strings.Join(append(piecesOf(c, milestone), stone.Title), " "))
	for _, w := range tripsByWord {
		if slices.ContainsFunc(w.words, func(word string) bool { return strings.Contains(names, word) }) {
			lists = append(lists, w.causes)
		}
	}
	about := slices.Clone(stone.About)
	slices.SortStableFunc(about, func(a, b string) int { return telling(a) - telling(b) })
	for _, a := range about {
		if causes, ok := usualTrips[a]; ok {
			lists = append(lists, causes)
		} else if s, _ := stitch.Lookup(stitch.ID(a)); s.Kind == stitch.Together || s.Kind == stitch.Increase {
			continue // told with decreases and increases in general
		} else if l, ok := lesson.For(stitch.ID(a), stitch.US); ok {
			var own []causeOf
			for i := range l.Mistakes {
				own = append(own, causeOf{a, i})
			}
			lists = append(lists, own)
		}
	}
	var all []causeOf
	for turn := 0; ; turn++ {
		more := false
		for _, l := range lists {
			if turn < len(l) {
				all, more = append(all, l[turn]), true
			}
		}
		if !more {
			return append(all, anyTrips...)
		}
	}
}

// telling orders what a milestone is about: that it is worked in rows or in a
// stitch says least.
func telling(about string) int {
	switch _, known := usualTrips[about]; {
	case about == along.AboutRow:
		return 3
	case !known:
		return 2
	case about == along.AboutRound, about == along.AboutChain:
		return 1
	}
	return 0
}

// tell is the cause in words: a trouble's, or a mistake of a stitch's lesson.
func (c causeOf) tell(p words.Printer, d stitch.Dialect) (tripUp, bool) {
	if d != bothTerms {
		return c.tellIn(p, d)
	}
	us, ok := c.tellIn(p, stitch.US)
	uk, _ := c.tellIn(p, stitch.UK)
	us.See, us.Do, us.Caution = beside(us.See, uk.See), beside(us.Do, uk.Do), beside(us.Caution, uk.Caution)
	return us, ok
}

func (c causeOf) tellIn(p words.Printer, d stitch.Dialect) (tripUp, bool) {
	say := func(text string) string { return term.Say(p.Say(words.Key(text)), d) }
	if t, ok := trouble.RawOf(c.trouble); ok && c.check < len(t.Checks) {
		t = t.Told(say)
		check := t.Checks[c.check]
		return tripUp{said: p, ID: t.ID, Trouble: true, See: t.Symptom, Do: check.Cause + " " + check.Fix, Caution: t.Caution}, true
	}
	s, known := stitch.Lookup(stitch.ID(c.trouble))
	l, ok := lesson.Raw(stitch.ID(c.trouble))
	if !known || !ok || c.check >= len(l.Mistakes) {
		return tripUp{}, false
	}
	l = l.Told(say)
	return tripUp{said: p, ID: c.trouble, See: s.In(d).Short(), Do: l.Mistakes[c.check], Caution: l.Caution}, true
}

// piecesOf are the pieces that a milestone asks for and the one before it does
// not, as far.
func piecesOf(c Course, milestone int) []string {
	var names []string
	for _, g := range c.Milestones[milestone].Goals {
		before := milestone > 0 && slices.Contains(c.Milestones[milestone-1].Goals, g)
		if !before && !slices.Contains(names, g.Piece) {
			names = append(names, g.Piece)
		}
	}
	return names
}

// beside is a text in US terms with the UK words after those that differ, each
// told once: "In sc (UK dc) that is about six".
func beside(us, uk string) string {
	if us == uk {
		return us
	}
	a, b := strings.Fields(us), strings.Fields(uk)
	told := map[string]bool{}
	var out []string
	for _, run := range aligned(a, b) {
		if run.same {
			out = append(out, a[run.a:run.aEnd]...)
			continue
		}
		words, other := strings.Join(a[run.a:run.aEnd], " "), strings.Join(b[run.b:run.bEnd], " ")
		head, bare, tail := bareWord(words)
		_, otherBare, _ := bareWord(other)
		if key := strings.ToLower(bare); bare != "" && !told[key] && !spelling(bare, otherBare) {
			told[key] = true
			words = head + bare + " (UK " + otherBare + ")" + tail
			if head != "" { // within brackets already
				words = head + bare + ", UK " + otherBare + tail
			}
		}
		out = append(out, words)
	}
	return strings.Join(out, " ")
}

// bareWord parts a word from the marks around it.
func bareWord(s string) (head, word, tail string) {
	word = strings.TrimLeft(s, "([")
	head = s[:len(s)-len(word)]
	bare := strings.TrimRight(word, ".,;:!?)]")
	return head, bare, word[len(bare):]
}

// spelling reports whether a word is the same but for how it is spelt: color
// and colour, center and centre.
func spelling(us, uk string) bool {
	return strings.ReplaceAll(uk, "our", "or") == us || strings.ReplaceAll(uk, "tre", "ter") == us || strings.ReplaceAll(uk, "bre", "ber") == us
}

// wordRun is a stretch of words that are the same in two texts, or differ.
type wordRun struct {
	same             bool
	a, aEnd, b, bEnd int
}

// aligned pairs the words of two texts that were filled from one: the longest
// common subsequence, with what lies between. A difference never begins with
// nothing on the left: it takes the word before it along.
func aligned(a, b []string) []wordRun {
	long := make([][]int, len(a)+1)
	for i := range long {
		long[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if long[i][j] = max(long[i+1][j], long[i][j+1]); a[i] == b[j] {
				long[i][j] = long[i+1][j+1] + 1
			}
		}
	}
	var runs []wordRun
	add := func(same bool, i, j, iEnd, jEnd int) {
		if n := len(runs); n > 0 && runs[n-1].same == same {
			runs[n-1].aEnd, runs[n-1].bEnd = iEnd, jEnd
			return
		}
		runs = append(runs, wordRun{same, i, iEnd, j, jEnd})
	}
	for i, j := 0, 0; i < len(a) || j < len(b); {
		switch {
		case i < len(a) && j < len(b) && a[i] == b[j]:
			add(true, i, j, i+1, j+1)
			i, j = i+1, j+1
		case j == len(b) || i < len(a) && long[i+1][j] >= long[i][j+1]:
			add(false, i, j, i+1, j)
			i++
		default:
			add(false, i, j, i, j+1)
			j++
		}
	}
	for i := range runs {
		if r := &runs[i]; !r.same && r.a == r.aEnd && i > 0 {
			runs[i-1].aEnd, runs[i-1].bEnd = runs[i-1].aEnd-1, runs[i-1].bEnd-1
			r.a, r.b = r.a-1, r.b-1
		}
	}
	return runs
}
