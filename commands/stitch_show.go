package commands

import (
	"strings"

	"countwright/calc/lesson"
	"countwright/calc/lookup"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// stitchAnswer is what /stitch has to say of a stitch.
type stitchAnswer struct {
	foundStitch
	r      Request
	own    ownStitch
	lesson lesson.Lesson // told in the words of the answer
	raw    lesson.Lesson // the same as the files have it
	taught bool          // there is a lesson of it
	parts  []reply.Block
}

func newStitchAnswer(r Request, found foundStitch, own ownStitch) *stitchAnswer {
	a := &stitchAnswer{foundStitch: found, r: r, own: own}
	a.raw, a.taught = lesson.Raw(found.ID)
	a.lesson = a.raw.Told(r.filled)
	return a
}

func (a *stitchAnswer) add(b ...reply.Block) { a.parts = append(a.parts, b...) }

// words are the stitch's names in the terms of the answer.
func (a *stitchAnswer) words() stitch.Words { return a.In(a.r.dialect()) }

func (a *stitchAnswer) title() string {
	return a.r.Say("%s, %s terms", upperFirst(stitchTitle(a.words())), termsName(a.r.Terms()))
}

// whole tells all of a stitch: a beginner how it is made, a maker its figures.
func (a *stitchAnswer) whole() (reply.Reply, error) {
	if note := a.readAs(); note != "" {
		a.add(reply.Text{Text: note})
	}
	if a.taught {
		a.add(reply.Text{Text: a.what()})
	}
	a.add(reply.Fields{Items: a.fields()})
	if friend := falseFriend(a.r, a.asked, a.ID); friend != "" {
		a.add(reply.Caution{Text: friend})
	}
	if a.taught {
		a.teach()
	}
	if a.r.Level() != beginner {
		a.add(languagesList(a.r.Printer, string(a.ID))...)
	}
	if a.taught {
		a.add(partlyEnglish(a.r.Printer, keysOf(append(a.raw.Texts(), a.Assumed)...)...)...)
	}
	if err := a.pictures(); err != nil {
		return reply.Reply{}, err
	}
	a.ownHint()
	return reply.Reply{Title: a.title(), Parts: a.parts, Actions: a.actions(), Data: a.figures()}, nil
}

// readAs says how the question was understood, where it is not plain.
func (a *stitchAnswer) readAs() string {
	asked, d := clip(a.asked, 40), a.r.dialect()
	name := stitchTitle(a.words())
	switch m := a.match; {
	case m.How == lookup.Near:
		return a.r.Say("I read “%s” as %s.", asked, name)
	case m.How != lookup.Exact:
		return a.r.Say("I took “%s” as %s.", asked, name)
	case m.Tag == d.String():
		return ""
	case m.Tag == stitch.Older.String():
		return a.r.Say("“%s” is a name from books before about 1930. In %s terms it is %s.", asked, d, name)
	case m.Tag == stitch.US.String(), m.Tag == stitch.UK.String():
		if a.shares(m.Text) {
			return ""
		}
		return a.r.Say("“%s” is a %s name. In %s terms it is %s.", asked, m.Tag, d, name)
	default:
		return a.r.Say("“%s” is %s for %s.", asked, tagName(m.Word), name)
	}
}

// shares reports whether a name belongs to the terms of the answer too.
func (a *stitchAnswer) shares(name string) bool {
	ids := stitch.Named(name, a.r.dialect())
	return len(ids) > 0 && ids[0] == a.ID
}

// falseFriend warns that a word means another stitch in other terms; empty
// where it does not.
func falseFriend(r Request, word string, id stitch.ID) string {
	var others []string
	for _, f := range term.Friends(word) {
		if f.Stitch == id || f.Dialect == stitch.Older && r.Level() == beginner {
			continue
		}
		s, _ := stitch.Lookup(f.Stitch)
		if f.Dialect == stitch.Older {
			others = append(others, r.Say("in books before about 1930 it is what %s terms call %s", termsName(r.Terms()), s.In(r.dialect()).Name))
			continue
		}
		others = append(others, r.Say("in %s patterns it is what %s terms call %s", f.Dialect, termsName(r.Terms()), s.In(r.dialect()).Name))
	}
	if len(others) == 0 {
		return ""
	}
	return r.Say("“%s” is a false friend: %s. Find out which terms your pattern uses.", clip(lookup.Plain(word), 40), strings.Join(others, r.Say(", and ")))
}

// what says what the stitch is, and of which stitch the lesson is.
func (a *stitchAnswer) what() string {
	if a.lesson.Stitch == a.ID {
		return a.lesson.What
	}
	s, _ := stitch.Lookup(a.lesson.Stitch)
	return a.r.Say("A kind of %s. %s", s.In(a.r.dialect()).Name, a.lesson.What)
}

// fields are the figures of a stitch.
func (a *stitchAnswer) fields() []reply.Field {
	r := a.r
	items := append(ownName(r.Printer, string(a.ID)),
		reply.Field{Name: r.Say("US terms"), Value: namesOf(a.US, r.Level())},
		reply.Field{Name: r.Say("UK terms"), Value: namesOf(a.UK, r.Level())})
	if symbol := symbolWords(r.Printer, a.Symbol); symbol != "" {
		items = append(items, reply.Field{Name: r.Say("Symbol"), Value: symbol})
	}
	if a.Height > 0 {
		items = append(items, reply.Field{Name: r.Say("Height"), Value: a.heightWords()})
	}
	if a.Chain > 0 {
		items = append(items, reply.Field{Name: r.Say("Turning chain"), Value: r.Say("ch %d; %s", a.Chain, countsWords[a.Counts])})
	}
	items = append(items, reply.Field{Name: r.Say("Stitch count"), Value: r.Of(usesAndMakes(a.Stitch))})
	if made := a.madeOf(); made != "" {
		items = append(items, reply.Field{Name: r.Say("Here taken as"), Value: made})
	}
	if a.r.Level() != beginner {
		items = append(items, reply.Field{Name: r.Say("Source"), Value: a.Source})
	}
	return items
}

// namesOf are the names of a stitch in one dialect; a maker gets all of them.
func namesOf(w stitch.Words, level string) string {
	names := append([]string{w.Name}, w.Abbr[:min(1, len(w.Abbr))]...)
	if level != beginner {
		names = append(append([]string{w.Name}, w.Abbr...), w.Also...)
	}
	return strings.Join(names, ", ")
}

var countsWords = map[stitch.Habit]words.Key{
	stitch.Never: "it never counts as a stitch", stitch.UsuallyNot: "it usually does not count as a stitch",
	stitch.Varies:  "some patterns count it as a stitch, some do not: read yours",
	stitch.Usually: "it usually counts as a stitch", stitch.Always: "it counts as a stitch",
}

// heightWords is the height in single crochets, and in the member's own
// millimetres where they are known.
func (a *stitchAnswer) heightWords() string {
	sc := wordIn(a.r.Terms(), "sc")
	text := a.r.Say("%s times a %s", trimmed(a.Height), sc)
	if a.ID == "sc" {
		text = a.r.Say("the measure for all others")
	} else if a.Height == 1 {
		text = a.r.Say("that of a %s", sc)
	}
	if a.own.single > 0 {
		text = a.r.Say("%s; about %.0f mm in your own work", text, a.Height*a.own.single)
	}
	return text
}

// usesAndMakes says what a stitch takes of the row below and adds to its own.
func usesAndMakes(s stitch.Stitch) words.Message {
	uses := words.Say("nothing of the row below")
	if s.Consumes > 0 {
		uses = words.Say("%s of the row below", stitchCount(s.Consumes))
	}
	makes := words.Say("no counted stitch")
	if s.Makes > 0 {
		makes = stitchCount(s.Makes)
	}
	if n := s.Chains(); n > 0 && s.Kind != stitch.Picot {
		return words.Say("uses %s, makes %s and %s", uses, makes, words.Count(n, "%d chain", "%d chains"))
	}
	return words.Say("uses %s, makes %s", uses, makes)
}

// madeOf says which make-up is taken for granted where patterns differ.
func (a *stitchAnswer) madeOf() string { return a.r.filled(a.Assumed) }

// teach tells how the stitch is made, and what may go wrong.
func (a *stitchAnswer) teach() {
	a.add(reply.Steps{Items: stepLines(a.r.Printer, a.lesson)})
	if a.r.Level() == beginner {
		a.add(reply.Text{Text: a.r.Say("When to use it: %s", words.Inner(a.lesson.Use))})
		a.add(reply.List{Title: a.r.Say("What often goes wrong"), Items: a.lesson.Mistakes})
	}
	if a.lesson.Caution != "" {
		a.add(reply.Caution{Text: a.lesson.Caution})
	}
}

// stepLines are the steps, each with the loops on the hook after it where
// their number changed or matters.
func stepLines(p words.Printer, l lesson.Lesson) []string {
	var lines []string
	on := l.Start
	for _, s := range l.Steps {
		line := s.Do
		if s.Loops != on || s.Hook != "say" && s.Hook != "" {
			line = p.Say("%s (%s)", line, loopsWords(s.Loops))
		}
		on = s.Loops
		lines = append(lines, line)
	}
	return lines
}

func loopsWords(n int) words.Message {
	if n == 0 {
		return words.Say("no loop on the hook")
	}
	return words.Count(n, "%d loop on the hook", "%d loops on the hook")
}

// ownName is what a stitch or a term is called in the reader's language; none
// in English, or where no word is known.
func ownName(p words.Printer, id string) []reply.Field {
	base, _, _ := strings.Cut(p.Language().Code, "-")
	for _, f := range term.InOtherLanguages(id) {
		if f.Code == base {
			return []reply.Field{{Name: upperFirst(p.Say(words.Key(f.Language))), Value: strings.Join(f.Words, ", ")}}
		}
	}
	return nil
}

// otherLanguages lists what a stitch or a term is called elsewhere, and where
// the words come from: for all of them where they agree, else for each.
func otherLanguages(p words.Printer, id string) (items []string, source string) {
	all := term.InOtherLanguages(id)
	one := len(all) > 0
	for _, f := range all {
		one = one && f.Source == all[0].Source
	}
	for _, f := range all {
		text := p.Say("%s: %s", words.Key(f.Language), strings.Join(f.Words, ", "))
		if !one {
			text = p.Say("%s (%s)", text, words.Key(f.Source))
		}
		items = append(items, text)
	}
	if one {
		source = all[0].Source
	}
	return items, source
}

// actions are what can be asked next.
func (a *stitchAnswer) actions() []reply.Action {
	var next []reply.Action
	own := map[string]string{"name": stitchInLine(a.Stitch, a.r.dialect()), "terms": termsName(a.r.Terms()), "step": ""}
	if a.taught && len(a.lesson.Steps) > 1 {
		next = append(next, reply.Button{Label: a.r.Say("Step by step"), Line: a.r.with(own, "step", "1")})
	}
	next = append(next, a.r.switchTerms(a.inTerms(a.r.otherTerms())), a.r.switchLevel(own))
	if near := a.near(); len(near) > 0 {
		menu := reply.Menu{Label: a.r.Say("Another stitch close by")}
		for _, s := range near {
			menu.Choices = append(menu.Choices, reply.Button{Label: upperFirst(stitchTitle(s.In(a.r.dialect()))), Line: stitchLine(s, a.r.Terms())})
		}
		next = append(next, menu)
	}
	return next
}

// inTerms are the options that ask for the same stitch in some terms.
func (a *stitchAnswer) inTerms(t notation.Terms) map[string]string {
	return map[string]string{"name": stitchInLine(a.Stitch, stitch.Dialect(t)), "terms": termsName(t), "step": ""}
}

// near lists what else the question may have meant, then the kin of the
// stitch.
func (a *stitchAnswer) near() []stitch.Stitch {
	const most = 12
	var near []stitch.Stitch
	seen := map[stitch.ID]bool{a.ID: true}
	add := func(s stitch.Stitch) {
		if !seen[s.ID] && len(near) < most {
			seen[s.ID] = true
			near = append(near, s)
		}
	}
	for _, s := range a.others {
		add(s)
	}
	if base, ok := stitch.Lookup(a.Base); ok {
		add(base)
	}
	for _, s := range stitch.All() {
		if s.Kind == a.Kind || s.Base == a.ID {
			add(s)
		}
	}
	return near
}

// figures are the same in machine form.
func (a *stitchAnswer) figures() map[string]any {
	loops := []int{}
	for _, s := range a.lesson.Steps {
		loops = append(loops, s.Loops)
	}
	data := map[string]any{"stitch": string(a.ID), "terms": termsName(a.r.Terms()), "us": a.US.Name, "uk": a.UK.Name, "height": a.Height,
		"turning_chain": a.Chain, "counts": a.Counts.String(), "uses": a.Consumes, "makes": a.Makes, "loops": loops}
	if a.own.single > 0 {
		data["height_mm"] = a.Height * a.own.single
	}
	return data
}
