package commands

import (
	"fmt"
	"hash/fnv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/commands/words"
)

// Settings are what a member has told about herself. The zero value is a
// member who has not: centimetres, US terms.
type Settings struct {
	Units measure.Unit
	Terms notation.Terms // US or UK; TermsUnsaid reads as US
	Zone  string         // an IANA time zone; empty: the server's or UTC
	Level string         // beginner, maker or host; empty: beginner
	// Language is a code of words.Languages; empty: that of the asking.
	Language string
}

// Member is who asks.
type Member struct {
	ID   string // the service's own, never shown
	Name string // as the service shows it; a member's text: surfaces escape it
}

// Call is what a surface received, before any option was read.
type Call struct {
	ID      string // unique to this asking; the same one delivered twice is one
	Path    string // "even shape"
	Inputs  map[string]Input
	Member  Member
	Server  string // empty in a direct message
	Channel string
	Host    bool // may do what hosts may
	Now     time.Time
	Locale  string // as the service states it, "en-GB"; may be empty
	// ServerLocale is the server's own; what others read is told in it.
	ServerLocale string
}

// legible is the call with texts that every place can hold and show: what is no
// text (control characters, broken bytes) never gets further than this.
func (c Call) legible() Call {
	c.Member.Name = legible(c.Member.Name)
	inputs := make(map[string]Input, len(c.Inputs))
	for name, in := range c.Inputs {
		in.Text = legible(in.Text)
		if in.File != nil {
			file := *in.File
			file.Name = legible(file.Name)
			in.File = &file
		}
		inputs[name] = in
	}
	c.Inputs = inputs
	return c
}

func legible(text string) string {
	if utf8.ValidString(text) && !strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }) {
		return text
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(text, string(utf8.RuneError)))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', !unicode.IsControl(r):
			return r
		case unicode.IsSpace(r):
			return ' '
		}
		return -1
	}, text)
}

// Reference is short and stands for one asking: in the log, and where a member
// is told that something went wrong.
func (c Call) Reference() string {
	h := fnv.New32a()
	if c.ID != "" {
		fmt.Fprint(h, c.ID)
	} else {
		fmt.Fprint(h, c.Now.UnixNano(), c.Path)
	}
	return fmt.Sprintf("%08x", h.Sum32())
}

// Request is a Call whose options were read and found good.
type Request struct {
	Call
	words.Printer // says texts in the language of the answer
	Settings      Settings
	command       *Command
	values        map[string]any
}

// printer says texts to whoever calls: in the language that she chose, else her
// client's, else the server's.
func (c Call) printer(s Settings) words.Printer {
	return words.For(s.Language, c.Locale, c.ServerLocale)
}

// value returns a read option. Asking for one that the command does not list
// is a fault of the program, found by the test that runs every example.
func (r Request) value(name string) (any, bool) {
	if _, listed := r.command.Option(name); !listed {
		panic(fmt.Sprintf("command %q reads option %q, which it does not list", r.command.Path(), name))
	}
	v, given := r.values[name]
	return v, given
}

// Terms are the terms that the answer uses.
func (r Request) Terms() notation.Terms {
	if r.Settings.Terms == notation.UK {
		return notation.UK
	}
	return notation.US
}
