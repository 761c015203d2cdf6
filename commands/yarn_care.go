package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"countwright/calc/care"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func yarnCare() *Command {
	fibre := Words("fibre", "What the yarn is made of: cotton, 75 % wool 25 % nylon", 120).Like("75 % wool 25 % nylon").Suggest(suggestFibres)
	symbol := Words("symbol", "A sign on the label, by its look or meaning: hand in a tub", 80).Like("hand in a tub").Suggest(suggestSymbols)
	return &Command{
		Name: "care", Short: "How to wash it, by its fibre, and what the signs on a label mean",
		Want:     "wash a piece well, and read the signs on a label",
		Long:     "Ask by fibre, or by a sign: its look (triangle, tub with 30 and two bars) or its meaning (do not iron). Without either: the five shapes.",
		Options:  []Option{fibre, symbol},
		Examples: []string{"/yarn care fibre:75 % superwash wool 25 % nylon", "/yarn care symbol:hand in a tub", "/yarn care symbol:tub", "/yarn care"},
		Run: func(_ context.Context, r Request) (reply.Reply, error) {
			switch {
			case fibre.Given(r) && symbol.Given(r):
				return reply.Reply{}, Mistaken("/yarn care fibre:cotton", "ask for a fibre or for a symbol, one at a time")
			case fibre.Given(r):
				blend, err := readBlend(fibre, englishFibres(fibre.Of(r)))
				if err != nil {
					return reply.Reply{}, err
				}
				return blendReply(r, blend)
			case symbol.Given(r):
				return symbolReply(r, symbol)
			}
			return careShapes(r)
		},
	}
}

// readBlend reads fibres; one that is not known brings the nearest.
func readBlend(option *Opt[string], text string) (care.Blend, error) {
	blend, err := care.ParseBlend(text)
	var unknown *care.NameError
	var share *care.ShareError
	switch {
	case err == nil:
		return blend, nil
	case errors.As(err, &share):
		return nil, option.Blame(yarnError(err))
	case errors.As(err, &unknown):
		if found, _ := care.FindFibres(text); len(found) > 0 { // "soft DK merino"
			if blend, err := found.Whole(); err == nil {
				return blend, nil
			}
		}
		if near := care.FindFibre(unknown.Name, 3); len(near) > 0 {
			return nil, &Mistake{Option: option.spec.Name, Message: "I don't know the fibre “%s”; did you mean %s?", Args: []any{clip(unknown.Name, 40), eitherFibre(near)}, Example: "fibre:" + near[0].Name}
		}
	}
	return nil, &Mistake{Option: option.spec.Name, Message: "I don't know the fibre “%s”; I know %s", Args: []any{clip(text, 40), listing(asArgs(fibreNames())...)}, Example: "fibre:cotton"}
}

func eitherFibre(fibres []care.Fibre) words.Message {
	var names []any
	for _, f := range fibres {
		names = append(names, words.Key(f.Name))
	}
	return either(names...)
}

// blendWords is what a yarn is made of: "75 % wool, 25 % nylon", "cotton".
func blendWords(b care.Blend) words.Message {
	var parts []any
	for _, s := range b {
		parts = append(parts, words.Say("%.0f %% %s", 100*s.Part, words.Key(s.Fibre.Name)))
	}
	if len(b) == 1 {
		return words.Say("%s", words.Key(b[0].Fibre.Name))
	}
	return listing(parts...)
}

// careLabel draws care symbols with what they say.
func careLabel(r Request, title string, symbols []care.Symbol) (reply.Picture, error) {
	said := slices.Clone(symbols)
	var looks []string
	for i, s := range symbols {
		said[i].Means, said[i].Looks = r.Say(words.Key(s.Means)), r.Say(words.Key(s.Looks))
		looks = append(looks, said[i].Looks)
	}
	drawing, err := picture.CareLabel{Title: title, Symbols: said}.Draw()
	if err != nil {
		return reply.Picture{}, fmt.Errorf("draw the label: %w", err)
	}
	drawing.Description = r.Say("Care symbols: %s.", strings.Join(looks, ", "))
	return reply.Picture{Name: "care", Alt: drawing.Description, Drawing: drawing}, nil
}

func blendReply(r Request, b care.Blend) (reply.Reply, error) {
	symbols := b.Care()
	title := upperFirst(r.Of(blendWords(b)))
	label, err := careLabel(r, clip(title, 60), symbols)
	if err != nil {
		return reply.Reply{}, err
	}
	parts := []reply.Block{reply.Text{Text: r.Say("The yarn's own label wins. This is what such fibres usually bear (common practice, no source).")}, symbolList(r, symbols)}
	for _, s := range b {
		parts = append(parts, reply.Text{Text: upperFirst(r.Say(words.Key(s.Fibre.Name))) + ": " + within(r.Printer, words.Key(s.Fibre.Note))})
	}
	parts = append(parts, label, reply.Tip{Text: r.Say("Wash the swatch the same way first, and measure it before and after. Wash what you made before it is worn.")})
	var ids []string
	for _, s := range symbols {
		ids = append(ids, s.ID)
	}
	var fibres []map[string]any
	for _, s := range b {
		fibres = append(fibres, map[string]any{"fibre": s.Fibre.ID, "percent": round2(100 * s.Part)})
	}
	return reply.Reply{Title: title, Parts: parts, Data: map[string]any{"fibres": fibres, "symbols": ids}}, nil
}

func symbolList(r Request, symbols []care.Symbol) reply.Fields {
	names := map[care.Group]words.Key{
		care.Wash: "Wash", care.Bleach: "Bleach", care.Tumble: "Dryer", care.Dry: "Drying", care.Iron: "Iron", care.Professional: "Cleaner's",
	}
	var items []reply.Field
	for _, s := range symbols {
		items = append(items, reply.Field{Name: r.Say(names[s.Group]), Value: r.Say("%s (%s)", words.Key(s.Means), words.Key(s.Looks))})
	}
	return reply.Fields{Items: items}
}

// shapeWordsOf are the shapes by which a whole group is asked for.
var shapeWordsOf = map[care.Group][]words.Key{
	care.Wash: {"tub", "wash", "washing", "bucket", "bowl"}, care.Bleach: {"triangle", "bleach", "bleaching"},
	care.Tumble: {"dryer", "tumble", "tumble dryer", "square with a circle", "square with circle"}, care.Dry: {"square", "dry", "drying"},
	care.Iron: {"iron", "ironing"}, care.Professional: {"circle", "professional", "cleaner", "cleaners"},
}

// symbolsFor is at most so many symbols that a text can mean: those of whose
// words in the reader's language it is a part, else what calc finds in English.
func symbolsFor(r Request, text string, most int) []care.Symbol {
	plain := strings.ToLower(strings.TrimSpace(text))
	if plain != "" && r.English() {
		return care.FindSymbol(text, most)
	}
	var found []care.Symbol
	for _, s := range care.Symbols() {
		if len(found) < most && strings.Contains(strings.ToLower(symbolLine(r, s)), plain) {
			found = append(found, s)
		}
	}
	if found == nil {
		return care.FindSymbol(text, most)
	}
	return found
}

func symbolReply(r Request, option *Opt[string]) (reply.Reply, error) {
	asked := option.Of(r)
	plain := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(asked)), "a "), "the ")
	for _, g := range care.Groups() {
		if slices.Contains(shapeWordsOf[g], words.Key(meant(r.Printer, plain, shapeWordsOf[g]))) {
			return groupReply(r, g)
		}
	}
	found := symbolsFor(r, asked, 4)
	if len(found) == 0 {
		return reply.Reply{}, option.Blame(words.Say("no care symbol answers to “%s”; describe its shape (tub, triangle, square, iron, circle) and what is in it", clip(asked, 40)))
	}
	title := upperFirst(r.Say(words.Key(found[0].Looks)))
	label, err := careLabel(r, title, found[:1])
	if err != nil {
		return reply.Reply{}, err
	}
	parts := []reply.Block{reply.Text{Text: r.Say(words.Key(found[0].Means))}, label, symbolSource(r)}
	var next []reply.Action
	for _, s := range found[1:] {
		next = append(next, reply.Button{Label: upperFirst(r.Say(words.Key(s.Looks))), Line: "/yarn care symbol:" + s.Looks})
	}
	return reply.Reply{Title: title, Parts: parts, Actions: next,
		Data: map[string]any{"symbols": []string{found[0].ID}}}, nil
}

func symbolSource(r Request) reply.Tip {
	return reply.Tip{Text: r.Say("After ISO 3758, from memory; the symbols on labels are protected marks in many countries, and are drawn anew here only to explain them. In the United States dots in the tub stand for degrees.")}
}

func groupReply(r Request, g care.Group) (reply.Reply, error) {
	var all []care.Symbol
	var ids, items []string
	for _, s := range care.Symbols() {
		if s.Group == g {
			all, ids, items = append(all, s), append(ids, s.ID), append(items, symbolLine(r, s))
		}
	}
	title := r.Say(map[care.Group]words.Key{
		care.Wash: "The tub: washing", care.Bleach: "The triangle: bleaching", care.Tumble: "The square with a circle: the dryer",
		care.Dry: "The square: drying in the air", care.Iron: "The iron", care.Professional: "The circle: the cleaner's",
	}[g])
	label, err := careLabel(r, title, all)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Title: title, Data: map[string]any{"symbols": ids}, Parts: []reply.Block{
		reply.List{Items: items}, label, symbolSource(r),
	}}, nil
}

// symbolLine is what a symbol looks like, and what it says.
func symbolLine(r Request, s care.Symbol) string {
	return upperFirst(r.Say(words.Key(s.Looks))) + ": " + within(r.Printer, words.Key(s.Means))
}

// careShapes explains the shapes, with one symbol of each.
func careShapes(r Request) (reply.Reply, error) {
	var shapes []care.Symbol
	for _, id := range []string{"wash-30-mild", "bleach-oxygen", "tumble-low", "dry-flat", "iron-2", "pro-p"} {
		if s, ok := care.SymbolOf(id); ok {
			shapes = append(shapes, s)
		}
	}
	title := r.Say("The shapes of a care label")
	label, err := careLabel(r, title, shapes)
	if err != nil {
		return reply.Reply{}, err
	}
	var next []reply.Action
	for _, g := range care.Groups()[:5] {
		next = append(next, reply.Button{Label: r.Say("All of: %s", shapeWordsOf[g][0]), Line: "/yarn care symbol:" + string(shapeWordsOf[g][0])})
	}
	return reply.Reply{Title: title, Actions: next, Data: map[string]any{"groups": care.Groups()}, Parts: []reply.Block{
		reply.List{Items: r.Each(
			"Tub: washing. The number is the most degrees; a bar under it is mild, two bars very mild; a hand is by hand.",
			"Triangle: bleach.", "Square with a circle: the dryer.", "Square with lines: drying in the air.",
			"Iron: one dot cool, two medium, three hot.", "Circle: for the cleaner's.", "A cross: don't.",
		)},
		label, symbolSource(r),
	}}, nil
}

func suggestFibres(_ context.Context, r Request, typed string) []Choice {
	var offers []Choice
	add := func(f care.Fibre) { offers = append(offers, Choice{Label: r.Say(words.Key(f.Name)), Value: f.Name}) }
	if strings.TrimSpace(typed) == "" {
		for _, f := range care.Fibres() {
			add(f)
		}
		return offers
	}
	for _, f := range care.FindFibre(englishFibres(typed), 25) {
		add(f)
	}
	return offers
}

func suggestSymbols(_ context.Context, r Request, typed string) []Choice {
	var offers []Choice
	for _, s := range symbolsFor(r, typed, 25) {
		offers = append(offers, Choice{Label: clip(symbolLine(r, s), 100), Value: s.Looks})
	}
	return offers
}
