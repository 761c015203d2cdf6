package commands

import (
	"context"
	"fmt"

	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// pauseOptions are the options of /makealong pause.
type pauseOptions struct {
	services  Services
	makealong *Opt[string]
	all       *Opt[bool]
	resume    *Opt[bool]
	keep      *Opt[bool]
}

func makealongPause(s Services) *Command {
	o := pauseOptions{
		services:  s,
		makealong: makealongOption(s),
		all:       YesNo("all", "Hosts: the whole make-along rests, not you alone"),
		resume:    YesNo("resume", "Go on again"),
		keep:      YesNo("keep", "Going on, keep the dates as they were; else all that is left moves by the days rested"),
	}
	return &Command{
		Name: "pause", Short: "Rest from a make-along, or go on again; hosts can let the whole of it rest",
		Want: "rest from a make-along and come back",
		Long: "Resting is a normal part of it: nothing is asked of you meanwhile, and your place is kept. " +
			"When the whole make-along goes on, its dates move by as many days as it rested.",
		Options:  []Option{o.makealong, o.all, o.resume, o.keep},
		Examples: []string{"/makealong pause", "/makealong pause resume:yes", "/makealong pause all:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			which := openAlong
			if o.all.Of(r) {
				which = openHosted
			}
			m, err := which(ctx, s, r, o.makealong)
			if err != nil {
				return reply.Reply{}, err
			}
			if m.State == AlongClosed {
				return reply.Reply{}, Refused("%s is closed: nothing in it waits for you.", m.Name)
			}
			if o.all.Of(r) {
				return o.whole(ctx, r, m)
			}
			return o.own(ctx, r, m)
		},
	}
}

// own lets a member's own part rest, or go on.
func (o pauseOptions) own(ctx context.Context, r Request, m MakeAlong) (reply.Reply, error) {
	p, in, err := partIn(ctx, o.services, m, r.Member.ID)
	switch {
	case err != nil:
		return reply.Reply{}, err
	case !in && r.Host:
		return reply.Reply{}, Mistaken(m.line("makealong pause", map[string]string{"all": "yes"}), "you are not in %s yourself; do you mean the whole of it?", m.Name)
	case !in:
		return reply.Reply{}, Refused("You are not in %s, so nothing in it waits for you. /makealong join takes you in.", m.Name)
	case o.keep.Given(r):
		return reply.Reply{}, &Mistake{Option: "keep", Message: "keep is for hosts, when the whole make-along goes on; leave it out", Example: "resume:yes"}
	}
	p.State = Resting
	title, text, button := words.Key("Resting: %s"), words.Key("Put your feet up: your place is kept, and I ask you nothing while you rest. Your rows still count if you feel like it."), words.Key("Go on")
	more := map[string]string{"resume": "yes"}
	if o.resume.Of(r) {
		p.State = TakingPart
		title, text, button, more = "Welcome back: %s", "How good to have you here again. Your work stands where you left it, and the dates are for company.", "Rest", nil
	}
	if err := o.services.MakeAlongs.Join(ctx, r.ID, p); err != nil {
		return reply.Reply{}, fmt.Errorf("keep a rest: %w", err)
	}
	return reply.Reply{Title: r.Say(title, m.Name), Private: true, Parts: []reply.Block{reply.Text{Text: r.Say(text)}},
		Data:    map[string]any{"makealong": m.ID, "resting": p.State == Resting},
		Actions: []reply.Action{m.button(r.Say(button), "makealong pause", more), m.button(r.Say("Board"), "makealong board", nil)}}, nil
}

// whole lets a make-along rest, or go on.
func (o pauseOptions) whole(ctx context.Context, r Request, m MakeAlong) (reply.Reply, error) {
	rests := m.State == AlongPaused || m.State == AlongBlocked
	switch {
	case !r.Host && m.Host != r.Member.ID:
		return reply.Reply{}, Refused("It is for hosts to let the whole make-along rest. You can rest yourself: /makealong pause.")
	case m.State == AlongDraft:
		return reply.Reply{}, Refused("%s is a draft: nothing is posted before you open it.", m.Name)
	case o.resume.Of(r) && !rests:
		return reply.Reply{}, Refused("%s is running; nothing rests.", m.Name)
	case !o.resume.Of(r) && rests:
		return reply.Reply{}, Mistaken(m.line("makealong pause", map[string]string{"all": "yes", "resume": "yes"}), "%s rests already; it can go on", m.Name)
	case !o.resume.Of(r) && o.keep.Given(r):
		return reply.Reply{}, &Mistake{Option: "keep", Message: "keep is said when it goes on again", Example: "resume:yes keep:yes"}
	}
	had, err := o.services.MakeAlongs.Posts(ctx, m.ID)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("list posts: %w", err)
	}
	if !o.resume.Of(r) {
		next, posts := m.rested(r.Now, had)
		if next, err = saveAlong(ctx, o.services, r, next, posts); err != nil {
			return reply.Reply{}, err
		}
		return reply.Reply{Title: r.Say("At rest: %s", next.Name), Private: r.Channel != m.Channel,
			Parts: []reply.Block{reply.Text{Text: r.Say("We rest for a while. Nothing is posted meanwhile, and the dates that are left move along when we go on. Whoever likes goes on making.")}},
			Data:  announced{r, next, nil}.data(), Actions: []reply.Action{next.button(r.Say("Go on"), "makealong pause", map[string]string{"all": "yes", "resume": "yes"})}}, nil
	}
	next, posts, days := m.resumed(r.Now, had, o.keep.Of(r))
	if next, err = saveAlong(ctx, o.services, r, next, posts); err != nil {
		return reply.Reply{}, err
	}
	return announced{r, next, posts}.goesOn(days, next.eventsLeft(m, had))
}

// goesOn tells that a make-along goes on, with its dates.
func (a announced) goesOn(days int, note words.Message) (reply.Reply, error) {
	text := []words.Message{words.Say("We go on. The dates are as they were.")}
	if days > 0 {
		text[0] = words.Say("We go on. All that is left is %s later than it was: as long as we rested.", lasting(days))
	}
	if n := a.overdue(); n > 0 {
		text = append(text, words.Say("What fell due meanwhile comes in one post."))
	}
	text = append(text, note)
	out := reply.Reply{Title: a.r.Say("Going on: %s", a.m.Name), Private: a.r.Channel != a.m.Channel, Data: a.data(), Parts: []reply.Block{reply.Text{Text: sentences(a.r.Printer, text...)}, a.ahead()}}
	file, err := a.file()
	if err != nil {
		return out, err
	}
	out.Parts = append(out.Parts, file)
	out.Actions = []reply.Action{a.m.button(a.r.Say("Board"), "makealong board", nil), a.m.button(a.r.Say("Your dates"), "makealong dates", nil)}
	return out, nil
}

// overdue is how many milestones' posts are due at once.
func (a announced) overdue() int {
	n := 0
	for _, p := range a.posts {
		if p.Kind == MilestonePost && p.Due.Before(a.r.Now) {
			n++
		}
	}
	return n
}

// ahead lists the milestones that are still to come.
func (a announced) ahead() reply.Block {
	list := reply.List{Title: a.r.Say("Still to come")}
	today := a.m.today(a.r.Now)
	for i, stone := range a.m.Course.Milestones {
		if !stone.Date.Before(today) {
			list.Items = append(list.Items, fmt.Sprintf("%d, %s: %s", i+1, shortDate(a.r.Printer, stone.Date, schedule.Date{Year: today.Year}), stone.Title))
		}
	}
	if len(list.Items) == 0 {
		return reply.Text{Text: a.r.Say("All its dates are past. Take whatever time you like.")}
	}
	return list
}
