package commands

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/commands/words"
)

// mostHostText is how long a host's own text may be, in characters, both as
// she writes it and with its placeholders filled in.
const mostHostText = 1000

// placeholder is a word in braces that a host's own text may hold.
type placeholder struct {
	name  string
	means words.Key
	fill  func(m MakeAlong, milestone int) string
}

// placeholders is the closed list of them. A post that belongs to no milestone
// takes the first; after the last milestone comes the farewell.
var placeholders = []placeholder{
	{"group", "the make-along's name", func(m MakeAlong, _ int) string { return m.Name }},
	{"pattern", "what is made", func(m MakeAlong, _ int) string { return m.Course.title(m.printer()) }},
	{"milestone", "the milestone's title", func(m MakeAlong, i int) string { return m.Course.Milestones[i].Title }},
	{"number", "which milestone it is: 2 of 6", func(m MakeAlong, i int) string {
		return m.printer().Say("%d of %d", i+1, len(m.Course.Milestones))
	}},
	{"date", "the milestone's date", func(m MakeAlong, i int) string { return longDate(m.printer(), m.Course.Milestones[i].Date) }},
	{"next", "the milestone after it, with its date", func(m MakeAlong, i int) string {
		if i+1 >= len(m.Course.Milestones) {
			return m.printer().Say("the farewell")
		}
		next := m.Course.Milestones[i+1]
		return fmt.Sprintf("%s (%s)", next.Title, longDate(m.printer(), next.Date))
	}},
}

// placeholderList names all placeholders in a line.
func placeholderList() string {
	names := make([]string, len(placeholders))
	for i, p := range placeholders {
		names[i] = "{" + p.name + "}"
	}
	return strings.Join(names, " ")
}

// placeholderHelp tells what each placeholder stands for.
func placeholderHelp(said words.Printer) []string {
	var items []string
	for _, p := range placeholders {
		items = append(items, "{"+p.name+"}: "+said.Say(p.means))
	}
	return items
}

// checkHostText reports what keeps a text of a host's own from standing in the
// post: an unknown placeholder or an open brace, with its place, or its length.
// Callers say of which option it is.
func checkHostText(m MakeAlong, p Post, text string) error {
	if n := utf8.RuneCountInString(text); n > mostHostText {
		return words.Say("it has %d characters; %d are allowed", n, mostHostText)
	}
	filled, err := fillPlaceholders(m, p.Milestone, text)
	if err != nil {
		return err
	}
	if strings.TrimFunc(filled, func(r rune) bool { return !unicode.IsGraphic(r) || unicode.IsSpace(r) }) == "" {
		return words.Say("it says nothing")
	}
	if n := utf8.RuneCountInString(filled); n > mostHostText {
		return words.Say("with its placeholders filled in it has %d characters; %d are allowed", n, mostHostText)
	}
	return nil
}

// fillHostText is a checked text with its placeholders filled in. What does
// not fit the make-along any more stays as it was written. It is a member's
// text: surfaces escape it, so that it pings nobody and is no markup.
func fillHostText(m MakeAlong, p Post, text string) string {
	filled, err := fillPlaceholders(m, p.Milestone, text)
	if err != nil {
		return text
	}
	return filled
}

func fillPlaceholders(m MakeAlong, milestone int, text string) (string, error) {
	milestone = min(max(milestone, 0), len(m.Course.Milestones)-1)
	var b strings.Builder
	for at := 0; at < len(text); {
		open := strings.IndexByte(text[at:], '{')
		if open < 0 {
			b.WriteString(text[at:])
			break
		}
		b.WriteString(text[at : at+open])
		at += open
		length := strings.IndexAny(text[at+1:], "{}\n")
		if length < 0 || text[at+1+length] != '}' {
			return "", words.Say("the brace %s is not closed; placeholders are %s", placeIn(text, at), placeholderList())
		}
		name := text[at+1 : at+1+length]
		p, ok := placeholderNamed(name)
		if !ok {
			return "", words.Say("{%s} %s is no placeholder; there are %s", clip(name, 40), placeIn(text, at), placeholderList())
		}
		if milestone < 0 && p.name != "group" && p.name != "pattern" {
			return "", words.Say("{%s} %s stands for nothing, for there is no milestone yet", p.name, placeIn(text, at))
		}
		b.WriteString(p.fill(m, milestone))
		at += len(name) + 2
	}
	return b.String(), nil
}

func placeholderNamed(name string) (placeholder, bool) {
	for _, p := range placeholders {
		if strings.EqualFold(p.name, strings.TrimSpace(name)) {
			return p, true
		}
	}
	return placeholder{}, false
}

// placeIn says where a byte of a text is, as a reader finds it.
func placeIn(text string, at int) words.Message {
	before := text[:at]
	line := strings.Count(before, "\n") + 1
	column := utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
	if !strings.Contains(text, "\n") {
		return words.Say("at character %d", column)
	}
	return words.Say("in line %d, at character %d", line, column)
}

// mostMarks is how many marks may stand on one letter. Source: UTS #39, Unicode
// Security Mechanisms, 5.4.
const mostMarks = 4

// harmless makes a text fit for a place where no surface escapes it: a
// server's scheduled event. Nothing in it mentions or links anybody, and what
// a reader can't see is dropped.
func harmless(text string) string {
	var b strings.Builder
	marks := 0
	for _, r := range strings.ReplaceAll(text, "\r\n", "\n") {
		switch {
		case r == '\n':
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case r == utf8.RuneError, unicode.IsControl(r), unicode.In(r, unicode.Cf, unicode.Co):
		case unicode.In(r, unicode.Mn, unicode.Me):
			if marks++; marks <= mostMarks {
				b.WriteRune(r)
			}
		case r == '@', r == '<':
			b.WriteString(string(r) + "\u2060") // a joiner without width: no name follows the sign
		default:
			marks = 0
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(b.String())
}
