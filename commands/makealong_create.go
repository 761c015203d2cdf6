package commands

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"countwright/calc/along"
	"countwright/calc/pace"
	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// testerCall is the kind of make-along in which a pattern is tested.
const testerCall = "tester call"

// createOptions are the options of /makealong create.
type createOptions struct {
	courseOptions
	services Services
	name     *Opt[string]
	pattern  *Opt[wantedPattern]
	start    *Opt[daySaid]
	every    *Opt[int]
	dates    *Opt[[]schedule.Date]
	pace     *Opt[int]
	rest     *Opt[restDays]
	kind     *Opt[string]
	sizes    *Opt[[]string]
}

func makealongCreate(s Services) *Command {
	o := createOptions{
		courseOptions: newCourseOptions(),
		services:      s,
		name:          Words("name", "What the make-along is called", 60).Require().Like("Harbour make-along"),
		pattern:       alongPatternOption(s),
		start:         Value("start", "The day it begins: a date, or: next Sunday", "next Sunday", readDay).Require().Suggest(suggestDay),
		every:         Value("every", "A milestone so often: 1 week, 2 weeks, 10 days; if not said, as the pieces fall", "2 weeks", readEvery),
		dates:         Value("dates", "Or the milestones' own dates, with commas", "2027-01-24, 2027-02-07", readDates),
		pace:          Int("pace", "Stitches a day that are easy for everyone; 400 if not said", along.LowestPace, along.HighestPace).Like("400"),
		rest:          Value("rest", "Days of rest in a week: how many, or which, such as Sunday", "2", readRest),
		kind:          OneOf("kind", "A make-along, or a tester call: each size is tested by one member", "make-along", testerCall),
		sizes:         sizesOption("For a tester call: the sizes to be tested, with commas"),
	}
	o.dates.spec.Length = 900
	return &Command{
		Name: "create", Short: "Prepare a make-along: milestones and dates from the pattern, as a draft", For: Hosts, Private: true, Slow: true,
		Want: "host a make-along",
		Long: "The milestones come from the pattern's own pieces, and their dates from the stitches in them at an easy pace. " +
			"It stays a draft that only hosts see: change what you like, look at each post, and open it when you are ready.",
		Options: append([]Option{o.name, o.pattern, o.start, o.every, o.dates, o.pace, o.rest, o.kind, o.sizes}, o.courseOptions.list()...),
		Examples: []string{
			"/makealong create name:Spring cardigans pattern:cardigan start:next Sunday every:2 weeks zone:Europe/Lisbon",
			"/makealong create name:Hats by Sunday pattern:hat start:in 2 weeks rest:2 at:19:00 zone:Europe/Lisbon",
			`/makealong create name:Cardigan test pattern:cardigan start:next Sunday zone:Europe/Lisbon kind:tester call sizes:"woman S, woman M"`,
		},
		Run: o.run,
	}
}

func (o createOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	name := o.name.Of(r)
	if strings.IndexFunc(name, unicode.IsLetter) < 0 {
		return reply.Reply{}, &Mistake{Option: "name", Message: "a name needs a letter, so that it is not taken for a number", Example: "name:Harbour make-along"}
	}
	p, err := alongPatternOf(ctx, o.services, r, o.pattern)
	if err != nil {
		return reply.Reply{}, err
	}
	m := MakeAlong{Server: r.Server, Channel: r.Channel, Name: name, State: AlongDraft}
	m.Course = Course{Pattern: p.name, Version: p.version, Zone: r.Settings.Zone, Language: languageOf(r), At: usualAt, Quiet: usualQuiet, Midway: true}
	if m, err = o.apply(r, m); err != nil {
		return reply.Reply{}, err
	}
	if m.Course.Zone == "" {
		return reply.Reply{}, &Mistake{Option: "zone", Message: "whose clock does the group go by? I don't know your time zone yet. Say it as a region and a city; /me set keeps it for next time", Example: "zone:Europe/Lisbon"}
	}
	if m.Course.Start, err = startDay(m, r.Now, o.start.Of(r)); err != nil {
		return reply.Reply{}, err
	}
	if err := o.testers(r, p, &m.Course); err != nil {
		return reply.Reply{}, err
	}
	if m.Course.Milestones, err = o.milestones(r, p, m.Course.Start); err != nil {
		return reply.Reply{}, err
	}
	for i, stone := range m.Course.Milestones { // those with names of ours
		m.Course.Milestones[i].Title = m.printer().Say(words.Key(stone.Title))
	}
	m.Course = m.Course.keyed()
	made, err := o.services.MakeAlongs.Make(ctx, r.ID, r.Member.ID, m)
	switch {
	case errors.Is(err, ErrNamed):
		return reply.Reply{}, &Mistake{Option: "name", Message: "there is a make-along “%s” here already; give this one another name", Args: []any{name}, Example: "name:" + quoted(clip(name, 55)+" 2")}
	case err != nil:
		return reply.Reply{}, fmt.Errorf("make make-along: %w", err)
	}
	a := announced{r: r, m: made}
	made.State = AlongOpen
	a.posts = made.posts(r.Now, nil)
	return a.draft(p)
}

// testers settles the sizes of a tester call.
func (o createOptions) testers(r Request, p alongPattern, c *Course) error {
	c.Tester = o.kind.Of(r) == testerCall
	if !c.Tester {
		if o.sizes.Given(r) {
			return &Mistake{Option: "sizes", Message: "sizes are for a tester call, in which each has one tester; in a make-along everybody says her own when she joins", Example: "kind:tester call"}
		}
		return nil
	}
	all := p.sizes()
	switch {
	case o.sizes.Given(r):
		var err error
		c.Sizes, err = p.seats(o.sizes, o.sizes.Of(r))
		return err
	case len(all) == 0:
		return nil // whoever likes can test it
	case p.garment == nil:
		c.Sizes = all
		return nil
	}
	return &Mistake{Option: "sizes", Message: "which sizes are to be tested? Each gets one tester. %s is made in %s", Args: []any{words.Key(p.pinned.Title), listed(all, 12)}, Example: `sizes:"` + strings.Join(all[:min(2, len(all))], ", ") + `"`}
}

// rarely is how many days apart milestones are at least, taken together, where
// nothing is said. Common practice, no source.
const rarely = 5

// milestones proposes them by the pattern's rows.
func (o createOptions) milestones(r Request, p alongPattern, start schedule.Date) ([]along.Milestone, error) {
	if o.every.Given(r) && o.dates.Given(r) {
		return nil, &Mistake{Option: "dates", Message: "give a rhythm or dates, not both", Example: "every:2 weeks"}
	}
	rest := o.rest.Of(r)
	order := along.Options{Start: start, Pace: o.pace.Of(r), Rest: rest.on, Pause: rest.any, Every: o.every.Of(r), Dates: o.dates.Of(r)}
	stones, err := along.Milestones(p.pinned.Plan, order)
	if said := o.every.Given(r) || o.dates.Given(r) || o.pace.Given(r); err == nil && !said && stones[len(stones)-1].Date.Since(start) < rarely*len(stones) {
		order.Every = 7 // a small thing, that is soon made: a group meets once a week all the same
		stones, err = along.Milestones(p.pinned.Plan, order)
	}
	var outside *along.RangeError
	var dates *along.DatesError
	var plan *pace.PlanError
	var date *schedule.DateError
	switch {
	case err == nil && len(stones) > mostMilestones:
		return nil, tooMany(len(stones))
	case errors.As(err, &outside) && outside.What == "milestones":
		return nil, tooMany(outside.Got)
	case err == nil:
		return stones, nil
	case errors.As(err, &outside):
		option, example := "pace", "pace:400"
		switch {
		case strings.Contains(outside.What, "rest"):
			option, example = "rest", "rest:2"
		case o.dates.Given(r):
			option, example = "dates", "dates:"+start.Add(14).String()
		case o.every.Given(r):
			option, example = "every", "every:2 weeks"
		}
		return nil, &Mistake{Option: option, Message: "%s", Args: []any{err}, Example: example}
	case errors.As(err, &dates), errors.As(err, &date):
		return nil, &Mistake{Option: "dates", Message: "%s", Args: []any{err}, Example: "dates:" + start.Add(14).String() + ", " + start.Add(28).String()}
	case errors.As(err, &plan):
		return nil, &Mistake{Option: "pattern", Message: "I can't plan this pattern: %s", Args: []any{err}, Example: "pattern:cardigan"}
	}
	return nil, fmt.Errorf("propose milestones: %w", err)
}

func tooMany(milestones int) error {
	return &Mistake{Option: "every", Message: "that makes %d milestones; a group can have %d at most", Args: []any{milestones, mostMilestones}, Example: "every:2 weeks"}
}

var everyText = regexp.MustCompile(`^(?:(\d{1,3})\s*)?(week|weeks|w|day|days|d|fortnight)?$`)

// readEvery reads a rhythm in days: "2 weeks", "weekly", "10 days"; a bare
// number is weeks.
func readEvery(text string, _ Settings) (int, error) {
	m := everyText.FindStringSubmatch(strings.TrimSuffix(strings.TrimPrefix(strings.ToLower(text), "every "), "ly"))
	if m == nil || m[1] == "" && m[2] == "" {
		return 0, words.Say("%q is no rhythm; it takes weeks or days", text)
	}
	n := 1
	if m[1] != "" {
		n, _ = strconv.Atoi(m[1]) // three digits at most
	}
	switch {
	case m[2] == "fortnight":
		n *= 14
	case !strings.HasPrefix(m[2], "d"):
		n *= 7
	}
	if n < 1 || n > along.MostEvery {
		return 0, words.Say("%q is outside what it takes: 1 day to %d weeks", text, along.MostEvery/7)
	}
	return n, nil
}

var onlyYear = regexp.MustCompile(`^\s*\d{4}\s*$`)

// readDates reads dates with commas or semicolons between them.
func readDates(text string, _ Settings) ([]schedule.Date, error) {
	var list []schedule.Date
	for _, part := range parts(text) {
		d, err := schedule.ParseDate(part)
		if err != nil {
			return nil, err
		}
		list = append(list, d)
	}
	if len(list) == 0 {
		return nil, words.Say("it has no date in it")
	}
	return list, nil
}

// parts takes a list apart at semicolons, else at commas, but keeps a year with
// the date before it: "January 10, 2027".
func parts(text string) []string {
	sign := ","
	if strings.Contains(text, ";") {
		sign = ";"
	}
	var list []string
	for part := range strings.SplitSeq(text, sign) {
		switch {
		case onlyYear.MatchString(part) && len(list) > 0:
			list[len(list)-1] += ", " + strings.TrimSpace(part)
		case strings.TrimSpace(part) != "":
			list = append(list, strings.TrimSpace(part))
		}
	}
	return list
}

// restDays are days of the week without work: certain ones, or any.
type restDays struct {
	on  []time.Weekday
	any int
}

func readRest(text string, _ Settings) (restDays, error) {
	var out restDays
	if n, err := strconv.Atoi(text); err == nil {
		if n < 0 || n > 6 {
			return out, words.Say("%d days of rest a week; it takes 0 to 6", n)
		}
		return restDays{any: n}, nil
	}
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) }) {
		if word == "and" {
			continue
		}
		day, ok := weekdayNamed(word)
		if !ok {
			return out, words.Say("%q is neither a number nor days of the week", clip(text, 40))
		}
		if !slices.Contains(out.on, day) {
			out.on = append(out.on, day)
		}
	}
	if len(out.on) == 0 || len(out.on) > 6 {
		return out, words.Say("%q: it takes one day to six", clip(text, 40))
	}
	return out, nil
}

func weekdayNamed(name string) (time.Weekday, bool) {
	name = strings.TrimSuffix(name, "s")
	for day := time.Sunday; day <= time.Saturday; day++ {
		if full := strings.ToLower(day.String()); len(name) >= 3 && strings.HasPrefix(full, name) {
			return day, true
		}
	}
	return 0, false
}

func sizesOption(short string) *Opt[[]string] {
	o := Value("sizes", short, "woman S, woman M", readSizes)
	o.spec.Length = 400
	return o
}

func readSizes(text string, _ Settings) ([]string, error) {
	list := parts(text)
	if len(list) == 0 {
		return nil, words.Say("it names no size")
	}
	return list, nil
}
