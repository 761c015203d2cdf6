package chat

import (
	"bytes"
	"crypto/ed25519"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// shared is a text that several write.
type shared struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *shared) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *shared) text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// anything is a service that takes whatever is sent, and keeps it.
type anything struct{ shared }

func (a *anything) RoundTrip(r *http.Request) (*http.Response, error) {
	if r.Body != nil {
		if _, err := io.Copy(a, r.Body); err != nil {
			return nil, err
		}
	}
	return &http.Response{StatusCode: http.StatusNoContent, Status: "204 No Content", Header: http.Header{}, Body: http.NoBody, Request: r}, nil
}

// absurd are interactions whose fields are missing, of the wrong kind, or more
// than any client sends.
var absurd = []string{
	`{}`, `null`, `[]`, `0`, `{"type":1}`, `{"type":2}`, `{"type":2,"data":null}`, `{"type":99,"data":{"name":"say"}}`, `{"type":-1}`, `{"type":"2"}`,
	`{"type":2,"id":"1","token":"t","data":{"name":"say"}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[null]}}`,
	`{"type":4,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[null,{"type":1,"focused":true}]}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[{"type":2,"name":"a","options":[{"type":1,"name":"b","options":[null]}]}]}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[{"name":"text","type":3,"value":{"a":[1,null]}}]}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[{"name":"count","type":4,"value":1e308}]}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"read","options":[{"name":"file","type":11,"value":"7"}],"resolved":{"attachments":{"7":null}}}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"read","options":[{"name":"file","type":11,"value":"7"}],"resolved":{"attachments":{"7":{"filename":"a.txt","size":-1,"url":"https://cdn.discordapp.com/a"}}}}}`,
	`{"type":2,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"read","options":[{"name":"file","type":11,"value":"7"}],"resolved":null}}`,
	`{"type":2,"id":"1","token":"t","member":{"permissions":"-1"},"data":{"name":"say"}}`,
	`{"type":2,"id":"1","token":"t","member":{"user":null,"roles":null},"user":null,"data":{"name":"say"}}`,
	`{"type":2,"id":"x","token":"","member":{"user":{"id":"","username":"\u0000\u202e"},"roles":[null],"permissions":"99999999999999999999"},"guild_id":"g","data":{"name":"desk"}}`,
	`{"type":3,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"","component_type":2}}`,
	`{"type":3,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw1","component_type":3,"values":[null]}}`,
	`{"type":3,"id":"1","token":"t","user":{"id":"5"},"message":{"flags":64},"data":{"custom_id":"cw10:/say text:\"","component_type":2}}`,
	`{"type":3,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw10:/gone with:it","component_type":2}}`,
	`{"type":3,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw2:7","component_type":9,"values":["cw10:/say text:one","cw10:/panic"]}}`,
	`{"type":5,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw10:/form","components":[]}}`,
	`{"type":5,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw10:/form","components":[{"type":1,"components":[{"type":4,"custom_id":"text","value":"x"},{"type":4,"custom_id":"nothing","value":"x"}]}]}}`,
	`{"type":5,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw10:/form","components":[{"type":18,"component":{"type":4,"value":"x"}}]}}`,
	`{"type":5,"id":"1","token":"t","user":{"id":"5"},"data":{"custom_id":"cw10:/form","components":[{"type":1,"components":[null]},null]}}`,
	`{"type":4,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"say","options":[{"name":"yarn","type":3,"value":null,"focused":true}]}}`,
	`{"type":4,"id":"1","token":"t","user":{"id":"5"},"data":{"name":"gone","options":[{"name":"rows","type":4,"value":"x","focused":true}]}}`,
}

// FuzzInteraction: whatever an interaction holds, it makes no panic, and nobody
// is shown where in the program something went wrong.
func FuzzInteraction(f *testing.F) {
	for _, text := range absurd {
		f.Add([]byte(text))
	}
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		f.Fatal(err)
	}
	door := loopback.Endpoint{URL: "https://countwright.test/interactions", Key: private}
	f.Fuzz(func(t *testing.T, body []byte) {
		if bytes.Contains(body, []byte("panic")) || bytes.Contains(body, []byte(`\u`)) {
			t.Skip() // of the stubs, one does
		}
		stubs := newStubs()
		close(stubs.gate)
		var log shared
		service := &anything{}
		s, err := New(Options{Token: loopback.Token, Set: stubs.set(), PublicKey: public, Transport: service, Log: slog.New(slog.NewTextHandler(&log, nil))})
		if err != nil {
			t.Fatal(err)
		}
		answer := httptest.NewRecorder()
		s.Interactions().ServeHTTP(answer, door.Signed(body, time.Now()))
		shown := answer.Body.String() + service.text()
		if strings.Contains(log.text(), "panic") || strings.Contains(shown, "goroutine ") || strings.Contains(shown, ".go:") {
			t.Fatalf("it was answered with %s\nand logged as %s", shown, log.text())
		}
		if answer.Code >= 500 && answer.Code != http.StatusServiceUnavailable {
			t.Fatalf("the status is %d", answer.Code)
		}
	})
}
