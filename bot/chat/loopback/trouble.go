package loopback

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"time"
)

// Trouble is what happens to a request in place of an answer. The zero
// Trouble is none.
type Trouble struct {
	Accepted bool          // it was carried out nevertheless
	Status   int           // answered: 429, 500, 503
	Scope    string        // of a 429: "user", "global" or "shared"
	After    time.Duration // of a 429: how long to wait
	Wall     bool          // it comes in HTML, from the wall before the service
	Cut      bool          // the connection ends
	Hang     bool          // nothing comes until the bot gives up
}

// meet does what a trouble says; it reports whether it answered.
func (t Trouble) meet(w http.ResponseWriter, r *http.Request, carryOut http.Handler) bool {
	if t == (Trouble{}) {
		return false
	}
	if t.Accepted {
		carryOut.ServeHTTP(httptest.NewRecorder(), r)
	}
	switch {
	case t.Hang:
		<-r.Context().Done()
		panic(http.ErrAbortHandler)
	case t.Cut:
		panic(http.ErrAbortHandler)
	case t.Wall:
		w.Header().Set("Content-Type", "text/html")
		w.Header().Set("Retry-After", strconv.Itoa(int(t.After.Seconds())))
		w.WriteHeader(t.Status)
		io.WriteString(w, "<html>blocked</html>")
	case t.Status == http.StatusTooManyRequests:
		tooMany(w, t.Scope, t.After)
	default:
		refuse(w, t.Status, 0, "Internal Server Error")
	}
	return true
}

// tooMany answers that a limit is used up.
func tooMany(w http.ResponseWriter, scope string, after time.Duration) {
	w.Header().Set("X-RateLimit-Scope", scope)
	if scope == "global" {
		w.Header().Set("X-RateLimit-Global", "true")
	}
	w.Header().Set("Retry-After", strconv.Itoa(int(after.Seconds()+1)))
	answerJSON(w, http.StatusTooManyRequests, map[string]any{"message": "You are being rate limited.", "retry_after": after.Seconds(), "global": scope == "global"})
}

// span counts requests in one span of a limit.
type span struct {
	ends time.Time
	left int
}

// mostPerSecond is the limit over all routes.
const mostPerSecond = 50

// within counts a request against its route's limit, tells it in headers, and
// answers where it is used up. It does so only where Limits are on.
func (s *Service) within(w http.ResponseWriter, r *http.Request, name, place string, b bucketOf) bool {
	if !s.Limits {
		return true
	}
	s.mu.Lock()
	now := s.clock()
	key := name + " " + place
	c := s.spans[key]
	if c == nil || !now.Before(c.ends) {
		c = &span{ends: now.Add(b.span), left: b.limit}
		s.spans[key] = c
	}
	c.left--
	left, after := c.left, c.ends.Sub(now)
	s.mu.Unlock()
	h := w.Header()
	h.Set("X-RateLimit-Bucket", "bucket-"+name)
	h.Set("X-RateLimit-Limit", strconv.Itoa(b.limit))
	h.Set("X-RateLimit-Remaining", strconv.Itoa(max(0, left)))
	h.Set("X-RateLimit-Reset", fmt.Sprintf("%.3f", float64(now.Add(after).UnixMilli())/1000))
	h.Set("X-RateLimit-Reset-After", fmt.Sprintf("%.3f", after.Seconds()))
	if left < 0 {
		s.exceeded(name)
		tooMany(w, "user", after)
		return false
	}
	return true
}

// exceeded counts the requests that were beyond a limit.
func (s *Service) exceeded(name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.beyond[name]++
}

// Beyond is how many requests were beyond the limit of a route, or "global".
func (s *Service) Beyond(name string) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.beyond[name]
}

// everywhere counts a request against the limit over all routes. What answers
// an interaction is not bound by it.
func (s *Service) everywhere(w http.ResponseWriter) bool {
	if !s.Limits {
		return true
	}
	s.mu.Lock()
	now := s.clock()
	if !now.Before(s.second.ends) {
		s.second = span{ends: now.Add(time.Second), left: mostPerSecond}
	}
	s.second.left--
	left, after := s.second.left, s.second.ends.Sub(now)
	s.mu.Unlock()
	if left < 0 {
		s.exceeded("global")
		tooMany(w, "global", after)
		return false
	}
	return true
}

// InProcess leads every request to this service without a network, so that a
// test may have a time of its own.
func (s *Service) InProcess() http.RoundTripper { return inProcess{s} }

type inProcess struct{ service *Service }

var errCut = errors.New("the connection ended")

// RoundTrip carries out a request, and loses its answer where the bot has given
// up by then.
func (t inProcess) RoundTrip(r *http.Request) (response *http.Response, err error) {
	if err := r.Context().Err(); err != nil {
		return nil, err
	}
	there := r.Clone(r.Context())
	there.Host = r.URL.Host
	there.Header.Set("X-Was-Scheme", r.URL.Scheme)
	there.RequestURI = r.URL.RequestURI()
	if there.Body == nil {
		there.Body = http.NoBody
	}
	w := httptest.NewRecorder()
	defer func() {
		if recover() != nil { // as the library's server takes http.ErrAbortHandler
			response, err = nil, errCut
			if r.Context().Err() != nil {
				err = r.Context().Err()
			}
		}
	}()
	t.service.handler.ServeHTTP(w, there)
	if err := r.Context().Err(); err != nil {
		return nil, err
	}
	response = w.Result()
	response.Request = r
	return response, nil
}

// rest wraps the routes in what happens to all of REST.
func (s *Service) rest(routes http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		answering := strings.Contains(r.URL.Path, "/interactions/") || strings.Contains(r.URL.Path, "/webhooks/")
		if strings.HasPrefix(r.URL.Path, "/ws/") || strings.HasPrefix(r.URL.Path, "/attachments/") || answering {
			routes.ServeHTTP(w, r)
			return
		}
		if s.Meddle != nil {
			body, err := io.ReadAll(r.Body)
			if err != nil {
				return
			}
			r.Body = io.NopCloser(bytes.NewReader(body))
			if s.Meddle(r).meet(w, r, routes) {
				return
			}
		}
		if s.everywhere(w) {
			routes.ServeHTTP(w, r)
		}
	})
}
