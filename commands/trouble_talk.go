package commands

import (
	"math"
	"strconv"
	"strings"

	"countwright/calc/trouble"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// talk is a conversation about a trouble, as far as its line has led it.
type talk struct {
	trouble.Trouble
	r      Request
	known  knownFacts
	note   string    // how the question and the numbers were taken
	others []string  // other troubles that it may be
	checks []weighed // all possible causes
	parts  []reply.Block

	private bool
}

func (t *talk) add(b ...reply.Block) { t.parts = append(t.parts, b...) }

// confirmed is the first cause that the numbers show, -1 where there is none.
func (t *talk) confirmed() int {
	for i, w := range t.checks {
		if w.verdict == confirmed {
			return i
		}
	}
	return -1
}

// after is the next cause to look at after the n-th, counted from 1; the
// numbers may have spoken against some. 0: there is none.
func (t *talk) after(n int) int {
	for _, w := range t.checks[min(n, len(t.checks)):] {
		if w.verdict != refuted {
			return w.n
		}
	}
	return 0
}

func (t *talk) reply(o troubleOptions) (reply.Reply, error) {
	n := o.check.Of(t.r)
	if n > len(t.checks)+1 {
		return reply.Reply{}, &Mistake{Option: "check", Example: "check:1",
			Message: "there are %d possible causes", Args: []any{len(t.checks)}}
	}
	show := o.show.Of(t.r)
	t.private = n > 0 || show != "" // only the beginning is for the whole channel
	if t.note != "" && show != showFix {
		t.add(reply.Text{Text: t.note})
	}
	switch {
	case show == showNumbers:
		return t.form(n)
	case n > len(t.checks):
		return t.noneFits(), nil
	case n > 0 && show == showFix:
		return t.fix(t.checks[n-1]), nil
	case n > 0:
		return t.test(t.checks[n-1]), nil
	}
	return t.opening(), nil
}

// opening begins the talk: with what the numbers show, else with the likeliest
// cause, for a maker with all of them.
func (t *talk) opening() reply.Reply {
	if i := t.confirmed(); i >= 0 {
		t.add(reply.Text{Text: t.checks[i].outcome.Text})
		return t.fix(t.checks[i])
	}
	t.spoken()
	if t.r.Level() != beginner {
		return t.all()
	}
	if n := t.after(0); n > 0 {
		return t.test(t.checks[n-1])
	}
	return t.noneFits()
}

// spoken tells what the numbers say where they show none of the causes.
func (t *talk) spoken() {
	said := map[string]bool{}
	for _, w := range t.checks {
		if w.verdict == refuted && !said[w.outcome.Text] {
			said[w.outcome.Text] = true
			t.add(reply.Text{Text: w.outcome.Text})
		}
	}
}

// test says how to find out whether a cause is it.
func (t *talk) test(w weighed) reply.Reply {
	t.add(reply.Text{Text: t.r.Say("Cause %d of %d: %s", w.n, len(t.checks), w.Cause)})
	t.add(reply.Text{Text: t.r.Say("How to tell: %s", w.Test)})
	if w.verdict == advised {
		t.add(reply.Tip{Text: w.outcome.Text})
	}
	t.caution()
	next := []reply.Action{reply.Button{Label: t.r.Say("Yes, that is it"), Line: t.line(map[string]string{"check": strconv.Itoa(w.n), "show": showFix})}}
	next = append(next, t.onward(w.n, "No, the next one"))
	if len(w.missing) > 0 {
		next = append(next, reply.Button{Label: t.r.Say("I have numbers"), Line: t.line(map[string]string{"check": strconv.Itoa(w.n), "show": showNumbers})})
	}
	return t.done(next, &w)
}

// onward is the button to the next cause.
func (t *talk) onward(n int, label words.Key) reply.Button {
	next := t.after(n)
	if next == 0 {
		next, label = len(t.checks)+1, "None of these"
	}
	return reply.Button{Label: t.r.Say(label), Line: t.line(map[string]string{"check": strconv.Itoa(next)})}
}

// fix says what to do about a cause.
func (t *talk) fix(w weighed) reply.Reply {
	t.add(reply.Fields{Items: []reply.Field{{Name: t.r.Say("Why"), Value: w.Cause}, {Name: t.r.Say("What to do"), Value: w.Fix}}})
	if w.verdict == advised {
		t.add(reply.Tip{Text: w.outcome.Text})
	}
	t.caution()
	return t.done([]reply.Action{t.onward(w.n, "That is not it")}, &w)
}

// all lists every cause at once.
func (t *talk) all() reply.Reply {
	var items []string
	var next []reply.Action
	for _, w := range t.checks {
		text := t.r.Say("%s %s → %s", w.Cause, w.Test, w.Fix)
		switch w.verdict {
		case refuted:
			text += t.r.Say(" (Your numbers speak against it.)")
		case advised:
			text += " " + w.outcome.Text
		}
		items = append(items, text)
		if len(w.missing) > 0 && len(next) == 0 {
			next = append(next, reply.Button{Label: t.r.Say("I have numbers"), Line: t.line(map[string]string{"check": strconv.Itoa(w.n), "show": showNumbers})})
		}
	}
	t.add(reply.Steps{Items: items})
	t.caution()
	return t.done(next, nil)
}

// noneFits ends the talk where no cause was it.
func (t *talk) noneFits() reply.Reply {
	t.add(reply.Text{Text: t.r.Say("None of the usual causes, then. Show a photo to the others here, and say which yarn, hook and stitch it is and which rows you worked. Lay it flat, with a ruler beside it.")})
	t.caution()
	return t.done([]reply.Action{reply.Button{Label: t.r.Say("From the start"), Line: t.line(nil)}}, nil)
}

func (t *talk) caution() {
	if t.Caution != "" {
		t.add(reply.Caution{Text: t.Caution})
	}
}

// done puts the reply together.
func (t *talk) done(next []reply.Action, w *weighed) reply.Reply {
	t.add(partlyEnglish(t.r.Printer, t.keys(w)...)...)
	next = append(next, t.switches()...)
	if menu := t.elsewhere(); len(menu.Choices) > 0 {
		next = append(next, menu)
	}
	return reply.Reply{Title: t.Symptom, Private: t.private, Parts: t.parts, Actions: next, Data: t.figures(w)}
}

// keys are the texts that a reply about a cause tells, about all causes where
// w is nil, as the catalogs know them.
func (t *talk) keys(w *weighed) []words.Key {
	raw, _ := trouble.RawOf(t.ID)
	texts := []string{raw.Symptom, raw.Caution}
	for i, c := range raw.Checks {
		if w == nil || w.n == i+1 {
			texts = append(texts, c.Cause, c.Test, c.Fix)
		}
	}
	return keysOf(texts...)
}

// elsewhere offers the troubles that the question may also have meant, that
// the numbers rather show, and that lie close by.
func (t *talk) elsewhere() reply.Menu {
	menu := reply.Menu{Label: t.r.Say("It is rather something else")}
	seen := map[string]bool{t.ID: true}
	add := func(id string) {
		other, ok := troubleIn(t.r, id)
		if ok && !seen[id] && len(menu.Choices) < 8 {
			seen[id] = true
			menu.Choices = append(menu.Choices, reply.Button{Label: other.Symptom, Line: t.line(map[string]string{"symptom": id})})
		}
	}
	if t.confirmed() < 0 {
		for _, w := range t.checks {
			if w.verdict == refuted {
				add(shownBy(w.Figure, w.outcome.Name))
			}
		}
	}
	for _, id := range t.others {
		add(id)
	}
	for _, id := range t.See {
		add(id)
	}
	return menu
}

// shownBy is the trouble that an outcome shows, "" where there is none.
func shownBy(figure, outcome string) string {
	for _, t := range trouble.All(0) {
		for _, c := range t.Checks {
			if c.Figure == figure && c.When == outcome {
				return t.ID
			}
		}
	}
	return ""
}

func (t *talk) figures(w *weighed) map[string]any {
	data := map[string]any{"trouble": t.ID, "causes": len(t.checks)}
	if w != nil {
		data["check"], data["cause"] = w.n, w.Cause
	}
	outcomes := map[string]any{}
	for _, c := range t.checks {
		if c.verdict == unknown {
			continue
		}
		values := map[string]float64{}
		for name, v := range c.outcome.Values {
			values[name] = math.Round(v.Number*1e4) / 1e4
		}
		outcomes[c.Figure] = map[string]any{"outcome": c.outcome.Name, "values": values}
	}
	data["figures"] = outcomes
	return data
}

// form asks for the numbers that would tell of the n-th cause, or of the next
// that numbers can tell.
func (t *talk) form(n int) (reply.Reply, error) {
	for n == 0 && len(t.checks) > 0 || n > 0 && n < len(t.checks) && len(t.checks[n-1].missing) == 0 {
		n++
	}
	if n > len(t.checks) || len(t.checks[n-1].missing) == 0 {
		return reply.Reply{}, &Mistake{Option: "show", Example: "show:test", Message: "no numbers help with this cause"}
	}
	line := t.line(nil)
	f := reply.Form{Title: clip(t.Symptom, 45), Line: line}
	asked := map[string]bool{}
	for _, need := range t.checks[n-1].missing {
		option := factOption(need.Name)
		if asked[option] {
			continue
		}
		asked[option] = true
		hint := t.r.Say("For example %s", factExamples[option])
		f.Fields = append(f.Fields, reply.Blank{Option: option, Label: t.label(option, need), Hint: hint, Required: true, Most: 40})
	}
	return reply.Reply{Title: t.Symptom, Form: &f}, nil
}

// label is the question for a number, short enough for a form.
func (t *talk) label(option string, need trouble.Need) string {
	switch option {
	case "gauge":
		return t.r.Say("Your stitches x rows in 10 cm (4 in)")
	case "theirs":
		return t.r.Say("The pattern's stitches x rows in 10 cm (4 in)")
	}
	return clip(strings.TrimSuffix(t.r.Say(words.Key(need.Ask)), "?"), 45)
}

// line is the line of the talk with some options changed; where the talk
// stands is left out unless it is among them. A line that is too long for a
// button loses the numbers that nothing here needs, then the level, then all
// numbers.
func (t *talk) line(changes map[string]string) string {
	all := map[string]string{"symptom": t.ID, "check": "", "show": ""}
	if t.known.given["stitch"] {
		all["terms"] = termsName(t.r.Terms())
	}
	for name, text := range changes {
		all[name] = text
	}
	line := t.r.changed(all)
	drop := func(names ...string) {
		if len(line) > longestLine {
			for _, name := range names {
				all[name] = ""
			}
			line = t.r.changed(all)
		}
	}
	needed := map[string]bool{}
	for _, w := range t.checks {
		if figure, ok := trouble.FigureOf(w.Figure); ok {
			for _, need := range figure.Needs {
				needed[factOption(need.Name)] = true
			}
		}
	}
	var spare, every []string
	for name := range t.known.given {
		every = append(every, name)
		if !needed[name] {
			spare = append(spare, name)
		}
	}
	drop(spare...)
	if _, asked := changes["level"]; !asked {
		drop("level")
	}
	drop(every...)
	return line
}

// switches are the buttons that tell the same in other terms, and with more or
// less detail.
func (t *talk) switches() []reply.Action {
	here := map[string]string{"check": t.r.Inputs["check"].Text, "show": t.r.Inputs["show"].Text}
	terms, level := t.r.switchTerms(nil), t.r.switchLevel(nil)
	here["terms"] = termsName(t.r.otherTerms())
	terms.Line = t.line(here)
	delete(here, "terms")
	here["level"] = "maker"
	if t.r.Level() == beginner {
		level.Label = t.r.Say("All causes at once")
	}
	if t.r.Level() != beginner {
		here["level"] = beginner
	}
	level.Line = t.line(here)
	return []reply.Action{terms, level}
}

// usesSwatch reports whether the numbers speak by the gauge of a swatch.
func (t *talk) usesSwatch() bool {
	for _, w := range t.checks {
		figure, _ := trouble.FigureOf(w.Figure)
		for _, need := range figure.Needs {
			if factOption(need.Name) == "gauge" && (w.verdict == confirmed || w.verdict == refuted) && !t.known.given["gauge"] {
				return true
			}
		}
	}
	return false
}
