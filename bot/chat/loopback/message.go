package loopback

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Message is a message of the bot as it stands.
type Message struct {
	Content     string       `json:"content"`
	TTS         bool         `json:"tts,omitempty"`
	Embeds      []any        `json:"embeds,omitempty"`
	Flags       int          `json:"flags,omitempty"`
	Components  []Component  `json:"components"`
	Attachments []Attachment `json:"attachments"`
	Mentions    *struct {
		Parse []string `json:"parse"`
		Users []string `json:"users,omitempty"`
	} `json:"allowed_mentions"`

	Files []File `json:"-"`
}

// Attachment describes a file of a message.
type Attachment struct {
	ID       string `json:"id"`
	Filename string `json:"filename"`
	Alt      string `json:"description,omitempty"`
}

// File is a file of a message, or one that a member attaches.
type File struct {
	Name, Type string
	Body       []byte
	index      int
}

// Component is a row, button, menu or input.
type Component struct {
	Type        int         `json:"type"`
	Components  []Component `json:"components,omitempty"`
	CustomID    string      `json:"custom_id,omitempty"`
	Label       string      `json:"label,omitempty"`
	Style       int         `json:"style,omitempty"`
	Placeholder string      `json:"placeholder,omitempty"`
	Options     []struct {
		Label       string  `json:"label"`
		Value       string  `json:"value"`
		Description *string `json:"description,omitempty"`
	} `json:"options,omitempty"`
	Required  *bool  `json:"required,omitempty"`
	MinLength *int   `json:"min_length,omitempty"`
	MaxLength *int   `json:"max_length,omitempty"`
	Value     string `json:"value,omitempty"`
}

// Flags of a message.
const (
	flagNoEmbeds  = 1 << 2
	flagEphemeral = 1 << 6
)

// Ephemeral reports whether one member only sees it.
func (m *Message) Ephemeral() bool { return m.Flags&flagEphemeral != 0 }

var mention = regexp.MustCompile(`<@!?(\d+)>`)

// Pings are the ids of those whom the message really pings: a mention that is
// not escaped, of somebody whom allowed_mentions lets through.
func (m *Message) Pings() (ids []string) {
	parse := func(kind string) bool { return m.Mentions == nil || slices.Contains(m.Mentions.Parse, kind) }
	for _, found := range mention.FindAllStringSubmatchIndex(m.Content, -1) {
		id := m.Content[found[2]:found[3]]
		escaped := found[0] > 0 && m.Content[found[0]-1] == '\\'
		if !escaped && (parse("users") || slices.Contains(m.Mentions.Users, id)) {
			ids = append(ids, id)
		}
	}
	for _, all := range []string{"@everyone", "@here"} {
		if parse("everyone") && strings.Contains(m.Content, all) {
			ids = append(ids, all)
		}
	}
	return ids
}

// Buttons are the custom ids of all buttons and the values of all menus.
func (m *Message) Buttons() (ids []string) {
	for _, row := range m.Components {
		for _, c := range row.Components {
			if c.Type == 2 {
				ids = append(ids, c.CustomID)
			}
			for _, o := range c.Options {
				ids = append(ids, o.Value)
			}
		}
	}
	return ids
}

// File finds a file of the message by the ending of its name.
func (m *Message) File(ending string) (File, bool) {
	for _, f := range m.Files {
		if strings.HasSuffix(f.Name, ending) {
			return f, true
		}
	}
	return File{}, false
}

// strict reads JSON and refuses fields that it does not know.
func strict(r io.Reader, v any) error {
	d := json.NewDecoder(r)
	d.DisallowUnknownFields()
	return d.Decode(v)
}

// messageOf reads a message with its files and says which rules it breaks.
func messageOf(body json.RawMessage, files []File, fileLimit int) (*Message, []string) {
	m := &Message{Files: files}
	if err := strict(bytes.NewReader(body), m); err != nil {
		return m, []string{err.Error()}
	}
	var broken []string
	say := func(format string, args ...any) { broken = append(broken, fmt.Sprintf(format, args...)) }
	if n := utf8.RuneCountInString(m.Content); n > 2000 {
		say("a content of %d characters", n)
	}
	if !utf8.ValidString(m.Content) {
		say("a content that is not UTF-8")
	}
	if strings.TrimSpace(m.Content) == "" && len(m.Embeds) == 0 && len(files) == 0 {
		say("an empty message")
	}
	if len(m.Embeds) > 0 {
		say("embeds, whose limits are not checked here")
	}
	if m.Flags&^(flagNoEmbeds|flagEphemeral) != 0 {
		say("flags %b", m.Flags)
	}
	switch {
	case m.Mentions == nil:
		say("no allowed_mentions")
	case m.Mentions.Parse == nil || len(m.Mentions.Parse) > 0:
		say("allowed_mentions that let kinds of mention through: %v", m.Mentions.Parse)
	case len(m.Mentions.Users) > 100:
		say("%d users in allowed_mentions", len(m.Mentions.Users))
	}
	if len(m.Components) > 5 {
		say("%d rows of components", len(m.Components))
	}
	seen := map[string]bool{}
	for _, c := range m.Components {
		broken = append(broken, rowRules(c, seen)...)
	}
	return m, append(broken, fileRules(m, fileLimit)...)
}

func fileRules(m *Message, fileLimit int) (broken []string) {
	say := func(format string, args ...any) { broken = append(broken, fmt.Sprintf(format, args...)) }
	if len(m.Files) > 10 || len(m.Attachments) != len(m.Files) {
		say("%d files for %d attachments", len(m.Files), len(m.Attachments))
	}
	total := 0
	for _, f := range m.Files {
		total += len(f.Body)
		if len(f.Body) > fileLimit {
			say("a file of %d bytes where %d are allowed", len(f.Body), fileLimit)
		}
		i := slices.IndexFunc(m.Attachments, func(a Attachment) bool { return a.ID == strconv.Itoa(f.index) })
		if i < 0 || m.Attachments[i].Filename != f.Name {
			say("the file %s is not described", f.Name)
		}
	}
	for _, a := range m.Attachments {
		if n := utf8.RuneCountInString(a.Alt); n > 1024 {
			say("a description of %d characters", n)
		}
	}
	if total > 25<<20 {
		say("files of %d bytes together", total)
	}
	return broken
}

func between(what string, s string, least, most int) []string {
	if n := utf8.RuneCountInString(s); n < least || n > most {
		return []string{fmt.Sprintf("%s of %d characters", what, n)}
	}
	return nil
}

// rowRules are the rules that a row of a message breaks.
func rowRules(row Component, seen map[string]bool) (broken []string) {
	if row.Type != 1 || len(row.Components) == 0 {
		return []string{fmt.Sprintf("a component of type %d, or an empty row", row.Type)}
	}
	buttons := 0
	for _, c := range row.Components {
		if seen[c.CustomID] {
			broken = append(broken, "two components with the custom id "+c.CustomID)
		}
		seen[c.CustomID] = true
		broken = append(broken, between("a custom id", c.CustomID, 1, 100)...)
		switch c.Type {
		case 2:
			buttons++
			broken = append(broken, between("a button's label", c.Label, 1, 80)...)
			if c.Style < 1 || c.Style > 4 {
				broken = append(broken, fmt.Sprintf("a button of style %d", c.Style))
			}
		case 3:
			broken = append(broken, menuRules(c)...)
		default:
			broken = append(broken, fmt.Sprintf("a component of type %d in a message", c.Type))
		}
	}
	if buttons > 5 || buttons < len(row.Components) && len(row.Components) > 1 {
		broken = append(broken, fmt.Sprintf("a row of %d components, %d of them buttons", len(row.Components), buttons))
	}
	return broken
}

func menuRules(c Component) (broken []string) {
	if len(c.Options) < 1 || len(c.Options) > 25 {
		broken = append(broken, fmt.Sprintf("a menu of %d choices", len(c.Options)))
	}
	broken = append(broken, between("a menu's placeholder", c.Placeholder, 0, 150)...)
	values := map[string]bool{}
	for _, o := range c.Options {
		broken = append(broken, between("a choice's label", o.Label, 1, 100)...)
		broken = append(broken, between("a choice's value", o.Value, 1, 100)...)
		if values[o.Value] {
			broken = append(broken, "two choices of the value "+o.Value)
		}
		values[o.Value] = true
	}
	return broken
}

// Form is a window that the bot opened.
type Form struct {
	CustomID   string      `json:"custom_id"`
	Title      string      `json:"title"`
	Components []Component `json:"components"`
}

func formOf(body json.RawMessage) (*Form, []string) {
	f := &Form{}
	if err := strict(bytes.NewReader(body), f); err != nil {
		return f, []string{err.Error()}
	}
	broken := append(between("a form's custom id", f.CustomID, 1, 100), between("a form's title", f.Title, 1, 45)...)
	if len(f.Components) < 1 || len(f.Components) > 5 {
		broken = append(broken, fmt.Sprintf("a form of %d fields", len(f.Components)))
	}
	seen := map[string]bool{}
	for _, row := range f.Components {
		if row.Type != 1 || len(row.Components) != 1 || row.Components[0].Type != 4 {
			broken = append(broken, "a form's row that is not one input")
			continue
		}
		in := row.Components[0]
		broken = append(broken, between("a field's custom id", in.CustomID, 1, 100)...)
		broken = append(broken, between("a field's label", in.Label, 1, 45)...)
		broken = append(broken, between("a field's hint", in.Placeholder, 0, 100)...)
		if in.Style != 1 && in.Style != 2 || in.MaxLength != nil && (*in.MaxLength < 1 || *in.MaxLength > 4000) || seen[in.CustomID] {
			broken = append(broken, "a field's style, length or custom id: "+in.CustomID)
		}
		seen[in.CustomID] = true
	}
	return f, broken
}
