package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// changeOptions are the options of /makealong change.
type changeOptions struct {
	courseOptions
	services  Services
	makealong *Opt[string]
	name      *Opt[string]
	start     *Opt[daySaid]
	sizes     *Opt[[]string]
}

func makealongChange(s Services) *Command {
	o := changeOptions{
		courseOptions: newCourseOptions(),
		services:      s,
		makealong:     makealongOption(s),
		name:          Words("name", "Another name", 60).Like("Harbour make-along"),
		start:         Value("start", "Another day to begin; all dates move along", "next Sunday", readDay).Suggest(suggestDay),
		sizes:         sizesOption("Of a tester call: the sizes to be tested, with commas"),
	}
	return &Command{
		Name: "change", Short: "Change when and where a make-along posts, its name, or its start", For: Hosts, Private: true,
		Want:    "change a make-along's hours, channel or dates",
		Long:    "What was posted stays; what is still to come is planned anew. Milestones are changed with /makealong milestone.",
		Options: append([]Option{o.makealong, o.name, o.start, o.sizes}, o.courseOptions.list()...),
		Examples: []string{
			"/makealong change at:19:30 quiet:22:00-09:00",
			"/makealong change zone:America/New_York",
			"/makealong change makealong:Fog shawl start:next Sunday",
		},
		Run: o.run,
	}
}

func (o changeOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	m, err := openHosted(ctx, o.services, r, o.makealong)
	if err != nil {
		return reply.Reply{}, err
	}
	if m.State == AlongClosed {
		return reply.Reply{}, Refused("%s is closed, so nothing in it changes any more.", m.Name)
	}
	had, err := o.services.MakeAlongs.Posts(ctx, m.ID)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("list posts: %w", err)
	}
	if !o.given(r) && !o.name.Given(r) && !o.start.Given(r) && !o.sizes.Given(r) {
		out := announced{r, m, pending(had)}.changed("As it stands: %s")
		out.Parts = append(out.Parts, reply.Tip{Text: r.Say("Say what is to be otherwise: zone, channel, at, quiet, midway, event, tell, language, name or start; of a tester call, its sizes too.")})
		return out, nil
	}
	next, err := o.apply(r, m)
	if err != nil {
		return reply.Reply{}, err
	}
	if o.name.Given(r) {
		if next.Name = o.name.Of(r); strings.IndexFunc(next.Name, unicode.IsLetter) < 0 {
			return reply.Reply{}, &Mistake{Option: "name", Message: "a name needs a letter, so that it is not taken for a number", Example: "name:Harbour make-along"}
		}
	}
	if o.start.Given(r) {
		if next, err = o.moveStart(r, next, had); err != nil {
			return reply.Reply{}, err
		}
	}
	if o.sizes.Given(r) {
		if next.Course.Sizes, err = o.otherSizes(ctx, r, m); err != nil {
			return reply.Reply{}, err
		}
	}
	posts := next.posts(r.Now, had)
	if next.State == AlongBlocked && next.Channel != m.Channel {
		next, posts, _ = next.resumed(r.Now, had, true)
	}
	saved, err := saveAlong(ctx, o.services, r, next, posts)
	if err != nil {
		return reply.Reply{}, err
	}
	out := announced{r, saved, pending(posts)}.changed("Changed: %s")
	if next.State != m.State {
		out.Parts = append([]reply.Block{reply.Text{Text: r.Say("It goes on in its new channel. What fell due meanwhile comes in one post.")}}, out.Parts...)
	}
	return out, nil
}

// otherSizes are the sizes of a tester call, of which none may go that has its
// tester.
func (o changeOptions) otherSizes(ctx context.Context, r Request, m MakeAlong) ([]string, error) {
	if !m.Course.Tester {
		return nil, &Mistake{Option: "sizes", Message: "%s is no tester call; everybody says her own size when she joins", Args: []any{m.Name}, Example: "/makealong join size:woman M"}
	}
	named := alongPatternOption(o.services)
	wanted, err := named.parse(Input{Text: m.Course.Pattern}, r.Settings)
	if err != nil {
		return nil, err
	}
	base := r
	base.command, base.values = makealongCreate(o.services), map[string]any{named.spec.Name: wanted}
	p, err := alongPatternOf(ctx, o.services, base, named)
	if err != nil {
		return nil, err
	}
	seats, err := p.seats(o.sizes, o.sizes.Of(r))
	if err != nil {
		return nil, err
	}
	party, err := o.services.MakeAlongs.Party(ctx, m.ID)
	if err != nil {
		return nil, fmt.Errorf("list who takes part: %w", err)
	}
	for _, p := range party {
		if p.Seat != "" && !slices.Contains(seats, p.Seat) {
			return nil, Refused("%s has its tester, so it stays among the sizes.", p.Seat)
		}
	}
	return seats, nil
}

// moveStart moves the start, and all dates with it.
func (o changeOptions) moveStart(r Request, m MakeAlong, had []Post) (MakeAlong, error) {
	if begun(had) > 0 {
		return m, Refused("%s has begun: its first milestone was posted. /makealong milestone moves those that are still to come.", m.Name)
	}
	start, err := startDay(m, r.Now, o.start.Of(r))
	if err != nil {
		return m, err
	}
	days := start.Since(m.Course.Start)
	m.Course = m.Course.shifted(m.Course.Start, 0, days)
	m.Course.Start = start
	return m, m.ordered(0, len(m.Course.Milestones)-1, r.Now)
}

// changed shows a make-along after a change, or before one, under a title that
// takes its name.
func (a announced) changed(title words.Key) reply.Reply {
	out := reply.Reply{Title: a.r.Say(title, a.m.Name), Private: true, Data: a.data(), Parts: []reply.Block{reply.Fields{Items: a.fields()}, a.milestones()}}
	if a.m.State == AlongDraft {
		a.posts = a.m.opened().posts(a.r.Now, nil)
	}
	if text := a.clockChange(); text != "" {
		out.Parts = append(out.Parts, reply.Text{Text: text})
	}
	if len(a.posts) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: a.r.Say("Still to be posted"), Items: a.planned()})
	}
	if a.m.State == AlongDraft {
		out.Actions = a.draftActions()
	} else {
		out.Actions = a.menu()
	}
	return out
}
