package commands

import (
	"fmt"
	"strconv"

	"countwright/commands/picture"
	"countwright/commands/reply"
)

// step shows one step of a stitch, with the way back and on, to the asker
// alone: a channel would fill with steps.
func (a *stitchAnswer) step(n int, option *Opt[int]) (reply.Reply, error) {
	last := len(a.lesson.Steps)
	if n > last {
		return reply.Reply{}, &Mistake{Option: option.spec.Name, Example: option.spec.Name + ":1",
			Message: "%s has %d %s", Args: []any{a.words().Name, last, plural(last, "step", "steps")}}
	}
	s := a.lesson.Steps[n-1]
	a.add(reply.Text{Text: s.Do})
	if s.Hook != "" && s.Hook != "say" || s.Loops > 1 {
		a.add(reply.Text{Text: "Now you have " + loopsWords(s.Loops) + "."})
	}
	if n == last {
		a.add(reply.Text{Text: "That is the whole stitch."})
		if a.lesson.Caution != "" {
			a.add(reply.Caution{Text: a.lesson.Caution})
		}
	}
	if err := a.loops(n); err != nil {
		return reply.Reply{}, err
	}
	own := a.inTerms(a.r.Terms())
	var next []reply.Action
	if n > 1 {
		next = append(next, reply.Button{Label: "Back", Line: a.r.with(own, "step", strconv.Itoa(n-1))})
	}
	if n < last {
		next = append(next, reply.Button{Label: "Next", Line: a.r.with(own, "step", strconv.Itoa(n+1))})
	} else {
		next = append(next, reply.Button{Label: "Once more", Line: a.r.with(own, "step", "1")})
	}
	other := a.inTerms(a.r.otherTerms())
	other["step"] = strconv.Itoa(n)
	next = append(next, reply.Button{Label: "All of it", Line: a.r.changed(own)}, a.r.switchTerms(other))
	data := a.figures()
	data["step"], data["steps"] = n, last
	return reply.Reply{Title: fmt.Sprintf("%s: step %d of %d", upperFirst(stitchTitle(a.words())), n, last), Private: true, Parts: a.parts, Actions: next, Data: data}, nil
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
	drawing, err := picture.Loops{Title: "After step " + strconv.Itoa(n), On: s.Loops, Added: max(0, s.Loops-before)}.Draw()
	if err != nil {
		return err
	}
	a.add(reply.Picture{Name: a.file(fmt.Sprintf("-step-%d", n)), Alt: drawing.Description, Drawing: drawing})
	return nil
}
