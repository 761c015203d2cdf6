package chat

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// TestManyFaults asks all the while that one fault after another strikes, of
// the gateway and of REST: every question is carried out once and answered
// once. The environment's COUNTWRIGHT_FAULTS says how many; 1440 are a day's,
// one a minute.
func TestManyFaults(t *testing.T) {
	t.Parallel()
	faults, err := strconv.Atoi(os.Getenv("COUNTWRIGHT_FAULTS"))
	if err != nil {
		faults = 6
	}
	stubs := newStubs()
	var trouble atomic.Int32 // so many of the next first answers meet with trouble
	var service *Service
	fake, _ := serving(t, stubs.set(), func(s *Service, f *loopback.Service) {
		service, f.Heartbeat = s, 2*time.Second
		s.timing.open = 5 * time.Second
		f.Reply = func(w http.ResponseWriter, r *http.Request) bool {
			if !strings.HasSuffix(r.URL.Path, "/callback") || trouble.Add(-1) < 0 {
				return false
			}
			w.Header().Set("Content-Type", "application/json")
			switch rand.N(3) {
			case 0:
				w.WriteHeader(http.StatusBadGateway)
			case 1:
				w.WriteHeader(http.StatusTooManyRequests)
				fmt.Fprint(w, `{"message":"You are being rate limited.","retry_after":0.05,"global":false}`)
			default:
				c, _, _ := http.NewResponseController(w).Hijack()
				c.Close()
			}
			return true
		}
	})
	strike := map[string]func(){
		"drop":            func() { fake.Drop() },
		"4000":            func() { fake.Close(4000) },
		"reconnect":       func() { fake.Reconnect() },
		"invalid a while": func() { fake.Send(9, "true") },
		"refused resume":  func() { fake.Next(loopback.Fault{On: "resume", Close: 4000}); fake.Drop() },
		"reconnect again": func() { fake.Next(loopback.Fault{On: "resume", Op: 7, Data: "null"}); fake.Drop() },
		"no connection":   func() { fake.Next(loopback.Fault{On: "connect", Close: 1012}); fake.Drop() },
		"REST":            func() { trouble.Store(3) },
	}
	asked := 0
	var open []*loopback.Answer
	for n := range faults {
		kind := ""
		for kind = range strike {
			break
		}
		for i := range 20 {
			open = append(open, fake.Ask(loopback.Ask{Path: "say", Options: map[string]string{"text": fmt.Sprintf("%d after %s", asked, kind)}}))
			asked++
			if i == 10 {
				strike[kind]()
			}
			time.Sleep(time.Duration(rand.N(3)) * time.Millisecond)
		}
		for _, a := range open {
			select {
			case <-a.Done():
				fake.Forget(a)
			case <-time.After(15 * time.Second):
				var figures strings.Builder
				service.measures.set.WritePrometheus(&figures)
				t.Fatalf("after %d faults, the last %q, one was not answered:\n%s", n+1, kind, figures.String())
			}
		}
		open = open[:0]
		if got := stubs.runs(); got != asked {
			t.Fatalf("after %d faults, the last %q: %d asked, %d carried out", n+1, kind, asked, got)
		}
		trouble.Store(0)
	}
	t.Logf("%d faults, %d answers, %d resumes, %d new sessions", faults, asked, fake.Count("resume"), fake.Count("identify"))
}
