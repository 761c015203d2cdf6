package commands

import (
	"slices"

	"countwright/calc/term"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// rowsInEnglish says to who reads another language that the rows below stand in
// English abbreviations, as patterns are written the world over.
func rowsInEnglish(p words.Printer) []reply.Block {
	if p.English() {
		return nil
	}
	return []reply.Block{reply.Text{Text: p.Say("The rows below stand in English abbreviations, as patterns are written. /stitch and /term explain them.")}}
}

// partlyEnglish says to who reads another language that some of a reply's texts
// are still in English; nothing where all of them are translated.
func partlyEnglish(p words.Printer, texts ...words.Key) []reply.Block {
	if !slices.ContainsFunc(texts, func(k words.Key) bool { return k != "" && !p.Has(k) }) {
		return nil
	}
	return stillEnglish(p)
}

// stillEnglish says to who reads another language that some of a reply is in
// English, where its texts are made as they are needed and can't be asked for.
func stillEnglish(p words.Printer) []reply.Block {
	if p.English() {
		return nil
	}
	return []reply.Block{reply.Text{Text: p.Say("Part of this explanation is in English: nobody has translated it yet.")}}
}

// filled says a text of the dictionaries in the member's language, with the
// stitches and terms that it names in braces in her terms.
func (r Request) filled(text string) string {
	key := words.Key(text)
	if r.English() || !r.Has(key) {
		return term.Say(text, r.dialect())
	}
	return term.Fill(r.Say(key), r.dialect())
}

// keysOf are texts as the catalogs know them.
func keysOf(texts ...string) []words.Key {
	keys := make([]words.Key, len(texts))
	for i, t := range texts {
		keys[i] = words.Key(t)
	}
	return keys
}
