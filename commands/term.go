package commands

import (
	"context"
	"slices"
	"strings"

	"countwright/calc/lesson"
	"countwright/calc/lookup"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// termCommand explains a word of the trade, an abbreviation or a sign.
func termCommand(s Services) *Command {
	word := Words("word", "A word, abbreviation or sign of the trade, in any terms or language", 200).Require().Like("tension")
	terms, level := tellTerms(), tellLevel()
	word.Suggest(func(_ context.Context, r Request, typed string) []Choice {
		return suggestTerms(told(r, terms, level), typed)
	})
	return &Command{
		Name: "term", Short: "What a word, an abbreviation or a sign of a pattern means",
		Want: "know what a word, an abbreviation or a sign means",
		Long: "US and UK patterns use the same words for different things: those are pointed out. " +
			"Words of other languages are known too, and a few words of a row are explained one by one.",
		Options:  []Option{word, terms, level},
		Examples: []string{"/term word:dc", "/term word:tension", "/term word:*", "/term word:Stäbchen", "/term word:rep from * to end level:maker"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			own, err := ownHeight(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			return explainWord(told(r, terms, level), word, own)
		},
	}
}

// explainWord answers for one word, or for several one by one.
func explainWord(r Request, word *Opt[string], own ownStitch) (reply.Reply, error) {
	asked := inOneLine(word.Of(r))
	answers := term.Explain(asked, r.dialect(), 10)
	if bare := strings.TrimLeft(asked, "0123456789 "); len(answers) == 0 && bare != asked {
		asked, answers = bare, term.Meanings(bare, r.dialect()) // "2dc" asks for dc
	}
	sure := len(answers) > 0 && answers[0].How < lookup.Partly
	if !sure || answers[0].How != lookup.Exact {
		if several := wordByWord(r, asked); len(several) > 1 {
			return wordsReply(r, asked, several), nil
		}
	}
	if len(answers) == 0 {
		return reply.Reply{}, &Mistake{Option: "word", Example: "/term word:tension",
			Message: "I don't know “%s”. Try a part of it, or its abbreviation; for what went wrong there is /trouble", Args: []any{clip(asked, 40)}}
	}
	if !sure {
		return wordChoice(r, asked, answers), nil
	}
	return newTermAnswer(r, asked, answers, own).reply()
}

// shortWord is the word by which an answer is named in the terms of the
// reader.
func shortWord(r Request, a term.Answer) string {
	if a.Stitch != "" {
		s, _ := stitch.Lookup(a.Stitch)
		return stitchTitle(s.In(r.dialect()))
	}
	return a.Term.Word(r.dialect())
}

// termLine is the line that asks for an answer by its own word.
func termLine(r Request, a term.Answer) string {
	word := a.Term.Word(r.dialect())
	if a.Stitch != "" {
		s, _ := stitch.Lookup(a.Stitch)
		word = stitchInLine(s, r.dialect())
	}
	return Line("term", map[string]Input{"word": {Text: word}, "terms": {Text: termsName(r.Terms())}})
}

// meaning is what an answer means, in a few sentences.
func meaning(r Request, a term.Answer) string {
	if a.Stitch == "" {
		return r.filled(a.Term.Means)
	}
	s, _ := stitch.Lookup(a.Stitch)
	return newStitchAnswer(r, foundStitch{Stitch: s}, ownStitch{}).what()
}

// meanings are the texts that meaning is made of, as the catalogs know them.
func meanings(answers ...term.Answer) []words.Key {
	var keys []words.Key
	for _, a := range answers {
		if a.Stitch == "" {
			keys = append(keys, words.Key(a.Term.Means))
		} else if l, ok := lesson.Raw(a.Stitch); ok {
			keys = append(keys, words.Key(l.What))
		}
	}
	return keys
}

// wordChoice asks which word is meant.
func wordChoice(r Request, asked string, answers []term.Answer) reply.Reply {
	var items []string
	var next []reply.Action
	var data []any
	for i, a := range answers {
		items = append(items, r.Say("%s: %s", upperFirst(shortWord(r, a)), firstSentence(meaning(r, a))))
		data = append(data, answerFigures(a))
		if i < 5 {
			next = append(next, reply.Button{Label: upperFirst(shortWord(r, a)), Line: termLine(r, a)})
		}
	}
	return reply.Reply{Title: r.Say("What is “%s”?", clip(asked, 40)),
		Parts: []reply.Block{reply.Text{Text: r.Say("I don't know that just so. These words come close:")}, reply.List{Items: items},
			reply.Tip{Text: r.Say("If something went wrong in your work, tell /trouble what you see.")}},
		Actions: next, Data: map[string]any{"asked": asked, "terms": termsName(r.Terms()), "near": data}}
}

// joining are words of a row that need no explaining.
var joining = strings.Fields("a an the in into of to on and with at as for is it")

// asking are the words that questions begin with.
var asking = strings.Fields("what what's whats how why does do is are can when which where who should")

// wordByWord explains the words of a text one by one, several that belong
// together as one, and leaves numbers and joining words alone; nil when it is
// rather a question.
func wordByWord(r Request, text string) []term.Answer {
	const longest, most = 4, 12
	said := strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' || c == ';' || c == ':' || c == '\n' })
	var found []term.Answer
	known := 0
	for at := 0; at < len(said) && len(found) < most; {
		n := min(longest, len(said)-at)
		for ; n > 0; n-- {
			part := strings.Trim(strings.Join(said[at:at+n], " "), ".")
			if n == 1 {
				part = strings.TrimLeft(part, "0123456789") // "2dc"
				if part == "" || slices.Contains(joining, strings.ToLower(part)) {
					known++
					break
				}
			}
			if a := term.Meanings(part, r.dialect()); len(a) > 0 {
				a[0].Word = part
				found = append(found, a[0])
				known += n
				break
			}
		}
		at += max(1, n)
	}
	if 2*known < len(said) || len(said) > 0 && slices.Contains(asking, strings.ToLower(said[0])) {
		return nil
	}
	return found
}

// wordsReply explains several words.
func wordsReply(r Request, asked string, answers []term.Answer) reply.Reply {
	var items []reply.Field
	var data []any
	seen := map[string]bool{}
	menu := reply.Menu{Label: r.Say("More about one of them")}
	for _, a := range answers {
		if seen[a.Word] {
			continue
		}
		seen[a.Word] = true
		items = append(items, reply.Field{Name: a.Word, Value: firstSentence(r.Say("%s: %s", upperFirst(shortWord(r, a)), meaning(r, a)))})
		data = append(data, answerFigures(a))
		menu.Choices = append(menu.Choices, reply.Button{Label: upperFirst(shortWord(r, a)), Line: termLine(r, a)})
	}
	own := map[string]string{"word": asked}
	return reply.Reply{Title: r.Say("“%s”, word by word (%s terms)", clip(asked, 60), termsName(r.Terms())),
		Parts:   append([]reply.Block{reply.Fields{Items: items}}, partlyEnglish(r.Printer, meanings(answers...)...)...),
		Actions: tappable([]reply.Action{r.switchTerms(own), menu}),
		Data:    map[string]any{"asked": asked, "terms": termsName(r.Terms()), "answers": data}}
}

// firstSentence cuts a text after its first sentence.
func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i >= 0 {
		return text[:i+1]
	}
	return text
}

func answerFigures(a term.Answer) map[string]any {
	if a.Stitch != "" {
		return map[string]any{"stitch": string(a.Stitch), "word": a.Word, "in": a.Tag}
	}
	return map[string]any{"term": a.Term.ID, "word": a.Word, "in": a.Tag}
}

// firstTerms are offered before anything is typed.
var firstTerms = []string{"yo", "sk", "rep", "st", "sts", "rnd", "sp", "tog", "RS", "WS", "beg", "gauge", "*", "[ ]", "( )", "sl st", "inc", "dec",
	"BLO", "turning chain", "ease", "block", "swatch", "MC", "frog"}

// suggestTerms offers words for what is typed, each with what it means.
func suggestTerms(r Request, typed string) []Choice {
	var answers []term.Answer
	if strings.TrimSpace(typed) == "" {
		for _, w := range firstTerms {
			answers = append(answers, term.Explain(w, r.dialect(), 1)...)
		}
	} else {
		answers = term.Explain(typed, r.dialect(), 25)
	}
	var offers []Choice
	for _, a := range answers {
		var label, value string
		if a.Stitch != "" {
			s, _ := stitch.Lookup(a.Stitch)
			value = stitchInLine(s, r.dialect())
			label = shortWord(r, a)
			if a.Tag != r.dialect().String() && a.Tag != "" {
				label = r.Say("%s: %s", label, tagged(lookup.Word{Key: string(a.Stitch), Text: a.Word, Tag: a.Tag}))
			}
		} else {
			value = a.Term.Word(r.dialect())
			label = r.Say("%s: %s", value, r.filled(a.Term.Means))
		}
		offers = append(offers, Choice{Label: shortLabel(label), Value: clip(value, 100)})
	}
	return offers
}

// shortLabel cuts a label to what a choice may hold.
func shortLabel(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		return strings.TrimRight(string(r[:most-1]), " ") + "…"
	}
	return s
}
