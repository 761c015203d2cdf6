package commands

import (
	"context"
	"strings"

	"countwright/calc/guide"
	"countwright/calc/stitch"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// guideOption declares the option that names a guide.
func guideOption() *Opt[string] {
	return Words("guide", "A way through several steps, such as: first stitches", 60).Like("first stitches").
		Suggest(func(_ context.Context, r Request, typed string) []Choice {
			typed = strings.ToLower(strings.TrimSpace(typed))
			var offers []Choice
			for _, g := range guidesIn(r) {
				if strings.Contains(g.ID, typed) || strings.Contains(strings.ToLower(g.Want+" "+guideText(r, g.Want)), typed) {
					offers = append(offers, Choice{Label: shortLabel(guideText(r, g.Want)), Value: g.ID})
				}
			}
			return offers
		})
}

// guideNamed is the guide that a line names.
func guideNamed(r Request, option *Opt[string]) (guide.Guide, error) {
	dialect := r.dialect()
	if !r.English() {
		dialect = stitch.US
	}
	g, ok := guide.Lookup(option.Of(r), dialect)
	if ok {
		return g, nil
	}
	var names []string
	for _, g := range guide.All(stitch.US) {
		names = append(names, g.ID)
	}
	m := &Mistake{Option: option.spec.Name, Example: "guide:" + names[0],
		Message: "there is no guide “%s”; there are %s", Args: []any{clip(inOneLine(option.Of(r)), 40), strings.Join(names, ", ")}}
	if near := nearest(strings.ToLower(option.Of(r)), names); near != "" {
		m.Example = "guide:" + near
	}
	return guide.Guide{}, m
}

// guidesIn are the guides in the reader's terms. Other languages have their own
// words of the trade, and their catalogs know the texts in US terms.
func guidesIn(r Request) []guide.Guide {
	if r.English() {
		return guide.All(r.dialect())
	}
	return guide.All(stitch.US)
}

// guideText says a text of a guide.
func guideText(r Request, text string) string { return r.Say(words.Key(text)) }

// guideLine is the line of a step; one that asks for words of the trade says
// in which terms they are.
func guideLine(r Request, s guide.Step) string {
	if strings.HasPrefix(s.Line, "/stitch ") || strings.HasPrefix(s.Line, "/term ") {
		return s.Line + " terms:" + termsName(r.Terms())
	}
	return s.Line
}

// guideReply tells a guide, with buttons for the lines that work for anyone.
func guideReply(r Request, g guide.Guide) reply.Reply {
	var items []string
	var next []reply.Action
	for _, s := range g.Steps {
		line := guideLine(r, s)
		items = append(items, guideText(r, s.Do)+" → "+line)
		if s.Tap != "" {
			next = append(next, reply.Button{Label: upperFirst(guideText(r, s.Tap)), Line: line})
		}
	}
	next = append(next, r.switchTerms(nil), reply.Button{Label: r.Say("All I can do"), Line: "/help"})
	title := upperFirst(guideText(r, g.Want))
	if title == upperFirst(g.Want) {
		title = r.Say("How to %s", strings.NewReplacer(" my ", " your ", " I ", " you ").Replace(g.Want))
	}
	return reply.Reply{Title: title,
		Parts:   []reply.Block{reply.Steps{Items: items}, reply.Tip{Text: guideText(r, g.Last)}},
		Actions: next, Data: map[string]any{"guide": g.ID, "steps": len(g.Steps), "terms": termsName(r.Terms())}}
}
