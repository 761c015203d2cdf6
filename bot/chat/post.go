package chat

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
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

// seen is a message as the service lists it. Without the intent for it, what
// others wrote is left out; what the bot wrote never is.
type seen struct {
	ID     string `json:"id"`
	Author struct {
		ID  string `json:"id"`
		Bot bool   `json:"bot"`
	} `json:"author"`
	Webhook    string      `json:"webhook_id"`
	Components []component `json:"components"`
}

// bears reports whether a button's or menu's line has the mark in it, as a
// word.
func (m seen) bears(mark string) bool {
	for _, row := range m.Components {
		for _, c := range append(row.Components, row) {
			if hasWord(c.CustomID, mark) {
				return true
			}
			for _, o := range c.Options {
				if hasWord(o.Value, mark) {
					return true
				}
			}
		}
	}
	return false
}

func hasWord(line, word string) bool {
	for _, w := range strings.Fields(line) {
		if w == word {
			return true
		}
	}
	return false
}

const (
	messagesAtOnce = 100
	mostLooked     = 50 // times messagesAtOnce: how far a post is looked for
	clocksApart    = 5 * time.Minute
)

// Find looks for a message of the bot's own, one of whose buttons has the mark
// in its line, among those since a moment. It returns the message's id, empty
// where there is none.
func (s *Service) Find(ctx context.Context, in Place, mark string, since time.Time) (string, error) {
	channel, err := s.channel(ctx, in)
	if err != nil {
		return "", err
	}
	after := snowflakeAt(since.Add(-clocksApart))
	for page := 1; ; page++ {
		query := url.Values{"limit": {strconv.Itoa(messagesAtOnce)}}
		if page <= mostLooked { // the last look is at the newest
			query.Set("after", after)
		}
		list, err := s.messages(ctx, channel, query)
		if err != nil {
			return "", err
		}
		for _, m := range list {
			if m.Author.Bot && m.bears(mark) {
				return m.ID, nil
			}
			if len(m.ID) > len(after) || len(m.ID) == len(after) && m.ID > after {
				after = m.ID
			}
		}
		if len(list) < messagesAtOnce || page > mostLooked {
			return "", nil
		}
	}
}

func (s *Service) messages(ctx context.Context, channel string, query url.Values) ([]seen, error) {
	answer, err := s.queued(ctx, http.MethodGet, discordgo.EndpointChannelMessages(channel)+"?"+query.Encode(), nil, nil)
	if err != nil {
		return nil, became(err, false)
	}
	var list []seen
	if err := json.Unmarshal(answer, &list); err != nil {
		return nil, &Later{After: time.Minute, Err: errors.New("the service's answer can't be read")}
	}
	return list, nil
}

// Scene is who wrote in a channel lately.
type Scene struct {
	Wrote time.Time // when a person last did; zero: nobody, as far as was looked
	Host  time.Time // when the host last did
}

// Scene looks at the last messages of a channel. Who wrote when is told
// without any intent; what they wrote is not, and is not looked at.
func (s *Service) Scene(ctx context.Context, channel, host string) (Scene, error) {
	list, err := s.messages(ctx, channel, url.Values{"limit": {strconv.Itoa(messagesAtOnce)}})
	if err != nil {
		return Scene{}, err
	}
	var scene Scene
	for _, m := range list {
		if m.Author.Bot || m.Webhook != "" {
			continue
		}
		at := momentOf(m.ID)
		if at.After(scene.Wrote) {
			scene.Wrote = at
		}
		if m.Author.ID == host && at.After(scene.Host) {
			scene.Host = at
		}
	}
	return scene, nil
}

// The service's ids tell when they were made: milliseconds since its own epoch,
// above 22 bits.
const epoch = 1420070400000

func momentOf(id string) time.Time {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return time.Time{}
	}
	return time.UnixMilli(n>>22 + epoch)
}

func snowflakeAt(at time.Time) string {
	return strconv.FormatInt(max(0, at.UnixMilli()-epoch)<<22, 10)
}

// Event makes the server's own scheduled event of a milestone, unless it is
// there, and returns its id.
func (s *Service) Event(ctx context.Context, server string, card commands.EventCard) (string, error) {
	address := discordgo.EndpointGuildScheduledEvents(server)
	answer, err := s.queued(ctx, http.MethodGet, address, nil, nil)
	if err != nil {
		return "", became(err, false)
	}
	var events []struct {
		ID          string `json:"id"`
		Description string `json:"description"`
	}
	if err := json.Unmarshal(answer, &events); err != nil {
		return "", &Later{After: time.Minute, Err: errors.New("the service's answer can't be read")}
	}
	for _, e := range events {
		if strings.HasSuffix(e.Description, card.Mark) {
			return e.ID, nil
		}
	}
	answer, err = s.queued(ctx, http.MethodPost, address, eventOf(card), nil)
	if err != nil {
		return "", became(err, true)
	}
	return idOf(answer)
}

// event is a scheduled event as the service takes it.
type event struct {
	Name        string        `json:"name"`
	Description string        `json:"description"`
	Start       string        `json:"scheduled_start_time"`
	End         string        `json:"scheduled_end_time"`
	Privacy     int           `json:"privacy_level"` // 2: the server's members
	Kind        int           `json:"entity_type"`   // 3: in no voice channel
	Where       eventLocation `json:"entity_metadata"`
}

type eventLocation struct {
	Location string `json:"location"`
}

func eventOf(c commands.EventCard) event {
	return event{Name: c.Name, Description: c.Description, Privacy: 2, Kind: 3, Where: eventLocation{c.Location},
		Start: c.Start.UTC().Format(time.RFC3339), End: c.End.UTC().Format(time.RFC3339)}
}
