package chat

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// Source: RFC 8032, section 7.1, test vectors for Ed25519: TEST 1, TEST 2,
// TEST 3 and TEST SHA(abc).
var rfc8032 = []struct{ name, secret, public, message, signature string }{
	{"TEST 1", "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
		"d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
		"e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"},
	{"TEST 2", "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
		"3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
		"92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"},
	{"TEST 3", "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
		"fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
		"6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"},
	{"TEST SHA(abc)", "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
		"ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
		"ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
		"dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704"},
}

func unhex(t *testing.T, s string) []byte {
	b, err := hex.DecodeString(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestSignaturesOfTheStandard: the verification that requests go through
// takes the standard's signatures, and none that differs by a bit.
func TestSignaturesOfTheStandard(t *testing.T) {
	for _, v := range rfc8032 {
		public, message, signature := unhex(t, v.public), unhex(t, v.message), unhex(t, v.signature)
		if !genuine(public, message, v.signature) {
			t.Errorf("%s was refused", v.name)
		}
		if key := ed25519.NewKeyFromSeed(unhex(t, v.secret)); !bytes.Equal(ed25519.Sign(key, message), signature) {
			t.Errorf("%s is signed differently", v.name)
		}
		for bit := 0; bit < 8*len(signature); bit += 37 {
			broken := bytes.Clone(signature)
			broken[bit/8] ^= 1 << (bit % 8)
			if genuine(public, message, hex.EncodeToString(broken)) {
				t.Errorf("%s with bit %d turned was taken", v.name, bit)
			}
		}
		for _, other := range []string{"", "zz", v.signature[:126], v.signature + "00", strings.Repeat("00", 64)} {
			if genuine(public, message, other) {
				t.Errorf("%s: %q was taken", v.name, other)
			}
		}
		if genuine(public, append(message, 0), v.signature) {
			t.Errorf("%s was taken for a longer message", v.name)
		}
	}
}

// overHTTP lets a Service take interactions over HTTP from a stand-in of the
// chat service.
func overHTTP(tb testing.TB, set *commands.Set, change func(*Service, *loopback.Service)) (*loopback.Service, *Service) {
	tb.Helper()
	fake := loopback.Start(tb)
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		tb.Fatal(err)
	}
	s, err := New(Options{Token: loopback.Token, Set: set, Now: func() time.Time { return noon }, PublicKey: public,
		Transport: fake.Transport(), Log: slog.New(slog.NewTextHandler(logTo{tb}, &slog.HandlerOptions{Level: slog.LevelDebug})), HostRoles: []string{"700000000000000001"}})
	if err != nil {
		tb.Fatal(err)
	}
	hasten(s)
	server := httptest.NewServer(s.Interactions())
	fake.Endpoint = &loopback.Endpoint{URL: server.URL, Key: private}
	if change != nil {
		change(s, fake)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	tb.Cleanup(func() {
		server.Close()
		cancel()
		if err := <-ended; err != nil {
			tb.Error(err)
		}
	})
	for end := time.Now().Add(10 * time.Second); !s.Prepared(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			tb.Fatal("it did not register its commands")
		}
	}
	return fake, s
}

// TestEveryExampleOverHTTP: the same handlers, the same answers.
func TestEveryExampleOverHTTP(t *testing.T) {
	t.Parallel()
	set := commands.All(newCommunity(), nil)
	fake, _ := overHTTP(t, set, nil)
	n := 0
	for _, path := range set.Paths() {
		c, _ := set.Lookup(path)
		for _, line := range c.Examples {
			a := fake.Ask(example(t, set, line)).Wait()
			if a.Form == nil && a.Shown().Content == "" && len(a.Shown().Files) == 0 {
				t.Errorf("%s was answered with nothing", line)
			}
			n++
		}
	}
	if n < 50 {
		t.Errorf("only %d examples", n)
	}
	if fake.Count("connect") > 0 {
		t.Error("it connected to the gateway too")
	}
}

// TestAllKindsOverHTTP: everything that the gateway brings in the other tests.
func TestAllKindsOverHTTP(t *testing.T) {
	t.Parallel()
	stubs := newStubs()
	close(stubs.gate)
	fake, _ := overHTTP(t, stubs.set(), nil)
	say := func(text string) loopback.Ask {
		return loopback.Ask{Path: "say", Options: map[string]string{"text": text}}
	}
	for name, tt := range map[string]struct {
		ask   loopback.Ask
		first int
		shows string
	}{
		"text":        {say("hello"), 4, "hello"},
		"direct":      {loopback.Ask{Path: "say", Options: map[string]string{"text": "you"}, Direct: true}, 4, "you"},
		"deferred":    {loopback.Ask{Path: "slow", Options: map[string]string{"text": "done"}}, 5, "done"},
		"private":     {loopback.Ask{Path: "secret", Options: map[string]string{"text": "psst"}}, 5, "psst"},
		"slip":        {loopback.Ask{Path: "slip"}, 5, "it can't be"},
		"panic":       {loopback.Ask{Path: "panic"}, 4, "reference"},
		"picture":     {loopback.Ask{Path: "picture"}, 4, ""},
		"large file":  {loopback.Ask{Path: "big"}, 5, ""},
		"button":      {loopback.Ask{Button: "cw11:/say text:tapped"}, 4, "tapped"},
		"old button":  {loopback.Ask{Button: "old"}, 4, "earlier time"},
		"form":        {loopback.Ask{Path: "form"}, 9, ""},
		"form sent":   {loopback.Ask{Form: "cw10:/form count:3", Fields: map[string]string{"text": "Row 1"}}, 4, "3:Row 1"},
		"broken form": {loopback.Ask{Form: "cw10:/form text:given", Parts: []any{map[string]any{"type": 18, "label": "L"}}}, 4, ""},
		"typing":      {loopback.Ask{Path: "say", Options: map[string]string{"yarn": "F"}, Typing: "yarn"}, 8, ""},
	} {
		a := fake.Ask(tt.ask).Wait()
		if a.First != tt.first || tt.shows != "" && !strings.Contains(a.Shown().Content, tt.shows) {
			t.Errorf("%s: type %d, %+v", name, a.First, a.Message)
		}
	}
}

func TestPing(t *testing.T) {
	fake, _ := overHTTP(t, newStubs().set(), nil)
	resp, err := http.DefaultClient.Do(fake.Endpoint.Signed([]byte(`{"type":1,"id":"1","application_id":"2","token":"t","version":1}`), time.Now()))
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, _ := io.ReadAll(resp.Body)
	if resp.StatusCode != http.StatusOK || string(body) != `{"type":1}` || resp.Header.Get("Content-Type") != "application/json" {
		t.Errorf("%s: %s", resp.Status, body)
	}
}

// TestRefusedRequests: whatever is wrong with a signature, the answer is the
// same, and nothing is carried out.
func TestRefusedRequests(t *testing.T) {
	stubs := newStubs()
	fake, _ := overHTTP(t, stubs.set(), func(s *Service, _ *loopback.Service) { s.log = slog.New(slog.DiscardHandler) })
	body := func() []byte {
		return fmt.Appendf(nil, `{"type":2,"id":%q,"application_id":"2","token":"t","version":1,"user":{"id":"3","username":"m"},"data":{"id":"1","name":"say","type":1}}`, loopback.IDAt(time.Now()))
	}
	signed := func(b []byte, at time.Time) *http.Request { return fake.Endpoint.Signed(b, at) }
	with := func(name, value string) *http.Request {
		r := signed(body(), time.Now())
		r.Header.Set(name, value)
		return r
	}
	strange := *fake.Endpoint
	_, strange.Key, _ = ed25519.GenerateKey(nil)
	tampered := signed(body(), time.Now())
	tampered.Body = io.NopCloser(bytes.NewReader(append(body(), ' ')))
	tampered.ContentLength = -1
	bare, _ := http.NewRequest(http.MethodPost, fake.Endpoint.URL, bytes.NewReader(body()))
	answers := map[string]bool{}
	for name, r := range map[string]*http.Request{
		"no headers": bare, "tampered": tampered, "another key": strange.Signed(body(), time.Now()),
		"no hexadecimal": with("X-Signature-Ed25519", "xyz"), "short": with("X-Signature-Ed25519", "abcd"), "zeros": with("X-Signature-Ed25519", strings.Repeat("0", 128)),
		"another time": with("X-Signature-Timestamp", "1700000000"), "no time": with("X-Signature-Timestamp", ""),
		"old": signed(body(), time.Now().Add(-freshFor-2*time.Second)), "of the future": signed(body(), time.Now().Add(freshFor+2*time.Second)),
	} {
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		text, _ := io.ReadAll(resp.Body)
		resp.Body.Close()
		if resp.StatusCode != http.StatusUnauthorized {
			t.Errorf("%s: %s", name, resp.Status)
		}
		answers[string(text)] = true
	}
	if len(answers) != 1 {
		t.Errorf("the answers tell apart what was wrong: %v", answers)
	}
	for name, tt := range map[string]struct {
		body []byte
		want int
	}{
		"too large":          {bytes.Repeat([]byte(" "), largestInteraction+1), http.StatusRequestEntityTooLarge},
		"not an interaction": {[]byte("null"), http.StatusBadRequest},
		"not JSON":           {[]byte("{"), http.StatusBadRequest},
	} {
		resp, err := http.DefaultClient.Do(signed(tt.body, time.Now()))
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != tt.want {
			t.Errorf("%s: %s", name, resp.Status)
		}
	}
	if n := stubs.runs(); n != 0 {
		t.Errorf("%d were carried out", n)
	}
}

// TestRepeatedRequest: a request that somebody caught and sends again is not
// carried out again.
func TestRepeatedRequest(t *testing.T) {
	stubs := newStubs()
	fake, _ := overHTTP(t, stubs.set(), nil)
	a := fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": "once"}})
	a.Wait()
	body, err := json.Marshal(a.Event)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 10 {
		all.Go(func() {
			resp, err := http.DefaultClient.Do(fake.Endpoint.Signed(body, time.Now()))
			if err != nil {
				t.Error(err)
				return
			}
			resp.Body.Close()
			if resp.StatusCode != http.StatusConflict {
				t.Errorf("again: %s", resp.Status)
			}
		})
	}
	all.Wait()
	if n := stubs.runs(); n != 1 {
		t.Errorf("carried out %d times", n)
	}
}

// TestRequestGoesAway: the service hangs up before the answer is there.
func TestRequestGoesAway(t *testing.T) {
	stubs := newStubs()
	fake, s := overHTTP(t, stubs.set(), nil)
	body := fmt.Appendf(nil, `{"type":2,"id":%q,"application_id":"2","token":"t","version":1,"user":{"id":"3","username":"m"},"data":{"id":"1","name":"late","type":1}}`, loopback.IDAt(time.Now()))
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		<-stubs.entered
		cancel()
		time.Sleep(50 * time.Millisecond)
		close(stubs.gate)
	}()
	if resp, err := http.DefaultClient.Do(fake.Endpoint.Signed(body, time.Now()).WithContext(ctx)); err == nil {
		resp.Body.Close()
		t.Error("it was answered")
	}
	waitFor(t, "the place to be free", func() bool { return len(s.slots) == 0 })
}

// BenchmarkHTTP is a text reply over HTTP, signature and all.
func BenchmarkHTTP(b *testing.B) {
	set := commands.All(newCommunity(), nil)
	fake, _ := overHTTP(b, set, func(s *Service, f *loopback.Service) { s.log, f.Unchecked = slog.New(slog.DiscardHandler), true })
	ask := example(b, set, benchLine)
	b.ReportAllocs()
	for b.Loop() {
		fake.Ask(ask).Wait()
	}
}
