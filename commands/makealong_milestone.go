package commands

import (
	"context"
	"fmt"
	"maps"
	"strconv"
	"strings"

	"countwright/calc/along"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// The longest texts of a milestone, in characters.
const (
	mostStoneTitle = 100
	mostStoneNote  = 500
)

// noText, as the value of a note or a text, takes it away.
const noText = "none"

// milestoneOptions are the options of /makealong milestone.
type milestoneOptions struct {
	services  Services
	makealong *Opt[string]
	n         *Opt[int]
	title     *Opt[string]
	date      *Opt[daySaid]
	note      *Opt[string]
	text      *Opt[string]
	post      *Opt[string]
	by        *Opt[int]
	add       *Opt[bool]
	edit      *Opt[bool]
	remove    *Opt[bool]
}

func makealongMilestone(s Services) *Command {
	o := milestoneOptions{
		services:  s,
		makealong: makealongOption(s),
		n:         Int("n", "Which milestone, by its number", 1, mostMilestones).Like("2").Suggest(suggestMilestone(s)),
		title:     Words("title", "What the group comes to", mostStoneTitle).Like("The back, up to the armholes"),
		date:      Value("date", "When the group meets there: a date, or: next Sunday", "next Sunday", readDay).Suggest(suggestDay),
		note:      Words("note", "Your own words about it, shown in its post and in calendars; none takes them away", mostStoneNote).Like("Wash the pieces before you sew."),
		text:      Words("text", "Words to open its post in place of mine, with {date} and the like; none brings mine back", mostHostText).Like("We have come to {milestone}!"),
		post:      OneOf("post", "Which post the text is for; the milestone's own if not said", "milestone", "midway", "welcome", "farewell"),
		by:        Int("by", "Move it, and all that come after, by so many days", -90, 365).Like("7"),
		add:       YesNo("add", "Add a milestone"),
		edit:      YesNo("edit", "Open a form with its title, date and texts"),
		remove:    YesNo("remove", "Take it out"),
	}
	return &Command{
		Name: "milestone", Short: "See, change, add, move or take out a milestone; preview posts, write your own texts", For: Hosts, Private: true,
		Want: "change the milestones and texts of my make-along",
		Long: "While it runs, what was posted stays as it is; what is still to come is planned anew. " +
			"Your own texts may hold " + placeholderList() + ".",
		Options: []Option{o.makealong, o.n, o.title, o.date, o.note, o.text, o.post, o.by, o.add, o.edit, o.remove},
		Examples: []string{
			"/makealong milestone n:2",
			"/makealong milestone n:3 by:7",
			`/makealong milestone title:"Button party" date:in 9 weeks`,
			`/makealong milestone n:1 text:"We have come to {milestone}. Show us your back!"`,
			`/makealong milestone post:farewell text:"Thank you, {group}. That was good company."`,
			"/makealong milestone n:2 remove:yes",
		},
		Run: o.run,
	}
}

// suggestMilestone offers the milestones of the make-along that is meant.
func suggestMilestone(s Services) func(context.Context, Request, string) []Choice {
	return func(ctx context.Context, r Request, typed string) []Choice {
		m, err := openHosted(ctx, s, r, makealongOption(s))
		if err != nil {
			return nil
		}
		var offers []Choice
		for i, stone := range m.Course.Milestones {
			label := fmt.Sprintf("%d, %s: %s", i+1, r.Date(noon(stone.Date), words.Brief), stone.Title)
			if strings.Contains(strings.ToLower(label), strings.ToLower(strings.TrimSpace(typed))) {
				offers = append(offers, Choice{Label: clip(label, 100), Value: strconv.Itoa(i + 1)})
			}
		}
		return offers
	}
}

func (o milestoneOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	m, err := openHosted(ctx, o.services, r, o.makealong)
	if err != nil {
		return reply.Reply{}, err
	}
	if m.State == AlongClosed {
		return reply.Reply{}, Refused("%s is closed, so its milestones stay as they were.", m.Name)
	}
	had, err := o.services.MakeAlongs.Posts(ctx, m.ID)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("list posts: %w", err)
	}
	e := milestoneEdit{o, r, m, had, o.n.Of(r) - 1}
	if !o.n.Given(r) {
		e.n = -1
	}
	if err := e.sensible(); err != nil {
		return reply.Reply{}, err
	}
	says := o.title.Given(r) || o.date.Given(r) || o.note.Given(r) || o.text.Given(r)
	switch {
	case o.add.Of(r) && !o.title.Given(r):
		return formReply(e.form(r.Say("Add a milestone"), along.Milestone{}, "")), nil
	case e.n >= 0 && o.edit.Of(r) && !says:
		return formReply(e.form(r.Say("Milestone %d", e.n+1), m.Course.Milestones[e.n], m.Course.Texts[postKey(MilestonePost, e.n)])), nil
	case e.n >= 0 && !says && !o.remove.Of(r) && !o.by.Given(r):
		return e.show("", e.kind())
	case e.n < 0 && !says:
		if o.post.Given(r) {
			return e.show("", e.kind())
		}
		return announced{r, m, pending(had)}.changed("Milestones: %s"), nil
	}
	return e.save(ctx)
}

// milestoneEdit is one change in the making.
type milestoneEdit struct {
	milestoneOptions
	r   Request
	m   MakeAlong
	had []Post
	n   int // from 0; -1: none is named
}

// sensible reports what a line can't mean.
func (e milestoneEdit) sensible() error {
	o, r := e.milestoneOptions, e.r
	switch {
	case e.n >= len(e.m.Course.Milestones):
		return e.m.noMilestone(e.n)
	case e.n < 0 && (o.by.Given(r) || o.remove.Of(r) || o.edit.Of(r)), e.n < 0 && o.note.Given(r) && !o.title.Given(r),
		e.n < 0 && (e.kind() == MilestonePost || e.kind() == MidwayPost) && (o.post.Given(r) || o.text.Given(r) && !o.title.Given(r)):
		return &Mistake{Option: "n", Message: "which milestone? %s has %d", Args: []any{e.m.Name, len(e.m.Course.Milestones)}, Example: "n:1"}
	case o.by.Given(r) && o.date.Given(r):
		return &Mistake{Option: "by", Message: "give a date for this milestone, or days by which it moves with all that come after, not both", Example: "by:7"}
	case e.n < 0 && o.title.Given(r) != o.date.Given(r):
		return &Mistake{Option: "date", Message: "a new milestone needs a title and a date", Example: `title:"Button party" date:next Sunday`}
	case o.add.Of(r) && e.n >= 0:
		return &Mistake{Option: "n", Message: "a new milestone gets its number from its date; leave n out", Example: `title:"Button party" date:next Sunday`}
	}
	return nil
}

// kind is which post a text or a preview is of.
func (e milestoneEdit) kind() PostKind {
	if e.post.Given(e.r) {
		return PostKind(e.post.Of(e.r))
	}
	return MilestonePost
}

// form asks for a milestone's texts.
func (e milestoneEdit) form(title string, stone along.Milestone, text string) *reply.Form {
	more := map[string]string{"add": "yes"}
	date := ""
	if e.n >= 0 {
		more = map[string]string{"n": strconv.Itoa(e.n + 1)}
		date = stone.Date.String()
	}
	return &reply.Form{Title: title, Line: e.m.line("makealong milestone", more), Fields: []reply.Blank{
		{Option: "title", Label: e.r.Say("What the group comes to"), Hint: e.r.Say("The back, up to the armholes"), Value: stone.Title, Required: true, Most: mostStoneTitle},
		{Option: "date", Label: e.r.Say("When"), Hint: e.r.Say("2027-01-24, or: next Sunday"), Value: date, Required: true, Most: 40},
		{Option: "note", Label: e.r.Say("Your words about it (none: without)"), Hint: e.r.Say("Wash the pieces before you sew"), Value: stone.Note, Long: true, Most: mostStoneNote},
		{Option: "text", Label: e.r.Say("Words to open its post (none: mine)"), Hint: clip(e.r.Say("May hold %s", placeholderList()), 100), Value: text, Long: true, Most: mostHostText},
	}}
}

// save makes the change, keeps it, and shows what came of it.
func (e milestoneEdit) save(ctx context.Context) (reply.Reply, error) {
	was := e.m
	what, err := e.change()
	if err != nil {
		return reply.Reply{}, err
	}
	if e.add.Of(e.r) || e.n >= 0 && !e.remove.Of(e.r) {
		what = append(what, e.m.eventsLeft(was, e.had))
	}
	posts := e.m.posts(e.r.Now, e.had)
	if e.m, err = saveAlong(ctx, e.services, e.r, e.m, posts); err != nil {
		return reply.Reply{}, err
	}
	lead := sentences(e.r.Printer, what...)
	if e.n < 0 && !e.text.Given(e.r) || e.by.Given(e.r) || e.remove.Of(e.r) {
		out := announced{e.r, e.m, posts}.changed("Milestones: %s")
		out.Parts = append([]reply.Block{reply.Text{Text: lead}}, out.Parts...)
		return out, nil
	}
	return e.show(lead, e.kind())
}

// change changes the make-along, and says what was done.
func (e *milestoneEdit) change() (what []words.Message, err error) {
	done := func(m words.Message, err error) ([]words.Message, error) { return []words.Message{m}, err }
	stones := e.m.Course.Milestones
	switch o, r := e.milestoneOptions, e.r; {
	case o.remove.Of(r):
		title := stones[e.n].Title
		if e.m, err = e.m.without(e.n, e.had); e.n == len(stones)-1 || stones[e.n].Stitches == 0 {
			return done(words.Say("Taken out: “%s”.", title), err)
		}
		return done(words.Say("Taken out: “%s”. What it asked for is part of the next one.", title), err)
	case o.by.Given(r):
		e.m, err = e.m.later(e.n, o.by.Of(r), r.Now, e.had)
		return done(words.Say("“%s” and all after it moved by %s.", stones[e.n].Title, dayCount(max(o.by.Of(r), -o.by.Of(r)))), err)
	case e.n < 0 && o.title.Given(r):
		stone := along.Milestone{Title: o.title.Of(r), Date: o.date.Of(r).on(e.m.today(r.Now)), Note: unlessNone(o.note.Of(r))}
		e.m, e.n, err = e.m.with(stone, r.Now, e.had)
		what, err = done(words.Say("Added: “%s”. Rows can't tell who has come to it, so members say so themselves.", stone.Title), err)
	case e.n >= 0:
		err = e.put()
	}
	if err == nil && e.text.Given(e.r) {
		err = e.setText()
	}
	if what == nil {
		return done(words.Say("Kept."), err)
	}
	return what, err
}

// put changes what the line says of a milestone.
func (e *milestoneEdit) put() (err error) {
	stone := e.m.Course.Milestones[e.n]
	if e.title.Given(e.r) {
		stone.Title = e.title.Of(e.r)
	}
	if e.date.Given(e.r) {
		stone.Date = e.date.Of(e.r).on(e.m.today(e.r.Now))
	}
	if e.note.Given(e.r) {
		stone.Note = unlessNone(e.note.Of(e.r))
	}
	e.m, err = e.m.put(e.n, stone, e.r.Now, e.had)
	return err
}

// taken reports whether a post was taken up already.
func (e milestoneEdit) taken(key string) bool {
	for _, p := range e.had {
		if p.Key == key && p.State != PostPlanned {
			return true
		}
	}
	return false
}

// unlessNone is a text; "none" says nothing.
func unlessNone(text string) string {
	if strings.EqualFold(strings.TrimSpace(text), noText) {
		return ""
	}
	return text
}

// setText keeps a host's own text for a post, once it is found good.
func (e *milestoneEdit) setText() error {
	p := e.shown(e.kind())
	if e.taken(p.Key) {
		return Refused("That post was sent already. A text can be written for those still to come.")
	}
	texts := maps.Clone(e.m.Course.Texts)
	if texts == nil {
		texts = map[string]string{}
	}
	if text := unlessNone(e.text.Of(e.r)); text == "" {
		delete(texts, p.Key)
	} else if err := checkHostText(e.m, p, newLines(text)); err != nil {
		return e.text.Blame(err)
	} else {
		texts[p.Key] = newLines(text)
	}
	e.m.Course.Texts = texts
	return nil
}

// shown is the post that is previewed.
func (e milestoneEdit) shown(kind PostKind) Post {
	n := e.n
	if kind == WelcomePost || kind == FarewellPost {
		n = -1
	}
	return Post{Along: e.m.ID, Key: postKey(kind, n), Kind: kind, Milestone: n}
}

// show shows a milestone, and one of its posts as the channel will see it.
func (e milestoneEdit) show(lead string, kind PostKind) (reply.Reply, error) {
	p := e.shown(kind)
	preview, err := previewPost(e.r.Printer, e.m, p, e.r.Now)
	if err != nil {
		return reply.Reply{}, err
	}
	out := reply.Reply{Title: e.m.Name, Private: true, Data: map[string]any{"makealong": e.m.ID, "key": p.Key, "milestones": stoneData(e.m.Course.Milestones), "text": e.m.Course.Texts[p.Key]}}
	if lead != "" {
		out.Parts = append(out.Parts, reply.Text{Text: lead})
	}
	if p.Milestone >= 0 {
		stone := e.m.Course.Milestones[p.Milestone]
		out.Title = e.r.Say("%s, milestone %d: %s", e.m.Name, p.Milestone+1, stone.Title)
		items := []reply.Field{{Name: e.r.Say("When"), Value: e.r.Say("%[1]s at %[2]s", someDay(e.r.Printer, stone.Date, e.m.today(e.r.Now)), e.m.Course.At)}}
		if stone.Note != "" {
			items = append(items, reply.Field{Name: e.r.Say("Note"), Value: stone.Note})
		}
		out.Parts = append(out.Parts, reply.Fields{Items: items})
	}
	as := map[PostKind]words.Key{
		MilestonePost: "Its post, as the channel sees it: “%s”", MidwayPost: "The note halfway to it, as the channel sees it: “%s”",
		WelcomePost: "The welcome, as the channel sees it: “%s”", FarewellPost: "The farewell, as the channel sees it: “%s”",
	}[kind]
	out.Parts = append(out.Parts, reply.Text{Text: e.r.Say(as, preview.Title)})
	out.Parts = append(out.Parts, preview.Parts...)
	out.Parts = append(out.Parts, reply.List{Title: e.r.Say("Your own text may hold"), Items: placeholderHelp(e.r.Printer)})
	out.Actions = e.actions(kind)
	return out, nil
}

// actions are what a host may do with a milestone.
func (e milestoneEdit) actions(kind PostKind) []reply.Action {
	var list []reply.Action
	at := func(label words.Key, more map[string]string) {
		list = append(list, e.m.button(e.r.Say(label), "makealong milestone", more))
	}
	if e.n >= 0 {
		n := strconv.Itoa(e.n + 1)
		at("Change it", map[string]string{"n": n, "edit": "yes"})
		if e.n >= settled(e.had) {
			at("A week later", map[string]string{"n": n, "by": "7"})
		}
		if e.n >= begun(e.had) && len(e.m.Course.Milestones) > 1 {
			at("Take it out", map[string]string{"n": n, "remove": "yes"})
		}
		if kind == MilestonePost && e.m.Course.Midway {
			at("The note halfway", map[string]string{"n": n, "post": "midway"})
		}
	}
	if kind != WelcomePost && e.m.State == AlongDraft {
		at("The welcome", map[string]string{"post": "welcome"})
	}
	if e.m.State == AlongDraft {
		list = append(list, e.m.button(e.r.Say("The whole draft"), "makealong dates", nil))
	} else {
		at("All milestones", nil)
	}
	return list
}
