package commands

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"countwright/calc/along"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// sayLooking is what somebody says who does not mean to join; it is not kept.
const sayLooking = "just looking"

// mostAnswer is how long the words of a question may be, in characters.
const mostAnswer = 500

// answerOptions are what /makealong answer takes.
type answerOptions struct {
	say, makealong, words *Opt[string]
	milestone, post       *Opt[int]
	form                  *Opt[bool]
}

// makealongAnswer keeps what a member says to a check-in. The buttons of
// check-ins run it.
func makealongAnswer(s Services) *Command {
	o := answerOptions{
		say:       OneOf("say", "How your part goes", SayOnIt, SayNeedHelp, SayResting, SayDone, sayLooking).Require(),
		makealong: makealongOption(s),
		milestone: Int("milestone", "Which milestone, by number; the one you are on the way to if not said", 1, 100).Like("2"),
		words:     Words("words", "With “need help”: what you are stuck at, for the hosts", mostAnswer).Like("my edges slant in"),
		form:      YesNo("form", "With “need help”: open a form for your words"),
		post:      Int("post", "The check-in whose button this is; leave it out", 1, 1<<53-1).Like("1"),
	}
	return &Command{
		Name: "answer", Short: "Say how your part goes, or ask the hosts for help", Private: true,
		Want: "say how my part of a make-along goes, or ask its hosts for help",
		Long: "The buttons under a check-in do this with one tap. Answers are counted without names. Who asks for help is shown to the hosts, " +
			"with the row her work is at, so that they can help; nobody else sees it.",
		Options:  []Option{o.say, o.makealong, o.milestone, o.words, o.form, o.post},
		Examples: []string{"/makealong answer say:on it", "/makealong answer say:need help words:my edges slant in"},
		Run:      func(ctx context.Context, r Request) (reply.Reply, error) { return o.run(ctx, s, r) },
	}
}

// stated is an answer while it is worked on.
type stated struct {
	r         Request
	m         MakeAlong
	part      Participant
	milestone int
	work      *work // her project; nil: she has none in it
}

func (o answerOptions) run(ctx context.Context, s Services, r Request) (reply.Reply, error) {
	m, err := openAlong(ctx, s, r, o.makealong)
	if err != nil {
		return reply.Reply{}, goneAlong(err, o.makealong.Of(r))
	}
	part, in, err := partIn(ctx, s, m, r.Member.ID)
	if err != nil {
		return reply.Reply{}, err
	}
	say := o.say.Of(r)
	switch {
	case !in:
		return notIn(r.Printer, m, say), nil
	case say == sayLooking:
		return tappedReply(r.Printer, m, "You are in, so look around as you like. The board shows how far the group is."), nil
	case m.State == AlongClosed:
		return closedAnswer(r.Printer, m, part), nil
	}
	t := stated{r: r, m: m, part: part, milestone: o.milestone.Of(r) - 1}
	stones := m.Course.Milestones
	if !o.milestone.Given(r) {
		if t.milestone, err = nextStone(ctx, s, m, part); err != nil {
			return reply.Reply{}, err
		}
	}
	if t.milestone < 0 || t.milestone >= len(stones) {
		return tappedReply(r.Printer, m, "This part is not on the calendar any more, so there is nothing to note. The board shows what there is now."), nil
	}
	if part.Project != 0 {
		if t.work, err = openNumbered(ctx, s, r, part.Project); err != nil && !isRefusal(err) {
			return reply.Reply{}, err
		}
	}
	if say == SayNeedHelp && o.form.Of(r) && !o.words.Given(r) {
		return t.form(), nil
	}
	if err := t.keep(ctx, s, say, o.words.Of(r)); err != nil {
		return reply.Reply{}, err
	}
	if say == SayNeedHelp {
		return t.help(o.words.Of(r)), nil
	}
	return t.thanks(say), nil
}

// goneAlong says kindly that a button's make-along is not there any more.
func goneAlong(err error, named string) error {
	var m *Mistake
	if _, number := strconv.ParseInt(named, 10, 64); number == nil && errors.As(err, &m) {
		return Refused("This make-along is not there any more. Nothing was noted, and your own project is as it was.")
	}
	return err
}

func isRefusal(err error) bool {
	var r *Refusal
	return errors.As(err, &r)
}

// nextStone is the milestone that a member is on the way to, or the last where
// she has come to all.
func nextStone(ctx context.Context, s Services, m MakeAlong, p Participant) (int, error) {
	answers, err := s.MakeAlongs.Answers(ctx, m.ID, -1)
	if err != nil {
		return 0, fmt.Errorf("read answers: %w", err)
	}
	if at, more := ahead(p.reached(m, sayings(answers)[p.Member])); more {
		return at, nil
	}
	return len(m.Course.Milestones) - 1, nil
}

// keep keeps what she said. Where she stands and who she is are kept only when
// she asks for help.
func (t stated) keep(ctx context.Context, s Services, say, question string) error {
	a := Answer{Along: t.m.ID, Milestone: t.milestone, Member: t.r.Member.ID, Say: say, At: t.r.Now}
	if say == SayNeedHelp {
		a.Name, a.Place, a.Words = t.name(), t.place(), question
	}
	if err := s.MakeAlongs.Answer(ctx, t.r.ID, a); err != nil {
		return fmt.Errorf("keep answer: %w", err)
	}
	return nil
}

// name is what hosts call her: as she wishes to be named, else as the service
// shows her.
func (t stated) name() string {
	if t.part.Name != "" {
		return t.part.Name
	}
	return inOneLine(clip(t.r.Member.Name, 60))
}

// between parts what a place holds: the piece, the row, its count.
const between = " · "

// place is where her work stands: "Back, body · Row 12 of 60 · 84 stitches ·
// decrease"; empty where no project tells.
func (t stated) place() string {
	if t.work == nil {
		return ""
	}
	at, more := t.work.tally.Next(t.work.pieces)
	if !more {
		return string(rowsDone)
	}
	p, row := t.work.pieces[at], t.work.tally.Done[at]
	said := []string{p.Title(), fmt.Sprintf("%s of %d", p.Rows[row].Label, len(p.Rows)), t.work.countOf(at, row).String()}
	for _, e := range p.Due(max(0, row-1), min(len(p.Rows), row+2)) {
		what := ""
		switch {
		case e.Holes > 0:
			what = along.AboutButtonhole
		case e.Shape > 0:
			what = along.AboutIncrease
		case e.Shape < 0:
			what = along.AboutDecrease
		}
		if what != "" {
			said = append(said, what)
			break
		}
	}
	return strings.Join(said, between)
}

// rowsDone is the place of who has worked all rows.
const rowsDone words.Key = "all rows done"

var (
	placeRow      = regexp.MustCompile(`^(.+) of (\d+)$`)
	placeStitches = regexp.MustCompile(`^(\d+) stitch(?:es)?$`)
)

// placeSaid is a place in a reader's language. It is kept in English.
func placeSaid(p words.Printer, place string) string {
	parts := strings.Split(place, between)
	for i, part := range parts {
		row, stitches := placeRow.FindStringSubmatch(part), placeStitches.FindStringSubmatch(part)
		switch {
		case i > 0 && row != nil:
			parts[i] = p.Say("%s of %s", row[1], row[2])
		case i > 0 && stitches != nil:
			n, _ := strconv.Atoi(stitches[1]) // what was counted
			parts[i] = p.Of(stitchCount(n))
		case i > 0 && happening[part] != "":
			parts[i] = p.Say(happening[part])
		case part == string(rowsDone):
			parts[i] = p.Say(rowsDone)
		}
	}
	return strings.Join(parts, between)
}

// happening are the names of what happens at a place.
var happening = map[string]words.Key{along.AboutIncrease: "increase", along.AboutDecrease: "decrease", along.AboutButtonhole: "buttonhole"}

// form asks for her words. What she said before is kept already.
func (t stated) form() reply.Reply {
	return reply.Reply{Title: t.r.Say("Where are you stuck?"), Private: true, Form: &reply.Form{
		Title: t.r.Say("Where are you stuck?"), Line: t.line(SayNeedHelp, nil),
		Fields: []reply.Blank{{Option: "words", Label: t.r.Say("What happens, in your own words"), Hint: t.r.Say("my edges slant in"), Long: true, Most: mostAnswer}},
	}}
}

// line says something again at the same milestone.
func (t stated) line(say string, more map[string]string) string {
	all := map[string]string{"say": say, "milestone": strconv.Itoa(t.milestone + 1)}
	for name, value := range more {
		all[name] = value
	}
	return t.m.line("makealong answer", all)
}

// help answers “need help”: who sees it, where she is, and what helps there.
func (t stated) help(question string) reply.Reply {
	stone := t.m.Course.Milestones[t.milestone]
	place := t.place()
	p := t.r.Printer
	seen := p.Say("The hosts now see that you, %s, would like help with “%s”.", t.name(), stone.Title)
	if place != "" {
		seen = p.Say("The hosts now see that you, %s, would like help with “%s”, and that your work is at: %s.", t.name(), stone.Title, placeSaid(p, place))
	}
	if question != "" {
		seen += " " + p.Say("They read your words: “%s”.", strings.TrimSuffix(inOneLine(question), "."))
	}
	out := tappedReply(p, t.m, "%s Nobody else sees it. Another tap under the check-in takes it back.", seen)
	if t.work != nil {
		if at, more := t.work.tally.Next(t.work.pieces); more {
			out.Parts = append(out.Parts, t.work.now(at)...)
		}
	}
	trips := tripUps(p, t.m.Course, t.milestone, t.r.dialect())
	out.Parts = append(out.Parts, tripList(p.Say("What often happens here, and what helps"), trips))
	out.Parts = append(out.Parts, tripCautions(trips)...)
	out.Actions = nil
	if question == "" {
		out.Actions = append(out.Actions, reply.Button{Label: p.Say("Tell the hosts more"), Line: t.line(SayNeedHelp, map[string]string{"form": "yes"})})
	}
	if t.work != nil {
		out.Actions = append(out.Actions, t.work.button("My row", "project show", nil))
	}
	menu := reply.Menu{Label: p.Say("What do you see? I go through it with you")}
	for _, trip := range trips {
		if trip.Trouble {
			menu.Choices = append(menu.Choices, reply.Button{Label: clip(trip.See, 80), Line: "/trouble symptom:" + quoted(trip.ID)})
		}
	}
	if len(menu.Choices) > 0 {
		out.Actions = append(out.Actions, menu)
	}
	out.Data = answerData{MakeAlong: t.m.ID, Milestone: t.milestone + 1, Say: SayNeedHelp, Place: place}
	return out
}

// answerData is what was kept, in machine form. Keys may be added, never
// renamed.
type answerData struct {
	MakeAlong int64  `json:"makealong"`
	Milestone int    `json:"milestone"` // from 1
	Say       string `json:"say"`
	Place     string `json:"place,omitempty"` // kept with a call for help only
}

// thanks answers what needs no help.
func (t stated) thanks(say string) reply.Reply {
	ways := map[string][]words.Key{SayOnIt: onItWords, SayResting: restingWords, SayDone: doneWords}[say]
	out := tappedReply(t.r.Printer, t.m, ways[t.milestone%len(ways)])
	out.Actions = nil
	if t.work != nil && say != SayResting {
		out.Actions = append(out.Actions, t.work.button("My row", "project show", nil))
	}
	if count, uncounted := t.uncounted(); uncounted && say == SayDone {
		out.Parts = append(out.Parts, reply.Text{Text: t.r.Say("The board goes by the rows that you count. One tap counts a piece's rows up to here.")})
		out.Actions = append(out.Actions, count)
	}
	if say == SayResting {
		out.Parts = append(out.Parts, reply.Text{Text: t.r.Say("If you like it quiet for a while, /makealong pause stops all reminders until you are back.")})
	}
	out.Actions = append(out.Actions, t.m.button(t.r.Say("See the board"), "makealong board", nil))
	out.Data = answerData{MakeAlong: t.m.ID, Milestone: t.milestone + 1, Say: say}
	return out
}

// uncounted is a button that counts the rows of a piece up to where the
// milestone is, and false where her rows have come to it, or can't tell.
func (t stated) uncounted() (reply.Action, bool) {
	if t.work == nil || t.work.State == Finished {
		return nil, false
	}
	for _, list := range t.part.Targets[:min(t.milestone+1, len(t.part.Targets))] {
		for _, target := range list {
			if target.Piece < 0 || target.Piece >= len(t.work.pieces) {
				continue
			}
			if more := target.Rows - t.work.tally.Done[target.Piece]; more > 0 {
				return t.work.button("Count them", "project row", map[string]string{"n": fmt.Sprintf("+%d", more), "piece": strconv.Itoa(target.Piece + 1)}), true
			}
		}
	}
	return nil, false
}

// tappedReply is a private word about a make-along.
func tappedReply(p words.Printer, m MakeAlong, text words.Key, args ...any) reply.Reply {
	return reply.Reply{Title: m.Name, Private: true, Parts: []reply.Block{reply.Text{Text: p.Say(text, args...)}},
		Actions: []reply.Action{m.button(p.Say("See the board"), "makealong board", nil)}}
}

// notIn answers somebody who does not take part.
func notIn(p words.Printer, m MakeAlong, say string) reply.Reply {
	switch {
	case m.State == AlongClosed:
		return tappedReply(p, m, "This make-along has had its farewell. The board still shows what was made.")
	case say == sayLooking:
		out := tappedReply(p, m, "You are welcome to look. Nothing pings you here. Should you like to make it too, you can come in at any time.")
		out.Actions = append([]reply.Action{m.button(p.Say("Join"), "makealong join", nil)}, out.Actions...)
		return out
	}
	out := tappedReply(p, m, "You are not in this make-along yet, so I noted nothing. You can come in at any time: your calendar begins with you, and your counts are your own.")
	out.Actions = append([]reply.Action{m.button(p.Say("Join"), "makealong join", nil)}, out.Actions...)
	return out
}

// closedAnswer answers a tap after the farewell.
func closedAnswer(said words.Printer, m MakeAlong, p Participant) reply.Reply {
	out := tappedReply(said, m, "This make-along has had its farewell, so I note no answers any more. Your work is yours and goes on as you like.")
	if p.Project != 0 {
		out.Actions = append(out.Actions, reply.Button{Label: said.Say("My row"), Line: Line("project show", map[string]Input{"project": {Text: strconv.FormatInt(p.Project, 10)}})})
	}
	return out
}
