package commands

import (
	"fmt"
	"strconv"

	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// step shows one step of a stitch, with the way back and on, to the asker
// alone: a channel would fill with steps.
func (a *stitchAnswer) step(n int, option *Opt[int]) (reply.Reply, error) {
	last := len(a.lesson.Steps)
	if n > last {
		return reply.Reply{}, &Mistake{Option: option.spec.Name, Example: option.spec.Name + ":1",
			Message: "%s has %s", Args: []any{a.words().Name, words.Count(last, "%d step", "%d steps")}}
	}
	s := a.lesson.Steps[n-1]
	a.add(reply.Text{Text: s.Do})
	if s.Hook != "" && s.Hook != "say" || s.Loops > 1 {
		a.add(reply.Text{Text: a.r.Say("Now you have %s.", loopsWords(s.Loops))})
	}
	if n == last {
		a.add(reply.Text{Text: a.r.Say("That is the whole stitch.")})
		if a.lesson.Caution != "" {
			a.add(reply.Caution{Text: a.lesson.Caution})
		}
	}
	a.add(partlyEnglish(a.r.Printer, words.Key(a.raw.Steps[n-1].Do))...)
	if err := a.loops(n); err != nil {
		return reply.Reply{}, err
	}
	own := a.inTerms(a.r.Terms())
	var next []reply.Action
	if n > 1 {
		next = append(next, reply.Button{Label: a.r.Say("Back"), Line: a.r.with(own, "step", strconv.Itoa(n-1))})
	}
	if n < last {
		next = append(next, reply.Button{Label: a.r.Say("Next"), Line: a.r.with(own, "step", strconv.Itoa(n+1))})
	} else {
		next = append(next, reply.Button{Label: a.r.Say("Once more"), Line: a.r.with(own, "step", "1")})
	}
	other := a.inTerms(a.r.otherTerms())
	other["step"] = strconv.Itoa(n)
	next = append(next, reply.Button{Label: a.r.Say("All of it"), Line: a.r.changed(own)}, a.r.switchTerms(other))
	data := a.figures()
	data["step"], data["steps"] = n, last
	return reply.Reply{Title: a.r.Say("%s: step %d of %d", upperFirst(stitchTitle(a.words())), n, last), Private: true, Parts: a.parts, Actions: next, Data: data}, nil
}

// loops draws the hook after a step, unless the step says nothing of loops.
func (a *stitchAnswer) loops(n int) error {
	s, before := a.lesson.Steps[n-1], a.lesson.Start
	if n > 1 {
		before = a.lesson.Steps[n-2].Loops
	}
	if s.Loops == before && (s.Hook == "" || s.Hook == "say") {
		return nil
	}
	drawing, err := picture.Loops{Title: a.r.Say("After step %d", n), On: s.Loops, Added: max(0, s.Loops-before)}.Draw()
	if err != nil {
		return err
	}
	a.add(reply.Picture{Name: a.file(fmt.Sprintf("-step-%d", n)), Alt: drawing.Description, Drawing: drawing})
	return nil
}
