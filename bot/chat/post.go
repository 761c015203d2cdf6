package chat

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"runtime"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands/reply"
)

// What becomes of a post that is not sent, besides *[Later].
var (
	// ErrGone says that its channel, or the member whom it is for, can't be
	// written to: deleted, or out of bounds for the bot.
	ErrGone = errors.New("it can't be written to")
	// ErrUnsure says that the post may have arrived, or not: look before the
	// next try.
	ErrUnsure = errors.New("it may have arrived")
	// ErrRefused says that the service will never take it as it is: a fault of
	// ours.
	ErrRefused = errors.New("the service does not take it")
)

// Later says that the service takes nothing now, and that the post certainly
// did not arrive. All says that this holds for every channel.
type Later struct {
	After time.Duration
	All   bool
	Err   error
}

func (l *Later) Error() string {
	return fmt.Sprintf("later, in %s: %v", l.After.Round(time.Second), l.Err)
}

// Unwrap is why.
func (l *Later) Unwrap() error { return l.Err }

// Place is where something is posted: a channel, or else a member's direct
// messages.
type Place struct{ Channel, Member string }

// mostNonce is the longest nonce that the service takes.
const mostNonce = 25

// Post posts a reply that nobody asked for and returns its message's id. It
// pings whom the reply says, nobody else. Of two with the same nonce within a
// few minutes the service takes the first only; nonce is at most 25 characters.
func (s *Service) Post(ctx context.Context, to Place, r reply.Reply, nonce string) (string, error) {
	if nonce == "" || len(nonce) > mostNonce {
		return "", fmt.Errorf("a nonce of %d characters: %w", len(nonce), ErrRefused)
	}
	p, err := s.composed(ctx, r, nonce)
	if err != nil {
		return "", err
	}
	channel, err := s.channel(ctx, to)
	if err != nil {
		return "", err
	}
	answer, err := s.queued(ctx, http.MethodPost, discordgo.EndpointChannelMessages(channel), p, p.uploads)
	if err != nil {
		return "", became(err, true)
	}
	id, err := idOf(answer)
	if err != nil {
		return "", fmt.Errorf("%w: %w", ErrUnsure, err)
	}
	return id, nil
}

// post is a message of which the service takes one only.
type post struct {
	message
	Nonce   string `json:"nonce"`
	Enforce bool   `json:"enforce_nonce"`
}

func postOf(r reply.Reply, nonce string) (post, error) {
	m, err := compose(r, 0)
	return post{m, nonce, true}, err
}

// composed puts a reply in a post. They take turns at that, so that drawing
// their pictures leaves processors for those who wait for an answer.
func (s *Service) composed(ctx context.Context, r reply.Reply, nonce string) (post, error) {
	select {
	case s.drawing <- struct{}{}:
	case <-ctx.Done():
		return post{}, &Later{Err: ctx.Err()}
	}
	defer func() { <-s.drawing }()
	p, err := postOf(r, nonce)
	if err != nil {
		return p, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	return p, nil
}

// drawers is how many posts are composed at once.
func drawers() int { return max(1, runtime.GOMAXPROCS(0)/2) }

// channel is the channel of a place; a member's is opened.
func (s *Service) channel(ctx context.Context, to Place) (string, error) {
	if to.Channel != "" {
		return to.Channel, nil
	}
	if to.Member == "" {
		return "", fmt.Errorf("nobody to write to: %w", ErrGone)
	}
	answer, err := s.queued(ctx, http.MethodPost, discordgo.EndpointUserChannels("@me"), map[string]string{"recipient_id": to.Member}, nil)
	if err != nil {
		return "", became(err, false)
	}
	return idOf(answer)
}

func idOf(answer []byte) (string, error) {
	var made struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(answer, &made); err != nil || made.ID == "" {
		return "", errors.New("the service's answer can't be read")
	}
	return made.ID, nil
}

// became sorts an error by what to do about it. Where something was being
// made, a request without an answer may have made it.
func became(err error, making bool) error {
	var put *later
	var wall *blockedError
	var dialling *net.OpError
	r := restError(err)
	switch {
	case errors.As(err, &put):
		return &Later{After: put.after, All: errors.Is(err, errOpen) || errors.Is(err, errInvalid), Err: put.why}
	case errors.As(err, &wall):
		return &Later{After: wall.after, All: true, Err: err}
	case errors.As(err, &dialling) && dialling.Op == "dial":
		return &Later{After: time.Minute, All: true, Err: err}
	case r != nil && r.Response.StatusCode == http.StatusUnauthorized:
		return &Later{After: wallPause, All: true, Err: explain("post", err)}
	case r != nil && gone(r, codeOf(err)):
		return fmt.Errorf("%w (code %d)", ErrGone, codeOf(err))
	case refused(err):
		return fmt.Errorf("%w: %w", ErrRefused, explain("post", err))
	case making:
		return fmt.Errorf("%w: %w", ErrUnsure, bare(err))
	}
	return &Later{After: time.Minute, Err: bare(err)}
}

// bare is an error without the body that the service sent along.
func bare(err error) error {
	if r := restError(err); r != nil {
		return errors.New("the service answered " + r.Response.Status)
	}
	return err
}

// Codes of the service that say, with a status other than 403, that a place
// can't be written to.
const (
	codeUnknownChannel = 10003
	codeUnknownServer  = 10004
	codeUnknownUser    = 10013
	codeNoSuchUser     = 50033
	codeArchived       = 50083
)

func gone(r *discordgo.RESTError, code int) bool {
	switch code {
	case codeUnknownChannel, codeUnknownServer, codeUnknownUser, codeNoSuchUser, codeArchived:
		return true
	}
	return r.Response.StatusCode == http.StatusForbidden
}

// Ready is how long the service takes nothing at all, 0 where it does.
func (s *Service) Ready() time.Duration {
	if s.meter.tooMany() {
		return wallPause
	}
	return s.queue.ready()
}
