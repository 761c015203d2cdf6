package loopback

import (
	"encoding/json"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"
)

// Operations of the gateway.
const (
	opDispatch  = 0
	opHeartbeat = 1
	opIdentify  = 2
	opResume    = 6
	opReconnect = 7
	opInvalid   = 9
	opHello     = 10
	opAck       = 11
)

// Fault is a misbehaviour of the gateway, once.
type Fault struct {
	On    string // "connect", "identify", "resume": what of the bot's it answers
	Close int    // close with this code
	Op    int    // send this operation in place of the answer; with neither: say nothing at all
}

// gateway is the state behind all connections.
type gateway struct {
	mu       sync.Mutex
	faults   []Fault
	live     *line
	sessions map[string]*session
	counts   map[string]int // connects, identifies, resumes, heartbeats
	deaf     bool           // acknowledges no heartbeats
}

// session is what survives a lost connection: events are replayed.
type session struct {
	id     string
	events []packet
}

type packet struct {
	Op   int             `json:"op"`
	Data json.RawMessage `json:"d"`
	Seq  int             `json:"s,omitempty"`
	Type string          `json:"t,omitempty"`
}

// line is one connection.
type line struct {
	ws      *websocket.Conn
	mu      sync.Mutex
	session *session
	closing atomic.Bool // the service closed it: what the bot answers no longer matters
}

func (l *line) send(p packet) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.ws.WriteJSON(p)
}

func (l *line) close(code int) {
	l.closing.Store(true)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.ws.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, ""), time.Now().Add(time.Second))
	l.ws.Close()
}

// Next lets the next connection meet a fault.
func (s *Service) Next(f Fault) {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	s.gateway.faults = append(s.gateway.faults, f)
}

// Deaf decides whether heartbeats are left unacknowledged.
func (s *Service) Deaf(deaf bool) {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	s.gateway.deaf = deaf
}

// Count says how often the bot did "connect", "identify", "resume" or
// "heartbeat" so far.
func (s *Service) Count(what string) int {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	return s.gateway.counts[what]
}

// Drop cuts the connection without a word.
func (s *Service) Drop() { s.onLive(func(l *line) { l.ws.Close() }) }

// Close closes the connection with a code.
func (s *Service) Close(code int) { s.onLive(func(l *line) { l.close(code) }) }

// Reconnect asks the bot to connect again.
func (s *Service) Reconnect() {
	s.onLive(func(l *line) { l.send(packet{Op: opReconnect, Data: json.RawMessage("null")}) })
}

func (s *Service) onLive(do func(*line)) bool {
	s.gateway.mu.Lock()
	l := s.gateway.live
	s.gateway.mu.Unlock()
	if l != nil {
		do(l)
	}
	return l != nil
}

// Online waits until the bot is connected.
func (s *Service) Online() {
	s.tb.Helper()
	if !eventually(10*time.Second, func() bool {
		s.gateway.mu.Lock()
		defer s.gateway.mu.Unlock()
		return s.gateway.live != nil
	}) {
		s.tb.Fatal("the bot did not connect")
	}
}

// Offline waits until the bot is gone.
func (s *Service) Offline() {
	s.tb.Helper()
	if !eventually(10*time.Second, func() bool {
		s.gateway.mu.Lock()
		defer s.gateway.mu.Unlock()
		return s.gateway.live == nil
	}) {
		s.tb.Fatal("the bot did not disconnect")
	}
}

func eventually(limit time.Duration, holds func() bool) bool {
	for end := time.Now().Add(limit); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if holds() {
			return true
		}
	}
	return holds()
}

func (g *gateway) closeAll() {
	g.mu.Lock()
	l := g.live
	g.mu.Unlock()
	if l != nil {
		l.ws.Close()
	}
}

// fault counts what the bot did and takes the fault that is due.
func (g *gateway) fault(on string) (Fault, bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.counts == nil {
		g.counts = map[string]int{}
	}
	g.counts[on]++
	i := slices.IndexFunc(g.faults, func(f Fault) bool { return f.On == on })
	if i < 0 {
		return Fault{}, false
	}
	f := g.faults[i]
	g.faults = slices.Delete(g.faults, i, i+1)
	return f, true
}

// meet does what a fault says.
func (f Fault) meet(l *line) {
	switch {
	case f.Close != 0:
		l.close(f.Close)
	case f.Op != 0:
		l.send(packet{Op: f.Op, Data: json.RawMessage("false")})
	}
}

var upgrader = websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}

// connect serves one connection of the gateway.
func (s *Service) connect(w http.ResponseWriter, r *http.Request) {
	if q := r.URL.Query(); !s.Unchecked && (q.Get("encoding") != "json" || q.Get("v") == "") {
		s.breaks("gateway", "connected without version and encoding")
	}
	ws, err := upgrader.Upgrade(w, r, nil)
	if err != nil {
		return
	}
	l := &line{ws: ws}
	defer func() {
		ws.Close()
		s.gateway.mu.Lock()
		if s.gateway.live == l {
			s.gateway.live = nil
		}
		s.gateway.mu.Unlock()
	}()
	if f, faulty := s.gateway.fault("connect"); faulty {
		f.meet(l)
	} else {
		interval := s.Heartbeat
		if interval == 0 {
			interval = 41250 * time.Millisecond
		}
		l.send(packet{Op: opHello, Data: marshal(map[string]any{"heartbeat_interval": interval.Milliseconds()})})
	}
	for {
		var p packet
		if err := ws.ReadJSON(&p); err != nil {
			if !l.closing.Load() && websocket.IsCloseError(err, websocket.CloseNormalClosure, websocket.CloseGoingAway) {
				s.forget(l) // these two end the session, by the documentation
			}
			return
		}
		s.receive(l, p)
	}
}

func (s *Service) forget(l *line) {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	if l.session != nil {
		delete(s.gateway.sessions, l.session.id)
	}
}

func (s *Service) receive(l *line, p packet) {
	switch p.Op {
	case opHeartbeat:
		s.gateway.fault("heartbeat")
		s.gateway.mu.Lock()
		deaf := s.gateway.deaf
		s.gateway.mu.Unlock()
		if !deaf {
			l.send(packet{Op: opAck, Data: json.RawMessage("null")})
		}
	case opIdentify:
		s.identify(l, p)
	case opResume:
		s.resume(l, p)
	}
}

func (s *Service) identify(l *line, p packet) {
	if f, faulty := s.gateway.fault("identify"); faulty {
		f.meet(l)
		return
	}
	var d struct {
		Token   string `json:"token"`
		Intents int    `json:"intents"`
	}
	json.Unmarshal(p.Data, &d)
	switch {
	case d.Token != "Bot "+Token && d.Token != Token:
		l.close(4004)
		return
	case d.Intents&^1 != 0 && !s.Unchecked:
		s.breaks("identify", "asks for more than the intent of servers")
	}
	l.session = &session{id: s.newID()}
	s.gateway.mu.Lock()
	s.gateway.sessions[l.session.id] = l.session
	s.gateway.mu.Unlock()
	ready := map[string]any{
		"v": 9, "session_id": l.session.id, "resume_gateway_url": s.gatewayURL(), "guilds": []any{},
		"user":        map[string]any{"id": Application, "username": "countwright", "bot": true},
		"application": map[string]any{"id": Application, "flags": 0},
	}
	s.dispatchTo(l, "READY", marshal(ready))
	s.goLive(l)
}

func (s *Service) resume(l *line, p packet) {
	if f, faulty := s.gateway.fault("resume"); faulty {
		f.meet(l)
		return
	}
	var d struct {
		Session string `json:"session_id"`
		Seq     int    `json:"seq"`
	}
	json.Unmarshal(p.Data, &d)
	s.gateway.mu.Lock()
	known := s.gateway.sessions[d.Session]
	s.gateway.mu.Unlock()
	if known == nil || d.Seq > len(known.events) {
		l.send(packet{Op: opInvalid, Data: json.RawMessage("false")})
		return
	}
	l.session = known
	for _, e := range known.events[d.Seq:] {
		l.send(e)
	}
	s.dispatchTo(l, "RESUMED", json.RawMessage("{}"))
	s.goLive(l)
}

func (s *Service) goLive(l *line) {
	s.gateway.mu.Lock()
	s.gateway.live = l
	s.gateway.mu.Unlock()
}

// dispatchTo sends an event on a connection and keeps it for a resume.
func (s *Service) dispatchTo(l *line, kind string, data json.RawMessage) {
	s.gateway.mu.Lock()
	p := packet{Op: opDispatch, Type: kind, Data: data, Seq: len(l.session.events) + 1}
	l.session.events = append(l.session.events, p)
	s.gateway.mu.Unlock()
	l.send(p)
}

func marshal(v any) json.RawMessage {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}
