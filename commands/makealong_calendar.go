package commands

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"countwright/calc/along"
	"countwright/calc/pattern"
	"countwright/calc/schedule"
	"countwright/commands/calendar"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// announced is a make-along with its posts, as it is told: to a host who
// prepares it, or to whoever asks for its dates.
type announced struct {
	r     Request
	m     MakeAlong
	posts []Post
}

// draft is the preview of the whole make-along.
func (a announced) draft(p alongPattern) (reply.Reply, error) {
	out := reply.Reply{Title: a.r.Say("Draft: %s", a.m.Name), Private: true, Data: a.data()}
	out.Parts = append(out.Parts, reply.Text{Text: a.r.Say("It is a draft that only hosts see. Change what you like; nothing is posted before you open it.")})
	fields := a.fields()
	if p.pinned.Title != "" {
		fields[0].Value = p.basis(a.r.Printer)
	}
	out.Parts = append(out.Parts, reply.Fields{Items: fields}, a.milestones(), reply.List{Title: a.r.Say("What is posted"), Items: a.planned()})
	if text := a.clockChange(); text != "" {
		out.Parts = append(out.Parts, reply.Text{Text: text})
	}
	out.Parts = append(out.Parts, p.cautions...)
	file, err := a.file()
	if err != nil {
		return out, err
	}
	out.Parts = append(out.Parts, file)
	out.Actions = a.draftActions()
	return out, nil
}

// basis is the size and gauge by which the milestones were proposed.
func (p alongPattern) basis(said words.Printer) string {
	text := said.Say(words.Key(p.pinned.Title))
	if p.version != "" {
		text = said.Say("%s, version %s", text, p.version)
	}
	var by []string
	for _, part := range []string{p.pinned.Size, p.pinned.Gauge} {
		if part != "" {
			by = append(by, part)
		}
	}
	if len(by) > 0 {
		text += " " + said.Say("(dates reckoned for %s; everyone has her own counts)", strings.Join(by, ", "))
	}
	return text
}

// place names the channel that it posts in.
func (a announced) place() string {
	if a.m.Channel == a.r.Channel {
		return a.r.Say("this channel")
	}
	if mention.MatchString(a.m.Channel) {
		return a.r.Say("another channel of this server")
	}
	return a.r.Say("the channel %s", a.m.Channel)
}

// title names what is made.
func (c Course) title(said words.Printer) string {
	if p, ok := pattern.Find(c.Pattern); ok {
		return said.Say(words.Key(p.Title))
	}
	return c.Pattern
}

func (a announced) fields() []reply.Field {
	c := a.m.Course
	what := c.title(a.r.Printer)
	if c.Version != "" {
		what = a.r.Say("%s, version %s", what, c.Version)
	}
	items := []reply.Field{{Name: a.r.Say("Pattern"), Value: what}}
	if c.Tester {
		seats := a.r.Say("whoever likes to")
		if len(c.Sizes) > 0 {
			seats = strings.Join(c.Sizes, ", ")
		}
		items = append(items, reply.Field{Name: a.r.Say("To be tested"), Value: seats})
	}
	last := c.Start
	if n := len(c.Milestones); n > 0 {
		last = c.Milestones[n-1].Date
	}
	items = append(items,
		reply.Field{Name: a.r.Say("From"), Value: a.r.Say("%s to %s, %s", longDate(a.r.Printer, c.Start), longDate(a.r.Printer, last), lasting(last.Since(c.Start)))},
		reply.Field{Name: a.r.Say("Where"), Value: a.place()},
		reply.Field{Name: a.r.Say("Clock"), Value: a.r.Say("posts at %s, %s time; quiet hours: %s", c.At, strings.ReplaceAll(c.Zone, "_", " "), words.Key(c.Quiet.String()))},
		reply.Field{Name: a.r.Say("Pings"), Value: a.r.Say("nobody, but those who ask for it: once a week at most")})
	if p := a.m.printer(); !p.English() || !a.r.English() {
		items = append(items, reply.Field{Name: a.r.Say("Language"), Value: p.Language().Own})
	}
	if a.r.Host {
		tell := a.r.Say("to you alone, in a direct message")
		if c.Tell != "" {
			tell = a.r.Say("to the hosts' channel that you named")
		}
		items = append(items, reply.Field{Name: a.r.Say("Notes on help"), Value: tell})
	}
	return items
}

// lasting is a number of days in weeks, roughly.
func lasting(days int) words.Message {
	switch n := (days + 3) / 7; {
	case days < 14:
		return dayCount(days)
	case days%7 == 0:
		return weekCount(n)
	default:
		return words.Say("about %s", weekCount(n))
	}
}

// milestones lists them with their dates.
func (a announced) milestones() reply.Block {
	list := reply.List{Title: a.r.Say("Milestones")}
	for i, stone := range a.m.Course.Milestones {
		line := fmt.Sprintf("%d, %s: %s", i+1, shortDate(a.r.Printer, stone.Date, a.m.Course.Start), stone.Title)
		if stone.Stitches > 0 {
			line = a.r.Say("%s (about %s stitches)", line, thousands(roundedCount(stone.Stitches)))
		}
		list.Items = append(list.Items, line)
	}
	return list
}

// shortDate is a date beside another: with its year only where that differs.
func shortDate(p words.Printer, d, beside schedule.Date) string {
	if d.Year == beside.Year {
		return p.Date(noon(d), words.Brief)
	}
	return p.Date(noon(d), words.Brief) + " " + strconv.Itoa(d.Year)
}

// planned says what is posted when.
func (a announced) planned() []string {
	when := map[PostKind][]string{}
	for _, p := range a.posts {
		local := p.Due.In(a.m.zone())
		text := shortDate(a.r.Printer, schedule.DateOf(local, a.m.zone()), a.m.Course.Start)
		if clock := schedule.Clock(local.Hour()*60 + local.Minute()); clock != a.m.Course.At {
			text = a.r.Say("%[1]s at %[2]s", text, clock)
		}
		when[p.Kind] = append(when[p.Kind], text)
	}
	var items []string
	add := func(kind PostKind, format words.Key) {
		if dates := when[kind]; len(dates) > 0 {
			items = append(items, a.r.Say(format, strings.Join(dates, "; ")))
		}
	}
	if a.m.State == AlongDraft {
		items = append(items, a.r.Say("When you open it: a welcome with a button to join."))
	} else {
		add(WelcomePost, "%s: a welcome with a button to join.")
	}
	for _, k := range []struct {
		kind  PostKind
		after int
		all   words.Message
		what  words.Key
	}{
		{MilestonePost, 0, words.Say("On the day of each milestone"), "%s: a check-in. What this part is, what may trip one up, and a question that takes one tap."},
		{HostNote, helpAfter, words.Say("%s after each", dayCount(helpAfter)), "%s: to the hosts, who asks for help and where she is."},
		{EventPost, -eventBefore, words.Say("%s before each", dayCount(eventBefore)), "%s: the server's own event is made."},
	} {
		if a.eachAfter(k.kind, k.after) {
			items = append(items, a.r.Say(k.what, k.all))
		} else {
			add(k.kind, k.what)
		}
	}
	add(MidwayPost, "%s: a note halfway.")
	add(FarewellPost, "%s: a farewell, with what the group has made.")
	return items
}

// eachAfter reports whether every milestone has its post of a kind, so many days
// after its date at the usual hour.
func (a announced) eachAfter(kind PostKind, days int) bool {
	n := 0
	for _, p := range a.posts {
		if p.Kind != kind || p.Milestone < 0 || p.Milestone >= len(a.m.Course.Milestones) {
			continue
		}
		if !p.Due.Equal(schedule.At(a.m.Course.Milestones[p.Milestone].Date.Add(days), a.m.Course.At, a.m.zone())) {
			return false
		}
		n++
	}
	return n > 0 && n == len(a.m.Course.Milestones)
}

// clockChange says that the clocks are changed on the way; empty: they are not.
func (a announced) clockChange() string {
	stones := a.m.Course.Milestones
	if len(stones) == 0 {
		return ""
	}
	from := schedule.At(a.m.Course.Start, a.m.Course.At, a.m.zone())
	to := schedule.At(stones[len(stones)-1].Date, a.m.Course.At, a.m.zone())
	_, change := from.ZoneBounds()
	if change.IsZero() || change.After(to) {
		return ""
	}
	_, before := from.Zone()
	_, after := change.Zone()
	if before == after {
		return ""
	}
	return a.r.Say("The clocks change on %s. Posts stay at %s by the clock on the wall.", longDate(a.r.Printer, schedule.DateOf(change, a.m.zone())), a.m.Course.At)
}

// file is the dates for anybody's own calendar.
func (a announced) file() (reply.Block, error) {
	plan := calendar.Plan{Name: a.m.Name, UID: fmt.Sprintf("server %s, make-along %d", a.m.Server, a.m.ID), Version: a.m.Version, Made: a.m.Changed,
		Entries: []calendar.Entry{{Key: "start", Title: a.r.Say("%s begins", a.m.Name), Date: a.m.Course.Start}}}
	plan.Entries = append(plan.Entries, a.m.Course.entries(a.m.Name, 0, func(_ int, stone along.Milestone) string { return stone.Note })...)
	body, err := calendar.File(plan)
	if err != nil {
		return nil, fmt.Errorf("write calendar of make-along %d: %w", a.m.ID, err)
	}
	return reply.File{Name: fileStem(a.m.Name) + calendar.Extension, Type: calendar.Type, Body: body}, nil
}

// fileStem is a name as part of a file's: letters, digits and hyphens.
func fileStem(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	if stem := clip(strings.Join(words, "-"), 40); stem != "" {
		return stem
	}
	return "make-along"
}

func (a announced) draftActions() []reply.Action {
	return append([]reply.Action{
		a.m.button(a.r.Say("Open it for all"), "makealong open", nil),
		a.m.button(a.r.Say("Add a milestone"), "makealong milestone", map[string]string{"add": "yes"}),
	}, a.menu()...)
}

// menu offers the milestones, to be changed or previewed.
func (a announced) menu() []reply.Action {
	menu := reply.Menu{Label: a.r.Say("Change or preview a milestone")}
	for i, stone := range a.m.Course.Milestones[:min(len(a.m.Course.Milestones), 25)] {
		menu.Choices = append(menu.Choices, reply.Button{Label: clip(fmt.Sprintf("%d, %s: %s", i+1, a.r.Date(noon(stone.Date), words.Brief), stone.Title), 80), Line: a.m.line("makealong milestone", map[string]string{"n": strconv.Itoa(i + 1)})})
	}
	if len(menu.Choices) == 0 {
		return nil
	}
	return []reply.Action{menu}
}

// The machine-readable answer. Keys may be added, never renamed.
type (
	alongData struct {
		MakeAlong  int64         `json:"makealong"`
		Name       string        `json:"name"`
		State      string        `json:"state"`
		Pattern    string        `json:"pattern"`
		Version    string        `json:"version,omitempty"`
		Sizes      []string      `json:"sizes,omitempty"` // of a tester call
		Start      string        `json:"start"`
		Zone       string        `json:"zone"`
		At         string        `json:"at"`
		Quiet      string        `json:"quiet"`
		Language   string        `json:"language,omitempty"` // in its channel; none: English
		Milestones []alongStone  `json:"milestones"`
		Posts      []alongToPost `json:"posts"`
	}
	alongStone struct {
		Title    string   `json:"title"`
		Date     string   `json:"date"`
		Stitches int      `json:"stitches"`
		About    []string `json:"about"`
		Note     string   `json:"note,omitempty"`
	}
	alongToPost struct {
		Key   string `json:"key"`
		Due   string `json:"due"`   // UTC
		Local string `json:"local"` // in the make-along's zone
	}
)

func (a announced) data() alongData {
	c := a.m.Course
	d := alongData{MakeAlong: a.m.ID, Name: a.m.Name, State: string(a.m.State), Pattern: c.Pattern, Version: c.Version, Sizes: c.Sizes,
		Start: c.Start.String(), Zone: c.Zone, At: c.At.String(), Quiet: c.Quiet.String(), Language: c.Language, Milestones: stoneData(c.Milestones), Posts: []alongToPost{}}
	for _, p := range a.posts {
		if p.Kind == HostNote && !a.r.Host {
			continue
		}
		d.Posts = append(d.Posts, alongToPost{p.Key, p.Due.UTC().Format(time.RFC3339), p.Due.In(a.m.zone()).Format("2006-01-02 15:04")})
	}
	return d
}

func stoneData(stones []along.Milestone) []alongStone {
	list := []alongStone{}
	for _, s := range stones {
		list = append(list, alongStone{s.Title, s.Date.String(), s.Stitches, append([]string{}, s.About...), s.Note})
	}
	return list
}

// pending are the posts that are still to come.
func pending(posts []Post) []Post {
	return slices.DeleteFunc(slices.Clone(posts), func(p Post) bool { return p.State != PostPlanned })
}
