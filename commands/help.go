package commands

import (
	"context"
	"strings"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// help guides by what a person wants to do. It is about the very list it
// stands in, so it asks for it when it answers.
func help(list func() []*Command) *Command {
	about := Words("command", "A command to explain, such as: even shape", 60).Like("gauge swatch").
		Suggest(func(_ context.Context, r Request, typed string) []Choice { return suggestCommands(r, list(), typed) })
	way := guideOption()
	terms, level := tellTerms(), tellLevel()
	return &Command{
		Name: "help", Short: "What I can do for you, and how to ask",
		Options:  []Option{about, way, terms, level},
		Examples: []string{"/help", "/help command:gauge swatch", "/help guide:first stitches", "/help level:maker"},
		Private:  true,
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			r = told(r, terms, level)
			switch {
			case about.Given(r):
				return explain(r, about.Of(r), list())
			case way.Given(r):
				g, err := guideNamed(r, way)
				if err != nil {
					return reply.Reply{}, err
				}
				return guideReply(r, g), nil
			}
			return overview(r, list()), nil
		},
	}
}

// suggestCommands offers commands by their names and by what one wants.
func suggestCommands(r Request, list []*Command, typed string) []Choice {
	typed = strings.ToLower(strings.TrimPrefix(typed, "/"))
	var named, wanted []Choice
	for _, c := range runnable(list) {
		choice := Choice{Label: c.PathIn(r.Printer), Value: c.Path()}
		short := r.Inner(words.Inner(c.Short))
		switch {
		case strings.Contains(c.Path(), typed) || strings.Contains(choice.Label, typed):
			named = append(named, choice)
		case strings.Contains(strings.ToLower(c.Want+" "+c.Short+" "+c.want(r)+" "+short), typed):
			choice.Label = shortLabel(choice.Label + ": " + short)
			wanted = append(wanted, choice)
		}
	}
	return append(named, wanted...)
}

// runnable lists the commands that can run, in the order of help.
func runnable(list []*Command) []*Command {
	var all []*Command
	for _, c := range list {
		if len(c.Sub) == 0 {
			all = append(all, c)
		}
		all = append(all, c.Sub...)
	}
	return all
}

// levels are how much a person knows, the least first.
var levels = []string{beginner, "maker", "host"}

// level is the level from which on help lists a command.
func (c *Command) level() string {
	switch {
	case c.For == Hosts:
		return "host"
	case c.From == "":
		return beginner
	}
	return c.From
}

// overview lists what a person of a level may want to do: a beginner the first
// things, a maker all, a host what hosts do before the rest.
func overview(r Request, list []*Command) reply.Reply {
	var mine, hosts []*Command
	more := 0
	for _, c := range runnable(list) {
		switch {
		case c.Name == "help":
		case c.level() == "host":
			if r.Level() == "host" || r.Host {
				hosts = append(hosts, c)
			}
		case c.level() == beginner || r.Level() != beginner:
			mine = append(mine, c)
		default:
			more++
		}
	}
	out := reply.Reply{Title: r.Say("What would you like to do?"), Data: map[string]any{"level": r.Level(), "commands": len(mine) + len(hosts), "more": more}}
	out.Parts = append(out.Parts, reply.Text{Text: r.Say("I do the arithmetic of crochet, and I explain it. Ask with a command; options are offered as you type.")})
	if len(hosts) > 0 {
		out.Parts = append(out.Parts, wantList(r, "As a host I want to …", hosts))
	}
	out.Parts = append(out.Parts, wantList(r, "I want to …", mine))
	if more > 0 {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("There are %d more for makers who work out their own counts.", more)})
	}
	if r.Level() == "host" && !r.Host {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("What hosts do needs a host's role on the server.")})
	}
	out.Parts = append(out.Parts,
		reply.Tip{Text: r.Say("Terms are US unless you choose UK: /me set terms:UK. There you choose your units and your level, too.")},
		reply.Tip{Text: r.Say("Rest your hands every half hour. If pain stays, see a doctor or a hand therapist.")})
	out.Actions = overviewActions(r, mine, hosts)
	return out
}

// wantList tells which command does what a person wants.
func wantList(r Request, title words.Key, commands []*Command) reply.List {
	var items []string
	for _, c := range commands {
		items = append(items, r.Say("%s: /%s", c.want(r), c.Path()))
	}
	return reply.List{Title: r.Say(title), Items: items}
}

// want is what a person wants who needs the command.
func (c *Command) want(r Request) string {
	if c.Want == "" {
		return r.Inner(words.Inner(c.Short))
	}
	return r.Say(words.Key(c.Want))
}

// overviewActions are the guides, the commands to read about, and the other
// levels.
func overviewActions(r Request, mine, hosts []*Command) []reply.Action {
	var next []reply.Action
	for _, g := range guidesIn(r) {
		if g.Level == r.Level() && len(next) < 5 {
			next = append(next, reply.Button{Label: upperFirst(guideText(r, g.Want)), Line: r.changed(map[string]string{"guide": g.ID, "level": ""})})
		}
	}
	menu := reply.Menu{Label: r.Say("How do I …")}
	for _, c := range append(append([]*Command{}, hosts...), mine...) {
		menu.Choices = append(menu.Choices, reply.Button{Label: shortLabel(c.want(r)), Line: "/help command:" + c.Path()})
	}
	next = append(next, menu)
	labels := map[string]words.Key{beginner: "I am new to this", "maker": "I know my way", "host": "I host others"}
	for _, l := range levels {
		if l != r.Level() {
			next = append(next, reply.Button{Label: r.Say(labels[l]), Line: r.changed(map[string]string{"level": l})})
		}
	}
	return next
}

func explain(r Request, name string, list []*Command) (reply.Reply, error) {
	name = strings.ToLower(strings.Join(strings.Fields(strings.TrimPrefix(name, "/")), " "))
	var paths []string
	for _, c := range runnable(list) {
		if c.Path() == name || c.PathIn(r.Printer) == name {
			return manual(r, c), nil
		}
		paths = append(paths, c.Path())
	}
	for _, c := range list {
		if len(c.Sub) > 0 && (c.Name == name || c.NameIn(r.Printer) == name) {
			return familyManual(r, c), nil
		}
	}
	example := "command:even shape"
	if near := nearest(name, paths); near != "" {
		example = "command:" + near
	}
	return reply.Reply{}, &Mistake{Option: "command", Message: "there is no command %q", Args: []any{name}, Example: example}
}

func manual(r Request, c *Command) reply.Reply {
	parts := []reply.Block{reply.Text{Text: r.Say(words.Key(c.Short)) + "."}}
	if c.Long != "" {
		parts = append(parts, reply.Text{Text: r.Say(words.Key(c.Long))})
	}
	if len(c.Options) > 0 {
		var items []reply.Field
		for _, o := range c.Options {
			spec := o.Spec()
			value := r.Say(words.Key(spec.Short))
			if spec.Required {
				value = r.Say("%s (required)", value)
			}
			if len(spec.Choices) > 0 {
				var labels []string
				for _, choice := range spec.Choices {
					labels = append(labels, r.Say(words.Key(choice.Label)))
				}
				value += ": " + strings.Join(labels, ", ")
			}
			items = append(items, reply.Field{Name: c.OptionIn(r.Printer, spec.Name), Value: value})
		}
		parts = append(parts, reply.Fields{Items: items})
	}
	parts = append(parts, reply.Rows{Title: r.Say("For example"), Lines: c.Examples})
	return reply.Reply{Title: "/" + c.Path(), Parts: parts}
}

func familyManual(r Request, c *Command) reply.Reply {
	var items []string
	for _, sub := range c.Sub {
		items = append(items, r.Say("/%s: %s", sub.Path(), words.Inner(sub.Short)))
	}
	return reply.Reply{Title: "/" + c.Name, Parts: []reply.Block{reply.Text{Text: r.Say(words.Key(c.Short)) + "."}, reply.List{Items: items}}}
}
