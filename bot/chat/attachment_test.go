package chat

import (
	"io"
	"net/http"
	"strings"
	"testing"
)

// far answers in place of the network, and notes what was asked.
type far struct {
	asked  []string
	answer func(*http.Request) *http.Response
}

func (f *far) RoundTrip(r *http.Request) (*http.Response, error) {
	f.asked = append(f.asked, r.URL.String())
	if r.Header.Get("Authorization") != "" {
		f.asked = append(f.asked, "with the token")
	}
	return f.answer(r), nil
}

func answered(status int, body string, header ...string) func(*http.Request) *http.Response {
	return func(r *http.Request) *http.Response {
		h := http.Header{}
		for i := 0; i+1 < len(header); i += 2 {
			h.Set(header[i], header[i+1])
		}
		return &http.Response{StatusCode: status, Status: http.StatusText(status), Header: h, Body: io.NopCloser(strings.NewReader(body)), Request: r}
	}
}

// TestNoRequestToAnAddressOfAMembers: nothing goes out but to the service's own
// hosts of attachments, whatever an address looks like.
func TestNoRequestToAnAddressOfAMembers(t *testing.T) {
	f := &far{answer: answered(200, "12345")}
	s, err := New(Options{Token: "t", Set: newStubs().set(), Transport: f})
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range []string{
		"http://cdn.discordapp.com/a", "https://cdn.discordapp.com.example.org/a", "https://example.org/cdn.discordapp.com", "https://cdn.discordapp.com@example.org/a",
		"https://user@cdn.discordapp.com/a", "https://cdn.discordapp.com:8443/a", "https://127.0.0.1/a", "https://[::1]/a", "https://169.254.169.254/latest/meta-data", "https://localhost/a",
		"file:///etc/passwd", "//cdn.discordapp.com/a", "https://cdn.discordapp.com\\@example.org/a", "https://CDN.discordapp.com.", "", "https://", "gopher://cdn.discordapp.com", "https://cdn.discordapp.com%2eexample.org/",
	} {
		if body, err := s.fetch(t.Context(), address, 5); err == nil {
			t.Errorf("%q gave %q", address, body)
		}
	}
	if len(f.asked) > 0 {
		t.Errorf("asked for %q", f.asked)
	}
	if body, err := s.fetch(t.Context(), "https://cdn.discordapp.com/attachments/1/2/a.txt?ex=1", 5); err != nil || string(body) != "12345" || len(f.asked) != 1 {
		t.Errorf("%q, %v, %q", body, err, f.asked)
	}
	f.asked = nil
	if _, err := s.fetch(t.Context(), "https://cdn.discordapp.com/a", mostFetched+1); err == nil || len(f.asked) > 0 {
		t.Errorf("one too large: %v, %q", err, f.asked)
	}
}

// TestAttachmentsThatAreNotWhatTheyWereToBe: what comes is no longer than what
// was announced, leads nowhere else, and no error holds the signed address.
func TestAttachmentsThatAreNotWhatTheyWereToBe(t *testing.T) {
	for name, tt := range map[string]func(*http.Request) *http.Response{
		"longer":   answered(200, strings.Repeat("x", 1<<20)),
		"shorter":  answered(200, "1"),
		"gone":     answered(404, "12345"),
		"redirect": answered(302, "", "Location", "https://example.org/secret-signature"),
	} {
		f := &far{answer: tt}
		s, err := New(Options{Token: "t", Set: newStubs().set(), Transport: f})
		if err != nil {
			t.Fatal(err)
		}
		body, err := s.fetch(t.Context(), "https://cdn.discordapp.com/a?hm=secret-signature", 5)
		if err == nil || strings.Contains(err.Error(), "secret") {
			t.Errorf("%s: %q, %v", name, body, err)
		}
		if len(f.asked) != 1 {
			t.Errorf("%s: asked for %q", name, f.asked)
		}
	}
}
