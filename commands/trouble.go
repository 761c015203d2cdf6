package commands

import (
	"context"
	"strings"

	"countwright/calc/lookup"
	"countwright/calc/trouble"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// troubleOptions are what /trouble takes: the symptom, where the talk stands,
// and the numbers that the member gives.
type troubleOptions struct {
	symptom *Opt[string]
	check   *Opt[int]
	show    *Opt[string]
	facts   factOptions
	terms   *Opt[string]
	level   *Opt[string]
}

// What show asks for: how to find out, what to do, or a form for numbers.
const (
	showTest    = "test"
	showFix     = "fix"
	showNumbers = "numbers"
)

// troubleCommand finds out, in a short talk, what went wrong.
func troubleCommand(s Services) *Command {
	o := troubleOptions{
		symptom: Words("symptom", "What you see, in your words: my circle is wavy", 200).Like("circle ruffles"),
		check:   Int("check", "Which of the possible causes to look at", 1, 20),
		show:    OneOf("show", "How to find out, what to do, or a form for your numbers", showTest, showFix, showNumbers),
		facts:   newFactOptions(),
		terms:   tellTerms(), level: tellLevel(),
	}
	o.symptom.Suggest(func(_ context.Context, r Request, typed string) []Choice {
		return suggestTroubles(told(r, o.terms, o.level), typed)
	})
	return &Command{
		Name: "trouble", Short: "What went wrong, how to find out why, and how to mend it",
		Want: "find out what went wrong, and mend it",
		Long: "Tell what you see in your own words. I go through the causes, the likeliest first; for some I can do the sums if you give numbers, " +
			"such as the stitches that you add in a round of a circle.",
		Options: append(append([]Option{o.symptom, o.check, o.show}, o.facts.list()...), o.terms, o.level),
		Examples: []string{
			"/trouble symptom:my circle is wavy", "/trouble symptom:circle ruffles increases:8 gauge:14x18 stitch:sc",
			"/trouble symptom:edges slant in check:2", "/trouble start:40 now:30 worked:10", "/trouble",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) { return o.run(ctx, s, r) },
	}
}

func (o troubleOptions) run(ctx context.Context, s Services, r Request) (reply.Reply, error) {
	saved := r // her swatches are in her own terms
	r = told(r, o.terms, o.level)
	known, err := o.facts.read(ctx, s, r, saved)
	if err != nil {
		return reply.Reply{}, err
	}
	t := &talk{r: r, known: known}
	switch {
	case o.symptom.Given(r):
		if err := t.find(o.symptom); err != nil {
			return reply.Reply{}, err
		}
	case len(known.given) > 0:
		if t.Trouble, err = troubleOf(r, known); err != nil {
			return reply.Reply{}, err
		}
	default:
		return troubleList(r), nil
	}
	if err := t.weigh(); err != nil {
		return reply.Reply{}, err
	}
	if t.usesSwatch() {
		t.note = strings.TrimSpace(t.note + " " + r.Say("I took the gauge of your swatch “%s”.", known.swatch))
	}
	return t.reply(o)
}

// find reads the symptom.
func (t *talk) find(symptom *Opt[string]) error {
	asked := inOneLine(symptom.Of(t.r))
	if found, ok := troubleIn(t.r, strings.ToLower(asked)); ok {
		t.Trouble = found
		return nil
	}
	matches := trouble.Find(asked, 6)
	if len(matches) == 0 {
		return &Mistake{Option: "symptom", Example: "/trouble symptom:my circle is wavy",
			Message: "I can't tell what “%s” is. Say what you see in a few words, or choose from the list that /trouble shows", Args: []any{clip(asked, 40)}}
	}
	t.Trouble, _ = troubleIn(t.r, matches[0].Key)
	if matches[0].How != lookup.Exact && !strings.EqualFold(asked, t.Symptom) {
		t.note = t.r.Say("I took “%s” as this.", clip(asked, 60))
	}
	for _, m := range matches[1:] {
		t.others = append(t.others, m.Key)
	}
	return nil
}

// troubleIn returns the trouble of an ID in the words of the answer.
func troubleIn(r Request, id string) (trouble.Trouble, bool) {
	t, ok := trouble.RawOf(id)
	return t.Told(r.filled), ok
}

// troublesIn returns every trouble in the words of the answer.
func troublesIn(r Request) []trouble.Trouble {
	all := trouble.Raw()
	for i, t := range all {
		all[i] = t.Told(r.filled)
	}
	return all
}

// troubleOf finds the trouble that the numbers alone show.
func troubleOf(r Request, known knownFacts) (trouble.Trouble, error) {
	for _, t := range troublesIn(r) {
		talk := &talk{r: r, Trouble: t, known: known}
		if err := talk.weigh(); err != nil {
			return trouble.Trouble{}, err
		}
		if talk.confirmed() >= 0 {
			return t, nil
		}
	}
	return trouble.Trouble{}, &Mistake{Option: "symptom", Example: "symptom:my circle is wavy",
		Message: "these numbers alone show nothing that is wrong; say what you see, too"}
}

// troubleList offers all troubles, by what they are about.
func troubleList(r Request) reply.Reply {
	var topics []string
	menus := map[string]*reply.Menu{}
	for _, t := range troublesIn(r) {
		if menus[t.Topic] == nil {
			topics = append(topics, t.Topic)
			menus[t.Topic] = &reply.Menu{Label: r.Say(words.Key(t.Topic))}
		}
		menus[t.Topic].Choices = append(menus[t.Topic].Choices, reply.Button{Label: t.Symptom, Line: "/trouble symptom:" + quoted(t.ID)})
	}
	var items []string
	var next []reply.Action
	count := 0
	for _, topic := range topics {
		menu := *menus[topic]
		items = append(items, r.Say("%s (%d)", words.Key(topic), len(menu.Choices)))
		next = append(next, menu)
		count += len(menu.Choices)
	}
	return reply.Reply{Title: r.Say("What went wrong?"), Actions: next, Data: map[string]any{"troubles": count},
		Parts: []reply.Block{
			reply.Text{Text: r.Say("Tell me what you see, in your own words: /trouble symptom:my scarf gets narrower. Or choose below.")},
			reply.List{Items: items},
		}}
}

// suggestTroubles offers symptoms for what is typed. The words by which one
// was found are told with it.
func suggestTroubles(r Request, typed string) []Choice {
	var offers []Choice
	if strings.TrimSpace(typed) == "" {
		return firstTroubles(r)
	}
	for _, m := range trouble.Find(typed, 25) {
		t, ok := troubleIn(r, m.Key)
		if !ok {
			continue
		}
		label := t.Symptom
		if !strings.EqualFold(m.Text, t.Symptom) && m.How != lookup.Partly {
			label = r.Say("%s: “%s”", label, m.Text)
		}
		offers = append(offers, Choice{Label: shortLabel(label), Value: t.ID})
	}
	return offers
}

// firstTroubles are some of every topic, taken in turn.
func firstTroubles(r Request) []Choice {
	var topics []string
	byTopic := map[string][]trouble.Trouble{}
	for _, t := range troublesIn(r) {
		if byTopic[t.Topic] == nil {
			topics = append(topics, t.Topic)
		}
		byTopic[t.Topic] = append(byTopic[t.Topic], t)
	}
	var offers []Choice
	for i := 0; i < 5; i++ {
		for _, topic := range topics {
			if i < len(byTopic[topic]) {
				t := byTopic[topic][i]
				offers = append(offers, Choice{Label: shortLabel(t.Symptom), Value: t.ID})
			}
		}
	}
	return offers
}
