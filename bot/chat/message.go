package chat

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// The service's limits of a message.
const (
	mostContent = 2000
	mostFiles   = 10
	mostAlt     = 1024
	mostUpload  = 25 << 20 // bytes of a whole request
	usualUpload = 10 << 20 // bytes of a file, where the service does not say
	mostPings   = 100

	textReserve = 1 << 20 // room kept for the whole text
)

// Flags of a message.
const (
	flagNoPreviews = 1 << 2 // a link in a member's text shows no preview
	flagEphemeral  = 1 << 6
)

// message is one message as the service takes it. It is plain content rather
// than an embed: full width on a phone, read out in order, and there for those
// who have switched previews off.
type message struct {
	Content     string          `json:"content"`
	Components  []component     `json:"components"`
	Attachments []attachment    `json:"attachments"`
	Mentions    allowedMentions `json:"allowed_mentions"`
	Flags       int             `json:"flags,omitempty"`

	uploads []upload
}

type attachment struct {
	ID       string `json:"id"` // the number of its file in the request
	Filename string `json:"filename"`
	Alt      string `json:"description,omitempty"`
}

// allowedMentions lists who may be pinged; the empty Parse is what keeps
// everybody else unpinged, whatever the text says.
type allowedMentions struct {
	Parse []string `json:"parse"`
	Users []string `json:"users,omitempty"`
}

// upload is a file of a message.
type upload struct {
	name, media, alt string
	body             []byte
}

// size is how many bytes go up with a message.
func (m message) size() int {
	n := 0
	for _, u := range m.uploads {
		n += len(u.body)
	}
	return n
}

// compose puts a reply in one message. Files may have at most fileLimit bytes
// (0: what is usual). What does not fit a message is attached whole as a text
// file, and what can't be attached is named.
func compose(r reply.Reply, fileLimit int64) (message, error) {
	if fileLimit <= 0 {
		fileLimit = usualUpload
	}
	passages, err := passagesOf(r)
	if err != nil {
		return message{}, err
	}
	m := message{Mentions: allowedMentions{Parse: []string{}, Users: r.Pings[:min(len(r.Pings), mostPings)]}, Flags: flagNoPreviews}
	var spare []string
	m.Components, spare = componentsOf(r.Actions)
	if len(spare) > 0 {
		passages = append(passages, passage{title: "**" + r.Words.Say("You can also type:") + "**", lines: spare})
	}
	parcel := parcel{words: r.Words, fileLimit: fileLimit, room: mostUpload - textReserve}
	if err := parcel.pack(r); err != nil {
		return message{}, err
	}
	if len(parcel.left) > 0 {
		passages = append(passages, passage{lines: parcel.left, keep: true})
	}
	title := ""
	if t := inline(r.Title); t != "" {
		title = "### " + t
	}
	name := fileName("countwright-"+r.Command, ".txt")
	var whole bool
	m.Content, whole = fit(title, passages, "✂️ "+r.Words.Say("Shortened here: the whole answer is attached as %s.", code(name)), mostContent)
	if !whole {
		text, err := reply.Plain(r)
		if err != nil {
			return message{}, err
		}
		if len(text) > textReserve {
			return message{}, fmt.Errorf("the reply has %d bytes of text", len(text))
		}
		parcel.uploads = append(parcel.uploads, upload{name: name, media: "text/plain; charset=utf-8", body: []byte(text)})
	}
	m.uploads, m.Attachments = parcel.uploads, []attachment{}
	for i, u := range m.uploads {
		m.Attachments = append(m.Attachments, attachment{ID: strconv.Itoa(i), Filename: u.name, Alt: u.alt})
	}
	if m.Content == "" && len(m.uploads) == 0 {
		return message{}, errors.New("the reply is empty")
	}
	return m, nil
}

func passagesOf(r reply.Reply) ([]passage, error) {
	var passages []passage
	if len(r.Pings) > 0 {
		var line strings.Builder
		for _, id := range r.Pings[:min(len(r.Pings), mostPings)] {
			line.WriteString("<@" + id + "> ")
		}
		passages = append(passages, passage{lines: []string{strings.TrimSpace(line.String())}, keep: true})
	}
	if r.Error != nil {
		passages = append(passages, errorPassage(r.Words, r.Error))
	}
	for _, b := range r.Parts {
		p, err := passageOf(r.Words, b)
		if err != nil {
			return nil, err
		}
		if len(p.lines) > 0 || p.title != "" {
			passages = append(passages, p)
		}
	}
	return passages, nil
}

// parcel collects the files of a message within the limits.
type parcel struct {
	words           words.Printer
	fileLimit, room int64
	uploads         []upload
	left            []string // what was left out and why
}

func (p *parcel) pack(r reply.Reply) error {
	for _, b := range r.Parts {
		switch b := b.(type) {
		case reply.Picture:
			png, err := picture.PNG(b.Drawing, picture.PNGOptions{})
			if err != nil {
				return fmt.Errorf("picture %s: %w", b.Name, err)
			}
			p.add(upload{name: fileName(b.Name, ".png"), media: "image/png", alt: cut(clean(b.Alt), mostAlt), body: png})
		case reply.File:
			p.add(upload{name: fileName(b.Name, ""), media: b.Type, alt: cut(clean(b.Alt), mostAlt), body: b.Body})
		}
	}
	return nil
}

func (p *parcel) add(u upload) {
	size := int64(len(u.body))
	switch {
	case len(p.uploads) >= mostFiles-1: // one place is kept for the whole text
		p.left = append(p.left, p.words.Say("%s is left out: there is no room for more files.", code(u.name)))
	case size > p.fileLimit:
		p.left = append(p.left, p.words.Say("%s is left out: it has %d KB, and this place takes %d KB a file.", code(u.name), size>>10, p.fileLimit>>10))
	case size > p.room:
		p.left = append(p.left, p.words.Say("%s is left out: the files together are too large for a message.", code(u.name)))
	default:
		for slices.ContainsFunc(p.uploads, func(v upload) bool { return v.name == u.name }) {
			u.name = "2-" + u.name
		}
		p.room -= size
		p.uploads = append(p.uploads, u)
	}
}

// fileName makes a name that every system and the service's attachments take.
func fileName(name, ending string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '.', r == '_':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	base := strings.Trim(b.String(), "-.")
	if base == "" {
		base = "countwright"
	}
	if len(base) > 80 {
		base = base[len(base)-80:]
	}
	return base + ending
}
