package commands

import (
	"context"
	"fmt"

	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongLeave(s Services) *Command {
	named := makealongOption(s)
	return &Command{
		Name: "leave", Short: "Leave a make-along; your project stays yours", Private: true,
		Want:     "leave a make-along and keep my work",
		Long:     "Your part is removed, with what you answered and the words on the pictures you showed. Your project, its rows and notes stay yours. You can join again at any time.",
		Options:  []Option{named},
		Examples: []string{"/makealong leave"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			p, err := needPart(ctx, s, r, m)
			if err != nil {
				return reply.Reply{}, err
			}
			if err := s.MakeAlongs.Leave(ctx, r.ID, r.Member.ID, m.ID); err != nil {
				return reply.Reply{}, fmt.Errorf("leave make-along %d: %w", m.ID, err)
			}
			out := reply.Reply{Title: r.Say("You have left %s", m.Name), Private: true, Data: map[string]int64{"makealong": m.ID, "project": p.Project}}
			text := r.Say("Your part in it is removed, with your answers and the words on the pictures you showed.")
			if p.Project > 0 {
				text += " " + r.Say("Your project stays yours, with every row you counted.")
				out.Actions = append(out.Actions, reply.Button{Label: r.Say("My project"), Line: fmt.Sprintf("/project show project:%d", p.Project)})
			}
			out.Parts = []reply.Block{reply.Text{Text: text + " " + r.Say("Thank you for the company; the door stays open.")}}
			return out, nil
		},
	}
}

func makealongQuiet(s Services) *Command {
	named := makealongOption(s)
	end := YesNo("end", "End the quiet: you may be pinged again, if you asked for it")
	return &Command{
		Name: "quiet", Short: "Be left alone by a make-along: no ping, no message; or end that", Private: true,
		Want:     "be left alone without leaving",
		Options:  []Option{named, end},
		Examples: []string{"/makealong quiet", "/makealong quiet end:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			p, in, err := partIn(ctx, s, m, r.Member.ID)
			if err != nil {
				return reply.Reply{}, err
			}
			if !in {
				return reply.Reply{Title: r.Say("Left alone already"), Private: true, Data: map[string]any{"makealong": m.ID, "quiet": true},
					Parts: []reply.Block{reply.Text{Text: r.Say("You are not in %s, so it never pings you. What it posts in its channel can be muted there.", m.Name)}}}, nil
			}
			p.Quiet = !end.Of(r)
			if err := s.MakeAlongs.Join(ctx, r.ID, p); err != nil {
				return reply.Reply{}, fmt.Errorf("keep quiet: %w", err)
			}
			out := reply.Reply{Title: r.Say("You are left alone"), Private: true, Data: map[string]any{"makealong": m.ID, "quiet": p.Quiet}, Actions: []reply.Action{m.quietButton(r.Printer, p.Quiet)}}
			text := r.Say("%s will not ping you or write to you. You are still in it, and your rows still count.", m.Name)
			if !p.Quiet {
				out.Title = r.Say("The quiet is over")
				text = r.Say("You are not pinged all the same, as you have not asked for it: /makealong join pings:yes does.")
				if p.Pings {
					text = r.Say("You may be pinged again, at most once a week, as you asked.")
				}
			}
			out.Parts = []reply.Block{reply.Text{Text: text}}
			return out, nil
		},
	}
}

// quietButton is the one tap that has a member left alone, or ends that.
func (m MakeAlong) quietButton(p words.Printer, quiet bool) reply.Button {
	if quiet {
		return m.button(p.Say("End the quiet"), "makealong quiet", map[string]string{"end": "yes"})
	}
	return m.button(p.Say("Leave me alone"), "makealong quiet", nil)
}
