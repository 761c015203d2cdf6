package commands

import (
	"context"
	"time"

	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/commands/reply"
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
			return settingsReply("Your settings", r.Settings), nil
		},
	}
}

func meSet(s Services) *Command {
	units := OneOf("units", "Units for lengths", "cm", "inches")
	terms := OneOf("terms", "Crochet terms", "US", "UK")
	zone := Value("zone", "Your time zone, such as Europe/Lisbon", "Europe/Lisbon", readZone)
	level := OneOf("level", "How much to explain", "beginner", "maker", "host")
	return &Command{
		Name: "set", Short: "Change your units, terms, time zone or level", Private: true,
		Want:     "choose my terms, my units and how much to explain",
		Options:  []Option{units, terms, zone, level},
		Examples: []string{"/me set units:inches terms:UK", "/me set zone:Europe/Lisbon"},
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
			if next == r.Settings {
				return settingsReply("Nothing to change: these are your settings", next), nil
			}
			if err := s.Members.SaveSettings(ctx, r.ID, r.Member.ID, next); err != nil {
				return reply.Reply{}, err
			}
			return settingsReply("Saved", next), nil
		},
	}
}

func settingsReply(title string, s Settings) reply.Reply {
	zone, level := s.Zone, s.Level
	if zone == "" {
		zone = "not set (UTC)"
	}
	if level == "" {
		level = "beginner"
	}
	return reply.Reply{Title: title, Private: true,
		Parts: []reply.Block{reply.Fields{Items: []reply.Field{
			{Name: "Units", Value: unitName(s.Units)},
			{Name: "Terms", Value: termsName(s.Terms)},
			{Name: "Time zone", Value: zone},
			{Name: "Level", Value: level},
		}}},
		Data: map[string]string{"units": unitName(s.Units), "terms": termsName(s.Terms), "zone": s.Zone, "level": level},
	}
}

func readZone(text string, _ Settings) (string, error) {
	if text == "Local" || text == "" {
		return "", Mistaken("/me set zone:Europe/Lisbon", "%q is not a time zone", text)
	}
	z, err := time.LoadLocation(text)
	if err != nil {
		return "", &Mistake{Option: "zone", Message: "I don't know that time zone; it is written as a region and a city", Example: "/me set zone:Europe/Lisbon"}
	}
	return z.String(), nil
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
