package loopback

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"
)

// Ask is what a member does. Exactly one of Path, Button and Form is given.
type Ask struct {
	Path    string            // a slash command, "even shape"
	Options map[string]string // its options as the member types them
	Files   map[string]File   // its attachments
	Typing  string            // the option that is still being typed: asks for suggestions

	Button    string // the custom id that is tapped; of a menu, with Value
	Value     string // the choice that is taken
	OnPrivate bool   // the message with the button is seen by the member only

	Form   string            // the custom id of the form that is sent
	Fields map[string]string // what was filled in, by custom id
	Parts  []any             // the form's parts as they are sent, in place of Fields

	Member      string   // id; "": 300000000000000001
	Name        string   // "": Mira
	Roles       []string // ids
	Permissions int64
	Direct      bool   // in a direct message
	Personal    bool   // among people, by a member who installed the bot for herself
	Server      string // ""; Server
	Locale      string // "": en-GB
	ServerLang  string // the server's own locale; "": en-US
}

// Server and Channel are where members ask.
const (
	Server  = "400000000000000001"
	Channel = "500000000000000001"
)

// Answer is what came of an Ask.
type Answer struct {
	Event any // as it was sent

	name      string
	id, token string
	asked     time.Time
	fileLimit int
	kind      int // of interaction
	option    int // type of the option being typed
	personal  bool
	done      chan struct{}
	once      sync.Once
	tb        interface {
		Helper()
		Fatalf(string, ...any)
	}

	mu        sync.Mutex
	First     int           // type of the first answer: 4 message, 5 deferred, 8 suggestions, 9 form
	Took      time.Duration // until the first answer
	Private   bool          // the first answer was for the member only
	Message   *Message      // in place of the first answer, as it stands now
	Followups []*Message
	Withdrawn bool // the first answer was removed
	Form      *Form
	Choices   []Choice
}

func (a *Answer) finish() { a.once.Do(func() { close(a.done) }) }

// Wait waits for the whole answer.
func (a *Answer) Wait() *Answer {
	a.tb.Helper()
	select {
	case <-a.done:
	case <-time.After(15 * time.Second):
		a.tb.Fatalf("%s was not answered", a.name)
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	return a
}

// Done is closed when the whole answer is there.
func (a *Answer) Done() <-chan struct{} { return a.done }

// Deferred reports whether the member was told to wait, without waiting for
// the answer.
func (a *Answer) Deferred() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.First == 5
}

// Shown is the message that the member sees at the end.
func (a *Answer) Shown() *Message {
	a.tb.Helper()
	a.Wait()
	switch {
	case a.Message != nil:
		return a.Message
	case len(a.Followups) > 0:
		return a.Followups[len(a.Followups)-1]
	}
	a.tb.Fatalf("%s was answered without a message", a.name)
	return nil
}

// ForOne reports whether only the member sees the shown message.
func (a *Answer) ForOne() bool {
	m := a.Shown()
	if m == a.Message {
		return a.Private
	}
	return m.Ephemeral()
}

// take takes a first answer.
func (a *Answer) take(body json.RawMessage, files []File, took time.Duration) []string {
	var c struct {
		Type int             `json:"type"`
		Data json.RawMessage `json:"data"`
	}
	if err := strict(bytes.NewReader(body), &c); err != nil {
		return []string{err.Error()}
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	var broken []string
	switch {
	case (c.Type == 8) != (a.kind == 4), c.Type == 9 && a.kind == 5:
		return []string{fmt.Sprintf("an answer of type %d to an interaction of type %d", c.Type, a.kind)}
	case c.Type == 4:
		a.Message, broken = messageOf(c.Data, files, a.fileLimit)
		a.Private = a.Message.Ephemeral()
	case c.Type == 5:
		var d struct {
			Flags int `json:"flags"`
		}
		if len(c.Data) > 0 && strict(bytes.NewReader(c.Data), &d) != nil || d.Flags&^flagEphemeral != 0 {
			broken = []string{"a deferral with more than the flag for a private answer"}
		}
		a.Private = d.Flags != 0
	case c.Type == 8:
		broken = a.takeChoices(c.Data)
	case c.Type == 9:
		a.Form, broken = formOf(c.Data)
	default:
		return []string{fmt.Sprintf("an answer of type %d", c.Type)}
	}
	if len(broken) == 0 {
		a.First, a.Took = c.Type, took
		if c.Type != 5 {
			a.finish()
		}
	}
	return broken
}

func (a *Answer) takeChoices(data json.RawMessage) (broken []string) {
	var d struct {
		Choices *[]Choice `json:"choices"`
	}
	if err := strict(bytes.NewReader(data), &d); err != nil {
		return []string{err.Error()}
	}
	if d.Choices == nil || len(*d.Choices) > 25 {
		return []string{"suggestions without a list, or more than 25"}
	}
	a.Choices = *d.Choices
	for _, c := range a.Choices {
		if b := choiceRules(c, a.option); b != "" {
			broken = append(broken, b)
		}
	}
	return broken
}

// Ask lets a member do something and returns what comes of it. A slash command
// is checked as the service's client does before sending.
func (s *Service) Ask(ask Ask) *Answer {
	s.tb.Helper()
	a := &Answer{id: s.newID(), done: make(chan struct{}), tb: s.tb, fileLimit: s.FileLimit, personal: ask.Personal}
	if a.fileLimit == 0 {
		a.fileLimit = 10 << 20
	}
	a.token = "interaction-token-" + a.id
	data := map[string]any{}
	switch {
	case ask.Path != "":
		a.kind, a.name = 2, "/"+ask.Path
		if ask.Typing != "" {
			a.kind = 4
		}
		data = s.commandData(ask, a)
	case ask.Button != "":
		a.kind, a.name = 3, "button "+ask.Button
		data["custom_id"], data["component_type"] = ask.Button, 2
		if ask.Value != "" {
			data["component_type"], data["values"] = 3, []string{ask.Value}
		}
	default:
		a.kind, a.name = 5, "form "+ask.Form
		data["custom_id"] = ask.Form
		rows := []any{}
		for _, id := range sortedKeys(ask.Fields) {
			rows = append(rows, map[string]any{"type": 1, "components": []any{map[string]any{"type": 4, "custom_id": id, "value": ask.Fields[id]}}})
		}
		if ask.Parts != nil {
			rows = ask.Parts
		}
		data["components"] = rows
	}
	event := interaction(ask, a, data)
	a.Event = event
	body := marshal(event)
	s.mu.Lock()
	s.answers[a.token] = a
	a.asked = time.Now()
	s.mu.Unlock()
	if s.Endpoint != nil {
		go s.bring(a, body)
		return a
	}
	server := cmp.Or(ask.Server, Server)
	if ask.Direct || ask.Personal {
		server = ""
	}
	if !s.deliver(s.shardOf(server), "INTERACTION_CREATE", body) {
		s.tb.Fatalf("%s: the bot is not connected", a.name)
	}
	return a
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// interaction is the event, with the fields that the documentation lists.
func interaction(ask Ask, a *Answer, data map[string]any) map[string]any {
	user := map[string]any{"id": cmp.Or(ask.Member, "300000000000000001"), "username": "m.user", "discriminator": "0", "global_name": cmp.Or(ask.Name, "Mira"), "avatar": nil, "bot": false, "public_flags": 0}
	event := map[string]any{
		"id": a.id, "application_id": Application, "type": a.kind, "data": data, "token": a.token, "version": 1,
		"channel_id": Channel, "channel": map[string]any{"id": Channel, "type": 0, "name": "crochet"},
		"locale": cmp.Or(ask.Locale, "en-GB"), "app_permissions": "562949953601536", "entitlements": []any{},
		"authorizing_integration_owners": map[string]any{"0": Server}, "context": 0, "attachment_size_limit": a.fileLimit,
	}
	switch {
	case ask.Direct:
		event["user"], event["context"] = user, 1
	case ask.Personal:
		event["user"], event["context"], event["authorizing_integration_owners"] = user, 2, map[string]any{"1": user["id"]}
	default:
		server := cmp.Or(ask.Server, Server)
		event["guild_id"], event["guild_locale"] = server, cmp.Or(ask.ServerLang, "en-US")
		event["guild"] = map[string]any{"id": server, "locale": "en-US", "features": []any{}}
		event["member"] = map[string]any{"user": user, "roles": append([]string{}, ask.Roles...), "nick": nil, "permissions": strconv.FormatInt(ask.Permissions, 10), "joined_at": "2024-03-01T09:00:00.000000+00:00", "deaf": false, "mute": false, "flags": 0, "pending": false}
	}
	if a.kind == 3 {
		flags := 0
		if ask.OnPrivate {
			flags = flagEphemeral
		}
		event["message"] = map[string]any{"id": "600000000000000001", "channel_id": Channel, "content": "…", "flags": flags, "type": 20, "timestamp": "2026-03-01T09:00:00.000000+00:00"}
	}
	return event
}

// commandData builds a slash command's data by its registered declaration, as
// the client does, and fails the test where the client would not send it.
func (s *Service) commandData(ask Ask, a *Answer) map[string]any {
	s.tb.Helper()
	names := strings.Fields(ask.Path)
	registered := append(s.Registered(""), s.Registered(Server)...)
	i := slices.IndexFunc(registered, func(c Command) bool { return c.Name == names[0] })
	if i < 0 {
		s.tb.Fatalf("/%s is not registered", names[0])
	}
	options := registered[i].Options
	for _, name := range names[1:] {
		j := slices.IndexFunc(options, func(o CommandOption) bool { return o.Name == name })
		if j < 0 {
			s.tb.Fatalf("/%s is not registered", ask.Path)
		}
		options = options[j].Options
	}
	sent, resolved := []any{}, map[string]any{}
	for _, o := range options {
		text, given := ask.Options[o.Name]
		file, attached := ask.Files[o.Name]
		switch {
		case attached:
			id := s.keep(file)
			resolved[id] = map[string]any{"id": id, "filename": file.Name, "size": len(file.Body), "content_type": file.Type,
				"url": "https://cdn.discordapp.com/attachments/" + id + "/" + file.Name + "?ex=1&is=2&hm=3", "proxy_url": "", "ephemeral": true}
			sent = append(sent, map[string]any{"name": o.Name, "type": o.Type, "value": id})
		case given:
			option := map[string]any{"name": o.Name, "type": o.Type, "value": s.typed(ask, o, text)}
			if o.Name == ask.Typing {
				option["focused"] = true
				a.option = o.Type
			}
			sent = append(sent, option)
		case o.Required && ask.Typing == "":
			s.tb.Fatalf("/%s: the client does not send it without %s", ask.Path, o.Name)
		}
	}
	if n := len(sent); n != len(ask.Options)+len(ask.Files) {
		s.tb.Fatalf("/%s: not all of %v are registered options", ask.Path, ask.Options)
	}
	for i := len(names) - 1; i > 0; i-- {
		sent = []any{map[string]any{"name": names[i], "type": typeCommand, "options": sent}}
	}
	data := map[string]any{"id": registered[i].ID, "name": names[0], "type": 1, "options": sent}
	if len(resolved) > 0 {
		data["resolved"] = map[string]any{"attachments": resolved}
	}
	return data
}

// keep keeps an attachment for fetching and returns its id.
func (s *Service) keep(f File) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := s.id()
	s.files["/attachments/"+id+"/"+f.Name] = f.Body
	return id
}

// typed turns what a member typed into the option's type.
func (s *Service) typed(ask Ask, o CommandOption, text string) any {
	s.tb.Helper()
	refuse := func(why string) {
		s.tb.Helper()
		s.tb.Fatalf("/%s: the client does not send %s:%s, %s", ask.Path, o.Name, text, why)
	}
	if o.Name == ask.Typing {
		return text
	}
	if len(o.Choices) > 0 && !slices.ContainsFunc(o.Choices, func(c Choice) bool { return c.Value == text }) {
		refuse("which is no choice")
	}
	switch o.Type {
	case typeInteger, typeNumber:
		n, err := strconv.ParseFloat(text, 64)
		if err != nil || o.MinValue != nil && n < *o.MinValue || o.MaxValue != nil && n > *o.MaxValue {
			refuse("which is no number in its bounds")
		}
		return n
	case typeBoolean:
		return text == "yes" || text == "true"
	case typeString:
		if n := utf8.RuneCountInString(text); o.MaxLength != nil && n > *o.MaxLength {
			refuse("which is too long")
		}
		return text
	}
	refuse("which is not typed")
	return nil
}
