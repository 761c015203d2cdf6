package commands

import (
	"context"
	"fmt"
	"math"

	"countwright/calc/measure"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongClose(s Services) *Command {
	named := makealongOption(s)
	sure := YesNo("sure", "Close it now; first you see what that means")
	share := YesNo("share", "Show the group's card to the channel; else only you see it")
	return &Command{
		Name: "close", Short: "Close a make-along with a farewell, the group's figures and a keepsake", For: Hosts, Slow: true,
		Want:     "end my make-along well",
		Long:     "A farewell is posted, where none was. What members have made and counted stays theirs.",
		Options:  []Option{named, sure, share},
		Examples: []string{"/makealong close", "/makealong close sure:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openHosted(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			c := closing{r: r, m: m}
			if c.made, err = groupFigures(ctx, s, m); err != nil {
				return reply.Reply{}, err
			}
			if m.State == AlongClosed {
				return c.card(ctx, s, share.Of(r))
			}
			if !sure.Of(r) {
				return c.before(ctx, s)
			}
			if c.m, err = closeAlong(ctx, s, r, m); err != nil {
				return reply.Reply{}, err
			}
			if m.State == AlongDraft {
				return reply.Reply{Title: r.Say("Put away: %s", m.Name), Private: true, Data: c.data(),
					Parts: []reply.Block{reply.Text{Text: r.Say("The draft is put away. It was never open, so nobody is told.")}}}, nil
			}
			return c.card(ctx, s, share.Of(r))
		},
	}
}

// closeAlong keeps the make-along as closed, with a farewell to be posted. Of a
// draft nothing is left.
func closeAlong(ctx context.Context, s Services, r Request, m MakeAlong) (MakeAlong, error) {
	had, err := s.MakeAlongs.Posts(ctx, m.ID)
	if err != nil {
		return m, fmt.Errorf("list posts: %w", err)
	}
	var posts []Post
	if m.State == AlongDraft {
		m.Course.Milestones = nil // by this it is known as never opened
	} else {
		posts = m.ending(r.Now, had)
	}
	m.State = AlongClosed
	return saveAlong(ctx, s, r, m, posts)
}

// closing is a make-along that is being closed, or was.
type closing struct {
	r    Request
	m    MakeAlong
	made figures
}

// fields are the figures, of the group alone.
func (c closing) fields() reply.Block {
	f := c.made
	if f.Members == 0 {
		return reply.Text{Text: c.r.Say("Nobody has joined it.")}
	}
	items := []reply.Field{{Name: c.r.Say("We were"), Value: fmt.Sprint(f.Members)}}
	add := func(name words.Key, value string) {
		items = append(items, reply.Field{Name: c.r.Say(name), Value: value})
	}
	if f.Stitches > 0 {
		add("Worked", c.r.Say("%s in %s", words.Count(f.Stitches, "%[2]s stitch", "%[2]s stitches", thousands(f.Stitches)), manyRows(f.Rows)))
	}
	if f.Metres >= 1 {
		add("Yarn", c.r.Say("about %s", yarnLength(f.Metres, c.r.Settings.Units)))
	}
	switch {
	case f.Finished > 0 && f.Finished == f.Members:
		add("Finished", c.r.Say("every one"))
	case f.Finished > 0:
		add("Finished", c.r.Count(f.Finished, "%d piece; the others grow on", "%d pieces; the others grow on"))
	}
	return reply.Fields{Items: items}
}

// yarnLength is a length of yarn to two figures, in metres or yards.
func yarnLength(metres float64, u measure.Unit) words.Message {
	if u == measure.Inches {
		return words.Say("%s yards", thousands(roundedCount(int(math.Round(metres/0.9144))))) // a yard is 0.9144 m exactly
	}
	return words.Say("%s metres", thousands(roundedCount(int(math.Round(metres)))))
}

// before says what closing means.
func (c closing) before(ctx context.Context, s Services) (reply.Reply, error) {
	had, err := s.MakeAlongs.Posts(ctx, c.m.ID)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("list posts: %w", err)
	}
	what := words.Key("Closing ends the check-ins, and a farewell is posted.")
	if farewellTold(had) {
		what = "Its farewell was posted; closing puts it away."
	}
	text := c.r.Say(what) + " " + c.r.Say("Everyone keeps her project, with every row she counted, and can go on for as long as she likes.")
	instead := c.m.button(c.r.Say("Let it rest instead"), "makealong pause", map[string]string{"all": "yes"})
	if c.m.State == AlongDraft {
		text = c.r.Say("This is a draft that was never open. Closing puts it away; nobody is told.")
		instead = c.m.button(c.r.Say("Look at the draft"), "makealong dates", nil)
	}
	return reply.Reply{Title: c.r.Say("Close %s?", c.m.Name), Private: true, Data: c.data(), Parts: []reply.Block{reply.Text{Text: text}, c.fields()},
		Actions: []reply.Action{c.m.button(c.r.Say("Close it"), "makealong close", map[string]string{"sure": "yes"}), instead}}, nil
}

// card is the farewell card: to all, or to a host with the keepsake.
func (c closing) card(ctx context.Context, s Services, shared bool) (reply.Reply, error) {
	lead := words.Key("Thank you for hosting. This is what you all made together, each at her own pace.")
	if shared {
		lead = "This is what we made together. Thank you, everybody."
	}
	out := reply.Reply{Title: c.r.Say("Made together: %s", c.m.Name), Private: !shared, Data: c.data(), Parts: []reply.Block{reply.Text{Text: c.r.Say(lead)}, c.fields()}}
	if len(c.m.Course.Milestones) > 0 && c.made.Told {
		board, err := groupBoard(ctx, s, c.r, c.m)
		if err != nil {
			return out, err
		}
		for _, part := range board.Parts {
			if drawing, ok := part.(reply.Picture); ok {
				out.Parts = append(out.Parts, drawing)
			}
		}
	}
	if shared {
		return out, nil
	}
	file, err := keepsake(ctx, s, c.r, c.m)
	if err != nil {
		return out, err
	}
	out.Parts = append(out.Parts, file)
	out.Actions = []reply.Action{c.m.button(c.r.Say("Show the card to all"), "makealong close", map[string]string{"share": "yes"})}
	return out, nil
}

// closeData is the group's figures in machine form.
type closeData struct {
	MakeAlong int64  `json:"makealong"`
	State     string `json:"state"`
	Members   int    `json:"members"`
	Finished  int    `json:"finished"`
	Rows      int    `json:"rows"`
	Stitches  int    `json:"stitches"`
	Metres    int    `json:"metres"`
}

func (c closing) data() closeData {
	return closeData{c.m.ID, string(c.m.State), c.made.Members, c.made.Finished, c.made.Rows, c.made.Stitches, int(math.Round(c.made.Metres))}
}

// neverOpened reports a draft that was put away.
func (m MakeAlong) neverOpened() bool {
	return m.State == AlongClosed && len(m.Course.Milestones) == 0
}
