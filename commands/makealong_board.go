package commands

import (
	"context"
	"fmt"

	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongBoard(s Services) *Command {
	named := makealongOption(s)
	mine := YesNo("mine", "Your own part instead, with your counts and dates; only you see it")
	return &Command{
		Name: "board", Short: "How far everybody is together, and the pictures shown", Slow: true,
		Want: "see how far the group is",
		Long: "It shows how many have come to each milestone, from the rows that members count, and names those who chose to be named, by the alphabet. " +
			"Nobody is ranked and nobody is behind.",
		Options:  []Option{named, mine},
		Examples: []string{"/makealong board", "/makealong board mine:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			if mine.Of(r) {
				return ownBoard(ctx, s, r, m)
			}
			return groupBoard(ctx, s, r, m)
		},
	}
}

// mostGallery is how many of the shared pictures a board tells of.
const mostGallery = 6

// groupBoard is the board that everybody sees.
func groupBoard(ctx context.Context, s Services, r Request, m MakeAlong) (reply.Reply, error) {
	all, err := party(ctx, s, m)
	if err != nil {
		return reply.Reply{}, err
	}
	answers, err := s.MakeAlongs.Answers(ctx, m.ID, -1)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("read answers: %w", err)
	}
	shown, err := s.MakeAlongs.Gallery(ctx, m.ID)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("read the gallery: %w", err)
	}
	b := standing(r.Printer, m, all, answers)
	b.now, b.early = m.now(m.today(r.Now)), m.today(r.Now).Before(m.Course.Start) && m.State != AlongClosed
	out := reply.Reply{Title: m.Name, Data: b.data(), Private: m.State == AlongDraft}
	out.Parts = append(out.Parts, reply.Text{Text: b.lead()})
	if len(m.Course.Milestones) > 0 {
		drawing, err := b.picture().Draw()
		if err != nil {
			return reply.Reply{}, fmt.Errorf("draw the board: %w", err)
		}
		out.Parts = append(out.Parts, reply.Picture{Name: "board", Alt: clip(drawing.Description, 1000), Drawing: drawing})
		out.Parts = append(out.Parts, reply.List{Title: r.Say("Milestones"), Items: b.lines()})
	}
	if m.Course.Tester && len(m.Course.Sizes) > 0 {
		out.Parts = append(out.Parts, seatsList(r.Printer, m, all))
	}
	if gallery := galleryList(r.Printer, m, shown); gallery != nil {
		out.Parts = append(out.Parts, gallery)
	}
	out.Actions = b.actions()
	return out, nil
}

// picture is the board as it is drawn.
func (b groupStanding) picture() picture.Board {
	out := picture.Board{Printer: b.Printer, Title: b.m.Name, Counted: b.counted()}
	for i, s := range b.stages {
		out.Stages = append(out.Stages, picture.Stage{
			Title: s.title, Date: dated(b.Printer, s.date, b.m.Course.Start), Reached: s.reached(), Names: s.namesText(b.Printer, mostNamedDrawn), Now: i == b.now,
		})
	}
	if text := b.restText(); text != "" {
		out.Notes = append(out.Notes, text)
	}
	return out
}

// seatsList says which sizes of a tester call have their testers.
func seatsList(p words.Printer, m MakeAlong, all []Participant) reply.Block {
	free := freeSeats(m.Course.Sizes, all)
	var taken []string
	for _, size := range m.Course.Sizes {
		if !contains(free, size) {
			taken = append(taken, size)
		}
	}
	var items []string
	if len(taken) > 0 {
		items = append(items, p.Say("with a tester: %s", listed(taken, 30)))
	}
	if len(free) > 0 {
		items = append(items, p.Say("still free: %s", listed(free, 30)))
	}
	return reply.List{Title: p.Say("Sizes"), Items: items}
}

// galleryList tells of the pictures shown last, the newest first.
func galleryList(p words.Printer, m MakeAlong, shown []Shared) reply.Block {
	if len(shown) == 0 {
		return nil
	}
	list := reply.List{Title: p.Say("Shown by the group")}
	for i := len(shown) - 1; i >= 0 && len(list.Items) < mostGallery; i-- {
		list.Items = append(list.Items, shown[i].line(p, m))
	}
	if n := len(shown); n > mostGallery {
		list.Title = p.Say("Shown by the group: the last %d of %d", mostGallery, n)
	}
	return list
}

// line is a picture in the gallery: what is on it, whose it is if she is named,
// when, and where it is.
func (s Shared) line(p words.Printer, m MakeAlong) string {
	line := s.said(p) + ", " + p.Date(s.At.In(m.zone()), words.DayMonth)
	switch s.Where {
	case "":
	case string(shownHere):
		line += " (" + p.Say(shownHere) + ")"
	default:
		line += " (" + s.Where + ")"
	}
	return line
}

// actions are what can be done from the board.
func (b groupStanding) actions() []reply.Action {
	all := []reply.Action{b.m.button(b.Say("My part"), "makealong board", map[string]string{"mine": "yes"})}
	if b.m.State != AlongClosed {
		all = append(all, b.m.button(b.Say("Join"), "makealong join", nil))
	}
	return all
}

// ownBoard is a member's own part, with how far she is.
func ownBoard(ctx context.Context, s Services, r Request, m MakeAlong) (reply.Reply, error) {
	p, err := needPart(ctx, s, r, m)
	if err != nil {
		return reply.Reply{}, err
	}
	one := []Participant{p}
	if err := retarget(ctx, s, m, one); err != nil {
		return reply.Reply{}, err
	}
	p = one[0]
	own, err := openPart(ctx, s, r, m, p)
	if err != nil {
		return reply.Reply{}, err
	}
	out := reply.Reply{Title: r.Say("Your part in %s", m.Name), Private: true, Data: own.data(), Actions: own.actions(r.Printer)}
	if text := own.whenText(r); text != "" {
		out.Parts = append(out.Parts, reply.Text{Text: text})
	}
	if p.State == Resting {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("You are resting. It goes on whenever you do.")})
	}
	fields := own.fields(r)
	if own.w != nil {
		t := own.w.tally
		fields = append(fields, reply.Field{Name: r.Say("So far"), Value: r.Say("%s of your stitches (%s of %s)", partText(t.Share()), thousands(t.Stitches), thousands(t.All))})
	}
	out.Parts = append(out.Parts, reply.Fields{Items: fields})
	out.Parts = append(out.Parts, own.milestones(r.Printer)...)
	out.Parts = append(out.Parts, own.next(r.Printer))
	if own.w != nil {
		file, err := own.file(r.Printer, own.w)
		if err != nil {
			return reply.Reply{}, err
		}
		out.Parts = append(out.Parts, file...)
	}
	return out, nil
}
