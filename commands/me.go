package commands

import (
	"context"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// me is the family about the member herself.
func me(s Services) *Command {
	return &Command{Name: "me", Short: "Your settings, and all that is stored about you", Sub: []*Command{meShow(s), meSet(s), meExport(s), meErase(s)}}
}

func meShow(Services) *Command {
	return &Command{
		Name: "show", Short: "Show your settings", Private: true,
		Want:     "see my settings",
		Examples: []string{"/me show"},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			return settingsReply(r.Printer, "Your settings", r.Settings), nil
		},
	}
}

func meSet(s Services) *Command {
	units := OneOf("units", "Units for lengths", "cm", "inches")
	terms := OneOf("terms", "Crochet terms", "US", "UK")
	zone := zoneOption("Your time zone, such as Europe/Lisbon")
	level := OneOf("level", "How much to explain", "beginner", "maker", "host")
	language := languageOption()
	return &Command{
		Name: "set", Short: "Change your units, terms, time zone, level or language", Private: true,
		Want:     "choose my terms, my units and how much to explain",
		Options:  []Option{units, terms, zone, level, language},
		Examples: []string{"/me set units:inches terms:UK", "/me set zone:Europe/Lisbon", "/me set language:de"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			next := r.Settings
			if units.Given(r) {
				next.Units = unitNamed(units.Of(r))
			}
			if terms.Given(r) {
				next.Terms = termsNamed(terms.Of(r))
			}
			if zone.Given(r) {
				next.Zone = zone.Of(r)
			}
			if level.Given(r) {
				next.Level = level.Of(r)
			}
			if language.Given(r) {
				next.Language = language.Of(r)
			}
			p := r.printer(next)
			if next == r.Settings {
				return settingsReply(p, "Nothing to change: these are your settings", next), nil
			}
			if err := s.Members.SaveSettings(ctx, r.ID, r.Member.ID, next); err != nil {
				return reply.Reply{}, err
			}
			return settingsReply(p, "Saved", next), nil
		},
	}
}

// anyLanguage is the choice of no language in particular.
const anyLanguage = "any"

// languageOption declares the option for the language of answers. Its value is
// a code of words.Languages, or empty for that of the member's own client.
func languageOption() *Opt[string] {
	o := OneOf("language", "The language of my answers", anyLanguage)
	o.spec.Choices = []Choice{{Label: "As my app has it", Value: anyLanguage}}
	for _, l := range words.Languages {
		o.spec.Choices = append(o.spec.Choices, Choice{Label: l.Own, Value: l.Code})
	}
	o.spec.Example = "de"
	o.parse = func(in Input, _ Settings) (string, error) {
		code, err := o.chosen(in)
		return strings.TrimPrefix(code, anyLanguage), err
	}
	return o
}

// channelLanguage declares the option for the language that is spoken to a
// channel. Its value is a code of words.Languages.
func channelLanguage() *Opt[string] {
	o := OneOf("language", "What it speaks in its channel; the server's language if not said", "de")
	o.spec.Choices = nil
	for _, l := range words.Languages {
		o.spec.Choices = append(o.spec.Choices, Choice{Label: l.Own, Value: l.Code})
	}
	o.parse = func(in Input, _ Settings) (string, error) { return o.chosen(in) }
	return o
}

// chosen reads one of an option's choices, by its value or its label.
func (o *Opt[T]) chosen(in Input) (string, error) {
	text := strings.TrimSpace(in.Text)
	var known []string
	for _, c := range o.spec.Choices {
		if strings.EqualFold(text, c.Value) || strings.EqualFold(text, c.Label) {
			return c.Value, nil
		}
		known = append(known, c.Value)
	}
	return "", words.Say("%q is none of %s", text, strings.Join(known, ", "))
}

func settingsReply(p words.Printer, title words.Key, s Settings) reply.Reply {
	zone, level, language := s.Zone, words.Key(s.Level), p.Say("as your app has it")
	if zone == "" {
		zone = p.Say("not set (UTC)")
	}
	if level == "" {
		level = beginner
	}
	if s.Language != "" {
		language = words.For(s.Language).Language().Own
	}
	return reply.Reply{Title: p.Say(title), Private: true,
		Parts: []reply.Block{reply.Fields{Items: []reply.Field{
			{Name: p.Say("Units"), Value: p.Say(words.Key(unitName(s.Units)))},
			{Name: p.Say("Terms"), Value: termsName(s.Terms)},
			{Name: p.Say("Time zone"), Value: zone},
			{Name: p.Say("Level"), Value: p.Say(level)},
			{Name: p.Say("Language"), Value: language},
		}}},
		Data: map[string]string{"units": unitName(s.Units), "terms": termsName(s.Terms), "zone": s.Zone, "level": string(level), "language": s.Language},
	}
}

func unitNamed(name string) measure.Unit {
	if name == "inches" {
		return measure.Inches
	}
	return measure.Centimetres
}

func unitName(u measure.Unit) string {
	if u == measure.Inches {
		return "inches"
	}
	return "cm"
}

func termsNamed(name string) notation.Terms {
	if name == "UK" {
		return notation.UK
	}
	return notation.US
}

func termsName(t notation.Terms) string {
	if t == notation.UK {
		return "UK"
	}
	return "US"
}
