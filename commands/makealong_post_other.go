package commands

import (
	"context"
	"strings"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// welcome opens a make-along in its channel.
func (w wording) welcome() reply.Reply {
	m, c := w.MakeAlong, w.MakeAlong.Course
	opening := w.Say("We make this together: %s. It begins on %s. Each of us has a size and a pace of her own.", c.title(w.Printer), longDate(w.Printer, c.Start))
	if c.Tester {
		opening = w.Say("We try out a new pattern: %s. It begins on %s. Each tester makes one size and tells what she measured.", c.title(w.Printer), longDate(w.Printer, c.Start))
	}
	r := reply.Reply{Title: m.Name, Data: w.data(), Parts: []reply.Block{w.opening(opening)}}
	how := []words.Key{
		"Tap Join, and tell your size and your gauge (UK tension). You get counts of your own.",
		"Count your rows with /project row. The board shows how far the group is, with no names but of those who wish it.",
		"I look in here at each milestone with one question. You may skip it.",
	}
	if c.Tester {
		how[0] = "Tap Join, and choose a size that is free. It is yours then. You get counts of your own."
	}
	r.Parts = append(r.Parts, reply.Steps{Items: w.Each(how...)})
	var items []reply.Field
	if len(c.Sizes) > 0 && c.Tester {
		items = append(items, reply.Field{Name: w.Say("Sizes"), Value: strings.Join(clipped(w.Printer, c.Sizes, 12), ", ")})
	}
	if n := len(c.Milestones); n > 0 {
		first, last := c.Milestones[0], c.Milestones[n-1]
		items = append(items, reply.Field{Name: w.Say("First milestone"), Value: w.dated(first)})
		if n > 1 {
			items = append(items, reply.Field{Name: w.Say("Last of %d", n), Value: w.dated(last)})
		}
	}
	items = append(items, reply.Field{Name: w.Say("Posts"), Value: w.Say("at %s, %s time", c.At, strings.ReplaceAll(c.Zone, "_", " "))})
	r.Parts = append(r.Parts, reply.Fields{Items: items},
		reply.Text{Text: w.Say("Nobody is pinged who did not ask for it. You can come in later, too: your calendar then begins with you.")})
	r.Actions = []reply.Action{m.button(w.Say("Join"), "makealong join", nil), m.button(w.Say("See the board"), "makealong board", nil), w.tap("Just looking", sayLooking)}
	return r
}

// midway is the note on the way to a milestone: one useful thing, and no
// question.
func (w wording) midway() reply.Reply {
	m, stone := w.MakeAlong, w.stone()
	r := reply.Reply{Title: m.Name, Data: w.data()}
	lead := w.Say(w.choose(halfways), stone.Title, longDate(w.Printer, stone.Date))
	r.Parts = append(r.Parts, w.opening(lead))
	r.Parts = append(r.Parts, w.meanwhile()...)
	r.Parts = append(r.Parts, reply.Tip{Text: w.Say(w.choose(useful))})
	r.Actions = []reply.Action{m.button(w.Say("See the board"), "makealong board", nil), w.tap("Need help", SayNeedHelp), m.quietButton(w.Printer, false)}
	if w.welcomes() {
		r.Actions = append(r.Actions, m.button(w.Say("Join"), "makealong join", nil))
	}
	return r
}

// farewell is the last post.
func (w wording) farewell(ctx context.Context) (reply.Reply, error) {
	made, err := groupFigures(ctx, w.services, w.MakeAlong)
	if err != nil {
		return reply.Reply{}, err
	}
	return w.parting(made), nil
}

// parting is the farewell with what was made; figures that tell nothing are
// left out.
func (w wording) parting(made figures) reply.Reply {
	m := w.MakeAlong
	r := reply.Reply{Title: w.Say("Farewell: %s", m.Name), Data: w.data(), Parts: []reply.Block{w.opening(w.Say(w.choose(farewells)))}}
	if made.Told {
		said := append([]string{w.Say("%d of us were in it.", made.Members)}, made.sentences(w.Printer)...)
		r.Parts = append(r.Parts, reply.Text{Text: strings.Join(said, " ")})
	}
	r.Parts = append(r.Parts, w.meanwhile()...)
	r.Parts = append(r.Parts, reply.Text{Text: w.Say("Your project and its rows stay with you: /project show. Show us what you made whenever you like: /makealong share.")})
	r.Actions = []reply.Action{m.button(w.Say("See the board"), "makealong board", nil)}
	if m.State == AlongClosed { // it notes no answers any more
		r.Actions = append(r.Actions, w.tap("Just looking", sayLooking))
	} else {
		r.Actions = append(r.Actions, w.tap("It is done", SayDone), w.tap("It grows on", SayOnIt))
	}
	return r
}
