package commands

import (
	"context"
	"errors"
	"fmt"

	"countwright/calc/pattern"
	"countwright/commands/reply"
)

func makealongDates(s Services) *Command {
	named := makealongOption(s)
	return &Command{
		Name: "dates", Short: "The dates of a make-along, your own where you have joined, as a calendar file too", Private: true,
		Want:     "have the dates of a make-along in my calendar",
		Options:  []Option{named},
		Examples: []string{"/makealong dates"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			if m.State == AlongDraft {
				return draftReply(ctx, s, r, m)
			}
			p, in, err := partIn(ctx, s, m, r.Member.ID)
			if err != nil {
				return reply.Reply{}, err
			}
			posts, err := s.MakeAlongs.Posts(ctx, m.ID)
			if err != nil {
				return reply.Reply{}, fmt.Errorf("list posts: %w", err)
			}
			a := announced{r: r, m: m, posts: pending(posts)}
			if in {
				return a.own(ctx, s, p)
			}
			return a.group()
		},
	}
}

// draftReply shows a draft as it stands now.
func draftReply(ctx context.Context, s Services, r Request, m MakeAlong) (reply.Reply, error) {
	p := alongPattern{name: m.Course.Pattern, version: m.Course.Version}
	if g, ok := pattern.Find(p.name); ok {
		p.cautions = patternCautions(r.Printer, g)
	} else if t, err := findKept(ctx, s, r, "pattern", p.name, p.version); err == nil && t.file {
		if g, err := pattern.Read(t.name, []byte(t.text)); err == nil {
			p.cautions = patternCautions(r.Printer, g)
		}
	}
	return announced{r, m, m.opened().posts(r.Now, nil)}.draft(p)
}

// opened is the make-along as it is once it is open.
func (m MakeAlong) opened() MakeAlong {
	m.State = AlongOpen
	return m
}

// group is the dates of the group, for who is not in it.
func (a announced) group() (reply.Reply, error) {
	out := reply.Reply{Title: a.r.Say("Dates of %s", a.m.Name), Private: true, Data: a.data()}
	if text := (memberPart{m: a.m}).whenText(a.r); text != "" {
		out.Parts = append(out.Parts, reply.Text{Text: text})
	}
	out.Parts = append(out.Parts, reply.Fields{Items: a.fields()}, a.milestones())
	if text := a.clockChange(); text != "" {
		out.Parts = append(out.Parts, reply.Text{Text: text})
	}
	if a.r.Host && len(a.posts) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: a.r.Say("What is posted"), Items: a.planned()})
	}
	file, err := a.file()
	if err != nil {
		return out, err
	}
	out.Parts = append(out.Parts, file)
	if a.m.State == AlongOpen {
		out.Actions = append(out.Actions, a.m.button(a.r.Say("Join"), "makealong join", nil))
	}
	out.Actions = append(out.Actions, a.m.button(a.r.Say("Board"), "makealong board", nil))
	if a.r.Host {
		out.Actions = append(out.Actions, a.menu()...)
	}
	return out, nil
}

// own is the dates of a member who has joined.
func (a announced) own(ctx context.Context, s Services, p Participant) (reply.Reply, error) {
	own, err := openPart(ctx, s, a.r, a.m, p)
	if err != nil {
		return reply.Reply{}, err
	}
	out := reply.Reply{Title: a.r.Say("Your dates: %s", a.m.Name), Private: true, Data: a.data()}
	for _, text := range []string{own.whenText(a.r), own.lateText(a.r.Printer), a.clockChange()} {
		if text != "" {
			out.Parts = append(out.Parts, reply.Text{Text: text})
		}
	}
	out.Parts = append(out.Parts, own.milestones(a.r.Printer)...)
	out.Parts = append(out.Parts, own.next(a.r.Printer))
	if a.r.Host && len(a.posts) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: a.r.Say("What is posted"), Items: a.planned()})
	}
	if own.w != nil {
		file, err := own.file(a.r.Printer, own.w)
		if err != nil {
			return out, err
		}
		out.Parts = append(out.Parts, file...)
	} else {
		file, err := a.file()
		if err != nil {
			return out, err
		}
		out.Parts = append(out.Parts, file)
	}
	out.Actions = own.actions(a.r.Printer)
	return out, nil
}

// saveAlong keeps a changed make-along, or says why it can't be.
func saveAlong(ctx context.Context, s Services, r Request, m MakeAlong, posts []Post) (MakeAlong, error) {
	saved, err := s.MakeAlongs.Save(ctx, r.ID, r.Member.ID, m, posts)
	switch {
	case errors.Is(err, ErrChanged):
		return m, Refused("Somebody else changed %s just now, so I left it as it is. Look at it again (/makealong dates), then make your change.", m.Name)
	case errors.Is(err, ErrNamed):
		return m, &Mistake{Option: "name", Message: "there is a make-along “%s” here already; give this one another name", Args: []any{m.Name}, Example: "name:" + quoted(clip(m.Name, 55)+" 2")}
	case err != nil:
		return m, fmt.Errorf("save make-along %d: %w", m.ID, err)
	}
	return saved, nil
}
