package commands

import (
	"regexp"
	"strings"

	"countwright/commands/words"
)

// blank is a place in a step of finishing that a count is filled into.
var blank = regexp.MustCompile(`\{[^}]*\}`)

// finishing is the steps after the rows, in the member's language.
func (a *resized) finishing() []string {
	raw := a.garment.Pattern.Finishing
	steps := make([]string, len(a.garment.Finishing))
	for i, filled := range a.garment.Finishing {
		steps[i] = stepIn(a.r.Printer, raw[i], filled)
	}
	return steps
}

// stepIn says a step whose blanks were filled: the raw text is its key, and the
// counts go where the translation has the same blanks.
func stepIn(p words.Printer, raw, filled string) string {
	said := p.Say(words.Key(raw))
	if said == raw {
		return filled
	}
	between := blank.Split(raw, -1)
	rest := strings.TrimPrefix(filled, between[0])
	for i, name := range blank.FindAllString(raw, -1) {
		count := rest
		if end := between[i+1]; end != "" {
			count, rest, _ = strings.Cut(rest, end)
		}
		said = strings.ReplaceAll(said, name, count)
	}
	return said
}
