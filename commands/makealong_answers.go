package commands

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/along"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// makealongAnswers shows hosts what was said at the milestones. It works in a
// direct message, too, for the host who made the make-along: notes to hosts
// are sent there.
func makealongAnswers(s Services) *Command {
	named := makealongOption(s)
	milestone := Int("milestone", "Which milestone, by number; all if not said", 1, 100).Like("2")
	post := Int("post", "The note whose button this is; leave it out", 1, 1<<53-1).Like("1")
	return &Command{
		Name: "answers", Short: "For hosts: what was said at each milestone, in counts, and who wants help", Private: true,
		Want: "see who in my make-along wants help, and where", From: "host",
		Long:     "Names are told of those alone who asked for help, for they said so knowing that hosts see it.",
		Options:  []Option{named, milestone, post},
		Examples: []string{"/makealong answers", "/makealong answers milestone:1"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, goneAlong(err, named.Of(r))
			}
			if !(r.Host && r.Server == m.Server) && m.Host != r.Member.ID {
				return reply.Reply{}, Refused("What people answer is for the hosts of %s. You may ask one of them.", m.Name)
			}
			if milestone.Given(r) && milestone.Of(r) > len(m.Course.Milestones) {
				return reply.Reply{}, m.noMilestoneNumbered(milestone)
			}
			answers, err := s.MakeAlongs.Answers(ctx, m.ID, milestone.Of(r)-1)
			if err != nil {
				return reply.Reply{}, fmt.Errorf("read answers: %w", err)
			}
			return answersReply(r, m, answers), nil
		},
	}
}

func (m MakeAlong) noMilestoneNumbered(o *Opt[int]) error {
	n := len(m.Course.Milestones)
	if n == 0 {
		return Refused("%s has no milestones yet, so there are no answers.", m.Name)
	}
	return &Mistake{Option: o.spec.Name, Message: "%s has %d milestones", Args: []any{m.Name, n}, Example: o.spec.Name + ":" + strconv.Itoa(n)}
}

// saidAt is what was said at one milestone.
type saidAt struct {
	Milestone int         `json:"milestone"` // from 1
	Title     string      `json:"title"`
	OnIt      int         `json:"on_it"`
	NeedHelp  int         `json:"need_help"`
	Resting   int         `json:"resting"`
	Done      int         `json:"done"`
	Help      []helpPlace `json:"help,omitempty"`
}

// helpPlace is a place in the work at which help is wanted.
type helpPlace struct {
	Place string     `json:"place"`
	Calls []helpCall `json:"calls"`
}

// helpCall is one member's call for help.
type helpCall struct {
	Name  string `json:"name"`
	Where string `json:"where"` // with counts
	Words string `json:"words,omitempty"`
}

// gathered sorts answers by milestone and, where help is wanted, by place: the
// place with most calls first. Milestones at which nobody spoke are left out.
func gathered(m MakeAlong, answers []Answer) []saidAt {
	var all []saidAt
	for i, stone := range m.Course.Milestones {
		at := saidAt{Milestone: i + 1, Title: stone.Title}
		for _, a := range answers {
			if a.Milestone != i {
				continue
			}
			switch a.Say {
			case SayOnIt:
				at.OnIt++
			case SayResting:
				at.Resting++
			case SayDone:
				at.Done++
			case SayNeedHelp:
				at.NeedHelp++
				at.call(a)
			}
		}
		slices.SortStableFunc(at.Help, func(a, b helpPlace) int { return len(b.Calls) - len(a.Calls) })
		if at.OnIt+at.NeedHelp+at.Resting+at.Done > 0 {
			all = append(all, at)
		}
	}
	return all
}

func (s *saidAt) call(a Answer) {
	call := helpCall{Name: a.Name, Where: a.Place, Words: inOneLine(a.Words)}
	if call.Name == "" {
		call.Name = string(aMember)
	}
	place := helpGroup(a.Place)
	at := slices.IndexFunc(s.Help, func(h helpPlace) bool { return strings.EqualFold(h.Place, place) })
	if at < 0 {
		s.Help = append(s.Help, helpPlace{Place: place})
		at = len(s.Help) - 1
	}
	s.Help[at].Calls = append(s.Help[at].Calls, call)
}

// aMember is what hosts call somebody without a name.
const aMember words.Key = "a member"

// noPlace is where somebody is whose project does not tell.
const noPlace words.Key = "No place told"

// helpGroup is the part of a place that others have in common: the piece,
// whichever of its copies, and what happens there.
func helpGroup(place string) string {
	if place == "" {
		return string(noPlace)
	}
	parts := strings.Split(place, between)
	group := parts[0]
	if before, _, copied := strings.Cut(group, " ("); copied && strings.HasSuffix(group, ")") && strings.Contains(group, " of ") {
		group = before
	}
	switch last := parts[len(parts)-1]; last {
	case along.AboutIncrease, along.AboutDecrease, along.AboutButtonhole:
		group += ", at the " + last
	}
	return group
}

// groupSaid is a group of places in a reader's language.
func groupSaid(p words.Printer, group string) string {
	if group == string(noPlace) {
		return p.Say(noPlace)
	}
	for about, what := range happening {
		if piece, found := strings.CutSuffix(group, ", at the "+about); found {
			return p.Say("%s, at the %s", piece, what)
		}
	}
	return placeSaid(p, group)
}

// people counts people in words.
func people(n int) words.Message {
	if n == 1 {
		return words.Say("one person")
	}
	if few, small := smallNumbers[n]; small {
		return words.Say("%s people", few)
	}
	return words.Say("%d people", n)
}

var smallNumbers = map[int]words.Key{
	2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine", 10: "ten", 11: "eleven", 12: "twelve",
}

// counts are the taps in a line.
func (s saidAt) counts(p words.Printer) string {
	var said []string
	for _, c := range []struct {
		n    int
		what words.Key
	}{{s.OnIt, SayOnIt}, {s.NeedHelp, SayNeedHelp}, {s.Resting, SayResting}, {s.Done, SayDone}} {
		if c.n > 0 {
			said = append(said, fmt.Sprintf("%s %d", p.Say(c.what), c.n))
		}
	}
	return strings.Join(said, ", ")
}

// Limits of what a host is told in one message.
const (
	shownPlaces = 8
	shownCalls  = 12
)

// calls tells who wants help, with the counts of each, by place.
func (s saidAt) calls(p words.Printer) []reply.Block {
	var parts []reply.Block
	for i, h := range s.Help {
		if i == shownPlaces {
			parts = append(parts, reply.Text{Text: p.Say("And %d more places.", len(s.Help)-i)})
			break
		}
		list := reply.List{Title: fmt.Sprintf("%s: %s", groupSaid(p, h.Place), p.Of(people(len(h.Calls))))}
		for _, c := range h.Calls {
			list.Items = append(list.Items, c.text(p))
		}
		list.Items = clipped(p, list.Items, shownCalls)
		parts = append(parts, list)
	}
	return parts
}

func (c helpCall) text(p words.Printer) string {
	text := c.Name
	if text == string(aMember) {
		text = p.Say(aMember)
	}
	if c.Where != "" {
		text += ": " + placeSaid(p, c.Where)
	}
	if c.Words != "" {
		text += " (" + p.Say("“%s”", c.Words) + ")"
	}
	return text
}

// answersReply tells hosts what was said.
func answersReply(r Request, m MakeAlong, answers []Answer) reply.Reply {
	all := gathered(m, answers)
	out := reply.Reply{Title: r.Say("Answers in %s", m.Name), Private: true, Data: all, Actions: []reply.Action{m.button(r.Say("See the board"), "makealong board", nil)}}
	if len(all) == 0 {
		out.Data = []saidAt{}
		out.Parts = []reply.Block{reply.Text{Text: r.Say("Nobody has tapped anything yet. That is fine: many read along and say nothing.")}}
		return out
	}
	table := reply.Table{Head: r.Each("milestone", SayOnIt, "help", SayResting, SayDone), Right: []bool{false, true, true, true, true}}
	for _, at := range all {
		table.Rows = append(table.Rows, []string{fmt.Sprintf("%d %s", at.Milestone, clip(at.Title, 40)), strconv.Itoa(at.OnIt), strconv.Itoa(at.NeedHelp), strconv.Itoa(at.Resting), strconv.Itoa(at.Done)})
	}
	out.Parts = append(out.Parts, table)
	help := false
	for _, at := range all {
		if at.NeedHelp == 0 {
			continue
		}
		help = true
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("Help is wanted at “%s”:", at.Title)})
		out.Parts = append(out.Parts, at.calls(r.Printer)...)
		out.Parts = append(out.Parts, tripList(r.Say("What often happens there"), tripUps(r.Printer, m.Course, at.Milestone-1, r.dialect())))
	}
	if !help {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("Nobody asks for help just now.")})
	}
	return out
}
