package commands

import (
	"context"
	"strings"

	"countwright/calc/lesson"
	"countwright/calc/lookup"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// stitchCommand teaches a stitch: what it is, how it is made, and how high it
// is among its neighbours.
func stitchCommand(s Services) *Command {
	name := Words("name", "A stitch: its name, its abbreviation, in any terms or language", 100).Require().Like("hdc")
	step := Int("step", "Show one step of it only", 1, 20)
	terms, level := tellTerms(), tellLevel()
	name.Suggest(func(_ context.Context, r Request, typed string) []Choice {
		return suggestStitches(told(r, terms, level), typed)
	})
	return &Command{
		Name: "stitch", Short: "What a stitch is and how to make it, step by step",
		Want: "learn a stitch, or see how high it is",
		Long: "Ask by name or abbreviation, in US or UK terms or in another language; typing errors are no harm. " +
			"Heights are shown in your own millimetres once you have recorded a swatch (/gauge swatch) and said its stitch.",
		Options:  []Option{name, step, terms, level},
		Examples: []string{"/stitch name:hdc", "/stitch name:hdc step:2", "/stitch name:magic ring", "/stitch name:treble terms:UK level:maker"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			own, err := ownHeight(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			r = told(r, terms, level)
			found, err := findStitch(r, name)
			if word, ok := noStitch(r, inOneLine(name.Of(r)), found); ok && !step.Given(r) {
				a := newTermAnswer(r, inOneLine(name.Of(r)), append([]term.Answer{word}, found.answers()...), own)
				a.option = name.spec.Name
				return a.reply()
			}
			if err != nil {
				return reply.Reply{}, err
			}
			if found.unsure {
				return stitchChoice(r, found), nil
			}
			a := newStitchAnswer(r, found, own)
			if step.Given(r) {
				return a.step(step.Of(r), step)
			}
			return a.whole()
		},
	}
}

// foundStitch is the stitch that a question means.
type foundStitch struct {
	stitch.Stitch
	asked  string
	match  lookup.Match
	others []stitch.Stitch // what it may mean instead
	unsure bool            // it only shares some words with the question
}

// findStitch reads the name of a stitch in the terms of the answer.
func findStitch(r Request, name *Opt[string]) (foundStitch, error) {
	asked := inOneLine(name.Of(r))
	matches := lesson.Find(asked, r.dialect(), 7)
	var all []stitch.Stitch
	for _, m := range matches {
		if s, ok := stitch.Lookup(stitch.ID(m.Key)); ok {
			all = append(all, s)
		}
	}
	if len(all) == 0 {
		return foundStitch{}, &Mistake{Option: "name", Example: "/stitch name:hdc",
			Message: "I know no stitch like “%s”. Try its abbreviation, or a part of its name; /term explains other words", Args: []any{clip(asked, 40)}}
	}
	return foundStitch{Stitch: all[0], asked: asked, match: matches[0], others: all[1:], unsure: matches[0].How == lookup.Partly}, nil
}

// answers are the stitches that a question may mean.
func (f foundStitch) answers() []term.Answer {
	if f.ID == "" {
		return nil
	}
	all := []term.Answer{{Stitch: f.ID, How: f.match.How}}
	for _, s := range f.others {
		all = append(all, term.Answer{Stitch: s.ID, How: lookup.Within})
	}
	return all
}

// noStitch finds the word of the glossary that a question means better than
// any stitch: "slip knot" and "turning chain" are none.
func noStitch(r Request, asked string, found foundStitch) (term.Answer, bool) {
	if found.ID != "" && found.match.How == lookup.Exact {
		return term.Answer{}, false
	}
	answers := term.Explain(asked, r.dialect(), 1)
	if len(answers) == 0 || answers[0].Stitch != "" || answers[0].How > lookup.Near {
		return term.Answer{}, false
	}
	return answers[0], found.ID == "" || answers[0].How < found.match.How
}

// stitchInLine is the word by which a line names a stitch, and which the
// reader of its terms takes for that stitch and no other.
func stitchInLine(s stitch.Stitch, d stitch.Dialect) string {
	own := s.In(d)
	for _, w := range []string{own.Short(), own.Name, string(s.ID)} {
		if ids := stitch.Named(w, d); len(ids) > 0 && ids[0] == s.ID {
			return w
		}
	}
	return own.Name
}

// stitchLine is the line that asks for a stitch in these terms.
func stitchLine(s stitch.Stitch, t notation.Terms) string {
	return Line("stitch", map[string]Input{"name": {Text: stitchInLine(s, stitch.Dialect(t))}, "terms": {Text: termsName(t)}})
}

// stitchTitle is "half double crochet (hdc)".
func stitchTitle(w stitch.Words) string {
	if short := w.Short(); short != w.Name {
		return w.Name + " (" + short + ")"
	}
	return w.Name
}

// stitchChoice asks which stitch is meant.
func stitchChoice(r Request, found foundStitch) reply.Reply {
	all := append([]stitch.Stitch{found.Stitch}, found.others...)
	var items, ids []string
	var next []reply.Action
	for i, s := range all {
		items, ids = append(items, stitchTitle(s.In(r.dialect()))), append(ids, string(s.ID))
		if i < 5 {
			next = append(next, reply.Button{Label: upperFirst(s.In(r.dialect()).Name), Line: stitchLine(s, r.Terms())})
		}
	}
	return reply.Reply{Title: r.Say("Which stitch is “%s”?", clip(found.asked, 40)),
		Parts: []reply.Block{reply.Text{Text: r.Say("I am not sure. These come close:")}, reply.List{Items: items},
			reply.Tip{Text: r.Say("Words that are no stitches are explained by /term, and things that go wrong by /trouble.")}},
		Actions: next, Data: map[string]any{"asked": found.asked, "stitches": ids}}
}

// firstStitches are offered before anything is typed.
var firstStitches = []stitch.ID{"ch", "sl st", "sc", "hdc", "dc", "tr", "inc", "dec", "mr", "fsc", "blo", "flo", "fpdc", "bpdc", "sc2tog", "invdec",
	"shell", "v-st", "picot", "cluster", "puff", "sc ribbing", "join", "color change", "fasten off"}

// suggestStitches offers stitches for what is typed of a name. What they were
// found by is told with them, where it is another word.
func suggestStitches(r Request, typed string) []Choice {
	d := r.dialect()
	var offers []Choice
	if strings.TrimSpace(typed) == "" {
		for _, id := range firstStitches {
			s, _ := stitch.Lookup(id)
			offers = append(offers, Choice{Label: clip(stitchTitle(s.In(d)), 100), Value: stitchInLine(s, d)})
		}
		return offers
	}
	for _, m := range lesson.Find(typed, d, 25) {
		s, ok := stitch.Lookup(stitch.ID(m.Key))
		if !ok {
			continue
		}
		label := stitchTitle(s.In(d))
		if m.Tag != d.String() && !strings.EqualFold(m.Text, s.In(d).Name) {
			label = r.Say("%s: %s", label, tagged(m.Word))
		}
		offers = append(offers, Choice{Label: clip(label, 100), Value: stitchInLine(s, d)})
	}
	return offers
}

// tagged is a word with the dialect or the language it belongs to.
func tagged(w lookup.Word) words.Message { return words.Say("“%s” (%s)", w.Text, tagName(w)) }

// tagName is the name of the dialect or the language of a word.
func tagName(w lookup.Word) words.Key {
	for _, f := range term.InOtherLanguages(w.Key) {
		if f.Code == w.Tag {
			return words.Key(f.Language)
		}
	}
	if w.Tag == stitch.Older.String() {
		return "in books before about 1930"
	}
	return words.Key(w.Tag)
}
