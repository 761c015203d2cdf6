package chat

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"
)

// Types of an answer to an interaction.
const (
	answerMessage     = 4
	answerDeferred    = 5
	answerSuggestions = 8
	answerForm        = 9
)

// callback is a first answer.
type callback struct {
	Type int `json:"type"`
	Data any `json:"data,omitempty"`
}

// callback sends a first answer. It must be out within the time the service
// waits, counted from when the interaction came.
func (s *Service) callback(a ask, kind int, data any) error {
	ctx, cancel := context.WithDeadline(context.Background(), a.came.Add(s.timing.callback))
	defer cancel()
	if a.carrier != nil {
		if sent, err := a.carrier.give(callback{Type: kind, Data: data}, uploadsOf(data)); sent {
			return err
		}
		defer a.carrier.elsewhere()
	}
	err := s.send(ctx, http.MethodPost, discordgo.EndpointInteractionResponse(a.ID, a.Token), callback{Type: kind, Data: data}, uploadsOf(data))
	if codeOf(err) == codeAlreadyAnswered {
		return nil // an attempt before this one came through
	}
	return err
}

// edit puts a message in place of the deferral.
func (s *Service) edit(a ask, m message) error {
	m.Flags &^= flagEphemeral // fixed by the deferral
	return s.webhook(http.MethodPatch, a, "/messages/@original", m)
}

// withdraw removes the deferral.
func (s *Service) withdraw(a ask) error {
	return s.webhook(http.MethodDelete, a, "/messages/@original", nil)
}

// follow sends a further message.
func (s *Service) follow(a ask, m message) error {
	return s.webhook(http.MethodPost, a, "", m)
}

func (s *Service) webhook(method string, a ask, path string, data any) error {
	ctx, cancel := context.WithTimeout(context.Background(), s.timing.exchange)
	defer cancel()
	return a.carrier.settled(ctx, func() error {
		return s.send(ctx, method, discordgo.EndpointWebhookToken(a.AppID, a.Token)+path, data, uploadsOf(data))
	})
}

func uploadsOf(data any) []upload {
	if m, ok := data.(message); ok {
		return m.uploads
	}
	return nil
}

// send makes a request about an interaction.
func (s *Service) send(ctx context.Context, method, address string, data any, uploads []upload) error {
	media, body, err := encode(data, uploads)
	if err != nil {
		return err
	}
	_, err = s.try(ctx, func() ([]byte, error) {
		answer, _, err := s.exchange(ctx, method, address, media, body)
		return answer, err
	})
	return err
}

// rest makes a request that the bot needs to serve at all, and tries again where
// that may help.
func (s *Service) rest(ctx context.Context, method, address string, data any) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, s.timing.exchange)
	defer cancel()
	return s.try(ctx, func() ([]byte, error) { return s.paced(ctx, method, address, data, nil, true) })
}

// mostLimited is how often a request is made again that the service had made
// wait.
const mostLimited = 5

// queued makes one request that nobody waits for when the queue lets it through,
// and again where the service makes it wait. What must wait for long is a
// *later.
func (s *Service) queued(ctx context.Context, method, address string, data any, uploads []upload) ([]byte, error) {
	return s.paced(ctx, method, address, data, uploads, false)
}

func (s *Service) paced(ctx context.Context, method, address string, data any, uploads []upload, urgent bool) ([]byte, error) {
	media, body, err := encode(data, uploads)
	if err != nil {
		return nil, err
	}
	path, _, _ := strings.Cut(strings.TrimPrefix(address, discordgo.EndpointAPI), "?")
	for attempt := 1; ; attempt++ {
		if s.meter.tooMany() {
			return nil, &later{wallPause, errInvalid}
		}
		done, err := s.queue.admit(ctx, routeOf(method, path), urgent)
		if err != nil {
			return nil, err
		}
		answer, header, err := s.timed(ctx, method, address, media, body)
		done(header, err)
		var limited *limitError
		if !errors.As(err, &limited) {
			return answer, err
		}
		if attempt == mostLimited || limited.after > patience {
			return nil, &later{max(limited.after, time.Second), err}
		}
	}
}

// timed is an exchange that does not wait for ever.
func (s *Service) timed(ctx context.Context, method, address, media string, body []byte) ([]byte, http.Header, error) {
	ctx, cancel := context.WithTimeout(ctx, s.timing.exchange)
	defer cancel()
	return s.exchange(ctx, method, address, media, body)
}

func encode(data any, uploads []upload) (media string, body []byte, err error) {
	switch {
	case data == nil:
		return "", nil, nil
	case len(uploads) == 0:
		body, err = json.Marshal(data)
		media = "application/json"
	default:
		files := make([]*discordgo.File, len(uploads))
		for i, u := range uploads {
			files[i] = &discordgo.File{Name: u.name, ContentType: u.media, Reader: bytes.NewReader(u.body)}
		}
		media, body, err = discordgo.MultipartBodyWithJSON(data, files)
	}
	if err != nil {
		return "", nil, fmt.Errorf("encode request: %w", err)
	}
	return media, body, nil
}

// mostAnswer is the largest answer that is read, in bytes.
const mostAnswer = 16 << 20

// exchange makes one request. The library's own way to do so hides the headers
// and keeps an entry for each interaction in its limiter for ever (430 bytes,
// its token among them).
func (s *Service) exchange(ctx context.Context, method, address, media string, body []byte) ([]byte, http.Header, error) {
	request, err := http.NewRequestWithContext(ctx, method, address, bytes.NewReader(body))
	if err != nil {
		return nil, nil, errors.New("the address of a request is broken") // it may have a token in it
	}
	request.Header.Set("Authorization", "Bot "+s.options.Token)
	request.Header.Set("User-Agent", userAgent)
	if body != nil {
		request.Header.Set("Content-Type", media)
	}
	response, err := s.client.Do(request)
	// The address of an answer has a token in it, and errors get logged.
	var sending *url.Error
	if errors.As(err, &sending) {
		err = fmt.Errorf("%s: %w", strings.ToLower(sending.Op), sending.Err)
	}
	if err != nil {
		return nil, nil, err
	}
	defer response.Body.Close()
	answer, err := io.ReadAll(io.LimitReader(response.Body, mostAnswer))
	if err != nil {
		return nil, response.Header, fmt.Errorf("read answer: %w", err)
	}
	return answer, response.Header, outcome(request, response, answer)
}

// outcome is the error that an answer is, nil where it is none.
func outcome(request *http.Request, response *http.Response, answer []byte) error {
	switch {
	case response.StatusCode < 300:
		return nil
	case response.StatusCode == http.StatusTooManyRequests:
		return limitOf(response.Header, answer)
	}
	refusal := &discordgo.RESTError{Request: request, Response: response, ResponseBody: answer}
	var message discordgo.APIErrorMessage
	if json.Unmarshal(answer, &message) == nil {
		refusal.Message = &message
	} else if response.StatusCode == http.StatusForbidden {
		return walled(response.Header)
	}
	return &refusalError{refusal}
}

// refusalError is a refusal that can be logged: what the service says of it
// may repeat what was sent, which is a member's, or an address with a token.
type refusalError struct{ *discordgo.RESTError }

func (e *refusalError) Error() string {
	if e.Message != nil {
		return fmt.Sprintf("the service answered %s, code %d", e.Response.Status, e.Message.Code)
	}
	return "the service answered " + e.Response.Status
}

// Unwrap returns the refusal with all that was said.
func (e *refusalError) Unwrap() error { return e.RESTError }

// limitError is the service's wish that a request be made later.
type limitError struct {
	after  time.Duration
	global bool // and all others too
}

func (e *limitError) Error() string { return fmt.Sprintf("the service asks to wait %s", e.after) }

// blockedError is errBlocked with how long to keep away.
type blockedError struct{ after time.Duration }

func (e *blockedError) Error() string { return errBlocked.Error() }
func (e *blockedError) Unwrap() error { return errBlocked }

func walled(h http.Header) error {
	if after, err := strconv.ParseFloat(h.Get("Retry-After"), 64); err == nil && after > 0 {
		return &blockedError{seconds(after)}
	}
	return &blockedError{wallPause}
}

func limitOf(h http.Header, answer []byte) error {
	after, _ := strconv.ParseFloat(h.Get("Retry-After"), 64)
	var told struct {
		After  *float64 `json:"retry_after"`
		Global bool     `json:"global"`
	}
	if json.Unmarshal(answer, &told) != nil || told.After == nil {
		return walled(h)
	}
	return &limitError{after: seconds(max(*told.After, after)), global: told.Global || h.Get("X-RateLimit-Global") == "true"}
}

// try repeats a request that may succeed another time, while ctx lasts.
func (s *Service) try(ctx context.Context, request func() ([]byte, error)) ([]byte, error) {
	wait := 100 * time.Millisecond
	for attempt := 1; ; attempt++ {
		body, err := request()
		if err == nil {
			return body, nil
		}
		var limited *limitError
		var put *later
		switch {
		case errors.As(err, &limited):
			wait = max(wait, limited.after)
		case errors.As(err, &put):
			wait = max(wait, put.after)
		case refused(err), errors.Is(err, errBlocked):
			return nil, err
		}
		deadline, ok := ctx.Deadline()
		if attempt == 4 || ctx.Err() != nil || ok && time.Until(deadline) < wait {
			return nil, err
		}
		pause(ctx, wait)
		wait *= 3
	}
}

// codeAlreadyAnswered is the service's: an interaction takes one first answer.
const codeAlreadyAnswered = 40060

// restError finds the service's refusal in an error.
func restError(err error) *discordgo.RESTError {
	var r *discordgo.RESTError
	if errors.As(err, &r) && r.Response != nil {
		return r
	}
	return nil
}

// codeOf is the service's code for a refusal, 0 where there is none.
func codeOf(err error) int {
	if r := restError(err); r != nil && r.Message != nil {
		return r.Message.Code
	}
	return 0
}

// refused reports whether the service understood a request and refused it, so
// that repeating it would not help.
func refused(err error) bool {
	r := restError(err)
	return r != nil && r.Response.StatusCode >= 400 && r.Response.StatusCode < 500
}

// explain tells the operator what to do about a refusal. The library's text
// has addresses with tokens in it and is not passed on.
func explain(verb string, err error) error {
	r := restError(err)
	switch {
	case r == nil:
		return fmt.Errorf("%s: %w", verb, err)
	case r.Response.StatusCode == http.StatusUnauthorized:
		return &mendError{fmt.Errorf("%s: %s", verb, fatal[4004])}
	case r.Response.StatusCode == http.StatusForbidden:
		return &mendError{fmt.Errorf("%s: the service forbids it; invite the bot with the scopes bot and applications.commands, to the server that the configuration names", verb)}
	}
	return fmt.Errorf("%s: the service answered %s (%s)", verb, r.Response.Status, bytes.TrimSpace(r.ResponseBody))
}
