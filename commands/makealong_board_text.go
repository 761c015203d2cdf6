package commands

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"countwright/calc/schedule"
	"countwright/commands/words"
)

// fewest is how many unnamed members there must be before their progress is
// told, summed up. Of fewer, who knows her own could tell the others'.
const fewest = 3

// How many are named at a milestone before the rest is a number.
const (
	mostNamedDrawn = 8
	mostNamedText  = 20
)

// groupStanding is how far a group is, told so that nobody who has not chosen
// to be named can be singled out.
type groupStanding struct {
	words.Printer
	m        MakeAlong
	all      int // who take part
	named    int
	summed   int  // unnamed members whose progress is in the sums: all, or 0 where they are too few
	resting  int  // 0 too where it would tell of somebody
	everyone bool // all are resting
	stages   []stageStanding
	now      int  // the milestone that the calendar is at; -1: none
	early    bool // it has not begun
}

// stageStanding is how many have come to a milestone.
type stageStanding struct {
	title   string
	date    schedule.Date
	names   []string // of those named, by the alphabet
	unnamed int
}

// standing sums up how far everybody is.
func standing(p words.Printer, m MakeAlong, all []Participant, answers []Answer) groupStanding {
	b := groupStanding{Printer: p, m: m, all: len(all), now: -1}
	said := sayings(answers)
	for _, p := range all {
		if p.Name != "" {
			b.named++
		}
		if p.State == Resting || p.Work == Paused {
			b.resting++
		}
	}
	if unnamed := b.all - b.named; unnamed >= fewest {
		b.summed = unnamed
	}
	if b.everyone = b.resting == b.all; b.all < fewest {
		b.resting, b.everyone = 0, false
	}
	for _, s := range m.Course.Milestones {
		b.stages = append(b.stages, stageStanding{title: s.Title, date: s.Date})
	}
	for _, p := range all {
		for i, there := range p.reached(m, said[p.Member]) {
			switch {
			case !there:
			case p.Name != "":
				b.stages[i].names = append(b.stages[i].names, p.Name)
			case b.summed > 0:
				b.stages[i].unnamed++
			}
		}
	}
	for i := range b.stages {
		slices.SortFunc(b.stages[i].names, byName)
	}
	return b
}

// byName orders names by the alphabet.
func byName(x, y string) int {
	return cmp.Or(cmp.Compare(strings.ToLower(x), strings.ToLower(y)), cmp.Compare(x, y))
}

// counted is how many members the figures are of.
func (b groupStanding) counted() int { return b.named + b.summed }

// reached is how many of those counted have come to the milestone.
func (s stageStanding) reached() int { return len(s.names) + s.unnamed }

// namesText names those who are named, at most so many: "Ada, Odile and 3
// more". It is empty where nobody is.
func (s stageStanding) namesText(p words.Printer, most int) string {
	if len(s.names) == 0 {
		return ""
	}
	shown := s.names[:min(len(s.names), most)]
	if more := s.reached() - len(shown); more > 0 {
		return p.Say("%s and %d more", strings.Join(shown, ", "), more)
	}
	if n := len(shown); n > 1 {
		return p.Say("%s and %s", strings.Join(shown[:n-1], ", "), shown[n-1])
	}
	return shown[0]
}

// now is the milestone that the calendar is at: the first whose day is not
// over; -1 before the start and after the last.
func (m MakeAlong) now(today schedule.Date) int {
	if today.Before(m.Course.Start) || m.State == AlongDraft || m.State == AlongClosed {
		return -1
	}
	for i, s := range m.Course.Milestones {
		if !s.Date.Before(today) {
			return i
		}
	}
	return -1
}

// lead says who takes part.
func (b groupStanding) lead() string {
	var said []string
	switch b.all {
	case 0:
		said = append(said, b.Say("Nobody has joined yet; whoever does is the first."))
	case 1:
		said = append(said, b.Say("One takes part so far."))
	default:
		said = append(said, b.Say("%d make it together.", b.all))
	}
	if text := b.restText(); text != "" {
		said = append(said, text)
	}
	if left := b.all - b.counted(); left > 0 {
		switch {
		case b.named == 0:
			said = append(said, b.Say("How far it is shows once %d take part, or somebody chooses to be named.", fewest))
		default:
			said = append(said, b.Count(left, "The figures are of those who chose to be named; %d more is with them.", "The figures are of those who chose to be named; %d more are with them."))
		}
	}
	if b.early {
		said = append(said, b.Say("It begins on %s.", longDate(b.Printer, b.m.Course.Start)))
	}
	switch b.m.State {
	case AlongDraft:
		said = append(said, b.Say("It is a draft that only hosts see."))
	case AlongPaused, AlongBlocked:
		said = append(said, b.Say("The whole group is resting at the moment."))
	case AlongClosed:
		said = append(said, b.Say("It is closed; what was made stays."))
	}
	return strings.Join(said, " ")
}

// restText counts those who rest.
func (b groupStanding) restText() string {
	switch {
	case b.everyone:
		return b.Say("It is a time of rest for everybody.")
	case b.resting == 1:
		return b.Say("One is resting, which is part of making.")
	case b.resting > 1:
		return b.Say("%d are resting, which is part of making.", b.resting)
	}
	return ""
}

// lines are the milestones with how many have come to them.
func (b groupStanding) lines() []string {
	lines := make([]string, len(b.stages))
	begun := slices.ContainsFunc(b.stages, func(s stageStanding) bool { return s.reached() > 0 })
	for i, s := range b.stages {
		line := fmt.Sprintf("%s, %s", s.title, dated(b.Printer, s.date, b.m.Course.Start))
		if i == b.now {
			line += " (" + b.Say("now") + ")"
		}
		switch n := s.reached(); {
		case !begun:
		case n == 0:
			line += ": " + b.Say("still ahead")
		default:
			line += ": " + b.Say("%d there", n)
			if names := s.namesText(b.Printer, mostNamedText); names != "" {
				line += ", " + names
			}
		}
		lines[i] = line
	}
	return lines
}

// The machine-readable answer of /makealong board. Keys may be added, never
// renamed.
type (
	boardData struct {
		MakeAlong  int64            `json:"makealong"`
		Name       string           `json:"name"`
		State      string           `json:"state"`
		Members    int              `json:"members"`
		Counted    int              `json:"counted"` // of whom the figures are
		Resting    int              `json:"resting"`
		Milestones []boardMilestone `json:"milestones"`
	}
	boardMilestone struct {
		Title   string   `json:"title"`
		Date    string   `json:"date"`
		Now     bool     `json:"now"`
		Reached int      `json:"reached"`
		Names   []string `json:"names"`
	}
)

func (b groupStanding) data() boardData {
	d := boardData{MakeAlong: b.m.ID, Name: b.m.Name, State: string(b.m.State), Members: b.all, Counted: b.counted(), Resting: b.resting, Milestones: []boardMilestone{}}
	for i, s := range b.stages {
		d.Milestones = append(d.Milestones, boardMilestone{s.title, s.date.String(), i == b.now, s.reached(), append([]string{}, s.names...)})
	}
	return d
}
