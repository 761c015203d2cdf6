package commands

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"countwright/calc/notation"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// Limits of a text of rows.
const (
	mostTyped = 4000     // characters in a form or a line
	mostFile  = 64 << 10 // bytes of a file
)

// justChecked names the text that a member checked last.
const justChecked = "just checked"

// written is a text of rows as it came in.
type written struct {
	text  string
	name  string        // of the file or the kept pattern; empty: typed
	file  bool          // a pattern file, not rows
	saved *SavedPattern // the kept pattern; nil: none
}

// textOptions are the three ways to give a text of rows.
type textOptions struct {
	services Services
	text     *Opt[string]
	file     *Opt[*Attachment]
	name     *Opt[string]
}

func newTextOptions(s Services) textOptions {
	return textOptions{
		services: s,
		text:     Words("text", "The rows; leave it out and I open a form for them", mostTyped).Like(`"Row 1: sc in 2nd ch from hook and in each ch across (16 sts)"`),
		file:     Upload("file", "A file with the rows: .txt, .md or .toml, up to 64 KB", mostFile, ".txt", ".md", ".toml"),
		name:     keptNamed(s, "name", "A pattern kept here, or: just checked"),
	}
}

// keptNamed declares an option that names a kept pattern, with those of the
// server offered while the member types.
func keptNamed(s Services, name, short string) *Opt[string] {
	return Words(name, short, 60).Like("spring hat").Suggest(func(ctx context.Context, r Request, typed string) []Choice {
		var offers []Choice
		offer := func(name, label string) {
			if strings.Contains(strings.ToLower(name), strings.ToLower(strings.TrimSpace(typed))) {
				offers = append(offers, Choice{Label: clip(label, 100), Value: name})
			}
		}
		for _, p := range keptHere(ctx, s, r) {
			label := p.Name
			if p.Title != "" && !strings.EqualFold(p.Title, p.Name) {
				label = r.Say("%s: %s", p.Name, p.Title)
			}
			if p.Draft {
				label = r.Say("%s (draft)", label)
			}
			offer(p.Name, label)
		}
		if _, ok := s.checked.of(r.Member.ID); ok {
			offer(justChecked, r.Say("%s: the text you checked last", justChecked))
		}
		return offers
	})
}

// keptHere lists the patterns of the server; none in a direct message.
func keptHere(ctx context.Context, s Services, r Request) []SavedPattern {
	if r.Server == "" || s.Patterns == nil {
		return nil
	}
	list, err := s.Patterns.List(ctx, r.Server, "")
	if err != nil {
		return nil
	}
	return list
}

// read returns the text that a request gives. Where it gives none, ask is the
// form that asks for it.
func (o textOptions) read(ctx context.Context, r Request, form words.Key) (t written, ask *reply.Form, err error) {
	if !o.name.Given(r) {
		return o.readHere(ctx, r, form)
	}
	if o.text.Given(r) || o.file.Given(r) {
		return t, nil, Mistaken("", "give the rows once: as text, as a file, or by the name of a kept pattern")
	}
	t, err = findKept(ctx, o.services, r, o.name.spec.Name, o.name.Of(r), "")
	return t, nil, err
}

// readHere is read for a command whose name option says something else.
func (o textOptions) readHere(ctx context.Context, r Request, form words.Key, more ...reply.Blank) (t written, ask *reply.Form, err error) {
	switch {
	case o.text.Given(r) && o.file.Given(r):
		return t, nil, Mistaken("", "give the rows once: as text or as a file")
	case o.file.Given(r):
		t, err = o.load(ctx, o.file.Of(r))
		return t, nil, err
	case o.text.Given(r):
		return written{text: newLines(o.text.Of(r))}, nil, nil
	}
	ask, err = o.form(r, form, more...)
	return t, ask, err
}

// newLines breaks a text that was typed on one line where it says so, as
// chat lines can't hold a break.
func newLines(text string) string { return strings.ReplaceAll(text, `\n`, "\n") }

// mostAsked is the longest line that a form can carry, in bytes.
const mostAsked = 90

// form asks for the rows, and for what else is asked along with them. A line
// that is too long to be carried by a form is a mistake.
func (o textOptions) form(r Request, title words.Key, more ...reply.Blank) (*reply.Form, error) {
	f := &reply.Form{Title: r.Say(title), Line: Line(r.Path, r.Inputs), Fields: []reply.Blank{{
		Option: o.text.spec.Name, Label: r.Say("The rows, as they are written"), Long: true, Required: true, Most: mostTyped,
		Hint: strings.Trim(o.text.spec.Example, `"`),
	}}}
	if len(f.Line) > mostAsked {
		return nil, &Mistake{Option: o.text.spec.Name, Message: "the line is too long already for me to open a form; give the rows in it, or attach them as a file", Example: o.text.spec.Name + ":" + o.text.spec.Example}
	}
	for _, b := range more {
		if _, given := r.Inputs[b.Option]; !given {
			f.Fields = append(f.Fields, b)
		}
	}
	return f, nil
}

// load reads a file. A text is taken as UTF-8, as UTF-16 where its mark says
// so, and as the old Windows encoding where it can be neither.
func (o textOptions) load(ctx context.Context, a *Attachment) (written, error) {
	body, err := a.Load(ctx)
	if err != nil {
		return written{}, fmt.Errorf("load %s: %w", a.Name, err)
	}
	if len(body) > mostFile {
		return written{}, o.file.Blame(words.Say("the file has %d KB; %d KB are allowed", (len(body)+1023)/1024, mostFile/1024))
	}
	text := decoded(body)
	if strings.ContainsRune(text, 0) {
		return written{}, o.file.Blame(words.Say("%s is no text; save the rows as plain text (.txt)", a.Name))
	}
	if strings.TrimSpace(text) == "" {
		return written{}, o.file.Blame(words.Say("%s is empty", a.Name))
	}
	return written{text: text, name: a.Name, file: strings.HasSuffix(strings.ToLower(a.Name), ".toml")}, nil
}

func decoded(body []byte) string {
	switch {
	case bytes.HasPrefix(body, []byte{0xFF, 0xFE}):
		return wide(body[2:], binary.LittleEndian)
	case bytes.HasPrefix(body, []byte{0xFE, 0xFF}):
		return wide(body[2:], binary.BigEndian)
	}
	body = bytes.TrimPrefix(body, []byte("\uFEFF"))
	if utf8.Valid(body) {
		return string(body)
	}
	var b strings.Builder
	for _, c := range body {
		if r, ok := windows[c]; ok {
			b.WriteRune(r)
			continue
		}
		b.WriteRune(rune(c))
	}
	return b.String()
}

// windows are the characters of the old Windows encoding that patterns use
// and Latin-1 lacks: dashes, quotes, the dots and the bullet.
// Source: the index windows-1252 of the WHATWG Encoding Standard, from memory.
var windows = map[byte]rune{0x82: '‚', 0x84: '„', 0x85: '…', 0x91: '‘', 0x92: '’', 0x93: '“', 0x94: '”', 0x95: '•', 0x96: '–', 0x97: '—'}

func wide(body []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(body)/2)
	for i := range units {
		units[i] = order.Uint16(body[2*i:])
	}
	return string(utf16.Decode(units))
}

// findKept finds the text that a member checked last, or a kept pattern. The
// option is blamed where there is none.
func findKept(ctx context.Context, s Services, r Request, option, name, version string) (written, error) {
	if strings.EqualFold(strings.TrimSpace(name), justChecked) {
		t, ok := s.checked.of(r.Member.ID)
		if !ok {
			return t, &Mistake{Option: option, Message: "you have checked no text since I was started; check one first", Example: "/pattern check"}
		}
		return t, nil
	}
	if r.Server == "" || s.Patterns == nil {
		return written{}, Refused("Patterns are kept for a server; ask in the server whose pattern it is, or give the rows as text or as a file.")
	}
	p, ok, err := s.Patterns.Find(ctx, r.Server, name, version)
	if err != nil {
		return written{}, fmt.Errorf("find pattern: %w", err)
	}
	if ok {
		return written{text: p.Text, name: p.Name, file: p.File, saved: &p}, nil
	}
	return written{}, unknownPattern(ctx, s, r, option, name, version)
}

// unknownPattern names what there is instead.
func unknownPattern(ctx context.Context, s Services, r Request, option, name, version string) error {
	versions, err := s.Patterns.List(ctx, r.Server, name)
	if err != nil {
		return fmt.Errorf("list versions: %w", err)
	}
	if len(versions) > 0 {
		var names []string
		for _, v := range versions {
			names = append(names, v.Version)
		}
		return &Mistake{Option: "version", Message: "“%s” has no version %q; it has %s", Args: []any{versions[0].Name, version, strings.Join(names, ", ")}, Example: "version:" + names[0]}
	}
	var names []string
	for _, p := range keptHere(ctx, s, r) {
		names = append(names, p.Name)
	}
	if len(names) == 0 {
		return &Mistake{Option: option, Message: "this server keeps no patterns yet; a host can add one with /pattern add", Example: "/pattern list"}
	}
	m := &Mistake{Option: option, Message: "no pattern here is called %q; there is %s", Args: []any{name, listed(names, 12)}, Example: option + ":" + names[0]}
	lower := make([]string, len(names))
	for i, n := range names {
		lower[i] = strings.ToLower(n)
	}
	if near := nearest(strings.ToLower(name), lower); near != "" {
		m.Example = option + ":" + near
	}
	return m
}

// listed joins names, and says how many more there are.
func listed(names []string, most int) words.Message {
	if len(names) <= most {
		return words.Say("%s", strings.Join(names, ", "))
	}
	return words.Say("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// termsOption declares an option for the terms that a text is written in.
func termsOption() *Opt[notation.Terms] {
	o := Value("terms", "The terms it is written in; read from its words if not said", "US", func(text string, _ Settings) (notation.Terms, error) {
		t, err := notation.ParseTerms(text)
		if err == nil && t == notation.TermsUnsaid {
			return t, words.Say("it is empty; it takes US, UK or older")
		}
		return t, err
	})
	for _, t := range []notation.Terms{notation.US, notation.UK, notation.Older} {
		o.spec.Choices = append(o.spec.Choices, Choice{Label: t.String(), Value: t.String()})
	}
	return o
}
