package commands

import (
	"context"
	"fmt"
	"regexp"
	"strings"

	"countwright/calc/along"
	"countwright/calc/gauge"
	"countwright/commands/calendar"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// memberPart is a member's part in a make-along, as it is told to her alone.
type memberPart struct {
	m       MakeAlong
	p       Participant
	w       *work // nil: her project is gone
	reached []bool
}

// openPart gathers what is told of a part.
func openPart(ctx context.Context, s Services, r Request, m MakeAlong, p Participant) (memberPart, error) {
	own := memberPart{m: m, p: p}
	if p.Project > 0 {
		book, there, err := s.Projects.Open(ctx, p.Member, p.Project)
		if err != nil {
			return own, fmt.Errorf("open project: %w", err)
		}
		if there {
			if own.w, err = openNumbered(ctx, s, r, book.ID); err != nil {
				return own, err
			}
			own.p.Done, own.p.Work = own.w.tally.Done, own.w.State
		}
	}
	answers, err := s.MakeAlongs.Answers(ctx, m.ID, -1)
	if err != nil {
		return own, fmt.Errorf("read answers: %w", err)
	}
	own.reached = own.p.reached(m, sayings(answers)[p.Member])
	return own, nil
}

// reply tells her what she has joined: her counts and dates, and what comes.
func (j *entrant) reply(ctx context.Context, w *work) (reply.Reply, error) {
	own, err := openPart(ctx, j.services, j.r, j.m, j.part)
	if err != nil {
		return reply.Reply{}, err
	}
	out := reply.Reply{Title: j.r.Say("You are in: %s", j.m.Name), Private: true, Data: own.data()}
	if j.again {
		out.Title = j.r.Say("Your part in %s", j.m.Name)
	}
	welcome := ""
	if j.rested {
		welcome = j.r.Say("Welcome back! Your place is as you left it.")
	}
	for _, text := range []string{welcome, j.said, own.whenText(j.r), own.lateText(j.r.Printer)} {
		if text != "" {
			out.Parts = append(out.Parts, reply.Text{Text: text})
		}
	}
	out.Parts = append(out.Parts, j.cautions...)
	out.Parts = append(out.Parts, reply.Fields{Items: own.fields(j.r)})
	out.Parts = append(out.Parts, own.milestones(j.r.Printer)...)
	out.Parts = append(out.Parts, own.next(j.r.Printer))
	file, err := own.file(j.r.Printer, w)
	if err != nil {
		return reply.Reply{}, err
	}
	out.Parts = append(out.Parts, file...)
	out.Actions = own.actions(j.r.Printer)
	return out, nil
}

// whenText says when it begins, or that it rests.
func (o memberPart) whenText(r Request) string {
	switch today := o.m.today(r.Now); {
	case o.m.State == AlongDraft:
		return r.Say("It is still a draft that only hosts see.")
	case o.m.State == AlongPaused || o.m.State == AlongBlocked:
		return r.Say("It is resting at the moment. When it goes on, the dates move along.")
	case today.Before(o.m.Course.Start):
		return r.Say("It begins on %s.", longDate(r.Printer, o.m.Course.Start))
	}
	return ""
}

// lateText tells who came later that her dates are later too.
func (o memberPart) lateText(p words.Printer) string {
	if o.p.Shift == 0 {
		return ""
	}
	return p.Say("The group began on %s. Your dates are %s later than the group's, so that you have the same easy pace: there is nothing to catch up on.",
		dated(p, o.m.Course.Start, o.m.Course.Start), weeks(o.p.Shift))
}

// weeks is a number of days as people say it.
func weeks(days int) words.Message {
	if days%7 == 0 {
		return weekCount(days / 7)
	}
	return dayCount(days)
}

// fields are what she said, and what came of it.
func (o memberPart) fields(r Request) []reply.Field {
	var items []reply.Field
	add := func(name words.Key, value string) {
		if value != "" {
			items = append(items, reply.Field{Name: r.Say(name), Value: value})
		}
	}
	add("Made for", o.p.Size)
	if o.p.Seat != "" {
		add("Your size", r.Say("%s, which nobody else tests", o.p.Seat))
	}
	add(tensionWord(r), gaugeSaid(r, o.p.Gauge))
	if g := (tester{part: o.p}).gauge(); g != nil {
		own := words.Key("Your own gauge")
		if tensionWord(r) == "Tension" {
			own = "Your own tension"
		}
		add(own, r.Of(gaugeText(g.Gauge, r.Settings.Units)))
	}
	if o.w != nil {
		add("In all", r.Say("%s stitches in %d rows", thousands(o.w.tally.All), o.w.tally.AllRows))
	}
	if o.p.Name != "" {
		add("On the board", r.Say("named, as %s", o.p.Name))
	} else {
		add("On the board", r.Say("counted, not named"))
	}
	switch {
	case o.p.Quiet:
		add("Pings", r.Say("none: you are left alone"))
	case o.p.Pings:
		add("Pings", r.Say("at most one a week"))
	default:
		add("Pings", r.Say("none"))
	}
	return items
}

// gaugeWords is a gauge as it is pinned.
var gaugeWords = regexp.MustCompile(`^(\S+) sts\s+and (\S+) rows\s+in (\S+ \S+)$`)

// gaugeSaid is a gauge as it was said on joining, in the member's unit.
func gaugeSaid(r Request, said string) string {
	if g, err := gauge.Parse(said); err == nil {
		return r.Of(gaugeText(g, r.Settings.Units))
	}
	if m := gaugeWords.FindStringSubmatch(said); m != nil {
		return r.Say("%s sts and %s rows in %s", m[1], m[2], m[3])
	}
	return said
}

// milestones are her counts and dates.
func (o memberPart) milestones(p words.Printer) []reply.Block {
	calendar := o.p.calendar(o.m)
	if len(calendar) == 0 {
		return nil
	}
	list := reply.List{Title: p.Say("Your counts and dates")}
	var asks []asked
	if o.w != nil {
		asks = askedOf(o.w.pieces, o.p.Targets)
	}
	for i, s := range calendar {
		text := p.Say("%[1]s, by %[2]s", s.Title, dated(p, s.Date, o.m.Course.Start))
		switch {
		case o.reached[i]:
			text = p.Say("%s: you are there", text)
		case i < len(asks) && asks[i].text(p, o.w.pieces) != "":
			text = p.Say("%s, %s stitches: %s", text, thousands(asks[i].stitches), asks[i].text(p, o.w.pieces))
		case i < len(o.p.Targets) && len(o.p.Targets[i]) > 0:
			text = p.Say("%s: with the one before", text)
		default:
			text = p.Say("%s: you say when you are there", text)
		}
		list.Items = append(list.Items, text)
	}
	return []reply.Block{list}
}

// next says what comes now.
func (o memberPart) next(p words.Printer) reply.Block {
	at, more := ahead(o.reached)
	switch {
	case len(o.reached) == 0:
		return reply.Text{Text: p.Say("Its milestones are not settled yet.")}
	case !more:
		return reply.Text{Text: p.Say("You have come to every milestone. How good to have you here!")}
	}
	s := o.p.calendar(o.m)[at]
	text := p.Say("Next: “%s”, by %s.", s.Title, dated(p, s.Date, o.m.Course.Start))
	if o.w != nil {
		text += " " + p.Say("Count rows as you go (/project row), that is all. At each milestone a question comes that takes one tap.")
	}
	return reply.Text{Text: text + " " + p.Say("Dates are for company, not for hurry.")}
}

// file is the calendar with her own dates; none where there are no milestones.
func (o memberPart) file(p words.Printer, w *work) ([]reply.Block, error) {
	plan := calendar.Plan{Name: o.m.Name, UID: fmt.Sprintf("server %s, make-along %d, member %s", o.m.Server, o.m.ID, o.p.Member), Version: o.m.Version, Made: o.m.Changed}
	asks := askedOf(w.pieces, o.p.Targets)
	plan.Entries = o.m.Course.entries(o.m.Name, o.p.Shift, func(i int, stone along.Milestone) string {
		var text []string
		if i < len(asks) && len(asks[i].targets) > 0 {
			text = append(text, asks[i].text(p, w.pieces))
		}
		if stone.Note != "" {
			text = append(text, stone.Note)
		}
		return strings.Join(text, "\n")
	})
	if len(plan.Entries) == 0 {
		return nil, nil
	}
	body, err := calendar.File(plan)
	if err != nil {
		return nil, fmt.Errorf("write her calendar: %w", err)
	}
	return []reply.Block{reply.File{Name: "my-dates" + calendar.Extension, Type: calendar.Type, Body: body}}, nil
}

// actions are what she may want to do next.
func (o memberPart) actions(p words.Printer) []reply.Action {
	var all []reply.Action
	if o.w != nil {
		all = append(all, o.w.button("The row to work", "project show", nil))
	}
	all = append(all, o.m.button(p.Say("Board"), "makealong board", nil))
	if o.p.Name == "" {
		all = append(all, o.m.button(p.Say("Name me on the board"), "makealong join", map[string]string{"named": "yes"}))
	} else {
		all = append(all, o.m.button(p.Say("Don't name me"), "makealong join", map[string]string{"named": "no"}))
	}
	return append(all, o.m.quietButton(p, o.p.Quiet))
}

// The machine-readable answer of one's part. Keys may be added, never renamed.
type (
	partData struct {
		MakeAlong  int64           `json:"makealong"`
		Name       string          `json:"name"`
		Project    int64           `json:"project"`
		Size       string          `json:"size"`
		Seat       string          `json:"seat,omitempty"`
		Gauge      string          `json:"gauge"`
		Named      bool            `json:"named"`
		Pings      bool            `json:"pings"`
		Quiet      bool            `json:"quiet"`
		Resting    bool            `json:"resting"`
		ShiftDays  int             `json:"shift_days"`
		Milestones []partMilestone `json:"milestones"`
	}
	partMilestone struct {
		Title    string       `json:"title"`
		Date     string       `json:"date"`
		Reached  bool         `json:"reached"`
		Stitches int          `json:"stitches"` // to it from the one before
		Targets  []partTarget `json:"targets"`
	}
	partTarget struct {
		Piece string `json:"piece"`
		Row   string `json:"row"`
		Rows  int    `json:"rows"`  // done by then
		Count int    `json:"count"` // stitches at its end
	}
)

func (o memberPart) data() partData {
	d := partData{MakeAlong: o.m.ID, Name: o.m.Name, Project: o.p.Project, Size: o.p.Size, Seat: o.p.Seat, Gauge: o.p.Gauge, Named: o.p.Name != "",
		Pings: o.p.Pings, Quiet: o.p.Quiet, Resting: o.p.State == Resting, ShiftDays: o.p.Shift, Milestones: []partMilestone{}}
	var asks []asked
	if o.w != nil {
		asks = askedOf(o.w.pieces, o.p.Targets)
	}
	for i, s := range along.Shifted(o.m.Course.Milestones, o.p.Shift) {
		one := partMilestone{Title: s.Title, Date: s.Date.String(), Reached: o.reached[i], Targets: []partTarget{}}
		if i < len(asks) {
			one.Stitches = asks[i].stitches
			for _, t := range asks[i].targets {
				piece := o.w.pieces[t.Piece]
				row := piece.Rows[t.Rows-1]
				one.Targets = append(one.Targets, partTarget{piece.Title(), row.Label, t.Rows, row.Count})
			}
		}
		d.Milestones = append(d.Milestones, one)
	}
	return d
}
