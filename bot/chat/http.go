package chat

import (
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/bwmarrin/discordgo"
)

// Interactions over HTTP are an alternative to the gateway: any number of
// processes behind whatever spreads requests, none of which keeps anything
// that another needs. The service sends them to one or the other, as the
// application is set up in its developer portal. There is then no gateway at
// all: what would come over it (servers that are left) is found out when a
// post can't be sent.

// largestInteraction is the size of a request that is read, in bytes. A form
// holds at most five texts of 4,000 characters.
const largestInteraction = 1 << 20

// freshFor is how far the time of a request may be from ours, as corrected by
// the service's clock. A request that is repeated within it is refused as one
// that was taken already.
const freshFor = time.Minute

// Interactions is where the service brings interactions, signed with the
// application's key (Ed25519, RFC 8032, over the time and the body).
func (s *Service) Interactions() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, largestInteraction))
		if err != nil {
			http.Error(w, "too large, or cut off", http.StatusRequestEntityTooLarge)
			return
		}
		if !s.signed(r.Header, body, time.Now()) {
			// The service probes with wrong signatures. Whatever is wrong, the
			// answer is the same.
			s.measures.interaction("unsigned")
			http.Error(w, "invalid request signature", http.StatusUnauthorized)
			return
		}
		var created discordgo.InteractionCreate
		decoding := json.Unmarshal(body, &created)
		switch {
		case created.Interaction == nil:
			http.Error(w, "not an interaction", http.StatusBadRequest)
		case created.Type == discordgo.InteractionPing:
			write(w, []byte(`{"type":1}`))
		default:
			a, err := askOf(&created, body, time.Now())
			s.takeInline(w, r, a, errors.Join(err, decoding))
		}
	})
}

// signed reports whether a request comes from the service, and lately.
func (s *Service) signed(h http.Header, body []byte, now time.Time) bool {
	stamp := h.Get("X-Signature-Timestamp")
	good := genuine(s.options.PublicKey, append([]byte(stamp), body...), h.Get("X-Signature-Ed25519"))
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil || !good {
		return false
	}
	ahead, _ := s.meter.ahead()
	age := now.Add(-ahead).Sub(time.Unix(seconds, 0))
	if age.Abs() > freshFor {
		s.log.Warn("a signed interaction is too old, or this machine's clock is wrong", "age", age.Round(time.Second))
		return false
	}
	return true
}

// genuine verifies a signature in hexadecimal. One that can't be read is
// verified too, as another, so that it takes as long.
func genuine(key ed25519.PublicKey, message []byte, signature string) bool {
	b, err := hex.DecodeString(signature)
	if err != nil || len(b) != ed25519.SignatureSize {
		b = make([]byte, ed25519.SignatureSize)
	}
	return ed25519.Verify(key, message, b)
}

// carrier is the request that brought an interaction, and takes its first
// answer back.
type carrier struct {
	answer chan []byte   // one, to be written
	done   chan error    // whether it was
	gone   chan struct{} // closed when the request waits no more
	posted chan struct{} // closed when the answer went another way
}

func newCarrier() *carrier {
	return &carrier{answer: make(chan []byte), done: make(chan error, 1), gone: make(chan struct{}), posted: make(chan struct{}, 1)}
}

// errGone is a request that nobody waits for any more.
var errGone = errors.New("the request that brought the interaction is gone")

// give writes a first answer, and reports false for one with files, which goes
// up on its own.
func (c *carrier) give(first callback, uploads []upload) (sent bool, err error) {
	if len(uploads) > 0 {
		return false, nil
	}
	body, err := json.Marshal(first)
	if err != nil {
		return true, err
	}
	select {
	case c.answer <- body:
		return true, <-c.done
	case <-c.gone:
		return true, errGone
	}
}

// elsewhere says that the answer was sent on its own.
func (c *carrier) elsewhere() {
	select {
	case c.posted <- struct{}{}:
	default:
	}
}

// settled does what needs a first answer to be there. One that was given to a
// carrier is known to the service only when it has read it, which may be a
// moment later.
func (c *carrier) settled(ctx context.Context, do func() error) error {
	wait := 50 * time.Millisecond
	for {
		err := do()
		if r := restError(err); c == nil || r == nil || r.Response.StatusCode != http.StatusNotFound || wait > 2*time.Second {
			return err
		}
		pause(ctx, wait)
		wait *= 2
	}
}

// takeInline answers an interaction, at once where that can be, and lets the
// work go on after the request that brought it has ended.
func (s *Service) takeInline(w http.ResponseWriter, r *http.Request, a ask, unread error) {
	a.carrier = newCarrier()
	defer close(a.carrier.gone)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		s.take(a, unread)
	}()
	ctx, cancel := context.WithDeadline(r.Context(), a.came.Add(s.timing.callback))
	defer cancel()
	select {
	case body := <-a.carrier.answer:
		a.carrier.done <- write(w, body)
	case <-a.carrier.posted:
		w.WriteHeader(http.StatusAccepted)
	case <-ctx.Done():
		w.WriteHeader(http.StatusServiceUnavailable)
	case <-ended:
		select {
		case <-a.carrier.posted:
			w.WriteHeader(http.StatusAccepted)
		default:
			w.WriteHeader(http.StatusConflict) // it was taken already, and is answered where it came first
		}
	}
}

func write(w http.ResponseWriter, body []byte) error {
	w.Header().Set("Content-Type", "application/json")
	_, err := w.Write(body)
	if err == nil {
		err = http.NewResponseController(w).Flush()
	}
	return err
}
