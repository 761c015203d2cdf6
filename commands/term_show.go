package commands

import (
	"strings"

	"countwright/calc/lookup"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// termAnswer is what /term has to say of a word.
type termAnswer struct {
	r           Request
	asked       string
	option      string        // of the line that asks
	term.Answer               // the likeliest meaning
	also        []term.Answer // the other things that the very word can mean
	near        []term.Answer // words close by
	stitch      *stitchAnswer // of an answer that is a stitch, or a sign for one
	parts       []reply.Block
}

func newTermAnswer(r Request, asked string, answers []term.Answer, own ownStitch) *termAnswer {
	a := &termAnswer{r: r, asked: asked, option: "word", Answer: answers[0]}
	for _, other := range answers[1:] {
		if other.How == lookup.Exact && a.How == lookup.Exact {
			a.also = append(a.also, other)
		} else {
			a.near = append(a.near, other)
		}
	}
	id := a.Stitch
	if id == "" {
		id = a.Term.Stitch
	}
	if s, ok := stitch.Lookup(id); ok {
		match := lookup.Match{Word: lookup.Word{Key: string(id), Text: a.Word, Tag: a.Tag}, How: a.How}
		a.stitch = newStitchAnswer(r, foundStitch{Stitch: s, asked: asked, match: match}, own)
	}
	return a
}

func (a *termAnswer) add(b ...reply.Block) { a.parts = append(a.parts, b...) }

func (a *termAnswer) reply() (reply.Reply, error) {
	if note := a.readAs(); note != "" {
		a.add(reply.Text{Text: note})
	}
	a.add(reply.Text{Text: a.r.Say("%s: %s", upperFirst(shortWord(a.r, a.Answer)), meaning(a.r, a.Answer))})
	if fields := a.fields(); len(fields) > 0 {
		a.add(reply.Fields{Items: fields})
	}
	if beware := a.beware(); beware != "" {
		a.add(reply.Caution{Text: beware})
	}
	a.others()
	if a.r.Level() != beginner {
		a.add(languagesList(a.r.Printer, a.key())...)
	}
	a.add(partlyEnglish(a.r.Printer, append(meanings(append([]term.Answer{a.Answer}, a.also...)...), words.Key(a.Term.Beware))...)...)
	if a.stitch != nil {
		if err := a.stitch.pictures(); err != nil {
			return reply.Reply{}, err
		}
		a.add(a.stitch.parts...)
	}
	return reply.Reply{Title: a.title(), Parts: a.parts, Actions: a.actions(), Data: a.figures()}, nil
}

func (a *termAnswer) title() string {
	word := a.asked
	if a.How == lookup.Exact {
		word = a.Word
	}
	if a.How > lookup.Exact {
		word = shortWord(a.r, a.Answer)
	}
	return a.r.Say("“%s”, %s terms", clip(word, 60), termsName(a.r.Terms()))
}

// key is the ID by which other languages know the answer.
func (a *termAnswer) key() string {
	if a.Stitch != "" {
		return string(a.Stitch)
	}
	return a.Term.ID
}

// readAs says how the question was understood, where it is not plain.
func (a *termAnswer) readAs() string {
	if a.Stitch != "" {
		return a.stitch.readAs()
	}
	own := a.Term.Word(a.r.dialect())
	switch {
	case a.How != lookup.Exact:
		if a.Word != own {
			return a.r.Say("I read “%s” as “%s”, %s terms: %s.", clip(a.asked, 40), a.Word, termsName(a.r.Terms()), own)
		}
		return a.r.Say("I read “%s” as %s.", clip(a.asked, 40), own)
	case a.Term.US != a.Term.UK && strings.EqualFold(a.Word, a.Term.Word(stitch.Dialect(a.r.otherTerms()))):
		return a.r.Say("“%s” is the %s word. In %s terms it is %s.", a.Word, termsName(a.r.otherTerms()), termsName(a.r.Terms()), own)
	}
	if language := tagName(lookup.Word{Key: a.Term.ID, Tag: a.Tag}); string(language) != a.Tag {
		return a.r.Say("“%s” is %s for %s.", a.Word, language, own)
	}
	return ""
}

// fields are the names of the answer.
func (a *termAnswer) fields() []reply.Field {
	maker := a.r.Level() != beginner
	var items []reply.Field
	field := func(name words.Key, value string) {
		if value != "" {
			items = append(items, reply.Field{Name: a.r.Say(name), Value: value})
		}
	}
	items = ownName(a.r.Printer, a.key())
	known := len(items) > 0
	t := a.Term
	if a.Stitch != "" {
		field("US terms", namesOf(a.stitch.US, a.r.Level()))
		field("UK terms", namesOf(a.stitch.UK, a.r.Level()))
		if maker {
			field("In older books", namesOf(a.stitch.Older, a.r.Level()))
		}
		field("Symbol", symbolWords(a.r.Printer, a.stitch.Symbol))
	} else {
		if t.US != t.UK {
			field("US patterns say", t.US)
			field("UK patterns say", t.UK)
		}
		field("Short", strings.Join(t.Abbr, ", "))
		field("As a sign", strings.Join(t.Signs, "  "))
		if maker {
			field("Also", strings.Join(t.Also, ", "))
		}
	}
	for _, f := range term.InOtherLanguages(a.key()) {
		if f.Code == a.Tag && !maker && !known {
			field(words.Key(f.Language), a.r.Say("%s (%s)", strings.Join(f.Words, ", "), words.Key(f.Source)))
		}
	}
	if maker {
		source := t.Source
		if a.Stitch != "" {
			source = a.stitch.Source
		}
		field("Source", source)
	}
	return items
}

// beware is what the word is easily taken for.
func (a *termAnswer) beware() string {
	if a.Stitch == "" {
		return a.r.filled(a.Term.Beware)
	}
	if a.How != lookup.Exact {
		return ""
	}
	return falseFriend(a.r, a.Word, a.Stitch)
}

// others tells what else the very word can mean.
func (a *termAnswer) others() {
	const most = 4
	var items []string
	warned := a.beware() != "" && a.Stitch != ""
	for _, other := range a.also[:min(len(a.also), most)] {
		if warned && (other.Tag == stitch.US.String() || other.Tag == stitch.UK.String()) {
			continue // the caution says it
		}
		items = append(items, a.r.Say("%s: %s: %s", upperFirst(a.r.Of(a.where(other))), shortWord(a.r, other), firstSentence(meaning(a.r, other))))
	}
	if len(items) > 0 {
		a.add(reply.List{Title: a.r.Say("It can also mean"), Items: items})
	}
}

// where says where an answer belongs: to a dialect, a language, or the signs.
func (a *termAnswer) where(other term.Answer) words.Message {
	key := other.Term.ID
	if other.Stitch != "" {
		key = string(other.Stitch)
	}
	switch name := tagName(lookup.Word{Key: key, Tag: other.Tag}); {
	case other.Tag == "sign":
		return words.Say("as a sign")
	case other.Tag == stitch.Older.String():
		return words.Say(name)
	case string(name) != other.Tag:
		return words.Say("in %s", name)
	case other.Tag == "":
		return words.Say("else")
	}
	return words.Say("in %s terms", other.Tag)
}

func languagesList(p words.Printer, id string) []reply.Block {
	items, source := otherLanguages(p, id)
	if len(items) == 0 {
		return nil
	}
	title := p.Say("In other languages")
	if source != "" {
		title = p.Say("In other languages (%s)", words.Key(source))
	}
	return []reply.Block{reply.List{Title: title, Items: items}}
}

// actions are what can be asked next.
func (a *termAnswer) actions() []reply.Action {
	var next []reply.Action
	if a.stitch != nil && a.stitch.taught {
		next = append(next, reply.Button{Label: a.r.Say("How to make it"), Line: stitchLine(a.stitch.Stitch, a.r.Terms())})
	}
	own := map[string]string{a.option: a.asked, "terms": termsName(a.r.Terms())}
	next = append(next, a.r.switchTerms(own), a.r.switchLevel(own))
	menu := reply.Menu{Label: a.r.Say("See also")}
	seen := map[string]bool{termLine(a.r, a.Answer): true}
	for _, other := range a.seeAlso() {
		if line := termLine(a.r, other); !seen[line] {
			seen[line] = true
			menu.Choices = append(menu.Choices, reply.Button{Label: upperFirst(shortWord(a.r, other)), Line: line})
		}
	}
	if len(menu.Choices) > 0 {
		next = append(next, menu)
	}
	return tappable(next)
}

// seeAlso lists other meanings, what goes with the word, and some words close
// by: more of them where the word itself was not found.
func (a *termAnswer) seeAlso() []term.Answer {
	near := a.near[:min(len(a.near), 8)]
	if a.How == lookup.Exact {
		near = a.near[:min(len(a.near), 3)]
	}
	all := append([]term.Answer{}, a.also...)
	for _, id := range a.Term.See {
		if t, ok := term.Lookup(id); ok {
			all = append(all, term.Answer{Term: t})
		} else {
			all = append(all, term.Answer{Stitch: stitch.ID(id)})
		}
	}
	return append(all, near...)
}

func (a *termAnswer) figures() map[string]any {
	answers := []any{answerFigures(a.Answer)}
	for _, other := range a.also {
		answers = append(answers, answerFigures(other))
	}
	return map[string]any{"asked": a.asked, "terms": termsName(a.r.Terms()), "answers": answers,
		"false_friend": a.Stitch != "" && a.How == lookup.Exact && falseFriend(a.r, a.Word, a.Stitch) != ""}
}
