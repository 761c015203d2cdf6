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
				blend, err := readBlend(fibre, fibre.Of(r))
				if err != nil {
					return reply.Reply{}, err
				}
				return blendReply(blend)
			case symbol.Given(r):
				return symbolReply(symbol, symbol.Of(r))
			}
			return careShapes()
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
		return nil, option.Blame(err)
	case errors.As(err, &unknown):
		if found, _ := care.FindFibres(text); len(found) > 0 { // "soft DK merino"
			if blend, err := found.Whole(); err == nil {
				return blend, nil
			}
		}
		if near := care.FindFibre(unknown.Name, 3); len(near) > 0 {
			return nil, &Mistake{Option: option.spec.Name, Message: "I don't know the fibre “%s”; did you mean %s?", Args: []any{clip(unknown.Name, 40), orList(near)}, Example: "fibre:" + near[0].Name}
		}
	}
	var names []string
	for _, f := range care.Fibres() {
		names = append(names, f.Name)
	}
	return nil, &Mistake{Option: option.spec.Name, Message: "I don't know the fibre “%s”; I know %s", Args: []any{clip(text, 40), strings.Join(names, ", ")}, Example: "fibre:cotton"}
}

func orList(fibres []care.Fibre) string {
	var names []string
	for _, f := range fibres {
		names = append(names, f.Name)
	}
	return strings.Join(names, " or ")
}

func blendReply(b care.Blend) (reply.Reply, error) {
	symbols := b.Care()
	title := upperFirst(b.Text())
	drawing, err := picture.CareLabel{Title: clip(title, 60), Symbols: symbols}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the label: %w", err)
	}
	parts := []reply.Block{reply.Text{Text: "The yarn's own label wins. This is what such fibres usually bear (common practice, no source)."}, symbolList(symbols)}
	for _, s := range b {
		parts = append(parts, reply.Text{Text: upperFirst(s.Fibre.Name) + ": " + lowerFirst(s.Fibre.Note)})
	}
	parts = append(parts,
		reply.Picture{Name: "care", Alt: drawing.Description, Drawing: drawing},
		reply.Tip{Text: "Wash the swatch the same way first, and measure it before and after. Wash what you made before it is worn."})
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

func symbolList(symbols []care.Symbol) reply.Fields {
	names := map[care.Group]string{
		care.Wash: "Wash", care.Bleach: "Bleach", care.Tumble: "Dryer", care.Dry: "Drying", care.Iron: "Iron", care.Professional: "Cleaner's",
	}
	var items []reply.Field
	for _, s := range symbols {
		items = append(items, reply.Field{Name: names[s.Group], Value: fmt.Sprintf("%s (%s)", s.Means, s.Looks)})
	}
	return reply.Fields{Items: items}
}

// shapeWordsOf are the shapes by which a whole group is asked for.
var shapeWordsOf = map[care.Group][]string{
	care.Wash: {"tub", "wash", "washing", "bucket", "bowl"}, care.Bleach: {"triangle", "bleach", "bleaching"},
	care.Tumble: {"dryer", "tumble", "tumble dryer", "square with a circle", "square with circle"}, care.Dry: {"square", "dry", "drying"},
	care.Iron: {"iron", "ironing"}, care.Professional: {"circle", "professional", "cleaner", "cleaners"},
}

func symbolReply(option *Opt[string], asked string) (reply.Reply, error) {
	plain := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(asked)), "a "), "the ")
	for _, g := range care.Groups() {
		if slices.Contains(shapeWordsOf[g], plain) {
			return groupReply(g)
		}
	}
	found := care.FindSymbol(asked, 4)
	if len(found) == 0 {
		return reply.Reply{}, option.Blame(fmt.Errorf("no care symbol answers to “%s”; describe its shape (tub, triangle, square, iron, circle) and what is in it", clip(asked, 40)))
	}
	drawing, err := picture.CareLabel{Title: upperFirst(found[0].Looks), Symbols: found[:1]}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the symbol: %w", err)
	}
	parts := []reply.Block{
		reply.Text{Text: found[0].Means},
		reply.Picture{Name: "care", Alt: drawing.Description, Drawing: drawing},
	}
	var next []reply.Action
	for _, s := range found[1:] {
		next = append(next, reply.Button{Label: upperFirst(s.Looks), Line: "/yarn care symbol:" + s.Looks})
	}
	return reply.Reply{Title: upperFirst(found[0].Looks), Parts: append(parts, symbolSource()), Actions: next,
		Data: map[string]any{"symbols": []string{found[0].ID}}}, nil
}

func symbolSource() reply.Tip {
	return reply.Tip{Text: "After ISO 3758, from memory; the symbols on labels are protected marks in many countries, and are drawn anew here only to explain them. In the United States dots in the tub stand for degrees."}
}

func groupReply(g care.Group) (reply.Reply, error) {
	var all []care.Symbol
	var ids, items []string
	for _, s := range care.Symbols() {
		if s.Group == g {
			all, ids, items = append(all, s), append(ids, s.ID), append(items, fmt.Sprintf("%s: %s", upperFirst(s.Looks), lowerFirst(s.Means)))
		}
	}
	title := map[care.Group]string{
		care.Wash: "The tub: washing", care.Bleach: "The triangle: bleaching", care.Tumble: "The square with a circle: the dryer",
		care.Dry: "The square: drying in the air", care.Iron: "The iron", care.Professional: "The circle: the cleaner's",
	}[g]
	drawing, err := picture.CareLabel{Title: title, Symbols: all}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the symbols: %w", err)
	}
	return reply.Reply{Title: title, Data: map[string]any{"symbols": ids}, Parts: []reply.Block{
		reply.List{Items: items}, reply.Picture{Name: "care", Alt: drawing.Description, Drawing: drawing}, symbolSource(),
	}}, nil
}

// careShapes explains the shapes, with one symbol of each.
func careShapes() (reply.Reply, error) {
	var shapes []care.Symbol
	for _, id := range []string{"wash-30-mild", "bleach-oxygen", "tumble-low", "dry-flat", "iron-2", "pro-p"} {
		if s, ok := care.SymbolOf(id); ok {
			shapes = append(shapes, s)
		}
	}
	drawing, err := picture.CareLabel{Title: "The shapes of a care label", Symbols: shapes}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the shapes: %w", err)
	}
	var next []reply.Action
	for _, g := range care.Groups()[:5] {
		next = append(next, reply.Button{Label: "All of: " + shapeWordsOf[g][0], Line: "/yarn care symbol:" + shapeWordsOf[g][0]})
	}
	return reply.Reply{Title: "The shapes of a care label", Actions: next, Data: map[string]any{"groups": care.Groups()}, Parts: []reply.Block{
		reply.List{Items: []string{
			"Tub: washing. The number is the most degrees; a bar under it is mild, two bars very mild; a hand is by hand.",
			"Triangle: bleach.", "Square with a circle: the dryer.", "Square with lines: drying in the air.",
			"Iron: one dot cool, two medium, three hot.", "Circle: for the cleaner's.", "A cross: don't.",
		}},
		reply.Picture{Name: "care", Alt: drawing.Description, Drawing: drawing}, symbolSource(),
	}}, nil
}

func suggestFibres(_ context.Context, _ Request, typed string) []Choice {
	var offers []Choice
	add := func(f care.Fibre) { offers = append(offers, Choice{Label: f.Name, Value: f.Name}) }
	if strings.TrimSpace(typed) == "" {
		for _, f := range care.Fibres() {
			add(f)
		}
		return offers
	}
	for _, f := range care.FindFibre(typed, 25) {
		add(f)
	}
	return offers
}

func suggestSymbols(_ context.Context, _ Request, typed string) []Choice {
	found := care.FindSymbol(typed, 25)
	if strings.TrimSpace(typed) == "" {
		found = care.Symbols()
	}
	var offers []Choice
	for _, s := range found[:min(len(found), 25)] {
		offers = append(offers, Choice{Label: clip(upperFirst(s.Looks)+": "+lowerFirst(s.Means), 100), Value: s.Looks})
	}
	return offers
}
