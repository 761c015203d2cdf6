package chat

import (
	"crypto/ed25519"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// FuzzInteraction brings whatever bytes, well signed: a fault of the service's,
// or something newer than the library knows, must be answered or refused, and
// never end the process.
func FuzzInteraction(f *testing.F) {
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		f.Fatal(err)
	}
	stubs := newStubs()
	close(stubs.gate)
	s, err := New(Options{Token: "t", Set: stubs.set(), PublicKey: public, Now: func() time.Time { return noon },
		Transport: &answering{answered(404, `{"code":10062,"message":"Unknown interaction"}`, "Content-Type", "application/json")}})
	if err != nil {
		f.Fatal(err)
	}
	s.timing.callback, s.timing.exchange = 200*time.Millisecond, 50*time.Millisecond
	handler := s.Interactions()
	user := map[string]any{"id": "3", "username": "m"}
	component := func(parts ...any) map[string]any { return map[string]any{"type": 1, "components": parts} }
	for _, seed := range []map[string]any{
		{"type": 1},
		{"type": 2, "data": map[string]any{"id": "1", "name": "say", "type": 1, "options": []any{map[string]any{"name": "text", "type": 3, "value": "x"}}}},
		{"type": 2, "data": map[string]any{"id": "1", "name": "desk", "type": 1, "options": []any{map[string]any{"name": "open", "type": 1, "options": []any{}}}}},
		{"type": 2, "data": map[string]any{"id": "1", "name": "read", "type": 1, "options": []any{map[string]any{"name": "file", "type": 11, "value": "9"}}, "resolved": map[string]any{"attachments": map[string]any{"9": map[string]any{"id": "9", "filename": "a.txt", "size": 3, "url": "https://cdn.discordapp.com/a"}}}}},
		{"type": 4, "data": map[string]any{"id": "1", "name": "say", "type": 1, "options": []any{map[string]any{"name": "yarn", "type": 3, "value": "F", "focused": true}}}},
		{"type": 3, "message": map[string]any{"id": "6", "flags": 64}, "data": map[string]any{"custom_id": "cw11:/say text:tapped", "component_type": 2}},
		{"type": 3, "data": map[string]any{"custom_id": "cw10:", "component_type": 3, "values": []any{"cw10:/say text:one"}}},
		{"type": 5, "data": map[string]any{"custom_id": "cw10:/form count:3", "components": []any{component(map[string]any{"type": 4, "custom_id": "text", "value": "x"})}}},
		{"type": 5, "data": map[string]any{"custom_id": "cw10:/form", "components": []any{map[string]any{"type": 18, "component": map[string]any{"type": 21}}}}},
		{"type": 99, "data": nil},
	} {
		seed["id"], seed["application_id"], seed["token"], seed["version"], seed["user"] = "1", "2", "t", 1, user
		body, err := json.Marshal(seed)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(body)
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		s.recent = recent{} // the same id again is another
		request := loopback.Endpoint{URL: "http://bot/interactions", Key: private}.Signed(body, time.Now())
		answer := httptest.NewRecorder()
		handler.ServeHTTP(answer, request)
		if answer.Code == http.StatusUnauthorized || answer.Code == http.StatusInternalServerError {
			t.Errorf("%d for %s", answer.Code, body)
		}
		for len(s.slots) > 0 {
			time.Sleep(time.Millisecond)
		}
	})
}

// answering answers everything alike.
type answering struct {
	answer func(*http.Request) *http.Response
}

func (a *answering) RoundTrip(r *http.Request) (*http.Response, error) { return a.answer(r), nil }
