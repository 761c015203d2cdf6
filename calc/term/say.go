package term

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/stitch"
)

// Say fills the words of a dialect into a text. A text names stitches and
// terms in braces: {dc} is the abbreviation, {dc:name} the full name,
// {dc:names} its plural, {gauge} the word for a term; a capital letter asks
// for one: {Dc:name}, {Gauge}. What it does not know it leaves as it stands;
// CheckText finds such places beforehand.
func Say(text string, d stitch.Dialect) string {
	said := Fill(text, d)
	if d == stitch.UK {
		said = american.ReplaceAllStringFunc(said, func(word string) string {
			for us, uk := range spelling {
				if i := strings.Index(strings.ToLower(word), us); i >= 0 {
					return word[:i] + word[i:i+1] + uk[1:] + word[i+len(us):]
				}
			}
			return word
		})
	}
	return said
}

// Fill is Say for a text in another language than English: it leaves the
// spelling of the other words alone.
func Fill(text string, d stitch.Dialect) string {
	said, _ := glossary().fill(text, d)
	return said
}

// Texts are written in American spelling; UK terms go with British spelling.
var (
	american = regexp.MustCompile(`(?i)\b(color|center|fiber|meter|centimeter|millimeter|mercerized)(s|ed|ing)?\b`)
	spelling = map[string]string{"color": "colour", "center": "centre", "fiber": "fibre", "meter": "metre", "mercerized": "mercerised"}
)

// CheckText reports a brace that does not close or names nothing.
func CheckText(text string) error { return glossary().check(text) }

func (b *book) check(text string) error {
	_, err := b.fill(text, stitch.US)
	return err
}

// fill replaces every pair of braces; the error is about the first that it
// could not.
func (b *book) fill(text string, d stitch.Dialect) (string, error) {
	var out strings.Builder
	var wrong error
	for {
		open := strings.IndexByte(text, '{')
		if open < 0 {
			break
		}
		end := strings.IndexByte(text[open:], '}')
		if end < 0 {
			wrong = fmt.Errorf("a brace does not close: %q", text[open:])
			break
		}
		end += open
		out.WriteString(text[:open])
		word, ok := b.word(text[open+1:end], d)
		if !ok {
			word = text[open : end+1]
			if wrong == nil {
				wrong = fmt.Errorf("%s is neither a stitch nor a term", word)
			}
		}
		out.WriteString(word)
		text = text[end+1:]
	}
	out.WriteString(text)
	return out.String(), wrong
}

// word returns what stands for the inside of a pair of braces.
func (b *book) word(inside string, d stitch.Dialect) (string, bool) {
	id, form, _ := strings.Cut(inside, ":")
	first, size := utf8.DecodeRuneInString(id)
	capital := unicode.IsUpper(first)
	id = string(unicode.ToLower(first)) + id[size:]
	var word string
	if i, ok := b.byID[id]; ok && form == "" {
		word = b.terms[i].Word(d)
	} else if s, ok := stitch.Lookup(stitch.ID(id)); ok {
		switch form {
		case "":
			word = s.In(d).Short()
		case "name":
			word = s.In(d).Name
		case "names":
			word = plural(s.In(d).Name)
		default:
			return "", false
		}
	} else {
		return "", false
	}
	if capital {
		first, size := utf8.DecodeRuneInString(word)
		word = string(unicode.ToUpper(first)) + word[size:]
	}
	return word, true
}

// plural makes the plural of a stitch's name.
func plural(name string) string {
	if strings.HasSuffix(name, "ch") || strings.HasSuffix(name, "s") {
		return name + "es"
	}
	return name + "s"
}
