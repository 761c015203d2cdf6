package commands

import (
	"strings"

	"countwright/commands/words"
)

// either is the choice between some things: "4 mm or 5 mm".
func either(things ...any) words.Message {
	switch len(things) {
	case 0:
		return words.Message{}
	case 1:
		return words.Say("%s", things[0])
	}
	return words.Say("%s or %s", things[0], either(things[1:]...))
}

// sentences are whole ones, one after the other. Empty ones are left out.
func sentences(p words.Printer, list ...words.Message) string {
	var said []string
	for _, m := range list {
		if m.Key != "" {
			said = append(said, p.Of(m))
		}
	}
	return strings.Join(said, " ")
}

// listing is some things one after the other: "hat, mitts, socks".
func listing(things ...any) words.Message {
	return words.Say(words.Key(strings.TrimSuffix(strings.Repeat("%s, ", len(things)), ", ")), things...)
}

func asArgs(keys []words.Key) []any {
	args := make([]any, len(keys))
	for i, k := range keys {
		args[i] = k
	}
	return args
}

// within is a sentence that follows a colon. German keeps its capital there, for
// it may be that of a noun.
func within(p words.Printer, sentence words.Key) string {
	if p.Language().Code == "de" {
		return p.Say(sentence)
	}
	return lowerFirst(p.Say(sentence))
}

// meant is the English of a name that a member wrote in the printer's language,
// where it is one of some; else what she wrote.
func meant(p words.Printer, wrote string, names []words.Key) string {
	if p.English() {
		return wrote
	}
	for _, name := range names {
		if strings.EqualFold(strings.TrimSpace(wrote), p.Say(name)) {
			return string(name)
		}
	}
	return wrote
}
