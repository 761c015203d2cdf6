package commands

import (
	"context"

	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongPublish(s Services) *Command {
	named := makealongOption(s)
	return &Command{
		Name: "open", Short: "Open a make-along that you have prepared: it is welcomed in its channel", For: Hosts, Private: true,
		Want:     "open the make-along that I prepared",
		Options:  []Option{named},
		Examples: []string{"/makealong open makealong:Fog shawl"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openHosted(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			switch m.State {
			case AlongDraft:
			case AlongPaused, AlongBlocked:
				return reply.Reply{}, Mistaken(m.line("makealong pause", map[string]string{"all": "yes", "resume": "yes"}), "%s is open and rests; it can go on", m.Name)
			case AlongClosed:
				return reply.Reply{}, Refused("%s is closed. /makealong create begins another one.", m.Name)
			default:
				return reply.Reply{}, Refused("%s is open already. /makealong board shows how it goes.", m.Name)
			}
			on := m.opened()
			if len(m.Course.Milestones) == 0 || on.ordered(0, len(m.Course.Milestones)-1, r.Now) != nil {
				return reply.Reply{}, on.cannotOpen(r)
			}
			on, err = saveAlong(ctx, s, r, on, on.posts(r.Now, nil))
			if err != nil {
				return reply.Reply{}, err
			}
			return announced{r, on, on.posts(r.Now, nil)}.published()
		},
	}
}

// cannotOpen says which dates keep a make-along from being opened.
func (m MakeAlong) cannotOpen(r Request) error {
	if len(m.Course.Milestones) == 0 {
		return Mistaken(m.line("makealong milestone", map[string]string{"add": "yes"}), "%s has no milestone yet; a make-along needs one", m.Name)
	}
	first := m.Course.Milestones[0]
	return Mistaken(m.line("makealong change", map[string]string{"start": "next Sunday"}), "“%s”, %s, is past already. Move the start, and all dates move along", first.Title, dayOn(first.Date))
}

// published tells a host what happens now.
func (a announced) published() (reply.Reply, error) {
	welcome := a.posts[0]
	when := a.r.Say("The welcome, with a button to join, comes to %s in a moment.", a.place())
	if welcome.Due.After(a.r.Now) {
		local := welcome.Due.In(a.m.zone())
		when = a.r.Say("The welcome, with a button to join, comes to %s on %s at %s, when the quiet hours are over.", a.place(), a.r.Date(local, words.DayName), local.Format("15:04"))
	}
	out := reply.Reply{Title: a.r.Say("Open: %s", a.m.Name), Private: true, Data: a.data(), Parts: []reply.Block{
		reply.Text{Text: when + " " + a.r.Say("From now on I post by myself; where you write in the channel yourself, I keep it short.")},
		a.milestones(), reply.List{Title: a.r.Say("What is posted"), Items: a.planned()},
	}}
	file, err := a.file()
	if err != nil {
		return out, err
	}
	out.Parts = append(out.Parts, file, reply.Tip{Text: a.r.Say("Join it yourself, so that you make it with the others. /makealong answers shows you who wants help.")})
	out.Actions = []reply.Action{a.m.button(a.r.Say("Join"), "makealong join", nil), a.m.button(a.r.Say("Board"), "makealong board", nil)}
	return out, nil
}
