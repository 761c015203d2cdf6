package commands

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// finished is a reply as its reader gets it: it knows its language; commands
// and options have the names that the chat shows in that language, and decimals
// in prose have the language's own sign. Written rows, the lines that buttons
// run, files and figures in machine form stay as they are.
func (s *Set) finished(p words.Printer, c *Command, r reply.Reply) reply.Reply {
	r.Words = p
	if p.English() {
		return r
	}
	f := finisher{s, p}
	r.Title = f.prose(r.Title)
	r.Parts = mapped(r.Parts, f.block)
	r.Actions = mapped(r.Actions, f.action)
	if r.Error != nil {
		r.Error = f.error(c, *r.Error)
	}
	if r.Form != nil {
		form := *r.Form
		form.Title = f.prose(form.Title)
		form.Fields = mapped(form.Fields, func(b reply.Blank) reply.Blank {
			b.Label, b.Hint = f.prose(b.Label), f.prose(b.Hint)
			return b
		})
		r.Form = &form
	}
	return r
}

// finisher writes a reply's texts as readers of a language expect them.
type finisher struct {
	set   *Set
	words words.Printer
}

func mapped[T any](list []T, change func(T) T) []T {
	if list == nil {
		return nil
	}
	changed := make([]T, len(list))
	for i, x := range list {
		changed[i] = change(x)
	}
	return changed
}

func (f finisher) prose(text string) string { return f.words.Decimals(f.paths(text)) }

func (f finisher) block(b reply.Block) reply.Block {
	switch b := b.(type) {
	case reply.Text:
		return reply.Text{Text: f.prose(b.Text)}
	case reply.Caution:
		return reply.Caution{Text: f.prose(b.Text)}
	case reply.Tip:
		return reply.Tip{Text: f.prose(b.Text)}
	case reply.Steps:
		return reply.Steps{Items: mapped(b.Items, f.prose)}
	case reply.List:
		b.Items = mapped(b.Items, f.prose)
		return b
	case reply.Table:
		b.Head = mapped(b.Head, f.prose)
		b.Rows = mapped(b.Rows, func(row []string) []string { return mapped(row, f.prose) })
		return b
	case reply.Fields:
		return reply.Fields{Items: mapped(b.Items, func(i reply.Field) reply.Field {
			return reply.Field{Name: i.Name, Value: f.prose(i.Value)}
		})}
	case reply.Rows:
		b.Lines = mapped(b.Lines, func(line string) string {
			if strings.HasPrefix(line, "/") {
				return f.set.lineIn(f.words, line)
			}
			return line
		})
		return b
	case reply.Picture:
		b.Alt = f.prose(b.Alt)
		return b
	}
	return b
}

func (f finisher) action(a reply.Action) reply.Action {
	button := func(b reply.Button) reply.Button {
		b.Label = f.prose(b.Label)
		return b
	}
	switch a := a.(type) {
	case reply.Button:
		return button(a)
	case reply.Menu:
		a.Choices = mapped(a.Choices, button)
		return a
	}
	return a
}

// error names the option at fault, and writes the example, in the language.
func (f finisher) error(c *Command, e reply.Error) *reply.Error {
	e.Message = f.prose(e.Message)
	if strings.HasPrefix(e.Example, "/") {
		e.Example = f.set.lineIn(f.words, e.Example)
	} else if c != nil && e.Example != "" {
		_, rest, _ := strings.Cut(f.set.lineIn(f.words, "/"+c.Path()+" "+e.Example), "/"+c.PathIn(f.words)+" ")
		if rest != "" {
			e.Example = rest
		}
	}
	if c != nil && e.Option != "" {
		e.Named = c.OptionIn(f.words, e.Option)
	}
	return &e
}

// paths puts the names of commands within a text into the language.
func (f finisher) paths(text string) string {
	var b strings.Builder
	for {
		at := strings.IndexByte(text, '/')
		if at < 0 {
			break
		}
		before, _ := utf8.DecodeLastRuneInString(text[:at])
		b.WriteString(text[:at])
		text = text[at:]
		c := f.set.named(text[1:])
		if c == nil || at > 0 && !unicode.IsSpace(before) && !strings.ContainsRune("(“„«‘", before) {
			b.WriteByte('/')
			text = text[1:]
			continue
		}
		b.WriteString("/" + c.PathIn(f.words))
		text = text[1+len(c.Path()):]
		end := strings.IndexAny(text, "/\n")
		if end < 0 {
			end = len(text)
		}
		b.WriteString(f.options(c, text[:end]))
		text = text[end:]
	}
	if b.Len() == 0 {
		return text
	}
	return b.String() + text
}

// options puts the names of a command's options into the language, where they
// stand before a colon.
func (f finisher) options(c *Command, text string) string {
	fields := strings.SplitAfter(text, " ")
	for i, word := range fields {
		name, value, found := strings.Cut(word, ":")
		if _, known := c.Option(name); found && known && strings.TrimSpace(value) != "" {
			fields[i] = c.OptionIn(f.words, name) + ":" + value
		}
	}
	return strings.Join(fields, "")
}

// named is the command, or the family, whose English name a text starts with;
// nil where it starts with none.
func (s *Set) named(text string) *Command {
	starts := func(c *Command) bool {
		rest, ok := strings.CutPrefix(text, c.Path())
		next, _ := utf8.DecodeRuneInString(rest)
		return ok && !unicode.IsLetter(next) && next != '/'
	}
	for _, c := range s.Commands {
		if i := slices.IndexFunc(c.Sub, starts); i >= 0 {
			return c.Sub[i]
		}
		if starts(c) {
			return c
		}
	}
	return nil
}
