package chat

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/gorilla/websocket"
)

// What keeps the faults of the library (v0.29.0) and of the network away, each
// with its reason. None needs more than the library's public names.

// newSession makes a session of the library with its safe settings.
func (s *Service) newSession() (*discordgo.Session, error) {
	d, err := discordgo.New("Bot " + s.options.Token)
	if err != nil {
		return nil, fmt.Errorf("make session: %w", err)
	}
	d.StateEnabled = false                       // its cache of servers costs 40 KB each and races; nothing here needs it
	d.Identify.Intents = discordgo.IntentsGuilds // interactions come without any; none is privileged
	d.SyncEvents = false                         // a handler in the reader would hold up heartbeats, and can deadlock Open
	d.ShouldReconnectOnError = false             // its own reconnecting never stops on fatal codes and can deadlock; serve does it
	d.ShouldReconnectVoiceOnSessionError = false // no voice
	d.ShouldRetryOnRateLimit = false             // it would sleep without limit and context
	d.MaxRestRetries = 0                         // rest does it, within the deadline
	d.LogLevel = -1                              // its log has tokens in it; what matters is logged here
	d.Client = s.client
	d.UserAgent = "DiscordBot (Countwright, 1)"
	d.AddHandler(s.event)
	return d, nil
}

// conn is a connection that notices silence. The library reads without a
// deadline: a service that accepts and says nothing would hang it for ever,
// and a dead line is noticed after minutes only.
type conn struct {
	net.Conn
	silence time.Duration
	once    sync.Once
	closed  chan struct{}
}

func (c *conn) Read(p []byte) (int, error) {
	if err := c.SetReadDeadline(time.Now().Add(c.silence)); err != nil {
		return 0, err
	}
	n, err := c.Conn.Read(p)
	if err != nil {
		c.Close() // before the library can send close code 1000, which would end the resumable session
	}
	return n, err
}

// Close ends the connection and tells serve, which waits on closed: the
// library's own event comes without its connection and may come twice.
func (c *conn) Close() error {
	err := net.ErrClosed
	c.once.Do(func() {
		err = c.Conn.Close()
		close(c.closed)
	})
	return err
}

// dialer makes a dialer for one attempt to connect, and where its connection
// comes out.
func (s *Service) dialer() (*websocket.Dialer, <-chan *conn) {
	made := make(chan *conn, 1)
	return &websocket.Dialer{
		Proxy: http.ProxyFromEnvironment, HandshakeTimeout: s.timing.open / 2,
		NetDialContext: func(ctx context.Context, network, address string) (net.Conn, error) {
			plain, err := (&net.Dialer{}).DialContext(ctx, network, address)
			if err != nil {
				return nil, err
			}
			c := &conn{Conn: plain, silence: s.timing.silence, closed: make(chan struct{})}
			made <- c
			return c, nil
		},
	}, made
}

// settle waits until what is left of d's last connection has ended: the
// library's heartbeat may be late to notice that, and would then close the new
// connection, with the code that ends the session.
func settle(d *discordgo.Session) {
	d.Lock()
	//lint:ignore SA2001 the lock is held while the connection closes
	d.Unlock()
	time.Sleep(50 * time.Millisecond)
}

// errStuck is the library's lock held for ever: a reconnect request as the
// first packet after resuming does it. The session can't be saved; another
// takes its place.
var errStuck = errors.New("the library is stuck")

// stuck watches the session's lock and returns when it can't be had, or when
// stop closes.
func (s *Service) stuck(d *discordgo.Session, stop <-chan struct{}) <-chan struct{} {
	found := make(chan struct{})
	go func() {
		tick := time.NewTicker(s.timing.stuck / 10)
		defer tick.Stop()
		last := time.Now()
		for {
			select {
			case <-stop:
				return
			case <-tick.C:
			}
			if d.TryRLock() {
				d.RUnlock()
				last = time.Now()
			} else if time.Since(last) > s.timing.stuck {
				close(found)
				return
			}
		}
	}()
	return found
}

// fatal are the close codes after which connecting again is forbidden, with
// what the operator should do.
var fatal = map[int]string{
	4004: "the service refused the token: copy it again from the developer portal (Bot → Reset Token) into the configuration",
	4010: "the shard number is wrong",
	4011: "the bot is in more servers than one connection may serve: it must be sharded",
	4012: "the service no longer speaks this version: update Countwright",
	4013: "the intents are invalid: update Countwright",
	4014: "the bot asks for an intent that it may not have: none is needed, check the developer portal",
}

// closeCode finds the code with which the service closed a connection.
func closeCode(err error) int {
	var c *websocket.CloseError
	if errors.As(err, &c) {
		return c.Code
	}
	return 0
}

// newTransport keeps enough connections open: the default of two makes a busy
// bot connect anew for most answers.
func newTransport() http.RoundTripper {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxIdleConnsPerHost = 64
	return t
}

// errBlocked is an answer that did not come from the service's own API but
// from the wall before it, in HTML; the library would take it for broken JSON
// and go on.
var errBlocked = errors.New("the service's wall refuses this address for a while")

// mostInvalid of the requests in ten minutes may be refused (401, 403, 429)
// before all but answers to members stop; at 10,000 the service bans the
// address.
const mostInvalid = 2000

// meter counts refused requests.
type meter struct {
	next    http.RoundTripper
	now     func() time.Time
	mu      sync.Mutex
	since   time.Time
	invalid int
}

// RoundTrip sends a request and counts a refusal.
func (m *meter) RoundTrip(r *http.Request) (*http.Response, error) {
	resp, err := m.next.RoundTrip(r)
	if err != nil {
		return nil, err
	}
	switch resp.StatusCode {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests:
		if resp.Header.Get("X-RateLimit-Scope") != "shared" {
			m.count()
		}
		if resp.StatusCode == http.StatusTooManyRequests && !strings.HasPrefix(resp.Header.Get("Content-Type"), "application/json") {
			resp.Body.Close()
			return nil, errBlocked
		}
	}
	return resp, nil
}

func (m *meter) count() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.renew()
	m.invalid++
}

func (m *meter) renew() {
	if now := m.now(); now.Sub(m.since) > 10*time.Minute {
		m.since, m.invalid = now, 0
	}
}

// tooMany reports whether so many requests were refused that no more should be
// made than members wait for.
func (m *meter) tooMany() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.renew()
	return m.invalid > mostInvalid
}
