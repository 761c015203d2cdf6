package loopback

import (
	"cmp"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
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
	Data  string // of the operation, as JSON; empty: false
}

// gateway is the state behind all connections.
type gateway struct {
	mu       sync.Mutex
	faults   []Fault
	live     map[int]*line // by shard
	sessions map[string]*session
	counts   map[string]int // connects, identifies, resumes, heartbeats
	starts   []Begun
	deaf     bool // acknowledges no heartbeats
}

// Begun is a new session that the bot began.
type Begun struct {
	Shard, Count int
	At           time.Time
}

// session is what survives a lost connection: events are replayed.
type session struct {
	id     string
	shard  int
	count  int
	events []packet
	empty  int // so many of the first were forgotten
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

// Started are the sessions that the bot began, in order.
func (s *Service) Started() []Begun {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	return slices.Clone(s.gateway.starts)
}

// Drop cuts the connections without a word: those of the shards named, or all.
func (s *Service) Drop(shards ...int) { s.onLive(func(l *line) { l.ws.Close() }, shards...) }

// Close closes connections with a code: those of the shards named, or all.
func (s *Service) Close(code int, shards ...int) {
	s.onLive(func(l *line) { l.close(code) }, shards...)
}

// Reconnect asks the bot to connect again.
func (s *Service) Reconnect() { s.Send(opReconnect, "null") }

// Send sends an operation to the shards named, or to all.
func (s *Service) Send(op int, data string, shards ...int) {
	s.onLive(func(l *line) { l.send(packet{Op: op, Data: json.RawMessage(data)}) }, shards...)
}

// Event sends an event to the shards named, or to all.
func (s *Service) Event(kind string, data any, shards ...int) {
	body := marshal(data)
	s.onLive(func(l *line) { s.dispatchTo(l, kind, body) }, shards...)
}

func (s *Service) onLive(do func(*line), shards ...int) bool {
	s.gateway.mu.Lock()
	var found []*line
	for shard, l := range s.gateway.live {
		if len(shards) == 0 || slices.Contains(shards, shard) {
			found = append(found, l)
		}
	}
	s.gateway.mu.Unlock()
	for _, l := range found {
		do(l)
	}
	return len(found) > 0
}

// deliver sends an event to a shard, or keeps it until its session is resumed.
func (s *Service) deliver(shard int, kind string, data json.RawMessage) bool {
	s.gateway.mu.Lock()
	l := s.gateway.live[shard]
	if l == nil {
		defer s.gateway.mu.Unlock()
		for _, known := range s.gateway.sessions {
			if known.shard == shard {
				known.events = append(known.events, packet{Op: opDispatch, Type: kind, Data: data, Seq: len(known.events) + 1})
				return true
			}
		}
		return false
	}
	s.gateway.mu.Unlock()
	s.dispatchTo(l, kind, data)
	return true
}

// Forget drops what is kept of an answer, and the oldest events, so that a
// long measurement does not grow.
func (s *Service) Forget(a *Answer) {
	s.mu.Lock()
	delete(s.answers, a.token)
	s.mu.Unlock()
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	for _, known := range s.gateway.sessions {
		for ; known.empty < len(known.events)-500; known.empty++ {
			known.events[known.empty].Data = json.RawMessage("{}")
		}
	}
}

// ShardOf is the shard to which a server belongs, by the documented formula;
// without one, direct messages.
func ShardOf(server string, count int) int {
	id, err := strconv.ParseUint(server, 10, 64)
	if err != nil || count < 2 {
		return 0
	}
	return int((id >> 22) % uint64(count))
}

// shardOf is the shard to which a server belongs now.
func (s *Service) shardOf(server string) int {
	s.gateway.mu.Lock()
	defer s.gateway.mu.Unlock()
	if n := len(s.gateway.starts); n > 0 {
		return ShardOf(server, s.gateway.starts[n-1].Count)
	}
	return 0
}

// Online waits until the bot is connected, with all of its shards.
func (s *Service) Online() { s.tb.Helper(); s.Connected(max(1, s.Shards)) }

// Offline waits until the bot is gone.
func (s *Service) Offline() { s.tb.Helper(); s.Connected(0) }

// Connected waits until so many shards are connected.
func (s *Service) Connected(shards int) {
	s.tb.Helper()
	if !eventually(10*time.Second, func() bool {
		s.gateway.mu.Lock()
		defer s.gateway.mu.Unlock()
		return len(s.gateway.live) == shards
	}) {
		s.tb.Fatalf("the bot did not come to %d connections", shards)
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
	defer g.mu.Unlock()
	for _, l := range g.live {
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
		l.send(packet{Op: f.Op, Data: json.RawMessage(cmp.Or(f.Data, "false"))})
	}
}

var upgrader = websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}

// connect serves one connection of the gateway.
func (s *Service) connect(w http.ResponseWriter, r *http.Request) {
	if strings.HasPrefix(r.URL.Path, "/ws/resume") {
		s.gateway.fault("resume address")
	}
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
		if l.session != nil && s.gateway.live[l.session.shard] == l {
			delete(s.gateway.live, l.session.shard)
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
		f, faulty := s.gateway.fault("heartbeat")
		if faulty {
			f.meet(l)
		}
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
		Token   string  `json:"token"`
		Intents int     `json:"intents"`
		Shard   *[2]int `json:"shard"`
	}
	json.Unmarshal(p.Data, &d)
	shard := [2]int{0, 1}
	if d.Shard != nil {
		shard = *d.Shard
	}
	switch {
	case shard[0] < 0 || shard[0] >= shard[1]:
		l.close(4010)
		return
	case d.Token != "Bot "+Token && d.Token != Token:
		l.close(4004)
		return
	case d.Intents&^1 != 0 && !s.Unchecked:
		s.breaks("identify", "asks for more than the intent of servers")
	}
	known := &session{id: s.newID(), shard: shard[0], count: shard[1]}
	s.gateway.mu.Lock()
	l.session = known
	s.gateway.starts = append(s.gateway.starts, Begun{Shard: shard[0], Count: shard[1], At: time.Now()})
	s.gateway.sessions[l.session.id] = l.session
	s.gateway.mu.Unlock()
	ready := map[string]any{
		"v": 9, "session_id": l.session.id, "resume_gateway_url": cmp.Or(s.ResumeAt, s.gatewayURL()+"/resume"), "guilds": s.guilds(shard),
		"user":        map[string]any{"id": Application, "username": "countwright", "bot": true},
		"application": map[string]any{"id": Application, "flags": 0},
	}
	if d.Shard != nil {
		ready["shard"] = d.Shard
	}
	s.dispatchTo(l, "READY", marshal(ready))
	s.goLive(l)
	s.introduce(l, shard)
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
	defer s.gateway.mu.Unlock() // so that nothing comes between what was missed and what is new
	known := s.gateway.sessions[d.Session]
	if known == nil || d.Seq > len(known.events) {
		l.send(packet{Op: opInvalid, Data: json.RawMessage("false")})
		return
	}
	l.session = known
	known.events = append(known.events, packet{Op: opDispatch, Type: "RESUMED", Data: json.RawMessage("{}"), Seq: len(known.events) + 1})
	for _, e := range known.events[d.Seq:] {
		l.send(e)
	}
	s.gateway.live[known.shard] = l
}

func (s *Service) goLive(l *line) {
	s.gateway.mu.Lock()
	s.gateway.live[l.session.shard] = l
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
