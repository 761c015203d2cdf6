package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// RunLine answers a command line. The call says who asks, where and when; its
// path comes from the line, and its inputs are the line's and those already in
// it (a form's fields, a file), which win.
func (s *Set) RunLine(ctx context.Context, call Call, line string) reply.Reply {
	path, inputs, err := s.Parse(ctx, call, line)
	call.Path = path
	if err != nil {
		return s.Fail(path, call, err)
	}
	for name, in := range call.Inputs {
		inputs[name] = in
	}
	call.Inputs = inputs
	return s.Run(ctx, call)
}

// Parse reads a line as ParseLine does. Commands and options may also have the
// names that they have in the language of who asks.
func (s *Set) Parse(ctx context.Context, call Call, line string) (path string, inputs map[string]Input, err error) {
	settings, err := s.services.settings(ctx, call.Member)
	if err != nil {
		return "", nil, fmt.Errorf("read settings: %w", err)
	}
	return parsed(lineReader{s, call.printer(settings)}, line)
}

// ParseLine reads a command line such as
//
//	/gauge swatch width:42 1/2 in name:"my best, so far"
//
// An unquoted value runs to the next word that is one of the command's options
// with a colon. A quoted one may hold anything, new lines too; \" \\ and \n
// stand for a quote, a backslash and a new line. Every error is a Mistake; the
// path is returned with it where it was understood.
func ParseLine(line string, set *Set) (path string, inputs map[string]Input, err error) {
	return parsed(lineReader{set: set}, line)
}

// lineReader reads lines whose names are English or in another language.
type lineReader struct {
	set   *Set
	names words.Printer
}

// part is one option of a line.
type part struct {
	spec  Spec
	value string
	raw   string // the value as it was written
}

func parsed(in lineReader, line string) (path string, inputs map[string]Input, err error) {
	c, parts, err := in.parts(line)
	if c != nil {
		path = c.Path()
	}
	if err != nil {
		return path, nil, err
	}
	inputs = map[string]Input{}
	for _, p := range parts {
		inputs[p.spec.Name] = Input{Text: p.value}
	}
	return path, inputs, nil
}

// parts reads a line's options in their order. The command is returned with an
// error where it was understood.
func (l lineReader) parts(line string) (*Command, []part, error) {
	c, rest, err := l.command(strings.TrimSpace(line))
	if err != nil {
		return nil, nil, err
	}
	var parts []part
	for rest != "" {
		name, ok := leadingName(rest)
		if !ok {
			return c, nil, &Mistake{Message: "options are written name:value, and %q is not", Args: []any{shorten(rest)}}
		}
		o, known := l.option(c, name)
		if !known {
			return c, nil, unknownOption(l.names, c, name)
		}
		spec := o.Spec()
		if slices.ContainsFunc(parts, func(p part) bool { return p.spec.Name == spec.Name }) {
			return c, nil, &Mistake{Option: spec.Name, Message: "it is given twice"}
		}
		from := strings.TrimLeftFunc(rest[len(name)+1:], unicode.IsSpace)
		var value string
		value, rest, err = l.value(c, spec, from)
		if err != nil {
			return c, nil, err
		}
		parts = append(parts, part{spec, value, strings.TrimSpace(from[:len(from)-len(rest)])})
	}
	return c, parts, nil
}

// option finds an option by its English name or that of the reader's language.
func (l lineReader) option(c *Command, name string) (Option, bool) {
	name = strings.ToLower(name)
	if o, known := c.Option(name); known {
		return o, true
	}
	for _, o := range c.Options {
		if !l.names.English() && c.OptionIn(l.names, o.Spec().Name) == name {
			return o, true
		}
	}
	return nil, false
}

// lineIn writes a line that ParseLine reads with the names of a language; one
// that it can't read stays as it is.
func (s *Set) lineIn(p words.Printer, line string) string {
	c, parts, err := lineReader{set: s}.parts(line)
	if err != nil {
		return line
	}
	said := "/" + c.PathIn(p)
	for _, o := range parts {
		said += " " + c.OptionIn(p, o.spec.Name) + ":" + o.raw
	}
	return said
}

// Line writes the line that ParseLine reads as this path and these inputs, the
// options in alphabetical order and quoted only where needed. A file can't be
// written in a line and is left out.
func Line(path string, inputs map[string]Input) string {
	var b strings.Builder
	b.WriteString("/" + path)
	names := make([]string, 0, len(inputs))
	for name, in := range inputs {
		if in.File == nil {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		b.WriteString(" " + name + ":" + quoted(inputs[name].Text))
	}
	return b.String()
}

// command finds the command at the start of a line and what follows it.
func (l lineReader) command(line string) (*Command, string, error) {
	first, rest := cutWord(strings.TrimPrefix(line, "/"))
	first = strings.ToLower(first)
	if first == "" {
		return nil, "", Mistaken("/help", "the line is empty; it starts with a command")
	}
	for _, c := range l.set.Commands {
		if first != c.Name && first != c.NameIn(l.names) {
			continue
		}
		if len(c.Sub) == 0 {
			return c, rest, nil
		}
		second, rest := cutWord(rest)
		for _, sub := range c.Sub {
			if name := strings.ToLower(second); name == sub.Name || name == sub.NameIn(l.names) {
				return sub, rest, nil
			}
		}
		return nil, "", unknownSub(l.names, c, second)
	}
	return nil, "", l.set.unknown(first)
}

func unknownSub(said words.Printer, family *Command, typed string) error {
	var names, own []string
	for _, sub := range family.Sub {
		names, own = append(names, sub.Name), append(own, sub.NameIn(said))
	}
	example := "/" + family.Name + " " + names[0]
	if near := nearest(strings.ToLower(typed), names); near != "" && typed != "" {
		example = "/" + family.Name + " " + near
	}
	for _, sub := range family.Sub {
		if example == "/"+sub.Path() && len(sub.Examples) > 0 {
			example = sub.Examples[0]
		}
	}
	if typed == "" || strings.Contains(typed, ":") {
		return Mistaken(example, "/%s is a family; say which: %s", family.Name, strings.Join(own, ", "))
	}
	return Mistaken(example, "there is no /%s %s; there is %s", family.Name, typed, strings.Join(own, ", "))
}

// value reads one value and returns what follows it.
func (l lineReader) value(c *Command, spec Spec, s string) (value, rest string, err error) {
	if closing, n := quote(s); n > 0 {
		value, rest, ok := cutQuoted(s[n:], closing)
		if !ok {
			return "", "", &Mistake{Option: spec.Name, Message: "the quote before its value is never closed", Example: spec.Name + `:"two words"`}
		}
		return value, rest, nil
	}
	for at := 0; at < len(s); {
		if at == 0 || startsWord(s, at) {
			if name, ok := leadingName(s[at:]); ok {
				if _, known := l.option(c, name); known {
					return strings.TrimRightFunc(s[:at], unicode.IsSpace), s[at:], nil
				}
				if at > 0 && misspelt(c, spec, name) {
					return "", "", unknownOption(l.names, c, name)
				}
			}
		}
		_, size := utf8.DecodeRuneInString(s[at:])
		at += size
	}
	return strings.TrimRightFunc(s, unicode.IsSpace), "", nil
}

// misspelt reports whether a word with a colon inside the value of an option
// was rather meant as another option. A long text may hold such words.
func misspelt(c *Command, within Spec, word string) bool {
	if within.Kind != Text || len(within.Choices) > 0 {
		return true
	}
	if within.Length > 200 || len(word) < 3 {
		return false
	}
	return nearestOption(c, word) != ""
}

func nearestOption(c *Command, typed string) string {
	names := make([]string, 0, len(c.Options))
	for _, o := range c.Options {
		names = append(names, o.Spec().Name)
	}
	return nearest(strings.ToLower(typed), names)
}

// leadingName returns the name that s starts with when a colon follows it.
func leadingName(s string) (string, bool) {
	for i, r := range s {
		switch {
		case r == ':':
			return s[:i], i > 0
		case r != '-' && r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r):
			return "", false
		}
	}
	return "", false
}

func startsWord(s string, at int) bool {
	r, _ := utf8.DecodeLastRuneInString(s[:at])
	return unicode.IsSpace(r)
}

func cutWord(s string) (word, rest string) {
	i := strings.IndexFunc(s, unicode.IsSpace)
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimLeftFunc(s[i:], unicode.IsSpace)
}

// quote returns what closes the quote that s starts with, and its length in
// bytes; phones put typographic quotes in place of plain ones.
func quote(s string) (closing string, length int) {
	r, n := utf8.DecodeRuneInString(s)
	switch r {
	case '"':
		return `"`, n
	case '“':
		return "”", n
	case '„':
		return "“”", n
	}
	return "", 0
}

// cutQuoted reads up to the closing quote and skips the space after it.
func cutQuoted(s, closing string) (value, rest string, ok bool) {
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if strings.ContainsRune(closing, r) {
			return b.String(), strings.TrimLeftFunc(s[i+size:], unicode.IsSpace), true
		}
		if r == '\\' && i+1 < len(s) {
			if plain := strings.IndexByte(`"\n`, s[i+1]); plain >= 0 {
				b.WriteByte("\"\\\n"[plain])
				i += 2
				continue
			}
		}
		b.WriteString(s[i : i+size])
		i += size
	}
	return "", "", false
}

var lineEscapes = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`)

// quoted writes a value so that it is read back the same whatever options its
// command has.
func quoted(value string) string {
	_, opens := quote(value)
	plain := value != "" && opens == 0 && strings.TrimSpace(value) == value && !strings.ContainsAny(value, "\n\r")
	for at := 0; plain && at < len(value); at++ {
		if at == 0 || startsWord(value, at) {
			if _, named := leadingName(value[at:]); named {
				plain = false
			}
		}
	}
	if plain {
		return value
	}
	return `"` + lineEscapes.Replace(value) + `"`
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return s
}

// Unfinished reports whether a quoted value is still open where the text ends,
// so that a terminal can read on.
func Unfinished(text string) bool {
	for at := 0; at < len(text); at++ {
		if at > 0 && !startsWord(text, at) {
			continue
		}
		name, named := leadingName(text[at:])
		if !named {
			continue
		}
		value := strings.TrimLeftFunc(text[at+len(name)+1:], unicode.IsSpace)
		closing, n := quote(value)
		if n == 0 {
			continue
		}
		_, rest, closed := cutQuoted(value[n:], closing)
		if !closed {
			return true
		}
		at = len(text) - len(rest) - 1
	}
	return false
}
