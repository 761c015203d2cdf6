package chat

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"
)

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

// hasWord looks for a word outside of quoted values, which a member may have
// chosen to look like one of ours.
func hasWord(line, word string) bool {
	for {
		plain, rest, quotes := strings.Cut(line, `:"`)
		if slices.Contains(strings.Fields(plain), word) {
			return true
		}
		if !quotes {
			return false
		}
		line = afterQuote(rest)
	}
}

func afterQuote(s string) string {
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case '"':
			return s[i+1:]
		}
	}
	return ""
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
