package loopback

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"io"
	"net/http"
	"strconv"
	"time"
)

// Endpoint is where the service brings interactions over HTTP, in place of the
// gateway, signed with the application's key.
type Endpoint struct {
	URL string
	Key ed25519.PrivateKey
}

// Signed makes a request of the service, as of a time.
func (e Endpoint) Signed(body []byte, at time.Time) *http.Request {
	stamp := strconv.FormatInt(at.Unix(), 10)
	r, err := http.NewRequestWithContext(context.Background(), http.MethodPost, e.URL, bytes.NewReader(body))
	if err != nil {
		panic(err)
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("User-Agent", "Discord-Interactions/1.0 (+https://discord.com)")
	r.Header.Set("X-Signature-Timestamp", stamp)
	r.Header.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(e.Key, append([]byte(stamp), body...))))
	return r
}

// bring brings an interaction, and takes the answer that comes back.
func (s *Service) bring(a *Answer, body []byte) {
	client := http.Client{Timeout: firstAnswer}
	resp, err := client.Do(s.Endpoint.Signed(body, time.Now()))
	if err != nil {
		s.breaks(a.name, "over HTTP: "+err.Error())
		return
	}
	defer resp.Body.Close()
	answer, err := io.ReadAll(resp.Body)
	switch {
	case err != nil:
		s.breaks(a.name, "over HTTP: "+err.Error())
	case resp.StatusCode == http.StatusAccepted && len(answer) == 0:
		a.mu.Lock()
		unanswered := a.First == 0 && !s.Unchecked
		a.mu.Unlock()
		if unanswered {
			s.breaks(a.name, "accepted over HTTP without an answer of its own")
		}
	case resp.StatusCode != http.StatusOK || resp.Header.Get("Content-Type") != "application/json":
		s.breaks(a.name, "answered over HTTP with "+resp.Status+" and "+resp.Header.Get("Content-Type"))
	default:
		s.observe("callback", answer)
		if s.Unchecked {
			a.finish()
			return
		}
		s.breaks(a.name, a.take(json.RawMessage(answer), nil, time.Since(a.asked))...)
	}
}
