package chat

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
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
	return s.send(ctx, method, discordgo.EndpointWebhookToken(a.AppID, a.Token)+path, data, uploadsOf(data))
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
	_, err = s.try(ctx, func() ([]byte, error) { return s.exchange(ctx, method, address, media, body) })
	return err
}

// rest makes a request that no member waits for.
func (s *Service) rest(ctx context.Context, method, address string, data any) ([]byte, error) {
	if s.meter.tooMany() {
		return nil, errors.New("too many requests were refused lately")
	}
	ctx, cancel := context.WithTimeout(ctx, s.timing.exchange)
	defer cancel()
	media, body, err := encode(data, nil)
	if err != nil {
		return nil, err
	}
	return s.try(ctx, func() ([]byte, error) { return s.exchange(ctx, method, address, media, body) })
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

// exchange makes one request. Its limiter is thrown away: the library's keeps
// an entry for each interaction for ever (430 bytes, its token among them),
// and interactions have no limit in common.
func (s *Service) exchange(ctx context.Context, method, address, media string, body []byte) ([]byte, error) {
	bucket := discordgo.NewRatelimiter().LockBucket(address)
	answer, err := s.caller.RequestWithLockedBucket(method, address, media, body, bucket, 0, discordgo.WithContext(ctx))
	// The address of an answer has a token in it, and errors get logged.
	var limited *discordgo.RateLimitError
	var sending *url.Error
	switch {
	case errors.As(err, &limited) && limited.RateLimit != nil && limited.TooManyRequests != nil:
		return nil, &limitError{limited.RetryAfter}
	case errors.As(err, &sending):
		return nil, fmt.Errorf("%s: %w", strings.ToLower(sending.Op), sending.Err)
	}
	return answer, err
}

// limitError is the service's wish that a request be made later.
type limitError struct{ after time.Duration }

func (e *limitError) Error() string { return fmt.Sprintf("the service asks to wait %s", e.after) }

// try repeats a request that may succeed another time, while ctx lasts.
func (s *Service) try(ctx context.Context, request func() ([]byte, error)) ([]byte, error) {
	wait := 100 * time.Millisecond
	for attempt := 1; ; attempt++ {
		body, err := request()
		if err == nil {
			return body, nil
		}
		var limited *limitError
		switch {
		case errors.As(err, &limited):
			wait = max(wait, limited.after)
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
		return fmt.Errorf("%s: %s", verb, fatal[4004])
	case r.Response.StatusCode == http.StatusForbidden:
		return fmt.Errorf("%s: the service forbids it; invite the bot with the scopes bot and applications.commands, to the server that the configuration names", verb)
	}
	return fmt.Errorf("%s: the service answered %s (%s)", verb, r.Response.Status, bytes.TrimSpace(r.ResponseBody))
}
