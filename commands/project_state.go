package commands

import (
	"context"
	"fmt"
	"math"

	"countwright/commands/reply"
	"countwright/commands/words"
)

func projectPause(s Services) *Command {
	project := projectOption(s)
	resume := YesNo("resume", "Take it up again; counting a row does that too")
	return &Command{
		Name: "pause", Short: "Let a project rest, or take it up again", Private: true,
		Want:     "put a project down without losing my place",
		Options:  []Option{resume, project},
		Examples: []string{"/project pause", "/project pause resume:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			state, lead := Paused, words.Key("Put down for now. Your place is kept, and nothing will remind you.")
			if resume.Of(r) {
				state, lead = Working, "Welcome back: here is where you were."
			} else if w.State == Finished {
				return reply.Reply{}, Refused("%s is finished: nothing in it waits for you.", w.Name)
			}
			if err := s.Projects.Set(ctx, r.ID, r.Member.ID, w.ID, state); err != nil {
				return reply.Reply{}, err
			}
			if w, err = openNumbered(ctx, s, r, w.ID); err != nil {
				return reply.Reply{}, err
			}
			out := w.reply(r, reply.Text{Text: r.Say(lead)})
			if state == Paused {
				out.Actions = []reply.Action{w.button("Take it up again", "project pause", map[string]string{"resume": "yes"})}
			}
			return out, nil
		},
	}
}

func projectFinish(s Services) *Command {
	project := projectOption(s)
	share := YesNo("share", "Show the card to the channel; else only you see it")
	return &Command{
		Name: "finish", Short: "Finish a project, and see its card with figures",
		Want:     "finish a project and show it",
		Options:  []Option{project, share},
		Examples: []string{"/project finish", "/project finish share:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			if w.State != Finished {
				if err := s.Projects.Set(ctx, r.ID, r.Member.ID, w.ID, Finished); err != nil {
					return reply.Reply{}, err
				}
				if w, err = openNumbered(ctx, s, r, w.ID); err != nil {
					return reply.Reply{}, err
				}
			}
			return w.card(r, share.Of(r))
		},
	}
}

// card is a finished project with its figures.
func (w *work) card(r Request, shared bool) (reply.Reply, error) {
	t := w.tally
	items := []reply.Field{{Name: r.Say("Made"), Value: w.madeText()}}
	if w.Pinned.Gauge != "" {
		items = append(items, reply.Field{Name: r.Say("Gauge"), Value: w.Pinned.Gauge})
	}
	items = append(items,
		reply.Field{Name: r.Say("From"), Value: r.Say("%s to %s", w.dateText(w.Started), w.dateText(w.Finished))},
		reply.Field{Name: r.Say("Worked"), Value: r.Say("%s in %s", words.Count(t.Stitches, "%[2]s stitch", "%[2]s stitches", thousands(t.Stitches)), countedRows(t.Rows))})
	most, frogged := 0, 0
	for _, d := range t.Days {
		most, frogged = max(most, d.Worked), frogged+d.Frogged
	}
	if len(t.Days) > 0 {
		items = append(items, reply.Field{Name: r.Say("Days"), Value: r.Say("%d with work, %s stitches on the longest", len(t.Days), thousands(most))})
	}
	if frogged > 0 {
		items = append(items, reply.Field{Name: r.Say("Made anew"), Value: r.Say("%s stitches, and better for it", thousands(frogged))})
	}
	if t.Minutes > 0 {
		items = append(items, reply.Field{Name: r.Say("Time"), Value: r.Say("%s told", minutesText(t.Minutes))})
	}
	if y := w.yarnLeft(); y.known && y.used > 0 {
		items = append(items, reply.Field{Name: r.Say("Yarn"), Value: r.Say("about %.0f g used, %.0f g left", math.Round(y.used), math.Round(y.left))})
	}
	out := reply.Reply{Title: r.Say("Finished: %s", w.Name), Private: !shared, Parts: []reply.Block{reply.Fields{Items: items}}, Data: w.data(r, t.Piece)}
	if rest := t.AllRows - t.Rows; rest > 0 {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("%s were not counted; it is finished when you say so.", countedRows(rest))})
	}
	drawing, err := w.picture()
	if err != nil {
		return reply.Reply{}, err
	}
	out.Parts = append(out.Parts, drawing, reply.Tip{Text: r.Say("Weave in all ends, and wash it as you washed the swatch.")})
	out.Actions = w.actions(t.Piece, false)
	return out, nil
}

// madeText is what is made and for whom.
func (w *work) madeText() string {
	if w.Pinned.Size == "" {
		return w.Pinned.Title
	}
	return w.Pinned.Title + ", " + w.Pinned.Size
}

// mostListed is how many projects the list opens to say how far they are.
const mostListed = 20

func projectList(s Services) *Command {
	return &Command{
		Name: "list", Short: "Your projects, wherever you started them", Private: true,
		Want:     "see all my projects",
		Examples: []string{"/project list"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			list, err := s.Projects.List(ctx, r.Member.ID)
			if err != nil {
				return reply.Reply{}, fmt.Errorf("list projects: %w", err)
			}
			if len(list) == 0 {
				return reply.Reply{Title: r.Say("Your projects"), Private: true, Data: []projectListed{},
					Parts: []reply.Block{reply.Text{Text: r.Say("None yet. /project start begins one, from a pattern or from rows and stitches.")}}}, nil
			}
			return projectsReply(ctx, s, r, list)
		},
	}
}

type projectListed struct {
	Project int64   `json:"project"`
	Name    string  `json:"name"`
	State   string  `json:"state"`
	Share   float64 `json:"share"` // by stitches
	Changed string  `json:"changed"`
}

func projectsReply(ctx context.Context, s Services, r Request, list []Project) (reply.Reply, error) {
	table := reply.Table{Head: []string{r.Say("project"), "", r.Say("stitches"), r.Say("last")}, Right: []bool{false, false, true, true}}
	menu := reply.Menu{Label: r.Say("Open one")}
	var data []projectListed
	for _, p := range list[:min(len(list), mostListed)] {
		w, err := openNumbered(ctx, s, r, p.ID)
		if err != nil {
			return reply.Reply{}, err
		}
		state := r.Say(map[ProjectState]words.Key{Paused: "resting", Finished: "finished"}[p.State])
		table.Rows = append(table.Rows, []string{p.Name, state, partText(w.tally.Share()), r.Date(p.Changed.In(w.where), words.ShortDay)})
		menu.Choices = append(menu.Choices, reply.Button{Label: clip(p.Name, 80), Line: Line("project show", map[string]Input{"project": w.ref()})})
		data = append(data, projectListed{p.ID, p.Name, string(p.State), round2(w.tally.Share()), p.Changed.In(w.where).Format("2006-01-02")})
	}
	out := reply.Reply{Title: r.Say("Your projects"), Private: true, Parts: []reply.Block{table}, Actions: []reply.Action{menu}, Data: data}
	if n := len(list); n > mostListed {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("The %d that you worked on last, of %d.", mostListed, n)})
	}
	return out, nil
}
