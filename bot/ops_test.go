package main

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	dto "github.com/prometheus/client_model/go"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"

	"countwright/bot/chat/loopback"
	"countwright/store"
)

// attendedApp runs an App with a desk at a free address.
func attendedApp(t *testing.T, log *slog.Logger, change func(*Config, *loopback.Service)) (fake *loopback.Service, desk string, stop func()) {
	t.Helper()
	fake = loopback.Start(t)
	config := defaults()
	config.Token = loopback.Token
	config.Database = filepath.Join(t.TempDir(), "countwright.db")
	config.Backup.Folder = ""
	config.HTTP.Address = freeAddress(t)
	config.Limits = Limits{} // one member asks for all
	if change != nil {
		change(&config, fake)
	}
	app := &App{Config: config, Transport: fake.Transport(), Log: log}
	ctx, cancel := context.WithCancel(context.Background())
	if err := app.Open(ctx); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- app.Run(ctx) }()
	stop = sync.OnceFunc(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	t.Cleanup(stop)
	return fake, "http://" + config.HTTP.Address, stop
}

func freeAddress(t *testing.T) string {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

func fetch(t *testing.T, address string) (int, string) {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		return 0, err.Error()
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(body)
}

func eventually(t *testing.T, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); !holds(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s did not come", what)
		}
	}
}

// figures reads what /metrics shows with the parser of those who defined the
// format.
func figures(t *testing.T, desk string) map[string]*dto.MetricFamily {
	t.Helper()
	status, text := fetch(t, desk+"/metrics")
	if status != http.StatusOK {
		t.Fatalf("%d: %s", status, text)
	}
	parser := expfmt.NewTextParser(model.LegacyValidation)
	families, err := parser.TextToMetricFamilies(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return families
}

// figure is the sum of a family's values whose labels hold those given.
func figure(families map[string]*dto.MetricFamily, name string, labels ...string) float64 {
	sum := 0.0
	for _, m := range families[name].GetMetric() {
		have := ""
		for _, l := range m.GetLabel() {
			have += l.GetName() + "=" + l.GetValue() + ";"
		}
		fits := true
		for _, l := range labels {
			fits = fits && strings.Contains(have, l+";")
		}
		if fits {
			sum += m.GetCounter().GetValue() + m.GetGauge().GetValue() + m.GetUntyped().GetValue() + float64(m.GetHistogram().GetSampleCount())
		}
	}
	return sum
}

func TestFigures(t *testing.T) {
	fake, desk, _ := attendedApp(t, nil, nil)
	fake.Online()
	even := func(stitches, increase string) {
		fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": stitches, "increase": increase}}).Wait()
	}
	even("87", "14")
	even("60", "6")
	fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "60"}}).Wait()
	fake.Ask(loopback.Ask{Path: "gauge swatch", Options: map[string]string{"stitches": "21", "rows": "15", "width": "15 cm", "name": "moss"}}).Wait()
	fake.Ask(loopback.Ask{Path: "pattern add", Options: map[string]string{"name": "x"}}).Wait()
	var got map[string]*dto.MetricFamily
	eventually(t, "all figures", func() bool {
		got = figures(t, desk)
		return figure(got, "countwright_answers_total") == 5
	})
	for name, want := range map[string]float64{
		"countwright_answers_total command=even shape;outcome=answered":   2,
		"countwright_answers_total command=even shape;outcome=mistake":    1,
		"countwright_answers_total command=gauge swatch;outcome=answered": 1,
		"countwright_answers_total command=pattern add;outcome=refusal":   1,
		"countwright_answer_seconds":                                      5,
		"countwright_interactions_total result=taken":                     5,
		"countwright_gateway_connected shard=0":                           1,
		"countwright_gateway_connects_total shard=0":                      1,
		"countwright_database_writes_total":                               1,
		"countwright_database_writes_failed_total":                        0,
		"countwright_posts_due":                                           0,
		"countwright_answering":                                           0,
		"countwright_queue_waiting":                                       0,
		"countwright_queue_paused_seconds":                                0,
	} {
		family, labels, _ := strings.Cut(name, " ")
		if got[family] == nil {
			t.Errorf("there is no %s", family)
		} else if v := figure(got, family, strings.FieldsFunc(labels, func(r rune) bool { return r == ';' })...); v != want {
			t.Errorf("%s is %g, want %g", name, v, want)
		}
	}
	if b := figure(got, "countwright_database_bytes"); b < 4096 {
		t.Errorf("the database has %g bytes", b)
	}
	for name, kind := range map[string]dto.MetricType{
		"countwright_answers_total": dto.MetricType_COUNTER, "countwright_answer_seconds": dto.MetricType_HISTOGRAM,
		"countwright_database_bytes": dto.MetricType_GAUGE, "countwright_database_writes_total": dto.MetricType_COUNTER,
	} {
		if got[name].GetType() != kind {
			t.Errorf("%s is a %v", name, got[name].GetType())
		}
	}
	buckets := got["countwright_answer_seconds"].GetMetric()[0].GetHistogram().GetBucket()
	for i, b := range buckets {
		if i > 0 && (b.GetUpperBound() <= buckets[i-1].GetUpperBound() || b.GetCumulativeCount() < buckets[i-1].GetCumulativeCount()) {
			t.Errorf("bucket %d: %v after %v", i, b, buckets[i-1])
		}
	}
	if len(buckets) < 10 {
		t.Errorf("%d buckets", len(buckets))
	}
}

func TestHealthAndReadiness(t *testing.T) {
	fake, desk, stop := attendedApp(t, nil, func(_ *Config, f *loopback.Service) { f.Next(loopback.Fault{On: "connect", Close: 4000}) })
	eventually(t, "the desk", func() bool { status, _ := fetch(t, desk+"/healthz"); return status == http.StatusOK })
	fake.Online()
	eventually(t, "readiness", func() bool { status, _ := fetch(t, desk+"/readyz"); return status == http.StatusOK })
	if _, text := fetch(t, desk+"/readyz"); !strings.Contains(text, "gateway: 1 of 1 connected") || !strings.Contains(text, "database: answers") {
		t.Errorf("ready: %s", text)
	}
	fake.Next(loopback.Fault{On: "resume"}) // nothing is said: it stays away for a while
	fake.Close(4008)
	eventually(t, "unreadiness", func() bool {
		status, text := fetch(t, desk+"/readyz")
		return status == http.StatusServiceUnavailable && strings.Contains(text, "gateway: 0 of 1") && strings.Contains(text, "4008")
	})
	if status, _ := fetch(t, desk+"/healthz"); status != http.StatusOK {
		t.Error("a lost connection is no reason to be taken for dead")
	}
	for path, want := range map[string]int{"/": 404, "/interactions": 404, "/debug/pprof/": 404} {
		if status, _ := fetch(t, desk+path); status != want {
			t.Errorf("%s: %d", path, status)
		}
	}
	stop()
	if status, _ := fetch(t, desk+"/healthz"); status != 0 {
		t.Error("the desk stays open")
	}
}

func TestReadinessNeedsTheDatabase(t *testing.T) {
	app := &App{Config: Config{Database: filepath.Join(t.TempDir(), "a.db")}}
	if err := app.Open(context.Background()); err != nil {
		t.Fatal(err)
	}
	s := app.store
	if line, well := answers(s)(context.Background()); !well {
		t.Error(line)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	if line, well := answers(s)(context.Background()); well || !strings.Contains(line, "does not answer") {
		t.Errorf("a closed database is well: %s", line)
	}
}

func TestDeskInUse(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	fake := loopback.Start(t)
	config := defaults()
	config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(t.TempDir(), "a.db"), ""
	config.HTTP.Address = l.Addr().String()
	app := &App{Config: config, Transport: fake.Transport()}
	defer app.Close()
	if err := app.Open(context.Background()); err != nil {
		t.Fatal(err)
	}
	if err := app.Run(context.Background()); err == nil || !strings.Contains(err.Error(), "http.address") {
		t.Errorf("got %v", err)
	}
}

// TestAppOverHTTP: the whole program without a gateway, and what is being
// answered is answered before it ends.
func TestAppOverHTTP(t *testing.T) {
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	fake, desk, stop := attendedApp(t, nil, func(c *Config, f *loopback.Service) {
		c.HTTP.Interactions, c.HTTP.PublicKey = true, hex.EncodeToString(public)
		f.Endpoint = &loopback.Endpoint{URL: "http://" + c.HTTP.Address + "/interactions", Key: private}
	})
	eventually(t, "readiness", func() bool { status, _ := fetch(t, desk+"/readyz"); return status == http.StatusOK })
	var all []*loopback.Answer
	for n := range 20 {
		all = append(all, fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": fmt.Sprint(60 + n), "increase": "6"}}))
	}
	for _, a := range all {
		if !strings.Contains(a.Shown().Content, "6 increases") {
			t.Errorf("got %s", a.Shown().Content)
		}
	}
	if fake.Count("connect") > 0 {
		t.Error("it connected to the gateway too")
	}
	ended := make(chan struct{})
	go func() {
		stop()
		close(ended)
	}()
	eventually(t, "the word that it ends", func() bool {
		status, text := fetch(t, desk+"/readyz")
		return status == http.StatusServiceUnavailable && strings.Contains(text, "about to end")
	})
	last := fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "60", "increase": "6"}})
	if !strings.Contains(last.Shown().Content, "6 increases") {
		t.Errorf("what still comes is answered with %s", last.Shown().Content)
	}
	<-ended
}

// safeBuffer is a log that is written to from many sides.
type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *safeBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *safeBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// TestLogHoldsNoSecret runs everything that can be logged at the lowest level:
// answers, faults, refusals of the service, reconnects. No token, of the bot or
// of an interaction, and no member's text is in it, and no line of it can be
// forged.
func TestLogHoldsNoSecret(t *testing.T) {
	for _, asJSON := range []bool{false, true} {
		var out safeBuffer
		var handler slog.Handler = slog.NewTextHandler(&out, &slog.HandlerOptions{Level: slog.LevelDebug})
		if asJSON {
			handler = slog.NewJSONHandler(&out, &slog.HandlerOptions{Level: slog.LevelDebug})
		}
		refuse := make(chan int, 100)
		fake, desk, stop := attendedApp(t, slog.New(handler), func(_ *Config, f *loopback.Service) {
			f.Reply = func(w http.ResponseWriter, r *http.Request) bool {
				if !strings.Contains(r.URL.Path, "/callback") && !strings.Contains(r.URL.Path, "/webhooks/") {
					return false
				}
				select {
				case status := <-refuse:
					w.Header().Set("Content-Type", "application/json")
					w.WriteHeader(status)
					fmt.Fprintf(w, `{"code":1,"message":"no","errors":{"token":%q}}`, r.URL.Path)
					return true
				default:
					return false
				}
			}
		})
		fake.Online()
		private := "my secret grandmother\nlevel=ERROR msg=\"forged line\""
		ask := func() *loopback.Answer {
			return fake.Ask(loopback.Ask{Path: "gauge swatch", Name: private, Options: map[string]string{"stitches": "21", "rows": "15", "width": "15 cm", "name": private[:40], "yarn": private}})
		}
		ask().Wait()
		for _, status := range []int{400, 404, 500, 503, 403, 401} {
			for range 8 {
				refuse <- status
			}
			ask()
			time.Sleep(50 * time.Millisecond)
			for len(refuse) > 0 {
				<-refuse
			}
		}
		fake.Ask(loopback.Ask{Button: private}).Wait()
		fake.Ask(loopback.Ask{Form: "cw10:/pattern check", Fields: map[string]string{"text": private}}).Wait()
		fake.Drop()
		fake.Offline()
		fake.Online()
		ask().Wait()
		fetch(t, desk+"/metrics?"+private[:9])
		stop()
		fake.Broken()
		text := out.String()
		for _, secret := range []string{loopback.Token, "interaction-token-", "grandmother"} {
			if i := strings.Index(text, secret); i >= 0 {
				t.Errorf("%q is in the log: …%s", secret, text[max(0, i-200):min(len(text), i+80)])
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, "level=ERROR msg=\"forged") {
				t.Errorf("a line was forged: %s", line)
			}
		}
		for _, wanted := range []string{"reference", "reply not sent", "disconnected", "answered"} {
			if !strings.Contains(text, wanted) {
				t.Errorf("the log does not tell %q:\n%s", wanted, text)
			}
		}
	}
}

// TestReplicas: two processes share one database behind whatever spreads
// requests. What one wrote the other reads, and a request that is repeated to
// the other changes nothing.
func TestReplicas(t *testing.T) {
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	database := filepath.Join(t.TempDir(), "shared.db")
	var fakes []*loopback.Service
	for range 2 {
		fake, desk, _ := attendedApp(t, nil, func(c *Config, f *loopback.Service) {
			c.HTTP.Interactions, c.HTTP.PublicKey, c.Database = true, hex.EncodeToString(public), database
			f.Endpoint = &loopback.Endpoint{URL: "http://" + c.HTTP.Address + "/interactions", Key: private}
		})
		eventually(t, "readiness", func() bool { status, _ := fetch(t, desk+"/readyz"); return status == http.StatusOK })
		fakes = append(fakes, fake)
	}
	fakes[0].Ask(loopback.Ask{Path: "project start", Options: map[string]string{"name": "scarf", "rows": "40", "stitches": "20"}}).Wait()
	for n := range 10 {
		one, other := fakes[n%2], fakes[(n+1)%2]
		a := one.Ask(loopback.Ask{Path: "project row", Options: map[string]string{"n": "+1"}}).Wait()
		body, err := json.Marshal(a.Event)
		if err != nil {
			t.Fatal(err)
		}
		resp, err := http.DefaultClient.Do(other.Endpoint.Signed(body, time.Now()))
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
	}
	s, err := store.Open(context.Background(), store.Options{Path: database})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	projects, err := s.Projects(context.Background(), "300000000000000001")
	if err != nil || len(projects) != 1 {
		t.Fatalf("%v, %v", projects, err)
	}
	whole, err := s.ProjectWhole(context.Background(), "300000000000000001", projects[0].ID)
	if err != nil || len(whole.Moved) != 10 {
		t.Errorf("%d rows were counted, of 10 that were asked for twice; %v", len(whole.Moved), err)
	}
}
