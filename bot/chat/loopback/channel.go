package loopback

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"time"
)

// Posted is a message in a channel.
type Posted struct {
	*Message // nil where a person wrote
	ID       string
	Author   string
	At       time.Time
}

// channel is a place that messages are in.
type channel struct {
	server  string // empty: a member's direct messages
	posted  []*Posted
	nonces  map[string]*Posted
	refusal *Refusal
}

// Refusal is why a place can't be written to.
type Refusal struct{ Status, Code int }

// Refusals that the service documents.
var (
	Deleted   = Refusal{404, 10003}
	NoAccess  = Refusal{403, 50001} // kicked, or the channel is hidden from it
	Forbidden = Refusal{403, 50013}
	NoDirect  = Refusal{403, 50007}
)

// remembered is how long a nonce is, the documentation's "past few minutes".
const remembered = 3 * time.Minute

// bucketOf is how many requests of a route are taken in a span.
type bucketOf struct {
	limit int
	span  time.Duration
}

// The service does not tell its limits but in headers. These are of the size
// that it is known for.
var (
	writing = bucketOf{5, 5 * time.Second}
	looking = bucketOf{5, time.Second}
)

func (s *Service) channelRoutes(m *http.ServeMux) {
	m.HandleFunc("POST "+api+"/channels/{channel}/messages", s.authorised(s.post))
	m.HandleFunc("GET "+api+"/channels/{channel}/messages", s.authorised(s.list))
	m.HandleFunc("POST "+api+"/users/@me/channels", s.authorised(s.openDirect))
	m.HandleFunc("GET "+api+"/guilds/{server}/scheduled-events", s.authorised(s.listEvents))
	m.HandleFunc("POST "+api+"/guilds/{server}/scheduled-events", s.authorised(s.makeEvent))
}

// Open makes a channel of a server, and returns its id.
func (s *Service) Open(server string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := s.snowflake()
	s.channels[id] = &channel{server: server, nonces: map[string]*Posted{}}
	return id
}

// Refuse makes a channel, or a member's direct messages, refuse the bot; with
// a zero Refusal it takes it again.
func (s *Service) Refuse(place string, why Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.channels[place]
	if c == nil {
		c = &channel{nonces: map[string]*Posted{}}
		s.channels[place] = c
	}
	c.refusal = &why
	if why.Status == 0 {
		c.refusal = nil
	}
}

// Belongs tells the bot that it is in a server, or was removed from it.
func (s *Service) Belongs(server string, in bool) {
	kind := "GUILD_DELETE"
	if in {
		kind = "GUILD_CREATE"
	}
	s.onLive(func(l *line) { s.dispatchTo(l, kind, marshal(map[string]any{"id": server})) })
}

// Write lets a person write in a channel.
func (s *Service) Write(id, author string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.channels[id]
	c.posted = append(c.posted, &Posted{ID: s.snowflake(), Author: author, At: s.clock()})
}

// Posts are the bot's messages in a channel, oldest first.
func (s *Service) Posts(id string) (list []*Posted) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if c := s.channels[id]; c != nil {
		for _, p := range c.posted {
			if p.Message != nil {
				list = append(list, p)
			}
		}
	}
	return list
}

// Direct are the bot's direct messages to a member.
func (s *Service) Direct(member string) []*Posted { return s.Posts("direct-" + member) }

// place finds the channel that a request is about, or refuses it.
func (s *Service) place(w http.ResponseWriter, r *http.Request) *channel {
	s.mu.Lock()
	id := r.PathValue("channel")
	if named := s.direct[id]; named != "" {
		id = named
	}
	c, why := s.channels[id], &Deleted
	if c != nil {
		why = c.refusal
	}
	s.mu.Unlock()
	if why != nil {
		refuse(w, why.Status, why.Code, "Refused")
		return nil
	}
	return c
}

func (s *Service) post(w http.ResponseWriter, r *http.Request) {
	if !s.within(w, r, "post", r.PathValue("channel"), writing) {
		return
	}
	c := s.place(w, r)
	if c == nil {
		return
	}
	body, files, err := payload(r)
	if err != nil {
		s.breaks("post", err.Error())
		refuse(w, 400, 50035, "Invalid Form Body")
		return
	}
	s.observe("post", body)
	nonce, rest, broken := nonceOf(body)
	m, more := messageOf(rest, files, 10<<20)
	broken = append(broken, more...)
	if m.Ephemeral() {
		broken = append(broken, "a post that only one member sees")
	}
	if len(broken) > 0 {
		s.breaks("post", broken...)
		refuse(w, 400, 50035, "Invalid Form Body: %v", broken)
		return
	}
	s.mu.Lock()
	now := s.clock()
	p := c.nonces[nonce]
	if p == nil || now.Sub(p.At) > remembered {
		p = &Posted{Message: m, ID: s.snowflake(), Author: Application, At: now}
		c.posted, c.nonces[nonce] = append(c.posted, p), p
	}
	s.mu.Unlock()
	answerJSON(w, 200, p.shown(r.PathValue("channel")))
}

// nonceOf takes the nonce out of a message's body.
func nonceOf(body json.RawMessage) (nonce string, rest json.RawMessage, broken []string) {
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(body, &fields); err != nil {
		return "", body, []string{err.Error()}
	}
	enforced := false
	if json.Unmarshal(fields["nonce"], &nonce) != nil || json.Unmarshal(fields["enforce_nonce"], &enforced) != nil || !enforced {
		broken = append(broken, "a post without an enforced nonce")
	}
	broken = append(broken, between("a nonce", nonce, 1, 25)...)
	delete(fields, "nonce")
	delete(fields, "enforce_nonce")
	return nonce, marshal(fields), broken
}

// shown is a message as the bot sees it: its own whole, of others who and when.
func (p *Posted) shown(channel string) map[string]any {
	m := map[string]any{
		"id": p.ID, "channel_id": channel, "type": 0, "timestamp": p.At.UTC().Format(time.RFC3339Nano), "content": "", "components": []any{}, "attachments": []any{},
		"author": map[string]any{"id": p.Author, "username": "u", "discriminator": "0", "bot": p.Message != nil},
	}
	if p.Message != nil {
		m["content"], m["components"] = p.Content, p.Components
	}
	return m
}

func (s *Service) list(w http.ResponseWriter, r *http.Request) {
	if !s.within(w, r, "list", r.PathValue("channel"), looking) {
		return
	}
	c := s.place(w, r)
	if c == nil {
		return
	}
	limit, err := strconv.Atoi(r.URL.Query().Get("limit"))
	if err != nil || limit < 1 || limit > 100 {
		s.breaks("list messages", "a limit of "+r.URL.Query().Get("limit"))
	}
	s.mu.Lock()
	found := c.posted
	if after, err := strconv.ParseInt(r.URL.Query().Get("after"), 10, 64); err == nil {
		i := slices.IndexFunc(found, func(p *Posted) bool { n, _ := strconv.ParseInt(p.ID, 10, 64); return n > after })
		if i < 0 {
			i = len(found)
		}
		found = found[i:min(len(found), i+limit)]
	} else {
		found = found[max(0, len(found)-limit):]
	}
	found = slices.Clone(found)
	s.mu.Unlock()
	list := []any{}
	for _, p := range slices.Backward(found) { // the newest first
		list = append(list, p.shown(r.PathValue("channel")))
	}
	answerJSON(w, 200, list)
}

func (s *Service) openDirect(w http.ResponseWriter, r *http.Request) {
	var with struct {
		Recipient string `json:"recipient_id"`
	}
	body, err := io.ReadAll(r.Body)
	s.observe("direct", body)
	if err == nil {
		err = strict(bytes.NewReader(body), &with)
	}
	if err != nil || with.Recipient == "" {
		s.breaks("open direct messages", fmt.Sprint(err))
		refuse(w, 400, 50033, "Invalid Recipient(s)")
		return
	}
	s.mu.Lock()
	place, id := "direct-"+with.Recipient, ""
	for have, named := range s.direct {
		if named == place {
			id = have
		}
	}
	if id == "" {
		id = s.snowflake()
		s.direct[id] = place
	}
	if s.channels[place] == nil {
		s.channels[place] = &channel{nonces: map[string]*Posted{}}
	}
	s.mu.Unlock()
	answerJSON(w, 200, map[string]any{"id": id, "type": 1})
}

// Event is a server's scheduled event.
type Event struct {
	ID          string    `json:"-"`
	Name        string    `json:"name"`
	Description string    `json:"description"`
	Start       time.Time `json:"scheduled_start_time"`
	End         time.Time `json:"scheduled_end_time"`
	Privacy     int       `json:"privacy_level"`
	Kind        int       `json:"entity_type"`
	Where       struct {
		Location string `json:"location"`
	} `json:"entity_metadata"`
}

// Events are a server's scheduled events.
func (s *Service) Events(server string) []Event {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.events[server])
}

func (s *Service) listEvents(w http.ResponseWriter, r *http.Request) {
	list := []any{}
	for _, e := range s.Events(r.PathValue("server")) {
		list = append(list, e.shown())
	}
	answerJSON(w, 200, list)
}

func (e Event) shown() map[string]any {
	return map[string]any{"id": e.ID, "name": e.Name, "description": e.Description, "creator_id": Application,
		"scheduled_start_time": e.Start, "status": 1, "entity_type": e.Kind}
}

func (s *Service) makeEvent(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	server := s.channels[r.PathValue("server")] // a server as a whole may refuse
	s.mu.Unlock()
	if server != nil && server.refusal != nil {
		refuse(w, server.refusal.Status, server.refusal.Code, "Refused")
		return
	}
	var e Event
	body, err := io.ReadAll(r.Body)
	s.observe("event", body)
	if err == nil {
		err = strict(bytes.NewReader(body), &e)
	}
	if err != nil {
		s.breaks("event", err.Error())
		refuse(w, 400, 50035, "Invalid Form Body")
		return
	}
	broken := append(between("an event's name", e.Name, 1, 100), between("an event's description", e.Description, 1, 1000)...)
	broken = append(broken, between("an event's location", e.Where.Location, 1, 100)...)
	s.mu.Lock()
	now := s.clock()
	s.mu.Unlock()
	if !e.Start.After(now) || !e.End.After(e.Start) || e.Privacy != 2 || e.Kind != 3 {
		broken = append(broken, fmt.Sprintf("an event from %s to %s, privacy %d, type %d", e.Start, e.End, e.Privacy, e.Kind))
	}
	if len(broken) > 0 {
		s.breaks("event", broken...)
		refuse(w, 400, 50035, "Invalid Form Body: %v", broken)
		return
	}
	s.mu.Lock()
	e.ID = s.snowflake()
	s.events[r.PathValue("server")] = append(s.events[r.PathValue("server")], e)
	s.mu.Unlock()
	answerJSON(w, 200, e.shown())
}
