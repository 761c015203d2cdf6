package chat

import (
	"bytes"
	"strings"
	"testing"

	"countwright/bot/chat/loopback"
)

func TestCallSaysWhoAndWhere(t *testing.T) {
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "x", "count": "12", "really": "yes", "in": "round"}, Member: "42", Name: "Ona", Locale: "pt-PT"}).Wait()
	c := stubs.last()
	if c.Path != "say" || c.Member.ID != "42" || c.Member.Name != "Ona" || c.Locale != "pt-PT" || c.Server != loopback.Server || c.Channel == "" || c.ID == "" || !c.Now.Equal(noon) || c.Host {
		t.Errorf("got %+v", c)
	}
	for name, want := range map[string]string{"text": "x", "count": "12", "really": "yes", "in": "round"} {
		if got := c.Inputs[name].Text; got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	fake.Ask(loopback.Ask{Path: "say", Direct: true, Options: map[string]string{"text": "x", "really": "no"}}).Wait()
	if c := stubs.last(); c.Server != "" || c.Member.Name != "Mira" || c.Host || c.Inputs["really"].Text != "no" {
		t.Errorf("in a direct message: %+v", c)
	}
}

func TestWhoIsHost(t *testing.T) {
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	tests := []struct {
		name string
		ask  loopback.Ask
		host bool
	}{
		{"a member", loopback.Ask{}, false},
		{"another role", loopback.Ask{Roles: []string{"9"}}, false},
		{"the configured role", loopback.Ask{Roles: []string{"9", "700000000000000001"}}, true},
		{"may manage events", loopback.Ask{Permissions: 1 << 33}, true},
		{"may create events", loopback.Ask{Permissions: 1 << 44}, true},
		{"an administrator", loopback.Ask{Permissions: 1 << 3}, true},
		{"may manage messages", loopback.Ask{Permissions: 1 << 13}, false},
		{"in a direct message", loopback.Ask{Direct: true}, false},
	}
	for _, tt := range tests {
		tt.ask.Path = "desk open"
		a := fake.Ask(tt.ask)
		if opened := strings.Contains(a.Shown().Content, "opened"); opened != tt.host {
			t.Errorf("%s: %s", tt.name, a.Shown().Content)
		}
	}
}

func TestAttachment(t *testing.T) {
	stubs := newStubs()
	fake, _ := serving(t, stubs.set(), nil)
	body := []byte("Row 1: ch 12")
	m := fake.Ask(loopback.Ask{Path: "read", Files: map[string]loopback.File{"file": {Name: "Scarf.TXT", Type: "text/plain", Body: body}}}).Shown()
	if !strings.Contains(m.Content, "read") || !bytes.Equal(stubs.file, body) {
		t.Errorf("read %q and answered %s", stubs.file, m.Content)
	}
	fake.Requests()
	for name, file := range map[string]loopback.File{
		"too large":    {Name: "a.txt", Body: make([]byte, 2000)},
		"wrong ending": {Name: "a.exe", Body: body},
	} {
		a := fake.Ask(loopback.Ask{Path: "read", Files: map[string]loopback.File{"file": file}})
		if m := a.Shown(); !a.ForOne() || !strings.Contains(m.Content, "did not work") {
			t.Errorf("%s: %s", name, m.Content)
		}
	}
	if r := fake.Requests(); len(r) > 0 {
		t.Errorf("fetched in spite of the limits: %q", r)
	}
}

func TestAttachmentsComeFromTheServiceOnly(t *testing.T) {
	fake := loopback.Start(t)
	s, err := New(Options{Token: loopback.Token, Set: newStubs().set(), Transport: fake.Transport()})
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range []string{
		"http://cdn.discordapp.com/attachments/1/a.txt", "https://example.org/a.txt", "https://cdn.discordapp.com.example.org/a.txt",
		"https://cdn.discordapp.com:8443/a.txt", "https://x@cdn.discordapp.com/a.txt", "https://127.0.0.1/a.txt", "file:///etc/passwd", "://", "",
	} {
		if _, err := s.fetch(t.Context(), address, 10); err == nil || !strings.Contains(err.Error(), "not one of the service's") {
			t.Errorf("%s: %v", address, err)
		}
	}
	if _, err := s.fetch(t.Context(), "https://cdn.discordapp.com/attachments/1/a.txt", mostFetched+1); err == nil || !strings.Contains(err.Error(), "I read files up to") {
		t.Errorf("a huge file: %v", err)
	}
	if r := fake.Requests(); len(r) > 0 {
		t.Errorf("asked for %q", r)
	}
}
