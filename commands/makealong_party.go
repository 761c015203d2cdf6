package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"countwright/calc/along"
	"countwright/calc/pace"
	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// partIn is a member's own part in a make-along; false: she has none.
func partIn(ctx context.Context, s Services, m MakeAlong, member string) (Participant, bool, error) {
	parts, err := s.MakeAlongs.Joined(ctx, member)
	if err != nil {
		return Participant{}, false, fmt.Errorf("list make-alongs joined: %w", err)
	}
	if at := slices.IndexFunc(parts, func(p Participant) bool { return p.Along == m.ID }); at >= 0 {
		return parts[at], true, nil
	}
	return Participant{}, false, nil
}

// needPart is a member's own part, or a refusal that says how to get one.
func needPart(ctx context.Context, s Services, r Request, m MakeAlong) (Participant, error) {
	p, ok, err := partIn(ctx, s, m, r.Member.ID)
	switch {
	case err != nil:
		return p, err
	case !ok:
		return p, Refused("You are not in %s. /makealong join takes you in, whenever you like.", m.Name)
	}
	return p, nil
}

// party is everybody who takes part, with targets that are those of the
// make-along as it stands: older ones are made anew from the members' pinned
// rows, and kept.
func party(ctx context.Context, s Services, m MakeAlong) ([]Participant, error) {
	list, err := s.MakeAlongs.Party(ctx, m.ID)
	if err != nil {
		return nil, fmt.Errorf("list who takes part: %w", err)
	}
	return list, retarget(ctx, s, m, list)
}

// retarget makes members' targets anew where the make-along was changed since.
func retarget(ctx context.Context, s Services, m MakeAlong, list []Participant) error {
	var anew []Participant
	for i := range list {
		p := &list[i]
		if p.Version == m.Version || p.Project == 0 {
			continue
		}
		book, ok, err := s.Projects.Open(ctx, p.Member, p.Project)
		if err != nil {
			return fmt.Errorf("open project %d: %w", p.Project, err)
		}
		if !ok {
			continue
		}
		p.Targets, p.Version = along.AllTargets(book.Pinned.Plan, m.Course.Milestones), m.Version
		anew = append(anew, *p)
	}
	if len(anew) == 0 {
		return nil
	}
	if err := s.MakeAlongs.Retarget(ctx, m.ID, anew); err != nil {
		return fmt.Errorf("keep targets: %w", err)
	}
	return nil
}

// calendar is the milestones on a member's own dates.
func (p Participant) calendar(m MakeAlong) []along.Milestone {
	return along.Shifted(m.Course.Milestones, p.Shift)
}

// reached tells of each milestone whether a member has come to it. Rows tell
// it by themselves. Where they can't, her own word does, or that she has come
// to a later one.
func (p Participant) reached(m MakeAlong, said map[int]string) []bool {
	out := make([]bool, len(m.Course.Milestones))
	byRows, _ := along.Progress(p.Done, p.Targets)
	later := false
	for i := len(out) - 1; i >= 0; i-- {
		silent := i >= len(p.Targets) || len(p.Targets[i]) == 0 // no rows tell of it
		out[i] = i < byRows || p.Work == Finished || silent && (later || said[i] == SayDone)
		later = later || out[i]
	}
	return out
}

// sayings are what members said at the milestones: by member, then milestone.
func sayings(answers []Answer) map[string]map[int]string {
	out := map[string]map[int]string{}
	for _, a := range answers {
		if out[a.Member] == nil {
			out[a.Member] = map[int]string{}
		}
		out[a.Member][a.Milestone] = a.Say
	}
	return out
}

// cameTo tells of the milestones that rows just counted have come to.
func cameTo(ctx context.Context, s Services, r Request, before, after *work) ([]reply.Block, error) {
	if s.MakeAlongs == nil {
		return nil, nil
	}
	parts, err := s.MakeAlongs.Joined(ctx, r.Member.ID)
	if err != nil {
		return nil, fmt.Errorf("list make-alongs joined: %w", err)
	}
	var out []reply.Block
	for _, p := range parts {
		if p.Project != after.ID {
			continue
		}
		m, ok, err := s.MakeAlongs.Along(ctx, p.Along)
		if err != nil {
			return nil, fmt.Errorf("open make-along %d: %w", p.Along, err)
		}
		if !ok || m.State == AlongClosed {
			continue
		}
		one := []Participant{p}
		if err := retarget(ctx, s, m, one); err != nil {
			return nil, err
		}
		p = one[0]
		was, _ := along.Progress(before.tally.Done, p.Targets)
		is, _ := along.Progress(after.tally.Done, p.Targets)
		if stones := m.Course.Milestones; is > was && is <= len(stones) {
			out = append(out, reply.Text{Text: r.Say("That is “%s”, a milestone of %s: you are there.", stones[is-1].Title, m.Name)})
		}
	}
	return out, nil
}

// asked is what a milestone asks of a member beyond those before it: the
// targets that are further on, and the stitches up to them.
type asked struct {
	targets  []along.Target
	stitches int
}

// askedOf lists what each milestone asks.
func askedOf(pieces []pace.Piece, targets [][]along.Target) []asked {
	out := make([]asked, len(targets))
	done := make([]int, len(pieces))
	for i, list := range targets {
		for _, t := range list {
			if t.Piece < 0 || t.Piece >= len(pieces) || t.Rows <= done[t.Piece] {
				continue
			}
			p := pieces[t.Piece]
			out[i].stitches += p.Stitches(t.Rows) - p.Stitches(done[t.Piece])
			out[i].targets = append(out[i].targets, t)
			done[t.Piece] = t.Rows
		}
	}
	return out
}

// mostTargets is how many pieces a milestone's counts are told of.
const mostTargets = 5

// text is what is asked in rows and stitches: "Back, body up to Row 53 (89
// stitches)". It is empty where rows don't tell.
func (a asked) text(said words.Printer, pieces []pace.Piece) string {
	var all []string
	times := map[string]int{} // alike in several copies
	for _, t := range a.targets {
		p := pieces[t.Piece]
		row := p.Rows[t.Rows-1]
		text := said.Say("%s up to %s (%s)", p.Name, strings.TrimSuffix(strings.TrimSuffix(row.Label, " (RS)"), " (WS)"), stitchCount(row.Count))
		if t.Rows == len(p.Rows) {
			text = said.Say("%s, all %d rows (%s)", p.Name, t.Rows, stitchCount(row.Count))
		}
		if times[text]++; times[text] == 1 {
			all = append(all, text)
		}
	}
	for i, text := range all {
		switch n := times[text]; {
		case n == 2:
			all[i] = said.Say("%s, twice", text)
		case n > 2:
			all[i] = said.Say("%s, %d times", text, n)
		}
	}
	if n := len(all) - mostTargets; n > 0 {
		all = append(all[:mostTargets], said.Count(n, "and %d more piece", "and %d more pieces"))
	}
	return strings.Join(all, "; ")
}

// ahead is a member's next milestone: the first that she has not come to;
// false: she has come to all.
func ahead(reached []bool) (int, bool) {
	at := slices.Index(reached, false)
	return max(at, 0), at >= 0
}

// dated is a date that is told beside another: with its year only where that
// differs.
func dated(p words.Printer, d, beside schedule.Date) string {
	if d.Year != beside.Year {
		return p.Date(noon(d), words.BriefYear)
	}
	return p.Date(noon(d), words.BriefMonth)
}

// longDate is a date in full: "Sunday 10 January 2027".
func longDate(p words.Printer, d schedule.Date) string { return p.Date(noon(d), words.Weekday) }

// dayOn is a date in full, as a value of a text.
func dayOn(d schedule.Date) words.On { return words.On{Time: noon(d), Layout: words.Weekday} }

func noon(d schedule.Date) time.Time { return schedule.At(d, 12*60, time.UTC) }
