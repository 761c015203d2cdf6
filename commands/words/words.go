// Package words says the program's texts in the language of who reads them.
//
// A text is written in English where it is needed; the English is its key in
// the catalogs of folder texts, and what is said where a catalog lacks it:
//
//	r.Say("Put in %d stitches", n)
//
// Verbs are those of fmt. Counts are printed plainly, never grouped, for they
// are what a maker counts on the hook; decimals get the reader's own sign in one
// place, where a reply is finished (Decimals). Translations are our own, from
// memory, and not yet read by makers whose language it is.
package words

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Key is a text in English, with verbs of fmt where values go, and its name in
// the catalogs. Untyped constants become Keys where one is asked for.
type Key string

// Inner is a text that begins a sentence by itself and is said within another:
// with a small letter first, except in German, where a noun keeps its capital.
type Inner Key

// Message is a text that is said later, when its reader's language is known. It
// serves as an error, too. As a string it is English.
type Message struct {
	One  Key // for a count of 1; empty: Key whatever the count
	Key  Key
	N    int // the count; only with One
	Args []any
}

// Say makes a Message.
func Say(key Key, args ...any) Message { return Message{Key: key, Args: args} }

// List makes a Message of texts with commas between.
func List(texts ...string) Message {
	args := make([]any, len(texts))
	for i, t := range texts {
		args[i] = Key(t)
	}
	return Say(Key(strings.TrimSuffix(strings.Repeat("%s, ", len(texts)), ", ")), args...)
}

// Count makes a Message that differs with a count. Both texts have the same
// verbs; the count is the first value, args are those after it.
func Count(n int, one, many Key, args ...any) Message {
	return Message{One: one, Key: many, N: n, Args: append([]any{n}, args...)}
}

// String is the message in English.
func (m Message) String() string { return Printer{}.Of(m) }

// Error is the message in English.
func (m Message) Error() string { return m.String() }

// Printer says texts in one language. The zero Printer speaks English. It is
// safe for concurrent use.
type Printer struct{ language *language }

// Say says a text. Values that are Keys, Inners, Messages, Ordinals, Ons or errors made of
// Messages are said in the printer's language, too. A text without values is said as it
// stands, percent signs and all.
func (p Printer) Say(key Key, args ...any) string {
	return p.print(p.find(key, 0, false), args)
}

// Count says a text that differs with a count. Both texts have the same verbs;
// the count is the first value, args are those after it. The catalog has an
// entry for many, with as many forms as the language needs.
func (p Printer) Count(n int, one, many Key, args ...any) string {
	return p.Of(Count(n, one, many, args...))
}

// Of says a message.
func (p Printer) Of(m Message) string {
	if m.One == "" {
		return p.Say(m.Key, m.Args...)
	}
	format := p.find(m.Key, m.N, true)
	if m.N == 1 && format == string(m.Key) {
		format = string(m.One)
	}
	return p.print(format, m.Args)
}

// Inner says a text within another.
func (p Printer) Inner(key Inner) string {
	text := p.Say(Key(key))
	first, n := utf8.DecodeRuneInString(text)
	if p.Language().Code == "de" && p.Has(Key(key)) || n == 0 {
		return text
	}
	return string(unicode.ToLower(first)) + text[n:]
}

// Tell says an error: in the printer's language if it is a Message, else as
// it stands.
func (p Printer) Tell(err error) string {
	var m Message
	if errors.As(err, &m) {
		return p.Of(m)
	}
	return err.Error()
}

// Called is the name of a command or an option: what the catalog has under the
// first of some names that it has; "" where it has none.
func (p Printer) Called(names ...string) string {
	if p.language != nil {
		for _, name := range names {
			if said := p.language.names[name]; said != "" {
				return said
			}
		}
	}
	return ""
}

// Each says each of some texts.
func (p Printer) Each(keys ...Key) []string {
	said := make([]string, len(keys))
	for i, k := range keys {
		said[i] = p.Say(k)
	}
	return said
}

func (p Printer) print(format string, args []any) string {
	if len(args) == 0 {
		return format
	}
	said := args
	for i, a := range args {
		var text string
		switch a := a.(type) {
		case Key:
			text = p.Say(a)
		case Inner:
			text = p.Inner(a)
		case Message:
			text = p.Of(a)
		case error:
			text = p.Tell(a)
		case On:
			text = p.Date(a.Time, a.Layout)
		case Ordinal:
			text = p.Ordinal(a)
		default:
			continue
		}
		if &said[0] == &args[0] { // the caller's values stay as they are
			said = append([]any(nil), args...)
		}
		said[i] = text
	}
	return fmt.Sprintf(format, said...)
}
