package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/commands/reply"
)

// help guides by what a person wants to do. It is about the very list it
// stands in, so it asks for it when it answers.
func help(list func() []*Command) *Command {
	about := Words("command", "A command to explain, such as: even shape", 60).Like("gauge swatch").
		Suggest(func(_ context.Context, _ Request, typed string) []Choice {
			typed = strings.ToLower(strings.TrimPrefix(typed, "/"))
			var offers []Choice
			for _, c := range runnable(list()) {
				if strings.Contains(c.Path(), typed) {
					offers = append(offers, Choice{Label: c.Path(), Value: c.Path()})
				}
			}
			return offers
		})
	return &Command{
		Name: "help", Short: "What I can do for you, and how to ask",
		Options:  []Option{about},
		Examples: []string{"/help", "/help command:gauge swatch"},
		Private:  true,
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			if about.Given(r) {
				return explain(about.Of(r), list())
			}
			return overview(r, list()), nil
		},
	}
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

func overview(r Request, list []*Command) reply.Reply {
	var wants, hosts []string
	for _, c := range runnable(list) {
		if c.Name == "help" {
			continue
		}
		line := fmt.Sprintf("/%s: %s", c.Path(), lowerFirst(c.Short))
		if c.For == Hosts {
			hosts = append(hosts, line)
		} else {
			wants = append(wants, line)
		}
	}
	parts := []reply.Block{
		reply.Text{Text: "I do the arithmetic of crochet. Ask with a command; options are offered as you type."},
		reply.List{Title: "What you can ask", Items: wants},
	}
	if r.Host && len(hosts) > 0 {
		parts = append(parts, reply.List{Title: "For hosts", Items: hosts})
	}
	parts = append(parts, reply.Tip{Text: "For one command with examples: /help command:even shape. Terms are US unless you choose UK: /me set terms:UK."})
	return reply.Reply{Title: "What would you like to do?", Parts: parts, Data: map[string]any{"commands": len(wants) + len(hosts)}}
}

func explain(name string, list []*Command) (reply.Reply, error) {
	name = strings.ToLower(strings.Join(strings.Fields(strings.TrimPrefix(name, "/")), " "))
	var paths []string
	for _, c := range runnable(list) {
		if c.Path() == name {
			return manual(c), nil
		}
		paths = append(paths, c.Path())
	}
	for _, c := range list {
		if c.Name == name && len(c.Sub) > 0 {
			return familyManual(c), nil
		}
	}
	example := "command:even shape"
	if near := nearest(name, paths); near != "" {
		example = "command:" + near
	}
	return reply.Reply{}, &Mistake{Option: "command", Message: fmt.Sprintf("there is no command %q", name), Example: example}
}

func manual(c *Command) reply.Reply {
	parts := []reply.Block{reply.Text{Text: c.Short + "."}}
	if c.Long != "" {
		parts = append(parts, reply.Text{Text: c.Long})
	}
	if len(c.Options) > 0 {
		var items []reply.Field
		for _, o := range c.Options {
			spec := o.Spec()
			value := spec.Short
			if spec.Required {
				value += " (required)"
			}
			if len(spec.Choices) > 0 {
				var labels []string
				for _, choice := range spec.Choices {
					labels = append(labels, choice.Label)
				}
				value += ": " + strings.Join(labels, ", ")
			}
			items = append(items, reply.Field{Name: spec.Name, Value: value})
		}
		parts = append(parts, reply.Fields{Items: items})
	}
	parts = append(parts, reply.Rows{Title: "For example", Lines: c.Examples})
	return reply.Reply{Title: "/" + c.Path(), Parts: parts}
}

func familyManual(c *Command) reply.Reply {
	var items []string
	for _, sub := range c.Sub {
		items = append(items, fmt.Sprintf("/%s: %s", sub.Path(), lowerFirst(sub.Short)))
	}
	return reply.Reply{Title: "/" + c.Name, Parts: []reply.Block{reply.Text{Text: c.Short + "."}, reply.List{Items: items}}}
}
