package commands

import (
	"slices"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/commands/reply"
)

// beginner is the level of a member who said none.
const beginner = "beginner"

// tellTerms declares the option for the terms that an answer is told in.
func tellTerms() *Opt[string] {
	return OneOf("terms", "Crochet terms of the answer; yours if not said", "US", "UK")
}

// tellLevel declares the option for how much an answer explains.
func tellLevel() *Opt[string] {
	return OneOf("level", "How much to explain; your setting if not said", beginner, "maker", "host")
}

// told returns the request with the terms and the level that its line asks
// for in place of the member's own.
func told(r Request, terms, level *Opt[string]) Request {
	if terms.Given(r) {
		r.Settings.Terms = termsNamed(terms.Of(r))
	}
	if level.Given(r) {
		r.Settings.Level = level.Of(r)
	}
	return r
}

// Level is how much the answer explains: beginner, maker or host.
func (r Request) Level() string {
	if r.Settings.Level == "" {
		return beginner
	}
	return r.Settings.Level
}

// dialect is the terms of the answer as the dictionaries have them.
func (r Request) dialect() stitch.Dialect { return stitch.Dialect(r.Terms()) }

// otherTerms are the terms that the answer is not told in.
func (r Request) otherTerms() notation.Terms {
	if r.Terms() == notation.UK {
		return notation.US
	}
	return notation.UK
}

// inOneLine is what a member wrote, fit to be said again in a line.
func inOneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// longestLine is the longest command line, in bytes, that a button can hold.
const longestLine = 90

// tappable leaves out the buttons whose lines are too long: those that would say
// a long question once more.
func tappable(next []reply.Action) []reply.Action {
	return slices.DeleteFunc(next, func(a reply.Action) bool {
		b, ok := a.(reply.Button)
		return ok && len(b.Line) > longestLine
	})
}

// changed is the line of this asking with some options changed: what a button
// runs that goes on from here. A change to "" takes the option away.
func (r Request) changed(changes map[string]string) string {
	inputs := map[string]Input{}
	for name, in := range r.Inputs {
		inputs[name] = in
	}
	for name, text := range changes {
		if text == "" {
			delete(inputs, name)
		} else {
			inputs[name] = Input{Text: text}
		}
	}
	return Line(r.command.Path(), inputs)
}

// switchTerms is the button that tells the same in the other terms.
func (r Request) switchTerms(changes map[string]string) reply.Button {
	other := termsName(r.otherTerms())
	line := r.with(changes, "terms", other)
	return reply.Button{Label: r.Say("In %s terms", other), Line: line}
}

// switchLevel is the button that tells the same with more or less detail.
func (r Request) switchLevel(changes map[string]string) reply.Button {
	if r.Level() == beginner {
		return reply.Button{Label: r.Say("More detail"), Line: r.with(changes, "level", "maker")}
	}
	return reply.Button{Label: r.Say("In plain words"), Line: r.with(changes, "level", beginner)}
}

func (r Request) with(changes map[string]string, name, text string) string {
	all := map[string]string{name: text}
	for n, t := range changes {
		if n != name {
			all[n] = t
		}
	}
	return r.changed(all)
}
