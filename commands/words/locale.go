package words

import (
	tags "golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// Language is one that replies are told in.
type Language struct {
	Code string // as the chat service writes it, "es-ES"
	Own  string // its name in itself, "español"
	Tag  tags.Tag
}

// Languages are all that replies are told in. The first is the one in which
// texts are written.
var Languages = []Language{
	{"en", "English", tags.English},
	{"de", "Deutsch", tags.German},
	{"nl", "Nederlands", tags.Dutch},
	{"es-ES", "español", tags.EuropeanSpanish},
	{"es-419", "español de América", tags.LatinAmericanSpanish},
}

// For returns the printer for the first of some locales, as BCP 47 writes them,
// that is in one of our languages; English where none is. Only the language
// itself counts, never one that is merely near: what matches Ukrainian with
// Russian serves nobody.
func For(locales ...string) Printer {
	for _, locale := range locales {
		if code, ok := codeOf(locale); ok {
			return Printer{catalogs()[code]}
		}
	}
	return Printer{}
}

// codeOf is the code of the language of ours that a locale is in.
func codeOf(locale string) (string, bool) {
	if locale == "" {
		return "", false
	}
	tag, err := tags.Parse(locale)
	if err != nil {
		return "", false
	}
	base, sure := tag.Base()
	if sure < tags.Exact {
		return "", false
	}
	switch base.String() {
	case "en", "de", "nl":
		return base.String(), true
	case "es":
		if region, sure := tag.Region(); sure == tags.Exact && region.String() != "ES" {
			return "es-419", true
		}
		return "es-ES", true
	}
	return "", false
}

// Language is the language that the printer speaks.
func (p Printer) Language() Language {
	if p.language == nil {
		return Languages[0]
	}
	return p.language.Language
}

// English reports whether the printer speaks English.
func (p Printer) English() bool { return p.language == nil }

// comma reports whether a language writes a comma before decimals.
func comma(tag tags.Tag) bool {
	return message.NewPrinter(tag).Sprint(number.Decimal(1.5)) == "1,5"
}
