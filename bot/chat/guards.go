package chat

import (
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
)

// What keeps the faults of the library (v0.29.0) and of the network away, each
// with its reason; more of it is in wire.go. None needs more than the
// library's public names.

// userAgent has the form that the service asks for.
const userAgent = "DiscordBot (Countwright, 1)"

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
	d.MaxRestRetries = 0                         // it asks for nothing but the gateway, and serve asks again
	d.LogLevel = -1                              // its log has tokens in it; what matters is logged here
	d.Client = s.client
	d.UserAgent = userAgent
	d.Compress, d.Identify.Compress = false, false // a wire reads along
	return d, nil
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

// errStuck is the library's lock held for ever. No way to it is left open that
// is known; if there is another, the session can't be saved, and a new one
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
	4010: "the shard is not one of those there are: set [shards] in the configuration to the same count in all processes",
	4011: "the bot is in more servers than so few connections may serve: it must be sharded further; set [shards] count to 0, or higher",
	4012: "the service no longer speaks this version: update Countwright",
	4013: "the intents are invalid: update Countwright",
	4014: "the bot asks for an intent that it may not have: none is needed, check the developer portal",
}

// newTransport keeps enough connections open: the default of two makes a busy
// bot connect anew for most answers.
func newTransport() http.RoundTripper {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxIdleConnsPerHost = 64
	return t
}

// errBlocked is an answer that did not come from the service's own API but
// from the wall before it, in HTML.
var errBlocked = errors.New("the service's wall refuses this address for a while")

// mostInvalid of the requests in ten minutes may be refused (401, 403, 429)
// before all but answers to members stop; at 10,000 the service bans the
// address.
const mostInvalid = 2000

// meter counts refused requests, and sees by the service's clock how far ours
// is ahead.
type meter struct {
	next    http.RoundTripper
	now     func() time.Time
	mu      sync.Mutex
	since   time.Time
	invalid int
	dated   bool
	skew    time.Duration
}

// RoundTrip sends a request and counts a refusal.
func (m *meter) RoundTrip(r *http.Request) (*http.Response, error) {
	asked := m.now()
	resp, err := m.next.RoundTrip(r)
	if err != nil {
		return nil, err
	}
	m.compare(resp.Header.Get("Date"), asked, m.now())
	switch resp.StatusCode {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests:
		if resp.Header.Get("X-RateLimit-Scope") != "shared" {
			m.count()
		}
	}
	return resp, nil
}

// compare reads the service's clock, which is told in whole seconds, cut off.
func (m *meter) compare(date string, asked, answered time.Time) {
	told, err := http.ParseTime(date)
	if err != nil || answered.Sub(asked) > 2*time.Second {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.dated, m.skew = true, asked.Add(answered.Sub(asked)/2).Sub(told.Add(time.Second/2))
}

// ahead is how far our clock is before the service's, to a second or so, and
// false while that is not known.
func (m *meter) ahead() (skew time.Duration, known bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.skew, m.dated
}

// refused is how many requests were refused lately.
func (m *meter) refused() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.renew()
	return m.invalid
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
