package commands

import (
	"context"
	"fmt"
	"slices"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongList(s Services) *Command {
	return &Command{
		Name: "list", Short: "The make-alongs here: what is made, where, and how to join",
		Want:     "see what is being made together here",
		Examples: []string{"/makealong list"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			list, err := alongsSeen(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			if len(list) == 0 {
				text := words.Key("None yet. When a host opens one, it is shown here with a button to join.")
				switch {
				case r.Server == "":
					text = "You are in none at the moment. In a server's channel this shows those that you can join."
				case r.Host:
					text = "None yet. /makealong create prepares one; nobody sees it before you publish it."
				}
				return reply.Reply{Title: r.Say("Make-alongs"), Private: true, Parts: []reply.Block{reply.Text{Text: r.Say(text)}}, Data: []alongListed{}}, nil
			}
			mine, err := s.MakeAlongs.Joined(ctx, r.Member.ID)
			if err != nil {
				return reply.Reply{}, fmt.Errorf("list make-alongs joined: %w", err)
			}
			return alongsReply(r, list, mine), nil
		},
	}
}

// alongListed is one make-along in machine form.
type alongListed struct {
	MakeAlong int64  `json:"makealong"`
	Name      string `json:"name"`
	Pattern   string `json:"pattern"`
	State     string `json:"state"`
	Start     string `json:"start"`
	Last      string `json:"last,omitempty"` // the last milestone's date
	Joined    bool   `json:"joined"`
}

// mostAlongs is how many make-alongs a list tells of, and buttons of it.
const (
	mostAlongs  = 15
	mostButtons = 5
)

// alongsReply lists make-alongs; whoever is in none of those that run gets
// buttons to join. Drafts are told to hosts alone, so the list is private.
func alongsReply(r Request, list []MakeAlong, mine []Participant) reply.Reply {
	out := reply.Reply{Title: r.Say("Make-alongs"), Private: true}
	data := []alongListed{}
	var items []string
	for _, m := range list[:min(len(list), mostAlongs)] {
		joined := slices.ContainsFunc(mine, func(p Participant) bool { return p.Along == m.ID })
		items = append(items, m.listedLine(r.Printer, r.Now, joined))
		d := alongListed{m.ID, m.Name, m.Course.Pattern, string(m.State), m.Course.Start.String(), "", joined}
		if n := len(m.Course.Milestones); n > 0 {
			d.Last = m.Course.Milestones[n-1].Date.String()
		}
		data = append(data, d)
		switch {
		case len(out.Actions) == mostButtons:
		case joined && m.State != AlongClosed:
			out.Actions = append(out.Actions, m.button(r.Say("Board: %s", clip(m.Name, 60)), "makealong board", nil))
		case m.State == AlongOpen:
			out.Actions = append(out.Actions, m.button(r.Say("Join %s", clip(m.Name, 60)), "makealong join", nil))
		}
	}
	out.Parts = append(out.Parts, reply.List{Items: items})
	if n := len(list) - len(items); n > 0 {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("And %d older ones.", n)})
	}
	out.Data = data
	return out
}

// listedLine is a make-along in a list: its name, what is made, and what comes
// next or when it was.
func (m MakeAlong) listedLine(p words.Printer, now time.Time, joined bool) string {
	name := m.Name
	if joined {
		name = p.Say("%s (you are in it)", name)
	}
	what := m.Course.title(p)
	if m.Course.Tester {
		what = p.Say("a call for testers of %s", what)
	}
	return p.Say("%s: %s, %s", name, what, m.stands(p, now))
}

// stands is what comes next in a make-along, or how it is.
func (m MakeAlong) stands(p words.Printer, now time.Time) string {
	stones, start := m.Course.Milestones, longDate(p, m.Course.Start)
	next := slices.IndexFunc(stones, func(s along.Milestone) bool { return s.Date.Since(m.today(now)) >= 0 })
	switch {
	case m.State == AlongClosed:
		return p.Say("closed")
	case m.State == AlongDraft:
		return p.Say("a draft that only hosts see, to start %s", start)
	case m.State == AlongPaused:
		return p.Say("resting at the moment")
	case m.State == AlongBlocked:
		return p.Say("waiting for its channel")
	case m.Course.Start.Since(m.today(now)) > 0:
		return p.Say("starts %s", start)
	case next >= 0:
		return p.Say("next “%s”, %s", clip(stones[next].Title, 60), longDate(p, stones[next].Date))
	}
	return p.Say("all its dates have come by; it goes on as long as you like")
}

// zone is the make-along's; UTC where it is not known any more.
func (m MakeAlong) zone() *time.Location {
	if zone, err := time.LoadLocation(m.Course.Zone); err == nil {
		return zone
	}
	return time.UTC
}

// today is the date where the make-along is.
func (m MakeAlong) today(now time.Time) schedule.Date { return schedule.DateOf(now, m.zone()) }
