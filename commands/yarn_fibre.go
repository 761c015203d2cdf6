package commands

import (
	"strings"
	"sync"

	"countwright/calc/care"
	"countwright/commands/words"
)

// fibreWords is the English name of each fibre by its names in every language
// of ours, in small letters.
var fibreWords = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	for _, l := range words.Languages[1:] {
		for _, name := range fibreNames() {
			all[strings.ToLower(words.For(l.Code).Say(name))] = string(name)
		}
	}
	return all
})

// englishFibres puts English names of fibres in the place of those that a text
// has in another language: "DK Baumwolle" is "DK cotton".
func englishFibres(text string) string {
	list := strings.Fields(text)
	var out []string
	for at := 0; at < len(list); {
		name, taken := fibreStarting(list[at:])
		out, at = append(out, name), at+taken
	}
	return strings.Join(out, " ")
}

// fibreStarting is the English of the fibre that the first words name, and how
// many they are; the first word as it is where they name none.
func fibreStarting(list []string) (name string, taken int) {
	for n := min(2, len(list)); n > 0; n-- {
		written := strings.Join(list[:n], " ")
		bare := strings.TrimRight(written, ",;")
		if english, ok := fibreWords()[strings.ToLower(bare)]; ok {
			return english + written[len(bare):], n
		}
	}
	return list[0], 1
}

func fibreNames() []words.Key {
	var names []words.Key
	for _, f := range care.Fibres() {
		names = append(names, words.Key(f.Name))
	}
	return names
}
