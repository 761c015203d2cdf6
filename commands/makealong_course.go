package commands

import (
	"regexp"
	"slices"
	"strings"

	"countwright/calc/schedule"
	"countwright/commands/words"
)

// What a host who says nothing gets. Common practice, no source.
const usualAt = schedule.Clock(18 * 60)

var usualQuiet = schedule.Quiet{From: 21 * 60, To: 8 * 60}

// courseOptions are those options of a make-along's course that can still be
// changed while it runs.
type courseOptions struct {
	zone    *Opt[string]
	channel *Opt[string]
	at      *Opt[schedule.Clock]
	quiet   *Opt[schedule.Quiet]
	midway  *Opt[bool]
	event   *Opt[bool]
	tell    *Opt[string]
	spoken  *Opt[string]
}

func newCourseOptions() courseOptions {
	return courseOptions{
		zone:    zoneOption("Whose clock it goes by: a region and a city"),
		channel: Words("channel", "Where it posts: here, or another channel", 60).Like("here"),
		at:      Value("at", "When posts go out on their day, such as 18:00", "18:00", func(text string, _ Settings) (schedule.Clock, error) { return schedule.ParseClock(text) }),
		quiet:   Value("quiet", "Hours in which nothing is posted, such as 21:00-08:00, or none", "21:00-08:00", func(text string, _ Settings) (schedule.Quiet, error) { return schedule.ParseQuiet(text) }),
		midway:  YesNo("midway", "A kind note halfway between milestones"),
		event:   YesNo("event", "Make the server's own scheduled events, too"),
		tell:    Words("tell", "Where hosts are told who asks for help: me, or a hosts' channel", 60).Like("me"),
		spoken:  channelLanguage(),
	}
}

func (o courseOptions) list() []Option {
	return []Option{o.zone, o.channel, o.at, o.quiet, o.midway, o.event, o.tell, o.spoken}
}

// given reports whether a line gives any of them.
func (o courseOptions) given(r Request) bool {
	return slices.ContainsFunc(o.list(), func(opt Option) bool {
		_, given := r.value(opt.Spec().Name)
		return given
	})
}

// apply puts what a line says in the course, and leaves the rest as it is.
func (o courseOptions) apply(r Request, m MakeAlong) (MakeAlong, error) {
	var err error
	c := &m.Course
	if o.zone.Given(r) {
		c.Zone = o.zone.Of(r)
	}
	if o.channel.Given(r) {
		if m.Channel, err = channelSaid(r, o.channel); err != nil {
			return m, err
		}
	}
	if o.at.Given(r) {
		c.At = o.at.Of(r)
	}
	if o.quiet.Given(r) {
		c.Quiet = o.quiet.Of(r)
	}
	if o.midway.Given(r) {
		c.Midway = o.midway.Of(r)
	}
	if o.event.Given(r) {
		c.Event = o.event.Of(r)
	}
	if o.tell.Given(r) {
		c.Tell = ""
		if said := strings.ToLower(o.tell.Of(r)); said != "me" && said != "none" {
			if c.Tell, err = channelSaid(r, o.tell); err != nil {
				return m, err
			}
		}
	}
	if o.spoken.Given(r) {
		if c.Language = o.spoken.Of(r); words.For(c.Language).English() {
			c.Language = ""
		}
	}
	if c.Quiet.Has(c.At) {
		name := "at"
		if !o.at.Given(r) {
			name = "quiet"
		}
		return m, &Mistake{Option: name, Message: "posts at %s would go out in the quiet hours, %s; choose a time outside them", Args: []any{c.At.String(), c.Quiet.String()}, Example: "at:" + c.Quiet.To.String()}
	}
	return m, nil
}

// mention is how the service writes a channel in a text.
var mention = regexp.MustCompile(`^(?:<#)?(\d{15,20})>?$`)

// channelSaid reads a channel: here, a mention of it or its number. A surface
// whose channels have no numbers takes their names.
func channelSaid(r Request, o *Opt[string]) (string, error) {
	text := strings.TrimSpace(o.Of(r))
	if strings.EqualFold(text, "here") || text == r.Channel {
		return r.Channel, nil
	}
	if m := mention.FindStringSubmatch(text); m != nil {
		return m[1], nil
	}
	if name := strings.TrimPrefix(text, "#"); !mention.MatchString(r.Channel) && name != "" && !strings.ContainsAny(name, " <>") {
		return name, nil
	}
	return "", &Mistake{Option: o.spec.Name, Message: "“%s” is no channel that I can find; write #, choose it from the list that opens, or say: here", Args: []any{clip(text, 40)}, Example: o.spec.Name + ":here"}
}

// languageOf is the language of the server in which a make-along is made; empty
// for English.
func languageOf(r Request) string {
	if p := words.For(r.ServerLocale); !p.English() {
		return p.Language().Code
	}
	return ""
}
